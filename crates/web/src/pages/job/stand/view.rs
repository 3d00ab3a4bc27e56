//! What the stand shows, as data: the steps in their order with everything that the hand has to know before it reaches,
//! and how far each is. Begin with [`of`].

use super::bolt::{Bolt, bolt};
use super::expected::{self, Value};
use super::pictures;
use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use crate::pages::job::fault::{self, Trouble};
use crate::pages::job::overview::{parking_words, reason_words};
use crate::pages::job::plan::headline;
use crate::pages::job::record;
use crate::skills;
use crate::who::Who;
use document::{LaidWork, MinutesDocument};
use fit::Verdict;
use fit::words::verdict_words;
use serde::Serialize;
use shop::job::gate::stand_steps;
use shop::{Book, Event, FastenerId, Placed, StepId};
use std::collections::{BTreeMap, BTreeSet};

/// Everything of a job that the stand shows.
#[derive(Serialize)]
pub(crate) struct View {
    job: String,
    version: usize,
    now_ms: i64,
    name: String,
    person: String,
    /// Whether the person may work on a bike.
    works: bool,
    hook: Option<String>,
    /// The customer's first name and no more.
    customer: String,
    promised: Option<String>,
    stage: &'static str,
    /// What keeps the work from beginning.
    closed: Vec<String>,
    paused: Option<Paused>,
    findings: Vec<Judged>,
    problems: Vec<Found>,
    steps: Vec<Step>,
    fasteners: BTreeMap<&'static str, Bolt>,
    looks: BTreeMap<&'static str, String>,
    latest: Vec<Latest>,
    causes: &'static [&'static str],
    /// The mark of the pictures that belong to these steps.
    pictures: String,
}

/// How a job was left.
#[derive(Serialize)]
struct Paused {
    reason: &'static str,
    parking: &'static str,
    words: String,
    by: String,
    at: String,
}

/// A finding of the plan that is no plain yes.
#[derive(Serialize)]
struct Judged {
    verdict: &'static str,
    words: String,
}

/// A problem that nobody has settled.
#[derive(Serialize)]
struct Found {
    /// Its number in the job.
    at: usize,
    step: Option<&'static str>,
    words: String,
    stops: bool,
}

/// A step in its place.
#[derive(Serialize)]
struct Step {
    id: &'static str,
    title: &'static str,
    block: &'static str,
    minutes: MinutesDocument,
    tool: &'static str,
    skill: &'static str,
    no_way_back: bool,
    strips: bool,
    moves_something: bool,
    /// Whether it is a ride, which is recorded as one.
    ride: bool,
    /// Whether it goes over every bolt that was touched.
    all_bolts: bool,
    /// The page that finds the fault where this step does not come right.
    fault: Option<String>,
    consumable: Option<&'static str>,
    caution: Option<String>,
    fasteners: Vec<&'static str>,
    values: Vec<Value>,
    /// What comes before it, and why.
    after: Vec<Because>,
    /// All that has to be done before it.
    waits_for: Vec<&'static str>,
    done: Option<Done>,
}

/// A step that comes before.
#[derive(Serialize)]
struct Because {
    step: &'static str,
    because: &'static str,
}

/// Who did it.
#[derive(Serialize)]
struct Done {
    by: String,
    at: String,
}

/// One of the last entries.
#[derive(Serialize)]
struct Latest {
    by: String,
    at: String,
    words: String,
}

/// What is usually found: one tap instead of a sentence.
const CAUSES: [&str; 12] = [
    "bolt or thread seized",
    "bolt head rounded",
    "thread damaged",
    "crack or dent found",
    "part does not fit",
    "wrong part in the box",
    "part missing",
    "part worn or damaged",
    "bearing rough or loose",
    "cable does not run through",
    "cannot be set as it should",
    "tool missing or broken",
];

/// The view of a job for the person who is signed in.
pub(crate) fn of(house: &House, card: &JobCard, who: &Who) -> Result<View, Failure> {
    let book = &house.workshop.book;
    let state = card.state();
    let laid = LaidWork::with(&card.plan, book, state.circumstances, &state.added)
        .map_err(|why| Failure::Fault { what: "this job has no order of work", why: why.to_string() })?;
    let at_stand = stand_steps(state, card.judged_by(book));
    let ride = StepId("first-ride");
    let skills = house.skills_of(&who.person)?;
    let mut steps = Vec::new();
    for placed in &laid.order {
        if at_stand.contains(&placed.step.id) || placed.step.id == ride {
            let mut step = step(card, book, placed, &at_stand);
            // Who may not do it alone reads so before anything else.
            let said = skills::said(&skills, placed.step).into_iter().chain(step.caution.take());
            step.caution = said.reduce(|said, caution| format!("{said} {caution}"));
            steps.push(step);
        }
    }
    let mut fasteners: BTreeSet<FastenerId> = state.record.fasteners().keys().copied().collect();
    fasteners.extend(laid.order.iter().flat_map(|placed| placed.step.fasteners.iter().copied()));
    let stage = card.stage(book);
    let full = state.customer.as_deref().unwrap_or_default();
    Ok(View {
        job: card.number(),
        version: card.job.version(),
        now_ms: clock::now().0,
        name: card.record.name.clone(),
        person: who.person.to_string(),
        works: who.may(&Event::Resumed).is_ok(),
        hook: state.hook.clone(),
        customer: full.split_whitespace().next().unwrap_or_default().to_owned(),
        promised: state.promised.last().map(|day| clock::day_words(*day)),
        stage: stage.key(),
        closed: if state.started {
            Vec::new()
        } else {
            card.blocks_start(book).iter().map(ToString::to_string).collect()
        },
        paused: paused(card),
        findings: findings(card),
        problems: state
            .problems
            .iter()
            .map(|(at, problem)| Found {
                at: *at,
                step: problem.step.map(|step| step.0),
                words: problem.words.clone(),
                stops: problem.stops,
            })
            .collect(),
        steps,
        fasteners: fasteners.into_iter().filter_map(|id| bolt(card, id)).collect(),
        looks: looks(card),
        latest: latest(card, book),
        causes: &CAUSES,
        pictures: pictures::mark(card),
    })
}

