//! What leaves the program as JSON: border types with a schema, made from a plan in one place, so that the screen,
//! the sheets, the pages and `--json` say the same.
//!
//! Begin with [`PlanDocument`]. A border type is made from the plan and never read back into it.

pub mod complaint;
pub mod geometry;
pub mod plan;

pub use complaint::ComplaintDocument;
pub use geometry::{GeometryDocument, SectionDocument};
pub use plan::{PlanDocument, extremes, left_alone, why_words};
