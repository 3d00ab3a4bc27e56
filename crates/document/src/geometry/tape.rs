//! The bar tape as JSON.

use super::SpanDocument;
use crate::plan::round;
use fit::geometry::tape::{LAY, TapeLay};
use schemars::JsonSchema;
use serde::Serialize;

/// How the tape is laid, the same on both sides.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TapeDocument {
    /// Length of bar wrapped on a side.
    pub side: SpanDocument,
    /// One row for each overlap.
    pub laps: Vec<LapDocument>,
    /// Length of one roll.
    pub roll: Option<SpanDocument>,
    /// Which way it runs and how both sides end alike.
    pub lay: [&'static str; 3],
}

/// A side of the bar at one overlap.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LapDocument {
    /// Share of the width.
    pub overlap: f64,
    /// Turns of a side.
    pub turns: f64,
    /// Tape for the left side and for the right side, by area.
    pub least: SpanDocument,
    /// Tape for the left side and for the right side as practice counts it.
    pub counted: SpanDocument,
    /// Whether one roll does for a side; null without a roll.
    pub one_roll: Option<&'static str>,
}

impl TapeDocument {
    /// The document of the tape.
    pub fn of(tape: &TapeLay) -> Self {
        let lap = |lap: &fit::geometry::tape::Lap| LapDocument {
            overlap: round(lap.overlap),
            turns: round(lap.turns.middle()),
            least: SpanDocument::of(lap.least_mm),
            counted: SpanDocument::of(lap.counted_mm),
            one_roll: lap.roll_does.map(|does| does.words()),
        };
        Self {
            side: SpanDocument::of(tape.side_mm),
            laps: tape.laps.iter().map(lap).collect(),
            roll: tape.roll_mm.map(SpanDocument::of),
            lay: LAY,
        }
    }
}
