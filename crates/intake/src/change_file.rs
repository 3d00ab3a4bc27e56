//! The change file: what was found while working, and what can be done about it.

use crate::document::{Source, parse, unmarked};
use crate::fields::{Fields, Given};
use crate::nearest::offer;
use crate::plain_value::money;
use crate::problem::{Notes, Problems, Refusal, quoted};
use crate::refit_file::key_of;
use catalog::Catalogue;
use jiff::civil::DateTime;
use shop::{Book, Cause, Change, Choice, ChoicePart, Finding, OperationId, SmallThing, Stakes, StepId};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of the file as a whole.
pub(crate) const TOP_KEYS: &[&str] =
    &["found", "at", "cause", "concerns", "measured", "limit", "photo", "waits_until", "choice", "small"];

/// Keys of a choice.
pub(crate) const CHOICE_KEYS: &[&str] = &["words", "means", "operations", "minutes", "parts"];
/// Keys of a part of a choice: `part` of the catalogue, or the `name` of another one.
pub(crate) const PART_KEYS: &[&str] = &["part", "name", "pieces", "price", "days"];
/// Keys of a small thing.
pub(crate) const SMALL_KEYS: &[&str] = &["words", "price"];

/// More minutes beside the operations are an operation of their own.
pub(crate) const MOST_MINUTES: u32 = 480;
/// More pieces of one part are a slip of the pen.
pub(crate) const MOST_PIECES: u32 = 200;
/// A part later than a year will not come.
pub(crate) const MOST_DAYS: u32 = 366;

/// Reads a change file against the book of the shop and the catalogue.
///
/// # Errors
/// All [`Problems`] of the file, in its order.
///
/// # Examples
/// ```
/// use intake::{Source, read_change};
///
/// let (book, catalogue) = (shop::Book::start_values(), intake::built_in().unwrap());
/// let text = "found = 'a bent hanger'\nat = 'rear-indx'\n";
/// let problems = read_change(Source { name: "change.toml", text }, &book, &catalogue).unwrap_err().to_string();
/// assert!(problems.contains("did you mean `rear-index`?"), "{problems}");
/// ```
pub fn read_change(source: Source<'_>, book: &Book, catalogue: &Catalogue) -> Result<Change, Problems> {
    let source = unmarked(source);
    let table = parse(source)?;
    let mut notes = Notes::default();
    let change = change(&table, book, catalogue, &mut notes);
    match (Problems::gathered([(source.name, source.text, notes)]), change) {
        (None, Some(change)) => Ok(change),
        (Some(problems), _) => Err(problems),
        (None, None) => Err(Problems::with_file(
            source.name,
            source.text,
            Refusal::of_file("the file does not describe a change"),
        )),
    }
}

fn change(table: &DeTable<'_>, book: &Book, catalogue: &Catalogue, notes: &mut Notes) -> Option<Change> {
    // A key that is missing has no place: it is told of the file.
    for (key, example) in [
        ("found", "\"the hanger is bent again\""),
        ("at", "\"rear-index\""),
        ("cause", "\"not-visible\""),
        ("concerns", "\"use\""),
        ("waits_until", "\"2026-11-27 15:00\""),
    ] {
        if key_of(table, key).is_none() {
            let refusal = Refusal::of_file(format!("the change has no `{key}`"));
            notes.refuse(refusal.help(format!("write `{key} = {example}`")));
        }
    }
    let top = Fields::in_table("the change", table, 0..0, TOP_KEYS, notes);
    let causes: Vec<(&str, Cause)> = Cause::ALL.iter().map(|cause| (cause.key(), *cause)).collect();
    let stakes = [(Stakes::Safety.key(), Stakes::Safety), (Stakes::Use.key(), Stakes::Use)];
    let words = top.get("found").and_then(|_| top.words("found", "the hanger is bent again", notes));
    let at = top.get("at").and_then(|value| step(value, book, notes));
    let cause = top.one_of_if("cause", &causes, notes);
    let concerns = top.one_of_if("concerns", &stakes, notes);
    let measured = top.name_if("measured", "12 mm over 600 mm", notes);
    let limit = top.name_if("limit", "at most 4 mm over 600 mm", notes);
    let photo = top.name_if("photo", "hanger-from-behind.jpg", notes);
    let waits_until = top.get("waits_until").and_then(|value| notes.keep(hour("waits_until", value)));
    let choices = top
        .list("choice", notes)
        .into_iter()
        .filter_map(|entry| choice(entry, book, catalogue, notes))
        .collect();
    let small = top.list("small", notes).into_iter().filter_map(|entry| small(entry, notes)).collect();
    let finding =
        Finding { words: words?, measured, limit, photo, cause: cause?, concerns: concerns?, at: at? };
    Some(Change { finding, choices, waits_until: waits_until?, small })
}

