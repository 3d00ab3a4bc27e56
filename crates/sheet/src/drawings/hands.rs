//! Where the hands are: stem, bar, lever and hood before and after, from the side and to scale.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, not_drawn, number, scale_bar, wrapped};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::PlanDocument;
use document::geometry::HandsDocument;
use document::geometry::hands::{OutlineDocument, PlaceDocument};
use quantity::digits::signed;

/// Millimetres of the bike for one of paper.
const SCALE: f64 = 2.0;
/// Room beside the drawing for its words.
const LEFT_MM: f64 = 20.0;
const TOP_MM: f64 = 20.0;

/// The two bikes: how each is drawn and called.
const BIKES: [(Pen, &str); 2] = [
    (Pen { width_mm: 0.6, dash: Dash::Long, mark: Mark::Quiet }, "as found"),
    (Pen { width_mm: 1.1, dash: Dash::Solid, mark: Mark::Ink }, "after"),
];

/// The hands of a plan.
pub fn hands(plan: &PlanDocument) -> Drawing {
    const TITLE: &str = "Where the hands are";
    let section = &plan.geometry.hands;
    let Some(hands) = &section.value else { return not_drawn(TITLE, section) };
    let sides =
        [(&hands.before, hands.outline_before.as_ref()), (&hands.after, hands.outline_after.as_ref())];
    let reached: Vec<[f64; 2]> =
        sides.iter().flat_map(|(place, outline)| reached(place, *outline)).chain([[0.0, 0.0]]).collect();
    let least = |axis: usize| reached.iter().map(|at| at[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| reached.iter().map(|at| at[axis]).fold(f64::NEG_INFINITY, f64::max);
    let (rear, top, low) = (least(0), most(1), least(1));
    let on = |at: [f64; 2]| Place::new(LEFT_MM + (at[0] - rear) / SCALE, TOP_MM + (top - at[1]) / SCALE);
    // The cross of the origin reaches 9 mm down; under a bar that reaches further the words follow closer.
    let foot = TOP_MM + ((top - low) / SCALE + 8.0).max(top / SCALE + 15.0);
    let notes: Vec<String> = wrapped(&notes(hands).join("; "), 96);
    let height = foot + 28.0 + 4.8 * notes.len() as f64;
    let mut drawing = Drawing::new(WIDTH_MM, height, TITLE, about(hands));
    let origin = if hands.recorded {
        "from the side, riding to the right; places from the middle of the bearing cover"
    } else {
        "from the side, riding to the right; places from the middle of the stem on the steerer"
    };
    head(&mut drawing, TITLE, origin);
    let cross = on([0.0, 0.0]);
    let axis = Pen::solid(0.3, Mark::Quiet).broken(Dash::Centre);
    drawing.line(Place::new(cross.x_mm - 9.0, cross.y_mm), Place::new(cross.x_mm + 9.0, cross.y_mm), axis);
    drawing.line(Place::new(cross.x_mm, cross.y_mm - 9.0), Place::new(cross.x_mm, cross.y_mm + 9.0), axis);
    for ((place, outline), (pen, _)) in sides.iter().zip(BIKES) {
        if let Some(outline) = outline {
            shape(&mut drawing, outline, on, pen);
        }
        hood(&mut drawing, on(middle(place)), pen);
    }
    shift(&mut drawing, on(middle(&hands.before)), on(middle(&hands.after)), hands);
    legend(&mut drawing, foot, hands);
    for (i, line) in notes.iter().enumerate() {
        let at = Place::new(0.0, foot + 19.0 + 4.8 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, line);
    }
    scale_bar(&mut drawing, Place::new(0.0, height - 3.0), 100.0, 1.0 / SCALE);
    drawing
}

fn middle(place: &PlaceDocument) -> [f64; 2] {
    [place.forward.value_mm, place.up.value_mm]
}

/// Everything of a bike that has to be on the paper.
fn reached(place: &PlaceDocument, outline: Option<&OutlineDocument>) -> Vec<[f64; 2]> {
    let mut all = vec![middle(place)];
    if let Some(outline) = outline {
        all.extend([outline.steerer_mm, outline.clamp_mm, outline.lever_mm]);
        all.extend(&outline.bar_mm);
    }
    all
}

/// Stem, bar and lever; a bar whose curve nobody knows is the thin line of its reach.
fn shape(drawing: &mut Drawing, outline: &OutlineDocument, on: impl Fn([f64; 2]) -> Place, pen: Pen) {
    let (steerer, clamp) = (on(outline.steerer_mm), on(outline.clamp_mm));
    drawing.line(steerer, clamp, Pen { width_mm: pen.width_mm * 1.8, ..pen });
    drawing.circle(steerer, 1.6, Some(Mark::Paper), Pen { dash: Dash::Solid, width_mm: 0.5, ..pen });
    let bar: Vec<Place> = outline.bar_mm.iter().map(|at| on(*at)).collect();
    drawing.path(&bar, if outline.curve { pen } else { Pen { width_mm: pen.width_mm * 0.4, ..pen } });
    let tube = Pen { dash: Dash::Solid, width_mm: 0.5, ..pen };
    // Where the stem holds the bar; the circle is a sign, not the diameter.
    drawing.circle(clamp, 3.0, Some(Mark::Paper), tube);
    drawing.line(on(outline.lever_mm), on(outline.hood_mm), Pen { width_mm: pen.width_mm * 1.4, ..pen });
}

fn hood(drawing: &mut Drawing, at: Place, pen: Pen) {
    let is_new = pen.dash == Dash::Solid;
    let fill = if is_new { Mark::Ink } else { Mark::Paper };
    drawing.circle(at, 2.2, Some(fill), Pen { dash: Dash::Solid, width_mm: 0.6, ..pen });
}

/// From the old hood to the new one, with its words beside them.
fn shift(drawing: &mut Drawing, from: Place, to: Place, hands: &HandsDocument) {
    drawing.line(from, to, Pen::solid(0.7, Mark::Set));
    let x = from.x_mm.max(to.x_mm) + 5.0;
    let y = (from.y_mm + to.y_mm) / 2.0;
    let rows = [
        "hoods".to_owned(),
        format!("{} mm forward", signed(hands.shift.forward.value_mm, 0)),
        format!("{} mm up", signed(hands.shift.up.value_mm, 0)),
    ];
    for (i, row) in rows.iter().enumerate() {
        let at = Place::new(x.min(WIDTH_MM - 34.0), y - 2.0 + 4.6 * i as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Bold, Mark::Set, row);
    }
}

fn legend(drawing: &mut Drawing, foot: f64, hands: &HandsDocument) {
    for (i, (place, (pen, name))) in [&hands.before, &hands.after].iter().zip(BIKES).enumerate() {
        let y = foot + 5.6 * i as f64;
        drawing.line(Place::new(0.0, y - 1.4), Place::new(12.0, y - 1.4), pen);
        let text = format!(
            "{name}: {} mm forward, {} mm up",
            number(place.forward.value_mm, 0),
            number(place.up.value_mm, 0)
        );
        drawing.text(Place::new(15.0, y), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, text);
    }
    let text = format!("for the rider: {}", hands.felt);
    drawing.text(Place::new(0.0, foot + 12.2), VALUE_MM, Anchor::Start, Weight::Bold, Mark::Set, text);
}

fn about(hands: &HandsDocument) -> String {
    format!(
        "The hands move {} mm forward and {} mm up: {}",
        number(hands.shift.forward.value_mm, 0),
        number(hands.shift.up.value_mm, 0),
        hands.felt
    )
}

/// What the picture does not show, or shows with less than was wanted.
fn notes(hands: &HandsDocument) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(stem) = hands.ways.iter().chain(&hands.stems).find(|way| way.planned) {
        notes.push(format!("stem after: {} mm, {}°", number(stem.length_mm, 0), signed(stem.angle_deg, 0)));
    }
    for (outline, name) in [(&hands.outline_before, "as found"), (&hands.outline_after, "after")] {
        match outline {
            None => notes.push(format!("stem and bar {name} are not drawn: not all measured")),
            Some(outline) if !outline.curve => {
                notes.push(format!("bar {name}: only its reach is known, measure drop and ramp"));
            }
            Some(_) => {}
        }
    }
    if !hands.height_known {
        notes.push("the height of the hoods over the bar is not known: up is told without it".to_owned());
    }
    if !hands.recorded {
        notes.push("the old place was not read off the bike".to_owned());
    }
    notes
}
