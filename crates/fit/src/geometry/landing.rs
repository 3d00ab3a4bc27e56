//! Indexing in full: where every gear lands from either side, how many adjuster clicks it bears, and what clicks that
//! were counted on the stand say beside it.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::build::{Build, When};
use catalog::{Dimension, Slot};
use mechanics::cable_run::{CableRun, Make, Piece};
use mechanics::click_window::{BASE_DRAG, SHIFT_TOLERANCE, Shape, Window, shape, window};
use mechanics::derailleur::hanger_angle;
use mechanics::indexing::ADJUSTER_DETENT;
use mechanics::monotone_curve::MonotoneCurve;
use mechanics::shift_landing::{ClickRoom, Hanger, ShiftLanding, ShiftModel, ShiftParts, Toward};
use quantity::{Angle, Force, Length, Span, Teeth};

/// Cable of one turn of the adjuster: thread M5 x 0.8. From memory, the usual thread.
const CABLE_PER_TURN_MM: f64 = 0.8;
/// Cable between two readings of the guide pulley.
const READING_STEP_MM: f64 = 5.0;
/// Friction of strand on liner, as an amateur rig measured it on gear housing.
const FRICTION: f64 = 0.06;
/// Tension at a rear derailleur, its rise over a millimetre of cable, and the give of gear housing: guesses.
const TENSION_N: f64 = 40.0;
const SPRING_N_PER_MM: f64 = 1.0;
const HOUSING_STIFFNESS_N: f64 = 2.0e5;
/// Guide pulley below the axle on the smallest and the largest cog and behind the hanger bolt, from memory.
const PULLEY_BELOW_MM: (f64, f64) = (60.0, 85.0);
const PULLEY_BEHIND_MM: f64 = 10.0;
/// The span over which the hanger gauge reads.
const GAUGE_SPAN: Length = Length::mm(600.0);
/// A window narrower than this on the stand comes back with a complaint. A guess of practice.
const NARROW_CLICKS: f64 = 2.5;
/// Clicks by which width, centre and slope may differ from what is wanted before it means something. Guesses.
const WIDTH_CLICKS: f64 = 1.5;
const CENTRE_CLICKS: f64 = 1.0;
const SLOPE_CLICKS_PER_GEAR: f64 = 0.25;

/// Where the gears land after the refit.
#[derive(Clone, Debug, PartialEq)]
pub struct LandingPlan {
    /// One entry a cog, the smallest first.
    pub gears: Vec<GearLanding>,
    /// Cable of one click of the adjuster.
    pub detent: Length,
    /// Whether the clicks of the adjuster were counted; else four to a turn.
    pub detent_counted: bool,
    /// Whether the derailleur was measured along its travel; else its ratio is even.
    pub is_curve: bool,
    /// Cable by which pulling and returning differ.
    pub lost_motion: Length,
    /// Whether the lost motion is that of the housing as it runs; else that of a healthy cable.
    pub is_of_housing: bool,
    /// The hanger as the gauge read it, if it did.
    pub hanger: Option<HangerNow>,
    /// Clicks that every shift bears each way with the adjuster at its best.
    pub of_all: ClickRoom,
    /// Clicks counted on the new parts beside what they should show.
    pub counted: Option<MeasuredWindow>,
    /// The same for the bike as found.
    pub counted_before: Option<MeasuredWindow>,
}

/// A hanger that is not straight, as long as nobody aligns it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HangerNow {
    /// Lean; positive brings the guide pulley inward.
    pub roll: Angle,
    /// Turn; positive brings the back of it inward.
    pub toe: Angle,
    /// What it adds to the error of the largest cog against the smallest.
    pub across: Length,
    /// Clicks that every shift bears with the adjuster at its best and the hanger as it is.
    pub of_all: ClickRoom,
}

/// One cog, from both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearLanding {
    /// The cog.
    pub cog: Teeth,
    /// Reached from the next smaller cog.
    pub to_larger: Option<ShiftLanding>,
    /// Reached from the next larger cog.
    pub to_smaller: Option<ShiftLanding>,
    /// Clicks until a shift into it fails.
    pub room: ClickRoom,
}

