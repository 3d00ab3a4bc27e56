//! Turns and length of the bar tape, at both usual overlaps.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::After;
use catalog::{Dimension, Slot};
use mechanics::tape::{length_by_area, length_used, turns};
use quantity::{Length, Span, Stand};

/// Overlaps of the trade, as shares of the width: a quarter to a third, common practice.
const OVERLAPS: [(f64, &str); 2] = [(0.25, "a quarter"), (1.0 / 3.0, "a third")];

/// How the tape is laid, the same on both sides.
#[derive(Clone, Debug, PartialEq)]
pub struct TapeLay {
    /// Length of bar that is wrapped on a side, millimetres.
    pub side_mm: Span,
    /// One row for each overlap.
    pub laps: Vec<Lap>,
    /// Length of one roll, millimetres.
    pub roll_mm: Option<Span>,
}

/// A side of the bar at one overlap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lap {
    /// The overlap, as a share of the width.
    pub overlap: f64,
    /// The overlap in words.
    pub words: &'static str,
    /// Turns of a side.
    pub turns: Span,
    /// Tape for a side: the area covered by the new width laid, the least that an even wrap takes, millimetres.
    pub least_mm: Span,
    /// Tape for a side as practice counts it, a few percent more, millimetres.
    pub counted_mm: Span,
    /// Whether one roll does for a side, by the longer of both; none without a roll.
    pub roll_does: Option<RollDoes>,
}

/// Whether one roll does for a side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RollDoes {
    /// With the whole tolerance.
    Yes,
    /// With no part of the tolerance.
    No,
    /// The readings are too coarse to tell.
    NotTold,
}

impl RollDoes {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Yes => "one roll does",
            Self::No => "one roll is short",
            Self::NotTold => "cannot be told: measure the side and the wrapped bar again",
        }
    }
}

/// How the hands and the sides are kept alike: common practice, from a shop guide.
pub const LAY: [&str; 3] = [
    "from the bar end upward, 19 mm hanging over for the plug; seen from the saddle on the tops the right side runs \
     counter-clockwise and the left clockwise, each the mirror of the other",
    "mark the end of the tape on both sides at the same distance from the middle of the stem, and end both at the same \
     number of turns, the cut edge under the bar",
    "behind each lever a piece of 150 mm, cut from the roll first; 200 to 250 mm of finishing tape a side",
];

/// The tape of the bike after the refit.
pub fn tape(build: &Build) -> Section<TapeLay> {
    Section::work_out(build, &[Slot::Tape, Slot::Bar], work)
}

fn work(ask: &mut Ask<'_>) -> Result<TapeLay, Unworked> {
    let side = ask.number(After, Dimension::TapeSide);
    let width = ask.number(After, Dimension::TapeWidth);
    let wrapped = ask.number(After, Dimension::TapeWrapped);
    let (Some(side), Some(width), Some(wrapped)) = (side, width, wrapped) else {
        return Err(Unworked::Wanting);
    };
    if width.least() <= 0.0 || wrapped.least() <= 0.0 || side.least() < 0.0 {
        return Err(Unworked::Impossible("the readings of bar and tape reach down to nothing".to_owned()));
    }
    let roll_mm = ask.number(After, Dimension::TapeRoll);
    let laps = OVERLAPS.map(|(overlap, words)| {
        // Monotone in each, so the corners give the interval.
        let over = |law: fn(Length, Length, Length, f64) -> f64| {
            Span::hull(&[side, wrapped, width], |at| match at {
                [side, wrapped, width] => {
                    law(Length::mm(*side), Length::mm(*wrapped), Length::mm(*width), overlap)
                }
                _ => f64::NAN,
            })
        };
        let counted_mm =
            over(|side, around, width, overlap| length_used(side, around, width, overlap).to_mm());
        Lap {
            overlap,
            words,
            turns: over(turns),
            least_mm: over(|side, around, width, overlap| {
                length_by_area(side, around, width, overlap).to_mm()
            }),
            counted_mm,
            roll_does: roll_mm.map(|roll| match (roll - counted_mm).against(0.0) {
                Stand::AtOrAbove => RollDoes::Yes,
                Stand::Below => RollDoes::No,
                Stand::Across => RollDoes::NotTold,
            }),
        }
    });
    Ok(TapeLay { side_mm: side, laps: laps.to_vec(), roll_mm })
}
