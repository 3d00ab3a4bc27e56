//! What it asks of a frame to take a wider hub. Begin with [`side_move`].
//!
//! Steel alone is spread on purpose; aluminium and carbon never are. Whether a frame may be is judged above.

use quantity::{Angle, Length};

/// How far each dropout moves outward for another hub; negative is inward.
///
/// `(W_new − W_old) / 2`, with W the widths over the locknuts, W_old as read between the dropouts.
///
/// Rises with the new width, falls with the old one. It takes both sides to give alike; a frame that gives on
/// one side only needs aligning.
///
/// # Source
/// Symmetry; figures worked by hand: `tests/cases.rs::spreading_a_steel_frame`.
pub fn side_move(old_width: Length, new_width: Length) -> Length {
    (new_width - old_width) * 0.5
}

/// Angle by which each dropout, and the hanger with it, leans out of square after the move.
///
/// `atan(Δ / C)`, with Δ the [`side_move`] and C the chainstay, as if the stay turned stiffly about the bottom
/// bracket. A stay that bends in an arc leans up to half as much again, so this is the least to expect.
///
/// Rises with the move; for a move outward falls with the chainstay; odd in the move; 0 for none. A chainstay of 0
/// gives 90° with the sign of the move.
///
/// # Source
/// Geometry, as above. Half as much again: the end slope of a clamped beam under a load at its tip, `3Δ/2C` (beam
/// tables, from memory).
///
/// # Example
/// ```
/// use mechanics::spreading::{dropout_tilt, side_move};
/// use quantity::Length;
/// let out = side_move(Length::mm(126.0), Length::mm(130.0));
/// assert_eq!(out.to_string(), "2.00 mm");
/// assert_eq!(dropout_tilt(out, Length::mm(420.0)).to_string(), "0.27°");
/// ```
pub fn dropout_tilt(side_move: Length, chainstay: Length) -> Angle {
    Angle::rad(side_move.to_mm().atan2(chainstay.to_mm()))
}
