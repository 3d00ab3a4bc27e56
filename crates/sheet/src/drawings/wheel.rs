//! The rear wheel cut through its axle, as it stands after the refit: flanges, spokes and cogs in the wheel, and beside it
//! the cassette body with its spacer and what the cassette takes of it, drawn larger.

use super::sprocket::Wheel;
use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, scale_bar, teeth_of, wrapped};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::WheelDocument;
use document::geometry::wheel::{LacedDocument, SpokeDocument, StackDocument};
use std::collections::BTreeSet;
use std::f64::consts::TAU;

const TITLE: &str = "Rear wheel, cut through the axle";
/// Millimetres of the bike for one of paper, in the wheel; and the other way in the cassette body beside it.
const SCALE: f64 = 2.5;
const LARGER: f64 = 2.0;
/// The middle plane of the wheel, and where the body begins.
const MIDDLE_MM: f64 = 40.0;
const BODY_FROM_MM: f64 = 96.0;
const TOP_MM: f64 = 26.0;
/// The axle without spokes over it.
const NO_SPOKES_MM: f64 = 72.0;

/// The rear wheel of a plan.
pub fn wheel(plan: &PlanDocument) -> Drawing {
    let section = &plan.geometry.wheel;
    let Some(wheel) = &section.value else { return not_drawn(TITLE, section) };
    let laced = wheel.after.as_ref().or_else(|| wheel.before.as_ref().filter(|_| wheel.open.is_empty()));
    let axle = TOP_MM + laced.map_or(NO_SPOKES_MM, |laced| laced.spoke_circle_mm / 2.0 / SCALE);
    let foot = (axle + 38.0).max(TOP_MM + 88.0);
    let mut drawing = Drawing::new(WIDTH_MM, foot + 8.0, TITLE, about(wheel, laced));
    let below = format!(
        "from behind, drive side right; the wheel 1 : {SCALE}, the cassette body {} : 1",
        number(LARGER, 0)
    );
    head(&mut drawing, TITLE, &below);
    hub(&mut drawing, wheel, axle, laced.map_or(axle - 8.0, |_| TOP_MM - 3.0));
    cogs(&mut drawing, plan, axle);
    match laced {
        Some(laced) => spokes(&mut drawing, laced, axle),
        None => no_spokes(&mut drawing, wheel),
    }
    scale_bar(&mut drawing, Place::new(0.0, foot + 4.0), 100.0, 1.0 / SCALE);
    if let Some(stack) = &wheel.stack {
        body(&mut drawing, stack);
    }
    words(&mut drawing, wheel, laced);
    drawing
}

fn about(wheel: &WheelDocument, laced: Option<&LacedDocument>) -> String {
    let mut about = match laced {
        Some(LacedDocument { left, right, spoke_circle_mm, .. }) => {
            let side = |side: &SpokeDocument| {
                format!(
                    "flange {} mm from the middle plane, spoke {} mm",
                    number(side.flange_mm, 1),
                    number(side.length.value_mm, 1)
                )
            };
            format!(
                "Left {}; drive side {}; spoke ends on a circle of {} mm",
                side(left),
                side(right),
                number(*spoke_circle_mm, 0)
            )
        }
        None => format!("Flanges and spokes are not drawn, not measured: {}", wheel.open.join(", ")),
    };
    if let Some(stack) = &wheel.stack {
        about.push_str(&format!(". {}; {}", room_words(stack), spacer_words(stack)));
    }
    about
}

/// A place of the wheel on paper: right of its middle plane and over its axle.
fn on(axle: f64, right_mm: f64, over_mm: f64) -> Place {
    Place::new(MIDDLE_MM + right_mm / SCALE, axle - over_mm / SCALE)
}

