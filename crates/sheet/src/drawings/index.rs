//! Where every shift lands, by gear and direction, against the limits of rubbing and of a shift that fails.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::LandingDocument;
use document::geometry::landing::{ClicksDocument, SideDocument};

const LEFT_MM: f64 = 26.0;
const RIGHT_MM: f64 = 152.0;
const TOP_MM: f64 = 26.0;
const ROW_MM: f64 = 7.6;

/// The index error of a plan.
pub fn index(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Where each shift lands";
    let section = &plan.geometry.landing;
    let Some(landing) = &section.value else { return not_drawn(TITLE, section) };
    let sides = || {
        landing.gears.iter().flat_map(|gear| [gear.to_larger.as_ref(), gear.to_smaller.as_ref()]).flatten()
    };
    let reach = sides()
        .flat_map(|side| [side.error_mm.abs() + side.to_failed_shift_mm.max(0.0), side.error_mm.abs()])
        .fold(0.5_f64, f64::max)
        * 1.08;
    let (middle, half) = ((LEFT_MM + RIGHT_MM) / 2.0, (RIGHT_MM - LEFT_MM) / 2.0);
    let x = |mm: f64| middle + mm / reach * half;
    let foot = TOP_MM + ROW_MM * landing.gears.len() as f64;
    let about = format!(
        "{} gears; one click of the adjuster moves {} mm of cable",
        landing.gears.len(),
        number(landing.detent_mm, 2)
    );
    let mut drawing = Drawing::new(WIDTH_MM, foot + 37.0, TITLE, about);
    head(
        &mut drawing,
        TITLE,
        "guide pulley beside the middle of the cog, millimetres; in the middle of the picture it is right",
    );
    drawing.text(Place::new(0.0, TOP_MM - 5.0), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, "cog");
    let words = "clicks it bears";
    drawing.text(
        Place::new(WIDTH_MM, TOP_MM - 8.0),
        LABEL_MM,
        Anchor::End,
        Weight::Regular,
        Mark::Quiet,
        words,
    );
    drawing.text(
        Place::new(WIDTH_MM, TOP_MM - 3.5),
        LABEL_MM,
        Anchor::End,
        Weight::Regular,
        Mark::Quiet,
        "add / take off",
    );
    drawing.text(
        Place::new(LEFT_MM, TOP_MM - 5.0),
        LABEL_MM,
        Anchor::Start,
        Weight::Regular,
        Mark::Quiet,
        "toward the smaller cog",
    );
    drawing.text(
        Place::new(RIGHT_MM - 18.0, TOP_MM - 5.0),
        LABEL_MM,
        Anchor::End,
        Weight::Regular,
        Mark::Quiet,
        "toward the larger cog",
    );
    for (i, gear) in landing.gears.iter().enumerate() {
        let y = TOP_MM + ROW_MM * (i as f64 + 0.5);
        if i % 2 == 0 {
            let corner = Place::new(WIDTH_MM, y + ROW_MM / 2.0);
            drawing.bar(Place::new(0.0, y - ROW_MM / 2.0), corner, Mark::Wash, None);
        }
        drawing.text(
            Place::new(1.0, y + 1.5),
            VALUE_MM,
            Anchor::Start,
            Weight::Bold,
            Mark::Ink,
            gear.cog.to_string(),
        );
        for (side, up, offset) in [(&gear.to_larger, true, -1.9), (&gear.to_smaller, false, 1.9)] {
            if let Some(side) = side {
                landed(&mut drawing, side, y + offset, up, &x);
            }
        }
        let at = Place::new(WIDTH_MM - 1.0, y + 1.5);
        drawing.text(at, LABEL_MM, Anchor::End, Weight::Bold, Mark::Ink, clicks(&gear.clicks));
    }
    drawing.line(
        Place::new(x(0.0), TOP_MM),
        Place::new(x(0.0), foot),
        Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre),
    );
    let step = if reach > 2.0 { 1.0 } else { 0.5 };
    let marks = (reach / step).floor() as i32;
    for mark in -marks..=marks {
        let mm = f64::from(mark) * step;
        drawing.line(Place::new(x(mm), foot), Place::new(x(mm), foot + 1.5), Pen::solid(0.25, Mark::Quiet));
        drawing.text(
            Place::new(x(mm), foot + 5.5),
            LABEL_MM,
            Anchor::Middle,
            Weight::Regular,
            Mark::Quiet,
            number(mm, 1),
        );
    }
    one_click(&mut drawing, foot + 10.5, landing, &x);
    legend(&mut drawing, foot + 18.5, landing.detent_mm, &landing.clicks_of_all);
    drawing
}

