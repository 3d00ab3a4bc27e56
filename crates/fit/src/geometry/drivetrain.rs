//! The cage of the rear derailleur in every gear: angle, chain to spare both ways, gap, ground, and which counts work.
//!
//! Begin with [`after`]. Where the leaflet says something of its own it stands beside the figure of the model.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::{Build, When};
use crate::cage::{Body, Cage, Each, Spread, count_after};
use catalog::{Dimension, Slot};
use mechanics::cage::{
    CageError, Change, Effect, Hold, PairState, Rule, Solution, Stand, Window, effect, largest_cog,
    place_rules, solve, window_over,
};
use mechanics::derailleur::{REFERENCE_HANGER_DROP, largest_cog_allowed};
use quantity::{Length, Pitches, Span, Teeth};
use std::f64::consts::PI;

/// The parts whose exchange changes where the cage stands.
const TOUCHED_BY: &[Slot] =
    &[Slot::Cassette, Slot::Crankset, Slot::Chainrings, Slot::RearDerailleur, Slot::Chain];
/// The least gap, tooth tip to tooth tip, at which a pulley runs free of the cog. Common practice: 5 to 6 mm.
pub const LEAST_GAP: Length = Length::mm(5.0);
/// A usual hanger extender: so far down. Common practice.
pub const EXTENDER: Length = Length::mm(15.0);
/// A wheel that rolls less is small, and its bottom bracket may lie above the axle.
const SMALL_ROLLOUT_MM: f64 = 1700.0;

/// The cage on one of the two bikes.
#[derive(Clone, Debug, PartialEq)]
pub struct CageMap {
    /// The chain, pitches.
    pub count: u32,
    /// Whether that is the chain on the bike; else a new one, cut by the rule of the shop.
    pub count_is_fitted: bool,
    /// Where the dimensions of the body come from.
    pub body: Body,
    /// Bottom bracket before and below the axle, millimetres.
    pub bracket_at_mm: (f64, f64),
    /// Teeth of the guide and of the tension pulley.
    pub pulley_teeth: (u32, u32),
    /// Every ring with every cog.
    pub pairs: Vec<CagePair>,
    /// The lengths of chain with which every gear is taut; or why there are none.
    pub window: Result<CountWindow, String>,
    /// The same over the travel of a rear suspension, if the bike has one.
    pub window_over_travel: Option<Result<CountWindow, String>>,
    /// Teeth of chain that the gears ask for.
    pub capacity_needed: u32,
    /// Teeth of chain that the cage takes up by its shape.
    pub capacity: Option<Spread>,
    /// What the leaflet prints.
    pub capacity_printed: Option<u32>,
    /// The largest cog that the guide pulley clears by [`LEAST_GAP`] on this hanger, by the shape of a body.
    pub largest_cog: Option<Spread>,
    /// What the leaflet allows on this hanger.
    pub largest_cog_printed: f64,
    /// Height of the lowest point of the cage over the ground, millimetres, over all gears.
    pub over_ground_mm: Option<Spread>,
    /// How far the lowest point of the cage lies below the axle by its shape, millimetres, over all gears.
    pub lowest_mm: Option<Spread>,
    /// The same by the tape, where somebody measured it on the smallest cogs.
    pub lowest_by_tape_mm: Option<Span>,
    /// What a hanger extender of [`EXTENDER`] does.
    pub extender: Option<Gained>,
    /// What one turn of the B-screw inward does.
    pub screw_turn: Option<Gained>,
    /// The rules of the shop for the count.
    pub rules: Vec<CountRule>,
}

/// One ring with one cog.
#[derive(Clone, Debug, PartialEq)]
pub struct CagePair {
    /// The ring.
    pub ring: Teeth,
    /// The cog.
    pub cog: Teeth,
    /// How the cage stands, or why there is no way for the chain.
    pub state: Result<CageState, String>,
}

