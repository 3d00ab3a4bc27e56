//! Where the hands were, where they come to lie, and the stems, spacers and turns of the bar that bring them back.

pub mod outline;

pub use outline::Outline;

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{self, After, Before};
use crate::pairs::number;
use crate::rules::hand_position::{KEPT_MM, Stem, UNFELT_MM, level};
use catalog::{Catalogue, Dimension, Part, Slot, Value};
use mechanics::Point;
use mechanics::bar_curve::{BarCurve, BarError, Choice, Hands, Setting, Spot, bring_hood_back};
use quantity::{Angle, Length, Reading, Span};

/// Sizes of stems that the trade has, whether the catalogue has them or not: common practice.
const LENGTHS_MM: [f64; 7] = [70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0];
const ANGLES_DEG: [f64; 4] = [-17.0, -6.0, 6.0, 17.0];
/// Degrees of hood slope that weigh as much as a millimetre of place: our judgement.
const DEG_PER_MM: f64 = 0.5;
/// The steerer ends so far below the upper edge of the stack: the middle of 3 to 5 mm.
const CAP_GAP_MM: f64 = 4.0;
/// Spacers come in steps of this; the turn of the bar is tried this far either way.
const SPACER_STEP_MM: f64 = 5.0;
const TURN_MOST_DEG: i32 = 6;
/// Ways shown.
const SHOWN: usize = 5;
/// Clamps and steerers closer than this are the same.
const SAME_MM: f64 = 0.2;
/// Levers whose marks differ by more do not sit alike: common practice.
const ALIKE_MM: f64 = 2.0;

/// A place from the middle of the bearing cover, in the plane of the bike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Forward, millimetres.
    pub forward_mm: Span,
    /// Up, millimetres.
    pub up_mm: Span,
}

/// The hands of one refit.
#[derive(Clone, Debug, PartialEq)]
pub struct HandPlace {
    /// The trough of the hood as found.
    pub before: Place,
    /// The trough of the hood with the chosen parts, spacers and turn as they are.
    pub after: Place,
    /// After less before; what stays on the bike falls out.
    pub shift: Place,
    /// Whether the old place was read off the bike rather than added up from its parts.
    pub recorded: bool,
    /// Whether the bars are drawn as curves; else the lever sits at the reach of the bar, level with the clamp.
    pub drawn: bool,
    /// Whether the height of the trough over the bar is known; else it is taken to stay as it is.
    pub height_known: bool,
    /// Slope of the ramp below level, before and after, degrees.
    pub ramps_deg: (Option<f64>, Option<f64>),
    /// What the rider feels of it.
    pub felt: Felt,
    /// Stems with spacers and bar as they stand, the nearest first; the planned one is among them.
    pub stems: Vec<Way>,
    /// Stems each with the spacers and the turn of the bar that bring the hands nearest.
    pub ways: Vec<Way>,
    /// Heights of spacers under the stem that the steerer allows, millimetres.
    pub spacers_mm: Vec<f64>,
    /// Where the levers go, from the middle of the stem.
    pub marks: Option<Marks>,
    /// Stem, bar and lever as found and after, as they are drawn; none where the parts are not known.
    pub outlines: (Option<Outline>, Option<Outline>),
}

/// What a shift of the hands is to a rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Felt {
    /// Not felt as a rule.
    Nothing,
    /// Felt.
    Felt,
    /// Another position.
    Another,
}

impl Felt {
    /// Up to 5 mm are not felt, beyond 15 mm it is another position: common practice.
    pub fn of(off_mm: f64) -> Self {
        if off_mm <= UNFELT_MM + quantity::SLACK {
            Self::Nothing
        } else if off_mm <= KEPT_MM + quantity::SLACK {
            Self::Felt
        } else {
            Self::Another
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Nothing => "not felt as a rule",
            Self::Felt => "felt",
            Self::Another => "another position",
        }
    }
}

/// Whether a stem can be had.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// It is on the bike.
    OnBike,
    /// It is in the catalogue, with working days if they are known; 0 is in stock.
    Catalogue(Option<u32>),
    /// A usual size that the catalogue has not.
    UsualSize,
}

