//! `schema`: the JSON Schema of the refit file, or of the answers.

use super::print_json;
use crate::Status;
use crate::args::Schema;
use crate::choice_document::ChoiceDocument;
use crate::document::PlanDocument;
use crate::files::Failure;

pub(super) fn run(args: &Schema) -> Result<Status, Failure> {
    if args.answer {
        print_json(&schemars::schema_for!(PlanDocument))?;
    } else if args.sets {
        print_json(&schemars::schema_for!(ChoiceDocument))?;
    } else {
        print_json(&intake::refit_schema())?;
    }
    Ok(Status::Works)
}
