//! `judge`: the whole plan of a refit.

use super::{plan, print_json, ride};
use crate::args::Refit;
use crate::files::Failure;
use crate::{Status, report, ride_report, screen};
use document::PlanDocument;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    if args.json {
        print_json(&PlanDocument::of(&plan))?;
    } else {
        let mut text = report::report(&plan);
        if let Some(answer) = ride::answer(args, &plan, ride::Depth::Short)? {
            text.push_str(&ride_report::section(&answer));
        }
        screen::print(&text)?;
    }
    Ok(Status::of(plan.verdict))
}