fn paused(card: &JobCard) -> Option<Paused> {
    let pause = card.state().paused.as_ref()?;
    let entry = card.job.entries().iter().rev().find(|entry| matches!(entry.event, Event::Paused { .. }))?;
    Some(Paused {
        reason: reason_words(pause.reason),
        parking: parking_words(pause.parking),
        words: pause.words.clone(),
        by: entry.by.to_string(),
        at: clock::moment_words(entry.at),
    })
}

fn findings(card: &JobCard) -> Vec<Judged> {
    let is_told = |verdict: Verdict| matches!(verdict, Verdict::Marginal | Verdict::Fails | Verdict::Refused);
    card.plan
        .findings
        .iter()
        .filter(|finding| is_told(finding.verdict))
        .map(|finding| Judged { verdict: verdict_words(finding.verdict), words: headline(finding) })
        .collect()
}

fn step(card: &JobCard, book: &Book, placed: &Placed<'_>, at_stand: &[StepId]) -> Step {
    let ride = StepId("first-ride");
    let state = card.state();
    let step = placed.step;
    let at_stand_or_ride = |id: &StepId| *id == ride || at_stand.contains(id);
    let ridden = (step.id == ride && state.record.is_ridden())
        .then(|| card.job.entries().iter().rev().find(|entry| matches!(entry.event, Event::Rode { .. })))
        .flatten()
        .map(|entry| (&entry.by, entry.at));
    let done = state.done.get(&step.id).map(|(by, at)| (by, *at)).or(ridden);
    let work = shop::StepWork::of(step);
    Step {
        id: step.id.0,
        title: step.title,
        block: step.block.words(),
        minutes: MinutesDocument::of(step.minutes),
        tool: step.tool,
        skill: step.skill.words(),
        no_way_back: step.irreversible,
        strips: work.strips,
        moves_something: work.moves_something,
        ride: step.id == ride,
        all_bolts: step.id.0 == "first-bolt-check",
        fault: fault_of(step.id.0).map(|trouble| fault::address_of(card, trouble)),
        consumable: step.notes.consumable,
        caution: step.notes.caution.map(str::to_owned),
        fasteners: step.fasteners.iter().map(|id| id.0).collect(),
        values: expected::values(card, step),
        after: placed
            .after
            .iter()
            .filter(|link| at_stand_or_ride(&link.first))
            .map(|link| Because { step: link.first.0, because: link.because })
            .collect(),
        waits_for: at_stand
            .iter()
            .chain([&ride])
            .filter(|first| **first != step.id && book.comes_before(**first, step.id))
            .map(|first| first.0)
            .collect(),
        done: done.map(|(by, at)| Done { by: by.to_string(), at: clock::moment_words(at) }),
    }
}

/// The part that troubles where a step of setting does not come right.
fn fault_of(step: &str) -> Option<Trouble> {
    match step {
        "rear-index" | "rear-limits" | "b-gap-final" => Some(Trouble::Rear),
        "front-cable" | "front-low-limit" => Some(Trouble::Front),
        "brakes-set" | "static-brake-test" | "bleed-front" | "bleed-rear" => Some(Trouble::Brake),
        "readjust" => Some(Trouble::Noise),
        _ => None,
    }
}

/// Who has looked at the points of the second check; the values stay covered.
fn looks(card: &JobCard) -> BTreeMap<&'static str, String> {
    let looks = card.state().looks.iter();
    looks
        .filter_map(|(point, [first, _])| first.as_ref().map(|first| (point.key(), first.by.to_string())))
        .collect()
}

/// The last entries, the newest first.
fn latest(card: &JobCard, book: &Book) -> Vec<Latest> {
    const MOST: usize = 6;
    let told = card.job.entries().iter().rev().take(MOST);
    told.map(|entry| Latest {
        by: entry.by.to_string(),
        at: clock::moment_words(entry.at),
        words: record::what(book, card, entry),
    })
    .collect()
}
