//! The rear wheel cut through its axle: flanges, spokes, cassette body and spacers.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, scale_bar};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::wheel::{LacedDocument, StackDocument};

/// Across the bike 1 : 1; the spokes are cut off at this height.
const RISE_MM: f64 = 70.0;
const MIDDLE_MM: f64 = 84.0;
const AXLE_MM: f64 = 92.0;

/// The rear wheel of a plan.
pub fn wheel(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Rear wheel, cut through the axle";
    let section = &plan.geometry.wheel;
    let Some(wheel) = &section.value else { return not_drawn(TITLE, section) };
    let laced = wheel.after.as_ref().or(wheel.before.as_ref());
    let foot = AXLE_MM + 20.0;
    let mut drawing =
        Drawing::new(WIDTH_MM, foot + 30.0, TITLE, "Flanges, spokes and the room on the cassette body");
    head(
        &mut drawing,
        TITLE,
        "from behind, drive side right; across 1 : 1, spokes cut off, length of the body not to scale",
    );
    drawing.line(
        Place::new(6.0, AXLE_MM),
        Place::new(WIDTH_MM - 6.0, AXLE_MM),
        Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre),
    );
    drawing.line(
        Place::new(MIDDLE_MM, 14.0),
        Place::new(MIDDLE_MM, AXLE_MM + 8.0),
        Pen::solid(0.3, Mark::Set).broken(Dash::Centre),
    );
    let mut body_from = 24.0;
    match laced {
        Some(laced) => body_from = flanges(&mut drawing, laced).max(body_from) + 4.0,
        None => {
            let text = "flanges and spokes: not known";
            drawing.text(Place::new(6.0, 40.0), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Bad, text);
        }
    }
    if let Some(stack) = &wheel.stack {
        self::stack(&mut drawing, stack, MIDDLE_MM + body_from, foot);
    }
    if let Some(moves) = &wheel.rim_moves {
        let text = format!(
            "the rim goes {} mm to the drive side if all the added width is there",
            number(moves.value_mm, 1)
        );
        drawing.text(Place::new(0.0, foot + 18.5), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, text);
    }
    scale_bar(&mut drawing, Place::new(0.0, foot + 25.0), 50.0, 1.0);
    drawing
}

/// The length of a body is not in the plan: only what the cassette leaves of it, which is drawn 1 : 1 at its end.
const BODY_MM: f64 = 36.0;

fn stack(drawing: &mut Drawing, stack: &StackDocument, from: f64, foot: f64) {
    let end = from + BODY_MM;
    let room = stack.room.value_mm;
    let edge = Some(Pen::solid(0.5, Mark::Ink));
    drawing.bar(Place::new(from, AXLE_MM - 17.0), Place::new(end, AXLE_MM + 17.0), Mark::Wash, edge);
    let (left, right) = if room < 0.0 { (end, end - room) } else { (end - room, end) };
    let mark = if room < 0.0 { Mark::Bad } else { Mark::Set };
    drawing.bar(Place::new(left, AXLE_MM - 17.0), Place::new(right, AXLE_MM + 17.0), mark, None);
    if let Some(spacer) = stack.spacer_mm.filter(|spacer| *spacer > 0.0) {
        drawing.bar(
            Place::new(from, AXLE_MM - 17.0),
            Place::new(from + spacer, AXLE_MM + 17.0),
            Mark::Ink,
            None,
        );
    }
    let middle = Place::new(from + BODY_MM / 2.0, AXLE_MM - 20.0);
    drawing.text(middle, LABEL_MM, Anchor::Middle, Weight::Regular, Mark::Ink, "cassette body");
    let words = if room < 0.0 {
        format!("the cassette stands {} mm out over the body", number(-room, 2))
    } else {
        format!("the cassette leaves {} mm of the body", number(room, 2))
    };
    drawing.text(Place::new(0.0, foot + 6.0), VALUE_MM, Anchor::Start, Weight::Bold, mark, words);
    let words = match stack.spacer_mm {
        Some(spacer) if spacer > 0.0 => format!("spacer behind it: {} mm", number(spacer, 2)),
        Some(_) => "no spacer behind it".to_owned(),
        None => "spacer behind it: not clear, try it on the body".to_owned(),
    };
    drawing.text(Place::new(0.0, foot + 12.5), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, words);
}

/// Both flanges with their spokes; how far right the drive side flange stands.
fn flanges(drawing: &mut Drawing, laced: &LacedDocument) -> f64 {
    for (side, sign, name) in [(&laced.left, -1.0, "left"), (&laced.right, 1.0, "drive side")] {
        let x = MIDDLE_MM + sign * side.flange_mm;
        drawing.line(
            Place::new(x, AXLE_MM - 20.0),
            Place::new(x, AXLE_MM + 20.0),
            Pen::solid(1.6, Mark::Ink),
        );
        // A spoke leans to the middle plane by its bracing angle.
        let lean = RISE_MM.min(AXLE_MM - 34.0) * side.bracing_deg.to_radians().tan();
        let top = Place::new(x - sign * lean, 14.0 + 4.0);
        drawing.line(Place::new(x, AXLE_MM - 18.0), top, Pen::solid(0.4, Mark::Ink));
        let anchor = if sign < 0.0 { Anchor::End } else { Anchor::Start };
        let at = Place::new(x + sign * 4.0, 30.0);
        let text = format!("{name}: spoke {} mm", number(side.length.value_mm, 1));
        drawing.text(at, VALUE_MM, anchor, Weight::Bold, Mark::Ink, text);
        let text = format!("flange at {} mm, {}°", number(side.flange_mm, 1), number(side.bracing_deg, 1));
        drawing.text(Place::new(at.x_mm, 35.5), LABEL_MM, anchor, Weight::Regular, Mark::Ink, text);
    }
    laced.right.flange_mm
}
