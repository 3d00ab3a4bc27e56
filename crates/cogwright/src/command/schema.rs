//! `schema`: the JSON Schema of a file that is read, or of an answer.

use super::print_json;
use crate::Status;
use crate::args::{Schema, SchemaOf};
use crate::choice_document::ChoiceDocument;
use crate::files::Failure;
use document::{
    ChangeOrderDocument, ComplaintDocument, EstimateDocument, PlanDocument, PromisesDocument, RideDocument,
};
use schemars::schema_for;

pub(super) fn run(args: &Schema) -> Result<Status, Failure> {
    match args.of {
        SchemaOf::Refit => print_json(&intake::refit_schema())?,
        SchemaOf::OwnBook => print_json(&intake::own_book_schema())?,
        SchemaOf::Complaint => print_json(&intake::complaint_schema())?,
        SchemaOf::Plan => print_json(&schema_for!(PlanDocument))?,
        SchemaOf::Sets => print_json(&schema_for!(ChoiceDocument))?,
        SchemaOf::Ride => print_json(&schema_for!(RideDocument))?,
        SchemaOf::Estimate => print_json(&schema_for!(EstimateDocument))?,
        SchemaOf::Change => print_json(&intake::change_schema())?,
        SchemaOf::ChangeOrder => print_json(&schema_for!(ChangeOrderDocument))?,
        SchemaOf::Promises => print_json(&schema_for!(PromisesDocument))?,
        SchemaOf::Diagnosis => print_json(&schema_for!(ComplaintDocument))?,
    }
    Ok(Status::Works)
}
