//! Width of chains over the pins and between the inner plates, by number of cogs.

use super::{Confidence, Source};
use quantity::Length;

/// Widths of chains made for a number of cogs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Number of cogs.
    pub speeds: u32,
    /// Narrowest width over the pins.
    pub least: Length,
    /// Widest width over the pins.
    pub most: Length,
    /// Where the row comes from.
    pub source: Source,
}

const fn row(speeds: u32, least_mm: f64, most_mm: f64, words: &'static str) -> Row {
    Row {
        speeds,
        least: Length::mm(least_mm),
        most: Length::mm(most_mm),
        source: Source::new(words, Confidence::B),
    }
}

const REPRINTED: &str = "table of chain dimensions, reprinted";
const ANOTHER: &str = "another trade page";

/// Widths over the pins. Two rows of one number are two readings.
pub const TABLE: &[Row] = &[
    row(6, 7.8, 7.8, REPRINTED),
    row(7, 7.3, 7.3, REPRINTED),
    row(8, 7.0, 7.3, REPRINTED),
    row(8, 7.1, 7.1, ANOTHER),
    row(9, 6.5, 6.7, REPRINTED),
    row(9, 6.8, 6.8, ANOTHER),
    row(10, 5.84, 6.1, REPRINTED),
    row(10, 6.2, 6.2, "early chains of the uneven-pull family, reprinted table"),
    row(11, 5.46, 5.74, REPRINTED),
    row(12, 5.15, 5.25, REPRINTED),
    row(13, 4.9, 4.9, REPRINTED),
];

/// Distance between the inner plates of chains for 5 to 8 cogs: 3/32 in. Reprinted table, confidence B.
pub const INNER_5_TO_8: Length = Length::inches(3.0 / 32.0);
/// Distance between the inner plates of chains for 9 to 12 cogs: 11/128 in. Reprinted table, confidence B.
pub const INNER_9_TO_12: Length = Length::inches(11.0 / 128.0);

/// Every reading for a number of cogs.
pub fn readings(speeds: u32) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |row| row.speeds == speeds)
}
