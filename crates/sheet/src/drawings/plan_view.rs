//! The drivetrain from above: every ring and cog beside the middle plane, the pairs that rub or hang slack marked.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, number, teeth_of, unknown};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use std::collections::BTreeSet;

/// Across the bike the drawing is larger than the bike; along it is not to scale, and says so.
const ACROSS: f64 = 2.0;
const COGS_X_MM: f64 = 34.0;
const RINGS_X_MM: f64 = 128.0;
/// Room under the title for the words over the rows.
const TOP_MM: f64 = 16.0;

/// The plan view of the bike after the refit.
pub fn plan_view(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Chainlines from above";
    let gears = &plan.gears.after;
    let (Some(rings), Some(cogs)) = (&gears.rings_at_mm, &gears.cogs_at_mm) else {
        let rows: Vec<String> =
            [("rings", gears.rings_at_mm.is_none()), ("cogs", gears.cogs_at_mm.is_none())]
                .iter()
                .filter(|(_, missing)| *missing)
                .map(|(what, _)| format!("where the {what} stand beside the middle plane is not known"))
                .collect();
        return unknown(TITLE, "Not drawn yet: measure first", &rows);
    };
    let pairs: Vec<_> = gears.pairs.iter().filter_map(|pair| Some((teeth_of(&pair.pair)?, pair))).collect();
    let ring_teeth = in_order(pairs.iter().map(|(teeth, _)| teeth.0));
    let cog_teeth = in_order(pairs.iter().map(|(teeth, _)| teeth.1));
    let all = rings.iter().chain(cogs).copied();
    let (least, most) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), at| (a.min(at), b.max(at)));
    if ring_teeth.len() != rings.len() || cog_teeth.len() != cogs.len() || !(least.is_finite()) {
        return unknown(TITLE, "Not drawn: the gears are not all known", &[]);
    }
    // The strip between the middle plane and the innermost sprocket holds nothing: it is broken off.
    let floor = (least - 6.0).max(0.0).floor();
    let y = |at: f64| TOP_MM + (most + 3.0 - at) * ACROSS;
    let foot = y(floor) + 4.0;
    let avoided: Vec<_> = pairs.iter().filter(|(_, pair)| !pair.avoid.is_empty()).collect();
    let height = foot + 10.0 + 5.2 * (avoided.len() as f64 / 2.0).ceil().max(1.0) + 3.0;
    let about = format!("{} rings and {} cogs; {} pairs are avoided", rings.len(), cogs.len(), avoided.len());
    let mut drawing = Drawing::new(WIDTH_MM, height, TITLE, about);
    head(
        &mut drawing,
        TITLE,
        "millimetres right of the middle plane, across 2 : 1; along the bike not to scale",
    );
    for ((ring, cog), pair) in &pairs {
        let (Some(r), Some(c)) = (place(&ring_teeth, *ring), place(&cog_teeth, *cog)) else { continue };
        let pen = if pair.avoid.contains(&"rubs") {
            Pen::solid(0.6, Mark::Bad)
        } else if pair.avoid.is_empty() {
            Pen::solid(0.12, Mark::Quiet)
        } else {
            Pen::solid(0.6, Mark::Bad).broken(Dash::Long)
        };
        drawing.line(Place::new(COGS_X_MM, y(cogs[c])), Place::new(RINGS_X_MM, y(rings[r])), pen);
    }
    row(&mut drawing, COGS_X_MM, &cog_teeth, cogs, y, true);
    row(&mut drawing, RINGS_X_MM, &ring_teeth, rings, y, false);
    for (middle, x, name) in
        [(mean(rings), RINGS_X_MM + 34.0, "front"), (mean(cogs), COGS_X_MM - 34.0, "rear")]
    {
        let half = if name == "front" { (RINGS_X_MM - 6.0, WIDTH_MM) } else { (0.0, COGS_X_MM + 6.0) };
        let pen = Pen::solid(0.3, Mark::Set).broken(Dash::Centre);
        drawing.line(Place::new(half.0, y(middle)), Place::new(half.1, y(middle)), pen);
        let text = format!("{name} {}", number(middle, 1));
        let anchor = if name == "front" { Anchor::Middle } else { Anchor::Start };
        let at = Place::new(x, y(middle) - 1.2);
        drawing.text(at, VALUE_MM, anchor, Weight::Bold, Mark::Set, text);
    }
    let edge = Pen::solid(0.25, Mark::Quiet).broken(Dash::Dots);
    drawing.line(Place::new(0.0, foot - 2.0), Place::new(WIDTH_MM, foot - 2.0), edge);
    let text =
        format!("broken off here: {} mm further down runs the middle plane of the bike", number(floor, 0));
    drawing.text(Place::new(0.0, foot + 2.5), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, text);
    marked(&mut drawing, foot + 9.0, &avoided);
    drawing
}

