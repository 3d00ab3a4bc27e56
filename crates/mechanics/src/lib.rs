//! Laws of bicycle mechanics: pure functions from measured numbers to numbers.
//!
//! Begin with [`chain`] (lengths, capacity, slack) and [`indexing`] (does a click land on a cog); for finding
//! faults with [`click_window`] and [`noise`]. The other modules are one subject each. Every law takes point
//! values and gives a point value. A caller that knows its inputs only within tolerances evaluates a law at the
//! ends of its intervals, so every law says how it moves with each argument.
//!
//! Nothing here judges: what is allowed is decided above, and where common practice has a limit it is a named
//! constant that says so, for the caller to use or not. Nothing here panics: where a formula leaves its range,
//! the law either returns an error or says in its documentation what comes out. NaN goes in only where the
//! caller made one, and then NaN (or an error) comes out.

// In reading order; the blank lines keep it.
pub mod gears;

pub mod chain;

pub mod cage;
pub mod timing;

pub mod derailleur;

pub mod ground;

pub mod cassette;

pub mod spreading;

pub mod indexing;

pub mod click_window;
pub mod diagnosis;

pub mod monotone_curve;
pub mod settling;

pub mod shift_landing;

pub mod chainline;

pub mod front_map;

pub mod shell;

pub mod press_fit;

pub mod brakes;

pub mod tyre;

pub mod spoke;

pub mod brake_curve;
pub mod thread_engagement;
pub mod wear;

pub mod cockpit;

pub mod bar_curve;

pub mod cable;

pub mod housing;
pub mod housing_loop;

pub mod cable_run;

pub mod tape;

pub mod bolts;

pub mod drive_loss;

pub mod ride;

pub mod crank;

pub mod noise;
pub mod stay;

pub mod contradiction;

pub use chain::ChainError;
pub use click_window::{Shifting, Window};
pub use cockpit::{ClampMatch, Point};
pub use indexing::Landing;
pub use press_fit::{Bore, Hold};
pub use shell::ShellThread;
pub use timing::Timing;