fn hub(drawing: &mut Drawing, wheel: &WheelDocument, axle: f64, middle_from: f64) {
    let middle = Pen::solid(0.3, Mark::Set).broken(Dash::Centre);
    drawing.line(Place::new(MIDDLE_MM, middle_from), Place::new(MIDDLE_MM, axle + 22.0), middle);
    let Some(locknuts) = &wheel.locknuts else {
        let pen = Pen::solid(0.5, Mark::Quiet).broken(Dash::Long);
        drawing.line(Place::new(6.0, axle), Place::new(76.0, axle), pen);
        let at = Place::new(0.0, axle + 31.5);
        let text = "width over the locknuts: not measured";
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
        return;
    };
    let half = locknuts.value_mm / 2.0;
    drawing.line(on(axle, -half, 0.0), on(axle, half, 0.0), Pen::solid(1.4, Mark::Ink));
    for side in [-half, half] {
        let face = on(axle, side, 0.0);
        drawing.line(
            Place::new(face.x_mm, axle - 4.0),
            Place::new(face.x_mm, axle + 33.0),
            Pen::solid(0.25, Mark::Quiet),
        );
        drawing.line(
            Place::new(face.x_mm, axle - 4.0),
            Place::new(face.x_mm, axle + 4.0),
            Pen::solid(1.0, Mark::Ink),
        );
    }
    let (from, to) = (on(axle, -half, 0.0), on(axle, half, 0.0));
    let text = format!("{} mm over the locknuts", number(locknuts.value_mm, 1));
    drawing.dimension(Place::new(from.x_mm, axle + 32.0), Place::new(to.x_mm, axle + 32.0), LABEL_MM, text);
}

/// The cogs where the plan has them; half of each, as the wheel is cut.
fn cogs(drawing: &mut Drawing, plan: &PlanDocument, axle: f64) {
    let gears = &plan.gears.after;
    let teeth: BTreeSet<u32> = gears.pairs.iter().filter_map(|pair| Some(teeth_of(&pair.pair)?.1)).collect();
    let Some(at) = gears.cogs_at_mm.as_ref().filter(|at| at.len() == teeth.len()) else { return };
    for (teeth, at) in teeth.iter().zip(at) {
        let radius = Wheel::new(Place::new(0.0, 0.0), *teeth, 1.0).radius_mm;
        drawing.line(on(axle, *at, 17.0), on(axle, *at, radius), Pen::solid(0.5, Mark::Quiet));
    }
}

/// Both flanges up to the circle of their holes, and of each a spoke that ends at the top of the wheel, seen from behind:
/// what leaves its hole to the side of the picture's plane begins lower than the hole that is over the axle.
fn spokes(drawing: &mut Drawing, laced: &LacedDocument, axle: f64) {
    let rim = laced.spoke_circle_mm / 2.0;
    let turn = TAU * f64::from(laced.crossings) / f64::from((laced.spokes / 2).max(1));
    let end = on(axle, 0.0, rim);
    for (row, (side, sign, name)) in
        [(&laced.left, -1.0, "left"), (&laced.right, 1.0, "drive side")].into_iter().enumerate()
    {
        let (flange, circle) = (sign * side.flange_mm, side.hole_circle_mm / 2.0);
        drawing.line(on(axle, flange, 0.0), on(axle, flange, circle), Pen::solid(1.6, Mark::Ink));
        let hole = on(axle, flange, circle * turn.cos());
        drawing.line(hole, end, Pen::solid(0.45, Mark::Ink));
        let (anchor, beside) = if sign < 0.0 { (Anchor::End, -3.0) } else { (Anchor::Start, 3.0) };
        // Between the highest cog and the rim, where nothing else is.
        let at = Place::new((hole.x_mm + end.x_mm) / 2.0 + beside, axle - rim * 0.66 / SCALE);
        let rows = [
            (name.to_owned(), Weight::Regular),
            (format!("{} mm", number(side.length.value_mm, 1)), Weight::Bold),
            (format!("{}°", number(side.bracing_deg, 1)), Weight::Regular),
        ];
        for (i, (text, weight)) in rows.iter().enumerate() {
            let at = Place::new(at.x_mm, at.y_mm + 5.0 * i as f64);
            drawing.text(at, LABEL_MM, anchor, *weight, Mark::Ink, text);
        }
        let y = axle + 9.0 + 9.5 * row as f64;
        let foot = on(axle, flange, 0.0);
        drawing.line(foot, Place::new(foot.x_mm, y + 1.0), Pen::solid(0.25, Mark::Quiet));
        // Between its arrows is no room for the words.
        drawing.dimension(Place::new(foot.x_mm, y), Place::new(MIDDLE_MM, y), LABEL_MM, "");
        let text = format!("{} mm", number(side.flange_mm, 1));
        let at = Place::new(foot.x_mm + sign * 2.0, y + 1.2);
        drawing.text(at, LABEL_MM, anchor, Weight::Bold, Mark::Set, text);
    }
    drawing.line(
        Place::new(MIDDLE_MM - 9.0, end.y_mm),
        Place::new(MIDDLE_MM + 9.0, end.y_mm),
        Pen::solid(0.6, Mark::Ink).broken(Dash::Dots),
    );
    let text = format!("spoke ends on {} mm", number(laced.spoke_circle_mm, 0));
    let at = Place::new(MIDDLE_MM + 11.0, end.y_mm + 1.2);
    drawing.text(at, LABEL_MM, Anchor::Start, Weight::Bold, Mark::Set, text);
}

