//! What leaves the program as JSON or as an electronic invoice: border types with a schema, made from a plan in one place, so that the screen,
//! the sheets, the pages and `--json` say the same.
//!
//! Begin with [`PlanDocument`]. A border type is made from the plan and never read back into it.

pub mod change_order;
pub mod complaint;
pub mod estimate;
pub mod geometry;
pub mod invoice;
pub mod money;
pub mod option;
pub mod order;
pub mod own_rules;
pub mod plan;
pub mod promise;
pub mod ride;
pub mod work;

pub use change_order::ChangeOrderDocument;
pub use complaint::ComplaintDocument;
pub use estimate::EstimateDocument;
pub use geometry::{DrivetrainDocument, GeometryDocument, SectionDocument};
pub use invoice::{Heading, InvoiceError, invoice};
pub use money::MoneyDocument;
pub use option::OptionDocument;
pub use order::{LinkDocument, MinutesDocument, StepDocument};
pub use own_rules::OwnRuleDocument;
pub use plan::{PlanDocument, extremes, left_alone, why_words};
pub use promise::{PromiseDocument, PromisesDocument};
pub use ride::RideDocument;
pub use work::{BoltDocument, LaidWork, WorkDocument, basis_words};
