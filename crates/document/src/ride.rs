//! The customer's ride and what the gears make of it.

use fit::ride::{Estimate, Numbers, OnRide, RankedSet, RideAnswer, STEEP_OVER_M, cheaper, spread};
use fit::words::ride;
use schemars::JsonSchema;
use serde::Serialize;

/// A ride and what the gears make of it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RideDocument {
    /// What the job is called.
    pub name: String,
    /// What was ridden.
    pub ride: String,
    /// What the recording has wrong and what was done about it.
    pub notes: Vec<String>,
    /// Level length, kilometres.
    pub length_km: f64,
    /// All climbs, metres.
    pub climb_m: f64,
    /// The steepest 100 m, or the steepest of a shorter road, percent.
    pub steepest_percent: f64,
    /// The cogs that the recording reveals.
    pub cogs_used: Option<String>,
    /// What is not known, where the ride cannot be told.
    pub missing: Option<String>,
    /// Power at the cranks, watts.
    pub power_w: Option<EstimateDocument>,
    /// Rider, bike and luggage, kg.
    pub mass_kg: Option<EstimateDocument>,
    /// The wind, in words.
    pub wind: Option<String>,
    /// Time of the ride, minutes.
    pub time_min: Option<f64>,
    /// The bike as found.
    pub before: Option<OnRideDocument>,
    /// The bike after the refit.
    pub after: Option<OnRideDocument>,
    /// Before and after in a sentence.
    pub sentence: Option<String>,
    /// The cassettes to compare, cheapest first.
    pub compared: Vec<SetDocument>,
    /// Which of them answers, in a sentence.
    pub choice: Option<String>,
    /// Sets of rings and cassette of the catalogue, cheapest first.
    pub ranked: Vec<SetDocument>,
    /// The ride in stretches, for a picture.
    pub series: Option<SeriesDocument>,
}

/// A number that is known within a share.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EstimateDocument {
    /// The number.
    pub value: f64,
    /// Off by this at most, either way.
    pub tolerance: f64,
    /// How it was got.
    pub basis: &'static str,
}

/// A number in the middle and over all corners of power and mass.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SpreadDocument {
    /// As stated.
    pub value: f64,
    /// The least at any corner.
    pub least: f64,
    /// The most at any corner.
    pub most: f64,
    /// As it is shown.
    pub text: String,
}

/// What gears make of the ride.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OnRideDocument {
    /// Minutes below the liked cadence.
    pub below_min: SpreadDocument,
    /// Minutes inside it.
    pub inside_min: SpreadDocument,
    /// Minutes above it.
    pub above_min: SpreadDocument,
    /// Minutes below the lowest accepted cadence.
    pub grinding_min: SpreadDocument,
    /// Kilometres spun out.
    pub spun_out_km: SpreadDocument,
    /// Shifts of the rear derailleur.
    pub rear_shifts: SpreadDocument,
    /// Shifts of the front derailleur.
    pub front_shifts: SpreadDocument,
    /// The largest step in percent.
    pub largest_step_percent: SpreadDocument,
    /// The steepest road climbed seated at the lowest accepted cadence, percent.
    pub steepest_percent: SpreadDocument,
    /// Mean push on the pedals on the steepest stretch, in the lowest gear at the lowest accepted cadence, newtons; none
    /// where the crank length is not known.
    pub push_n: Option<SpreadDocument>,
    /// The stated cost, minutes.
    pub cost_min: SpreadDocument,
}

/// A set of parts on the ride.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SetDocument {
    /// Keys of the parts.
    pub parts: Vec<String>,
    /// What it makes of the ride.
    pub on_ride: OnRideDocument,
    /// Whether the ride tells it from the first.
    pub told_from_first: bool,
    /// Rules that fail with it and not without it.
    pub brings: Vec<&'static str>,
}

/// The ride in stretches of equal length; heights to centimetres, cadences to tenths.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SeriesDocument {
    /// Level length of a stretch, metres.
    pub spacing_m: f64,
    /// Heights at the ends of the stretches, metres; one more than there are stretches.
    pub heights_m: Vec<f64>,
    /// Cadence of each stretch as found; none where the rider coasts.
    pub cadence_before: Vec<Option<f64>>,
    /// Cadence of each stretch after the refit.
    pub cadence_after: Vec<Option<f64>>,
    /// Liked cadence, lower and upper end.
    pub liked: (f64, f64),
    /// The lowest cadence accepted.
    pub lowest: f64,
    /// The cadence above which the legs give no power.
    pub spun_out: f64,
}

