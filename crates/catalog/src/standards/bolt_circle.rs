//! Bolt circles of chainrings: holes, diameter, distance between neighbours, smallest ring.

use super::{CRIB_SHEET, CRIB_SHEETS, Confidence, MEMORY, Source};
use quantity::Length;

/// A pattern of ring bolts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Number of holes.
    pub holes: u32,
    /// Diameter of the circle through the holes.
    pub circle: Length,
    /// Fewest teeth of a ring on it, where a source gives it.
    pub smallest_ring: Option<u32>,
    /// Distance between neighbouring holes as printed, misprints and all.
    pub printed_neighbour: Option<Length>,
    /// Where the row comes from.
    pub source: Source,
}

impl Row {
    /// Distance between the centres of neighbouring holes, holes evenly spaced.
    ///
    /// `s = D sin(π / n)`, with `D` the circle and `n` the holes. Grows with the circle, falls with the holes.
    ///
    /// # Source
    /// Chord of a circle; compared with the printed distances in `tests/standards.rs`.
    pub fn neighbour(&self) -> Length {
        self.circle * (std::f64::consts::PI / f64::from(self.holes)).sin()
    }
}

const fn row(
    holes: u32,
    circle_mm: f64,
    smallest_ring: Option<u32>,
    printed_mm: Option<f64>,
    source: (&'static str, Confidence),
) -> Row {
    let printed_neighbour = match printed_mm {
        Some(mm) => Some(Length::mm(mm)),
        None => None,
    };
    let source = Source::new(source.0, source.1);
    Row { holes, circle: Length::mm(circle_mm), smallest_ring, printed_neighbour, source }
}

const ONE: (&str, Confidence) = (CRIB_SHEET, Confidence::A);
const AGREEING: (&str, Confidence) = (CRIB_SHEETS, Confidence::A);
const LIST: (&str, Confidence) = ("list of bolt circles, distance computed", Confidence::B);
const REMEMBERED: (&str, Confidence) = (MEMORY, Confidence::D);

/// Patterns with evenly spaced arms, five holes first. A pattern with uneven arms needs a template.
pub const TABLE: &[Row] = &[
    row(5, 151.0, Some(44), Some(88.8), ONE),
    row(5, 144.0, Some(41), Some(84.6), AGREEING),
    // Printed 79.5; the chord is 79.35.
    row(5, 135.0, Some(39), Some(79.5), ONE),
    row(5, 130.0, Some(38), Some(76.4), AGREEING),
    row(5, 128.0, Some(38), Some(75.2), ONE),
    row(5, 122.0, Some(38), Some(71.7), ONE),
    row(5, 118.0, Some(36), Some(69.4), ONE),
    row(5, 116.0, Some(35), Some(68.2), ONE),
    row(5, 110.0, Some(34), Some(64.7), AGREEING),
    row(5, 110.0, Some(33), None, ("one ring maker's print", Confidence::B)),
    // Printed 55.4; the chord is 55.25.
    row(5, 94.0, Some(29), Some(55.4), ONE),
    row(5, 92.0, None, Some(54.1), ONE),
    row(5, 86.0, Some(28), Some(50.5), ONE),
    row(5, 74.0, Some(24), Some(43.5), ONE),
    // Printed 34.3; the chord is 34.09.
    row(5, 58.0, Some(20), Some(34.3), ONE),
    row(5, 56.0, Some(20), Some(32.9), ONE),
    row(4, 112.0, Some(34), None, LIST),
    row(4, 104.0, Some(32), Some(73.6), AGREEING),
    row(4, 96.0, Some(28), None, LIST),
    row(4, 76.0, Some(28), None, REMEMBERED),
    row(4, 68.0, Some(22), Some(48.1), ONE),
    row(4, 64.0, Some(22), Some(45.3), ONE),
    row(3, 86.0, Some(28), Some(74.5), ONE),
];

/// The patterns whose hole distance is within `slack` of the measured one, as they stand in the table.
///
/// # Example
/// ```
/// use quantity::Length;
/// let found: Vec<_> = catalog::standards::bolt_circle::near(5, Length::mm(76.3), Length::mm(0.3)).collect();
/// assert_eq!(found.len(), 1);
/// assert_eq!(found[0].circle, Length::mm(130.0));
/// ```
pub fn near(holes: u32, distance: Length, slack: Length) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |row| row.holes == holes && (row.neighbour() - distance).abs() <= slack)
}