/// How the cage stands in a pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CageState {
    /// Direction from the guide pulley to the tension pulley, degrees: 0 forward, 90 straight down, more behind.
    pub angle_deg: Spread,
    /// Chain that the cage can still take up, millimetres; negative hangs.
    pub take_up_mm: Spread,
    /// Chain that the cage can still give, millimetres; negative is missing.
    pub give_mm: Spread,
    /// Guide pulley to cog, tooth tip to tooth tip, millimetres.
    pub gap_mm: Spread,
    /// Lowest point of the cage below the axle, millimetres.
    pub lowest_mm: Spread,
    /// How the chain is held, for the values as read.
    pub held: Held,
    /// Whether it may be held otherwise within the tolerances.
    pub sure: bool,
    /// Centre of the guide pulley for the values as read: before and below the axle, millimetres.
    pub guide_at_mm: (f64, f64),
    /// Centre of the tension pulley likewise.
    pub tension_at_mm: (f64, f64),
}

/// How the chain is held in a pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Held {
    /// Taut.
    Taut,
    /// It hangs by this, millimetres.
    Hangs(f64),
    /// It lies on itself before the cage has taken all up, with this left over.
    TouchesItself(f64),
    /// The guide pulley swings into the cog, with this left over.
    Meshes(f64),
    /// It does not reach by this: the drivetrain locks.
    Locks {
        /// Through the cage.
        short_mm: f64,
        /// Around ring and cog alone.
        short_around_mm: f64,
    },
}

/// The lengths of chain with which every gear is taut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CountWindow {
    /// The shortest, pitches.
    pub shortest: Spread,
    /// The pair that needs it.
    pub shortest_pair: (Teeth, Teeth),
    /// The longest, pitches.
    pub longest: Spread,
    /// The pair that hangs first.
    pub longest_pair: (Teeth, Teeth),
    /// Even counts inside, for the values as read.
    pub even: Option<(u32, u32)>,
    /// Even counts inside within all tolerances.
    pub even_sure: Option<(u32, u32)>,
    /// Odd counts inside: they need a cranked link.
    pub odd: Option<(u32, u32)>,
}

/// What a change of the body does, for the values as read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gained {
    /// Gap gained on the largest cog, millimetres.
    pub gap_mm: f64,
    /// The largest cog before.
    pub cog_before: Option<Teeth>,
    /// The largest cog after.
    pub cog_after: Option<Teeth>,
    /// How far the window moves, pitches: the shortest and the longest.
    pub window_moves: Option<(f64, f64)>,
}

/// A rule of the shop, and what it means in every gear.
#[derive(Clone, Debug, PartialEq)]
pub struct CountRule {
    /// The rule in words.
    pub words: &'static str,
    /// The count it gives.
    pub count: u32,
    /// Inside the window; else pitches below it (negative) or above.
    pub outside_pitches: f64,
    /// Pairs in which the chain hangs or does not reach, millimetres: positive hangs, negative is missing.
    pub off_mm: Vec<(Teeth, Teeth, f64)>,
    /// The least chain that the cage can still take up in any pair, millimetres, and the least it can still give.
    pub least_mm: (f64, f64),
}

/// The cage after the refit.
pub fn after(build: &Build) -> Section<CageMap> {
    Section::work_out(build, TOUCHED_BY, |ask| map(ask, When::After))
}

/// The cage on the bike as found, for comparison.
pub fn before(build: &Build) -> Section<CageMap> {
    Section::work_out(build, TOUCHED_BY, |ask| map(ask, When::Before))
}

