//! The cable routes as lines with their lengths: a plan of what is cut, no picture of the frame.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number};
use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;

const LEFT_MM: f64 = 62.0;
const TOP_MM: f64 = 18.0;
const ROW_MM: f64 = 9.0;

/// The cut list of a plan as lines.
pub fn cables(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Housings, hoses and inners to cut";
    let section = &plan.geometry.cut_list;
    let Some(list) = section.value.as_ref().filter(|list| !list.cuts.is_empty()) else {
        return not_drawn(TITLE, section);
    };
    let longest = list.cuts.iter().map(|cut| cut.length_mm[0]).fold(1.0_f64, f64::max);
    let per_mm = (WIDTH_MM - LEFT_MM - 32.0) / longest;
    let foot = TOP_MM + ROW_MM * list.cuts.len() as f64;
    let about = format!("{} pieces to cut", list.cuts.len());
    let mut drawing = Drawing::new(WIDTH_MM, foot + 8.0, TITLE, about);
    head(
        &mut drawing,
        TITLE,
        "lengths to scale among each other; turn the bar to both full locks before the first cut",
    );
    for (i, cut) in list.cuts.iter().enumerate() {
        let y = TOP_MM + ROW_MM * (i as f64 + 0.5);
        let [length, off] = cut.length_mm;
        drawing.text(Place::new(0.0, y - 0.6), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, cut.run);
        drawing.text(
            Place::new(0.0, y + 3.2),
            LABEL_MM,
            Anchor::Start,
            Weight::Regular,
            Mark::Quiet,
            cut.piece,
        );
        let end = LEFT_MM + length.max(0.0) * per_mm;
        let is_inner = cut.tips > 0;
        let pen = Pen::solid(if is_inner { 0.4 } else { 1.6 }, Mark::Ink);
        drawing.line(Place::new(LEFT_MM, y), Place::new(end, y), pen);
        if cut.ends > 0 {
            for x in [LEFT_MM, end] {
                drawing.line(Place::new(x, y - 1.8), Place::new(x, y + 1.8), Pen::solid(0.8, Mark::Ink));
            }
        }
        let text = format!("{} ± {} mm", number(length, 0), number(off, 0));
        drawing.text(Place::new(end + 3.0, y + 1.4), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Set, text);
    }
    let text = "thick: housing or hose; thin: inner; bars at its ends: ferrules, inserts, olives";
    drawing.text(Place::new(0.0, foot + 5.0), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, text);
    drawing
}
