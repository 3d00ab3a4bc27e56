//! What the sheets pick from the documents: what was measured, what is worn, what is open, what is to be written down, and
//! why a job ends.

use document::plan::FactDocument;
use document::{PlanDocument, WorkDocument};
use serde::Serialize;
use std::collections::BTreeSet;

/// A measurement of the bike as found.
#[derive(Serialize)]
pub(super) struct Fact<'a> {
    what: String,
    value: &'a str,
    basis: &'a str,
    part: &'a str,
}

/// What was measured on the bike, each once, in the order in which the findings use it.
pub(super) fn facts(plan: &PlanDocument) -> Vec<Fact<'_>> {
    let mut seen = BTreeSet::new();
    let facts = plan.findings.iter().flat_map(|finding| &finding.facts);
    let facts: Vec<&FactDocument> =
        facts.filter(|fact| fact.origin == "found" && seen.insert((fact.part, fact.what))).collect();
    // What two parts have, such as the rim wall of either wheel, is told with the part.
    let is_twice = |what| facts.iter().filter(|fact| fact.what == what).count() > 1;
    let named = |fact: &FactDocument| match is_twice(fact.what) {
        true => format!("{}, {}", fact.what, fact.part),
        false => fact.what.to_owned(),
    };
    facts
        .iter()
        .map(|fact| Fact { what: named(fact), value: &fact.value, basis: &fact.basis, part: fact.part })
        .collect()
}

/// A worn part as measured, and how far it is from its limit.
#[derive(Serialize)]
pub(super) struct Wear<'a> {
    what: String,
    value: &'a str,
    to_limit: Option<String>,
}

/// Rules that judge wear.
const OF_WEAR: [&str; 5] = ["rim-wear", "rotor-wear", "pad-wear", "chain-wear", "cog-wear"];

/// What was measured of wear on parts that were found on the bike.
pub(super) fn wear(plan: &PlanDocument) -> Vec<Wear<'_>> {
    let mut all = Vec::new();
    for finding in plan.findings.iter().filter(|finding| OF_WEAR.contains(&finding.rule)) {
        let to_limit = finding.margin.as_ref().map(|margin| to_limit(&margin.text, margin.value));
        for fact in finding.facts.iter().filter(|fact| fact.origin == "found") {
            all.push(Wear {
                what: format!("{}, {}", fact.what, fact.part),
                value: &fact.value,
                to_limit: to_limit.clone(),
            });
        }
    }
    all
}

/// How far a worn part is from its limit: the margin without the range that its tolerance leaves.
fn to_limit(text: &str, value: f64) -> String {
    let (middle, _) = text.split_once(" (").unwrap_or((text, ""));
    let middle = middle.trim_start_matches(['+', '−', '-']);
    if value < 0.0 { format!("{middle} past its limit") } else { format!("{middle} to its limit") }
}

/// What stands against beginning, worst first.
pub(super) fn open(plan: &PlanDocument) -> Vec<String> {
    let failing = |verdict: &'static str| {
        let of = plan.findings.iter().filter(move |finding| finding.verdict == verdict);
        of.map(move |finding| finding.question.to_owned())
    };
    let to_measure = plan.to_measure.iter().map(|row| format!("measure {}", row.what));
    failing("refused").chain(failing("fails")).chain(failing("marginal")).chain(to_measure).collect()
}

/// Why a job ends before a bolt is turned.
#[derive(Serialize)]
pub(super) struct Stop<'a> {
    question: &'a str,
    because: &'a [String],
    ways: Vec<&'a str>,
    measured: Vec<String>,
}

/// Why the job ends, if it does.
pub(super) fn stop(plan: &PlanDocument) -> Option<Stop<'_>> {
    let rule = plan.stopped?;
    let finding = plan.findings.iter().find(|finding| finding.rule == rule)?;
    let found = finding.facts.iter().filter(|fact| fact.origin == "found");
    Some(Stop {
        question: finding.question,
        because: &finding.because,
        ways: finding.cures.iter().map(|cure| cure.what.as_str()).collect(),
        measured: found.map(|fact| format!("{}: {}", fact.what, fact.value)).collect(),
    })
}

/// Values that a build sheet asks for, each by the step that it comes from, most wanted first.
const BLANKS: [(&str, &str); 10] = [
    ("chain-fit", "chain, pitches fitted, link"),
    ("b-gap-final", "gap guide pulley to cog, mm"),
    ("levers-on", "hood forward / up, mm"),
    ("hanger-align", "hanger after, mm"),
    ("rear-index", "clicks window, 2 gears"),
    ("brakes-set", "pad gap front / rear, mm"),
    ("front-derailleur-place", "front cage height, mm"),
    ("cassette-on", "spacers behind cassette"),
    ("bottom-bracket-in", "bottom bracket spacers"),
    ("contact-points", "saddle height, setback, mm"),
];
/// As many boxes as the sheet has room for.
const BOXES: usize = 6;

/// The boxes of the build sheet: of the steps that this job has; what is left over is free. None where no bolt is turned.
pub(super) fn blanks(work: &WorkDocument) -> Vec<&'static str> {
    if work.bolts.is_empty() {
        return Vec::new();
    }
    let has = |id: &str| work.order.iter().any(|step| step.step == id);
    let mut blanks: Vec<&str> =
        BLANKS.iter().filter(|(step, _)| has(step)).map(|(_, words)| *words).collect();
    blanks.resize(BOXES, "");
    blanks
}

/// What a step is called where room is short: up to its first pause, if that says enough to go by.
pub(super) fn short(title: &str) -> &str {
    let ends = title.char_indices().filter(|(at, c)| matches!(c, ',' | ';' | ':') && *at >= 12);
    ends.map(|(at, _)| &title[..at]).next().unwrap_or(title)
}

/// A value that a step puts on record.
#[derive(Serialize)]
pub(super) struct Record {
    at: usize,
    step: &'static str,
    what: &'static str,
}

/// Steps whose values have a place of their own: the table of torques, and the sheet of the second person, who does not see
/// the first values.
const ELSEWHERE: [&str; 2] = ["first-bolt-check", "second-check"];

/// What the steps of this job write down at the stand; what belongs to intake stands with the measurements.
pub(super) fn records(work: &WorkDocument) -> Vec<Record> {
    let steps = work.order.iter().enumerate();
    let at_the_stand = steps.filter(|(_, step)| step.block != "A" && !ELSEWHERE.contains(&step.step));
    at_the_stand
        .filter_map(|(at, step)| Some(Record { at: at + 1, step: short(step.title), what: step.record? }))
        .collect()
}
