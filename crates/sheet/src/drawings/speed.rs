//! Speed over cadence for the lowest and the highest gear, before and after: `v = development · cadence`.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, number, unknown};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;

const LEFT_MM: f64 = 14.0;
const RIGHT_MM: f64 = 132.0;
const TOP_MM: f64 = 18.0;
const FOOT_MM: f64 = 92.0;
/// Cadences that a rider turns, revolutions a minute.
const CADENCE: (f64, f64) = (40.0, 110.0);

/// The speeds of a plan.
pub fn speed(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Speed over cadence";
    let old = Pen::solid(0.4, Mark::Quiet).broken(Dash::Long);
    let new = Pen::solid(0.8, Mark::Ink);
    let gears = [
        ("highest, after", plan.gears.after.highest_m, new),
        ("highest, as found", plan.gears.before.highest_m, old),
        ("lowest, as found", plan.gears.before.lowest_m, old),
        ("lowest, after", plan.gears.after.lowest_m, new),
    ];
    let most = gears.iter().filter_map(|gear| gear.1).fold(0.0_f64, f64::max);
    if most <= 0.0 {
        let row = "the development of a turn of the cranks is not known: roll-out, rings, cogs".to_owned();
        return unknown(TITLE, "Not drawn yet: measure first", &[row]);
    }
    let km_h = |development: f64, cadence: f64| development * cadence * 0.06;
    let top = (km_h(most, CADENCE.1) / 10.0).ceil() * 10.0;
    let x = |cadence: f64| LEFT_MM + (cadence - CADENCE.0) / (CADENCE.1 - CADENCE.0) * (RIGHT_MM - LEFT_MM);
    let y = |speed: f64| FOOT_MM - speed / top * (FOOT_MM - TOP_MM);
    let mut drawing = Drawing::new(WIDTH_MM, FOOT_MM + 14.0, TITLE, "Speed of the lowest and highest gear");
    head(&mut drawing, TITLE, "kilometres an hour over turns of the cranks a minute");
    let grid = Pen::solid(0.15, Mark::Faint);
    for i in 0..=(top / 10.0) as u32 {
        let speed = f64::from(i) * 10.0;
        drawing.line(Place::new(LEFT_MM, y(speed)), Place::new(RIGHT_MM, y(speed)), grid);
        let at = Place::new(LEFT_MM - 2.0, y(speed) + 1.2);
        drawing.text(at, LABEL_MM, Anchor::End, Weight::Regular, Mark::Quiet, number(speed, 0));
    }
    for i in 4..=11_u32 {
        let cadence = f64::from(i) * 10.0;
        drawing.line(Place::new(x(cadence), TOP_MM), Place::new(x(cadence), FOOT_MM), grid);
        let at = Place::new(x(cadence), FOOT_MM + 5.0);
        drawing.text(at, LABEL_MM, Anchor::Middle, Weight::Regular, Mark::Quiet, number(cadence, 0));
    }
    let text = "turns a minute";
    drawing.text(
        Place::new(RIGHT_MM, FOOT_MM + 10.5),
        LABEL_MM,
        Anchor::End,
        Weight::Regular,
        Mark::Quiet,
        text,
    );
    let mut label_y = f64::NEG_INFINITY;
    for (name, development, pen) in gears {
        let Some(development) = development else { continue };
        let ends =
            [CADENCE.0, CADENCE.1].map(|cadence| Place::new(x(cadence), y(km_h(development, cadence))));
        drawing.path(&ends, pen);
        // Two gears that end close together keep their words apart.
        label_y = (ends[1].y_mm + 1.2).max(label_y + 5.0);
        let text = format!("{name}: {} m", number(development, 2));
        let weight = if pen.dash == Dash::Solid { Weight::Bold } else { Weight::Regular };
        drawing.text(Place::new(RIGHT_MM + 2.0, label_y), LABEL_MM, Anchor::Start, weight, Mark::Ink, text);
    }
    let reading = plan
        .gears
        .after
        .lowest_m
        .map(|low| format!("lowest gear after, at 60 turns: {} km/h", number(km_h(low, 60.0), 1)));
    if let Some(text) = reading {
        let at = Place::new(0.0, FOOT_MM + 11.0);
        drawing.text(at, VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
    }
    drawing
}