/// Clicks counted in two gears, and what they say.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredWindow {
    /// The gears, counted from the smallest cog as 1.
    pub gears: (u32, u32),
    /// What was counted in each.
    pub counted: (Window, Window),
    /// Centre, slope and width of what was counted.
    pub found: Shape,
    /// What the parts give when nothing is wrong; `None` where they are not all known.
    pub predicted: Option<Shape>,
    /// What follows.
    pub reading: Vec<String>,
}

/// Works out the landing of the bike after the refit.
pub(super) fn landing(build: &Build) -> Section<LandingPlan> {
    let touched_by = [
        Slot::Levers,
        Slot::Shifters,
        Slot::RearDerailleur,
        Slot::Cassette,
        Slot::Chain,
        Slot::RearWheel,
        Slot::Cables,
    ];
    let one = |dimension, when| crate::pairs::teeth(build, when, dimension).len() == 1;
    if one(Dimension::Cogs, After) || crate::pairs::whole(build, After, Dimension::ShiftPositions) == Some(1)
    {
        return Section::NotTouched;
    }
    Section::work_out(build, &touched_by, work)
}

fn work(ask: &mut Ask<'_>) -> Result<LandingPlan, Unworked> {
    let shifting = Shifting::ask(ask, After).ok_or(Unworked::Wanting)?;
    let straight = shifting.model(Hanger::STRAIGHT)?;
    let best = straight.best_adjuster();
    let none = ClickRoom { add: f64::INFINITY, take_off: f64::INFINITY };
    let gears = shifting.cogs.iter().enumerate().map(|(gear, cog)| GearLanding {
        cog: *cog,
        to_larger: straight.landing(gear, Toward::Larger, best),
        to_smaller: straight.landing(gear, Toward::Smaller, best),
        room: straight.click_room(gear, best, shifting.detent).unwrap_or(none),
    });
    let gears = gears.collect();
    let hanger = hanger(ask).map(|hanger| hanger_now(&shifting, hanger)).transpose()?;
    Ok(LandingPlan {
        gears,
        detent: shifting.detent,
        detent_counted: shifting.detent_counted,
        is_curve: shifting.is_curve,
        lost_motion: shifting.lost_motion,
        is_of_housing: shifting.is_of_housing,
        hanger,
        of_all: straight.click_room_of_all(best, shifting.detent),
        counted: counted(ask, After, Some(&shifting)),
        counted_before: before(ask),
    })
}

/// Clicks counted on the bike as found, where its derailleur is not the one of after.
fn before(ask: &mut Ask<'_>) -> Option<MeasuredWindow> {
    if !ask.build.changes(Slot::RearDerailleur) {
        return None;
    }
    let was_counted = crate::pairs::whole(ask.build, Before, Dimension::WindowLowAdded).is_some();
    let shifting = if was_counted { Shifting::ask(ask, Before) } else { None };
    counted(ask, Before, shifting.as_ref())
}

/// Parts of the shifting as read.
struct Shifting {
    cogs: Vec<Teeth>,
    pulls: Vec<Length>,
    pitches: Vec<Length>,
    cog_thickness: Length,
    chain_outer: Length,
    readings: Vec<(f64, f64)>,
    is_curve: bool,
    float: Length,
    lost_motion: Length,
    is_of_housing: bool,
    detent: Length,
    detent_counted: bool,
}

