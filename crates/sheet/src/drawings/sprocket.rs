//! Sprockets and the chain round them, seen from the drive side: places in millimetres of the bike.
//!
//! The axle is the origin, x points forward and y down, so a circle that turns with the cranks has the sense +1.

use crate::drawing::Place;
use std::f64::consts::{PI, TAU};

/// Pitch of a bicycle chain (ISO 9633).
const PITCH_MM: f64 = 12.7;

/// A sprocket or pulley in its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wheel {
    /// Centre.
    pub(super) at: Place,
    /// Radius of the pins of the chain on it.
    pub(super) radius_mm: f64,
    /// 1 where it turns with the cranks, −1 against them.
    pub(super) sense: f64,
}

impl Wheel {
    /// A wheel of so many teeth; the pins lie on `p / (2 sin(π/N))`.
    pub(super) fn new(at: Place, teeth: u32, sense: f64) -> Self {
        Self { at, radius_mm: PITCH_MM / (2.0 * (PI / f64::from(teeth.max(3))).sin()), sense }
    }

    /// Where the chain lies that runs in a direction.
    fn under(&self, direction_rad: f64) -> Place {
        let (sin, cos) = direction_rad.sin_cos();
        let r = self.sense * self.radius_mm;
        Place::new(self.at.x_mm + r * sin, self.at.y_mm - r * cos)
    }
}

/// Direction of the straight run from a wheel to the next: `φ = θ − asin(q/D)`, `q = s₂ r₂ − s₁ r₁`; none where
/// the circles overlap.
fn run_rad(from: &Wheel, to: &Wheel) -> Option<f64> {
    let (dx, dy) = (to.at.x_mm - from.at.x_mm, to.at.y_mm - from.at.y_mm);
    let q = to.sense * to.radius_mm - from.sense * from.radius_mm;
    let share = q / dx.hypot(dy);
    (share.abs() < 1.0).then(|| dy.atan2(dx) - share.asin())
}

/// The closed way of a chain round wheels in the order in which it runs; empty where it has none.
pub(super) fn chain(wheels: &[Wheel]) -> Vec<Place> {
    let count = wheels.len();
    let runs: Option<Vec<f64>> = (0..count).map(|i| run_rad(&wheels[i], &wheels[(i + 1) % count])).collect();
    let Some(runs) = runs else { return Vec::new() };
    let mut way = Vec::new();
    for (i, wheel) in wheels.iter().enumerate() {
        let (arrives, leaves) = (runs[(i + count - 1) % count], runs[i]);
        let wrap = ((leaves - arrives) * wheel.sense).rem_euclid(TAU);
        // A hundredth of a turn for each step is finer than print at this scale.
        let steps = (wrap / (TAU / 100.0)).ceil().max(1.0) as usize;
        for step in 0..=steps {
            way.push(wheel.under(arrives + wheel.sense * wrap * step as f64 / steps as f64));
        }
    }
    way.extend(way.first().copied());
    way
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two equal circles: the belt of a textbook, two diameters apart in straight runs and one turn round both.
    #[test]
    fn a_chain_round_two_equal_wheels_is_two_runs_and_one_turn() {
        let wheels = [
            Wheel { at: Place::new(400.0, 0.0), radius_mm: 50.0, sense: 1.0 },
            Wheel { at: Place::new(0.0, 0.0), radius_mm: 50.0, sense: 1.0 },
        ];
        let way = chain(&wheels);
        let length: f64 =
            way.windows(2).map(|two| (two[1].x_mm - two[0].x_mm).hypot(two[1].y_mm - two[0].y_mm)).sum();
        assert!((length - (800.0 + TAU * 50.0)).abs() < 0.3, "{length}");
    }

    #[test]
    fn wheels_inside_each_other_have_no_chain() {
        let wheels = [
            Wheel { at: Place::new(0.0, 0.0), radius_mm: 50.0, sense: 1.0 },
            Wheel { at: Place::new(5.0, 0.0), radius_mm: 20.0, sense: 1.0 },
        ];
        assert!(chain(&wheels).is_empty());
    }
}
