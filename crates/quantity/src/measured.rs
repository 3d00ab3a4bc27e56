//! A value with its tolerance and the way it was got, and the answers a row of the intake can have.

use crate::{Quantity, Span};
use std::fmt;

/// How a value was got. It decides how far the value may be trusted and is always shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Taken on this bike or this part with a tool.
    Measured,
    /// Counted: exact.
    Counted,
    /// Printed on the part or in its leaflet. It wins over every other basis but a measurement.
    Printed,
    /// Nobody looked: "the usual". A verdict may rest on it but must say so.
    Assumed,
    /// From a published source, named by its key in the source list.
    Published(String),
    /// Common practice of the trade, with no source.
    Practice,
    /// From memory: a value to ask with, never to release a brake with.
    Memory,
}

impl Basis {
    /// The word that stands after the value.
    pub fn word(&self) -> &str {
        match self {
            Self::Measured => "measured",
            Self::Counted => "counted",
            Self::Printed => "printed",
            Self::Assumed => "assumed",
            Self::Published(_) => "published",
            Self::Practice => "common practice",
            Self::Memory => "from memory",
        }
    }

    /// Whether nobody looked at this bike or this part.
    pub fn is_assumed(&self) -> bool {
        matches!(self, Self::Assumed)
    }
}

/// A value of a quantity with its tolerance and its basis.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured<Q> {
    /// The value read.
    pub value: Q,
    /// The true value lies within this of `value`, either way.
    pub tolerance: Q,
    /// How it was got.
    pub basis: Basis,
}

impl<Q: Quantity> Measured<Q> {
    /// A value without tolerance: counted, printed or agreed.
    pub fn exact(value: Q, basis: Basis) -> Self {
        Self { value, tolerance: Q::from_base(0.0), basis }
    }

    /// The interval in base units.
    pub fn span(&self) -> Span {
        Span::around(self.value.base(), self.tolerance.base())
    }
}

/// What a row of the intake can hold. Only [`Reading::Taken`] decides anything.
#[derive(Clone, Debug, PartialEq, Default)]
pub enum Reading<T> {
    /// A value.
    Taken(T),
    /// Looked at and found in order, without a value.
    Fine,
    /// Could not be reached as the bike stands.
    NotReachable,
    /// Marked as not needed for this wish.
    NotNeeded,
    /// Nobody has answered yet.
    #[default]
    NotTaken,
}

impl<T> Reading<T> {
    /// The value, where there is one.
    pub fn taken(&self) -> Option<&T> {
        match self {
            Self::Taken(value) => Some(value),
            _ => None,
        }
    }

    /// Whether any answer was given, a value or not.
    pub fn is_answered(&self) -> bool {
        !matches!(self, Self::NotTaken)
    }
}

impl<Q: Quantity> fmt::Display for Measured<Q> {
    /// `410 ± 3 mm`; exact values stand without `±`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals =
            f.precision().unwrap_or_else(|| shown_decimals(self.value.base(), self.tolerance.base()));
        let value = crate::digits::fixed(self.value.base(), decimals);
        let unit =
            if Q::UNIT == "°" || Q::UNIT.is_empty() { Q::UNIT.to_owned() } else { format!(" {}", Q::UNIT) };
        if self.tolerance.base() > 0.0 {
            write!(f, "{value} ± {}{unit}", crate::digits::trimmed(self.tolerance.base()))
        } else {
            write!(f, "{value}{unit}")
        }
    }
}

/// As many decimals as the value was written with, found by trying, at most three.
fn shown_decimals(value: f64, tolerance: f64) -> usize {
    let written = (0..3).find(|&d| (value * 10f64.powi(d) - (value * 10f64.powi(d)).round()).abs() < 1e-6);
    let written = written.map_or(3, |d| d as usize);
    written.max(crate::digits::decimals_for(tolerance, 1))
}
