//! The geometry of the report: a room for each section, and what a section waits for.

mod brakes;
mod cut_list;
mod drive_loss;
mod drivetrain;
mod front;
mod hands;
mod landing;
mod tape;
mod wheel;

use super::{heading, wrapped};
use fit::words::wanted_words;
use fit::{Plan, Section};

/// Every section that the refit touches.
pub(super) fn geometry(out: &mut String, plan: &Plan) {
    let geometry = &plan.geometry;
    section(out, "Cage and chain in every gear", &geometry.drivetrain, |out, map| {
        drivetrain::tell(out, map);
        if let Some(before) = geometry.drivetrain_before.value() {
            drivetrain::tell_before(out, before);
        }
    });
    section(out, "Front derailleur: the chain in its cage", &geometry.front, front::front);
    section(out, "Shifting: where every gear lands", &geometry.landing, landing::landing);
    section(out, "Cut list", &geometry.cut_list, cut_list::tell);
    section(out, "Brakes", &geometry.brakes, brakes::tell);
    section(out, "Hands", &geometry.hands, hands::tell);
    section(out, "Bar tape", &geometry.tape, tape::tell);
    section(out, "Rear wheel", &geometry.wheel, wheel::tell);
    section(out, "Losses of the drive, for comparing only", &geometry.drive_loss, drive_loss::tell);
}

/// A section under its heading: its numbers by `tell`, and by name what it waits for.
fn section<T>(out: &mut String, title: &str, section: &Section<T>, tell: impl FnOnce(&mut String, &T)) {
    if matches!(section, Section::NotTouched) {
        return;
    }
    heading(out, title);
    match section {
        Section::NotTouched => {}
        Section::Wanting(_) => {}
        Section::Known { value, .. } => tell(out, value),
        Section::Impossible { why, .. } => wrapped(out, "-", why),
    }
    let wanted: Vec<String> = section.wanted().iter().map(wanted_words).collect();
    if !wanted.is_empty() {
        wrapped(out, "measure", &wanted.join("; "));
    }
}

/// A span with its tolerance.
fn around(span: quantity::Span, places: usize) -> String {
    let middle = quantity::digits::fixed(span.middle(), places);
    if span.is_exact() {
        return middle;
    }
    format!("{middle} ± {}", quantity::digits::fixed(span.half_width(), places))
}