/// One way of setting the cockpit.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Length of the stem, millimetres.
    pub length_mm: f64,
    /// Angle of the stem, degrees, negative down.
    pub angle_deg: f64,
    /// Spacers under it, millimetres; none where nobody measured them and they stay.
    pub spacers_mm: Option<f64>,
    /// Turn of the bar, degrees, up positive.
    pub turn_deg: f64,
    /// What is left, forward, millimetres.
    pub forward_mm: f64,
    /// What is left, up, millimetres.
    pub up_mm: f64,
    /// What is left of the slope of the hood, degrees, up positive.
    pub slope_deg: f64,
    /// Distance that is left, millimetres.
    pub off_mm: f64,
    /// Whether it can be had.
    pub supply: Supply,
    /// Its key in the catalogue.
    pub part: Option<String>,
    /// Whether it is the stem of the plan.
    pub planned: bool,
}

impl Way {
    /// What a rider feels of what is left.
    pub fn felt(&self) -> Felt {
        Felt::of(self.off_mm)
    }
}

/// Where the levers go along the bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marks {
    /// Left as found, millimetres from the middle of the stem along the bar.
    pub left_mm: Span,
    /// Right as found.
    pub right_mm: Span,
    /// Whether the two differ by more than 2 mm.
    pub uneven: bool,
    /// Both sides after the refit; none if the widths of the bars are not known.
    pub after_mm: Option<Span>,
}

/// Where the hands lie, with what the catalogue has to bring them back.
pub fn hands(build: &Build, catalogue: &Catalogue) -> Section<HandPlace> {
    Section::work_out(build, &[Slot::Bar, Slot::Stem, Slot::Levers], |ask| work(ask, catalogue))
}

/// Bar, lever and stem of one of the two bikes.
#[derive(Clone, Copy)]
struct Side {
    stem: Stem,
    reach: Span,
    hood: Span,
    above: Option<Span>,
    band: Option<Spot>,
    /// What reach, drop and place along the bar may move the band.
    band_loose_mm: f64,
}

