//! The record: every entry in order, with who and when. What was wrong is corrected by a new entry.

use super::{card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use fit::Origin;
use intake::value_text;
use maud::html;
use quantity::digits;
use shop::job::{Channel, Look, PartCheck, RideKind};
use shop::{Book, Entry, Event, Fastener, FastenerId};
use std::collections::BTreeMap;

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}/record", Access::Staff, page)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let entries = card.job.entries();
    let corrected: BTreeMap<usize, usize> = entries
        .iter()
        .enumerate()
        .filter_map(|(at, entry)| match entry.event {
            Event::Corrected { entry, .. } => Some((entry, at)),
            _ => None,
        })
        .collect();
    let who = ask.who()?;
    let body = html! {
        p { (entries.len()) " entries. Nothing is changed or taken away; what was wrong is corrected by a new entry." }
        ol.record {
            @for (at, entry) in entries.iter().enumerate().rev() {
                li id=(format!("e{at}")) class=(if corrected.contains_key(&at) { "corrected" } else { "" }) {
                    span.number { (at + 1) }
                    div {
                        p { (what(&ask.house.workshop.book, &card, entry)) }
                        p.quiet { (entry.by) ", " time datetime=(clock::moment_iso(entry.at)) { (clock::moment_words(entry.at)) }
                            @if let Some(by) = corrected.get(&at) { " · corrected by " a href=(format!("#e{by}")) { "entry " (by + 1) } } }
                        @let mine = entry.by == who.person || who.role == store::Role::Manager;
                        @if mine && entry.event.can_be_corrected() && !corrected.contains_key(&at) {
                            details {
                                summary { "This was wrong" }
                                (forms::act_line(&card, "corrected", "/record", html! {
                                    input type="hidden" name="entry" value=(at);
                                    label for=(format!("why-{at}")) { "Why" }
                                    input id=(format!("why-{at}")) name="words" required autocomplete="off";
                                    button { "Correct it" }
                                }))
                            }
                        }
                    }
                }
            }
        }
    };
    Ok(room(ask, &card, "/record", body))
}

fn bolt(id: FastenerId) -> &'static str {
    Fastener::find(id).map_or(id.0, |fastener| fastener.title)
}

/// By which way the customer spoke.
pub(super) fn channel_words(channel: Channel) -> &'static str {
    match channel {
        Channel::Counter => "at the counter",
        Channel::Link => "by the private link",
        Channel::Telephone => "by telephone",
        Channel::Beforehand => "as agreed beforehand for small things",
    }
}

