//! What is known of the rider: power, mass, habit, and how far each may be off. Begin with [`power_of`].

use crate::build::When;
use crate::refit::{Effort, Rider};
use mechanics::ride::parameters::usual_load;
use mechanics::ride::recorded_power::climb_power_w;
use mechanics::ride::shifting::{Habit, USUAL_HABIT};
use mechanics::ride::travel::TravelError;
use quantity::{Length, Power};
use std::fmt;

/// The middle, and the corners of power and mass, in the order of all lists here.
pub const CORNERS: [&str; 5] =
    ["as stated", "weak and heavy", "weak and light", "strong and heavy", "strong and light"];

/// A number that is known within a share, and how it was got.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The number.
    pub value: f64,
    /// It may be off by this share of itself either way.
    pub share: f64,
    /// How it was got.
    pub words: &'static str,
}

/// What is not known, so that nothing can be said of the ride.
#[derive(Clone, Debug, PartialEq)]
pub enum RideGap {
    /// No power.
    Power,
    /// No mass.
    Mass,
    /// Rings, cogs or rollout of one of the bikes.
    Gears(When),
    /// A cadence range that is none.
    Cadence,
    /// No ride is named, or its recording was not read.
    Road,
    /// The ride does not get to its end.
    Travel(TravelError),
}

impl fmt::Display for RideGap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Power => f.write_str(
                "the power is not known: ask for `power`, a hill with its time, or how they ride (`effort`)",
            ),
            Self::Mass => {
                f.write_str("the mass is not known: weigh rider, bike and luggage together (`mass`)")
            }
            Self::Gears(When::Before) => {
                f.write_str("the gears as found are not known: count rings and cogs, and measure the rollout")
            }
            Self::Gears(When::After) => f.write_str(
                "the gears after the refit are not known: count rings and cogs, and measure the rollout",
            ),
            Self::Cadence => f.write_str("the lowest cadence is above the liked ones, or those are no range"),
            Self::Road => f.write_str(
                "the ride is not known: write `[ride]` with `file`, or with `hill_length` and `hill_climb`",
            ),
            Self::Travel(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for RideGap {}

/// The power that a rider holds: stated, recorded, from a timed hill, or from a plain answer, in this order.
///
/// The shares of uncertainty are common practice: a stated or recorded power within 10 %, a timed hill within 10 %, a plain
/// answer within 25 %; the plain answers count 1.2, 1.8 and 2.6 W for each kg of rider, bike and luggage.
///
/// # Errors
/// [`RideGap::Power`].
pub fn power_of(rider: &Rider, recorded_w: Option<f64>) -> Result<Estimate, RideGap> {
    let mass_kg = rider.mass.map(|mass| mass.to_grams() / 1000.0);
    if let Some(power) = rider.power {
        return Ok(Estimate { value: Power::to_watts(power), share: 0.10, words: "stated" });
    }
    if let Some(value) = recorded_w {
        return Ok(Estimate { value, share: 0.10, words: "best 20 minutes of the recorded ride" });
    }
    if let (Some((length, climb, minutes)), Some(mass_kg)) = (rider.climb, mass_kg) {
        let metres = |length: Length| length.to_mm() / 1000.0;
        let time_s = f64::from(minutes) * 60.0;
        let power = climb_power_w(&usual_load(mass_kg), metres(length), metres(climb), time_s);
        if let Ok(value) = power {
            return Ok(Estimate { value, share: 0.10, words: "from a hill with its time" });
        }
    }
    if let (Some(effort), Some(mass_kg)) = (rider.effort, mass_kg) {
        let a_kg = match effort {
            Effort::Easy => 1.2,
            Effort::Steady => 1.8,
            Effort::Strong => 2.6,
        };
        return Ok(Estimate { value: a_kg * mass_kg, share: 0.25, words: "from how they ride" });
    }
    Err(RideGap::Power)
}

/// The shifting habit of a rider: what they said, and common practice for the rest.
///
/// # Errors
/// [`RideGap::Cadence`].
pub fn habit_of(rider: &Rider) -> Result<Habit, RideGap> {
    let mut habit = USUAL_HABIT;
    if let Some((low, high)) = rider.cadence {
        (habit.low_rpm, habit.high_rpm) = (f64::from(low), f64::from(high));
        habit.spun_out_rpm = habit.spun_out_rpm.max(habit.high_rpm + 20.0);
        habit.grinding_rpm = habit.grinding_rpm.min(habit.low_rpm);
    }
    if let Some(lowest) = rider.lowest_cadence {
        habit.grinding_rpm = f64::from(lowest);
    }
    if habit.is_in_order() { Ok(habit) } else { Err(RideGap::Cadence) }
}

/// Power and mass in the middle and at the corners, in the order of [`CORNERS`].
pub(super) fn corners(power: Estimate, mass: Estimate) -> [(f64, f64); 5] {
    let (weak, strong) = (power.value * (1.0 - power.share), power.value * (1.0 + power.share));
    let (light, heavy) = (mass.value * (1.0 - mass.share), mass.value * (1.0 + mass.share));
    [(power.value, mass.value), (weak, heavy), (weak, light), (strong, heavy), (strong, light)]
}
