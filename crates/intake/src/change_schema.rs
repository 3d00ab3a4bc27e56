//! The schema of the change file.

use crate::change_file::{
    CHOICE_KEYS, MOST_DAYS, MOST_MINUTES, MOST_PIECES, PART_KEYS, SMALL_KEYS, TOP_KEYS,
};
use crate::plain_value::{MOST_IN_NAME, MOST_IN_WORDS};
use serde_json::{Map, Value, json};
use shop::{Cause, Stakes};

/// The JSON Schema of the change file. Steps, operations and parts are keys of the shop's book and of its catalogue, which
/// a schema does not know; the reader looks them up.
pub fn change_schema() -> Value {
    let name = json!({ "type": "string", "minLength": 1, "maxLength": MOST_IN_NAME });
    let words = json!({ "type": "string", "maxLength": MOST_IN_WORDS });
    let money = json!({ "type": "string", "description": "an amount with its currency, such as 25.00 EUR" });
    let whole = |least: u32, most: u32| json!({ "type": "integer", "minimum": least, "maximum": most });
    let list = |items: Value| json!({ "type": "array", "items": items });
    let part = table(PART_KEYS, &[], |key| match key {
        "pieces" => whole(1, MOST_PIECES),
        "days" => whole(0, MOST_DAYS),
        "price" => money.clone(),
        _ => name.clone(),
    });
    let choice = table(CHOICE_KEYS, &["words", "means"], |key| match key {
        "means" => words.clone(),
        "operations" => list(name.clone()),
        "minutes" => whole(0, MOST_MINUTES),
        "parts" => list(part.clone()),
        _ => name.clone(),
    });
    let small =
        table(SMALL_KEYS, SMALL_KEYS, |key| if key == "price" { money.clone() } else { name.clone() });
    let causes: Vec<&str> = Cause::ALL.iter().map(|cause| cause.key()).collect();
    let required = ["found", "at", "cause", "concerns", "waits_until", "choice"];
    let mut whole = table(TOP_KEYS, &required, |key| match key {
        "found" => words.clone(),
        "cause" => json!({ "enum": causes }),
        "concerns" => json!({ "enum": [Stakes::Safety.key(), Stakes::Use.key()] }),
        "waits_until" => json!({ "type": "string", "description": "day and hour, such as 2026-11-27 15:00" }),
        "choice" => json!({ "type": "array", "items": choice, "minItems": 2, "maxItems": 3 }),
        "small" => list(small.clone()),
        _ => name.clone(),
    });
    whole["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    whole["title"] = json!("change");
    whole
}

fn table(keys: &[&str], required: &[&str], of: impl Fn(&str) -> Value) -> Value {
    let properties: Map<String, Value> = keys.iter().map(|key| ((*key).to_owned(), of(key))).collect();
    json!({ "type": "object", "additionalProperties": false, "properties": properties, "required": required })
}
