//! The shop's own figures in a catalogue file: a part, a field, a value, and who found it when.

use crate::document::{table_of, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::plain_value::{MOST_IN_NAME, name, text, words};
use crate::problem::{Notes, Refusal, quoted};
use crate::spreadsheet::{Minus, cell_text};
use crate::value_text::{Context, reading};
use catalog::{Catalogue, Field, OwnFigure, Part, Value};
use quantity::{Basis, Reading};
use std::collections::{BTreeMap, BTreeSet};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of `[[own]]`.
const KEYS: &[&str] = &["part", "field", "value", "by", "on", "why"];

/// Where each part stands in the catalogue.
pub(crate) fn places(catalogue: &Catalogue) -> BTreeMap<String, usize> {
    let ids = catalogue.parts.iter().enumerate();
    ids.filter_map(|(at, part)| part.id().map(|id| (id.to_owned(), at))).collect()
}

/// Reads the own figures of a file and puts them in their parts.
pub(crate) fn read(
    table: &DeTable<'_>,
    places: &BTreeMap<String, usize>,
    given: &mut BTreeSet<(usize, &'static str)>,
    catalogue: &mut Catalogue,
    notes: &mut Notes,
) {
    let Some(value) = value_of(table, "own") else { return };
    let DeValue::Array(entries) = value.get_ref() else {
        notes.refuse(wrong_form("own", value, "a list of tables", "[[own]]"));
        return;
    };
    for entry in entries.iter() {
        let Some(table) = notes.keep(table_of("own", entry, "[[own]]")) else { continue };
        let missing = missing(entry, table, notes);
        for (key, _) in table.iter().filter(|(key, _)| !KEYS.contains(&key.get_ref().as_ref())) {
            notes.refuse(unknown_key(key.span(), key.get_ref(), "of `[[own]]`", KEYS));
        }
        let by = value_of(table, "by").map(|value| name("by", value, "head of the workshop"));
        let by = by.and_then(|read| notes.keep(read));
        let on = value_of(table, "on").and_then(|value| notes.keep(day(value)));
        let why =
            value_of(table, "why").and_then(|value| notes.keep(words("why", value, "three pairs measured")));
        let part = value_of(table, "part").and_then(|value| notes.keep(place(value, places)));
        let Some((at, part)) = part.and_then(|at| catalogue.parts.get(at).map(|part| (at, part))) else {
            continue;
        };
        let field = value_of(table, "field").and_then(|value| notes.keep(field(value, part)));
        let (Some(field), Some(value)) = (field, value_of(table, "value")) else { continue };
        let context = Context { sources: &catalogue.sources };
        let before = part.get(field.dimension).unwrap_or_default();
        let read = reading(field, value, context).and_then(|own| match outranks(&own, &before) {
            true => Ok(own),
            false => Err(Refusal::at(
                value.span(),
                "the part has a printed figure here, which this one cannot replace",
            )
            .help("a printed figure gives way to one that is measured, counted or printed itself")),
        });
        let Some(own) = notes.keep(read) else { continue };
        if !given.insert((at, field.key)) {
            let what = format!("`{}` of this part has an own figure already", field.key);
            notes.refuse(Refusal::at(entry.span(), what).help("keep one of the two"));
            continue;
        }
        let (Some(by), Some(on), false) = (by, on, missing) else { continue };
        catalogue.own.push(OwnFigure {
            part: part.id().unwrap_or_default().to_owned(),
            field: field.key,
            dimension: field.dimension,
            built_in: Some(shown(field, &before)).filter(|text| !text.is_empty()),
            own: shown(field, &own),
            by,
            on,
            why: why.filter(|why| !why.is_empty()),
        });
        if let Some(part) = catalogue.parts.get_mut(at) {
            part.set(field.dimension, own);
        }
    }
}

fn value_of<'t, 'a>(table: &'t DeTable<'a>, wanted: &str) -> Option<&'t Spanned<DeValue<'a>>> {
    table.iter().find(|(key, _)| key.get_ref() == wanted).map(|(_, value)| value)
}

/// The text of a reading, with the word for its basis even where a file may leave it out.
fn shown(field: Field, reading: &Reading<Value>) -> String {
    let text = cell_text(field, reading, Minus::Hyphen).join("; ");
    match reading.taken().map(Value::basis) {
        Some(basis @ (Basis::Measured | Basis::Counted)) if !text.ends_with(basis.word()) => {
            format!("{text} {}", basis.word())
        }
        _ => text,
    }
}

/// The leaflet wins over what nobody looked at.
fn outranks(own: &Reading<Value>, before: &Reading<Value>) -> bool {
    let is_printed = before.taken().is_some_and(|value| *value.basis() == Basis::Printed);
    let own = own.taken().map(Value::basis);
    !is_printed || matches!(own, Some(Basis::Measured | Basis::Counted | Basis::Printed))
}

/// Notes what the entry does not say. A figure without a name and a day is nobody's.
fn missing(entry: &Spanned<DeValue<'_>>, table: &DeTable<'_>, notes: &mut Notes) -> bool {
    let mut is_missing = false;
    for (key, example) in [
        ("part", "levers-road-11-pull-2.7"),
        ("field", "hood"),
        ("value", "50 mm measured"),
        ("by", "head of the workshop"),
        ("on", "2026-11-20"),
    ] {
        if value_of(table, key).is_none() {
            let refusal = Refusal::at(entry.span(), format!("this own figure has no `{key}`"));
            notes.refuse(refusal.help(format!("write `{key} = \"{example}\"`")));
            is_missing = true;
        }
    }
    is_missing
}

fn place(value: &Spanned<DeValue<'_>>, places: &BTreeMap<String, usize>) -> Result<usize, Refusal> {
    let id = text("part", value, "levers-road-11-pull-2.7", MOST_IN_NAME)?;
    places.get(id).copied().ok_or_else(|| {
        let known: Vec<&str> = places.keys().map(String::as_str).collect();
        Refusal::at(value.span(), format!("{} is not a part of the catalogue", quoted(id)))
            .help(offer(id, &known))
    })
}

fn field(value: &Spanned<DeValue<'_>>, part: &Part) -> Result<Field, Refusal> {
    let key = text("field", value, "hood", MOST_IN_NAME)?;
    let fields = part.slot().fields();
    fields.iter().find(|field| field.key == key).copied().ok_or_else(|| {
        let known: Vec<&str> = fields.iter().map(|field| field.key).collect();
        let what = format!("{} is not a field of a {}", quoted(key), part.slot().words());
        Refusal::at(value.span(), what).help(offer(key, &known))
    })
}

/// A day as `2026-11-20`, in quotes or as a date of the file.
pub(crate) fn day(value: &Spanned<DeValue<'_>>) -> Result<String, Refusal> {
    let day = match value.get_ref() {
        DeValue::Datetime(day) => day.to_string(),
        _ => text("on", value, "2026-11-20", MOST_IN_NAME)?.trim().to_owned(),
    };
    if is_day(&day) {
        return Ok(day);
    }
    let what = format!("{} is no day of the calendar", quoted(&day));
    Err(Refusal::at(value.span(), what).help("write year, month and day such as `on = \"2026-11-20\"`"))
}

/// Whether a text is a day of the Gregorian calendar in the form of ISO 8601, extended format.
fn is_day(text: &str) -> bool {
    let form = text.len() == 10
        && text.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    let part =
        |from, to| text.get(from..to).and_then(|digits| digits.parse::<u32>().ok()).unwrap_or_default();
    if !form {
        return false;
    }
    let (year, month, day) = (part(0, 4), part(5, 7), part(8, 10));
    let is_leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 => 28 + u32::from(is_leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::is_day;

    /// Leap years as in ISO 8601: 2000 is one, 1900 is none.
    #[test]
    fn days_are_days_of_the_calendar() {
        for day in ["2026-11-20", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(is_day(day), "{day}");
        }
        for day in [
            "",
            "20.11.2026",
            "2026-11-31",
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-1-20",
            "2026-11-20T10:00:00",
        ] {
            assert!(!is_day(day), "{day}");
        }
    }
}
