//! `parts`: the parts of the catalogue with their dimensions.

use super::print_json;
use crate::Status;
use crate::args::Parts;
use crate::files::{Failure, catalogue};
use crate::screen::{self, HEADING, QUIET};
use catalog::{Catalogue, OwnFigure, Part, Slot};
use quantity::Reading;
use serde_json::{Map, Value, json};
use std::fmt::Write;

pub(super) fn run(args: &Parts) -> Result<Status, Failure> {
    let slots: Vec<Slot> = match &args.slot {
        None => Slot::ALL.to_vec(),
        Some(key) => vec![super::slot(key)?],
    };
    let catalogue = catalogue(&args.catalogue)?;
    if args.json {
        let parts: Vec<Value> = slots
            .iter()
            .flat_map(|slot| catalogue.for_slot(*slot))
            .map(|part| part_json(part, &catalogue))
            .collect();
        print_json(&parts)?;
        return Ok(Status::Works);
    }
    let mut text = String::new();
    for slot in slots {
        let mut parts = catalogue.for_slot(slot).peekable();
        if parts.peek().is_none() {
            continue;
        }
        let _ = writeln!(text, "\n{HEADING}{}{HEADING:#}", slot.key());
        for part in parts {
            let price = part.price().map_or("price unknown".to_owned(), |price| price.to_string());
            let _ = writeln!(text, "  {}  {price}", part.id().unwrap_or_default());
            let dimensions: Vec<String> = known(part).map(|(key, value)| format!("{key} {value}")).collect();
            let _ = writeln!(text, "    {}", dimensions.join("; "));
            for own in catalogue.own_of(part.id().unwrap_or_default()) {
                let _ = writeln!(text, "    {QUIET}own figure: {}{QUIET:#}", own_words(own));
            }
        }
    }
    screen::print(&text)?;
    Ok(Status::Works)
}

pub(super) fn known(part: &Part) -> impl Iterator<Item = (&'static str, catalog::Value)> + '_ {
    part.slot().fields().iter().filter_map(|field| match part.get(field.dimension) {
        Some(Reading::Taken(value)) => Some((field.key, value)),
        _ => None,
    })
}

/// The shop's own figure beside the one that it stands in for.
fn own_words(own: &OwnFigure) -> String {
    let built_in = own.built_in.as_deref().unwrap_or("an unknown value");
    let why = own.why.as_ref().map_or_else(String::new, |why| format!(": {why}"));
    format!("{} {} in place of {built_in}, {}, {}{why}", own.field, own.own, own.by, own.on)
}

fn part_json(part: &Part, catalogue: &Catalogue) -> Value {
    let dimensions: Map<String, Value> = known(part)
        .map(|(key, value)| {
            (key.to_owned(), json!({ "value": value.to_string(), "basis": value.basis().word() }))
        })
        .collect();
    let own: Vec<Value> = catalogue
        .own_of(part.id().unwrap_or_default())
        .map(|own| {
            json!({
                "field": own.field,
                "built_in": own.built_in,
                "own": own.own,
                "by": own.by,
                "on": own.on,
                "why": own.why,
            })
        })
        .collect();
    json!({
        "id": part.id(),
        "name": part.name(),
        "slot": part.slot().key(),
        "price_minor": part.price().map(quantity::Money::minor),
        "lead_days": part.lead_days(),
        "dimensions": dimensions,
        "own_figures": own,
    })
}
