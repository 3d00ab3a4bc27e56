//! Which pieces of housing, hose and inner to cut, how long, and with what on their ends.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{After, Before};
use crate::rules::brake_line::{is_known_hydraulic, spoken_of};
use crate::rules::housing_length::change;
use catalog::{Dimension, LeverSide, Slot};
use mechanics::cable::{ferrules, tension_ratio};
use mechanics::cockpit::Point;
use mechanics::housing::{inner_needed, new_length};
use mechanics::housing_loop::{End, LockToLock, Steering, Wanted, lock_to_lock, shortest_housing};
use quantity::{Angle, Length, Span};

/// Least radius of brake housing, 50 mm, and of shift housing, 40 mm: common practice, no citable figure.
const LEAST_RADIUS: [Length; 2] = [Length::mm(50.0), Length::mm(40.0)];
/// What a loop keeps over the straight way at every lock: common practice.
const LEAST_SLACK: Length = Length::mm(5.0);
/// The longest loop that is looked for.
const LONGEST: Length = Length::mm(1200.0);
/// Friction of a strand in lined housing, new and after a season: from memory.
const FRICTION: [f64; 2] = [0.06, 0.10];

/// What a run leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Run {
    /// Left lever to front derailleur.
    ShiftFront,
    /// Right lever to rear derailleur.
    ShiftRear,
    /// Lever to front brake.
    BrakeFront,
    /// Lever to rear brake.
    BrakeRear,
}

impl Run {
    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::ShiftFront => "front shift",
            Self::ShiftRear => "rear shift",
            Self::BrakeFront => "front brake",
            Self::BrakeRear => "rear brake",
        }
    }
}

/// Where a length comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grounds {
    /// From the old piece and what bar and stem change.
    OldPiece,
    /// From a string along the new path.
    String,
    /// Looked at as a free loop at both full locks.
    BothLocks,
}

impl Grounds {
    /// How to read it at the stand.
    pub fn words(self) -> &'static str {
        match self {
            Self::OldPiece => "by the old piece: turn the bar to both full locks before it is cut",
            Self::String => "by the string along the path",
            Self::BothLocks => "looked at between both full locks",
        }
    }
}

/// One thing to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Its run.
    pub run: Run,
    /// Which piece of it.
    pub piece: &'static str,
    /// How long, millimetres.
    pub length: Span,
    /// Ferrules on it; for a hose, inserts and olives.
    pub ferrules: u32,
    /// Tips on it.
    pub tips: u32,
    /// Where the length comes from.
    pub grounds: Grounds,
    /// What is left of the stock that it is cut from, millimetres; below 0 the stock is too short.
    pub left_of_stock: Option<Span>,
}

/// A loop between the bar and the frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// Its run.
    pub run: Run,
    /// The shortest housing that keeps slack and radius at every lock, or why there is none.
    pub shortest: Result<LockToLock, String>,
    /// What the piece to be cut does, or why it has no shape; none where no piece is known.
    pub as_cut: Option<Result<LockToLock, String>>,
    /// The least radius that was asked of it.
    pub least_radius: Length,
}

/// What friction takes on the way to the rear derailleur.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// All bends, degrees.
    pub bends: Span,
    /// Force of the hand for one that arrives, over both frictions.
    pub pulling: Span,
    /// Force between pulling and returning, `e^(2μθ)`.
    pub hysteresis: Span,
}

/// The list as a technician reads it.
#[derive(Clone, Debug, PartialEq)]
pub struct CutList {
    /// What to cut, run by run.
    pub cuts: Vec<Cut>,
    /// Loops that were looked at between both locks.
    pub loops: Vec<Loop>,
    /// What the fold adds and each loop has to have to spare, millimetres.
    pub fold: Option<Span>,
    /// Friction of the rear shift cable, where its bends were counted.
    pub drag: Option<Drag>,
    /// Whether the brakes have hoses.
    pub hoses: bool,
    /// Which lever works the front brake, if it was said.
    pub front_brake: Option<LeverSide>,
}

