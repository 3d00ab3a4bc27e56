//! Which pieces of housing, hose and inner to cut, how long, and with what on their ends.

pub mod count;
pub mod drag;
pub mod loops;

pub use count::SmallParts;
pub use drag::Drag;
pub use loops::Loop;

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{After, Before};
use crate::rules::brake_line::is_known_hydraulic;
use crate::rules::housing_length::change;
use catalog::{Dimension, LeverSide, Slot};
use loops::{BRAKE_LOOP, LEAST_RADIUS, SHIFT_LOOP, looked};
use mechanics::cable_run::shortest_stock;
use mechanics::housing::{inner_needed, new_length};
use quantity::{Length, Span};

/// What an end of housing or hose is cut longer, to be squared with a file or cut again: common practice.
pub const SQUARING: Length = Length::mm(2.0);
/// Inners as they are sold: short and long brake or shift inner, and the one for long frames. Common practice.
const STOCK: [Length; 3] = [Length::mm(2000.0), Length::mm(2100.0), Length::mm(3000.0)];

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

impl Run {
    /// Which lever works it; the brakes only where somebody said which.
    fn lever(self, front_brake: Option<LeverSide>) -> Option<LeverSide> {
        let other = |side| match side {
            LeverSide::Left => LeverSide::Right,
            LeverSide::Right => LeverSide::Left,
        };
        match self {
            Self::ShiftFront => Some(LeverSide::Left),
            Self::ShiftRear => Some(LeverSide::Right),
            Self::BrakeFront => front_brake,
            Self::BrakeRear => front_brake.map(other),
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
    /// From other rows of the list.
    List,
}

impl Grounds {
    /// In a column of a table.
    pub fn short(self) -> &'static str {
        match self {
            Self::OldPiece => "old piece",
            Self::String => "string",
            Self::BothLocks => "both locks",
            Self::List => "piece above",
        }
    }

    /// How to read it at the stand.
    pub fn words(self) -> &'static str {
        match self {
            Self::OldPiece => "by the old piece: turn the bar to both full locks before it is cut",
            Self::String => "by the string along the path",
            Self::BothLocks => "looked at between both full locks",
            Self::List => "by the piece above",
        }
    }
}

/// One thing to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Its run.
    pub run: Run,
    /// Which lever it comes from, where that is known.
    pub lever: Option<LeverSide>,
    /// Which piece of it.
    pub piece: &'static str,
    /// How long it is on the bike, millimetres.
    pub length: Span,
    /// How long it is cut, for both ends to be squared, millimetres; as long for an inner.
    pub cut_at: Span,
    /// Ferrules on it; for a hose, pairs of insert and olive.
    pub ferrules: u32,
    /// Tips on it.
    pub tips: u32,
    /// Where the length comes from.
    pub grounds: Grounds,
    /// The inner that it is cut from: that of the set, or the shortest that is sold and long enough, millimetres.
    pub stock: Option<Span>,
    /// What is left of it, millimetres; below 0 it is too short.
    pub left_of_stock: Option<Span>,
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
    /// Small parts of the whole bike, as on the list of parts.
    pub small: SmallParts,
    /// Whether the brakes have hoses.
    pub hoses: bool,
    /// Which lever works the front brake, if it was said.
    pub front_brake: Option<LeverSide>,
}

/// The section of a build.
pub fn section(build: &Build) -> Section<CutList> {
    Section::work_out(build, &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Shifters, Slot::Cables], work)
}

