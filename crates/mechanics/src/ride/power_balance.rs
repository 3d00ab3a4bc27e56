//! Where the power goes: air, tyres, bearings, the hill and the change of speed. Begin with [`power_balance`].

use crate::gears::GRAVITY_M_S2;
use std::fmt;

/// Friction of both hubs at rest, newtons, and its rise with the speed, N/(m/s).
///
/// # Source
/// Martin and others 1998: `P = v (91 + 8.7 v) / 1000`, read in several works that quote it.
pub const BEARINGS: (f64, f64) = (0.091, 0.0087);

/// Rider, bike and air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Rider, bike and luggage, kg.
    pub mass_kg: f64,
    /// Shape factor times frontal area, m².
    pub drag_area_m2: f64,
    /// What the turning wheels add to it, m².
    pub wheel_drag_area_m2: f64,
    /// Rolling resistance as a share of the load on the road.
    pub rolling: f64,
    /// Share of the power at the cranks that reaches the wheel.
    pub efficiency: f64,
    /// Inertia of the wheels over the square of their radius, kg.
    pub wheel_inertia_kg: f64,
    /// Density of the air, kg/m³.
    pub air_density: f64,
    /// Wind of unknown direction, m/s: averaged over all directions, see [`Load::air_force`].
    pub wind_m_s: f64,
}

/// How the bike moves over the road.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Speed on the road, m/s.
    pub speed_m_s: f64,
    /// Rise over level distance.
    pub grade: f64,
    /// Wind from ahead, m/s; from behind is negative. It comes on top of [`Load::wind_m_s`].
    pub headwind_m_s: f64,
    /// Change of speed, m/s².
    pub acceleration: f64,
}

/// Power of each term, watts at the wheel; negative where the road gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terms {
    /// Against the air.
    pub air: f64,
    /// Against the tyres.
    pub rolling: f64,
    /// Against the bearings.
    pub bearings: f64,
    /// Against the hill.
    pub climbing: f64,
    /// Into the speed.
    pub kinetic: f64,
}

impl Terms {
    /// All terms together, at the wheel.
    pub fn total(&self) -> f64 {
        self.air + self.rolling + self.bearings + self.climbing + self.kinetic
    }
}

/// A figure of a load that no rider has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadError {
    /// What it is.
    pub what: &'static str,
    /// What was found.
    pub found: f64,
    /// The smallest accepted.
    pub least: f64,
    /// The largest accepted.
    pub most: f64,
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is {}; wanted {} to {}", self.what, self.found, self.least, self.most)
    }
}

impl std::error::Error for LoadError {}

impl Load {
    /// Refuses figures for which the laws here have no meaning.
    ///
    /// # Errors
    /// [`LoadError`] with the first figure that is out of its range.
    pub fn check(&self) -> Result<(), LoadError> {
        for (what, found, least, most) in [
            ("the mass in kg", self.mass_kg, 1.0, 1000.0),
            ("the drag area in m²", self.drag_area_m2, 0.0, 5.0),
            ("the drag area of the wheels in m²", self.wheel_drag_area_m2, 0.0, 0.5),
            ("the rolling resistance", self.rolling, 0.0, 0.5),
            ("the efficiency", self.efficiency, 0.1, 1.0),
            ("the inertia of the wheels in kg", self.wheel_inertia_kg, 0.0, 50.0),
            ("the density of the air in kg/m³", self.air_density, 0.0, 2.0),
            ("the wind in m/s", self.wind_m_s, 0.0, 40.0),
        ] {
            // NaN is in no range.
            if !(least..=most).contains(&found) {
                return Err(LoadError { what, found, least, most });
            }
        }
        Ok(())
    }

    /// `ρ/2 (CdA + Fw)`, kg/m.
    pub(crate) fn air_factor(&self) -> f64 {
        0.5 * self.air_density * (self.drag_area_m2 + self.wheel_drag_area_m2)
    }

