//! `gears`: the gears before and after.

use super::{plan, print_json};
use crate::args::Refit;
use crate::files::Failure;
use crate::{Status, report, screen};
use document::PlanDocument;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    if args.json {
        print_json(&PlanDocument::of(&plan).gears)?;
    } else {
        let mut text = format!("{}\n", plan.name);
        report::gears(&mut text, &plan);
        screen::print(&text)?;
    }
    Ok(Status::Works)
}
