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
pub(super) const CABLE_PER_TURN_MM: f64 = 0.8;
/// Cable between two readings of the guide pulley.
const READING_STEP_MM: f64 = 5.0;
/// Friction of strand on liner, as an amateur rig measured it on gear housing.
const FRICTION: f64 = 0.06;
/// Tension at a rear derailleur, its rise over a millimetre of cable, and the give of gear housing: guesses.
pub(super) const TENSION_N: f64 = 40.0;
pub(super) const SPRING_N_PER_MM: f64 = 1.0;
pub(super) const HOUSING_STIFFNESS_N: f64 = 2.0e5;
/// Guide pulley below the axle on the smallest and the largest cog and behind the hanger bolt, from memory.
const PULLEY_BELOW_MM: (f64, f64) = (60.0, 85.0);
const PULLEY_BEHIND_MM: f64 = 10.0;
/// Play at the guide pulley of a sound derailleur, from memory; the reach of a shift is a guess for one that has it.
const USUAL_PLAY: Length = Length::mm(0.3);
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
    /// How far one more click of cable moves the guide pulley here, toward the larger cogs.
    pub click: Length,
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
    /// What parts and hanger give when nothing else is wrong; `None` where they are not all known.
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
        click: click(&straight, gear, best, shifting.detent),
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

