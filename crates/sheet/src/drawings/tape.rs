//! The bar tape on the left and on the right: which way it turns, how many turns, how much of it.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, wrapped};
use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;

/// The tape of a plan.
pub fn tape(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Bar tape, left and right";
    let section = &plan.geometry.tape;
    let Some(tape) = &section.value else { return not_drawn(TITLE, section) };
    let dashed = |line: &&str| {
        let lines = wrapped(line, 90).into_iter().enumerate();
        lines
            .map(|(i, line)| if i == 0 { format!("–  {line}") } else { format!("    {line}") })
            .collect::<Vec<_>>()
    };
    let lay: Vec<String> = tape.lay.iter().flat_map(dashed).collect();
    let foot = 62.0 + 6.5 * tape.laps.len() as f64;
    let mut drawing = Drawing::new(WIDTH_MM, foot + 6.0 + 5.0 * lay.len() as f64, TITLE, tape.lay.join("; "));
    head(
        &mut drawing,
        TITLE,
        "both sides from above, riding up the page; each turn is drawn once for the first overlap",
    );
    let turns = tape.laps.first().map_or(0.0, |lap| lap.turns);
    let count = turns.round().clamp(0.0, 60.0) as u32;
    for (name, sign) in [("left", -1.0), ("right", 1.0)] {
        let middle = WIDTH_MM / 2.0;
        let (inner, outer) = (middle + sign * 10.0, middle + sign * 84.0);
        for y in [27.0, 37.0] {
            drawing.line(Place::new(inner, y), Place::new(outer, y), Pen::solid(0.4, Mark::Ink));
        }
        for turn in 0..count {
            let x = inner + (outer - inner) * (f64::from(turn) + 0.5) / f64::from(count.max(1));
            // The two sides mirror each other: so both tighten under the hands.
            drawing.line(
                Place::new(x + sign * 1.4, 27.0),
                Place::new(x - sign * 1.4, 37.0),
                Pen::solid(0.3, Mark::Quiet),
            );
        }
        let at = Place::new((inner + outer) / 2.0, 44.0);
        let text = format!("{name}: {} turns", number(turns, 0));
        drawing.text(at, VALUE_MM, Anchor::Middle, Weight::Bold, Mark::Ink, text);
        let (tail, tip) = (Place::new(outer, 21.0), Place::new(outer - sign * 16.0, 21.0));
        drawing.line(tail, tip, Pen::solid(0.5, Mark::Set));
        let barb = |dy: f64| Place::new(tip.x_mm + sign * 2.5, tip.y_mm + dy);
        drawing.surface(&[tip, barb(1.2), barb(-1.2)], Mark::Set, None);
        let anchor = if sign < 0.0 { Anchor::Start } else { Anchor::End };
        let text = "from the end toward the stem";
        drawing.text(
            Place::new(outer - sign * 18.0, 22.2),
            LABEL_MM,
            anchor,
            Weight::Regular,
            Mark::Set,
            text,
        );
    }
    for (i, lap) in tape.laps.iter().enumerate() {
        let roll = lap.one_roll.map_or(String::new(), |does| format!("; {does}"));
        let text = format!(
            "overlap {} %: {} turns, {} mm of tape a side ({} to {}){roll}",
            number(lap.overlap * 100.0, 0),
            number(lap.turns, 0),
            number(lap.counted.value_mm, 0),
            number(lap.counted.least_mm, 0),
            number(lap.counted.most_mm, 0)
        );
        let at = Place::new(0.0, 54.0 + 6.5 * i as f64);
        drawing.text(at, VALUE_MM, Anchor::Start, Weight::Regular, Mark::Ink, text);
    }
    for (i, line) in lay.iter().enumerate() {
        let at = Place::new(0.0, foot + 2.0 + 5.0 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Bold, Mark::Ink, line);
    }
    drawing
}