/// The dimensions of one loop: lever end, its direction, frame end, its direction.
const BRAKE_LOOP: [Dimension; 4] = [
    Dimension::BrakeLoopLever,
    Dimension::BrakeLoopLeverAngle,
    Dimension::BrakeLoopStop,
    Dimension::BrakeLoopStopAngle,
];
const SHIFT_LOOP: [Dimension; 4] = [
    Dimension::ShiftLoopLever,
    Dimension::ShiftLoopLeverAngle,
    Dimension::ShiftLoopStop,
    Dimension::ShiftLoopStopAngle,
];

/// The section of a build.
pub fn section(build: &Build) -> Section<CutList> {
    Section::work_out(build, &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Shifters, Slot::Cables], work)
}

fn work(ask: &mut Ask<'_>) -> Result<CutList, Unworked> {
    let hoses = is_known_hydraulic(ask.build);
    let grows = growth(ask);
    let mut cuts = Vec::new();
    let mut loops = Vec::new();
    let shift_piece = grown(ask, Dimension::OldShiftPiece, grows);
    let brake_piece = grown(ask, Dimension::OldBrakePiece, grows);
    let front_brake = grown(ask, Dimension::OldFrontBrakePiece, grows);
    let rings = ask.known(After, Dimension::Rings).is_some_and(|rings| match rings {
        catalog::Value::Teeth(noted) => noted.value.len() > 1,
        _ => false,
    });
    let lock = ask.known_number(Before, Dimension::SteeringLock);
    let brake_loop = looked(ask, Run::BrakeRear, BRAKE_LOOP, lock, brake_piece, LEAST_RADIUS[0]);
    let shift_loop = looked(ask, Run::ShiftRear, SHIFT_LOOP, lock, shift_piece, LEAST_RADIUS[1]);
    let by = |seen: &Option<Loop>| if seen.is_some() { Grounds::BothLocks } else { Grounds::OldPiece };
    let piece = |run, piece, length: Option<Span>, ferrules, grounds| {
        length.map(|length| Cut { run, piece, length, ferrules, tips: 0, grounds, left_of_stock: None })
    };
    let two = ferrules(1, 0);
    if rings {
        cuts.extend(piece(Run::ShiftFront, "lever to first stop", shift_piece, two, by(&shift_loop)));
    }
    cuts.extend(piece(Run::ShiftRear, "lever to first stop", shift_piece, two, by(&shift_loop)));
    let last = ask.known_number(Before, Dimension::OldRearLoop);
    cuts.extend(piece(Run::ShiftRear, "last stop to derailleur", last, two, Grounds::OldPiece));
    let route = [Dimension::RearShiftHousing, Dimension::RearShiftBare, Dimension::ShiftInner];
    cuts.extend(inner(ask, Run::ShiftRear, route));
    let name = if hoses { "hose, lever to brake" } else { "lever to brake" };
    cuts.extend(piece(Run::BrakeFront, name, front_brake, two, Grounds::OldPiece));
    if hoses {
        let whole = ask.number(Before, Dimension::RearBrakeHousing);
        cuts.extend(piece(Run::BrakeRear, "hose, lever to brake", whole, two, Grounds::String));
    } else {
        cuts.extend(piece(Run::BrakeRear, "lever to first stop", brake_piece, two, by(&brake_loop)));
        let route = [Dimension::RearBrakeHousing, Dimension::RearBrakeBare, Dimension::BrakeInner];
        cuts.extend(inner(ask, Run::BrakeRear, route));
    }
    loops.extend(brake_loop);
    loops.extend(shift_loop);
    if cuts.is_empty() && loops.is_empty() {
        return Err(Unworked::Wanting);
    }
    let drag = ask.known_number(Before, Dimension::RearShiftBends).map(|bends| {
        let over = |times: f64| {
            Span::hull(&[bends, Span::new(FRICTION[0], FRICTION[1])], |x| match x {
                [bends_deg, friction] => tension_ratio(times * friction, Angle::deg(*bends_deg)),
                _ => f64::NAN,
            })
        };
        Drag { bends, pulling: over(1.0), hysteresis: over(2.0) }
    });
    Ok(CutList {
        cuts,
        loops,
        fold: ask.known_number(Before, Dimension::FoldExtra),
        drag,
        hoses,
        front_brake: ask.known_word(After, Dimension::FrontBrakeLever),
    })
}

