//! Steady speeds at several efficiencies at once, on forces of the ground that rise little by little. Begin with
//! [`SpeedLanes::next`].

use super::power_balance::{BEARINGS, Load};
use super::steady_speed::{MOST_SPEED, balance_speed_m_s};

/// Efficiencies that are solved side by side: so many numbers fill four registers of two or two of four.
pub(crate) const LANES: usize = 8;

/// A step of Newton's that moves the speed by less than this share of it was the last one needed.
///
/// For `f(v) = A v³ + b v² + G v − P Ec`, all of A, b and P Ec above 0, a step that moves v by a share d leaves a share of at
/// most `v f″/(2 f′) · d²`. At the root `v f′ = P Ec + 2 A v³ + b v²` and `v² f″ = 6 A v³ + 2 b v²`, so the factor is under
/// 1.5, and what is left is under 1.5e-16: one rounding.
const LAST_STEP: f64 = 1e-8;

/// Steps before the safe search takes over; from a neighbour one or two are enough.
const MOST_STEPS: usize = 6;

/// Speeds at [`LANES`] efficiencies, from one force of the ground to the next.
pub(crate) struct SpeedLanes {
    load: Load,
    power_w: f64,
    efficiencies: [f64; LANES],
    at_wheel: [f64; LANES],
    /// `ρ/2 (CdA + Fw)`, and the forces that depend on neither speed nor ground.
    factor: f64,
    constant_n: f64,
    last: Option<Solved>,
}

/// What is known at the last force.
struct Solved {
    ground_n: f64,
    speeds: [f64; LANES],
    /// 1/f′ at these speeds, all but one step.
    inverse_slopes: [f64; LANES],
}

impl SpeedLanes {
    /// For a load, which is in range, and a power above 0.
    pub(crate) fn new(load: &Load, power_w: f64, efficiencies: [f64; LANES]) -> Self {
        let factor = load.air_factor();
        Self {
            load: *load,
            power_w,
            efficiencies,
            at_wheel: efficiencies.map(|efficiency| power_w * efficiency),
            factor,
            constant_n: BEARINGS.0 + factor * load.wind_m_s * load.wind_m_s / 2.0,
            last: None,
        }
    }

    /// The speeds at a force of tyres and hill, newtons. Quick where the force is near the one before, right anywhere.
    ///
    /// From the last speeds the tangent `dv/dG = −v/f′` leads so near that a step of Newton's or two end the search; all
    /// lanes take the same steps, without a branch, so they run side by side. Whatever does not end well is left to the
    /// safe search of [`balance_speed_m_s`].
    pub(crate) fn next(&mut self, ground_n: f64) -> [f64; LANES] {
        let solved = self.last.as_ref().and_then(|last| self.beside(last, ground_n));
        let solved = solved.unwrap_or_else(|| self.anew(ground_n));
        let speeds = solved.speeds;
        self.last = Some(solved);
        speeds
    }

    /// Newton's steps from the tangent at the last speeds; `None` where they do not end at once.
    fn beside(&self, last: &Solved, ground_n: f64) -> Option<Solved> {
        let rise = ground_n - last.ground_n;
        let linear = ground_n + self.constant_n;
        let (mut speeds, mut inverse_slopes) = (last.speeds, last.inverse_slopes);
        for lane in 0..LANES {
            speeds[lane] -= rise * speeds[lane] * inverse_slopes[lane];
        }
        for _ in 0..MOST_STEPS {
            let mut is_last = true;
            for lane in 0..LANES {
                let v = speeds[lane];
                let value = ((self.factor * v + BEARINGS.1) * v + linear) * v - self.at_wheel[lane];
                let slope = (3.0 * self.factor * v + 2.0 * BEARINGS.1) * v + linear;
                let inverse = 1.0 / slope;
                let moved = value * inverse;
                speeds[lane] = v - moved;
                inverse_slopes[lane] = inverse;
                // Not so for a number that is none, nor for a root below 0.
                is_last &= moved.abs() <= LAST_STEP * v && v < MOST_SPEED;
            }
            if is_last {
                return Some(Solved { ground_n, speeds, inverse_slopes });
            }
        }
        None
    }

    fn anew(&self, ground_n: f64) -> Solved {
        let (mut speeds, mut inverse_slopes) = ([0.0; LANES], [0.0; LANES]);
        for lane in 0..LANES {
            let load = Load { efficiency: self.efficiencies[lane], ..self.load };
            let v = balance_speed_m_s(&load, self.power_w, ground_n, 0.0, 8.0);
            speeds[lane] = v;
            inverse_slopes[lane] =
                1.0 / ((3.0 * self.factor * v + 2.0 * BEARINGS.1) * v + ground_n + self.constant_n);
        }
        Solved { ground_n, speeds, inverse_slopes }
    }
}
