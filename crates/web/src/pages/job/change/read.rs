//! The fields of a change order become one, or say what is wrong with them.

use super::{CHOICES, PARTS};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use jiff::ToSpan;
use jiff::civil::DateTime;
use shop::job::Channel;
use shop::{Cause, Change, Choice, ChoicePart, Finding, OperationId, SmallThing, Stakes};

/// Most minutes of a choice beside the operations: more is an operation of its own.
const MOST_MINUTES: i64 = 480;
/// Most pieces of one part.
const MOST_PIECES: i64 = 200;
/// Most working days until a part is here.
const MOST_DAYS: i64 = 366;

/// The hour that is proposed: this evening, or tomorrow noon if it is late.
pub(super) fn usual_hour() -> String {
    let now = clock::local_now();
    let evening = now.date().at(17, 0, 0, 0);
    let hour = if now < evening.saturating_sub(1.hour()) {
        evening
    } else {
        now.date().saturating_add(1.day()).at(12, 0, 0, 0)
    };
    hour.strftime("%Y-%m-%dT%H:%M").to_string()
}

/// The change order of a form.
pub(super) fn change(ask: &Ask, card: &JobCard) -> Result<Change, Failure> {
    let form = &ask.form;
    let book = &ask.house.workshop.book;
    let key = form.text("step");
    let Some(step) = book.steps().iter().find(|step| step.id.0 == key) else {
        return Err(Failure::NotFound { what: "step", name: key.to_owned() });
    };
    let cause = form.text("cause");
    let Some(cause) = Cause::ALL.iter().copied().find(|known| known.key() == cause) else {
        return Err(FieldFault::one("Why now", cause, "one of the causes is wanted"));
    };
    let hour = form.text("waits_until");
    let waits_until: DateTime = hour
        .parse()
        .map_err(|_| FieldFault::one("Until when", hour, "a day and an hour such as 2026-12-03T15:00"))?;
    let finding = Finding {
        words: form.said("found", "What was found")?,
        measured: form.said_or_none("measured", "Measured")?,
        limit: form.said_or_none("limit", "Limit")?,
        photo: photo(ask, card)?,
        cause,
        concerns: if form.has("safety") { Stakes::Safety } else { Stakes::Use },
        at: step.id,
    };
    let mut choices = Vec::new();
    for n in 1..=CHOICES {
        choices.extend(choice(ask, n)?);
    }
    choices.push(Choice {
        words: "leave it as it is".to_owned(),
        means: form.said("leave", "Leave it as it is")?,
        operations: Vec::new(),
        minutes: 0,
        parts: Vec::new(),
    });
    Ok(Change { finding, choices, waits_until, small: small(card) })
}

/// A photo of this job.
fn photo(ask: &Ask, card: &JobCard) -> Result<Option<String>, Failure> {
    let hash = ask.form.text("photo");
    if hash.is_empty() {
        return Ok(None);
    }
    let photos = ask.house.store.photos_of(&card.record.id)?;
    if photos.iter().any(|photo| photo.photo == hash) {
        Ok(Some(hash.to_owned()))
    } else {
        Err(Failure::NotFound { what: "photo", name: hash.to_owned() })
    }
}

/// Small things of this job that were done without a call.
fn small(card: &JobCard) -> Vec<SmallThing> {
    let questions = card.state().questions.values();
    let beforehand = questions.filter(|question| {
        question.answer.as_ref().is_some_and(|answer| answer.channel == Channel::Beforehand)
    });
    beforehand
        .filter_map(|question| question.chosen())
        .map(|choice| SmallThing { words: choice.words.clone(), amount: choice.price })
        .collect()
}

/// A choice of the form; none if its fields are empty.
fn choice(ask: &Ask, n: usize) -> Result<Option<Choice>, Failure> {
    let form = &ask.form;
    let name = |what: &str| format!("{what}_{n}");
    let field = |what: &str| format!("Choice {n}, {what}");
    let operation = form.text(&name("operation"));
    let operations: Vec<OperationId> = match operation {
        "" => Vec::new(),
        key => {
            let known = ask.house.workshop.book.operations().iter().find(|known| known.id.0 == key);
            let unknown = || Failure::NotFound { what: "work of the book", name: key.to_owned() };
            vec![known.ok_or_else(unknown)?.id]
        }
    };
    let minutes = form.whole(&name("minutes"), &field("minutes"), 0..=MOST_MINUTES)?.unwrap_or(0);
    let mut parts = Vec::new();
    for part in 1..=PARTS {
        parts.extend(choice_part(ask, n, part)?);
    }
    let words = form.text(&name("words"));
    if words.is_empty() && operations.is_empty() && minutes == 0 && parts.is_empty() {
        return Ok(None);
    }
    if operations.is_empty() && minutes == 0 && parts.is_empty() {
        let wanted = "work of the book, minutes or a part is wanted: doing nothing is a choice of its own";
        return Err(FieldFault::one(&field("what is done"), words, wanted));
    }
    Ok(Some(Choice {
        words: form.said(&name("words"), &field("what is done"))?,
        means: form.said(&name("means"), &field("what it means"))?,
        operations,
        minutes: u32::try_from(minutes).unwrap_or(0),
        parts,
    }))
}

fn choice_part(ask: &Ask, n: usize, part: usize) -> Result<Option<ChoicePart>, Failure> {
    let form = &ask.form;
    let name = |what: &str| format!("{what}_{n}_{part}");
    let field = |what: &str| format!("Choice {n}, part {part}, {what}");
    let Some(words) = form.said_or_none(&name("part"), &field("name"))? else { return Ok(None) };
    let pieces = form.whole(&name("pieces"), &field("pieces"), 1..=MOST_PIECES)?.unwrap_or(1);
    let days = form.whole(&name("days"), &field("days"), 0..=MOST_DAYS)?;
    let currency = ask.house.workshop.terms.hour.currency();
    let price = super::super::read_event::money(form, &name("price"), &field("price"), currency)?;
    Ok(Some(ChoicePart {
        words,
        pieces: u32::try_from(pieces).unwrap_or(1),
        price,
        days: days.and_then(|days| u32::try_from(days).ok()),
    }))
}