/// What reach, stem, width and the way inside the bar add: as [`new_length`].
pub(crate) fn growth(ask: &mut Ask<'_>) -> Option<Span> {
    let (bar, stem) = (ask.build.changes(Slot::Bar), ask.build.changes(Slot::Stem));
    let reach = change(ask, bar, Dimension::BarReach);
    let width = change(ask, bar, Dimension::BarWidth);
    let stem = change(ask, stem, Dimension::StemLength);
    let detour = ask.known_number(After, Dimension::BarDetour).unwrap_or(Span::exact(0.0));
    Some(Span::hull(&[reach?, stem?, width?, detour], |x| match x {
        [reach_mm, stem_mm, width_mm, detour_mm] => {
            let mm = Length::mm;
            new_length(mm(*detour_mm), mm(*reach_mm), mm(*stem_mm), mm(*width_mm)).to_mm()
        }
        _ => f64::NAN,
    }))
}

/// An old piece with its growth; asked for.
pub(crate) fn grown(ask: &mut Ask<'_>, old: Dimension, grows: Option<Span>) -> Option<Span> {
    let old = ask.number(Before, old);
    Some(old? + grows?)
}

fn inner(ask: &mut Ask<'_>, run: Run, [housing, bare, stock]: [Dimension; 3]) -> Option<Cut> {
    let fold = ask.known_number(Before, Dimension::FoldExtra).unwrap_or(Span::exact(0.0));
    let housing = ask.number(Before, housing);
    let bare = ask.number(Before, bare);
    let stock = ask.known_number(After, stock);
    let length = housing?.map2_monotone(bare?, |housing_mm, bare_mm| {
        inner_needed(Length::mm(housing_mm), Length::mm(bare_mm)).to_mm()
    }) + fold;
    let left_of_stock = stock.map(|stock| stock - length);
    Some(Cut { run, piece: "inner", length, ferrules: 0, tips: 1, grounds: Grounds::String, left_of_stock })
}

/// The steering of a loop, in the middle of its readings, and by how much its widest gap may be off; nothing where
/// nobody took its ends.
pub(crate) fn steering(
    ask: &mut Ask<'_>,
    places: [Dimension; 4],
    lock: Option<Span>,
) -> Option<(Steering, f64)> {
    let [lever, lever_angle, stop, stop_angle] = places;
    if !places.iter().any(|place| spoken_of(ask, Before, *place)) {
        return None;
    }
    let lever = ask.lengths(Before, lever);
    let lever_angle = ask.number(Before, lever_angle);
    let stop = ask.lengths(Before, stop);
    let stop_angle = ask.number(Before, stop_angle);
    if lock.is_none() {
        ask.number(Before, Dimension::SteeringLock);
    }
    let (lever, stop, lock) = (lever?, stop?, lock?);
    let [lever_x, lever_y] = lever[..] else { return None };
    let [stop_x, stop_y] = stop[..] else { return None };
    let at = |x: Span, y: Span, angle: Span| End {
        at: Point { x_mm: x.middle(), y_mm: y.middle() },
        tangent: Angle::deg(angle.middle()),
    };
    let arm_mm = lever_x.middle().hypot(lever_y.middle());
    let off_mm = lever_x.half_width().hypot(lever_y.half_width())
        + stop_x.half_width().hypot(stop_y.half_width())
        + arm_mm * lock.half_width().to_radians();
    let steering = Steering {
        axis: Point { x_mm: 0.0, y_mm: 0.0 },
        bar_end: at(lever_x, lever_y, lever_angle?),
        frame_end: at(stop_x, stop_y, stop_angle?),
        lock: Angle::deg(lock.middle()),
    };
    Some((steering, off_mm))
}

