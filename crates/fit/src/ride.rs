//! The gears of a refit on the customer's own ride: before and after, and which sets of the catalogue answer it best.
//! Begin with [`RideCase::new`] and [`RideCase::before_and_after`].
//!
//! Power and mass are known within tolerances. Every number is worked out in the middle and at the four corners of both;
//! two sets are told apart only where one is better at all of them.

use crate::build::{Build, When};
use crate::finding::Verdict;
use crate::heal::heal;
use crate::judge::judge;
use crate::pairs::{Pair, pairs};
use crate::refit::{Effort, Rider};
use catalog::{Catalogue, Part, Slot};
use mechanics::ride::parameters::{SPEED_LIMIT, usual_load};
use mechanics::ride::recorded_power::climb_power_w;
use mechanics::ride::shifting::{Course, Gear, Habit, Ridden, USUAL_HABIT, gears_along, ridden};
use mechanics::ride::travel::{Journey, Pace, TravelError, travel};
use mechanics::ride::{Profile, steepest_grade};
use quantity::{Length, Mass, Power};
use std::cmp::Ordering;
use std::fmt;

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
/// So many of the cheapest sets are judged by the rules of fit.
pub const MOST_JUDGED: usize = 80;
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

/// A rider on a road, ready for any gears.
#[derive(Clone, Debug)]
pub struct RideCase {
    /// Power at the cranks, watts.
    pub power_w: Estimate,
    /// Rider, bike and luggage, kg.
    pub mass_kg: Estimate,
    /// When they shift.
    pub habit: Habit,
    /// The road.
    pub profile: Profile,
    courses: Vec<Course>,
    journey: Journey,
}

/// What a set of gears makes of the ride.
#[derive(Clone, Debug, PartialEq)]
pub struct OnRide {
    /// In the middle and at the corners, in the order of [`CORNERS`].
    pub ridden: Vec<Ridden>,
    /// The steepest road that is climbed seated at the lowest accepted cadence, as a grade, likewise.
    pub steepest: Vec<f64>,
    /// Metres for a turn in the lowest gear.
    pub lowest_m: f64,
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

/// A set of the catalogue on the ride.
#[derive(Clone, Debug)]
pub struct RankedSet {
    /// The parts put in, in place of what the refit has.
    pub parts: Vec<Part>,
    /// What it makes of the ride.
    pub on_ride: OnRide,
    /// Rules that fail with it and not without it.
    pub brings: Vec<&'static str>,
}

impl RideCase {
    /// Rides the road in the middle and at the corners.
    ///
    /// # Errors
    /// [`RideGap`] with what is not known.
    pub fn new(rider: &Rider, profile: Profile, recorded_w: Option<f64>) -> Result<Self, RideGap> {
        let mass_kg = rider.mass.map(Mass::to_grams).ok_or(RideGap::Mass)? / 1000.0;
        let mass_kg = Estimate { value: mass_kg, share: 0.03, words: "stated" };
        let power_w = power_of(rider, recorded_w)?;
        let habit = habit_of(rider)?;
        let mut journeys = Vec::new();
        for (power, mass) in corners(power_w, mass_kg) {
            let pace = Pace { power_w: power, start_m_s: 5.0, most_m_s: SPEED_LIMIT.usual };
            journeys.push(travel(&usual_load(mass), pace, &profile).map_err(RideGap::Travel)?);
        }
        let courses = journeys.iter().map(Course::new).collect();
        let journey = journeys.swap_remove(0);
        Ok(Self { power_w, mass_kg, habit, profile, courses, journey })
    }

    /// The ride in the middle, stretch by stretch.
    pub fn journey(&self) -> &Journey {
        &self.journey
    }

    /// The bike as found and after the refit on the ride.
    ///
    /// # Errors
    /// [`RideGap::Gears`].
    pub fn before_and_after(&self, build: &Build) -> Result<(OnRide, OnRide), RideGap> {
        let side = |when| {
            let gears = gears(&pairs(build, when)).ok_or(RideGap::Gears(when))?;
            Ok(self.on_ride(&gears))
        };
        Ok((side(When::Before)?, side(When::After)?))
    }

    /// What a set of gears makes of the ride.
    pub fn on_ride(&self, gears: &[Gear]) -> OnRide {
        let lowest_m = gears.iter().map(|gear| gear.development_m).fold(f64::INFINITY, f64::min);
        let speed = lowest_m * self.habit.grinding_rpm / 60.0;
        let steepest = corners(self.power_w, self.mass_kg)
            .map(|(power, mass)| steepest_grade(&usual_load(mass), power, speed).unwrap_or(f64::NEG_INFINITY))
            .to_vec();
        let ridden = self.courses.iter().map(|course| ridden(course, gears, self.habit)).collect();
        OnRide { ridden, steepest, lowest_m }
    }

    /// The cadence of every stretch in the middle, turns a minute; none where the rider coasts. For pictures.
    pub fn cadences(&self, gears: &[Gear]) -> Vec<Option<f64>> {
        let Some(course) = self.courses.first() else { return Vec::new() };
        let (along, _) = gears_along(course, gears, self.habit);
        let speeds = self.journey.speeds_m_s.iter().zip(&self.journey.pedalled_s);
        speeds
            .zip(along)
            .map(|((speed, pedalled), gear)| {
                (*pedalled > 0.0).then(|| 60.0 * speed / gears[gear].development_m)
            })
            .collect()
    }

