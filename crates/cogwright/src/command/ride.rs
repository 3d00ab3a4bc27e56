//! `ride`: what the gears make of the customer's own ride.

use super::{plan, print_json};
use crate::args::Refit;
use crate::files::{Failure, catalogue, recorded_ride};
use crate::ride_document::RideDocument;
use crate::{Status, ride_report, screen};
use fit::Plan;
use fit::ride::{OnRide, RankedSet, RideCase, RideGap};
use intake::ride_file::{Heights, Note, RideProblem};
use mechanics::ride::Profile;
use mechanics::ride::cog_inference::{InferenceError, UsedCogs, infer_cogs};

/// Seconds of the best mean power that counts as the power a rider holds.
const HELD_S: f64 = 1200.0;
/// Sets of the catalogue that are judged and shown.
const SETS: usize = 6;
/// Length of a stretch where none is asked for, metres.
const SPACING_M: f64 = 20.0;

/// How much is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Depth {
    /// Before and after, and the cassettes to compare.
    Short,
    /// The sets of the catalogue as well.
    Whole,
}

/// Everything that is said of the ride.
pub(crate) struct RideAnswer {
    /// What the job is called.
    pub name: String,
    /// What the customer said.
    pub words: Option<String>,
    /// What the ride is.
    pub what: String,
    /// What the recording has wrong.
    pub notes: Vec<Note>,
    /// The road.
    pub profile: Profile,
    /// All climbs of the recording, rises of 3 m and more, metres; of a hill its climb.
    pub climb_m: f64,
    /// The cogs that the recording reveals, where it has cadence.
    pub cogs: Option<Result<UsedCogs, InferenceError>>,
    /// Numbers, or what is not known.
    pub numbers: Result<Numbers, RideGap>,
}

/// The numbers of the ride.
pub(crate) struct Numbers {
    /// Rider and road.
    pub case: RideCase,
    /// The bike as found.
    pub before: OnRide,
    /// The bike after the refit.
    pub after: OnRide,
    /// Cadences of each stretch before and after.
    pub cadences: (Vec<Option<f64>>, Vec<Option<f64>>),
    /// The cassettes to compare, cheapest first.
    pub compared: Vec<RankedSet>,
    /// Sets of the catalogue, cheapest first.
    pub ranked: Vec<RankedSet>,
}

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    let Some(answer) = answer(args, &plan, Depth::Whole)? else {
        screen::print(&format!(
            "{}\n  the refit names no ride: write `[ride]` with `file`, or with `hill_length` and `hill_climb`\n",
            plan.name
        ))?;
        return Ok(Status::Open);
    };
    if args.json {
        print_json(&RideDocument::of(&answer))?;
    } else {
        screen::print(&ride_report::report(&answer))?;
    }
    Ok(if answer.numbers.is_ok() { Status::Works } else { Status::Open })
}

/// What is said of the ride of a plan; `None` where the refit names none.
pub(super) fn answer(args: &Refit, plan: &Plan, depth: Depth) -> Result<Option<RideAnswer>, Failure> {
    let Some(wish) = &plan.refit.ride else { return Ok(None) };
    let spacing_m = wish.spacing.map_or(SPACING_M, |spacing| spacing.to_mm() / 1000.0);
    let mut answer = RideAnswer {
        name: plan.name.clone(),
        words: plan.refit.wish.words.clone(),
        what: String::new(),
        notes: Vec::new(),
        profile: Profile::hill(1000.0, 0.0).map_err(|why| bad_road(args, why.into()))?,
        climb_m: 0.0,
        cogs: None,
        numbers: Err(RideGap::Power),
    };
    let mut recorded_w = None;
    if let Some(name) = &wish.file {
        let (path, ride) = recorded_ride(args.file.as_deref(), name)?;
        let heights = match wish.barometer {
            Some(true) => Heights::Barometer,
            Some(false) => Heights::Satellite,
            None => Heights::Unknown,
        };
        answer.profile = ride.profile(spacing_m, heights).map_err(|why| Failure::Ride { path, why })?;
        answer.climb_m = ride.climb_m(3.0).unwrap_or(0.0);
        answer.what = format!(
            "recorded ride `{name}`, {} heights averaged over {:.0} m",
            match heights {
                Heights::Barometer => "barometer",
                Heights::Satellite => "satellite",
                Heights::Unknown => "unnamed",
            },
            heights.window_m()
        );
        recorded_w = ride.best_power_w(HELD_S);
        let moments = ride.moments();
        answer.cogs = moments.iter().any(|moment| moment.cadence_rpm > 0.0).then(|| infer_cogs(&moments));
        answer.notes = ride.notes;
    } else if let Some((length, climb)) = wish.hill {
        let (length_m, climb_m) = (length.to_mm() / 1000.0, climb.to_mm() / 1000.0);
        answer.profile = Profile::hill(length_m, climb_m).map_err(|why| bad_road(args, why.into()))?;
        answer.climb_m = climb_m;
        "a hill by hand".clone_into(&mut answer.what);
    }
    answer.numbers = numbers(args, plan, &answer.profile, recorded_w, depth)?;
    Ok(Some(answer))
}

fn numbers(
    args: &Refit,
    plan: &Plan,
    profile: &Profile,
    recorded_w: Option<f64>,
    depth: Depth,
) -> Result<Result<Numbers, RideGap>, Failure> {
    let case = match RideCase::new(&plan.refit.rider, profile.clone(), recorded_w) {
        Ok(case) => case,
        Err(gap) => return Ok(Err(gap)),
    };
    let (before, after) = match case.before_and_after(&plan.build) {
        Ok(both) => both,
        Err(gap) => return Ok(Err(gap)),
    };
    let cadences = |pairs| fit::ride::gears(pairs).map(|gears| case.cadences(&gears)).unwrap_or_default();
    let cadences = (cadences(&plan.gears_before), cadences(&plan.gears_after));
    let compare = plan.refit.ride.as_ref().map_or(&[][..], |wish| &wish.compare);
    let mut compared = Vec::new();
    let mut ranked = Vec::new();
    if !compare.is_empty() || depth == Depth::Whole {
        let catalogue = catalogue(&args.catalogue)?;
        for key in compare {
            let Some(part) = catalogue.find(key) else { continue };
            compared.extend(case.judged(&plan.build, vec![part.clone()], &catalogue));
        }
        let cost = |set: &RankedSet| set.on_ride.costs_min().first().copied().unwrap_or(f64::INFINITY);
        compared.sort_by(|one, other| cost(one).total_cmp(&cost(other)));
        if depth == Depth::Whole {
            ranked = case.rank(&plan.build, &catalogue, SETS);
        }
    }
    Ok(Ok(Numbers { case, before, after, cadences, compared, ranked }))
}

fn bad_road(args: &Refit, why: RideProblem) -> Failure {
    Failure::Ride { path: args.file.clone().unwrap_or_else(|| crate::files::EXAMPLE_NAME.into()), why }
}
