//! A job: its head, its rooms, and the one door through which something happens to it.

pub(crate) mod estimate;
pub(crate) mod forms;

mod agree;
mod change;
mod check;
mod fault;
mod hand_over;
mod measure;
mod overview;
mod part_search;
mod parts;
mod plan;
mod read_event;
mod record;
mod ride;
mod sheets;
mod stand;
mod wish;

use crate::act::Tap;
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::page::Page;
use crate::reply::Reply;
use crate::routes::{Route, change as changes, escape};
use crate::who::Access;
use catalog::value::Noted;
use catalog::{Dimension, Value};
use fit::Origin;
use fit::words::verdict_words;
use maud::{Markup, html};
use quantity::{Basis, Reading};
use shop::job::BlindPoint;
use shop::{Event, Stage, State};
use std::sync::Arc;

pub(crate) fn routes() -> Vec<Route> {
    let mut all = vec![changes("/jobs/{job}/act", Access::Staff, act)];
    for room in [
        overview::routes,
        measure::routes,
        wish::routes,
        ride::routes,
        plan::routes,
        estimate::routes,
        agree::routes,
        self::change::routes,
        parts::routes,
        part_search::routes,
        check::routes,
        hand_over::routes,
        record::routes,
        sheets::routes,
        stand::routes,
        fault::routes,
    ] {
        all.extend(room());
    }
    all
}

/// The rooms of a job, in the order of the walk.
const ROOMS: [(&str, &str); 11] = [
    ("", "Where it stands"),
    ("/measure", "Measure"),
    ("/wish", "Wish and parts"),
    ("/plan", "Plan"),
    ("/ride", "Ride"),
    ("/estimate", "Estimate"),
    ("/parts", "Deliveries"),
    ("/stand", "Stand"),
    ("/check", "Checks"),
    ("/photos", "Photos"),
    ("/record", "Record"),
];

/// The card of the job in the path.
pub(crate) fn card(ask: &Ask) -> Result<Arc<JobCard>, Failure> {
    ask.house.card(ask.named("job"))
}

/// A room of a job in its frame; it is renewed when the job changes.
pub(crate) fn room(ask: &Ask, card: &JobCard, here: &str, body: Markup) -> Reply {
    let title = ROOMS.iter().find(|(path, _)| *path == here).map_or("Job", |(_, title)| *title);
    let page = Page::new(
        format!("{} {title}", card.number()),
        html! { (head(ask, card, here)) div.room { (body) } },
    );
    Reply::Page(page.following(card.number(), card.job.version()))
}

fn head(ask: &Ask, card: &JobCard, here: &str) -> Markup {
    let state = card.state();
    let book = &ask.house.workshop.book;
    let standing = card.standing(book);
    let base = format!("/jobs/{}", card.number());
    html! {
        header.job-head {
            p.tag { (card.number()) }
            div.names {
                h1 { (state.customer.as_deref().unwrap_or("")) ": " (card.record.name) }
                p {
                    strong.stage-word { (standing.stage.words()) }
                    @if !standing.held.is_empty() { " · " (standing.held) }
                }
                p.quiet {
                    @if let Some(hook) = &state.hook { "hook " (hook) " · " }
                    @match standing.promised_day {
                        Some(day) => { "promised for " (clock::day_words(day)) }
                        None => "no day promised",
                    }
                    " · plan: " (verdict_words(card.plan.verdict))
                }
            }
            @if !card.plan.flags.is_empty() {
                ul.flags { @for flag in &card.plan.flags { li { (flag) } } }
            }
        }
        nav.rooms aria-label="Rooms of this job" {
            @for (path, title) in ROOMS {
                a href=(format!("{base}{path}")) aria-current=[(path == here).then_some("page")] { (title) }
            }
        }
    }
}

/// Something happens to a job.
fn act(ask: &Ask) -> Result<Reply, Failure> {
    let who = ask.who()?;
    let number = ask.named("job");
    let before = card(ask)?;
    let event = read_event::read(ask, &before)?;
    who.may(&event)?;
    if let Event::Corrected { entry, .. } = event {
        own_or_manager(ask, &before, entry)?;
    }
    let tap = ask.tap(event);
    let card = ask.house.act(number, &who.person, &[tap], ask.seen())?;
    Ok(Reply::Go(way_back(ask, &card)))
}

/// A person corrects what they wrote; the manager corrects everything.
fn own_or_manager(ask: &Ask, card: &JobCard, entry: usize) -> Result<(), Failure> {
    let who = ask.who()?;
    let own = card.job.entries().get(entry).is_none_or(|entry| entry.by == who.person);
    if own || who.role == store::Role::Manager {
        return Ok(());
    }
    let why = "What somebody else wrote is corrected by them or by the manager.".to_owned();
    Err(Failure::NotAllowed { why })
}

/// The page that the form named, if it is one of this job.
fn way_back(ask: &Ask, card: &JobCard) -> String {
    let base = format!("/jobs/{}", card.number());
    let back = ask.form.text("back");
    let ours = back == base || back.strip_prefix(&base).is_some_and(|rest| rest.starts_with(['/', '?', '#']));
    if ours { back.to_owned() } else { base }
}

/// The address of a room of a job.
pub(crate) fn address(card: &JobCard, room: &str) -> String {
    format!("/jobs/{}{room}", escape(&card.number()))
}

/// What was measured in an earlier job on the same bike, for a new one: as taken there, on the bike as it left.
pub(crate) fn taken_over(earlier: &JobCard) -> Vec<Tap> {
    let state = earlier.state();
    // A bike that was collected has the new parts on it.
    let left = state.collected_by.is_some();
    let mut parts = state.refit.bike.clone();
    if left {
        for part in earlier.plan.build.choice.iter() {
            parts.put(part);
        }
    }
    let mut taps = Vec::new();
    for part in parts.iter() {
        let slot = part.slot();
        for field in slot.fields() {
            let Some(mut reading) = part.get(field.dimension).filter(|reading| reading.is_answered()) else {
                continue;
            };
            if left && field.dimension == Dimension::ChainCount && earlier.plan.build.choice.has(slot) {
                // A new chain was cut: what counts is what two people counted on the bike, not what was in the box.
                let Some(counted) = counted_chain(state) else { continue };
                reading = counted;
            }
            let event = Event::Measured { slot, origin: Origin::Found, dimension: field.dimension, reading };
            taps.push(Tap::now(event));
        }
    }
    taps
}

/// The pitches of the chain as two people counted them.
fn counted_chain(state: &State) -> Option<Reading<Value>> {
    let [_, second] = state.looks.get(&BlindPoint::ChainPitches)?;
    let second = second.as_ref().filter(|_| state.agrees(BlindPoint::ChainPitches))?;
    let value = Noted { value: second.value.round() as u32, basis: Basis::Counted };
    Some(Reading::Taken(Value::Count(value)))
}

/// Whether a job has left the shop.
pub(crate) fn is_over(stage: Stage) -> bool {
    matches!(stage, Stage::Collected | Stage::FollowedUp | Stage::SentHome)
}