/// An entry in a sentence.
pub(crate) fn what(book: &Book, card: &JobCard, entry: &Entry) -> String {
    match &entry.event {
        Event::Enquired { customer, words, .. } => format!("{customer} asked: “{words}”"),
        Event::Received { hook } => format!("the bike hangs on hook {hook}"),
        Event::WishSet(_) => "the wish was written down".to_owned(),
        Event::RiderSet(_) => "the rider was written down".to_owned(),
        Event::RideSet(ride) => match &ride.hill {
            Some((length, climb)) => format!(
                "the customer's hill: {} m along the road, {} m up",
                digits::fixed(length.to_mm() / 1_000.0, 0),
                digits::fixed(climb.to_mm() / 1_000.0, 0)
            ),
            None => "a recorded ride was put to the job".to_owned(),
        },
        Event::CircumstancesSet(_) => "what the bike adds to the work was written down".to_owned(),
        Event::Measured { slot, origin, dimension, reading } => {
            let on = if *origin == Origin::Chosen { "new " } else { "" };
            let value = value_text(*slot, *dimension, reading);
            format!("{on}{}, {}: {value}", slot.words(), dimension.words())
        }
        Event::Chosen(part) => format!("chosen for the {}: {}", part.slot().words(), part.name()),
        Event::Dropped(slot) => format!("taken off the list: {}", slot.words()),
        Event::HandsRecorded { words } => format!("where the hands were: {words}"),
        Event::Estimated { total, ceiling, scope } => match ceiling {
            Some(ceiling) => format!("estimate went out: {scope}, {total}, not above {ceiling}"),
            None => format!("estimate went out: {scope}, {total}"),
        },
        Event::Promised { day, words } => format!("told for {}: {words}", clock::day_words(*day)),
        Event::Approved { version, name, channel, words } => {
            format!("{name} agreed to version {version} {}: “{words}”", channel_words(*channel))
        }
        Event::Declined { what, words } => format!("declined: {what}. “{words}”"),
        Event::Ordered { slot, due_day: Some(day) } => {
            format!("{} ordered, due {}", slot.words(), clock::day_words(*day))
        }
        Event::Ordered { slot, due_day: None } => format!("{} ordered", slot.words()),
        Event::Arrived { slot } => format!("{} came", slot.words()),
        Event::PartChecked { slot, check: PartCheck::Fits } => {
            format!("{} is complete and right", slot.words())
        }
        Event::PartChecked { slot, check: PartCheck::Wrong { words } } => {
            format!("{} is wrong: {words}", slot.words())
        }
        Event::Started => "the work began".to_owned(),
        Event::Done { step, .. } => format!("done: {}", book.step(*step).map_or(step.0, |step| step.title)),
        Event::Tightened { fastener, torque, wrench, .. } => {
            format!(
                "{} at {} N·m with {wrench}",
                bolt(*fastener),
                digits::fixed(torque.to_newton_metres(), 1)
            )
        }
        Event::ClosedByHand { fastener } => format!("{} closed", bolt(*fastener)),
        Event::Witnessed { fastener } => format!("{} does not move at its torque", bolt(*fastener)),
        Event::FoundLoose { fastener } => format!("{} was found loose", bolt(*fastener)),
        Event::Problem { words, stops, .. } => {
            format!("found: {words}{}", if *stops { "; the work stops" } else { "" })
        }
        Event::Settled { problem, words } => format!("entry {} settled: {words}", problem + 1),
        Event::ChangeAsked { problem, change } => {
            let choices: Vec<String> =
                change.choices.iter().map(|choice| format!("{}, {}", choice.words, choice.price)).collect();
            format!("the customer is asked about entry {}: {}", problem + 1, choices.join("; or "))
        }
        Event::ChangeAnswered { asked, choice, name, channel, words } => {
            let question = card.state().questions.get(asked);
            let chosen = question.and_then(|question| question.change.choices.get(*choice));
            let chosen = chosen.map_or("a choice that was withdrawn", |choice| choice.words.as_str());
            format!("{name} chose “{chosen}” {}: “{words}”", channel_words(*channel))
        }
        Event::Paused { reason, parking, words } => format!(
            "paused, {}; left {}: {words}",
            super::overview::reason_words(*reason),
            super::overview::parking_words(*parking)
        ),
        Event::Resumed => "read what was left, and went on".to_owned(),
        Event::Looked { point, look, value } => {
            // Who looks second does not see the first value.
            let first = if *look == Look::First { "first" } else { "second" };
            match card.state().agrees(*point) || card.state().collected_by.is_some() {
                true => format!("{first} look, {}: {} {}", point.words(), value, point.unit()),
                false => format!("{first} look, {}: covered until both agree", point.words()),
            }
        }
        Event::Rode { ride, instead } => {
            let which = if *ride == RideKind::First { "first" } else { "second" };
            match instead {
                Some(words) => format!("{which} ride not ridden: {words}"),
                None => format!("{which} ride done"),
            }
        }
        Event::SecondChecked => "second check signed".to_owned(),
        Event::Collected { name } => format!("collected by {name}"),
        Event::FollowedUp { clicks: Some(clicks), words } => format!("followed up, {clicks} clicks: {words}"),
        Event::FollowedUp { clicks: None, words } => format!("followed up: {words}"),
        Event::SentHome { words } => format!("sent home: {words}"),
        Event::Noted { words } => words.clone(),
        Event::Corrected { entry, words } => format!("entry {} was wrong: {words}", entry + 1),
    }
}
