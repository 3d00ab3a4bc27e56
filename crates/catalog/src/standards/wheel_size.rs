//! Bead seat diameters of ISO 5775 and the printed chart of rolling circumferences.

use super::{CRIB_SHEET, Confidence, MEMORY, Source};
use quantity::Length;

/// A rim size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// What the size is called in the trade.
    pub name: &'static str,
    /// Diameter on which the bead of the tyre sits.
    pub bead_seat: Length,
    /// Where the row comes from.
    pub source: Source,
}

const fn rim(name: &'static str, bead_seat_mm: f64, words: &'static str, confidence: Confidence) -> Row {
    Row { name, bead_seat: Length::mm(bead_seat_mm), source: Source::new(words, confidence) }
}

const QUOTED: &str = "ISO 5775 sizes as quoted by secondary sources";

/// Rim sizes, largest first.
pub const TABLE: &[Row] = &[
    rim("36 in", 787.0, QUOTED, Confidence::B),
    rim("32 in", 686.0, QUOTED, Confidence::B),
    rim("28 x 1 1/2", 635.0, QUOTED, Confidence::B),
    rim("27 in", 630.0, QUOTED, Confidence::B),
    rim("700C, 29 in", 622.0, QUOTED, Confidence::B),
    rim("26 x 1 1/4", 597.0, MEMORY, Confidence::D),
    rim("650A, 26 x 1 3/8", 590.0, QUOTED, Confidence::B),
    rim("650B, 27.5 in", 584.0, QUOTED, Confidence::B),
    rim("650C", 571.0, QUOTED, Confidence::B),
    rim("26 in, off-road", 559.0, QUOTED, Confidence::B),
    rim("24 in", 507.0, MEMORY, Confidence::D),
    rim("20 in, narrow", 451.0, MEMORY, Confidence::D),
    rim("20 in", 406.0, MEMORY, Confidence::D),
    rim("16 in, narrow", 349.0, MEMORY, Confidence::D),
    rim("16 in", 305.0, MEMORY, Confidence::D),
];

/// How far a real tyre may roll from the chart, as a share. Measured tyres of 23 and 25 mm differ by that much.
pub const CHART_BAND: f64 = 0.015;

/// A line of the printed chart of rolling circumferences: chart values, not measurements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rolling {
    /// Nominal width of the tyre.
    pub width: Length,
    /// Bead seat diameter.
    pub bead_seat: Length,
    /// Way rolled in one turn.
    pub circumference: Length,
    /// Where the row comes from.
    pub source: Source,
}

const fn roll(width_mm: f64, bead_seat_mm: f64, circumference_mm: f64) -> Rolling {
    Rolling {
        width: Length::mm(width_mm),
        bead_seat: Length::mm(bead_seat_mm),
        circumference: Length::mm(circumference_mm),
        source: Source::new(
            "printed chart for cycle computers, in several independent reprints",
            Confidence::B,
        ),
    }
}

/// The chart. Two rows of one size are two readings.
pub const CHART: &[Rolling] = &[
    roll(18.0, 622.0, 2070.0),
    roll(19.0, 622.0, 2080.0),
    roll(20.0, 622.0, 2086.0),
    roll(23.0, 622.0, 2096.0),
    roll(25.0, 622.0, 2105.0),
    Rolling {
        width: Length::mm(25.0),
        bead_seat: Length::mm(622.0),
        circumference: Length::mm(2124.0),
        source: Source::new("another handbook, as quoted", Confidence::B),
    },
    roll(28.0, 622.0, 2136.0),
    roll(30.0, 622.0, 2146.0),
    roll(32.0, 622.0, 2155.0),
    roll(35.0, 622.0, 2168.0),
    roll(38.0, 622.0, 2180.0),
    roll(40.0, 622.0, 2200.0),
    roll(45.0, 622.0, 2242.0),
    roll(47.0, 622.0, 2268.0),
    roll(25.4, 571.0, 1952.0),
    roll(25.4, 559.0, 1913.0),
    roll(31.75, 559.0, 1953.0),
    roll(35.56, 559.0, 2005.0),
    roll(34.925, 590.0, 2068.0),
    Rolling {
        width: Length::mm(38.0),
        bead_seat: Length::mm(584.0),
        circumference: Length::mm(2105.0),
        source: Source::new(CRIB_SHEET, Confidence::B),
    },
];

/// The rim size with this bead seat diameter, to half a millimetre.
///
/// # Example
/// ```
/// use quantity::Length;
/// assert_eq!(catalog::standards::wheel_size::named(Length::mm(630.0)).map(|row| row.name), Some("27 in"));
/// ```
pub fn named(bead_seat: Length) -> Option<&'static Row> {
    TABLE.iter().find(|row| (row.bead_seat - bead_seat).abs() < Length::mm(0.5))
}

/// Every chart reading for a tyre, to half a millimetre in both sizes.
pub fn rolled(width: Length, bead_seat: Length) -> impl Iterator<Item = &'static Rolling> {
    let near = |a: Length, b: Length| (a - b).abs() < Length::mm(0.5);
    CHART.iter().filter(move |row| near(row.width, width) && near(row.bead_seat, bead_seat))
}
