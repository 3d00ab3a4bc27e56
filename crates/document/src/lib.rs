//! What leaves the program as JSON: border types with a schema, made from a plan in one place, so that the screen,
//! the sheets, the pages and `--json` say the same.
//!
//! Begin with [`PlanDocument`]. A border type is made from the plan and never read back into it.

pub mod geometry;
pub mod order;
pub mod own_rules;
pub mod plan;
pub mod work;

pub use geometry::{DrivetrainDocument, GeometryDocument, SectionDocument};
pub use order::{LinkDocument, MinutesDocument, StepDocument};
pub use own_rules::OwnRuleDocument;
pub use plan::{PlanDocument, extremes, left_alone, why_words};
pub use work::{BoltDocument, LaidWork, WorkDocument, basis_words};