type Marked<'a> = ((u32, u32), &'a document::plan::PairDocument);

fn marked(drawing: &mut Drawing, top: f64, avoided: &[&Marked<'_>]) {
    if avoided.is_empty() {
        let text = "no pair rubs or hangs slack, of what is known";
        drawing.text(Place::new(0.0, top), LABEL_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
    }
    for (i, ((ring, cog), pair)) in avoided.iter().enumerate() {
        let at = Place::new(if i % 2 == 0 { 0.0 } else { 92.0 }, top + 5.2 * (i / 2) as f64);
        let mut why = Vec::new();
        if let (true, Some(gap)) = (pair.avoid.contains(&"rubs"), pair.rub_gap_mm) {
            why.push(format!("rubs, {} mm", number(gap, 1)));
        }
        if let (true, Some(slack)) = (pair.avoid.contains(&"slack"), pair.slack_mm) {
            why.push(format!("hangs {} mm", number(slack, 0)));
        }
        let pen = Pen::solid(0.6, Mark::Bad);
        let pen = if pair.avoid.contains(&"rubs") { pen } else { pen.broken(Dash::Long) };
        drawing.line(Place::new(at.x_mm, at.y_mm - 1.2), Place::new(at.x_mm + 10.0, at.y_mm - 1.2), pen);
        let text = format!("avoid {ring}x{cog}: {}", why.join(", "));
        let at = Place::new(at.x_mm + 12.0, at.y_mm);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
    }
}

fn row(drawing: &mut Drawing, x: f64, teeth: &[u32], at_mm: &[f64], y: impl Fn(f64) -> f64, is_rear: bool) {
    for (i, (teeth, at)) in teeth.iter().zip(at_mm).enumerate() {
        // Half the true diameter at a scale of 1 : 4 keeps cogs and rings apart by eye.
        let half = f64::from(*teeth) * 12.7 / std::f64::consts::TAU / 8.0;
        let y = y(*at);
        drawing.line(Place::new(x - half, y), Place::new(x + half, y), Pen::solid(1.3, Mark::Ink));
        // Every second label further out: cogs stand closer than letters are high.
        let out = 14.0 + if is_rear && i % 2 == 1 { 7.0 } else { 0.0 };
        let (tx, anchor) = if is_rear { (x + out, Anchor::Middle) } else { (x - 17.0, Anchor::End) };
        drawing.bar(
            Place::new(tx - if is_rear { 3.0 } else { 6.0 }, y - 2.0),
            Place::new(tx + if is_rear { 3.0 } else { 0.5 }, y + 2.0),
            Mark::Paper,
            None,
        );
        drawing.text(Place::new(tx, y + 1.2), LABEL_MM, anchor, Weight::Bold, Mark::Ink, teeth.to_string());
    }
}

fn in_order(teeth: impl Iterator<Item = u32>) -> Vec<u32> {
    let mut seen = BTreeSet::new();
    teeth.filter(|teeth| seen.insert(*teeth)).collect()
}

fn place(all: &[u32], teeth: u32) -> Option<usize> {
    all.iter().position(|other| *other == teeth)
}

fn mean(all: &[f64]) -> f64 {
    all.iter().sum::<f64>() / all.len().max(1) as f64
}