fn looked(
    ask: &mut Ask<'_>,
    run: Run,
    places: [Dimension; 4],
    lock: Option<Span>,
    piece: Option<Span>,
    least_radius: Length,
) -> Option<Loop> {
    let (steering, _) = steering(ask, places, lock)?;
    let wanted = Wanted { least_radius, least_slack: LEAST_SLACK };
    let shortest = shortest_housing(&steering, &wanted, LONGEST).map_err(|error| error.to_string());
    let as_cut = piece
        .map(|piece| lock_to_lock(&steering, Length::mm(piece.middle())).map_err(|error| error.to_string()));
    Some(Loop { run, shortest, as_cut, least_radius })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm};
    use crate::rules::housing_length::RULE;

    fn xy(x_mm: f64, y_mm: f64) -> catalog::Value {
        let one = |value| quantity::Measured {
            value: Length::mm(value),
            tolerance: Length::mm(2.0),
            basis: quantity::Basis::Measured,
        };
        catalog::Value::Lengths(vec![one(x_mm), one(y_mm)])
    }

    fn bike() -> Bench {
        Bench::of(&RULE)
            .found(Dimension::OldBrakePiece, mm(460.0, 5.0))
            .found(Dimension::OldShiftPiece, mm(430.0, 5.0))
            .found(Dimension::OldFrontBrakePiece, mm(500.0, 5.0))
            .found(Dimension::BarReach, mm(92.0, 2.0))
            .chosen(Dimension::BarReach, mm(78.0, 0.0))
            .found(Dimension::BarWidth, mm(420.0, 2.0))
            .chosen(Dimension::BarWidth, mm(400.0, 0.0))
    }

    fn list(bench: Bench) -> CutList {
        section(&bench.build()).value().unwrap().clone()
    }

    #[test]
    fn a_bar_with_less_reach_and_width_and_a_detour_inside_takes_the_sum() {
        let cuts = list(bike().chosen(Dimension::BarDetour, mm(30.0, 5.0))).cuts;
        let front = cuts.iter().find(|cut| cut.run == Run::BrakeFront).unwrap();
        // 500 − 14 − 10 + 30.
        assert!((front.length.middle() - 506.0).abs() < 1e-6);
    }

    #[test]
    fn the_fold_lengthens_the_inner() {
        let route = |bench: Bench| {
            let bench = bench
                .found(Dimension::RearShiftHousing, mm(900.0, 5.0))
                .found(Dimension::RearShiftBare, mm(700.0, 5.0));
            let cuts = list(bench).cuts;
            cuts.iter().find(|cut| cut.piece == "inner").unwrap().length.middle()
        };
        assert!((route(bike()) - 1760.0).abs() < 1e-6);
        let folding = bike().found(Dimension::FoldExtra, mm(35.0, 5.0));
        assert!((route(folding) - 1795.0).abs() < 1e-6);
    }

    #[test]
    fn a_loop_is_looked_at_between_both_locks() {
        let found = list(
            bike()
                .found(Dimension::SteeringLock, deg(60.0, 2.0))
                .found(Dimension::BrakeLoopLever, xy(90.0, 30.0))
                .found(Dimension::BrakeLoopLeverAngle, deg(0.0, 5.0))
                .found(Dimension::BrakeLoopStop, xy(-120.0, -20.0))
                .found(Dimension::BrakeLoopStopAngle, deg(180.0, 5.0)),
        );
        let seen = &found.loops[0];
        let shortest = seen.shortest.as_ref().unwrap();
        assert!(shortest.tightest >= seen.least_radius && shortest.slack >= LEAST_SLACK);
    }

    #[test]
    fn without_old_pieces_they_are_asked_for() {
        let bare = bike()
            .without(Dimension::OldBrakePiece)
            .without(Dimension::OldShiftPiece)
            .without(Dimension::OldFrontBrakePiece);
        let section = section(&bare.build());
        assert!(section.value().is_none());
        assert!(section.wanted().iter().any(|missing| missing.dimension == Dimension::OldBrakePiece));
    }
}
