//! The drivetrain from the drive side: chain, cage and the gap of the guide pulley, old and new overlaid.

use super::sprocket::{Wheel, chain};
use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, scale_bar};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::drivetrain::{CagePairDocument, DrivetrainDocument, SpreadDocument};

/// Millimetres of the bike for one of paper.
const SCALE: f64 = 3.5;
/// Room over the axle, on paper, for title and largest ring.
const TOP_MM: f64 = 40.0;
/// Room behind the axle.
const BEHIND_MM: f64 = 34.0;

/// The drivetrain of a plan in a pair; the largest ring on the largest cog if none is named.
pub fn drivetrain(plan: &PlanDocument, pair: Option<(u32, u32)>) -> Drawing {
    const TITLE: &str = "Drivetrain from the drive side";
    let section = &plan.geometry.drivetrain;
    let Some(after) = &section.value else { return not_drawn(TITLE, section) };
    let Some(now) = chosen(after, pair) else { return not_drawn(TITLE, section) };
    let before = plan.geometry.drivetrain_before.value.as_ref();
    let then = before.and_then(|before| Some((before, chosen(before, pair)?)));
    let lowest = [Some(now), then.map(|(_, pair)| pair)]
        .into_iter()
        .flatten()
        .filter_map(|pair| pair.tension_at_mm)
        .fold(0.0_f64, |low, at| low.max(at[1] + 40.0))
        .max(after.bracket_at_mm[1] + Wheel::new(Place::new(0.0, 0.0), now.ring, 1.0).radius_mm + 14.0);
    let legend_mm = TOP_MM + lowest / SCALE + 6.0;
    let about = format!(
        "Chain on ring {} and cog {}, {} pitches. {}",
        now.ring,
        now.cog,
        after.chain_pitches,
        gap_words(now.gap_mm.as_ref())
    );
    let mut drawing = Drawing::new(WIDTH_MM, legend_mm + 18.0, TITLE, about);
    let below = format!(
        "ring {}, cog {}, {} pitches: {}{}",
        now.ring,
        now.cog,
        after.chain_pitches,
        now.state,
        if now.sure { "" } else { ", within the tolerances perhaps not" }
    );
    head(&mut drawing, TITLE, &below);
    if let Some((before, pair)) = then {
        side(&mut drawing, before, pair, Pen::solid(0.35, Mark::Quiet).broken(Dash::Long), false);
    }
    side(&mut drawing, after, now, Pen::solid(0.7, Mark::Ink), true);
    legend(&mut drawing, legend_mm, now, then);
    drawing
}

fn chosen(map: &DrivetrainDocument, pair: Option<(u32, u32)>) -> Option<&CagePairDocument> {
    let named = pair.and_then(|(ring, cog)| map.pairs.iter().find(|p| p.ring == ring && p.cog == cog));
    named.or_else(|| map.pairs.iter().max_by_key(|pair| (pair.ring, pair.cog)))
}

/// A place of the bike on paper.
fn paper(forward_mm: f64, below_mm: f64) -> Place {
    Place::new(BEHIND_MM + forward_mm / SCALE, TOP_MM + below_mm / SCALE)
}

fn side(drawing: &mut Drawing, map: &DrivetrainDocument, pair: &CagePairDocument, pen: Pen, is_new: bool) {
    let [forward, below] = map.bracket_at_mm;
    let ring = Wheel::new(Place::new(forward, below), pair.ring, 1.0);
    let cog = Wheel::new(Place::new(0.0, 0.0), pair.cog, 1.0);
    let thin = Pen { width_mm: 0.25, ..pen };
    for wheel in [&ring, &cog] {
        let at = paper(wheel.at.x_mm, wheel.at.y_mm);
        drawing.circle(at, wheel.radius_mm / SCALE, None, thin);
        if is_new {
            drawing.circle(at, 0.8, Some(Mark::Ink), Pen::solid(0.2, Mark::Ink));
        }
    }
    let (Some(guide_at), Some(tension_at)) = (pair.guide_at_mm, pair.tension_at_mm) else { return };
    let guide = Wheel::new(Place::new(guide_at[0], guide_at[1]), map.pulley_teeth[0], -1.0);
    let tension = Wheel::new(Place::new(tension_at[0], tension_at[1]), map.pulley_teeth[1], 1.0);
    let (top, foot) = (paper(guide_at[0], guide_at[1]), paper(tension_at[0], tension_at[1]));
    if is_new {
        drawing.line(top, foot, Pen::solid(2.6, Mark::Faint));
        drawing.line(top, foot, Pen::solid(0.3, Mark::Ink));
    } else {
        drawing.line(top, foot, pen);
    }
    for wheel in [&guide, &tension] {
        drawing.circle(paper(wheel.at.x_mm, wheel.at.y_mm), wheel.radius_mm / SCALE, None, thin);
    }
    let way: Vec<Place> =
        chain(&[ring, tension, guide, cog]).iter().map(|at| paper(at.x_mm, at.y_mm)).collect();
    drawing.path(&way, pen);
    if is_new {
        gap(drawing, &guide, &cog, pair.gap_mm.as_ref());
        let at = Place::new(foot.x_mm + tension.radius_mm / SCALE + 3.0, foot.y_mm - 1.0);
        if let Some(angle) = &pair.cage_angle_deg {
            let text = format!("cage {}", spread_words(angle, "°"));
            drawing.text(at, VALUE_MM, Anchor::Start, Weight::Bold, Mark::Set, text);
        }
        for (teeth, at) in [(pair.ring, paper(forward, below)), (pair.cog, paper(0.0, 0.0))] {
            let (at, text) = (Place::new(at.x_mm, at.y_mm + 6.0), format!("{teeth} teeth"));
            drawing.text(at, LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, text);
        }
    }
}

