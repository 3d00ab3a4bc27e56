//! `judge`: the whole plan of a refit.

use super::{plan, print_json};
use crate::args::Refit;
use crate::files::Failure;
use crate::{Status, report, screen};
use document::PlanDocument;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    if args.json {
        print_json(&PlanDocument::of(&plan))?;
    } else {
        screen::print(&report::report(&plan))?;
    }
    Ok(Status::of(plan.verdict))
}
