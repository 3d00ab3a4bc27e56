//! Why a cage and a chain make no map.

use super::{FrontCage, FrontRun};
use quantity::Length;
use std::fmt;

/// Why there is no such passage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FrontError {
    /// A number that is not finite, or a width, length or chainstay that is not above 0, or a yaw beyond 45°.
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// The sprockets reach each other: there is no run between them.
    NoRun {
        /// The chainstay.
        chainstay: Length,
        /// Difference of the radii.
        radii: Length,
    },
    /// The tail lies behind the place where the chain meets the cog.
    TailBehindCog {
        /// The tail behind the crank axis.
        tail: Length,
        /// Where the chain meets the cog.
        cog: Length,
    },
    /// The tail lies so far from the crank axis that no plate along the outer ring reaches it.
    TailBeyondRing {
        /// The tail behind the crank axis.
        tail: Length,
        /// Radius of the lower edge of the outer plate.
        edge: Length,
    },
}

impl fmt::Display for FrontError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange { what, found } => write!(f, "found {found} for {what}, which is out of range"),
            Self::NoRun { chainstay, radii } => write!(
                f,
                "found a chainstay of {chainstay:.0} and radii {radii:.0} apart, wanted a longer stay than that"
            ),
            Self::TailBehindCog { tail, cog } => {
                write!(
                    f,
                    "found a tail {tail:.0} behind the cranks, wanted less than the {cog:.0} to the cog"
                )
            }
            Self::TailBeyondRing { tail, edge } => {
                write!(
                    f,
                    "found a tail {tail:.0} behind the cranks, wanted less than the {edge:.0} of its plate"
                )
            }
        }
    }
}

impl std::error::Error for FrontError {}

/// Finite numbers, and widths above 0.
pub(super) fn check(cage: &FrontCage, run: &FrontRun) -> Result<(), FrontError> {
    let above_0 = [
        ("the width of the nose", cage.nose_width),
        ("the width of the tail", cage.tail_width),
        ("the length of the cage", cage.length),
        ("the width of the chain", run.chain_outer),
        ("the chainstay", run.chainstay),
    ];
    // Longer than any bike by far; beyond it sums of squares lose their digits.
    let sane = |mm: f64| mm.is_finite() && mm.abs() <= 1e5;
    for (what, length) in above_0 {
        let found = length.to_mm();
        if !sane(found) || found <= 0.0 {
            return Err(FrontError::OutOfRange { what, found });
        }
    }
    for (what, length) in [
        ("the tail behind the cranks", cage.tail_behind),
        ("the height over the ring", cage.height),
        ("the depth of the inner plate", cage.inner_depth),
        ("the depth of the bridge", cage.bridge_depth),
        ("the place of the ring", run.ring_at),
        ("the place of the cog", run.cog_at),
    ] {
        if !sane(length.to_mm()) {
            return Err(FrontError::OutOfRange { what, found: length.to_mm() });
        }
    }
    let yaw = cage.yaw.to_deg();
    if !yaw.is_finite() || yaw.abs() > 45.0 {
        return Err(FrontError::OutOfRange { what: "the yaw", found: yaw });
    }
    Ok(())
}
