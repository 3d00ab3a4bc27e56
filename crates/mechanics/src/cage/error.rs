//! Why a cage has no angle for a chain. One enum, [`CageError`].

use super::{MOST_COGS, MOST_RINGS};
use crate::chain::ChainError;
use quantity::{Angle, Length, Pitches};
use std::fmt;

/// Two circles that should be apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Between {
    /// The cog and the ring.
    CogAndRing,
    /// The ring and the tension pulley.
    RingAndTension,
    /// The ring and the guide pulley.
    RingAndGuide,
    /// The two pulleys.
    TensionAndGuide,
    /// The guide pulley and the cog.
    GuideAndCog,
}

impl fmt::Display for Between {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::CogAndRing => "cog and ring",
            Self::RingAndTension => "ring and tension pulley",
            Self::RingAndGuide => "ring and guide pulley",
            Self::TensionAndGuide => "tension pulley and guide pulley",
            Self::GuideAndCog => "guide pulley and cog",
        })
    }
}

/// Why a cage has no angle for a chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CageError {
    /// A number that is not finite.
    NotFinite {
        /// The number found.
        found: f64,
    },
    /// Two circles overlap that the chain must pass between or around.
    CirclesOverlap {
        /// Which two.
        between: Between,
        /// Their centres.
        apart: Length,
        /// The least distance of their centres.
        least: Length,
    },
    /// One circle lies inside another.
    NoTangent {
        /// Which two.
        between: Between,
        /// Their centres.
        apart: Length,
    },
    /// The bottom bracket lies further below the axle than the chainstay is long.
    BracketTooLow {
        /// The chainstay.
        chainstay: Length,
        /// The drop.
        drop: Length,
    },
    /// The stops are not in order, or outside −90° to 270°.
    StopsCrossed {
        /// The forward stop.
        forward: Angle,
        /// The back stop.
        back: Angle,
    },
    /// Between its limits the cage takes up no chain at all.
    NoRoom,
    /// The chain is too short: the cage stands at its forward limit and the chain still does not reach.
    TooShort {
        /// What is fitted.
        fitted: Pitches,
        /// The shortest that reaches.
        least: Pitches,
    },
    /// The chain is too long: the cage stands at its back limit and the chain is not taut.
    TooLong {
        /// What is fitted.
        fitted: Pitches,
        /// The longest that is taut.
        most: Pitches,
    },
    /// A search that did not settle.
    NotConverged {
        /// The steps it was given.
        steps: usize,
    },
    /// No ring, no cog, or more than the model holds.
    Sprockets {
        /// Rings found.
        rings: usize,
        /// Cogs found.
        cogs: usize,
    },
}

impl fmt::Display for CageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { found } => write!(f, "`{found}` found, a finite number wanted"),
            Self::CirclesOverlap { between, apart, least } => {
                write!(f, "{between} overlap: centres are {apart:.1} apart, they need {least:.1}")
            }
            Self::NoTangent { between, apart } => {
                write!(f, "{between} lie inside one another: centres are {apart:.1} apart")
            }
            Self::BracketTooLow { chainstay, drop } => {
                write!(f, "a drop of {drop:.1} found, less than the chainstay of {chainstay:.1} wanted")
            }
            Self::StopsCrossed { forward, back } => {
                write!(f, "stops at {forward:.1} and {back:.1} found, wanted in order from −90° to 270°")
            }
            Self::NoRoom => f.write_str("the cage takes up no chain between its limits"),
            Self::TooShort { fitted, least } => {
                write!(f, "the chain is too short: {fitted:.1} found, {least:.1} needed")
            }
            Self::TooLong { fitted, most } => {
                write!(f, "the chain is too long: {fitted:.1} found, {most:.1} at most stay taut")
            }
            Self::NotConverged { steps } => write!(f, "no cage angle found in {steps} steps"),
            Self::Sprockets { rings, cogs } => write!(
                f,
                "{rings} rings and {cogs} cogs found, 1 to {MOST_RINGS} and 1 to {MOST_COGS} wanted"
            ),
        }
    }
}

impl std::error::Error for CageError {}

impl From<ChainError> for CageError {
    fn from(error: ChainError) -> Self {
        match error {
            ChainError::SprocketsOverlap { chainstay, least } => {
                Self::CirclesOverlap { between: Between::CogAndRing, apart: chainstay, least }
            }
            ChainError::TooShort { pitches, least } => Self::TooShort { fitted: pitches, least },
            ChainError::NotFinite { found } => Self::NotFinite { found },
        }
    }
}
