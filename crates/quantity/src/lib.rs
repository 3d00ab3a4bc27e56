//! Numbers as a workshop means them: with a unit, a tolerance and the way they were got.
//!
//! Begin with [`Length`] and its sisters ([`mod@unit`]), then [`Measured`] (a value, its tolerance, its
//! [`Basis`]), then [`Span`], the interval that every verdict is decided on. [`text`] reads what a
//! person writes, `"410 ± 3 mm"`; [`digits`] writes numbers without false digits.

pub mod count;
pub mod digits;
pub mod measured;
pub mod money;
pub mod span;
pub mod text;
pub mod thread;
pub mod unit;

pub use count::{OutOfRange, Pitches, Teeth};
pub use measured::{Basis, Measured, Reading};
pub use money::{Money, MoneyError};
pub use span::{SLACK, Span, Stand};
pub use text::{Stated, TextError};
pub use thread::Thread;
pub use unit::{Angle, Force, Length, Mass, Percent, Power, Quantity, Ratio, Speed, Torque};