/// What a click does to a landing: the derailleur follows it from either side alike.
fn click(model: &ShiftModel, gear: usize, adjuster: Length, detent: Length) -> Length {
    let either = |adjuster| {
        let from = |toward| model.landing(gear, toward, adjuster).map(|landing| landing.error);
        from(Toward::Larger).or_else(|| from(Toward::Smaller))
    };
    match (either(adjuster), either(adjuster + detent)) {
        (Some(now), Some(then)) => then - now,
        _ => Length::mm(0.0),
    }
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
        let float = ask
            .known_number(when, Dimension::PulleyPlay)
            .map_or(USUAL_PLAY, |play| Length::mm(play.middle()));
        Some(Self {
            cogs,
            pulls,
            pitches,
            cog_thickness,
            chain_outer,
            readings: curve,
            is_curve,
            float,
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
            reach: SHIFT_TOLERANCE + USUAL_PLAY,
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
    // Clicks are counted with the hanger as the gauge reads it.
    let as_read = hanger(ask).unwrap_or(Hanger::STRAIGHT);
    let found = shape(&[(gears.0, low), (gears.1, high)])?;
    let predicted = shifting.and_then(|shifting| {
        let model = shifting.model(as_read).ok()?;
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
            "the centre wanders by {} clicks from cog to cog, {} of it not from parts and hanger as read: pull against pitch, the side of the \
             anchor bolt, or a hanger that leans more",
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, deg, mm, ratio, teeth};
    use crate::rules::index::RULE;
    use catalog::Value;
    use quantity::{Basis, Measured};

    fn bench() -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::ShiftPull, mm(2.7, 0.0))
            .chosen(Dimension::ShiftPositions, count(11))
            .found(Dimension::ShiftRatio, ratio(1.4, 0.0))
            .found(Dimension::Cogs, teeth(&[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]))
            .found(Dimension::CogPitch, mm(3.74, 0.0))
            .found(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::ChainWidth, mm(5.5, 0.0))
    }

    fn plan(bench: Bench) -> LandingPlan {
        landing(&bench.build()).value().cloned().unwrap()
    }

    fn clicked(bench: Bench, low: (u32, u32), high: (u32, u32)) -> MeasuredWindow {
        let counted = bench
            .found(Dimension::WindowLowAdded, count(low.0))
            .found(Dimension::WindowLowTaken, count(low.1))
            .found(Dimension::WindowHighAdded, count(high.0))
            .found(Dimension::WindowHighTaken, count(high.1));
        plan(counted).counted.unwrap()
    }

    /// The figures of a workshop's click window table, common practice: 5.0 clicks and a centre that moves by −0.14 a
    /// gear for 2.7 mm at 1.4 on 3.74 mm.
    #[test]
    fn the_parts_of_a_healthy_bike_show_the_window_of_practice() {
        let plan = plan(bench());
        let inner = &plan.gears[5];
        assert!((inner.room.width() - 5.0).abs() < 0.01, "{:?}", inner.room);
        let slope = plan.gears[6].room.centre() - inner.room.centre();
        assert!((slope + 0.14).abs() < 0.005, "{slope}");
        assert_eq!((plan.gears[0].to_larger, plan.gears[10].to_smaller), (None, None));
        assert!((plan.of_all.add - plan.of_all.take_off).abs() < 1e-9);
    }

    #[test]
    fn gears_are_counted_a_quarter_in_from_both_ends() {
        let gears = [8, 9, 10, 11, 12].map(gears_to_count);
        assert_eq!(gears, [(3, 6), (3, 7), (3, 8), (3, 9), (4, 9)]);
    }

    #[test]
    fn counted_clicks_part_the_families_of_causes() {
        let said = |low, high| clicked(bench(), low, high).reading.join("; ");
        assert!(said((3, 2), (2, 3)).ends_with("fine"), "{}", said((3, 2), (2, 3)));
        assert!(said((5, 0), (4, 1)).contains("add 2 clicks"));
        assert!(said((0, 5), (1, 4)).contains("take off 2 clicks"));
        assert!(said((1, 1), (1, 1)).starts_with("only 2.0 clicks"));
        assert!(said((0, 5), (5, 0)).contains("wanders by +0.83 clicks"));
        assert!(said((0, 0), (0, 0)).contains("leave the adjuster"));
        let counted = clicked(bench(), (3, 2), (2, 3));
        assert!((counted.predicted.unwrap().width - 5.0).abs() < 0.01);
    }

    #[test]
    fn more_bends_and_more_play_narrow_the_window() {
        let healthy = plan(bench()).of_all.width();
        let bent = bench()
            .found(Dimension::RearShiftBends, deg(720.0, 0.0))
            .found(Dimension::RearShiftHousing, mm(1700.0, 5.0))
            .found(Dimension::RearShiftBare, mm(100.0, 5.0));
        let bent = plan(bent);
        assert!(bent.is_of_housing && bent.of_all.width() < healthy - 0.5, "{:?}", bent.lost_motion);
        assert!(plan(bench().found(Dimension::PulleyPlay, mm(0.6, 0.1))).of_all.width() < healthy - 1.0);
        let fine = plan(bench().found(Dimension::AdjusterClicks, count(8)));
        assert!((fine.of_all.width() - 2.0 * healthy).abs() < 1e-9);
    }

    #[test]
    fn a_leaning_hanger_is_shown_apart_and_leaves_a_slope() {
        // 1° over 600 mm is 10.47 mm at the gauge and 0.44 mm across the cassette.
        let leaning = plan(bench().found(Dimension::HangerRoll, mm(10.47, 1.0)));
        let hanger = leaning.hanger.unwrap();
        assert!((hanger.roll.to_deg() - 1.0).abs() < 0.001 && (hanger.across.to_mm() - 0.436).abs() < 0.001);
        assert!(hanger.of_all.width() < leaning.of_all.width());
        assert_eq!(leaning.of_all, plan(bench()).of_all);
    }

    #[test]
    fn a_derailleur_read_along_its_travel_needs_no_ratio() {
        let read = |list: &[f64]| {
            let one = |value| Measured {
                value: Length::mm(value),
                tolerance: Length::mm(0.2),
                basis: Basis::Measured,
            };
            Value::Lengths(list.iter().map(|value| one(*value)).collect())
        };
        let even = [7.0, 14.0, 21.0, 28.0, 35.0, 42.0];
        let curve = bench().without(Dimension::ShiftRatio).found(Dimension::PulleyTravel, read(&even));
        let curve = plan(curve);
        assert!(curve.is_curve && (curve.of_all.width() - plan(bench()).of_all.width()).abs() < 1e-9);
        let bent = [7.6, 14.6, 21.2, 27.6, 33.9, 40.2];
        let bent = plan(bench().found(Dimension::PulleyTravel, read(&bent)));
        assert!(bent.of_all.width() < curve.of_all.width());
        let back = landing(&bench().found(Dimension::PulleyTravel, read(&[7.0, 6.0])).build());
        let Section::Impossible { why, .. } = back else { panic!("{back:?}") };
        assert!(why.contains("does not rise above the one before"), "{why}");
    }

    #[test]
    fn what_is_missing_is_named() {
        for dimension in [
            Dimension::ShiftPull,
            Dimension::ShiftRatio,
            Dimension::Cogs,
            Dimension::CogThickness,
            Dimension::ChainWidth,
        ] {
            let section = landing(&bench().without(dimension).build());
            assert!(section.value().is_none());
            assert!(section.wanted().iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
        }
        assert_eq!(landing(&Build::new(&crate::Refit::default())), Section::NotTouched);
        let short = landing(&bench().chosen(Dimension::ShiftPositions, count(9)).build());
        assert!(matches!(short, Section::Impossible { .. }), "{short:?}");
    }
}
