//! Small parts of the cabling, counted once: the cut list and the list of parts both take them from here.

use crate::build::{Build, When};
use crate::pairs;
use crate::rules::brake_line::is_known_hydraulic;
use catalog::{Dimension, Slot};
use mechanics::cable::ferrules;
use quantity::{Reading, Span};

/// Housing pieces of a bike with outside cables, used and said to be assumed where nobody counted.
const USUAL_SHIFT_PIECES: u32 = 3;
const USUAL_BRAKE_PIECES: u32 = 3;
/// Housing for one bike, metres, where no string was laid.
const USUAL_HOUSING_M: u32 = 2;
/// Two hoses with two ends each.
const HOSE_ENDS: u32 = 4;

/// How many, and whether that rests on a route that nobody counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// How many.
    pub number: u32,
    /// Whether it was assumed.
    pub assumed: bool,
}

/// Small parts for all runs of the bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SmallParts {
    /// Ferrules of the shift housing: two a piece.
    pub shift_ferrules: Count,
    /// Ferrules of the brake housing: two a piece, less the built-in stops; none with hoses or with brakes that stay.
    pub brake_ferrules: Option<Count>,
    /// Ends of hoses, each with an insert and an olive of the maker's kind; none with cables.
    pub hose_ends: Option<u32>,
    /// Shift inners.
    pub shift_inners: u32,
    /// Brake inners; 0 with hoses.
    pub brake_inners: u32,
    /// Tips: one for each inner.
    pub tips: u32,
    /// Metres of shift housing, whole ones.
    pub shift_housing_m: Count,
    /// Metres of brake housing, whole ones; none with hoses.
    pub brake_housing_m: Option<Count>,
}

impl SmallParts {
    /// Counts them.
    pub fn of(build: &Build) -> Self {
        let hoses = is_known_hydraulic(build);
        let changed = [Slot::Levers, Slot::Calipers, Slot::Cables].iter().any(|slot| build.changes(*slot));
        let cabled = changed && !hoses;
        let count = |dimension| pairs::whole(build, When::After, dimension);
        let counted = |dimension, usual, stops| {
            let pieces = count(dimension);
            Count { number: ferrules(pieces.unwrap_or(usual), stops), assumed: pieces.is_none() }
        };
        let stops = count(Dimension::BuiltInStops).unwrap_or(0);
        let single = pairs::teeth(build, When::After, Dimension::Rings).len() == 1;
        let shift_inners = if single { 1 } else { 2 };
        let brake_inners = if cabled { 2 } else { 0 };
        let fold = string(build, Dimension::FoldExtra).unwrap_or(0.0);
        let front_shift = if single { Some(0.0) } else { string(build, Dimension::FrontShiftHousing) };
        let rear_shift = string(build, Dimension::RearShiftHousing);
        let front_brake = string(build, Dimension::FrontBrakeRun);
        let rear_brake = string(build, Dimension::RearBrakeHousing);
        Self {
            shift_ferrules: counted(Dimension::ShiftPieces, USUAL_SHIFT_PIECES, 0),
            brake_ferrules: cabled.then(|| counted(Dimension::BrakePieces, USUAL_BRAKE_PIECES, stops)),
            hose_ends: (changed && hoses).then_some(HOSE_ENDS),
            shift_inners,
            brake_inners,
            tips: shift_inners + brake_inners,
            shift_housing_m: metres(front_shift.zip(rear_shift).map(|(front, rear)| front + rear + fold)),
            brake_housing_m: cabled
                .then(|| metres(front_brake.zip(rear_brake).map(|(front, rear)| front + rear + fold))),
        }
    }
}

/// The most that a string along the path can be, millimetres.
fn string(build: &Build, dimension: Dimension) -> Option<f64> {
    match build.reading(build.slot_of(dimension, When::Before), When::Before, dimension) {
        Reading::Taken(value) => value.span().map(Span::most),
        _ => None,
    }
}

/// Whole metres for a length in millimetres, with a tenth for squared ends and a piece cut wrong.
fn metres(length_mm: Option<f64>) -> Count {
    match length_mm {
        Some(length_mm) => {
            let metres = (length_mm * 1.1 / 1000.0).ceil().clamp(1.0, 60.0);
            // A whole number from 1 to 60.
            Count { number: metres as u32, assumed: false }
        }
        None => Count { number: USUAL_HOUSING_M, assumed: true },
    }
}
