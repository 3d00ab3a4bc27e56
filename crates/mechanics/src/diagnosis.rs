//! What is wrong with a rear derailleur that will not index, and what to do next. Begin with [`diagnose`].
//!
//! The error model is run backwards. In gear k (1 the smallest cog) a shift in direction d (+1 to the larger cog,
//! −1 to the smaller) ends beside its cog by
//!
//! `e(k, d) = a + b (k − k₀) + δ [k ≥ m] − d h + ε`, cut off at the ends by the two limits.
//!
//! Tension moves a, what does not match or is bent moves b, a wrong spacer makes a step δ from cog m on, drag is h,
//! and play is in ε. Each [`Cause`] is a small grid of such numbers with a prior; every one of them, and every two
//! of different kinds together, is weighed against all that was seen. The prior, the likelihoods, the minutes and
//! the damping are guesses of practice, set on a virtual bike that is not this code: `tests/virtual_bike.rs`.

mod advice;
mod bell;
mod causes;
mod checks;
mod evidence;
mod hypothesis;
mod model;
mod posterior;

pub mod naive;
pub mod symptoms;
pub mod taps;

pub use advice::{Advice, Diagnosis, Elsewhere, Explanation, Likely, Reason, Step, Word, diagnose};
pub use causes::Cause;
pub use checks::{Check, Gap, Limit, LimitSeen, Seen};
pub use evidence::{Evidence, EvidenceError, GearRow, Grid, History, Shift, Sound};
pub use model::DAMPING;
pub use posterior::{Posterior, posterior};
