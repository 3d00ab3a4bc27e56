//! The work of a refit: steps counted once, their order with reasons, and the gates before the bike leaves.
//!
//! Begin with [`Step`] and [`Operation`], then [`Book`], which holds both and answers every question about them:
//! [`Book::labour`] for the minutes, [`Book::order`] for the order. [`operations_for`] finds the operations that a
//! plan asks for; [`Record`] keeps who touched what, until [`Record::release`] lets the bike go.
//!
//! ```
//! use shop::{Age, Book, OperationId, StepId};
//!
//! let book = Book::start_values();
//! let (stem, tape) = (OperationId("stem"), OperationId("tape"));
//! // While the stem is off, tape costs its own two steps: 3 minutes off, 18 minutes on.
//! let marginal = book.marginal(&[stem], tape)?;
//! assert_eq!(marginal.while_apart.usual, 21);
//! // Steps are counted once.
//! let together = book.labour(&[stem, tape], Age::Sound)?;
//! assert!(together.minutes.usual < together.sum_of_lines.usual);
//! // And the tape waits for the ride.
//! assert!(book.why_not_before(StepId("tape-on"), StepId("first-ride")).is_some());
//! # Ok::<(), shop::BookError>(())
//! ```

pub mod book;
pub mod check;
pub mod fastener;
pub mod job;
pub mod labour;
pub mod operation;
pub mod order;
pub mod own_torque;
pub mod start_values;
pub mod step;
pub mod torque;
pub mod wanted;
pub use book::{Book, BookError};
pub use check::{CheckError, Held, Person, Record, StepWork, Tightness, TorqueRange, approval_stands};
pub use fastener::{Closing, FASTENERS, Fastener, FastenerId};
pub use job::{Accepted, Desk, Entry, EntryKey, Event, Job, Moment, Refusal, Stage, State};
pub use labour::{Age, Circumstances, Extra, Labour, Line, Marginal};
pub use operation::{Operation, OperationId};
pub use order::{Link, Placed};
pub use own_torque::{OwnTorque, TorqueSaid};
pub use step::{Block, Minutes, Need, Skill, Step, StepId};
pub use wanted::{Because, Wanted, minutes_by_slot, minutes_for, operations_for, wanted};