fn map(ask: &mut Ask<'_>, when: When) -> Result<CageMap, Unworked> {
    let found = Cage::of(ask, when);
    let count_is_fitted = when == When::Before || !ask.build.changes(Slot::Chain);
    let Some(cage) = found else {
        if count_is_fitted {
            let _ = ask.count(when, Dimension::ChainCount);
        }
        return Err(Unworked::Wanting);
    };
    let cage = cage.read(ask, when);
    let count = match when {
        When::Before => ask.count(when, Dimension::ChainCount),
        When::After => count_after(ask, &cage),
    };
    let Some(count) = count else {
        return Err(match count_is_fitted {
            true => Unworked::Wanting,
            false => Unworked::Impossible("the largest ring and cog overlap on this chainstay".to_owned()),
        });
    };
    let fitted = Pitches::new(f64::from(count));
    let solved = cage.each(|derailleur, frame| solve(derailleur, &cage.on(frame), fitted));
    if let Err(why) = &solved.middle {
        return Err(Unworked::Impossible(why.to_string()));
    }
    let (cog_idx, _) = cage.cog_ends();
    let drivetrain = cage.drivetrain();
    // A solved gear says how long a chain its limits take, so the windows cost nothing more.
    let windows = solved.map(|solution| match solution {
        Ok(solution) => window_of(solution, fitted),
        Err(why) => Err(*why),
    });
    let growth = ask.known_number(when, Dimension::ChainstayGrowth);
    let capacity_printed = ask.known_number(when, Dimension::Capacity).map(|span| span.middle() as u32);
    let rated = ask.count(when, Dimension::RatedCog).and_then(|cog| Teeth::new(i64::from(cog)).ok());
    let capacity_needed = mechanics::chain::capacity_needed(&cage.rings, &cage.cogs);
    // What one could change is told of the bike that is being built.
    let changeable = when == When::After;
    let changed = |change| {
        if !changeable {
            return None;
        }
        effect(&cage.derailleur, &drivetrain, fitted, change, LEAST_GAP)
            .ok()
            .and_then(|effect| gained(&effect, cog_idx))
    };
    let pairs = pairs(&cage, &solved);
    let largest_cog = largest(&cage, &pairs);
    let lowest = solved.spread(|solution| solution.as_ref().ok()?.lowest().map(Length::to_mm));
    let map = CageMap {
        count,
        count_is_fitted,
        body: cage.body,
        bracket_at_mm: bracket_at(&cage),
        pulley_teeth: (cage.derailleur.guide.to_f64() as u32, cage.derailleur.tension.to_f64() as u32),
        window: counts(&windows),
        window_over_travel: growth.map(|growth| {
            let travelled = cage.each(|derailleur, frame| {
                let longer = frame.chainstay + Length::mm(growth.most());
                window_over(derailleur, &cage.on(frame), (frame.chainstay, longer))
            });
            counts(&travelled)
        }),
        capacity_needed,
        capacity: windows.spread(|found| {
            found.as_ref().ok().map(|found| f64::from(capacity_needed) + 2.0 * found.width().to_f64())
        }),
        capacity_printed,
        largest_cog_printed: rated.map_or(f64::NAN, |rated| {
            largest_cog_allowed(rated, cage.frame.hanger_drop, REFERENCE_HANGER_DROP)
        }),
        largest_cog,
        over_ground_mm: over_ground(ask, when, lowest),
        lowest_mm: lowest,
        lowest_by_tape_mm: ask.known_number(when, Dimension::CageDrop),
        extender: changed(Change::Extender { down: EXTENDER, back: Length::mm(0.0) }),
        screw_turn: changed(Change::ScrewTurns(1.0)),
        rules: if changeable { rules(&cage) } else { Vec::new() },
        pairs,
    };
    narrower(ask, when);
    Ok(map)
}

fn bracket_at(cage: &Cage) -> (f64, f64) {
    let (stay, drop) = (cage.frame.chainstay.to_mm(), cage.frame.bracket_drop.to_mm());
    ((stay * stay - drop * drop).max(0.0).sqrt(), drop)
}

/// What would make the intervals narrower, by name.
fn narrower(ask: &mut Ask<'_>, when: When) {
    for dimension in [Dimension::PulleysApart, Dimension::GuideTeeth, Dimension::TensionTeeth] {
        let _ = ask.number(when, dimension);
    }
    if when == When::Before || !ask.build.changes(Slot::RearDerailleur) {
        for dimension in [Dimension::CageAngleLow, Dimension::CageAngleHigh, Dimension::GuideGap] {
            let _ = ask.number(when, dimension);
        }
    }
    let small =
        ask.known_number(when, Dimension::Rollout).is_some_and(|rollout| rollout.least() < SMALL_ROLLOUT_MM);
    if small {
        let _ = ask.number(when, Dimension::BracketDrop);
    }
}