/// Where spokes would be: what they wait for.
fn no_spokes(drawing: &mut Drawing, wheel: &WheelDocument) {
    let head = "Flanges and spokes: not measured";
    drawing.text(Place::new(0.0, TOP_MM), LABEL_MM, Anchor::Start, Weight::Bold, Mark::Ink, head);
    for (i, line) in wheel.open.iter().flat_map(|row| wrapped(row, 44)).enumerate() {
        let at = Place::new(2.0, TOP_MM + 5.0 + 4.4 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, line);
    }
}

/// The body with the cassette over it from its spacer on; what is left or stands out is at the outer end.
fn body(drawing: &mut Drawing, stack: &StackDocument) {
    let axle = TOP_MM + 24.0;
    let from = BODY_FROM_MM;
    let end = from + stack.body.value_mm * LARGER;
    let spacer = stack.spacer_mm.unwrap_or(0.0) * LARGER;
    let edge = Some(Pen::solid(0.5, Mark::Ink));
    let axis = Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre);
    drawing.bar(Place::new(from, axle - 12.0), Place::new(end, axle + 12.0), Mark::Wash, edge);
    drawing.line(Place::new(from - 8.0, axle), Place::new(WIDTH_MM, axle), axis);
    let cogs = from + spacer + stack.takes.value_mm * LARGER;
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
    drawing.text(Place::new(middle, axle + 6.6), LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, text);
    let text = format!("cassette takes {} mm", number(stack.takes.value_mm, 1));
    drawing.text(Place::new(middle, axle - 20.0), LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, text);
    let at = Place::new(from, axle + 23.0);
    drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, "toward the spokes");
    scale_bar(drawing, Place::new(from, axle + 29.0), 10.0, LARGER);
}

fn room_words(stack: &StackDocument) -> String {
    let room = &stack.room;
    let off = number((room.most_mm - room.least_mm) / 2.0, 2);
    if room.value_mm < 0.0 {
        format!("the cassette stands {} ± {off} mm out over the body", number(-room.value_mm, 2))
    } else {
        format!("the cassette leaves {} ± {off} mm of the body", number(room.value_mm, 2))
    }
}

fn spacer_words(stack: &StackDocument) -> String {
    match stack.spacer_mm {
        Some(spacer) if spacer > 0.0 => {
            format!("spacer behind it: {} mm, black in the picture", number(spacer, 2))
        }
        Some(_) => "no spacer behind it".to_owned(),
        None => "spacer behind it: not clear, try it on the body".to_owned(),
    }
}

/// What is known beside the pictures, in words.
fn words(drawing: &mut Drawing, wheel: &WheelDocument, laced: Option<&LacedDocument>) {
    let mut rows = Vec::new();
    match &wheel.stack {
        Some(stack) => {
            let mark = if stack.room.value_mm < 0.0 { Mark::Bad } else { Mark::Set };
            rows.push((mark, room_words(stack)));
            rows.push((Mark::Ink, spacer_words(stack)));
        }
        None => rows.push((Mark::Ink, "the room on the cassette body is not known".to_owned())),
    }
    if let Some(laced) = laced {
        rows.push((
            Mark::Ink,
            format!("{} spokes, each crosses {} of its side", laced.spokes, laced.crossings),
        ));
    }
    if let Some(moves) = &wheel.rim_moves {
        let by = number(moves.value_mm, 1);
        rows.push((
            Mark::Ink,
            format!("the rim goes {by} mm to the drive side if all the added width is there"),
        ));
    }
    let mut y = TOP_MM + 64.0;
    for (mark, text) in rows {
        for line in wrapped(&text, 38) {
            drawing.text(
                Place::new(BODY_FROM_MM - 8.0, y),
                VALUE_MM,
                Anchor::Start,
                Weight::Bold,
                mark,
                line,
            );
            y += 5.6;
        }
        y += 2.0;
    }
}