impl Shifting {
    fn ask(ask: &mut Ask<'_>, when: When) -> Option<Self> {
        let cogs = ask.teeth(when, Dimension::Cogs);
        let pulls = ask.shift_pulls(when);
        let pitches = ask.cog_pitches(when, cogs.as_ref().map_or(2, Vec::len));
        let thickness = ask.number(when, Dimension::CogThickness);
        let chain = ask.number(when, Dimension::ChainWidth);
        let travel = ask.known(when, Dimension::PulleyTravel);
        // A curve says all that a ratio says; its mean slope stands for the ratio where only the drag asks for it.
        let readings: Vec<f64> = match &travel {
            Some(catalog::Value::Lengths(list)) => list.iter().map(|one| one.value.to_mm()).collect(),
            _ => Vec::new(),
        };
        let ratio = match readings.last() {
            Some(last) => Some(last / (READING_STEP_MM * readings.len() as f64)),
            None => ask.number(when, Dimension::ShiftRatio).map(Span::middle),
        };
        let mm = |spans: Vec<Span>| spans.iter().map(|span| Length::mm(span.middle())).collect::<Vec<_>>();
        let (cogs, pulls, pitches, ratio) = (cogs?, mm(pulls?), mm(pitches?), ratio?);
        let (cog_thickness, chain_outer) = (Length::mm(thickness?.middle()), Length::mm(chain?.middle()));
        let is_curve = !readings.is_empty();
        let curve = if is_curve {
            let places = readings.iter().enumerate();
            let read = places.map(|(place, at)| (READING_STEP_MM * (place + 1) as f64, *at));
            std::iter::once((0.0, 0.0)).chain(read).collect()
        } else {
            vec![(0.0, 0.0), (READING_STEP_MM, READING_STEP_MM * ratio)]
        };
        let healthy = BASE_DRAG * (2.0 / ratio);
        let of_housing = housing_lost_motion(ask, when);
        let lost_motion = of_housing.filter(|lost| *lost > healthy).unwrap_or(healthy);
        let clicks =
            ask.number(when, Dimension::AdjusterClicks).map(Span::middle).filter(|clicks| *clicks > 0.0);
        let detent = clicks.map_or(ADJUSTER_DETENT, |clicks| Length::mm(CABLE_PER_TURN_MM / clicks));
        let float = ask.known_number(when, Dimension::PulleyPlay).map_or(0.0, Span::middle);
        Some(Self {
            cogs,
            pulls,
            pitches,
            cog_thickness,
            chain_outer,
            readings: curve,
            is_curve,
            float: Length::mm(float),
            lost_motion,
            is_of_housing: of_housing.is_some(),
            detent,
            detent_counted: clicks.is_some(),
        })
    }

    fn model(&self, hanger: Hanger) -> Result<ShiftModel, Unworked> {
        let impossible = |why: String| Unworked::Impossible(why);
        let travel = MonotoneCurve::rising(&self.readings)
            .map_err(|error| impossible(format!("travel of the derailleur: {error}")))?;
        ShiftModel::new(ShiftParts {
            pulls: self.pulls.clone(),
            travel,
            pitches: self.pitches.clone(),
            cog_thickness: self.cog_thickness,
            chain_outer: self.chain_outer,
            hanger,
            float: self.float,
            lost_motion: self.lost_motion,
            reach: SHIFT_TOLERANCE,
        })
        .map_err(|error| impossible(error.to_string()))
    }
}

/// Lost motion of the housing as it runs; `None` where its length and bends are not known.
fn housing_lost_motion(ask: &mut Ask<'_>, when: When) -> Option<Length> {
    let bends = ask.number(when, Dimension::RearShiftBends);
    let housing = ask.number(when, Dimension::RearShiftHousing);
    let bare = ask.known_number(when, Dimension::RearShiftBare).map_or(0.0, Span::middle);
    let pieces = vec![
        Piece::Bare { length: Length::mm(bare) },
        Piece::Bend { length: Length::mm(housing?.middle()), turned: Angle::deg(bends?.middle()) },
    ];
    let make = Make {
        friction: FRICTION,
        strand_stiffness: Force::newtons(mechanics::cable::STRAND_STIFFNESS_N),
        housing_stiffness: Force::newtons(HOUSING_STIFFNESS_N),
        tension: Force::newtons(TENSION_N),
        spring_n_per_mm: SPRING_N_PER_MM,
        seating: Length::mm(0.0),
    };
    let lost = CableRun::new(pieces).ok()?.lost_motion(&make);
    lost.to_mm().is_finite().then_some(lost)
}