fn work(ask: &mut Ask<'_>, catalogue: &Catalogue) -> Result<HandPlace, Unworked> {
    let head = ask.number(After, Dimension::HeadAngle);
    let forward = ask.known_number(Before, Dimension::HandForward);
    let up = ask.known_number(Before, Dimension::HandUp);
    let record = forward.zip(up);
    let after = side(ask, After)?;
    // With the place on record the old parts are read only if they are known.
    let before = if record.is_some() { known_side(ask.build) } else { side(ask, Before)? };
    let (Some(head), Some(after)) = (head, after) else { return Err(Unworked::Wanting) };
    if record.is_none() && before.is_none() {
        return Err(Unworked::Wanting);
    }
    let spacers = ask.known_number(Before, Dimension::Spacers);
    let heights = match record {
        // The place on record is from the bearing cover, so the stack counts.
        Some(_) => {
            let spacers = ask.number(Before, Dimension::Spacers);
            let height = ask.number(After, Dimension::StemHeight);
            let (Some(spacers), Some(height)) = (spacers, height) else { return Err(Unworked::Wanting) };
            stack(spacers, height, head)
        }
        None => (Span::exact(0.0), Span::exact(0.0)),
    };
    let drawn = after.band.is_some() && (record.is_some() || before.is_some_and(|side| side.band.is_some()));
    let old_above = before.and_then(|side| side.above);
    let kept_above = record.zip(before).zip(ask.known_number(Before, Dimension::StemHeight)).map(
        |(((_, up), side), height)| {
            let (_, rise) = stack(spacers.unwrap_or(Span::exact(0.0)), height, head);
            up - rise - side.stem.place(head).1
        },
    );
    let above = match (after.above, record) {
        (Some(above), _) => Some(above),
        (None, None) => None,
        (None, Some(_)) => match kept_above {
            Some(above) => Some(above),
            None => {
                ask.number(After, Dimension::HoodAbove);
                return Err(Unworked::Wanting);
            }
        },
    };
    let height_known = after.above.is_some() && (record.is_some() || old_above.is_some());
    let after_above = above.filter(|_| height_known || record.is_some()).unwrap_or(Span::exact(0.0));
    let before_above = old_above.filter(|_| height_known).unwrap_or(Span::exact(0.0));
    let hood_after = trough(after, drawn, after_above);
    let (stem_x, stem_y) = after.stem.place(head);
    let after_place =
        Place { forward_mm: stem_x + heights.0 + hood_after.0, up_mm: stem_y + heights.1 + hood_after.1 };
    let (before_place, shift) = match (record, before) {
        (Some((forward_mm, up_mm)), _) => (
            Place { forward_mm, up_mm },
            Place { forward_mm: after_place.forward_mm - forward_mm, up_mm: after_place.up_mm - up_mm },
        ),
        (None, Some(before)) => {
            let hood = trough(before, drawn, before_above);
            let (x, y) = before.stem.place(head);
            let place = Place { forward_mm: x + hood.0, up_mm: y + hood.1 };
            (place, shift(ask.build, before, after, head, (hood, hood_after), height_known || drawn))
        }
        (None, None) => return Err(Unworked::Wanting),
    };
    let spacers_mm = heights_to_try(ask, spacers);
    let at = |place: Place| Point { x_mm: place.forward_mm.middle(), y_mm: place.up_mm.middle() };
    let slope_before = ask.known_number(Before, Dimension::HandSlope).map_or(0.0, Span::middle);
    let bands = before.and_then(|side| side.band).zip(after.band).filter(|_| drawn);
    let slope_change = bands.map_or(0.0, |(old, new)| (new.slope - old.slope).to_deg());
    let wanted = Hands {
        hood: Spot { at: at(before_place), slope: Angle::deg(slope_before) },
        head_angle: Angle::deg(head.middle()),
        deg_per_mm: DEG_PER_MM,
    };
    // The stack under the stem stays unless it is tried, so it stands in the trough.
    let hood = Spot {
        at: Point { x_mm: hood_after.0.middle(), y_mm: hood_after.1.middle() },
        slope: Angle::deg(slope_before + slope_change),
    };
    let half_height = match record {
        Some(_) => number(ask.build, After, Dimension::StemHeight).unwrap_or(0.0) / 2.0,
        None => 0.0,
    };
    let from = if record.is_some() { 0.0 } else { spacers.map_or(0.0, Span::middle) };
    let candidates = candidates(ask.build, catalogue, after.stem);
    let search = |heights: &[f64], turns: Vec<Angle>| {
        let choice = Choice {
            stems: candidates
                .iter()
                .map(|stem| (Length::mm(stem.length_mm), Angle::deg(stem.angle_deg)))
                .collect(),
            // Heights count from the stack as found where the old place is added up from parts.
            spacers: heights.iter().map(|height| Length::mm(height - from + half_height)).collect(),
            turns,
        };
        let found = bring_hood_back(hood, wanted, &choice, usize::MAX).map_err(not_drawn)?;
        Ok::<_, Unworked>(
            found
                .iter()
                .map(|setting| way(setting, &candidates, heights, spacers, &choice, wanted))
                .collect::<Vec<Way>>(),
        )
    };
    let now = spacers.map_or(0.0, Span::middle);
    let stems = nearest(search(&[now], vec![Angle::deg(0.0)])?);
    let turns = (-TURN_MOST_DEG..=TURN_MOST_DEG).map(|turn| Angle::deg(f64::from(turn))).collect();
    let ways = nearest(search(&spacers_mm, turns)?);
    let ramp = |ask: &mut Ask<'_>, when| ask.known_number(when, Dimension::BarRamp).map(Span::middle);
    let ramps_deg = (ramp(ask, Before), ramp(ask, After));
    let foot = |when| match record {
        Some(_) => outline::foot(ask.build, when, head),
        None => Some(Point { x_mm: 0.0, y_mm: 0.0 }),
    };
    let outline = |when, side: Option<Side>, place| {
        side.zip(foot(when)).map(|(side, foot)| Outline::of(ask.build, when, &side, foot, head, at(place)))
    };
    let outlines = (outline(Before, before, before_place), outline(After, Some(after), after_place));
    let felt = Felt::of(shift.forward_mm.middle().hypot(shift.up_mm.middle()));
    Ok(HandPlace {
        before: before_place,
        after: after_place,
        shift,
        recorded: record.is_some(),
        drawn,
        height_known,
        ramps_deg,
        felt,
        stems,
        ways,
        spacers_mm: if spacers.is_some() { spacers_mm } else { Vec::new() },
        outlines,
        marks: marks(ask),
    })
}

