//! Where the hands are: stem, bar and hood before and after, from the side.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, scale_bar, wrapped};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::hands::PlaceDocument;

/// Millimetres of the bike for one of paper.
const SCALE: f64 = 2.5;

/// The hands of a plan.
pub fn hands(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Where the hands are";
    let section = &plan.geometry.hands;
    let Some(hands) = &section.value else { return not_drawn(TITLE, section) };
    let places = [&hands.before, &hands.after];
    let right = places.iter().map(|place| place.forward.most_mm).fold(80.0_f64, f64::max);
    let top = places.iter().map(|place| place.up.most_mm).fold(60.0_f64, f64::max);
    let low = places.iter().map(|place| place.up.least_mm).fold(0.0_f64, f64::min);
    let origin = Place::new(16.0, 24.0 + top / SCALE);
    let foot = origin.y_mm + (30.0 - low) / SCALE + 6.0;
    let about = format!(
        "The hands move {} mm forward and {} mm up",
        number(hands.shift.forward.value_mm, 0),
        number(hands.shift.up.value_mm, 0)
    );
    let mut drawing = Drawing::new(WIDTH_MM, foot + 39.0, TITLE, about);
    head(
        &mut drawing,
        TITLE,
        "from the side, riding to the right; the steerer at the height of the stem is the origin",
    );
    let on = |place: &PlaceDocument| {
        Place::new(origin.x_mm + place.forward.value_mm / SCALE, origin.y_mm - place.up.value_mm / SCALE)
    };
    let stem = hands.ways.iter().chain(&hands.stems).find(|way| way.planned);
    let (old, new) = (Pen::solid(0.5, Mark::Quiet).broken(Dash::Long), Pen::solid(0.9, Mark::Ink));
    let axis = Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre);
    drawing.line(
        Place::new(origin.x_mm + 4.0, origin.y_mm + 16.0),
        Place::new(origin.x_mm - 4.0, 20.0),
        axis,
    );
    drawing.circle(origin, 1.2, Some(Mark::Ink), Pen::solid(0.3, Mark::Ink));
    for (place, pen, name, is_new) in
        [(&hands.before, old, "as found", false), (&hands.after, new, "after", true)]
    {
        let hood = on(place);
        // Only the two ends are known to the plan: the way between them is drawn straight.
        drawing.line(origin, hood, Pen { width_mm: pen.width_mm * 0.6, ..pen });
        let fill = if is_new { Mark::Ink } else { Mark::Paper };
        drawing.circle(hood, 2.2, Some(fill), Pen::solid(0.5, if is_new { Mark::Ink } else { Mark::Quiet }));
        let text = format!(
            "{name}: {} mm forward, {} mm up",
            number(place.forward.value_mm, 0),
            number(place.up.value_mm, 0)
        );
        let y = if is_new { foot + 4.0 } else { foot + 10.0 };
        drawing.line(Place::new(0.0, y - 1.3), Place::new(12.0, y - 1.3), pen);
        drawing.text(Place::new(15.0, y), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
    }
    let (from, to) = (on(&hands.before), on(&hands.after));
    let x = right / SCALE + origin.x_mm + 10.0;
    let shift = format!(
        "shift {} mm forward, {} mm up: {}",
        quantity::digits::signed(hands.shift.forward.value_mm, 0),
        quantity::digits::signed(hands.shift.up.value_mm, 0),
        hands.felt
    );
    drawing.line(from, to, Pen::solid(0.7, Mark::Set));
    let at = Place::new(x.min(WIDTH_MM - 60.0), (from.y_mm + to.y_mm) / 2.0);
    drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, "hoods");
    drawing.text(Place::new(0.0, foot + 16.0), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Set, shift);
    let mut notes = Vec::new();
    if !hands.height_known {
        notes.push("the height of the hoods over the bar is not known: up is told without it".to_owned());
    }
    if !hands.recorded {
        notes.push("the old place was not read off the bike".to_owned());
    }
    if let Some(stem) = stem {
        notes.push(format!(
            "stem {} mm, {}°",
            number(stem.length_mm, 0),
            quantity::digits::signed(stem.angle_deg, 0)
        ));
    }
    for (i, line) in wrapped(&notes.join("; "), 96).iter().take(3).enumerate() {
        let at = Place::new(0.0, foot + 21.5 + 4.6 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, line);
    }
    scale_bar(&mut drawing, Place::new(0.0, foot + 37.0), 100.0, 1.0 / SCALE);
    drawing
}
