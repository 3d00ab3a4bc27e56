//! The intake: every row of the walk round the bike, with those that this wish needs and those that it does not.
//!
//! A row is needed if a rule that the refit touches used it or waits for it. A second sort decides nothing and is lost
//! with the first bolt: it is recorded before the strip, so that it can be set back. All others are put back with the
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
    /// The strip loses it: it is recorded before, and why.
    Record(&'static str),
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
    if let Some(why) = recorded(slot, dimension, build) {
        return Need::Record(why);
    }
    Need::Idle(if build.changes(slot) { Idle::Replaced } else { Idle::NotTouched })
}

/// Values that are gone once a part comes off: where they stand, which new parts take them away, and what for.
const LOST: &[(Dimension, &[Slot], &str)] = {
    use Dimension as D;
    const HANDS: &[Slot] = &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Headset];
    const COCKPIT: &[Slot] = &[Slot::Bar, Slot::Levers];
    const LINES: &[Slot] = &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Shifters, Slot::Cables];
    const BACK: &str = "the rider's position is set back by it";
    const WITNESS: &str = "a witness of the old length, cut or not";
    &[
        (D::SaddleHeight, &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Seatpost, Slot::Crankset], BACK),
        (D::SaddleSetback, &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Seatpost], BACK),
        (D::SaddleHoods, HANDS, BACK),
        (D::HoodFloors, HANDS, BACK),
        (D::BarTilt, HANDS, BACK),
        (D::LeverTilt, COCKPIT, BACK),
        (D::BarDrop, &[Slot::Bar], "the drops are where the hands are, too"),
        (D::BarWidth, &[Slot::Bar], "housings are longer or shorter by half of what the width changes"),
        (D::StemAngle, &[Slot::Bar, Slot::Stem], BACK),
        (D::StemLength, &[Slot::Bar, Slot::Stem], BACK),
        (D::Spacers, &[Slot::Stem, Slot::Headset], BACK),
        (D::LeverOpening, COCKPIT, "the reach of the fingers is set back by it"),
        (D::OldBrakePiece, LINES, WITNESS),
        (D::OldShiftPiece, LINES, WITNESS),
        (D::BarThings, &[Slot::Bar], "each thing keeps its place, moves or stays off, in writing"),
        (D::HeadsetPlay, &[Slot::Bar, Slot::Stem], "what a new bar makes felt is written down before it"),
        (D::StemTorque, &[Slot::Bar, Slot::Stem], "the lower of the two printed torques counts"),
        (D::FrontBrakeLever, COCKPIT, "the side goes back as it was, or as the rider says"),
        (
            D::FrameDamage,
            &[Slot::Bar, Slot::Stem, Slot::Headset],
            "old damage is on record before the first bolt",
        ),
        (
            D::ForkDamage,
            &[Slot::Bar, Slot::Stem, Slot::Headset],
            "old damage is on record before the first bolt",
        ),
    ]
};

/// Why a row is recorded before the strip.
fn recorded(slot: Slot, dimension: Dimension, build: &Build) -> Option<&'static str> {
    let (_, _, why) = LOST.iter().find(|(lost, by, _)| {
        *lost == dimension
            && crate::build::owner(dimension) == slot
            && by.iter().any(|slot| build.changes(*slot))
    })?;
    Some(why)
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