fn pairs(cage: &Cage, solved: &Each<Result<Solution, CageError>>) -> Vec<CagePair> {
    let mut all = Vec::with_capacity(cage.rings.len() * cage.cogs.len());
    for (ring_idx, ring) in cage.rings.iter().enumerate() {
        for (cog_idx, cog) in cage.cogs.iter().enumerate() {
            let of = |solution: &Result<Solution, CageError>| match solution {
                Ok(solution) => solution.pair(ring_idx, cog_idx).unwrap_or(Err(CageError::NoRoom)),
                Err(why) => Err(*why),
            };
            let figure = |figure: &dyn Fn(&PairState) -> f64| {
                solved.spread(|solution| of(solution).ok().map(|state| figure(&state)))
            };
            let state = match of(&solved.middle) {
                Err(why) => Err(why.to_string()),
                Ok(state) => cage_state(&state, figure).ok_or_else(|| CageError::NoRoom.to_string()),
            };
            all.push(CagePair { ring: *ring, cog: *cog, state });
        }
    }
    all
}

fn cage_state(
    state: &PairState,
    figure: impl Fn(&dyn Fn(&PairState) -> f64) -> Option<Spread>,
) -> Option<CageState> {
    let take_up_mm = figure(&|state| state.take_up_left.to_mm())?;
    let give_mm = figure(&|state| state.give_left.to_mm())?;
    let held = match state.hold {
        Hold::Taut => Held::Taut,
        Hold::Slack { over } => Held::Hangs(over.to_mm()),
        Hold::Touching { over } => Held::TouchesItself(over.to_mm()),
        Hold::Meshing { over } => Held::Meshes(over.to_mm()),
        Hold::Overstretched { short, short_around_sprockets } => {
            Held::Locks { short_mm: short.to_mm(), short_around_mm: short_around_sprockets.to_mm() }
        }
    };
    let crosses = |spread: &Spread| spread.open || (spread.span.least() < 0.0 && 0.0 < spread.span.most());
    Some(CageState {
        angle_deg: figure(&|state| state.cage_angle.to_deg())?,
        sure: !crosses(&take_up_mm) && !crosses(&give_mm),
        take_up_mm,
        give_mm,
        gap_mm: figure(&|state| state.gap.to_mm())?,
        lowest_mm: figure(&|state| state.lowest.to_mm())?,
        held,
        guide_at_mm: (state.guide.forward.to_mm(), state.guide.below.to_mm()),
        tension_at_mm: (state.tension.forward.to_mm(), state.tension.below.to_mm()),
    })
}

/// The window by the limits of gears that are solved for some chain.
fn window_of(solution: &Solution, fitted: Pitches) -> Result<Window, CageError> {
    let mut found: Option<Window> = None;
    for pair in solution.pairs() {
        let state = pair?;
        let least = Pitches::new(fitted.to_f64() - state.give_left.to_f64());
        let most = Pitches::new(fitted.to_f64() + state.take_up_left.to_f64());
        let gear = (state.ring, state.cog);
        let so_far = found.get_or_insert(Window {
            shortest: least,
            shortest_gear: gear,
            longest: most,
            longest_gear: gear,
        });
        if least > so_far.shortest {
            (so_far.shortest, so_far.shortest_gear) = (least, gear);
        }
        if most < so_far.longest {
            (so_far.longest, so_far.longest_gear) = (most, gear);
        }
    }
    found.ok_or(CageError::NoRoom)
}

fn rules(cage: &Cage) -> Vec<CountRule> {
    place_rules(&cage.derailleur, &cage.drivetrain())
        .map(|all| all.iter().map(rule).collect())
        .unwrap_or_default()
}

