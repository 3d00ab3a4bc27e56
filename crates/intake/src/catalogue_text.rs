//! Parts out as a catalogue file that reads back to the same parts.

use crate::spreadsheet::{Minus, cell_text};
use catalog::{Part, Sort};
use quantity::{Quantity, Reading};
use std::fmt::Write;

/// The text of a catalogue file with these parts. [`read_catalogue`](crate::read_catalogue) reads it to the same
/// parts, in the same order; the sources that they name must stand in another file that is read with it.
///
/// # Examples
/// ```
/// let catalogue = intake::built_in().unwrap();
/// let text = intake::catalogue_text(catalogue.for_slot(catalog::Slot::Tape));
/// let source = intake::Source { name: "tapes.toml", text: &text };
/// assert_eq!(intake::read_catalogue(&[source]).unwrap().parts.len(), catalogue.for_slot(catalog::Slot::Tape).count());
/// ```
pub fn catalogue_text<'a>(parts: impl IntoIterator<Item = &'a Part>) -> String {
    let mut text = String::new();
    for part in parts {
        if !text.is_empty() {
            text.push('\n');
        }
        let _ = writeln!(text, "[[{}]]", part.slot().key());
        if let Some(id) = part.id() {
            line(&mut text, "id", id);
        }
        line(&mut text, "name", part.name());
        if let Some(price) = part.price() {
            line(&mut text, "price", &price.to_string());
        }
        if let Some(mass) = part.mass() {
            line(&mut text, "mass", &format!("{} g", mass.base()));
        }
        if let Some(days) = part.lead_days() {
            let _ = writeln!(text, "lead_days = {days}");
        }
        for field in part.slot().fields() {
            let reading = part.get(field.dimension).unwrap_or(Reading::NotTaken);
            let texts = cell_text(*field, &reading, Minus::Hyphen);
            match (field.dimension.row().sort, texts.as_slice()) {
                (_, []) => {}
                (Sort::Lengths, texts) if matches!(reading, Reading::Taken(_)) => {
                    let texts: Vec<String> = texts.iter().map(|text| in_quotes(text)).collect();
                    let _ = writeln!(text, "{} = [{}]", field.key, texts.join(", "));
                }
                (_, [value, ..]) => line(&mut text, field.key, value),
            }
        }
    }
    text
}

fn line(text: &mut String, key: &str, value: &str) {
    let _ = writeln!(text, "{key} = {}", in_quotes(value));
}

/// A basic string of TOML 1.0: quote, backslash and control characters escaped.
fn in_quotes(value: &str) -> String {
    let mut text = String::from("\"");
    for letter in value.chars() {
        match letter {
            '"' | '\\' => text.extend(['\\', letter]),
            letter if letter.is_control() => _ = write!(text, "\\u{:04X}", u32::from(letter)),
            letter => text.push(letter),
        }
    }
    text.push('"');
    text
}
