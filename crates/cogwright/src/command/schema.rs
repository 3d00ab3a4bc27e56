//! `schema`: the JSON Schema of the refit file or the complaint file, or of the answers.

use super::print_json;
use crate::Status;
use crate::args::Schema;
use crate::files::Failure;
use document::{ComplaintDocument, PlanDocument};

pub(super) fn run(args: &Schema) -> Result<Status, Failure> {
    match (args.complaint, args.answer) {
        (false, false) => print_json(&intake::refit_schema())?,
        (false, true) => print_json(&schemars::schema_for!(PlanDocument))?,
        (true, false) => print_json(&intake::complaint_schema())?,
        (true, true) => print_json(&schemars::schema_for!(ComplaintDocument))?,
    }
    Ok(Status::Works)
}
