//! Rules, verdicts and their reasons.

pub mod answers;
pub mod ask;
pub mod asked;
pub mod build;
pub mod cage;
pub mod choose;
pub mod complaint;
pub mod cures;
pub mod difference;
pub mod finding;
mod flags;
pub mod geometry;
pub mod heal;
pub mod intake_list;
pub mod judge;
pub mod measure_first;
mod nothing_chosen;
pub mod own_rule;
pub mod pairs;
pub mod parts_list;
pub mod plan;
pub mod refit;
pub mod ride;
pub mod rule;
pub mod rules;
pub mod set_wish;
mod solved;
pub mod words;

#[cfg(test)]
mod bench;

pub use build::{Build, Origin, When};
pub use choose::{Answer as Chosen, Blame, ChooseError, Labour, Offer, Offers, Set, Way, WhyNot, choose};
pub use difference::{Change, changes};
pub use finding::{Act, Answer, Cure, Fact, Finding, Hazard, Margin, Missing, Number, Values, Verdict, Want};
pub use geometry::{Geometry, Section};
pub use heal::Added;
pub use intake_list::{Idle, IntakeRow, Need, intake_list};
pub use judge::{judge, judge_by, worst};
pub use measure_first::{ToMeasure, to_measure};
pub use nothing_chosen::NothingChosen;
pub use own_rule::{Condition, OwnFinding, OwnRule, OwnVerdict, Pick, Side, Term, Test, judge_own};
pub use pairs::{Avoid, Pair};
pub use parts_list::{Line, PartsList, Why};
pub use plan::{Caution, Plan, plan, plan_with};
pub use refit::{Effort, Hands, LowestGear, Refit, RideWish, Rider, Wind, Wish};
pub use rule::{Audience, Coupling, Rule, Warning};
pub use rules::RULES;
pub use set_wish::{AimName, SetWish};
pub use solved::Solved;
