//! Pitch, cog and spacer of cassettes by number of cogs, disagreeing readings side by side.

use super::{Confidence, MEMORY, Source};
use quantity::Length;

/// One reading of a cassette.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Number of cogs.
    pub speeds: u32,
    /// Which of several families with that number; empty for the common one.
    pub family: &'static str,
    /// Middle of a cog to the middle of the next.
    pub pitch: Length,
    /// Thickness of a cog.
    pub cog: Option<Length>,
    /// Thickness of a spacer between cogs.
    pub spacer: Option<Length>,
    /// Width of the whole stack as printed, least and most.
    pub printed_stack: Option<(Length, Length)>,
    /// Where the row comes from.
    pub source: Source,
}

impl Row {
    /// Width from the outer face of the smallest cog to the back of the largest.
    ///
    /// `W = (k − 1) p + t`, with `k` cogs, `p` the pitch and `t` the cog. Grows with each.
    ///
    /// # Source
    /// Geometry; compared with the printed widths in `tests/standards.rs`.
    pub fn stack(&self) -> Option<Length> {
        let gaps = f64::from(self.speeds.checked_sub(1)?);
        Some(self.pitch * gaps + self.cog?)
    }
}

const fn some(mm: f64) -> Option<Length> {
    Some(Length::mm(mm))
}

const fn row(
    speeds: u32,
    family: &'static str,
    pitch_mm: f64,
    cog: Option<Length>,
    spacer: Option<Length>,
    source: (&'static str, Confidence),
) -> Row {
    let source = Source::new(source.0, source.1);
    Row { speeds, family, pitch: Length::mm(pitch_mm), cog, spacer, printed_stack: None, source }
}

impl Row {
    const fn printed(mut self, least_mm: f64, most_mm: f64) -> Self {
        self.printed_stack = Some((Length::mm(least_mm), Length::mm(most_mm)));
        self
    }
}

const REPRINTED: (&str, Confidence) = ("workshop crib sheet, reprinted", Confidence::B);
const REPORTED: (&str, Confidence) = ("newsgroup report", Confidence::B);
const FORUM: (&str, Confidence) = ("measured by an amateur, forum", Confidence::B);
const REMEMBERED: (&str, Confidence) = (MEMORY, Confidence::D);

/// Readings by number of cogs.
pub const TABLE: &[Row] = &[
    row(6, "screw-on", 5.5, some(2.0), some(3.5), REPRINTED).printed(29.5, 29.5),
    row(7, "", 5.0, some(1.85), some(3.15), REPRINTED).printed(32.0, 33.0),
    row(7, "", 5.1, some(1.9), some(3.2), REPORTED),
    row(8, "", 4.8, some(1.8), some(3.0), REPRINTED).printed(35.4, 35.4),
    row(8, "uneven pull", 5.0, some(1.9), some(3.1), REMEMBERED),
    row(9, "", 4.34, some(1.78), some(2.56), REPRINTED).printed(36.5, 36.5),
    row(9, "", 4.35, some(1.8), some(2.54), REPRINTED).printed(36.5, 36.5),
    row(9, "uneven pull", 4.55, some(1.75), some(2.8), REMEMBERED),
    row(10, "", 3.95, some(1.6), some(2.35), REPRINTED).printed(37.15, 37.2),
    row(10, "uneven pull", 4.15, some(1.7), some(2.4), REMEMBERED),
    row(10, "uneven pull", 4.12, None, None, REMEMBERED),
    row(11, "road", 3.78, some(1.6), some(2.18), FORUM),
    row(11, "road", 3.74, some(1.6), None, REMEMBERED),
    row(11, "road", 3.69, some(1.6), some(2.1), REMEMBERED),
    row(11, "wide", 3.9, some(1.6), None, REMEMBERED),
    row(11, "uneven pull", 3.85, some(1.6), some(2.2), REMEMBERED),
    row(12, "", 3.65, some(1.6), None, REMEMBERED),
    row(12, "", 3.5, some(1.5), None, REMEMBERED),
    row(13, "", 3.3, None, None, REMEMBERED),
];

/// Every reading for a number of cogs.
pub fn readings(speeds: u32) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |row| row.speeds == speeds)
}