/// What one click of the adjuster does to every landing, as an arrow on the scale of the picture.
fn one_click(drawing: &mut Drawing, y: f64, landing: &LandingDocument, x: &impl Fn(f64) -> f64) {
    let clicks = || landing.gears.iter().map(|gear| gear.click_mm).filter(|mm| mm.abs() > 0.0);
    let (least, most) =
        clicks().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), mm| (a.min(mm), b.max(mm)));
    if !least.is_finite() {
        return;
    }
    let (from, tip) = (Place::new(x(0.0), y), Place::new(x(most), y));
    drawing.line(from, tip, Pen::solid(0.8, Mark::Set));
    drawing.line(Place::new(from.x_mm, y - 2.0), Place::new(from.x_mm, y + 2.0), Pen::solid(0.4, Mark::Set));
    let barb = |dy: f64| Place::new(tip.x_mm - 2.4, y + dy);
    drawing.surface(&[tip, barb(1.4), barb(-1.4)], Mark::Set, None);
    let apart = if most - least < 0.005 {
        number(most, 2)
    } else {
        format!("{} to {}", number(least, 2), number(most, 2))
    };
    let text = format!("one click more, barrel out, moves all by {apart} mm");
    let at = Place::new(from.x_mm - 2.5, y + 1.3);
    drawing.text(at, LABEL_MM, Anchor::End, Weight::Bold, Mark::Set, text);
}

/// A landing as an arrow head at its error, the span within which nothing rubs, and dots where the shift fails.
fn landed(drawing: &mut Drawing, side: &SideDocument, y: f64, up: bool, x: &impl Fn(f64) -> f64) {
    let at = side.error_mm;
    let rub = at.abs() + side.to_rub_mm;
    let fail = at.abs() + side.to_failed_shift_mm;
    if rub > 0.0 {
        drawing.line(Place::new(x(-rub), y), Place::new(x(rub), y), Pen::solid(0.9, Mark::Faint));
    }
    if fail > 0.0 {
        for end in [-fail, fail] {
            drawing.line(
                Place::new(x(end), y - 1.5),
                Place::new(x(end), y + 1.5),
                Pen::solid(0.35, Mark::Bad),
            );
        }
    }
    let (mark, edge) = if side.to_failed_shift_mm < 0.0 || side.to_rub_mm < 0.0 {
        (Mark::Paper, Mark::Bad)
    } else {
        (Mark::Ink, Mark::Ink)
    };
    let tip = if up { 2.2 } else { -2.2 };
    let head = [Place::new(x(at) + tip, y), Place::new(x(at), y - 1.4), Place::new(x(at), y + 1.4)];
    drawing.surface(&head, mark, Some(Pen::solid(0.3, edge)));
}

fn clicks(room: &ClicksDocument) -> String {
    let words = |clicks: Option<f64>| clicks.map_or("?".to_owned(), |clicks| number(clicks, 1));
    format!("{} / {}", words(room.add), words(room.take_off))
}

fn legend(drawing: &mut Drawing, y: f64, detent_mm: f64, all: &ClicksDocument) {
    let head = |x: f64, tip: f64| [Place::new(x + tip, y), Place::new(x, y - 1.4), Place::new(x, y + 1.4)];
    let ink = Some(Pen::solid(0.3, Mark::Ink));
    drawing.surface(&head(1.0, 2.2), Mark::Ink, ink);
    let words = |drawing: &mut Drawing, x: f64, y: f64, text: &str| {
        drawing.text(Place::new(x, y + 1.2), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, text);
    };
    words(drawing, 5.0, y, "after a shift to the larger cog");
    drawing.surface(&head(68.0, -2.2), Mark::Ink, ink);
    words(drawing, 70.0, y, "to the smaller cog");
    drawing.line(Place::new(110.0, y), Place::new(118.0, y), Pen::solid(0.9, Mark::Faint));
    words(drawing, 120.0, y, "nothing rubs");
    drawing.line(Place::new(152.0, y - 1.5), Place::new(152.0, y + 1.5), Pen::solid(0.35, Mark::Bad));
    words(drawing, 154.0, y, "shift fails");
    let text = format!(
        "a click of the adjuster: {} mm of cable; all gears bear {} (add / take off); hollow: rubs or fails",
        number(detent_mm, 2),
        clicks(all)
    );
    drawing.text(Place::new(0.0, y + 8.0), LABEL_MM, Anchor::Start, Weight::Bold, Mark::Set, text);
}
