//! Reach of a rim brake, the leverage of lever and caliper together, and what a brake gives at the tyre. Begin with [`leverage`].
//!
//! These are figures to compare an old pair with a new one. They do not release a brake: the maker's word on
//! the pair and a test do.

use crate::gears::GRAVITY_M_S2;
use quantity::{Force, Length, Mass};

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

/// Force of a brake at the tyre for one unit at the lever: two luggage scales, one on the lever, one along the tyre.
///
/// `b = F_tyre / F_lever`
///
/// Rises with the first, falls with the second; 1 when they are equal. A lever force of 0 gives no finite number.
/// Good to a tenth. It compares the brake before and after; it certifies nothing, and neither heat nor wet are in
/// it. Friction of the cable is.
///
/// With the roles turned it is the figure that a brake needs: the force wanted at the tyre for the force a hand can
/// give.
///
/// # Source
/// Definition; figures worked by hand: `tests/cases.rs::a_brake_for_ninety_kilograms`.
///
/// # Example
/// ```
/// use mechanics::brakes::{figure, tyre_force};
/// use quantity::{Force, Mass};
/// let wanted = tyre_force(Mass::grams(90_000.0), 0.5);
/// assert_eq!(format!("{wanted:.0}"), "441 N");
/// assert_eq!(format!("{:.2}", figure(wanted, Force::newtons(120.0))), "3.68");
/// ```
pub fn figure(at_tyre: Force, at_lever: Force) -> f64 {
    at_tyre.to_newtons() / at_lever.to_newtons()
}

/// Force that a tyre must give the road to slow a bike, when one wheel does all of it.
///
/// `m z g`, with m the mass of rider, bike and luggage and z the deceleration as a share of gravity.
///
/// Proportional to both. Half of gravity is a hard stop on a dry road; near two thirds the rear wheel of a usual bike
/// lifts (from memory).
///
/// # Source
/// Newton's second law, with standard gravity. Checked on the deceleration that a rule on stopping distances asks:
/// `tests/published.rs::stopping_in_fifteen_feet`.
pub fn tyre_force(mass: Mass, share_of_gravity: f64) -> Force {
    Force::newtons(mass.to_grams() / 1000.0 * share_of_gravity * GRAVITY_M_S2)
}

/// Mean deceleration over a stop, as a share of gravity.
///
/// `v² / (2 s g)`, with v the speed in km/h and s the way to the stop in metres.
///
/// Rises with the square of the speed, falls with the way. A way of 0 gives no finite number.
///
/// # Source
/// Uniform deceleration. Checked: `tests/published.rs::stopping_in_fifteen_feet`.
pub fn deceleration_of_stop(speed_km_h: f64, way_m: f64) -> f64 {
    let speed_m_s = speed_km_h / 3.6;
    speed_m_s * speed_m_s / (2.0 * way_m * GRAVITY_M_S2)
}
