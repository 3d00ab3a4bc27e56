//! The gears of a refit on the customer's own ride: before and after, and which sets of the catalogue answer it best.
//! Begin with [`RideAnswer::new`], which has everything that is said of a ride, or with [`RideCase::new`].
//!
//! Power and mass are known within tolerances. Every number is worked out in the middle and at the four corners of both;
//! two sets are told apart only where one is better at all of them.

mod answer;
mod cost;
mod rank;
mod rider;

pub use answer::{Cadences, Depth, Numbers, RideAnswer, Road};
pub use cost::{
    COST_FELT_MIN, DOUBLE_SHIFT_MIN, OnRide, STEP_FREE, STEP_MIN_A_PERCENT, STRAIN_RPM, cheaper, cost_min,
    spread,
};
pub use rank::{MOST_JUDGED, RankedSet};
pub use rider::{CORNERS, Estimate, RideGap, habit_of, power_of};

use crate::build::{Build, When};
use crate::pairs::{Pair, number, pairs};
use crate::refit::{Refit, Rider, Wind};
use catalog::Dimension;
use mechanics::ride::parameters::{SPEED_LIMIT, WIND, usual_load};
use mechanics::ride::pedals::mean_push_n;
use mechanics::ride::shifting::{Course, Gear, Habit, gears_along, ridden};
use mechanics::ride::travel::{Journey, Pace, travel};
use mechanics::ride::{Load, Profile, State, steepest_grade};
use quantity::{Mass, Speed};
use rider::corners;

/// Way over which the steepest stretch of a road is taken, metres.
pub const STEEP_OVER_M: f64 = 100.0;
/// Speed at which a ride begins, m/s: under way.
const START_M_S: f64 = 5.0;

/// A rider on a road, ready for any gears.
#[derive(Clone, Debug)]
pub struct RideCase {
    /// Power at the cranks, watts.
    pub power_w: Estimate,
    /// Rider, bike and luggage, kg.
    pub mass_kg: Estimate,
    /// When they shift.
    pub habit: Habit,
    /// The wind.
    pub wind: Wind,
    /// The road.
    pub profile: Profile,
    courses: Vec<Course>,
    journey: Journey,
}

impl RideCase {
    /// Rides the road in the middle and at the corners; without a word about the wind it is a usual one from anywhere.
    ///
    /// # Errors
    /// [`RideGap`] with what is not known.
    pub fn new(
        rider: &Rider,
        wind: Option<Wind>,
        profile: Profile,
        recorded_w: Option<f64>,
    ) -> Result<Self, RideGap> {
        let mass_kg = rider.mass.map(Mass::to_grams).ok_or(RideGap::Mass)? / 1000.0;
        let mass_kg = Estimate { value: mass_kg, share: 0.03, words: "stated" };
        let power_w = power_of(rider, recorded_w)?;
        let habit = habit_of(rider)?;
        let wind = wind.unwrap_or(Wind::Anywhere(Speed::metres_a_second(WIND.usual)));
        let mut journeys = Vec::new();
        for (power, mass) in corners(power_w, mass_kg) {
            let pace = Pace {
                power_w: power,
                start_m_s: START_M_S,
                most_m_s: SPEED_LIMIT.usual,
                headwind_m_s: headwind_m_s(wind),
            };
            journeys.push(travel(&load(mass, wind), pace, &profile).map_err(RideGap::Travel)?);
        }
        let courses = journeys.iter().map(Course::new).collect();
        let journey = journeys.swap_remove(0);
        Ok(Self { power_w, mass_kg, habit, wind, profile, courses, journey })
    }

    /// The ride that a refit names: its road as it was read, or its hill.
    ///
    /// # Errors
    /// [`RideGap`] with what is not known.
    pub fn of(refit: &Refit) -> Result<Self, RideGap> {
        let wish = refit.ride.as_ref().ok_or(RideGap::Road)?;
        let hill = || wish.hill.and_then(|(length, climb)| Road::hill(length, climb).ok());
        let road = wish.road.clone().or_else(hill).ok_or(RideGap::Road)?;
        Self::new(&refit.rider, wish.wind, road.profile, road.recorded_w)
    }

    /// The stated cost of the ride after the refit as stated, minutes, at steps of [`COST_FELT_MIN`]; `None` where the gears
    /// are not known.
    pub(crate) fn felt_cost(&self, build: &Build) -> Option<i64> {
        let gears = gears(&pairs(build, When::After))?;
        let cost = cost_min(&ridden(self.courses.first()?, &gears, self.habit));
        Some((cost / COST_FELT_MIN).round() as i64)
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
        let side = |when| self.on_bike(build, when).ok_or(RideGap::Gears(when));
        Ok((side(When::Before)?, side(When::After)?))
    }

    /// What one of the two bikes makes of the ride; `None` where its gears are not known.
    pub fn on_bike(&self, build: &Build, when: When) -> Option<OnRide> {
        let crank_mm = number(build, when, Dimension::CrankLength).filter(|mm| *mm > 0.0);
        Some(self.on_ride(&gears(&pairs(build, when))?, crank_mm))
    }

    /// What a set of gears makes of the ride, with cranks of a length in millimetres where it is known.
    pub fn on_ride(&self, gears: &[Gear], crank_mm: Option<f64>) -> OnRide {
        let lowest_m = gears.iter().map(|gear| gear.development_m).fold(f64::INFINITY, f64::min);
        let speed = lowest_m * self.habit.grinding_rpm / 60.0;
        let headwind = headwind_m_s(self.wind);
        let corners = corners(self.power_w, self.mass_kg);
        let steepest = corners
            .map(|(power, mass)| {
                let grade = steepest_grade(&load(mass, self.wind), power, speed, headwind);
                grade.unwrap_or(f64::NEG_INFINITY)
            })
            .to_vec();
        let (grade, _) = self.profile.steepest_over(STEEP_OVER_M);
        let state = State { speed_m_s: speed, grade, headwind_m_s: headwind, acceleration: 0.0 };
        let push_n = crank_mm.map(|crank_mm| {
            let push = |(_, mass)| {
                let load = load(mass, self.wind);
                mean_push_n(load.resistance_n(state).max(0.0), lowest_m, crank_mm, load.efficiency)
            };
            corners.map(push).to_vec()
        });
        let ridden = self.courses.iter().map(|course| ridden(course, gears, self.habit)).collect();
        OnRide { ridden, steepest, lowest_m, push_n }
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
}

/// The usual load of a mass in a wind.
fn load(mass_kg: f64, wind: Wind) -> Load {
    let anywhere = match wind {
        Wind::Anywhere(speed) => speed.to_metres_a_second(),
        Wind::Ahead(_) => 0.0,
    };
    Load { wind_m_s: anywhere, ..usual_load(mass_kg) }
}

fn headwind_m_s(wind: Wind) -> f64 {
    match wind {
        Wind::Anywhere(_) => 0.0,
        Wind::Ahead(speed) => speed.to_metres_a_second(),
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
