//! The right set of parts: every set that nothing beats, the few worth offering, and why there is none.
//!
//! The parts of the catalogue become options of slots, the rules become relations between slots by being run over
//! them, and the wish becomes relations, bounds and aims; `frontier` does the rest. Every set that is returned is
//! judged again by the whole engine.

mod answer;
mod bench_top;
mod narrow;
mod offer;
mod question;
mod set;
mod shares;
mod slots;
mod tables;
mod tabulate;
mod waiting;
mod why_not;

pub use answer::{Answer, ChooseError, choose, with_set};
pub use offer::{Offer, Offers, RULE_OF_OFFERS};
pub use question::Labour;
pub use set::{Gears, Set};
pub use slots::LeftOut;
pub(crate) use slots::wanted_parts;
pub use waiting::{Waiting, waiting};
pub use why_not::{Blame, Way, WhyNot};
