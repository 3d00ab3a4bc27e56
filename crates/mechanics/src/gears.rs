//! What a gear does on the road: development, steps, speed, cadence. Begin with [`development_m`].

use quantity::{Length, Teeth};
use std::f64::consts::PI;

/// Standard gravity, m/s², exact by definition (3rd General Conference on Weights and Measures, 1901).
const GRAVITY_M_S2: f64 = 9.80665;

/// Turns of the wheel for one turn of the crank.
///
/// `i = F / R`, with F the teeth of the ring and R those of the cog.
///
/// Rises with the ring, falls with the cog; 1 when they are equal. Exact for every tooth count.
///
/// # Source
/// Definition. Checked on printed pairs: `tests/published.rs::one_ratio_from_two_pairs`.
pub fn ratio(ring: Teeth, cog: Teeth) -> f64 {
    ring.to_f64() / cog.to_f64()
}

/// Metres travelled for one turn of the crank.
///
/// `d = F/R · u`, with u the rollout: how far the wheel goes in one turn, rider on it.
///
/// Rises with the ring and the rollout, falls with the cog. Proportional to the rollout.
///
/// # Source
/// Definition. Checked on a printed chart: `tests/published.rs::gear_inches_beside_development`.
///
/// # Example
/// ```
/// use mechanics::gears::development_m;
/// use quantity::{Length, Teeth};
/// let lowest = development_m(Teeth::new(34)?, Teeth::new(30)?, Length::mm(2111.0));
/// assert_eq!(format!("{lowest:.2}"), "2.39");
/// # Ok::<(), quantity::OutOfRange>(())
/// ```
pub fn development_m(ring: Teeth, cog: Teeth, rollout: Length) -> f64 {
    ratio(ring, cog) * rollout.to_mm() / 1000.0
}

/// Diameter, in inches, of the wheel that would go as far if it were turned by the crank directly.
///
/// `g = F/R · D`, with D the diameter of the wheel over the tyre.
///
/// Rises with the ring and the diameter, falls with the cog. `g · π · 0.0254` is the development in metres
/// when both use one diameter.
///
/// # Source
/// Definition. Checked on printed tables: `tests/published.rs::gear_inch_table_27`.
pub fn gear_inches(ring: Teeth, cog: Teeth, wheel_diameter: Length) -> f64 {
    ratio(ring, cog) * wheel_diameter.to_inches()
}

/// Distance travelled by the bike for one unit of distance travelled by the pedal.
///
/// `G = r / L · F/R`, with r the radius of the wheel and L the length of the crank. It has no unit.
///
/// Rises with the wheel and the ring, falls with the crank and the cog. A crank of length 0 gives infinity.
///
/// # Source
/// Definition, from an article on gain ratios. Checked: `tests/published.rs::gain_ratio_of_680_mm_and_170_mm`.
pub fn gain_ratio(ring: Teeth, cog: Teeth, wheel_radius: Length, crank: Length) -> f64 {
    wheel_radius.to_mm() / crank.to_mm() * ratio(ring, cog)
}

/// Speed on the road in km/h.
///
/// `v = 0.06 · d · n`, with d the development in metres and n the cadence in turns a minute.
///
/// Proportional to both.
///
/// # Source
/// Units: 60 min/h over 1000 m/km. Checked: `tests/published.rs::two_metres_at_three_cadences`.
pub fn speed_km_h(development_m: f64, cadence_rpm: f64) -> f64 {
    0.06 * development_m * cadence_rpm
}

/// Cadence in turns a minute at a speed on the road.
///
/// `n = v / (0.06 · d)`, with v in km/h and d the development in metres.
///
/// Rises with the speed, falls with the development; [`speed_km_h`] undoes it. A development of 0 gives infinity.
///
/// # Example
/// ```
/// use mechanics::gears::cadence_rpm;
/// // 38 x 11 on a rollout of 2268 mm at 25 km/h.
/// assert_eq!(format!("{:.0}", cadence_rpm(25.0, 7.8349)), "53");
/// ```
pub fn cadence_rpm(speed_km_h: f64, development_m: f64) -> f64 {
    speed_km_h / (0.06 * development_m)
}

/// Size of the step from one gear to another, in percent of the first; positive when the second is harder.
///
/// `100 · (d₂/d₁ − 1)`
///
/// Rises with `to_development`, falls with `from_development`; 0 when they are equal. A development of 0 to
/// start from gives infinity.
pub fn step_percent(from_development: f64, to_development: f64) -> f64 {
    (to_development / from_development - 1.0) * 100.0
}

/// How much easier a new gear is than the old one, in percent; negative when it is harder.
///
/// `100 · (1 − d_new/d_old)`
///
/// Rises with `old_development`, falls with `new_development`; 0 when they are equal, 100 at most.
///
/// # Example
/// ```
/// use mechanics::gears::easier_percent;
/// // 30 x 27 to 34 x 32 on a rollout of 2130 mm.
/// assert_eq!(format!("{:.1}", easier_percent(2.3667, 2.2631)), "4.4");
/// ```
pub fn easier_percent(old_development: f64, new_development: f64) -> f64 {
    (1.0 - new_development / old_development) * 100.0
}

/// Distance the wheel travels in one turn, from the size printed on the tyre.
///
/// `u = π (B + 2w)`, with B the bead seat diameter and w the width of the tyre.
///
/// Rises with both. Within 1.5 % of measured rollouts: the tyre sags under the rider and is seldom as wide
/// as it says. A measured rollout is better and takes two minutes.
///
/// # Source
/// Size marking of ISO 5775-1 (width and bead seat diameter), section height taken equal to the width.
/// Checked against the printed chart of rolling circumferences: `tests/published.rs::rolling_circumference_chart`.
pub fn rollout(bead_seat: Length, tyre_width: Length) -> Length {
    (bead_seat + tyre_width * 2.0) * PI
}

/// Cadence a rider keeps on a steep hill, in turns a minute.
///
/// `n = 60 · P / (m g s) / d`: at low speed nearly all power P lifts the mass m (rider, bike, luggage)
/// against the grade s, so the speed is `P / (m g s)`.
///
/// Rises with power, falls with mass, grade and development. It leaves out rolling and air drag and the loss
/// in the chain, so it is an upper bound: about a tenth high at 8 % and 10 km/h, worse on gentler grades.
/// `grade` is a fraction (0.08 for 8 %). A grade, mass or development of 0 gives infinity: the law does not
/// hold on the flat.
///
/// # Source
/// Work against gravity; no outside figure is used but standard gravity.
pub fn cadence_on_hill_rpm(power_w: f64, mass_kg: f64, grade: f64, development_m: f64) -> f64 {
    let speed_m_s = power_w / (mass_kg * GRAVITY_M_S2 * grade);
    speed_m_s / development_m * 60.0
}
