//! What a cable loses in its housing and how far it stretches. Begin with [`tension_ratio`].

use quantity::{Angle, Force, Length};

/// Stiffness EA of a 1.2 mm strand: the force that would double its length. From memory.
pub const STRAND_STIFFNESS_N: f64 = 1.0e5;

/// Tension at the pulled end for one unit at the other end.
///
/// `e^(μ θ)`, with μ the friction of strand on liner and θ the sum of all bends. Radius and length of the
/// housing do not enter.
///
/// Rises with both; 1 without friction or bends; bends one after another multiply. A stiff strand in a sheath
/// is no perfect rope on a drum, so treat it as a comparison of routes.
///
/// # Source
/// Euler and Eytelwein's belt friction formula. Checked on printed values:
/// `tests/published.rs::belt_friction_table`.
///
/// # Example
/// ```
/// use mechanics::cable::tension_ratio;
/// use quantity::Angle;
/// assert_eq!(format!("{:.2}", tension_ratio(0.10, Angle::deg(540.0))), "2.57");
/// ```
pub fn tension_ratio(friction: f64, bends: Angle) -> f64 {
    (friction * bends.to_rad()).exp()
}

/// How far a strand stretches under a change of force.
///
/// `F l / EA`, with EA its stiffness as in [`STRAND_STIFFNESS_N`].
///
/// Proportional to force and length, falls with the stiffness; a stiffness of 0 gives infinity.
///
/// # Source
/// Law of elasticity. The stiffness is the weak part.
pub fn stretch(force: Force, length: Length, stiffness_n: f64) -> Length {
    Length::mm(force.to_newtons() * length.to_mm() / stiffness_n)
}

/// Ferrules for a route: two for each piece of housing, less the stops that need none.
///
/// Rises with the pieces, falls with the stops, never below 0.
pub fn ferrules(housing_pieces: u32, integral_stops: u32) -> u32 {
    housing_pieces.saturating_mul(2).saturating_sub(integral_stops)
}
