//! `parts`: the parts of the catalogue with their dimensions.

use super::print_json;
use crate::Status;
use crate::args::Parts;
use crate::files::{Failure, catalogue};
use crate::screen::{self, HEADING};
use catalog::{Part, Slot};
use quantity::Reading;
use serde_json::{Map, Value, json};
use std::fmt::Write;

pub(super) fn run(args: &Parts) -> Result<Status, Failure> {
    let slots: Vec<Slot> = match &args.slot {
        None => Slot::ALL.to_vec(),
        Some(key) => vec![Slot::read(key).ok_or_else(|| Failure::Word {
            found: key.clone(),
            kind: "slot",
            accepted: Slot::ALL.iter().map(|slot| slot.key()).collect(),
        })?],
    };
    let catalogue = catalogue(&args.catalogue)?;
    if args.json {
        let parts: Vec<Value> =
            slots.iter().flat_map(|slot| catalogue.for_slot(*slot)).map(part_json).collect();
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
        }
    }
    screen::print(&text)?;
    Ok(Status::Works)
}

fn known(part: &Part) -> impl Iterator<Item = (&'static str, catalog::Value)> + '_ {
    part.slot().fields().iter().filter_map(|field| match part.get(field.dimension) {
        Some(Reading::Taken(value)) => Some((field.key, value)),
        _ => None,
    })
}

fn part_json(part: &Part) -> Value {
    let dimensions: Map<String, Value> = known(part)
        .map(|(key, value)| {
            (key.to_owned(), json!({ "value": value.to_string(), "basis": value.basis().word() }))
        })
        .collect();
    json!({
        "id": part.id(),
        "name": part.name(),
        "slot": part.slot().key(),
        "price_minor": part.price().map(quantity::Money::minor),
        "lead_days": part.lead_days(),
        "dimensions": dimensions,
    })
}