fn work(ask: &mut Ask<'_>) -> Result<CutList, Unworked> {
    let hoses = is_known_hydraulic(ask.build);
    let front_brake = ask.known_word(After, Dimension::FrontBrakeLever);
    let fold = ask.known_number(Before, Dimension::FoldExtra);
    let grows = growth(ask);
    let shift_piece = grown(ask, Dimension::OldShiftPiece, grows);
    let along = ask.known_number(After, Dimension::HousingAlong);
    let shift_loop = looked(ask, Run::ShiftRear, SHIFT_LOOP, LEAST_RADIUS[1], fold, |ask| {
        let along = along.or_else(|| ask.number(After, Dimension::HousingAlong));
        Some(shift_piece? - along?)
    });
    let rings = crate::pairs::teeth(ask.build, After, Dimension::Rings).len();
    let mut list = Writer { front_brake, cuts: Vec::new() };
    let by = |seen: &Option<Loop>| if seen.is_some() { Grounds::BothLocks } else { Grounds::OldPiece };
    if rings > 1 {
        list.housing(Run::ShiftFront, "lever to first stop", shift_piece, by(&shift_loop));
        let route = [Dimension::FrontShiftHousing, Dimension::FrontShiftBare, Dimension::ShiftInner];
        list.inner(ask, Run::ShiftFront, route, fold);
    }
    list.housing(Run::ShiftRear, "lever to first stop", shift_piece, by(&shift_loop));
    let last = ask.known_number(Before, Dimension::OldRearLoop);
    list.housing(Run::ShiftRear, "last stop to derailleur", last, Grounds::OldPiece);
    let route = [Dimension::RearShiftHousing, Dimension::RearShiftBare, Dimension::ShiftInner];
    list.inner(ask, Run::ShiftRear, route, fold);
    let brake_loop = if hoses {
        let front = ask.number(Before, Dimension::FrontBrakeRun);
        list.housing(Run::BrakeFront, "hose, lever to brake", front, Grounds::String);
        let whole = ask.number(Before, Dimension::RearBrakeHousing);
        let seen = looked(ask, Run::BrakeRear, BRAKE_LOOP, LEAST_RADIUS[0], fold, |ask| {
            Some(whole? - ask.number(Before, Dimension::RearHoseFixed)?)
        });
        // Fast lengths by the string, and the loop that holds at both locks: never the string of a bar straight ahead.
        let fixed = seen.as_ref().and_then(|_| ask.known_number(Before, Dimension::RearHoseFixed));
        let held = seen.as_ref().and_then(Loop::to_cut);
        match fixed.zip(held) {
            Some((fixed, held)) => {
                let length = fixed + Span::exact(held.to_mm());
                list.housing(Run::BrakeRear, "hose, lever to brake", Some(length), Grounds::BothLocks);
            }
            None => list.housing(Run::BrakeRear, "hose, lever to brake", whole, Grounds::String),
        }
        seen
    } else {
        cabled_brakes(ask, &mut list, grows, along, fold)
    };
    let cuts = list.cuts;
    let loops: Vec<Loop> = brake_loop.into_iter().chain(shift_loop).collect();
    if cuts.is_empty() && loops.is_empty() {
        return Err(Unworked::Wanting);
    }
    let (drag, small) = (drag::drag(ask), SmallParts::of(ask.build));
    Ok(CutList { cuts, loops, fold, drag, small, hoses, front_brake })
}

/// Housing and inners of both brakes, and the loop of the rear one.
fn cabled_brakes(
    ask: &mut Ask<'_>,
    list: &mut Writer,
    grows: Option<Span>,
    along: Option<Span>,
    fold: Option<Span>,
) -> Option<Loop> {
    let piece = grown(ask, Dimension::OldBrakePiece, grows);
    let seen = looked(ask, Run::BrakeRear, BRAKE_LOOP, LEAST_RADIUS[0], fold, |ask| {
        let along = along.or_else(|| ask.number(After, Dimension::HousingAlong));
        Some(piece? - along?)
    });
    // A string along the new path says more than the old piece does.
    let string = ask.known_number(Before, Dimension::FrontBrakeRun);
    let (front, grounds) = match string {
        Some(string) => (Some(string), Grounds::String),
        None => (grown(ask, Dimension::OldFrontBrakePiece, grows), Grounds::OldPiece),
    };
    list.housing(Run::BrakeFront, "lever to brake", front, grounds);
    let stock = ask.known_number(After, Dimension::BrakeInner);
    if let Some(front) = front {
        let length = needed(front, Span::exact(0.0));
        list.strand(Run::BrakeFront, length, stock, Grounds::List);
    }
    let by = if seen.is_some() { Grounds::BothLocks } else { Grounds::OldPiece };
    list.housing(Run::BrakeRear, "lever to first stop", piece, by);
    let route = [Dimension::RearBrakeHousing, Dimension::RearBrakeBare, Dimension::BrakeInner];
    list.inner(ask, Run::BrakeRear, route, fold);
    seen
}