/// The gap lies on the line of the centres.
fn gap(drawing: &mut Drawing, guide: &Wheel, cog: &Wheel, gap_mm: Option<&SpreadDocument>) {
    let (dx, dy) = (guide.at.x_mm - cog.at.x_mm, guide.at.y_mm - cog.at.y_mm);
    let apart = dx.hypot(dy);
    if apart <= 0.0 {
        return;
    }
    let on = |from_cog: f64| paper(cog.at.x_mm + dx / apart * from_cog, cog.at.y_mm + dy / apart * from_cog);
    // Between the pins lies more than between the tips of the teeth: the gap stands in the middle of it.
    let room = apart - cog.radius_mm - guide.radius_mm;
    let teeth = gap_mm.map_or(0.0, |gap| ((room - gap.value) / 2.0).max(0.0));
    let (inner, outer) = (on(cog.radius_mm + teeth), on(apart - guide.radius_mm - teeth));
    drawing.line(inner, outer, Pen::solid(1.0, Mark::Set));
    let middle = Place::new((inner.x_mm + outer.x_mm) / 2.0, (inner.y_mm + outer.y_mm) / 2.0);
    let end = Place::new(middle.x_mm + 26.0, middle.y_mm + 1.0);
    drawing.line(middle, end, Pen::solid(0.25, Mark::Set));
    let at = Place::new(end.x_mm + 1.0, end.y_mm + 1.4);
    drawing.text(at, VALUE_MM, Anchor::Start, Weight::Bold, Mark::Set, gap_words(gap_mm));
}

fn gap_words(gap_mm: Option<&SpreadDocument>) -> String {
    gap_mm.map_or("gap not known".to_owned(), |gap| format!("gap {}", spread_words(gap, " mm")))
}

/// A value with the range in which it may lie.
pub(super) fn spread_words(spread: &SpreadDocument, unit: &str) -> String {
    let range = if spread.open {
        " (range open)".to_owned()
    } else if (spread.most - spread.least).abs() < f64::EPSILON {
        String::new()
    } else {
        format!(" ({} to {})", number(spread.least, 0), number(spread.most, 0))
    };
    format!("{}{unit}{range}", number(spread.value, 0))
}

fn legend(
    drawing: &mut Drawing,
    y_mm: f64,
    now: &CagePairDocument,
    then: Option<(&DrivetrainDocument, &CagePairDocument)>,
) {
    let new = Pen::solid(0.7, Mark::Ink);
    drawing.line(Place::new(0.0, y_mm), Place::new(14.0, y_mm), new);
    let after = format!("after: {}x{}", now.ring, now.cog);
    drawing.text(Place::new(16.0, y_mm + 1.3), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, after);
    let old = Pen::solid(0.35, Mark::Quiet).broken(Dash::Long);
    let words = match then {
        Some((before, pair)) => {
            format!("as found: {}x{}, {} pitches, {}", pair.ring, pair.cog, before.chain_pitches, pair.state)
        }
        None => "as found: not drawn, its measurements are not all there".to_owned(),
    };
    drawing.line(Place::new(0.0, y_mm + 6.0), Place::new(14.0, y_mm + 6.0), old);
    drawing.text(Place::new(16.0, y_mm + 7.3), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, words);
    scale_bar(drawing, Place::new(0.0, y_mm + 12.5), 100.0, 1.0 / SCALE);
    if let Some(spare) = &now.take_up_mm {
        let text = format!("chain still taken up: {}", spread_words(spare, " mm"));
        let at = Place::new(WIDTH_MM, y_mm + 1.3);
        drawing.text(at, LABEL_MM, Anchor::End, Weight::Regular, Mark::Ink, text);
    }
    if let Some(spare) = &now.give_mm {
        let text = format!("still given: {}", spread_words(spare, " mm"));
        let at = Place::new(WIDTH_MM, y_mm + 7.3);
        drawing.text(at, LABEL_MM, Anchor::End, Weight::Regular, Mark::Ink, text);
    }
}
