//! The ride as JSON: border types with a schema, made from an answer in one place.

use crate::command::ride::{Numbers, RideAnswer};
use crate::ride_report::{choice_words, cogs_words, sentence};
use fit::ride::{Estimate, OnRide, RankedSet, cheaper, spread};
use mechanics::ride::shifting::Ridden;
use schemars::JsonSchema;
use serde::Serialize;

/// A ride and what the gears make of it.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RideDocument {
    /// What the job is called.
    name: String,
    /// What was ridden.
    ride: String,
    /// What the recording has wrong and what was done about it.
    notes: Vec<String>,
    /// Level length, kilometres.
    length_km: f64,
    /// All climbs, metres.
    climb_m: f64,
    /// The cogs that the recording reveals.
    cogs_used: Option<String>,
    /// What is not known, where the ride cannot be told.
    missing: Option<String>,
    /// Power at the cranks, watts.
    power_w: Option<EstimateDocument>,
    /// Rider, bike and luggage, kg.
    mass_kg: Option<EstimateDocument>,
    /// The bike as found.
    before: Option<OnRideDocument>,
    /// The bike after the refit.
    after: Option<OnRideDocument>,
    /// Before and after in a sentence.
    sentence: Option<String>,
    /// The cassettes to compare, cheapest first.
    compared: Vec<SetDocument>,
    /// Which of them answers, in a sentence.
    choice: Option<String>,
    /// Sets of rings and cassette of the catalogue, cheapest first.
    ranked: Vec<SetDocument>,
    /// The ride in stretches, for a picture.
    series: Option<SeriesDocument>,
}

/// A number that is known within a share.
#[derive(Debug, Serialize, JsonSchema)]
struct EstimateDocument {
    /// The number.
    value: f64,
    /// Off by this at most, either way.
    tolerance: f64,
    /// How it was got.
    basis: &'static str,
}

/// A number in the middle and over all corners of power and mass.
#[derive(Debug, Serialize, JsonSchema)]
struct SpreadDocument {
    /// As stated.
    value: f64,
    /// The least at any corner.
    least: f64,
    /// The most at any corner.
    most: f64,
}

/// What gears make of the ride.
#[derive(Debug, Serialize, JsonSchema)]
struct OnRideDocument {
    /// Minutes below the liked cadence.
    below_min: SpreadDocument,
    /// Minutes inside it.
    inside_min: SpreadDocument,
    /// Minutes above it.
    above_min: SpreadDocument,
    /// Minutes below the lowest accepted cadence.
    grinding_min: SpreadDocument,
    /// Kilometres spun out.
    spun_out_km: SpreadDocument,
    /// Shifts of the rear derailleur.
    rear_shifts: SpreadDocument,
    /// Shifts of the front derailleur.
    front_shifts: SpreadDocument,
    /// The largest step in percent.
    largest_step_percent: SpreadDocument,
    /// The steepest road climbed seated at the lowest accepted cadence, percent.
    steepest_percent: SpreadDocument,
    /// The stated cost, minutes.
    cost_min: SpreadDocument,
}

/// A set of parts on the ride.
#[derive(Debug, Serialize, JsonSchema)]
struct SetDocument {
    /// Keys of the parts.
    parts: Vec<String>,
    /// What it makes of the ride.
    on_ride: OnRideDocument,
    /// Whether the ride tells it from the first.
    told_from_first: bool,
    /// Rules that fail with it and not without it.
    brings: Vec<&'static str>,
}

/// The ride in stretches of equal length.
#[derive(Debug, Serialize, JsonSchema)]
struct SeriesDocument {
    /// Level length of a stretch, metres.
    spacing_m: f64,
    /// Heights at the ends of the stretches, metres; one more than there are stretches.
    heights_m: Vec<f64>,
    /// Cadence of each stretch as found; none where the rider coasts.
    cadence_before: Vec<Option<f64>>,
    /// Cadence of each stretch after the refit.
    cadence_after: Vec<Option<f64>>,
    /// Liked cadence, lower and upper end.
    liked: (f64, f64),
    /// The lowest cadence accepted.
    lowest: f64,
}

impl RideDocument {
    /// The document of an answer.
    pub(crate) fn of(answer: &RideAnswer) -> Self {
        let numbers = answer.numbers.as_ref().ok();
        Self {
            name: answer.name.clone(),
            ride: answer.what.clone(),
            notes: answer.notes.iter().map(ToString::to_string).collect(),
            length_km: answer.profile.length_m() / 1000.0,
            climb_m: answer.climb_m,
            cogs_used: answer.cogs.as_ref().map(cogs_words),
            missing: answer.numbers.as_ref().err().map(ToString::to_string),
            power_w: numbers.map(|numbers| estimate(numbers.case.power_w)),
            mass_kg: numbers.map(|numbers| estimate(numbers.case.mass_kg)),
            before: numbers.map(|numbers| on_ride(&numbers.before)),
            after: numbers.map(|numbers| on_ride(&numbers.after)),
            sentence: numbers.map(sentence),
            compared: numbers.map_or_else(Vec::new, |numbers| sets(&numbers.compared)),
            choice: numbers.filter(|numbers| !numbers.compared.is_empty()).map(choice_words),
            ranked: numbers.map_or_else(Vec::new, |numbers| sets(&numbers.ranked)),
            series: numbers.map(|numbers| series(answer, numbers)),
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

fn on_ride(on_ride: &OnRide) -> OnRideDocument {
    let of = |(value, least, most): (f64, f64, f64)| SpreadDocument { value, least, most };
    let ridden = |number: fn(&Ridden) -> f64| of(on_ride.spread(number));
    OnRideDocument {
        below_min: ridden(|r| r.below_s / 60.0),
        inside_min: ridden(|r| r.inside_s() / 60.0),
        above_min: ridden(|r| r.above_s / 60.0),
        grinding_min: ridden(|r| r.grinding_s / 60.0),
        spun_out_km: ridden(|r| r.spun_out_m / 1000.0),
        rear_shifts: ridden(|r| f64::from(r.rear_shifts)),
        front_shifts: ridden(|r| f64::from(r.front_shifts)),
        largest_step_percent: ridden(|r| r.largest_step * 100.0),
        steepest_percent: of(spread(on_ride.steepest.iter().map(|grade| grade * 100.0))),
        cost_min: of(spread(on_ride.costs_min())),
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

fn series(answer: &RideAnswer, numbers: &Numbers) -> SeriesDocument {
    let habit = numbers.case.habit;
    SeriesDocument {
        spacing_m: answer.profile.spacing_m(),
        heights_m: answer.profile.heights_m(),
        cadence_before: numbers.cadences.0.clone(),
        cadence_after: numbers.cadences.1.clone(),
        liked: (habit.low_rpm, habit.high_rpm),
        lowest: habit.grinding_rpm,
    }
}
