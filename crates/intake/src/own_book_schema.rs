//! The JSON Schema of the shop's own book, made from the same tables that its reader uses.

use crate::plain_value::{MOST_IN_NAME, MOST_IN_WORDS};
use catalog::{Slot, Sort};
use fit::RULES;
use serde_json::{Map, Value, json};
use shop::FASTENERS;

/// The JSON Schema (draft 2020-12) of a book of the shop's own torques and rules.
pub fn own_book_schema() -> Value {
    let fasteners: Vec<&str> = FASTENERS.iter().map(|fastener| fastener.id.0).collect();
    let rules: Vec<&str> = RULES.iter().map(|rule| rule.id).collect();
    let slots: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
    let torque = json!({ "type": "string", "description": "a torque with its unit, such as 40 N·m" });
    let terms = json!({ "type": "array", "minItems": 1, "maxItems": 8, "items": term() });
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "own book",
        "description": "the shop's own torques and rules, each with name and date",
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "torque": { "type": "array", "items": table(&["fastener", "value", "by", "on"], [
                ("fastener", json!({ "enum": fasteners })),
                ("value", json!({ "anyOf": [torque, { "type": "array", "minItems": 1, "maxItems": 2, "items": torque }] })),
                ("by", text("who decided it", MOST_IN_NAME)),
                ("on", text("when, as 2026-11-20", MOST_IN_NAME)),
                ("why", text("why", MOST_IN_WORDS)),
            ]) },
            "rule": { "type": "array", "items": table(&["id", "by", "on", "says"], [
                ("id", text("a key that no other rule has", MOST_IN_NAME)),
                ("by", text("who decided it", MOST_IN_NAME)),
                ("on", text("when, as 2026-11-20", MOST_IN_NAME)),
                ("says", text("the rule in a sentence", MOST_IN_NAME)),
                ("touches", json!({
                    "type": "array", "items": { "enum": slots },
                    "description": "it speaks if the refit changes one of these; always where it is left out",
                })),
                ("all", terms.clone()),
                ("any", terms),
                ("verdict", json!({
                    "enum": ["caution", "marginal", "measure", "fails"],
                    "description": "what it says where the condition holds; never milder than the built-in rules",
                })),
                ("measure", text("the field to be measured first, with verdict measure", MOST_IN_NAME)),
                ("overrides", json!({
                    "enum": rules,
                    "description": "in place of a verdict: marginal by this rule counts as works for the named part",
                })),
                ("part", text("key or name of the part that an override is for", MOST_IN_NAME)),
                ("why", text("what the shop knows that the rule does not", MOST_IN_WORDS)),
            ]) },
        },
    })
}

fn term() -> Value {
    let words: std::collections::BTreeSet<&str> = Slot::ALL
        .iter()
        .flat_map(|slot| slot.fields())
        .filter_map(|field| match field.dimension.row().sort {
            Sort::Word(words) => Some(words),
            _ => None,
        })
        .flatten()
        .copied()
        .collect();
    let places: Vec<String> = Slot::ALL
        .iter()
        .flat_map(|slot| slot.fields().iter().map(|field| format!("{}.{}", slot.key(), field.key)))
        .collect();
    let word = json!({ "enum": words });
    let number =
        json!({ "type": ["string", "integer"], "description": "a number with its unit; counts without" });
    table(
        &["of"],
        [
            ("of", json!({ "enum": places, "description": "part, dot, field" })),
            (
                "at",
                json!({ "enum": ["before", "after"], "description": "which bike; after where it is left out" }),
            ),
            ("is", word.clone()),
            ("is_not", word),
            ("below", number.clone()),
            ("at_most", number.clone()),
            ("at_least", number.clone()),
            ("above", number),
            ("smallest", json!({ "const": true, "description": "of a list" })),
            ("largest", json!({ "const": true, "description": "of a list" })),
        ],
    )
}

fn text(description: &str, most: usize) -> Value {
    json!({ "type": "string", "maxLength": most, "description": description })
}

fn table<'k>(required: &[&str], properties: impl IntoIterator<Item = (&'k str, Value)>) -> Value {
    let properties: Map<String, Value> =
        properties.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
    json!({ "type": "object", "required": required, "additionalProperties": false, "properties": properties })
}