/// The parts of one bike; what is missing is asked for.
fn side(ask: &mut Ask<'_>, when: When) -> Result<Option<Side>, Unworked> {
    let length = ask.number(when, Dimension::StemLength);
    let angle = ask.number(when, Dimension::StemAngle);
    let reach = ask.number(when, Dimension::BarReach);
    let hood = ask.number(when, Dimension::HoodReach);
    let above = ask.known_number(when, Dimension::HoodAbove);
    let (Some(length), Some(angle), Some(reach), Some(hood)) = (length, angle, reach, hood) else {
        return Ok(None);
    };
    let drop = ask.known_number(when, Dimension::BarDrop);
    let ramp = ask.known_number(when, Dimension::BarRamp);
    let along = ask.known_number(when, Dimension::LeverAlong);
    let (mut band, mut band_loose_mm) = (None, 0.0);
    if let (Some(drop), Some(ramp), Some(along)) = (drop, ramp, along) {
        let mm = |span: Span| Length::mm(span.middle());
        let curve = BarCurve::new(mm(reach), mm(drop), Angle::deg(ramp.middle())).map_err(not_drawn)?;
        band = Some(curve.spot(mm(along)).map_err(not_drawn)?);
        band_loose_mm = reach.half_width() + drop.half_width() + along.half_width();
    }
    Ok(Some(Side { stem: Stem { length, angle }, reach, hood, above, band, band_loose_mm }))
}

/// The old parts as far as they are known, without asking.
fn known_side(build: &Build) -> Option<Side> {
    side(&mut Ask::new(build), Before).ok().flatten()
}

fn not_drawn(error: BarError) -> Unworked {
    Unworked::Impossible(error.to_string())
}

/// From the middle of the stem clamp to the trough.
fn trough(side: Side, drawn: bool, above: Span) -> (Span, Span) {
    match side.band.filter(|_| drawn) {
        Some(band) => {
            let loose = |middle| Span::around(middle, side.band_loose_mm);
            (loose(band.at.x_mm) + side.hood, loose(band.at.y_mm) + above)
        }
        None => (side.reach + side.hood, above),
    }
}

/// Spacers and half of the stem's own height, along the steerer, forward and up.
fn stack(spacers: Span, stem_height: Span, head: Span) -> (Span, Span) {
    level(Span::exact(0.0), spacers + stem_height * Span::exact(0.5), head)
}

/// After less before; a part that stays falls out with its tolerance.
fn shift(
    build: &Build,
    before: Side,
    after: Side,
    head: Span,
    (old, new): ((Span, Span), (Span, Span)),
    heights_count: bool,
) -> Place {
    let still = (Span::exact(0.0), Span::exact(0.0));
    let (stem_x, stem_y) =
        if build.changes(Slot::Stem) { before.stem.shift_to(after.stem, head) } else { still };
    let moved = |slot, old: Span, new: Span| if build.changes(slot) { new - old } else { Span::exact(0.0) };
    let touched = build.changes(Slot::Bar) || build.changes(Slot::Levers);
    if heights_count && touched {
        return Place { forward_mm: stem_x + (new.0 - old.0), up_mm: stem_y + (new.1 - old.1) };
    }
    let along = moved(Slot::Bar, before.reach, after.reach) + moved(Slot::Levers, before.hood, after.hood);
    Place { forward_mm: stem_x + along, up_mm: stem_y }
}

/// Heights of spacers under the stem that fit on the steerer; the present one alone where that is not known.
fn heights_to_try(ask: &mut Ask<'_>, spacers: Option<Span>) -> Vec<f64> {
    let now = spacers.map_or(0.0, Span::middle);
    let spacers = ask.number(Before, Dimension::Spacers);
    let stands = ask.number(Before, Dimension::SteererStands);
    let height = ask.number(After, Dimension::StemHeight);
    let (Some(_), Some(stands), Some(height)) = (spacers, stands, height) else { return vec![now] };
    let most = stands.middle() - height.middle() + CAP_GAP_MM;
    let mut heights = vec![now];
    let mut at = 0.0;
    while at <= most + quantity::SLACK && heights.len() < 40 {
        if (at - now).abs() > 0.5 {
            heights.push(at);
        }
        at += SPACER_STEP_MM;
    }
    heights.sort_by(f64::total_cmp);
    heights
}

/// A stem that is tried.
struct Candidate {
    length_mm: f64,
    angle_deg: f64,
    supply: Supply,
    part: Option<String>,
    planned: bool,
}