    /// Force of the air along the road, newtons, at a speed of the road and a wind from ahead, both in m/s.
    ///
    /// `ρ/2 (CdA + Fw) (a|a| + w²/2)`, with a the speed through the air and w a wind of unknown direction.
    ///
    /// Rises with the speed, the headwind and the unknown wind. The average over all directions, E cos = 0 and
    /// E cos² = ½, is exact while the rider is faster than the wind; slower riders feel a little less of it.
    ///
    /// # Source
    /// Martin and others 1998; the average is worked out here: `tests/ride.rs::wind_from_everywhere`.
    pub fn air_force(&self, speed_m_s: f64, headwind_m_s: f64) -> f64 {
        let through_air = speed_m_s + headwind_m_s;
        self.air_factor() * (through_air * through_air.abs() + self.wind_m_s * self.wind_m_s / 2.0)
    }

    /// Force that holds a speed on a road, newtons at the wheel: air, tyres, bearings and hill.
    pub fn resistance_n(&self, state: State) -> f64 {
        let v = state.speed_m_s;
        let inertia = self.moved_mass_kg() * state.acceleration;
        let bearings = BEARINGS.0 + BEARINGS.1 * v;
        self.air_force(v, state.headwind_m_s) + self.ground_force(state.grade) + bearings + inertia
    }

    /// Force of tyres and hill along the road, newtons: `m g (Crr cos θ + sin θ)` with `θ = atan grade`.
    ///
    /// Rises with the grade while the grade is under `1/Crr`, which is steeper than any road.
    pub fn ground_force(&self, grade: f64) -> f64 {
        // cos atan g = 1/√(1+g²), and sin atan g is g times that.
        self.mass_kg * GRAVITY_M_S2 * (self.rolling + grade) / (1.0 + grade * grade).sqrt()
    }

    /// Mass that is sped up: that of the rider and bike, and that of the wheels once more for their turning, kg.
    pub fn moved_mass_kg(&self) -> f64 {
        self.mass_kg + self.wheel_inertia_kg
    }
}

/// The power that each term takes, at the wheel.
///
/// `P Ec = v [ρ/2 (CdA + Fw) a|a| + m g (Crr cos θ + sin θ) + 0.091 + 0.0087 v] + (m + I/r²) v v̇`
///
/// with v the speed on the road, a that through the air along the road, θ the slope, v̇ the change of speed.
/// Standing still takes nothing; without wind, twice the speed takes eight times the power of the air.
///
/// # Source
/// Martin, Milliken, Cobb, McFadden and Coggan, *Journal of Applied Biomechanics* 14(3), 1998, 276-291; measured powers
/// within a standard error of 2.7 W. The terms are read in works that quote it. Its worked example comes out at
/// 213.2 W; the printed 213.3 W is from memory: `tests/ride.rs::the_worked_example_of_the_paper`.
///
/// # Example
/// ```
/// use mechanics::ride::{State, parameters::usual_load, power_balance::{crank_power_w, power_balance}};
/// let state = State { speed_m_s: 3.0, grade: 0.08, headwind_m_s: 0.0, acceleration: 0.0 };
/// let terms = power_balance(&usual_load(85.0), state);
/// assert!(terms.climbing / terms.total() > 0.9);
/// assert_eq!(format!("{:.0} W", crank_power_w(&usual_load(85.0), state)), "225 W");
/// ```
pub fn power_balance(load: &Load, state: State) -> Terms {
    let v = state.speed_m_s;
    let cosine = 1.0 / (1.0 + state.grade * state.grade).sqrt();
    let weight = load.mass_kg * GRAVITY_M_S2;
    Terms {
        air: v * load.air_force(v, state.headwind_m_s),
        rolling: v * weight * load.rolling * cosine,
        bearings: v * (BEARINGS.0 + BEARINGS.1 * v),
        climbing: v * weight * state.grade * cosine,
        kinetic: load.moved_mass_kg() * v * state.acceleration,
    }
}

/// The power at the cranks, watts: all terms over the efficiency. Negative where the bike has to be held back.
pub fn crank_power_w(load: &Load, state: State) -> f64 {
    power_balance(load, state).total() / load.efficiency
}
