//! The intake: every row of the walk round the bike, with those that this wish needs and those that it does not.
//!
//! A row is needed if a rule that the refit touches used it or waits for it. All others are put back with the
//! reason: the manager sees why nobody has to measure them.

use crate::build::{Build, Origin, When};
use crate::finding::Finding;
use crate::measure_first::ToMeasure;
use crate::plan::Plan;
use catalog::{Dimension, Reach, Slot, Value};
use quantity::Reading;

/// One row of the intake.
#[derive(Clone, Debug, PartialEq)]
pub struct IntakeRow {
    /// What is measured.
    pub dimension: Dimension,
    /// The part it is taken on.
    pub slot: Slot,
    /// What has been written there so far.
    pub reading: Reading<Value>,
    /// What the row is to this wish.
    pub need: Need,
}

/// What a row of the intake is to a wish.
#[derive(Clone, Debug, PartialEq)]
pub enum Need {
    /// Verdicts wait for it: its place in the order of measuring, from 1.
    Wanted(usize),
    /// Verdicts rest on it.
    Used,
    /// It can change nothing, and why.
    Idle(Idle),
}

/// Why a row can change nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Idle {
    /// The refit replaces the part.
    Replaced,
    /// No interface that this refit touches looks at it.
    NotTouched,
}

/// The intake of a plan, in the order of the walk: the bike whole, the wheel out, the cassette off, parts tried loose.
pub fn intake_list(plan: &Plan) -> Vec<IntakeRow> {
    let mut rows: Vec<IntakeRow> = Vec::new();
    for slot in Slot::ALL {
        for field in slot.fields() {
            let dimension = field.dimension;
            rows.push(IntakeRow {
                dimension,
                slot: *slot,
                reading: plan.build.reading(*slot, When::Before, dimension),
                need: need(*slot, dimension, &plan.to_measure, &plan.findings, &plan.build),
            });
        }
    }
    rows.sort_by_key(|row| (row.dimension.row().reach, row.slot));
    rows
}

/// How many rows of the intake this wish needs.
pub fn needed(rows: &[IntakeRow]) -> usize {
    rows.iter().filter(|row| !matches!(row.need, Need::Idle(_))).count()
}

fn need(slot: Slot, dimension: Dimension, wanted: &[ToMeasure], findings: &[Finding], build: &Build) -> Need {
    let is_wanted = |w: &ToMeasure| w.dimension == dimension && w.slot == slot && w.origin == Origin::Found;
    if let Some(place) = wanted.iter().position(is_wanted) {
        return Need::Wanted(place + 1);
    }
    let mut facts = findings.iter().flat_map(|finding| &finding.facts);
    if facts.any(|fact| fact.dimension == dimension && fact.slot == slot && fact.origin == Origin::Found) {
        return Need::Used;
    }
    Need::Idle(if build.changes(slot) { Idle::Replaced } else { Idle::NotTouched })
}

/// The heading of a part of the walk.
pub fn walk_words(reach: Reach) -> &'static str {
    match reach {
        Reach::Whole => "with the bike whole",
        Reach::WheelOut => "rear wheel out",
        Reach::CassetteOff => "cassette off",
        Reach::Loosened => "tried loose, then tightened again",
    }
}
