//! `ride`: what the gears make of the customer's own ride.

use super::{plan, print_json};
use crate::args::{Refit, Ride};
use crate::files::{Failure, catalogue, recorded_ride};
use crate::{Status, ride_report, screen};
use document::RideDocument;
use fit::ride::{Depth, RideAnswer, Road};
use fit::{Plan, RideWish};
use intake::ride_file::road;
use std::path::Path;

pub(super) fn run(args: &Ride) -> Result<Status, Failure> {
    let plan = plan(&args.refit)?;
    let Some(answer) = answer(&args.refit, args.refit.file.as_deref(), &plan, Depth::Whole)? else {
        screen::print(&format!(
            "{}\n  the refit names no ride: write `[ride]` with `file`, or with `hill_length` and `hill_climb`\n",
            plan.name
        ))?;
        return Ok(Status::Open);
    };
    #[cfg(feature = "sheets")]
    if let Some(path) = &args.picture {
        let picture = sheet::drawings::ride(&RideDocument::of(&answer)).svg();
        let svg = picture.map_err(|why| Failure::Paper(why.to_string()))?;
        crate::files::write_whole(path, svg.as_bytes())?;
    }
    if args.refit.json {
        print_json(&RideDocument::of(&answer))?;
    } else {
        screen::print(&ride_report::report(&answer))?;
    }
    Ok(if answer.numbers.is_ok() { Status::Works } else { Status::Open })
}

/// What is said of the ride of a plan; `None` where the refit names none.
pub(super) fn answer(
    args: &Refit,
    refit_file: Option<&Path>,
    plan: &Plan,
    depth: Depth,
) -> Result<Option<RideAnswer>, Failure> {
    let Some(wish) = &plan.refit.ride else { return Ok(None) };
    let road = read(wish, refit_file)?;
    Ok(Some(RideAnswer::new(plan, road, &catalogue(&args.catalogue)?, depth)))
}

/// The road of a ride, its recording beside the refit file.
pub(super) fn read(wish: &RideWish, refit_file: Option<&Path>) -> Result<Road, Failure> {
    let recorded = wish.file.as_deref().map(|name| recorded_ride(refit_file, name)).transpose()?;
    let (path, ride) = match recorded {
        Some((path, ride)) => (path, Some(ride)),
        None => (refit_file.unwrap_or(Path::new(crate::files::EXAMPLE_NAME)).to_owned(), None),
    };
    road(wish, ride).map_err(|why| Failure::Ride { path, why })
}
