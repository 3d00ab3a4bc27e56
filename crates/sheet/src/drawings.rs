//! The drawings of a plan, each from one document and to scale; what is unknown is said and not drawn.
//!
//! Begin with [`all`]. Widths are for paper of 180 mm between the margins.

mod cables;
mod drivetrain;
mod estimate;
mod gears;
mod hands;
mod index;
mod place_on_bike;
mod plan_view;
mod ride;
mod speed;
mod sprocket;
mod tape;
mod wheel;

pub use cables::cables;
pub use drivetrain::drivetrain;
pub use estimate::{Share, estimate};
pub use gears::gears;
pub use hands::hands;
pub use index::index;
pub use place_on_bike::place_on_bike;
pub use plan_view::plan_view;
pub use ride::{ride, ride_short};
pub use speed::speed;
pub use tape::tape;
pub use wheel::wheel;

use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};
use document::{PlanDocument, SectionDocument};

/// Width of every drawing on paper.
const WIDTH_MM: f64 = 180.0;
/// Height of letters: values, and all else.
const VALUE_MM: f64 = 4.2;
const LABEL_MM: f64 = 3.4;

/// Every drawing of a plan by the name of its file, in an order in which two of common size share a page; `pair` is the ring and cog to be drawn from the drive side.
pub fn all(plan: &PlanDocument, pair: Option<(u32, u32)>) -> Vec<(&'static str, Drawing)> {
    let mut all = vec![
        ("drivetrain", drivetrain(plan, pair)),
        ("speed", speed(plan)),
        ("plan-view", plan_view(plan)),
        ("gears", gears(plan)),
        ("index", index(plan)),
        ("tape", tape(plan)),
        ("hands", hands(plan)),
        ("cables", cables(plan)),
        ("wheel", wheel(plan)),
    ];
    all.extend(plan.ride.as_ref().map(|on| ("ride", ride(on))));
    all
}

/// A drawing that says why there is none: what is to be measured, or that the refit leaves it alone.
fn not_drawn<T>(title: &'static str, section: &SectionDocument<T>) -> Drawing {
    let mut rows: Vec<String> = Vec::new();
    let head = match section.state {
        "measure" => {
            rows.extend(section.wanted.iter().cloned());
            "Not drawn yet: measure first"
        }
        "impossible" => {
            rows.extend(section.why.clone());
            "Cannot be drawn"
        }
        _ => "The refit leaves this as it is",
    };
    unknown(title, head, &rows)
}

/// The same where no section stands behind it.
fn unknown(title: &'static str, head: &str, rows: &[String]) -> Drawing {
    let lines: Vec<String> = rows.iter().flat_map(|row| wrapped(row, 88)).take(12).collect();
    let height_mm = 24.0 + 5.0 * lines.len() as f64;
    let about = if rows.is_empty() { head.to_owned() } else { format!("{head}: {}", rows.join("; ")) };
    let mut drawing = Drawing::new(WIDTH_MM, height_mm, title, about).of_reason();
    let edge = Pen::solid(0.5, Mark::Quiet).broken(crate::Dash::Long);
    drawing.path(
        &[
            Place::new(0.5, 0.5),
            Place::new(WIDTH_MM - 0.5, 0.5),
            Place::new(WIDTH_MM - 0.5, height_mm - 0.5),
            Place::new(0.5, height_mm - 0.5),
            Place::new(0.5, 0.5),
        ],
        edge,
    );
    drawing.text(Place::new(6.0, 9.0), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, title);
    drawing.text(Place::new(6.0, 16.0), VALUE_MM, Anchor::Start, Weight::Regular, Mark::Ink, head);
    for (i, line) in lines.iter().enumerate() {
        let at = Place::new(6.0, 22.0 + 5.0 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, line);
    }
    drawing
}

/// A text in lines of at most so many characters.
fn wrapped(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(line) = lines.last_mut() else { break };
        if line.is_empty() {
            line.push_str(word);
        } else if line.chars().count() + 1 + word.chars().count() <= most {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

/// A number with so many decimals and a minus sign that is one.
fn number(value: f64, decimals: usize) -> String {
    quantity::digits::fixed(value, decimals)
}

/// The title in the top left corner.
fn head(drawing: &mut Drawing, title: &str, below: &str) {
    drawing.text(Place::new(0.0, 4.6), 5.0, Anchor::Start, Weight::Bold, Mark::Ink, title);
    drawing.text(Place::new(0.0, 10.0), LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, below);
}

/// A bar of a known length of the bike with its name.
fn scale_bar(drawing: &mut Drawing, at: Place, bike_mm: f64, per_mm: f64) {
    let long = bike_mm * per_mm;
    let pen = Pen::solid(0.4, Mark::Quiet);
    drawing.line(at, Place::new(at.x_mm + long, at.y_mm), pen);
    for x in [at.x_mm, at.x_mm + long] {
        drawing.line(Place::new(x, at.y_mm - 1.2), Place::new(x, at.y_mm + 1.2), pen);
    }
    let text = format!("{} mm of the bike", number(bike_mm, 0));
    let at = Place::new(at.x_mm + long + 2.0, at.y_mm + 1.2);
    drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Quiet, text);
}

/// Ring and cog of a pair's key.
fn teeth_of(pair: &str) -> Option<(u32, u32)> {
    let (ring, cog) = pair.split_once('x')?;
    Some((ring.parse().ok()?, cog.parse().ok()?))
}
