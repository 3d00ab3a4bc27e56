//! How much handlebar tape a side takes. Begin with [`length_used`].
//!
//! Letters: S the length of bar wrapped, D the diameter of the bar with the tape on (from the middle of the
//! tape on one side to the other), w the width of the tape, o the overlap as a share of the width.

use quantity::Length;
use std::f64::consts::PI;

/// Tape for one side of a bar, by turns along the bar.
///
/// `S/a · √((π D)² + a²)`, `a = w (1 − o)`: as many turns as advances a along the bar.
///
/// Rises with the side, the diameter and the overlap, falls with the width. It takes the advance along the
/// bar for the cover across the tape and so lies above [`length_by_area`] by half of `(a/πD)²`: 3 % on
/// a bar of 27 mm, on the safe side. An overlap of 1 or a width of 0 gives infinity.
///
/// # Source
/// Geometry; practice takes this form because a roll that is short is the costly mistake.
///
/// # Example
/// ```
/// use mechanics::tape::length_used;
/// use quantity::Length;
/// let used = length_used(Length::mm(480.0), Length::mm(27.0), Length::mm(30.0), 0.25);
/// assert_eq!(format!("{used:.0}"), "1872 mm");
/// ```
pub fn length_used(side: Length, wrapped_diameter: Length, width: Length, overlap: f64) -> Length {
    let around_mm = PI * wrapped_diameter.to_mm();
    let advance_mm = new_cover_mm(width, overlap);
    side * (around_mm.hypot(advance_mm) / advance_mm)
}

/// Tape for one side of a bar, by area: the exact length of an even wrap.
///
/// `π D S / (w (1 − o))`: the surface covered over the new width laid. The slope of the turns does not enter.
///
/// Rises with the side, the diameter and the overlap, falls with the width. An overlap of 1 gives infinity.
///
/// # Source
/// Area law. Checked against a helix worked out turn by turn: `tests/published.rs::tape_by_area`.
pub fn length_by_area(side: Length, wrapped_diameter: Length, width: Length, overlap: f64) -> Length {
    side * (PI * wrapped_diameter.to_mm() / new_cover_mm(width, overlap))
}

/// Turns of an even wrap.
///
/// `S/h`, with h the advance along the bar in one turn: `h = πD tan α`, `sin α = w (1 − o)/(πD)`.
///
/// Rises with the side and the overlap, falls with the width; rises with the diameter toward `S/(w (1 − o))`.
/// 0 when the tape is as wide as the bar is around: then one strip along the bar covers it.
pub fn turns(side: Length, wrapped_diameter: Length, width: Length, overlap: f64) -> f64 {
    let around_mm = PI * wrapped_diameter.to_mm();
    let sine = new_cover_mm(width, overlap) / around_mm;
    // S / (πD tan α) with tan α = sin α / √(1 − sin² α); below 0 under the root the tape is wider than round.
    side.to_mm() / around_mm * (1.0 - sine * sine).max(0.0).sqrt() / sine
}

/// Width of new cover that one turn lays, square to the tape.
fn new_cover_mm(width: Length, overlap: f64) -> f64 {
    width.to_mm() * (1.0 - overlap)
}
