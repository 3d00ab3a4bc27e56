//! Spokes, dish and spacers of the rear wheel: what a new hub, wheel or cassette body changes.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{self, After, Before};
use crate::rules::body_length::{Fill, spacer_for};
use catalog::{Dimension, Slot};
use mechanics::cassette::body_margin;
use mechanics::spoke::{Run, balancing_tension, bracing_angle, length, rim_compression};
use quantity::{Force, Length, Span};

/// Holes in hub flanges: 2.4 to 2.6 mm, common practice.
const HOLE_MM: (f64, f64) = (2.4, 2.6);
/// Tension on the drive side for which the other side and the rim are told, newtons. The print on the rim wins.
pub const EXAMPLE_TENSION_N: f64 = 1000.0;
/// Spoke lengths further apart than this need other spokes: common practice of a nipple's thread.
pub const OTHER_SPOKES_MM: f64 = 1.0;

/// What changes at the rear wheel.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelChange {
    /// The spokes of the wheel as found, if its flanges are known.
    pub before: Option<Laced>,
    /// The spokes of the new hub in its own rim or, where that is not named, in the old rim; none where the wheel stays.
    pub after: Option<Laced>,
    /// Whether the new hub is laced into the old rim.
    pub old_rim: bool,
    /// What the spokes of the wheel that is there in the end wait for; a wheel that stays is not asked for them.
    pub open: Vec<Dimension>,
    /// That wheel over its locknuts, millimetres, where it is known.
    pub locknuts_mm: Option<Span>,
    /// How much wider the new hub is over its locknuts, millimetres.
    pub wider_mm: Option<Span>,
    /// What goes behind the cassette.
    pub stack: Option<Stack>,
}

/// Both sides of a wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laced {
    /// The left side.
    pub left: SpokeSide,
    /// The drive side.
    pub right: SpokeSide,
    /// Spokes of the wheel.
    pub spokes: u32,
    /// How often a spoke crosses others of its side.
    pub crossings: u32,
    /// Diameter of the circle on which the spokes end in the rim, millimetres.
    pub spoke_circle_mm: f64,
    /// Tension of the left side for each newton of the drive side.
    pub left_share: f64,
    /// Force along the rim with the drive side at [`EXAMPLE_TENSION_N`], newtons.
    pub rim_n: f64,
}

/// One side of a wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpokeSide {
    /// Inside of the bend to the end of the thread, millimetres.
    pub length_mm: Span,
    /// Spoke against the middle plane, degrees.
    pub bracing_deg: f64,
    /// Middle plane to the flange, millimetres.
    pub flange_mm: f64,
    /// Diameter of the circle of holes in the flange, millimetres.
    pub hole_circle_mm: f64,
}

/// What happens to a value that a wheel's spokes lack.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Gap {
    /// It is asked for: the refit makes other spokes.
    Asked,
    /// It stays open: the wheel stays as it is.
    Left,
}

/// What the spokes of a wheel are worked out from.
const OF_HUB: [Dimension; 4] =
    [Dimension::FlangeLeft, Dimension::FlangeRight, Dimension::HoleCircleLeft, Dimension::HoleCircleRight];
const OF_RIM: [Dimension; 3] = [Dimension::SpokeCircle, Dimension::SpokeCount, Dimension::SpokeCrossings];

/// The body and what the cassette leaves of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stack {
    /// The body, millimetres.
    pub body_mm: Span,
    /// What the cassette takes of it: the length required less what its largest cogs hang over behind, millimetres.
    pub takes_mm: Span,
    /// Body less what the cassette needs, millimetres.
    pub room_mm: Span,
    /// The spacer behind the cassette, 0 for none; none where no spacer is meant clearly.
    pub spacer_mm: Option<f64>,
    /// Spacer found there now.
    pub now_mm: Option<Span>,
}

impl WheelChange {
    /// How far the flanges move outward against the rim, left and right.
    pub fn flange_moves_mm(&self) -> Option<(f64, f64)> {
        let (before, after) = (self.before?, self.after?);
        Some((after.left.flange_mm - before.left.flange_mm, after.right.flange_mm - before.right.flange_mm))
    }

    /// How far the rim has to go to the drive side, where a longer body puts all the added width there: half of it.
    pub fn rim_moves_mm(&self) -> Option<Span> {
        self.wider_mm.map(|wider| wider * Span::exact(0.5))
    }
}

/// The rear wheel of the bike after the refit.
pub fn wheel(build: &Build) -> Section<WheelChange> {
    Section::work_out(build, &[Slot::RearWheel, Slot::Cassette], work)
}