/// The list as it is written.
struct Writer {
    front_brake: Option<LeverSide>,
    cuts: Vec<Cut>,
}

impl Writer {
    /// A piece of housing or hose, where its length is known.
    fn housing(&mut self, run: Run, piece: &'static str, length: Option<Span>, grounds: Grounds) {
        let Some(length) = length else { return };
        let lever = run.lever(self.front_brake);
        let cut_at = length + Span::exact(2.0 * SQUARING.to_mm());
        let (stock, left_of_stock) = (None, None);
        self.cuts.push(Cut {
            run,
            lever,
            piece,
            length,
            cut_at,
            ferrules: 2,
            tips: 0,
            grounds,
            stock,
            left_of_stock,
        });
    }

    /// An inner by the string along its route; asked for.
    fn inner(&mut self, ask: &mut Ask<'_>, run: Run, route: [Dimension; 3], fold: Option<Span>) {
        let [housing, bare, stock] = route;
        let housing = ask.number(Before, housing);
        let bare = ask.number(Before, bare);
        let stock = ask.known_number(After, stock);
        let (Some(housing), Some(bare)) = (housing, bare) else { return };
        let length = needed(housing, bare) + fold.unwrap_or(Span::exact(0.0));
        self.strand(run, length, stock, Grounds::String);
    }

    fn strand(&mut self, run: Run, length: Span, stock: Option<Span>, grounds: Grounds) {
        let sold = || shortest_stock(Length::mm(length.most()), &STOCK);
        let stock = stock.or_else(|| sold().map(|(stock, _)| Span::exact(stock.to_mm())));
        self.cuts.push(Cut {
            run,
            lever: run.lever(self.front_brake),
            piece: "inner",
            length,
            cut_at: length,
            ferrules: 0,
            tips: 1,
            grounds,
            stock,
            left_of_stock: stock.map(|stock| stock - length),
        });
    }
}

fn needed(housing: Span, bare: Span) -> Span {
    housing.map2_monotone(bare, |housing_mm, bare_mm| {
        inner_needed(Length::mm(housing_mm), Length::mm(bare_mm)).to_mm()
    })
}

