//! The values that are written down at a step, each with what the plan expects. Begin with [`values`].

use crate::card::JobCard;
use fit::geometry::cut_list::Run;
use quantity::Span;
use serde::Serialize;
use shop::Step;
use shop::job::BlindPoint;

/// A value that the pad of the stand takes.
#[derive(Debug, Serialize)]
pub(crate) struct Value {
    /// Its key on the page.
    pub(crate) key: String,
    /// What it is.
    pub(crate) label: String,
    /// Its unit; empty for what is no number and goes on the sheet.
    pub(crate) unit: &'static str,
    /// The digits behind the point that the tool gives.
    pub(crate) digits: u8,
    /// What the plan expects; none where the plan does not say.
    pub(crate) expected: Option<f64>,
    /// The least that raises no question.
    pub(crate) least: f64,
    /// The most that raises no question.
    pub(crate) most: f64,
    /// What is asked about a value outside.
    pub(crate) beyond: String,
    /// The point of the second check that it is the first look of; a note otherwise.
    pub(crate) point: Option<&'static str>,
}

/// The values of a step: those that two people read, those of the cut list, and what the book wants written down.
pub(crate) fn values(card: &JobCard, step: &Step) -> Vec<Value> {
    let points: &[BlindPoint] = match step.id.0 {
        "chain-fit" => &[BlindPoint::ChainPitches],
        "b-gap-final" => &[BlindPoint::PulleyGap],
        "rear-index" => &[BlindPoint::ClickWindow],
        "brakes-set" => &[BlindPoint::PadGapFront, BlindPoint::PadGapRear],
        "levers-on" => &[BlindPoint::HoodLeft, BlindPoint::HoodRight],
        "position-check" => &[BlindPoint::HoodLeft, BlindPoint::HoodRight, BlindPoint::SaddleHeight],
        _ => &[],
    };
    let wanted = BlindPoint::of(&card.plan);
    let mut all: Vec<Value> =
        points.iter().filter(|point| wanted.contains(point)).map(|point| looked(card, *point)).collect();
    all.extend(match step.id.0 {
        "shift-housings" => cuts(card, &[Run::ShiftFront, Run::ShiftRear]),
        "brake-housings" | "hoses-route" => cuts(card, &[Run::BrakeFront, Run::BrakeRear]),
        _ => Vec::new(),
    });
    if all.is_empty()
        && let Some(record) = step.notes.record
    {
        all.push(noted(record));
    }
    all
}

fn looked(card: &JobCard, point: BlindPoint) -> Value {
    let (least, most) = point.plausible();
    let planned = planned(card, point);
    let (least, most, beyond) = match planned {
        Some(span) => (
            span.least().max(least),
            span.most().min(most),
            format!(
                "The plan expects {} {}. Count or measure again.",
                between(span, digits_of(point)),
                point.unit()
            ),
        ),
        None => (least, most, format!("{least} to {most} {} is what a hand can read here.", point.unit())),
    };
    Value {
        key: point.key().to_owned(),
        label: point.words().to_owned(),
        unit: point.unit(),
        digits: digits_of(point),
        expected: planned.map(Span::middle),
        least,
        most,
        beyond,
        point: Some(point.key()),
    }
}

fn digits_of(point: BlindPoint) -> u8 {
    match point {
        BlindPoint::PulleyGap
        | BlindPoint::PadGapFront
        | BlindPoint::PadGapRear
        | BlindPoint::ClickWindow => 1,
        _ => 0,
    }
}

fn between(span: Span, digits: u8) -> String {
    let text = |value: f64| quantity::digits::fixed(value, digits.into());
    let (low, high) = (text(span.least()), text(span.most()));
    if low == high { low } else { format!("{low} to {high}") }
}

/// What the plan says of a point.
fn planned(card: &JobCard, point: BlindPoint) -> Option<Span> {
    let cage = card.plan.geometry.drivetrain.value()?;
    match point {
        BlindPoint::ChainPitches => Some(Span::exact(f64::from(cage.count))),
        BlindPoint::PulleyGap => {
            let largest = cage.pairs.iter().map(|pair| pair.cog).max()?;
            let smallest = cage.pairs.iter().map(|pair| pair.ring).min()?;
            let pair = cage.pairs.iter().find(|pair| pair.cog == largest && pair.ring == smallest)?;
            let gap = &pair.state.as_ref().ok()?.gap_mm;
            (!gap.open).then_some(gap.span)
        }
        _ => None,
    }
}

/// The pieces of housing or hose of some runs.
fn cuts(card: &JobCard, runs: &[Run]) -> Vec<Value> {
    let Some(list) = card.plan.geometry.cut_list.value() else { return Vec::new() };
    let wanted =
        |cut: &&fit::geometry::cut_list::Cut| runs.contains(&cut.run) && !cut.piece.contains("inner");
    list.cuts
        .iter()
        .filter(wanted)
        .map(|cut| Value {
            key: format!("{}, {}", cut.run.words(), cut.piece),
            label: format!("{}, {}: as cut", cut.run.words(), cut.piece),
            unit: "mm",
            digits: 0,
            expected: Some(cut.cut_at.middle()),
            least: cut.cut_at.least(),
            most: cut.cut_at.most(),
            beyond: format!(
                "The cut list says {} mm ({}). A piece cut too short does not come back.",
                between(cut.cut_at, 0),
                cut.grounds.words()
            ),
            point: None,
        })
        .collect()
}

/// What the book wants written down where the plan has no figure for it.
fn noted(record: &'static str) -> Value {
    let (label, unit) = match record.rsplit_once(", ") {
        Some((label, unit @ ("mm" | "clicks"))) => (label, unit),
        _ if record.starts_with("pitches") => (record, "pitches"),
        // What is no number is written on the sheet: no keyboard at the stand.
        _ => (record, ""),
    };
    Value {
        key: "note".to_owned(),
        label: label.to_owned(),
        unit,
        digits: 1,
        expected: None,
        least: 0.0,
        most: 9_999.0,
        beyond: "No more than four digits are taken here.".to_owned(),
        point: None,
    }
}
