//! What gears make of a ride, and the stated cost by which two sets are compared. Begin with [`OnRide`].

use mechanics::ride::shifting::Ridden;
use std::cmp::Ordering;

/// Minutes that a double shift counts as: three seconds of a broken rhythm. Our judgement.
pub const DOUBLE_SHIFT_MIN: f64 = 0.05;
/// Largest step that is not felt as a gap, as a share. Common practice: about 15 %.
pub const STEP_FREE: f64 = 0.15;
/// Minutes that each percent of the largest step beyond [`STEP_FREE`] counts as. Our judgement.
pub const STEP_MIN_A_PERCENT: f64 = 0.1;
/// Turns a minute outside the liked cadence that make a minute count once more. Our judgement; without it all grinding
/// would be alike.
pub const STRAIN_RPM: f64 = 10.0;
/// Costs that differ by less, minutes, are the same whatever the corners say.
pub const COST_FELT_MIN: f64 = 0.5;

/// What a set of gears makes of the ride.
#[derive(Clone, Debug, PartialEq)]
pub struct OnRide {
    /// In the middle and at the corners, in the order of `CORNERS`.
    pub ridden: Vec<Ridden>,
    /// The steepest road that is climbed seated at the lowest accepted cadence, as a grade, likewise.
    pub steepest: Vec<f64>,
    /// Metres for a turn in the lowest gear.
    pub lowest_m: f64,
    /// Mean push on the pedals that holds the steepest stretch of the road in the lowest gear at the lowest accepted cadence,
    /// newtons, likewise; `None` where the crank length is not known.
    pub push_n: Option<Vec<f64>>,
}

impl OnRide {
    /// The stated cost, minutes: outside the liked cadence, once more for each [`STRAIN_RPM`] outside, double shifts, and the
    /// largest step.
    pub fn costs_min(&self) -> Vec<f64> {
        self.ridden.iter().map(cost_min).collect()
    }

    /// The middle, least and most of a number.
    pub fn spread(&self, number: impl Fn(&Ridden) -> f64) -> (f64, f64, f64) {
        spread(self.ridden.iter().map(number))
    }
}

/// The middle, least and most of a list whose first entry is the middle.
pub fn spread(numbers: impl IntoIterator<Item = f64>) -> (f64, f64, f64) {
    let mut numbers = numbers.into_iter();
    let middle = numbers.next().unwrap_or(f64::NAN);
    numbers.fold((middle, middle, middle), |(m, least, most), n| (m, least.min(n), most.max(n)))
}

/// The cost of a ride, minutes.
pub fn cost_min(ridden: &Ridden) -> f64 {
    let outside = (ridden.below_s + ridden.above_s + ridden.strain_rpm_s / STRAIN_RPM) / 60.0;
    let step = (ridden.largest_step - STEP_FREE).max(0.0) * 100.0 * STEP_MIN_A_PERCENT;
    outside + f64::from(ridden.double_shifts) * DOUBLE_SHIFT_MIN + step
}

/// Which of two sets costs less on the ride; `None` where they cannot be told apart: one is better in one corner and the
/// other in another, or they differ by less than [`COST_FELT_MIN`] in the middle.
pub fn cheaper(one: &OnRide, other: &OnRide) -> Option<Ordering> {
    let differences: Vec<f64> =
        one.costs_min().iter().zip(other.costs_min()).map(|(one, other)| one - other).collect();
    let middle = *differences.first()?;
    let agree = differences.iter().all(|d| *d * middle > 0.0);
    (agree && middle.abs() >= COST_FELT_MIN).then(|| middle.total_cmp(&0.0))
}
