//! The gears before and after on a logarithmic axis of development: equal steps lie equally far apart.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, number, teeth_of, unknown};
use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::plan::{BikeGearsDocument, PairDocument};
use std::collections::BTreeMap;

const LEFT_MM: f64 = 24.0;
const TOP_MM: f64 = 20.0;
/// Height of one ring's row.
const ROW_MM: f64 = 14.0;
/// Developments that are marked on the axis.
const MARKS_M: [f64; 12] = [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0];

/// The gears of a plan.
pub fn gears(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Gears before and after";
    let developments = || {
        let both = plan.gears.before.pairs.iter().chain(&plan.gears.after.pairs);
        both.filter_map(|pair| pair.development_m).filter(|m| m.is_finite() && *m > 0.0)
    };
    let (least, most) = developments().fold((f64::INFINITY, 0.0_f64), |(a, b), m| (a.min(m), b.max(m)));
    if !least.is_finite() {
        let row = "the development of a turn of the cranks is not known: roll-out, rings, cogs".to_owned();
        return unknown(TITLE, "Not drawn yet: measure first", &[row]);
    }
    let (from, to) = ((least * 0.94).ln(), (most * 1.06).ln());
    let x = |m: f64| LEFT_MM + (m.ln() - from) / (to - from) * (WIDTH_MM - LEFT_MM - 4.0);
    let bikes = [("as found", &plan.gears.before), ("after", &plan.gears.after)];
    let rows: usize = bikes.iter().map(|(_, bike)| by_ring(bike).len().max(1)).sum();
    let foot = TOP_MM + 12.0 * bikes.len() as f64 + ROW_MM * rows as f64;
    let mut drawing = Drawing::new(WIDTH_MM, foot + 18.5, TITLE, about(plan));
    head(
        &mut drawing,
        TITLE,
        "metres for a turn of the cranks; a step of the same percentage is equally wide everywhere",
    );
    for mark in MARKS_M.iter().filter(|m| (from..to).contains(&m.ln())) {
        drawing.line(
            Place::new(x(*mark), TOP_MM - 3.0),
            Place::new(x(*mark), foot),
            Pen::solid(0.15, Mark::Faint),
        );
        let text = number(*mark, usize::from(mark.fract() != 0.0));
        let at = Place::new(x(*mark), foot + 5.0);
        drawing.text(at, LABEL_MM, Anchor::Middle, Weight::Regular, Mark::Quiet, text);
    }
    drawing.line(Place::new(LEFT_MM, foot), Place::new(WIDTH_MM, foot), Pen::solid(0.3, Mark::Quiet));
    drawing.text(
        Place::new(0.0, foot + 5.0),
        LABEL_MM,
        Anchor::Start,
        Weight::Regular,
        Mark::Quiet,
        "metres",
    );
    let mut y = TOP_MM;
    for (name, bike) in bikes {
        let words = match (bike.lowest_m, bike.highest_m) {
            (Some(low), Some(high)) => format!("{name}: {} m to {} m", number(low, 2), number(high, 2)),
            _ => format!("{name}: not known"),
        };
        drawing.text(Place::new(0.0, y + 4.0), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, words);
        y += 12.0;
        for (ring, pairs) in by_ring(bike) {
            row(&mut drawing, y, ring, &pairs, &x);
            y += ROW_MM;
        }
        if bike.pairs.is_empty() {
            y += ROW_MM;
        }
    }
    legend(&mut drawing, foot + 11.0, plan);
    drawing
}

fn about(plan: &PlanDocument) -> String {
    let low = |bike: &BikeGearsDocument| {
        bike.lowest_m.map_or("not known".to_owned(), |m| format!("{} m", number(m, 2)))
    };
    format!("Lowest gear as found {}, after {}.", low(&plan.gears.before), low(&plan.gears.after))
}