/// What reach, stem, width and the way inside a new bar add: as [`new_length`]. The way inside a bar that stays is in
/// the old piece.
pub(crate) fn growth(ask: &mut Ask<'_>) -> Option<Span> {
    let (bar, stem) = (ask.build.changes(Slot::Bar), ask.build.changes(Slot::Stem));
    let reach = change(ask, bar, Dimension::BarReach);
    let width = change(ask, bar, Dimension::BarWidth);
    let stem = change(ask, stem, Dimension::StemLength);
    let detour = if bar { ask.known_number(After, Dimension::BarDetour) } else { None };
    Some(Span::hull(&[reach?, stem?, width?, detour.unwrap_or(Span::exact(0.0))], |x| match x {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm, word, xy};
    use crate::geometry::cut_list::loops::LEAST_SLACK;
    use crate::rules::housing_length::RULE;

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
            let rear = |cut: &&Cut| cut.run == Run::ShiftRear && cut.piece == "inner";
            cuts.iter().find(rear).unwrap().length.middle()
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
                .found(Dimension::BrakeLoopLever, xy(90.0, 30.0, 2.0))
                .found(Dimension::BrakeLoopLeverAngle, deg(0.0, 5.0))
                .found(Dimension::BrakeLoopStop, xy(-120.0, -20.0, 2.0))
                .found(Dimension::BrakeLoopStopAngle, deg(180.0, 5.0)),
        );
        let seen = &found.loops[0];
        let shortest = seen.shortest.as_ref().unwrap();
        assert!(shortest.tightest >= seen.least_radius && shortest.slack >= LEAST_SLACK);
        // What holds wherever the ends are inside their tolerances is longer still, or there is nothing that does.
        assert!(seen.to_cut().is_none_or(|held| held >= shortest.length));
    }

    #[test]
    fn a_hose_is_what_lies_fast_and_a_loop_for_both_locks() {
        let hosed = |bench: Bench| {
            bench
                .chosen(Dimension::LeverFluid, word("mineral"))
                .found(Dimension::FrontBrakeRun, mm(620.0, 5.0))
                .found(Dimension::RearBrakeHousing, mm(1330.0, 5.0))
                .found(Dimension::RearHoseFixed, mm(1100.0, 5.0))
        };
        let rear = |bench: Bench| {
            let cuts = list(bench).cuts;
            let rear = cuts.iter().find(|cut| cut.run == Run::BrakeRear).unwrap().clone();
            assert!(
                cuts.iter().all(|cut| !(cut.run == Run::BrakeRear && cut.piece == "lever to first stop"))
            );
            rear
        };
        let by_string = rear(hosed(bike()));
        assert!(by_string.grounds == Grounds::String && (by_string.length.middle() - 1330.0).abs() < 1e-6);
        let looked = hosed(bike())
            .found(Dimension::SteeringLock, deg(60.0, 2.0))
            .found(Dimension::BrakeLoopLever, xy(40.0, 60.0, 2.0))
            .found(Dimension::BrakeLoopLeverAngle, deg(90.0, 2.0))
            .found(Dimension::BrakeLoopStop, xy(-60.0, 10.0, 2.0))
            .found(Dimension::BrakeLoopStopAngle, deg(180.0, 2.0));
        let loops = list(looked.clone()).loops;
        let held = loops[0].to_cut().unwrap();
        let by_loop = rear(looked);
        assert_eq!(by_loop.grounds, Grounds::BothLocks);
        assert!((by_loop.length.middle() - 1100.0 - held.to_mm()).abs() < 1e-6);
    }

    #[test]
    fn ends_are_cut_longer_and_inners_name_their_stock() {
        let bench = bike()
            .found(Dimension::RearShiftHousing, mm(1000.0, 5.0))
            .found(Dimension::RearShiftBare, mm(860.0, 5.0));
        let cuts = list(bench).cuts;
        let piece = cuts.iter().find(|cut| cut.piece == "lever to first stop").unwrap();
        assert!((piece.cut_at.middle() - piece.length.middle() - 4.0).abs() < 1e-9);
        let rear = cuts.iter().find(|cut| cut.run == Run::ShiftRear && cut.piece == "inner").unwrap();
        // 1000 + 860 + 160 is 2020: the inner of 2000 is too short, that of 2100 leaves 80.
        assert!(rear.stock == Some(Span::exact(2100.0)));
        assert!((rear.left_of_stock.unwrap().middle() - 80.0).abs() < 1e-6);
    }

    #[test]
    fn bends_cost_force_at_the_lever_and_a_part_of_a_click() {
        let bench = bike()
            .found(Dimension::RearShiftHousing, mm(1000.0, 5.0))
            .found(Dimension::RearShiftBare, mm(860.0, 5.0))
            .found(Dimension::RearShiftBends, deg(360.0, 0.0));
        let drag = list(bench).drag.unwrap();
        // e^(0.06 · 2π) = 1.458 and e^(0.10 · 2π) = 1.874; times 40 N.
        assert!((drag.lever_n.least() - 58.3).abs() < 0.05 && (drag.lever_n.most() - 75.0).abs() < 0.05);
        let (lost, clicks) = (drag.lost_mm.unwrap(), drag.lost_clicks.unwrap());
        assert!(lost.least() > 0.0 && (clicks.most() - lost.most() / 0.2).abs() < 1e-6);
    }

    #[test]
    fn the_list_of_parts_has_the_small_parts_of_the_cut_list() {
        let small = list(
            bike()
                .found(Dimension::BrakePieces, crate::bench::count(3))
                .found(Dimension::BuiltInStops, crate::bench::count(2)),
        );
        let small = small.small;
        assert_eq!(small.brake_ferrules, None, "neither lever nor caliper nor cable changes here");
        let cabled = list(
            bike()
                .chosen(Dimension::LeverFluid, word("cable"))
                .found(Dimension::BrakePieces, crate::bench::count(3))
                .found(Dimension::BuiltInStops, crate::bench::count(2)),
        );
        // 2 · 3 − 2.
        let ferrules = cabled.small.brake_ferrules.unwrap();
        assert!(ferrules.number == 4 && !ferrules.assumed && cabled.small.tips == 4);
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
