//! What was tapped at the stand, now or while the network was gone: judged tap by tap, in order, each answered.
//!
//! A tap has the form of an entry as the store writes it, with the key that was made where it was tapped. A key that is
//! known already is a repeat and changes nothing.

use crate::act::Tap;
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::house::House;
use crate::reply::Reply;
use crate::who::Who;
use serde::{Deserialize, Serialize};
use shop::{Entry, Event, Moment, Person};
use store::record::EntryRecord;

/// Most taps in one go; a tablet sends the rest after these are answered.
const MOST_TAPS: usize = 60;

/// What a tablet sends.
#[derive(Deserialize)]
struct Sent {
    /// The clock of the tablet as it sends, milliseconds since 1970: the times of taps are moved by what it differs.
    now_ms: i64,
    /// The taps in their order.
    taps: Vec<SentTap>,
}

/// A tap with the version of the job that the tablet showed.
#[derive(Deserialize)]
struct SentTap {
    seen: usize,
    /// Read one by one: what this program does not understand holds up nothing else.
    tap: serde_json::Value,
}

/// What became of a tap.
#[derive(Debug, PartialEq, Serialize)]
struct Became {
    key: String,
    became: &'static str,
    why: Vec<String>,
}

/// Takes taps.
pub(super) fn take(ask: &Ask) -> Result<Reply, Failure> {
    let who = ask.who()?;
    let sent: Sent = serde_json::from_slice(&ask.body).map_err(|why| {
        FieldFault::one(
            "Taps",
            "another form",
            format!("a list of taps as the stand sends it is wanted: {why}"),
        )
    })?;
    if sent.taps.len() > MOST_TAPS {
        let found = format!("{} taps", sent.taps.len());
        return Err(FieldFault::one("Taps", &found, format!("at most {MOST_TAPS} are taken at once")));
    }
    let number = ask.named("job");
    // There is such a job, or the whole lot is refused before anything is read.
    let mut version = ask.house.card(number)?.job.version();
    let now = clock::now();
    let ahead_ms = now.0.saturating_sub(sent.now_ms);
    let mut answers = Vec::new();
    for one in &sent.taps {
        let key = one.tap.get("key").and_then(serde_json::Value::as_str).unwrap_or_default().to_owned();
        match take_one(&ask.house, number, who, one, (now, ahead_ms)) {
            Ok((became, card_version)) => {
                version = card_version;
                answers.push(Became { key, became, why: Vec::new() });
            }
            Err(failure) => {
                let became = word_of(&failure);
                if let Some(line) = failure.log_line() {
                    eprintln!("{} {line}", clock::moment_iso(now));
                }
                answers.push(Became { key, became, why: failure.lines() });
                // What the store could not keep now it may keep later; those behind it wait with it.
                if became == "later" {
                    break;
                }
            }
        }
    }
    Ok(Reply::Json(serde_json::json!({
        "answers": answers, "version": version, "person": who.person.to_string(),
    })))
}

/// What a tablet does with a tap that was not kept: tells it, or holds it and sends it again.
fn word_of(failure: &Failure) -> &'static str {
    match failure {
        Failure::Meanwhile(_) => "conflict",
        Failure::SignIn => "other-person",
        Failure::Busy | Failure::Wait { .. } => "later",
        Failure::Store(_) | Failure::Fault { .. } if failure.status().is_server_error() => "later",
        _ => "refused",
    }
}

fn take_one(
    house: &House,
    number: &str,
    who: &Who,
    sent: &SentTap,
    (now, ahead_ms): (Moment, i64),
) -> Result<(&'static str, usize), Failure> {
    let unread = |why: String| FieldFault::one("Tap", "", why);
    let record: EntryRecord =
        serde_json::from_value(sent.tap.clone()).map_err(|why| unread(why.to_string()))?;
    let entry = record.entry().map_err(|why| unread(why.to_string()))?;
    if entry.by != who.person {
        // Nobody's taps go in under another name: they wait on the tablet for the one who made them.
        return Err(Failure::SignIn);
    }
    let card = house.card(number)?;
    let is_known = card.job.entries().iter().any(|known| known.key == entry.key);
    if !is_known {
        who.may(&entry.event)?;
        if let Some(other) = meanwhile(&card, &entry, sent.seen) {
            return Err(Failure::Meanwhile(Box::new(other.clone())));
        }
    }
    // The clock of the shop counts, and nothing was tapped in the future.
    let at = Moment(entry.at.0.saturating_add(ahead_ms).min(now.0));
    let tap = Tap { key: entry.key, at, event: entry.event };
    let card = house.act(number, &who.person, &[tap], Some(sent.seen))?;
    Ok((if is_known { "repeated" } else { "kept" }, card.job.version()))
}

/// The entry that did the same since the tablet last looked: two hands with one step want to know of each other.
fn meanwhile<'a>(card: &'a JobCard, tap: &Entry, seen: usize) -> Option<&'a Entry> {
    let since = card.job.entries().get(seen..).unwrap_or_default();
    since.iter().rev().find(|known| known.key != tap.key && is_same_deed(known, &tap.event, &tap.by))
}

fn is_same_deed(known: &Entry, event: &Event, by: &Person) -> bool {
    match (&known.event, event) {
        (Event::Done { step, .. }, Event::Done { step: again, .. }) => step == again,
        (
            Event::Tightened { fastener, .. } | Event::ClosedByHand { fastener },
            Event::Tightened { fastener: again, .. } | Event::ClosedByHand { fastener: again },
        ) => fastener == again && known.by != *by,
        (Event::Started, Event::Started)
        | (Event::Paused { .. }, Event::Paused { .. })
        | (Event::Resumed, Event::Resumed) => true,
        _ => false,
    }
}
