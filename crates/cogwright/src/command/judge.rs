//! `judge`: the whole plan of a refit.

use super::{plan, print_json, ride};
use crate::args::Refit;
use crate::files::Failure;
use crate::{Status, report, ride_report, screen};
use document::{PlanDocument, RideDocument};
use fit::ride::Depth;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    let answer = ride::answer(args, args.file.as_deref(), &plan, Depth::Short)?;
    if args.json {
        let ride = answer.as_ref().map(RideDocument::of);
        print_json(&PlanDocument { ride, ..PlanDocument::of(&plan) })?;
    } else {
        let mut text = report::report(&plan);
        if let Some(answer) = &answer {
            text.push_str(&ride_report::section(answer));
        }
        screen::print(&text)?;
    }
    Ok(Status::of(plan.verdict))
}
