//! Reach of a rim brake, and the leverage of lever and caliper together. Begin with [`leverage`].
//!
//! These are figures to compare an old pair with a new one. They do not release a brake: the maker's word on
//! the pair and a test do.

use quantity::Length;

/// Reach of a rim brake after a change of rim: from its bolt to the middle of the braking track.
///
/// `reach + (B_old − B_new)/2`, with B the bead seat diameters.
///
/// Rises with the old reach and the old diameter, falls with the new one.
///
/// # Source
/// Geometry: the track follows the bead seat. From 630 to 622 mm the pads move 4 mm: `tests/cases.rs::pads_follow_the_rim`.
pub fn reach_after_rim_change(reach: Length, bead_seat_old: Length, bead_seat_new: Length) -> Length {
    reach + (bead_seat_old - bead_seat_new) * 0.5
}

/// Force gain of a brake from the finger to the pads together: finger travel for pad closing.
///
/// `k_l · k_c`, with k_l the millimetres of finger for one of cable and k_c the millimetres of cable for one of
/// pad closing. Friction is left out.
///
/// Proportional to both.
///
/// # Source
/// Work in is work out. Worked by hand: `tests/cases.rs::a_new_lever_on_an_old_caliper_is_weaker`.
pub fn leverage(lever: f64, caliper: f64) -> f64 {
    lever * caliper
}

/// Travel of the lever at the finger until the pads bite.
///
/// `(g · k_c + s) · k_l`, with g the total gap of the pads, s the cable taken up as housing and ferrules
/// seat, and k_l, k_c as in [`leverage`].
///
/// Rises with every argument.
pub fn free_lever_travel(pad_gap: Length, seating: Length, lever: f64, caliper: f64) -> Length {
    (pad_gap * caliper + seating) * lever
}
