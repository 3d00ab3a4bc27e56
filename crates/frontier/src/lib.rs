//! Exact choice: one option for each slot, so that every relation holds and nothing beats the set.
//!
//! Begin with [`Problem`]: slots with options, relations over any of them, aims to be made small. [`Problem::front`]
//! gives every set that no other beats in all aims (the Pareto front), [`Problem::least`] the best set for one aim,
//! [`Problem::count`] how many sets hold, [`Problem::conflict`] the smallest set of facts that cannot hold together.
//!
//! Slots are eliminated one after another: what an eliminated slot says to its neighbours is kept as a table of
//! partial sets that nothing beats, keyed by the options of the neighbours. The work grows with the width of the
//! graph of slots and relations, not with the number of sets. Where the graph is so dense that a table would not fit
//! [`Limits`], one slot is fixed to each of its options in turn and the rest is solved for each.

mod bits;
mod bounds;
mod conflict;
mod count;
mod eliminate;
mod error;
mod front;
mod join;
mod layers;
mod order;
mod pareto;
mod prepared;
mod problem;
mod rows;
mod watch;
mod weighed;

pub use conflict::Conflict;
pub use count::Count;
pub use error::ProblemError;
pub use front::{Front, Left, Pick};
pub use problem::{Aim, Fact, Fold, Problem};
pub use watch::{Limits, Progress, Watch};
