//! The rear wheel cut through its axle: cassette body, cassette and spacers, and where the hub changes its flanges and
//! spokes.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, scale_bar};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::WheelDocument;
use document::geometry::wheel::{LacedDocument, StackDocument};

const TITLE: &str = "Rear wheel, cut through the axle";
/// With spokes the drawing is as large as the wheel, and the spokes are cut off at this height over the axle.
const RISE_MM: f64 = 58.0;
const MIDDLE_MM: f64 = 80.0;
/// The body alone is drawn larger.
const ALONE: f64 = 3.0;
const ALONE_FROM_MM: f64 = 30.0;

/// The rear wheel of a plan.
pub fn wheel(plan: &PlanDocument) -> Drawing {
    let section = &plan.geometry.wheel;
    let Some(wheel) = &section.value else { return not_drawn(TITLE, section) };
    match (wheel.after.as_ref().or(wheel.before.as_ref()), &wheel.stack) {
        (Some(laced), stack) => with_spokes(wheel, laced, stack.as_ref()),
        (None, Some(stack)) => alone(wheel, stack),
        (None, None) => not_drawn(TITLE, section),
    }
}

fn with_spokes(wheel: &WheelDocument, laced: &LacedDocument, stack: Option<&StackDocument>) -> Drawing {
    let axle = 18.0 + RISE_MM + 20.0;
    let foot = axle + 24.0;
    let mut drawing =
        Drawing::new(WIDTH_MM, foot + 30.0, TITLE, "Flanges, spokes and the room on the cassette body");
    head(&mut drawing, TITLE, "from behind, drive side right; across 1 : 1, spokes cut off");
    centre_lines(&mut drawing, axle, 14.0);
    let from = flanges(&mut drawing, laced, axle).max(20.0) + 4.0;
    if let Some(stack) = stack {
        body(&mut drawing, stack, MIDDLE_MM + from, axle, 1.0);
        words(&mut drawing, stack, foot);
    }
    moves(&mut drawing, wheel, foot + 12.5);
    scale_bar(&mut drawing, Place::new(0.0, foot + 25.0), 50.0, 1.0);
    drawing
}

fn alone(wheel: &WheelDocument, stack: &StackDocument) -> Drawing {
    let axle = 48.0;
    let foot = axle + 34.0;
    let mut drawing = Drawing::new(WIDTH_MM, foot + 24.0, TITLE, "The room on the cassette body");
    head(
        &mut drawing,
        TITLE,
        "cassette body from behind, drive side right, along the axle 3 : 1; the hub stays",
    );
    let axis = Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre);
    drawing.line(Place::new(ALONE_FROM_MM - 14.0, axle), Place::new(WIDTH_MM - 6.0, axle), axis);
    body(&mut drawing, stack, ALONE_FROM_MM, axle, ALONE);
    words(&mut drawing, stack, foot);
    moves(&mut drawing, wheel, foot + 12.5);
    scale_bar(&mut drawing, Place::new(0.0, foot + 20.0), 10.0, ALONE);
    drawing
}

fn centre_lines(drawing: &mut Drawing, axle: f64, top: f64) {
    let axis = Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre);
    drawing.line(Place::new(6.0, axle), Place::new(WIDTH_MM - 6.0, axle), axis);
    let middle = Pen::solid(0.3, Mark::Set).broken(Dash::Centre);
    drawing.line(Place::new(MIDDLE_MM, top), Place::new(MIDDLE_MM, axle + 20.0), middle);
}

