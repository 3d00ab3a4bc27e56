//! Rules, verdicts and their reasons.

pub mod answers;
pub mod ask;
pub mod build;
pub mod complaint;
pub mod cures;
pub mod difference;
pub mod finding;
pub mod geometry;
pub mod heal;
pub mod intake_list;
pub mod judge;
pub mod measure_first;
pub mod pairs;
pub mod parts_list;
pub mod plan;
pub mod refit;
pub mod rule;
pub mod rules;
pub mod words;

#[cfg(test)]
mod bench;

pub use build::{Build, Origin, When};
pub use difference::{Change, changes};
pub use finding::{Act, Answer, Cure, Fact, Finding, Hazard, Margin, Missing, Number, Values, Verdict, Want};
pub use geometry::{Geometry, Section};
pub use heal::Added;
pub use intake_list::{Idle, IntakeRow, Need, intake_list};
pub use judge::{judge, judge_by, worst};
pub use measure_first::{ToMeasure, to_measure};
pub use pairs::{Avoid, Pair};
pub use parts_list::{Line, PartsList, Why};
pub use plan::{Caution, Plan, plan};
pub use refit::{Hands, LowestGear, Refit, Rider, Wish};
pub use rule::{Coupling, Rule};
pub use rules::RULES;
