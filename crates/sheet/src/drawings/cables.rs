//! The cable routes as lines to scale: each run from its lever to where it works, with what is cut for it.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, wrapped};
use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::CutListDocument;
use document::geometry::cut_list::{CutDocument, LoopDocument};

const LEFT_MM: f64 = 34.0;
const RIGHT_MM: f64 = 150.0;
const TOP_MM: f64 = 18.0;
/// A run: its line, the words over and under it.
const ROW_MM: f64 = 21.0;

/// The cable routes of a plan.
pub fn cables(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Cable routes: housings, hoses and inners to cut";
    let section = &plan.geometry.cut_list;
    let Some(list) = section.value.as_ref().filter(|list| !list.cuts.is_empty()) else {
        return not_drawn(TITLE, section);
    };
    let runs = by_run(list);
    let longest = runs.iter().map(|(_, cuts)| reach(cuts)).fold(1.0_f64, f64::max);
    let per_mm = (RIGHT_MM - LEFT_MM) / longest;
    let looked: Vec<String> = list.loops.iter().flat_map(|seen| wrapped(&looked(seen), 96)).collect();
    let foot = TOP_MM + ROW_MM * runs.len() as f64;
    let about = format!("{} pieces to cut for {} runs", list.cuts.len(), runs.len());
    let mut drawing = Drawing::new(WIDTH_MM, foot + 10.0 + 5.0 * looked.len() as f64, TITLE, about);
    head(
        &mut drawing,
        TITLE,
        "every run from its lever, lengths to scale; turn the bar to both full locks before the first cut",
    );
    for (i, (run, cuts)) in runs.iter().enumerate() {
        let y = TOP_MM + ROW_MM * i as f64 + 11.0;
        if i % 2 == 0 {
            let (from, to) = (Place::new(0.0, y - 10.5), Place::new(WIDTH_MM, y + ROW_MM - 10.5));
            drawing.bar(from, to, Mark::Wash, None);
        }
        drawing.text(Place::new(1.0, y), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, run);
        if let Some(lever) = cuts.iter().find_map(|cut| cut.lever) {
            let text = format!("{lever} lever");
            let at = Place::new(1.0, y + 5.0);
            drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, text);
        }
        route(&mut drawing, y, cuts, per_mm);
    }
    let text = "thick: housing or hose, bars at its ends are ferrules, inserts, olives; thin: inner";
    drawing.text(Place::new(0.0, foot + 5.0), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, text);
    for (i, line) in looked.iter().enumerate() {
        let at = Place::new(0.0, foot + 10.0 + 5.0 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Bold, Mark::Ink, line);
    }
    drawing
}

fn by_run(list: &CutListDocument) -> Vec<(&'static str, Vec<&CutDocument>)> {
    let mut runs: Vec<(&'static str, Vec<&CutDocument>)> = Vec::new();
    for cut in &list.cuts {
        match runs.iter_mut().find(|(run, _)| *run == cut.run) {
            Some((_, cuts)) => cuts.push(cut),
            None => runs.push((cut.run, vec![cut])),
        }
    }
    runs
}

fn is_inner(cut: &CutDocument) -> bool {
    cut.tips > 0
}

/// How long a run is drawn: its inner, or where there is none its pieces one after the other.
fn reach(cuts: &[&CutDocument]) -> f64 {
    let inner = cuts.iter().filter(|cut| is_inner(cut)).map(|cut| cut.length_mm[0]).fold(0.0, f64::max);
    let pieces: f64 = cuts.iter().filter(|cut| !is_inner(cut)).map(|cut| cut.length_mm[0]).sum();
    inner.max(pieces)
}

fn route(drawing: &mut Drawing, y: f64, cuts: &[&CutDocument], per_mm: f64) {
    let end = LEFT_MM + reach(cuts) * per_mm;
    for cut in cuts.iter().filter(|cut| is_inner(cut)) {
        drawing.line(
            Place::new(LEFT_MM, y),
            Place::new(LEFT_MM + cut.length_mm[0] * per_mm, y),
            Pen::solid(0.5, Mark::Ink),
        );
        let at = Place::new(end + 2.0, y - 0.8);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, "inner");
        drawing.text(
            Place::new(end + 2.0, y + 3.6),
            LABEL_MM,
            Anchor::Start,
            Weight::Bold,
            Mark::Set,
            length(cut),
        );
    }
    let pieces: Vec<&&CutDocument> = cuts.iter().filter(|cut| !is_inner(cut)).collect();
    for (i, cut) in pieces.iter().enumerate() {
        let long = cut.length_mm[0].max(0.0) * per_mm;
        // The first piece begins at the lever, the last ends at the brake or derailleur.
        let is_last = i > 0 && i + 1 == pieces.len();
        let from = if is_last { end - long } else { LEFT_MM };
        drawing.line(Place::new(from, y), Place::new(from + long, y), Pen::solid(1.8, Mark::Ink));
        for x in [from, from + long] {
            drawing.line(Place::new(x, y - 1.9), Place::new(x, y + 1.9), Pen::solid(0.8, Mark::Ink));
        }
        let (at, anchor) = if is_last { (end, Anchor::End) } else { (from, Anchor::Start) };
        // Words of the last piece stand under the line: over it are those of the first.
        let row = if is_last { y + 6.0 } else { y - 4.2 };
        let text = format!("{} {}", cut.piece, length(cut));
        drawing.text(Place::new(at, row), LABEL_MM, anchor, Weight::Bold, Mark::Set, text);
    }
}

fn length(cut: &CutDocument) -> String {
    format!("{} ± {} mm", number(cut.length_mm[0], 0), number(cut.length_mm[1], 0))
}

/// What was found of a loop between both locks.
fn looked(seen: &LoopDocument) -> String {
    let found = match (&seen.why, seen.held_mm, seen.slack_mm) {
        (Some(why), ..) => why.clone(),
        (None, Some(held), Some([slack, off])) => {
            let (held, slack) = (number(held, 0), number(slack, 0));
            format!("holds from {held} mm on; to spare {slack} ± {} mm", number(off, 0))
        }
        (None, Some(held), None) => format!("holds from {} mm on", number(held, 0)),
        (None, None, _) => "no length is known to hold: measure again".to_owned(),
    };
    format!(
        "loop of the {}, both full locks, radius {} mm at least: {found}",
        seen.run,
        number(seen.least_radius_mm, 0)
    )
}