fn by_ring(bike: &BikeGearsDocument) -> Vec<(u32, Vec<(u32, &PairDocument)>)> {
    let mut rings: BTreeMap<std::cmp::Reverse<u32>, Vec<(u32, &PairDocument)>> = BTreeMap::new();
    for pair in &bike.pairs {
        if let Some((ring, cog)) = teeth_of(&pair.pair) {
            rings.entry(std::cmp::Reverse(ring)).or_default().push((cog, pair));
        }
    }
    rings.into_iter().map(|(ring, pairs)| (ring.0, pairs)).collect()
}

fn row(drawing: &mut Drawing, y: f64, ring: u32, pairs: &[(u32, &PairDocument)], x: &impl Fn(f64) -> f64) {
    drawing.text(
        Place::new(0.0, y + 1.5),
        VALUE_MM,
        Anchor::Start,
        Weight::Bold,
        Mark::Ink,
        format!("ring {ring}"),
    );
    let placed: Vec<(f64, u32, &PairDocument)> = pairs
        .iter()
        .filter_map(|(cog, pair)| Some((x(pair.development_m.filter(|m| *m > 0.0)?), *cog, *pair)))
        .collect();
    let mut sorted = placed.clone();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let (Some(first), Some(last)) = (sorted.first(), sorted.last()) {
        drawing.line(Place::new(first.0, y), Place::new(last.0, y), Pen::solid(0.3, Mark::Quiet));
    }
    for two in sorted.windows(2) {
        if let (Some(low), Some(high)) = (two[0].2.development_m, two[1].2.development_m) {
            let middle = (two[0].0 + two[1].0) / 2.0;
            // Where dots are closer than their figures are wide, the figure says less than the dots.
            if two[1].0 - two[0].0 > 4.6 {
                let text = number((high / low - 1.0) * 100.0, 0);
                let at = Place::new(middle, y + 5.6);
                drawing.text(at, 3.0, Anchor::Middle, Weight::Regular, Mark::Quiet, text);
            }
        }
    }
    let mut label_end = f64::NEG_INFINITY;
    for (at, cog, pair) in &sorted {
        let place = Place::new(*at, y);
        if pair.avoid.is_empty() {
            drawing.circle(place, 1.5, Some(Mark::Ink), Pen::solid(0.3, Mark::Ink));
        } else {
            drawing.circle(place, 1.7, Some(Mark::Paper), Pen::solid(0.4, Mark::Bad));
            let pen = Pen::solid(0.5, Mark::Bad);
            drawing.line(Place::new(at - 1.2, y - 1.2), Place::new(at + 1.2, y + 1.2), pen);
            drawing.line(Place::new(at - 1.2, y + 1.2), Place::new(at + 1.2, y - 1.2), pen);
        }
        if *at - label_end > 4.6 {
            label_end = *at;
            let at = Place::new(*at, y - 3.0);
            drawing.text(at, LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, cog.to_string());
        }
    }
}

fn legend(drawing: &mut Drawing, y: f64, plan: &PlanDocument) {
    drawing.circle(Place::new(2.0, y), 1.5, Some(Mark::Ink), Pen::solid(0.3, Mark::Ink));
    let text = "gear, with the teeth of its cog above and the step to the next below, percent";
    drawing.text(Place::new(6.0, y + 1.2), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, text);
    drawing.circle(Place::new(2.0, y + 6.0), 1.7, Some(Mark::Paper), Pen::solid(0.4, Mark::Bad));
    let pen = Pen::solid(0.5, Mark::Bad);
    drawing.line(Place::new(0.8, y + 4.8), Place::new(3.2, y + 7.2), pen);
    drawing.line(Place::new(0.8, y + 7.2), Place::new(3.2, y + 4.8), pen);
    let avoid = "gear to avoid: the chain rubs or hangs";
    let change = plan
        .gears
        .lowest_change_percent
        .map_or(String::new(), |change| format!("; lowest gear {} %", quantity::digits::signed(change, 1)));
    let text = format!("{avoid}{change}");
    drawing.text(Place::new(6.0, y + 7.2), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, text);
}