    /// All sets of rings and cassette of the catalogue with as many cogs as the refit has, cheapest first.
    ///
    /// Sets with the same gears are one. The cheapest [`MOST_JUDGED`] are judged, and `most` given: those with which nothing
    /// new fails, and where there are fewer also others, with the names of the rules. Nothing is given where the gears after
    /// the refit are not known.
    pub fn rank(&self, build: &Build, catalogue: &Catalogue, most: usize) -> Vec<RankedSet> {
        let cogs = |build: &Build| crate::pairs::teeth(build, When::After, catalog::Dimension::Cogs).len();
        let wanted = cogs(build);
        let mut sets: Vec<(f64, Vec<Part>, f64)> = Vec::new();
        let mut seen: Vec<Vec<u64>> = Vec::new();
        let cranksets = catalogue.for_slot(Slot::Crankset).chain(catalogue.for_slot(Slot::Chainrings));
        let rings: Vec<Option<&Part>> = std::iter::once(None).chain(cranksets.map(Some)).collect();
        for cassette in catalogue.for_slot(Slot::Cassette) {
            let with_cassette = build.with(cassette.clone());
            if cogs(&with_cassette) != wanted {
                continue;
            }
            for ring in &rings {
                let with_both = ring.map(|ring| with_cassette.with(ring.clone()));
                let Some(gears) = gears(&pairs(with_both.as_ref().unwrap_or(&with_cassette), When::After))
                else {
                    continue;
                };
                let key: Vec<u64> = gears.iter().map(|gear| gear.development_m.to_bits()).collect();
                if seen.contains(&key) {
                    continue;
                }
                seen.push(key);
                let cost = self.courses.first().map(|course| cost_min(&ridden(course, &gears, self.habit)));
                let parts = ring.iter().copied().chain([cassette]).cloned().collect();
                let lowest = gears.iter().map(|gear| gear.development_m).fold(f64::INFINITY, f64::min);
                sets.push((cost.unwrap_or(f64::INFINITY), parts, lowest));
            }
        }
        // Of two that cost the same, the one with the easier lowest gear.
        sets.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.2.total_cmp(&other.2)));
        let judged: Vec<RankedSet> = sets
            .into_iter()
            .take(MOST_JUDGED)
            .filter_map(|(_, parts, _)| self.judged(build, parts, catalogue))
            .collect();
        let holding = judged.iter().filter(|set| set.brings.is_empty()).count();
        let mut failing = most.saturating_sub(holding);
        // Those that hold come first to the list; where there are few, the cheapest that do not fill it.
        let mut keeps = |set: &RankedSet| {
            set.brings.is_empty() || {
                let has_room = failing > 0;
                failing = failing.saturating_sub(1);
                has_room
            }
        };
        judged.into_iter().filter(|set| keeps(set)).take(most).collect()
    }

    /// A set of parts put into the refit, on the ride and judged; `None` where its gears are not known.
    ///
    /// What comes as a matter of course with the parts, such as a chain, is put in too.
    pub fn judged(&self, build: &Build, parts: Vec<Part>, catalogue: &Catalogue) -> Option<RankedSet> {
        let failing = |build: &Build| -> Vec<&'static str> {
            let findings = judge(build);
            findings.iter().filter(|f| f.verdict >= Verdict::Fails).map(|f| f.rule.id).collect()
        };
        let before = failing(build);
        let trial = parts.iter().fold(build.clone(), |build, part| build.with(part.clone()));
        let on_ride = self.on_ride(&gears(&pairs(&trial, When::After))?);
        let (trial, _) = heal(&trial, catalogue);
        let brings = failing(&trial).into_iter().filter(|id| !before.contains(id)).collect();
        Some(RankedSet { parts, on_ride, brings })
    }
}

/// The gears of pairs that are not avoided; `None` where there is none or a development is not known.
pub fn gears(pairs: &[Pair]) -> Option<Vec<Gear>> {
    let mut rings: Vec<_> = pairs.iter().map(|pair| pair.ring).collect();
    rings.sort_by(|a, b| b.cmp(a));
    rings.dedup();
    let mut cogs: Vec<_> = pairs.iter().map(|pair| pair.cog).collect();
    cogs.sort();
    cogs.dedup();
    let used: Vec<&Pair> = pairs.iter().filter(|pair| pair.avoid().is_empty()).collect();
    let list: Vec<Gear> = used
        .iter()
        .filter_map(|pair| {
            Some(Gear {
                ring: rings.iter().position(|ring| *ring == pair.ring)?,
                cog: cogs.iter().position(|cog| *cog == pair.cog)?,
                development_m: pair.development_m.filter(|metres| *metres > 0.0)?,
            })
        })
        .collect();
    (!list.is_empty() && list.len() == used.len()).then_some(list)
}

/// Power and mass in the middle and at the corners, in the order of [`CORNERS`].
fn corners(power: Estimate, mass: Estimate) -> [(f64, f64); 5] {
    let (weak, strong) = (power.value * (1.0 - power.share), power.value * (1.0 + power.share));
    let (light, heavy) = (mass.value * (1.0 - mass.share), mass.value * (1.0 + mass.share));
    [(power.value, mass.value), (weak, heavy), (weak, light), (strong, heavy), (strong, light)]
}
