//! `schema`: the JSON Schema of the refit file, of the shop's own book, or of the answers.

use super::print_json;
use crate::Status;
use crate::args::Schema;
use crate::choice_document::ChoiceDocument;
use crate::files::Failure;
use crate::ride_document::RideDocument;
use document::{EstimateDocument, PlanDocument, PromisesDocument};

pub(super) fn run(args: &Schema) -> Result<Status, Failure> {
    if args.answer {
        print_json(&schemars::schema_for!(PlanDocument))?;
    } else if args.own {
        print_json(&intake::own_book_schema())?;
    } else if args.ride {
        print_json(&schemars::schema_for!(RideDocument))?;
    } else if args.sets {
        print_json(&schemars::schema_for!(ChoiceDocument))?;
    } else if args.estimate {
        print_json(&schemars::schema_for!(EstimateDocument))?;
    } else if args.promise {
        print_json(&schemars::schema_for!(PromisesDocument))?;
    } else {
        print_json(&intake::refit_schema())?;
    }
    Ok(Status::Works)
}
