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
pub mod kept_word;
pub mod labour;
pub mod operation;
pub mod order;
pub mod own_book;
pub mod own_torque;
pub mod start_values;
pub mod step;
pub mod torque;
pub mod wanted;

pub mod price;
pub mod tax;

pub mod risk;

pub mod workshop;

pub mod estimate;
pub mod ready;
pub mod version;
pub mod ways;
pub mod wording;

pub mod change_order;

pub mod desk;

pub mod board;
pub mod calendar;
pub mod delivery;
pub mod left;
pub mod promise;
pub mod queue;

pub mod job;

pub use board::{Board, Hand, LATE, Laid, Piece, Place, Task};
pub use book::{Book, BookError};
pub use calendar::{Calendar, Colleague, Grid, Hours, SLOT_MINUTES, Week, clock_words, weekday_words};
pub use change_order::{
    AskedChange, AskedChoice, Call, Cause, Change, ChangeError, ChangeOrder, Choice, ChoicePart, Finding,
    NoNewDay, Priced, SmallThing, Stakes, UnderWay, WITHOUT_ANSWER, change_order,
};
pub use check::{CheckError, Held, Person, Record, StepWork, Tightness, TorqueRange, approval_stands};
pub use delivery::{Awaited, LeadRecord, all_here};
pub use desk::{Desk, Told, desk, desk_beside, told};
pub use estimate::{
    Advance, Answer, Ceiling, Estimate, EstimateError, FacedPrice, NoEstimate, Offer, SafetyItem, Signable,
    estimate,
};
pub use fastener::{Closing, FASTENERS, Fastener, FastenerId};
pub use job::{
    Accepted, Approval, Channel, Entry, EntryKey, Event, Job, JudgedBy, Moment, Refusal, Stage, State,
};
pub use kept_word::keep;
pub use labour::{Age, Circumstances, Extra, Labour, Line, Marginal};
pub use left::{left, takes_time};
pub use operation::{Operation, OperationId};
pub use order::{Link, Placed};
pub use own_book::{OwnOperation, OwnStep};
pub use own_torque::{OwnTorque, TorqueSaid};
pub use price::{Carries, HowMuch, PriceError, PriceLine, TaxGroup, Totals, shown, totals};
pub use promise::{
    Broken, OpenJob, PlannedPiece, Promise, PromiseError, Range, WorkPiece, broken, pieces_of, promises,
};
pub use queue::Queue;
pub use ready::{NoDay, Ready};
pub use risk::{Blow, Faced, Outlook, PRIOR_JOBS, Risk, RiskRecord, Settled, Standing, faced, outlook};
pub use step::{Block, Minutes, Need, Notes, Own, Skill, Step, StepId};
pub use tax::{LineKind, TaxRule, Taxes, Treatment, percent_words};
pub use version::{ApprovalError, difference};
pub use wanted::{Because, Wanted, minutes_by_slot, minutes_for, operations_for, wanted};
pub use ways::{Gears, Way, WayName, Ways, lowest_change_percent, ways};
pub use wording::{
    NEVER_TOGETHER, Said, TextBlock, TextBlocks, TextError, blanks, block_keys, contradictions,
};
pub use workshop::{Deposit, Discount, Seller, SmallThings, Terms, Workshop};
