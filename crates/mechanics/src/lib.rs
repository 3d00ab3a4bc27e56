//! Laws of bicycle mechanics: pure functions from measured numbers to numbers.
//!
//! Begin with [`chain`] (lengths, capacity, slack) and [`indexing`] (does a click land on a cog); the other
//! modules are one subject each. Every law takes point values and gives a point value. A caller that knows
//! its inputs only within tolerances evaluates a law at the ends of its intervals, so every law says how it
//! moves with each argument.
//!
//! Nothing here judges: limits of what is allowed live above. Nothing here panics: where a formula leaves
//! its range, the law either returns an error or says in its documentation what comes out. NaN goes in only
//! where the caller made one, and then NaN (or an error) comes out.

// In reading order; the blank lines keep it.
pub mod gears;

pub mod chain;

pub mod derailleur;

pub mod cassette;

pub mod indexing;

pub mod monotone_curve;

pub mod shift_landing;

pub mod chainline;

pub mod shell;

pub mod brakes;

pub mod brake_curve;

pub mod cockpit;

pub mod bar_curve;

pub mod cable;

pub mod housing_loop;

pub mod cable_run;

pub mod tape;

pub mod bolts;

pub mod drive_loss;

pub mod crank;

pub mod contradiction;

pub use chain::ChainError;
pub use cockpit::{ClampMatch, Point};
pub use indexing::Landing;
pub use shell::ShellThread;
