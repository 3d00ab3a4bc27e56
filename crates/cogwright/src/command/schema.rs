//! `schema`: the JSON Schema of the refit file, or of the answers.

use super::print_json;
use crate::Status;
use crate::args::Schema;
use crate::files::Failure;
use document::{EstimateDocument, PlanDocument, PromisesDocument};

pub(super) fn run(args: &Schema) -> Result<Status, Failure> {
    if args.answer {
        print_json(&schemars::schema_for!(PlanDocument))?;
    } else if args.estimate {
        print_json(&schemars::schema_for!(EstimateDocument))?;
    } else if args.promise {
        print_json(&schemars::schema_for!(PromisesDocument))?;
    } else {
        print_json(&intake::refit_schema())?;
    }
    Ok(Status::Works)
}