fn counts(windows: &Each<Result<Window, CageError>>) -> Result<CountWindow, String> {
    let middle = windows.middle.map_err(|why| why.to_string())?;
    let spread = |figure: &dyn Fn(&Window) -> Pitches| {
        windows.spread(|found| found.as_ref().ok().map(|found| figure(found).to_f64()))
    };
    let none = || CageError::NoRoom.to_string();
    let (shortest, longest) =
        (spread(&|found| found.shortest).ok_or_else(none)?, spread(&|found| found.longest).ok_or_else(none)?);
    let sure = Window {
        shortest: Pitches::new(shortest.span.most()),
        longest: Pitches::new(longest.span.least()),
        ..middle
    };
    let ends = |counts: mechanics::cage::Counts| (counts.least, counts.most);
    Ok(CountWindow {
        even_sure: sure.even().filter(|_| !shortest.open && !longest.open).map(ends),
        shortest,
        shortest_pair: middle.shortest_gear,
        longest,
        longest_pair: middle.longest_gear,
        even: middle.even().map(ends),
        odd: middle.odd().map(ends),
    })
}

/// The largest cog for the values as read; what the gap leaves open is worth a tooth for every 2.02 mm.
fn largest(cage: &Cage, pairs: &[CagePair]) -> Option<Spread> {
    let found = largest_cog(&cage.derailleur, &cage.drivetrain(), LEAST_GAP).ok()??.to_f64();
    let biggest = cage.cogs.iter().max()?;
    let gap = pairs
        .iter()
        .filter(|pair| pair.cog == *biggest)
        .find_map(|pair| Some(pair.state.as_ref().ok()?.gap_mm))?;
    let tooth_mm = mechanics::chain::radius_per_tooth().to_mm();
    let by = |end: f64| ((end - gap.value) / tooth_mm).trunc();
    let span = Span::new(found + by(gap.span.least()), found + by(gap.span.most()));
    Some(Spread { value: found, span, open: gap.open })
}

fn over_ground(ask: &mut Ask<'_>, when: When, lowest: Option<Spread>) -> Option<Spread> {
    let (rollout, lowest) = (ask.known_number(when, Dimension::Rollout)?, lowest?);
    let radius = rollout * (0.5 / PI);
    let value = radius.middle() - lowest.value;
    Some(Spread { value, span: radius - lowest.span, open: lowest.open })
}

fn gained(effect: &Effect, cog_idx: usize) -> Option<Gained> {
    let gap_mm = effect.gap_gained.get(cog_idx).copied().flatten()?.to_mm();
    let window_moves = match &effect.window {
        (Ok(old), Ok(new)) => {
            Some((new.shortest.to_f64() - old.shortest.to_f64(), new.longest.to_f64() - old.longest.to_f64()))
        }
        _ => None,
    };
    Some(Gained { gap_mm, cog_before: effect.largest_cog.0, cog_after: effect.largest_cog.1, window_moves })
}

fn rule(placed: &mechanics::cage::RulePlaced) -> CountRule {
    let words = match placed.rule {
        Rule::BigBigPlusTwo => "largest ring and cog, plus 2 pitches",
        Rule::BigBigPlusFour => "largest ring and cog, plus 4 pitches",
        Rule::SmallSmallJustTaut => "just taut on smallest ring and cog",
    };
    let outside_pitches = match placed.stand {
        Stand::TooShort { by } => -by.to_f64(),
        Stand::Inside => 0.0,
        Stand::TooLong { by } => by.to_f64(),
    };
    let mut off_mm = Vec::new();
    let mut least_mm = (f64::INFINITY, f64::INFINITY);
    for state in placed.gears.pairs().flatten() {
        least_mm.0 = least_mm.0.min(state.take_up_left.to_mm());
        least_mm.1 = least_mm.1.min(state.give_left.to_mm());
        match state.hold {
            Hold::Taut => {}
            Hold::Overstretched { short, .. } => off_mm.push((state.ring, state.cog, -short.to_mm())),
            Hold::Slack { over } | Hold::Touching { over } | Hold::Meshing { over } => {
                off_mm.push((state.ring, state.cog, over.to_mm()));
            }
        }
    }
    CountRule { words, count: placed.count, outside_pitches, off_mm, least_mm }
}