fn work(ask: &mut Ask<'_>) -> Result<WheelChange, Unworked> {
    let body = ask.number(After, Dimension::BodyLength);
    let needed = ask.number(After, Dimension::BodyNeeded);
    let overhang = ask.number(After, Dimension::Overhang);
    let now_mm = ask.known_number(Before, Dimension::SpacerBehind);
    let stack = body.zip(needed).zip(overhang).map(|((body, needed), overhang)| {
        // Linear in all three, so the corners give the interval.
        let room_mm = Span::hull(&[body, needed, overhang], |at| match at {
            [body, needed, overhang] => {
                body_margin(Length::mm(*body), Length::mm(*needed), Length::mm(*overhang)).to_mm()
            }
            _ => f64::NAN,
        });
        let spacer_mm = match spacer_for(room_mm) {
            Fill::Nothing => Some(0.0),
            Fill::Spacer(spacer_mm, _) => Some(spacer_mm),
            Fill::Unclear => None,
        };
        Stack { body_mm: body, takes_mm: needed - overhang, room_mm, spacer_mm, now_mm }
    });
    let (mut after, mut old_rim, mut wider_mm) = (None, false, None);
    let locknuts_mm = ask.known_number(After, Dimension::HubWidth);
    let mut rim = After;
    let is_new = ask.build.changes(Slot::RearWheel);
    let before = if is_new {
        wider_mm = ask
            .number(Before, Dimension::HubWidth)
            .zip(ask.number(After, Dimension::HubWidth))
            .map(|(before, after)| after - before);
        let before = laced(ask, Before, Before, Gap::Asked)?;
        // A wheel bought whole names its own rim; a hub alone goes into the old one.
        old_rim = ask.known_number(After, Dimension::SpokeCircle).is_none();
        rim = if old_rim { Before } else { After };
        after = laced(ask, After, rim, Gap::Asked)?;
        before
    } else {
        // Readings that make no wheel hide nothing else of it: its spokes stay open.
        laced(ask, Before, Before, Gap::Left).unwrap_or_default()
    };
    let in_the_end = if is_new { after } else { before };
    let open = if in_the_end.is_some() { Vec::new() } else { open(ask, rim) };
    if stack.is_none() && before.is_none() && after.is_none() && wider_mm.is_none() {
        return Err(Unworked::Wanting);
    }
    Ok(WheelChange { before, after, old_rim, open, locknuts_mm, wider_mm, stack })
}

/// What the spokes of the wheel that is there in the end wait for.
fn open(ask: &mut Ask<'_>, rim: When) -> Vec<Dimension> {
    let of = |when: When, all: &[Dimension]| all.iter().map(|it| (when, *it)).collect::<Vec<_>>();
    let all = [of(After, &OF_HUB), of(rim, &OF_RIM)].concat();
    let mut open: Vec<Dimension> =
        all.iter().filter(|(when, it)| ask.known(*when, *it).is_none()).map(|(_, it)| *it).collect();
    // All is known and makes no wheel: the counts are to be taken again.
    if open.is_empty() {
        open = vec![Dimension::SpokeCount, Dimension::SpokeCrossings];
    }
    open
}

/// The spokes of a hub of one bike in the rim of the same or the other.
fn laced(ask: &mut Ask<'_>, hub: When, rim: When, gap: Gap) -> Result<Option<Laced>, Unworked> {
    let mut number = |when: When, dimension: Dimension| match gap {
        Gap::Asked => ask.number(when, dimension),
        Gap::Left => ask.known_number(when, dimension),
    };
    let of_hub = OF_HUB.map(|dimension| number(hub, dimension));
    let ends = number(rim, Dimension::SpokeCircle);
    let mut count = |dimension: Dimension| match gap {
        Gap::Asked => ask.count(rim, dimension),
        Gap::Left => ask.known_count(rim, dimension),
    };
    let spokes = count(Dimension::SpokeCount);
    let crossings = count(Dimension::SpokeCrossings);
    let [Some(left), Some(right), Some(left_circle), Some(right_circle)] = of_hub else {
        return Ok(None);
    };
    let (Some(ends), Some(spokes), Some(crossings)) = (ends, spokes, crossings) else { return Ok(None) };
    let per_side = spokes / 2;
    if per_side == 0 || spokes % 2 == 1 || 4 * crossings > per_side * 2 {
        return Err(Unworked::Impossible(format!(
            "{spokes} spokes that cross {crossings} times: wanted as many on both sides, and a spoke that leaves the \
             hub within a quarter turn of its hole in the rim"
        )));
    }
    let side = |flange: Span, circle: Span| {
        let run = |flange: f64, circle: f64, ends: f64, hole: f64| Run {
            flange_offset: Length::mm(flange),
            hole_circle: Length::mm(circle),
            rim_diameter: Length::mm(ends),
            hole: Length::mm(hole),
            spokes_a_side: per_side,
            crossings,
        };
        let hole = Span::new(HOLE_MM.0, HOLE_MM.1);
        let length_mm = Span::hull(&[flange, circle, ends, hole], |at| match at {
            [flange, circle, ends, hole] => {
                length(run(*flange, *circle, *ends, *hole)).map_or(f64::NAN, Length::to_mm)
            }
            _ => f64::NAN,
        });
        let middle = run(flange.middle(), circle.middle(), ends.middle(), hole.middle());
        let bracing = middle.span().map(|span| bracing_angle(middle.flange_offset, span));
        bracing.map(|bracing| {
            let (flange_mm, hole_circle_mm) = (flange.middle(), circle.middle());
            (SpokeSide { length_mm, bracing_deg: bracing.to_deg(), flange_mm, hole_circle_mm }, bracing)
        })
    };
    let (Some((left, left_bracing)), Some((right, right_bracing))) =
        (side(left, left_circle), side(right, right_circle))
    else {
        return Ok(None);
    };
    let drive = Force::newtons(EXAMPLE_TENSION_N);
    let other = balancing_tension(drive, right_bracing, left_bracing);
    let mean = Force::newtons((drive.to_newtons() + other.to_newtons()) / 2.0);
    let (left_share, rim_n) =
        (other.to_newtons() / drive.to_newtons(), rim_compression(spokes, mean).to_newtons());
    if !(left_share.is_finite() && rim_n.is_finite()) {
        return Err(Unworked::Impossible(
            "the left flange stands in the middle plane: its spokes hold nothing sideways".to_owned(),
        ));
    }
    let spoke_circle_mm = ends.middle();
    Ok(Some(Laced { left, right, spokes, crossings, spoke_circle_mm, left_share, rim_n }))
}