/// The planned stem, stems of the catalogue that fit bar and steerer (either way up), and the usual sizes.
fn candidates(build: &Build, catalogue: &Catalogue, planned: Stem) -> Vec<Candidate> {
    let supply = match build.choice.get(Slot::Stem) {
        Some(part) => Supply::Catalogue(part.lead_days()),
        None => Supply::OnBike,
    };
    let mut list = vec![Candidate {
        length_mm: planned.length.middle(),
        angle_deg: planned.angle.middle(),
        supply,
        part: build.choice.get(Slot::Stem).and_then(|part| part.id().map(str::to_owned)),
        planned: true,
    }];
    let known = |list: &[Candidate], length_mm: f64, angle_deg: f64| {
        list.iter()
            .any(|stem| (stem.length_mm - length_mm).abs() < 0.5 && (stem.angle_deg - angle_deg).abs() < 0.25)
    };
    let clamp = number(build, After, Dimension::BarClamp);
    let steerer = number(build, After, Dimension::SteererDiameter);
    for part in catalogue.for_slot(Slot::Stem) {
        let same = |dimension, wanted: Option<f64>| match (reading(part, dimension), wanted) {
            (Some(found), Some(wanted)) => (found - wanted).abs() <= SAME_MM,
            (found, _) => found.is_some(),
        };
        if !same(Dimension::StemClamp, clamp) || !same(Dimension::StemSteerer, steerer) {
            continue;
        }
        let (Some(length_mm), Some(angle_deg)) =
            (reading(part, Dimension::StemLength), reading(part, Dimension::StemAngle))
        else {
            continue;
        };
        for angle_deg in [angle_deg, -angle_deg] {
            if !known(&list, length_mm, angle_deg) {
                let part_id = part.id().map(str::to_owned);
                let supply = Supply::Catalogue(part.lead_days());
                list.push(Candidate { length_mm, angle_deg, supply, part: part_id, planned: false });
            }
        }
    }
    for length_mm in LENGTHS_MM {
        for angle_deg in ANGLES_DEG {
            if !known(&list, length_mm, angle_deg) {
                list.push(Candidate {
                    length_mm,
                    angle_deg,
                    supply: Supply::UsualSize,
                    part: None,
                    planned: false,
                });
            }
        }
    }
    list
}

fn reading(part: &Part, dimension: Dimension) -> Option<f64> {
    match part.get(dimension) {
        Some(Reading::Taken(value)) => Value::span(&value).map(Span::middle),
        _ => None,
    }
}

fn way(
    setting: &Setting,
    candidates: &[Candidate],
    heights: &[f64],
    spacers: Option<Span>,
    choice: &Choice,
    wanted: Hands,
) -> Way {
    let stem = &candidates[setting.stem];
    Way {
        length_mm: stem.length_mm,
        angle_deg: stem.angle_deg,
        spacers_mm: spacers.map(|_| heights[setting.spacers]),
        turn_deg: choice.turns[setting.turn].to_deg(),
        forward_mm: setting.hood.at.x_mm - wanted.hood.at.x_mm,
        up_mm: setting.hood.at.y_mm - wanted.hood.at.y_mm,
        slope_deg: setting.slope_off.to_deg(),
        off_mm: setting.off.to_mm(),
        supply: stem.supply,
        part: stem.part.clone(),
        planned: stem.planned,
    }
}

/// The nearest ways, one a stem, the planned stem always among them.
fn nearest(all: Vec<Way>) -> Vec<Way> {
    let mut shown: Vec<Way> = Vec::new();
    let mut planned = None;
    for way in all {
        let same = |shown: &Way| shown.length_mm == way.length_mm && shown.angle_deg == way.angle_deg;
        if shown.len() < SHOWN && !shown.iter().any(same) {
            shown.push(way);
        } else if way.planned && planned.is_none() {
            planned = Some(way);
        }
    }
    if !shown.iter().any(|way| way.planned) {
        shown.extend(planned);
    }
    shown
}

/// Where the levers go; a new bar moves them by half of what it is wider and by what they sit further along it.
fn marks(ask: &mut Ask<'_>) -> Option<Marks> {
    let left_mm = ask.number(Before, Dimension::LeverMarkLeft);
    let right_mm = ask.number(Before, Dimension::LeverMarkRight);
    let (left_mm, right_mm) = left_mm.zip(right_mm)?;
    let half = Span::exact(0.5);
    let mean = (left_mm + right_mm) * half;
    let after_mm = if ask.build.changes(Slot::Bar) {
        let widths = ask.number(Before, Dimension::BarWidth).zip(ask.number(After, Dimension::BarWidth));
        let along = ask
            .known_number(Before, Dimension::LeverAlong)
            .zip(ask.known_number(After, Dimension::LeverAlong))
            .map_or(Span::exact(0.0), |(before, after)| after - before);
        widths.map(|(before, after)| mean + (after - before) * half + along)
    } else {
        Some(mean)
    };
    let uneven = (left_mm.middle() - right_mm.middle()).abs() > ALIKE_MM + quantity::SLACK;
    Some(Marks { left_mm, right_mm, uneven, after_mm })
}