impl RideDocument {
    /// The document of an answer.
    pub fn of(answer: &RideAnswer) -> Self {
        let numbers = answer.numbers.as_ref().ok();
        let road = &answer.road;
        Self {
            name: answer.name.clone(),
            ride: road.what.clone(),
            notes: road.notes.clone(),
            length_km: road.profile.length_m() / 1000.0,
            climb_m: road.climb_m,
            steepest_percent: road.profile.steepest_over(STEEP_OVER_M).0 * 100.0,
            cogs_used: road.cogs.as_ref().map(ride::cogs),
            missing: answer.numbers.as_ref().err().map(ToString::to_string),
            power_w: numbers.map(|numbers| estimate(numbers.case.power_w)),
            mass_kg: numbers.map(|numbers| estimate(numbers.case.mass_kg)),
            wind: numbers.map(|numbers| ride::wind(numbers.case.wind)),
            time_min: numbers.map(|numbers| numbers.case.journey().time_s() / 60.0),
            before: numbers.map(|numbers| on_ride(&numbers.before)),
            after: numbers.map(|numbers| on_ride(&numbers.after)),
            sentence: numbers.map(ride::sentence),
            compared: numbers.map_or_else(Vec::new, |numbers| sets(&numbers.compared)),
            choice: numbers.filter(|numbers| !numbers.compared.is_empty()).map(ride::choice),
            ranked: numbers.map_or_else(Vec::new, |numbers| sets(&numbers.ranked)),
            series: numbers.map(series),
        }
    }
}

fn estimate(estimate: Estimate) -> EstimateDocument {
    EstimateDocument {
        value: estimate.value,
        tolerance: estimate.value * estimate.share,
        basis: estimate.words,
    }
}

fn shown(spread: (f64, f64, f64), decimals: usize) -> SpreadDocument {
    let (value, least, most) = spread;
    SpreadDocument { value, least, most, text: ride::span(spread, decimals) }
}

fn on_ride(on_ride: &OnRide) -> OnRideDocument {
    OnRideDocument {
        below_min: shown(on_ride.spread(|r| r.below_s / 60.0), 1),
        inside_min: shown(on_ride.spread(|r| r.inside_s() / 60.0), 1),
        above_min: shown(on_ride.spread(|r| r.above_s / 60.0), 1),
        grinding_min: shown(on_ride.spread(|r| r.grinding_s / 60.0), 1),
        spun_out_km: shown(on_ride.spread(|r| r.spun_out_m / 1000.0), 1),
        rear_shifts: shown(on_ride.spread(|r| f64::from(r.rear_shifts)), 0),
        front_shifts: shown(on_ride.spread(|r| f64::from(r.front_shifts)), 0),
        largest_step_percent: shown(on_ride.spread(|r| r.largest_step * 100.0), 0),
        steepest_percent: shown(spread(on_ride.steepest.iter().map(|grade| grade * 100.0)), 1),
        push_n: on_ride.push_n.as_ref().map(|push| shown(spread(push.iter().copied()), 0)),
        cost_min: shown(spread(on_ride.costs_min()), 1),
    }
}

fn sets(sets: &[RankedSet]) -> Vec<SetDocument> {
    sets.iter()
        .map(|set| SetDocument {
            parts: set.parts.iter().filter_map(|part| part.id().map(str::to_owned)).collect(),
            on_ride: on_ride(&set.on_ride),
            told_from_first: cheaper(&sets[0].on_ride, &set.on_ride).is_some(),
            brings: set.brings.clone(),
        })
        .collect()
}

fn series(numbers: &Numbers) -> SeriesDocument {
    let (habit, profile) = (numbers.case.habit, &numbers.case.profile);
    let to = |steps: f64| move |value: f64| (value * steps).round() / steps;
    let cadences =
        |list: &[Option<f64>]| list.iter().map(|cadence| cadence.map(to(10.0))).collect::<Vec<_>>();
    SeriesDocument {
        spacing_m: profile.spacing_m(),
        heights_m: profile.heights_m().into_iter().map(to(100.0)).collect(),
        cadence_before: cadences(&numbers.cadences.before),
        cadence_after: cadences(&numbers.cadences.after),
        liked: (habit.low_rpm, habit.high_rpm),
        lowest: habit.grinding_rpm,
        spun_out: habit.spun_out_rpm,
    }
}