fn step(value: Given<'_, '_>, book: &Book, notes: &mut Notes) -> Option<StepId> {
    let found = notes.keep(crate::plain_value::name("at", value, "rear-index"))?;
    let known = || book.steps().iter().map(|step| step.id);
    let step = known().find(|id| id.0 == found).ok_or_else(|| {
        let keys: Vec<&str> = known().map(|id| id.0).collect();
        Refusal::at(value.span(), format!("{} is no step of the book", quoted(&found)))
            .help(offer(&found, &keys))
    });
    notes.keep(step)
}

fn choice(entry: Given<'_, '_>, book: &Book, catalogue: &Catalogue, notes: &mut Notes) -> Option<Choice> {
    let fields = Fields::of("[[choice]]", entry, CHOICE_KEYS, notes)?;
    let words = fields.name("words", "exchange the hanger", notes);
    let means = fields.words("means", "it shifts as planned", notes);
    let operations = fields
        .names("operations", "hanger-exchange", notes)
        .into_iter()
        .filter_map(|(found, entry)| operation(&found, entry, book, notes))
        .collect();
    let minutes = fields.whole_or("minutes", (0, MOST_MINUTES), 0, notes);
    let parts =
        fields.list("parts", notes).into_iter().filter_map(|entry| part(entry, catalogue, notes)).collect();
    Some(Choice { words: words?, means: means?, operations, minutes, parts })
}

fn operation(found: &str, entry: Given<'_, '_>, book: &Book, notes: &mut Notes) -> Option<OperationId> {
    let known = || book.operations().iter().map(|operation| operation.id);
    let operation = known().find(|id| id.0 == found).ok_or_else(|| {
        let keys: Vec<&str> = known().map(|id| id.0).collect();
        Refusal::at(entry.span(), format!("{} is no operation of the book", quoted(found)))
            .help(offer(found, &keys))
    });
    notes.keep(operation)
}

/// A part of the catalogue by its key, or another one with its price and its day.
fn part(entry: Given<'_, '_>, catalogue: &Catalogue, notes: &mut Notes) -> Option<ChoicePart> {
    let fields = Fields::of("a part", entry, PART_KEYS, notes)?;
    let pieces = fields.whole_or("pieces", (1, MOST_PIECES), 1, notes);
    let price = fields.get("price").map(|value| notes.keep(money("price", value)));
    let days = fields.get("days").map(|_| fields.whole("days", (0, MOST_DAYS), notes));
    let Some(value) = fields.get("part") else {
        let words = fields.name("name", "hanger for this frame", notes)?;
        return Some(ChoicePart { words, pieces, price: price.flatten(), days: days.flatten() });
    };
    if fields.get("name").is_some() {
        let what = "a part has a `part` of the catalogue and a `name`; one of the two is wanted";
        notes.refuse(Refusal::at(fields.span(), what));
    }
    let key = notes.keep(crate::plain_value::name("part", value, "chain-11"))?;
    let Some((words, listed, lead)) = listed(&key, catalogue) else {
        let keys: Vec<&str> = catalogue
            .parts
            .iter()
            .filter_map(|part| part.id())
            .chain(catalogue.small.keys().map(String::as_str))
            .collect();
        let what = format!("{} is no part of the catalogue", quoted(&key));
        notes.refuse(Refusal::at(value.span(), what).help(offer(&key, &keys)));
        return None;
    };
    // What the person at the stand writes wins over the list: the shelf knows better.
    let (price, days) = (price.unwrap_or(listed), days.unwrap_or(lead));
    Some(ChoicePart { words, pieces, price, days })
}

fn listed(key: &str, catalogue: &Catalogue) -> Option<(String, Option<quantity::Money>, Option<u32>)> {
    let part = catalogue.parts.iter().find(|part| part.id() == Some(key));
    match part {
        Some(part) => Some((part.name().to_owned(), part.price(), part.lead_days())),
        None => catalogue.small.get(key).map(|part| (part.name.clone(), part.price, part.lead_days)),
    }
}

fn small(entry: Given<'_, '_>, notes: &mut Notes) -> Option<SmallThing> {
    let fields = Fields::of("[[small]]", entry, SMALL_KEYS, notes)?;
    let words = fields.name("words", "a cable end tip", notes);
    let amount = fields.money("price", notes);
    Some(SmallThing { words: words?, amount: amount? })
}

/// A day with its hour, such as `2026-11-27 15:00`.
fn hour(key: &str, value: &Spanned<DeValue<'_>>) -> Result<DateTime, Refusal> {
    let found = match value.get_ref() {
        DeValue::Datetime(at) => at.to_string(),
        _ => crate::plain_value::name(key, value, "2026-11-27 15:00")?,
    };
    let (day, hour) = found.split_once([' ', 'T']).unwrap_or((&found, ""));
    let full = day.len() == 10 && hour.len() >= 5;
    match found.parse::<DateTime>() {
        Ok(at) if full => Ok(at),
        _ => Err(Refusal::at(value.span(), format!("{} is no day with its hour", quoted(&found)))
            .help(format!("write year, month, day, hour and minute such as `{key} = \"2026-11-27 15:00\"`"))),
    }
}