/// The hanger by the gauge, if it was read in both directions.
fn hanger(ask: &mut Ask<'_>) -> Option<Hanger> {
    let roll = ask.known_number(After, Dimension::HangerRoll);
    let toe = ask.known_number(After, Dimension::HangerToe);
    if roll.is_none() && toe.is_none() {
        return None;
    }
    let angle = |span: Option<Span>| hanger_angle(Length::mm(span.map_or(0.0, Span::middle)), GAUGE_SPAN);
    Some(Hanger {
        roll: angle(roll),
        toe: angle(toe),
        drop_at_smallest: Length::mm(PULLEY_BELOW_MM.0),
        drop_at_largest: Length::mm(PULLEY_BELOW_MM.1),
        behind: Length::mm(PULLEY_BEHIND_MM),
    })
}

fn hanger_now(shifting: &Shifting, hanger: Hanger) -> Result<HangerNow, Unworked> {
    let model = shifting.model(hanger)?;
    Ok(HangerNow {
        roll: hanger.roll,
        toe: hanger.toe,
        across: hanger.shift(1.0) - hanger.shift(0.0),
        of_all: model.click_room_of_all(model.best_adjuster(), shifting.detent),
    })
}

/// The two gears in which clicks are counted, from the smallest cog as 1: a quarter in from either end.
pub(crate) fn gears_to_count(cogs: usize) -> (u32, u32) {
    let lower = u32::try_from(1 + cogs / 4).unwrap_or(1);
    (lower, u32::try_from(cogs + 1).unwrap_or(1).saturating_sub(lower))
}

fn counted(ask: &mut Ask<'_>, when: When, shifting: Option<&Shifting>) -> Option<MeasuredWindow> {
    let mut clicks = |dimension| ask.known_number(when, dimension).map(Span::middle);
    let low = window(clicks(Dimension::WindowLowAdded)?, clicks(Dimension::WindowLowTaken)?);
    let high = window(clicks(Dimension::WindowHighAdded)?, clicks(Dimension::WindowHighTaken)?);
    let cogs = ask.teeth(when, Dimension::Cogs)?.len();
    let gears = gears_to_count(cogs);
    let found = shape(&[(gears.0, low), (gears.1, high)])?;
    let predicted = shifting.and_then(|shifting| {
        let model = shifting.model(Hanger::STRAIGHT).ok()?;
        let of = |gear: u32| {
            let room = model.click_room(gear as usize - 1, model.best_adjuster(), shifting.detent)?;
            Some((gear, window(room.add, room.take_off)))
        };
        shape(&[of(gears.0)?, of(gears.1)?]).filter(|shape| shape.width.is_finite())
    });
    let reading = read(&found, predicted.as_ref());
    Some(MeasuredWindow { gears, counted: (low, high), found, predicted, reading })
}

/// What centre, slope and width say: each belongs to another family of causes.
fn read(found: &Shape, predicted: Option<&Shape>) -> Vec<String> {
    use quantity::digits::{fixed, signed};
    let mut said = Vec::new();
    let narrower = predicted.is_some_and(|predicted| found.width < predicted.width - WIDTH_CLICKS);
    if found.width <= 0.0 {
        said.push(
            "no position of the adjuster shifts both ways: drag, play or parts; leave the adjuster"
                .to_owned(),
        );
    } else if found.width < NARROW_CLICKS || narrower {
        said.push(format!(
            "only {} clicks from failing to failing: drag in cable or lever, or play; the adjuster does not cure it",
            fixed(found.width, 1)
        ));
    }
    let own = predicted.map_or(0.0, |predicted| predicted.slope_per_gear);
    let slope = found.slope_per_gear - own;
    if slope.abs() > SLOPE_CLICKS_PER_GEAR {
        said.push(format!(
            "the centre wanders by {} clicks from cog to cog, {} of it not from the parts: pull against pitch, the side of the \
             anchor bolt, or a bent hanger",
            signed(found.slope_per_gear, 2),
            signed(slope, 2)
        ));
    }
    let whole = found.centre.round();
    if found.centre.abs() >= CENTRE_CLICKS && found.width > 0.0 {
        let turn = if whole > 0.0 { "add" } else { "take off" };
        said.push(format!("off the middle: {turn} {} clicks", fixed(whole.abs(), 0)));
    }
    if said.is_empty() {
        said.push(format!("in the middle, and {} clicks wide: fine", fixed(found.width, 1)));
    }
    said
}
