//! `measure`: what to measure for this wish, best first.

use super::{plan, print_json};
use crate::args::Refit;
use crate::files::Failure;
use crate::{Status, report, screen};
use document::PlanDocument;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    let status = if plan.to_measure.is_empty() { Status::Works } else { Status::Open };
    if args.json {
        print_json(&PlanDocument::of(&plan).to_measure)?;
        return Ok(status);
    }
    let mut text = format!("{}\n", plan.name);
    if plan.to_measure.is_empty() {
        text.push_str("  every verdict has what it needs: nothing is left to measure for this wish\n");
    } else {
        report::to_measure(&mut text, &plan);
    }
    screen::print(&text)?;
    Ok(status)
}