/// The body with the cassette over it from its spacer on; what is left or stands out is at the outer end.
fn body(drawing: &mut Drawing, stack: &StackDocument, from: f64, axle: f64, scale: f64) {
    let end = from + stack.body.value_mm * scale;
    let spacer = stack.spacer_mm.unwrap_or(0.0) * scale;
    let edge = Some(Pen::solid(0.5, Mark::Ink));
    drawing.bar(Place::new(from, axle - 12.0), Place::new(end, axle + 12.0), Mark::Wash, edge);
    let cogs = from + spacer + stack.takes.value_mm * scale;
    for sign in [-1.0, 1.0] {
        let (near, far) = (axle + sign * 12.0, axle + sign * 18.0);
        drawing.bar(Place::new(from + spacer, near), Place::new(cogs, far), Mark::Faint, edge);
        if spacer > 0.0 {
            drawing.bar(Place::new(from, near), Place::new(from + spacer, far), Mark::Ink, edge);
        }
        if (end - cogs).abs() > 0.05 {
            let mark = if end < cogs { Mark::Bad } else { Mark::Set };
            drawing.bar(Place::new(cogs.min(end), near), Place::new(cogs.max(end), far), mark, None);
        }
    }
    let middle = (from + end) / 2.0;
    let text = format!("body {} mm", number(stack.body.value_mm, 1));
    drawing.text(Place::new(middle, axle + 4.6), LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, text);
    let text = format!("cassette takes {} mm", number(stack.takes.value_mm, 1));
    drawing.text(Place::new(middle, axle - 20.0), LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, text);
}

fn words(drawing: &mut Drawing, stack: &StackDocument, foot: f64) {
    let room = &stack.room;
    let off = number((room.most_mm - room.least_mm) / 2.0, 2);
    let (mark, text) = if room.value_mm < 0.0 {
        let out = number(-room.value_mm, 2);
        (Mark::Bad, format!("the cassette stands {out} ± {off} mm out over the body"))
    } else {
        (Mark::Set, format!("the cassette leaves {} ± {off} mm of the body", number(room.value_mm, 2)))
    };
    drawing.text(Place::new(0.0, foot), VALUE_MM, Anchor::Start, Weight::Bold, mark, text);
    let text = match stack.spacer_mm {
        Some(spacer) if spacer > 0.0 => format!("spacer behind it: {} mm", number(spacer, 2)),
        Some(_) => "no spacer behind it".to_owned(),
        None => "spacer behind it: not clear, try it on the body".to_owned(),
    };
    drawing.text(Place::new(0.0, foot + 6.5), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
}

fn moves(drawing: &mut Drawing, wheel: &WheelDocument, y: f64) {
    if let Some(moves) = &wheel.rim_moves {
        let by = number(moves.value_mm, 1);
        let text = format!("the rim goes {by} mm to the drive side if all the added width is there");
        drawing.text(Place::new(0.0, y), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, text);
    }
}

/// Both flanges with their spokes; how far right the drive side flange stands.
fn flanges(drawing: &mut Drawing, laced: &LacedDocument, axle: f64) -> f64 {
    for (side, sign, name) in [(&laced.left, -1.0, "left"), (&laced.right, 1.0, "drive side")] {
        let x = MIDDLE_MM + sign * side.flange_mm;
        drawing.line(Place::new(x, axle - 20.0), Place::new(x, axle + 20.0), Pen::solid(1.6, Mark::Ink));
        // A spoke leans to the middle plane by its bracing angle.
        let lean = RISE_MM * side.bracing_deg.to_radians().tan();
        let foot = Place::new(x, axle - 18.0);
        drawing.line(foot, Place::new(x - sign * lean, axle - 18.0 - RISE_MM), Pen::solid(0.4, Mark::Ink));
        let anchor = if sign < 0.0 { Anchor::End } else { Anchor::Start };
        let at = Place::new(x + sign * 4.0, 30.0);
        let text = format!("{name}: spoke {} mm", number(side.length.value_mm, 1));
        drawing.text(at, VALUE_MM, anchor, Weight::Bold, Mark::Ink, text);
        let text = format!("flange at {} mm, {}°", number(side.flange_mm, 1), number(side.bracing_deg, 1));
        drawing.text(Place::new(at.x_mm, 35.5), LABEL_MM, anchor, Weight::Regular, Mark::Ink, text);
    }
    laced.right.flange_mm
}
