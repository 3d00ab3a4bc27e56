//! Who works on the virtual bike: with the diagnosis, or by the plain rule. Both see with the same eyes and need the
//! same minutes for the same work.

use crate::bike::Bike;
use crate::chance::Chance;
use mechanics::click_window::window;
use mechanics::diagnosis::{
    Cause, Check, Diagnosis, Evidence, Gap, GearRow, Grid, Limit, LimitSeen, Seen, Shift, Sound, Step,
    diagnose,
};
use quantity::Length;

const CLICK_MINUTES: f64 = 0.3;
const GRID_MINUTES: f64 = 1.5;
/// A run of clicks in one direction is an action, and so is a check or setting a limit.
pub(crate) const ACTIONS: usize = 4;

/// How a bike left the stand.
#[derive(Clone, Debug)]
pub(crate) struct Outcome {
    pub(crate) solved: bool,
    pub(crate) minutes: f64,
    /// Those until it was done or gave up, without what follows from being wrong.
    pub(crate) first_minutes: f64,
    pub(crate) unsafe_actions: usize,
    pub(crate) actions: usize,
    /// Every probability that was shown, with whether it was so.
    pub(crate) shown: Vec<(f64, bool)>,
    pub(crate) faults: Vec<Cause>,
    pub(crate) said: Vec<Cause>,
}

pub(crate) fn grid(bike: &Bike, set: [bool; 2], chance: &mut Chance) -> Grid {
    let rows = (0..bike.cogs)
        .map(|cog| GearRow {
            to_larger: (cog > 0).then(|| bike.seen(cog, true, chance)),
            to_smaller: (cog + 1 < bike.cogs).then(|| bike.seen(cog, false, chance)),
            sound: Some(bike.heard(cog, chance)),
        })
        .collect();
    Grid { clicks: bike.clicks, rows, high_set: set[0], low_set: set[1] }
}

fn is_clean(grid: &Grid) -> bool {
    grid.rows.iter().all(|row| {
        let shifts = [row.to_larger, row.to_smaller];
        shifts.into_iter().flatten().all(|shift| shift == Shift::Clean) && row.sound == Some(Sound::Quiet)
    })
}

/// Whether turning this way may throw the chain.
fn is_unsafe(bike: &Bike, add: bool) -> bool {
    bike.has(if add { Cause::LowLimitOpen } else { Cause::HighLimitOpen }).is_some()
}

/// What a check shows.
fn look(bike: &Bike, check: Check, chance: &mut Chance) -> Seen {
    // A gauge reads with an error and says yes from half of what matters.
    let mut reads = |cause: Cause, from: f64, error: f64| {
        let size = bike.has(cause).map_or(0.0, |fault| fault.size.abs());
        (size + chance.normal(error)).abs() > from
    };
    match check {
        Check::Limits => {
            let mut stands = |tight: Cause, open: Cause| {
                let past = 0.3 - bike.has(tight).map_or(0.0, |fault| fault.size)
                    + bike.has(open).map_or(0.0, |fault| fault.size)
                    + chance.normal(0.15);
                match past {
                    past if past < -0.25 => LimitSeen::Tight,
                    past if past > 0.9 => LimitSeen::Open,
                    _ => LimitSeen::Right,
                }
            };
            Seen::Limits {
                high: stands(Cause::HighLimitTight, Cause::HighLimitOpen),
                low: stands(Cause::LowLimitTight, Cause::LowLimitOpen),
            }
        }
        Check::Anchor => {
            let wrong = bike.has(Cause::Mismatch).is_some_and(|fault| fault.set_away == 0.0);
            Seen::Anchor(wrong && chance.is(0.95) || chance.is(0.005))
        }
        Check::Hanger => Seen::Hanger(reads(Cause::Hanger, 0.55, 0.25)),
        Check::Drag => Seen::Drag(reads(Cause::Drag, 0.28, 0.13)),
        Check::Pull => Seen::Pull(reads(Cause::Mismatch, 0.07, 0.03)),
        Check::Stack => {
            let wrong = reads(Cause::Spacer, 0.4, 0.15);
            let at = bike.has(Cause::Spacer).map_or(2, |fault| fault.at);
            Seen::Stack(wrong.then_some(at as u32 + 1))
        }
        Check::Gap => {
            let small = reads(Cause::GapSmall, 0.5, 0.22);
            let large = reads(Cause::GapLarge, 0.3, 0.13);
            Seen::Gap(if small {
                Gap::Small
            } else if large {
                Gap::Large
            } else {
                Gap::Right
            })
        }
        Check::Teeth => Seen::Teeth(reads(Cause::WornCog, 0.5, 0.23)),
        Check::Play => Seen::Play(reads(Cause::Play, 0.3, 0.13)),
        Check::Link => Seen::Link(reads(Cause::StiffLink, 0.5, 0.23)),
        Check::Windows => {
            let gears = [1, bike.cogs / 2, bike.cogs - 2];
            let counted = gears.map(|cog| {
                let (added, taken_off) = bike.counted(cog, chance);
                (cog as u32 + 1, window(added, taken_off))
            });
            Seen::Windows(counted.to_vec())
        }
    }
}

/// A run of single clicks. The gears that were bad are tried after each; when they are clean all gears are. It ends
/// there for the plain rule, and for the advised one when all are clean, or after so many. The last grid and the
/// minutes.
fn run(
    bike: &mut Bike,
    add: bool,
    (at_most, ends_when_better): (u32, bool),
    bad: &Grid,
    set: [bool; 2],
    chance: &mut Chance,
) -> (Grid, f64) {
    let mut minutes = 0.0;
    let was_bad = |shift: Option<Shift>| shift.is_some_and(|shift| shift != Shift::Clean);
    let mut last = None;
    for turned in 1..=at_most {
        bike.clicks += if add { 1 } else { -1 };
        minutes += CLICK_MINUTES;
        let better = bad.rows.iter().enumerate().all(|(cog, row)| {
            (!was_bad(row.to_larger) || bike.seen(cog, true, chance) == Shift::Clean)
                && (!was_bad(row.to_smaller) || bike.seen(cog, false, chance) == Shift::Clean)
        });
        if better || turned == at_most {
            let grid = grid(bike, set, chance);
            minutes += GRID_MINUTES;
            let done = is_clean(&grid);
            last = Some(grid);
            if done || ends_when_better {
                break;
            }
        }
    }
    (last.unwrap_or_else(|| bad.clone()), minutes)
}

/// The order in which everything is looked at by who has no better plan, until all that is wrong is found.
fn work_through(bike: &Bike) -> f64 {
    let order = [
        Check::Limits,
        Check::Play,
        Check::Hanger,
        Check::Gap,
        Check::Drag,
        Check::Link,
        Check::Teeth,
        Check::Pull,
        Check::Stack,
    ];
    let mut minutes = 0.0;
    let mut left: Vec<Cause> = bike.faults.iter().map(|fault| fault.cause).collect();
    for check in order {
        if left.iter().all(|cause| cause.is_tension()) {
            break;
        }
        minutes += check.minutes();
        left.retain(|cause| !check.looks_for().contains(cause));
    }
    if left.iter().any(|cause| cause.is_tension()) {
        minutes += GRID_MINUTES + 5.0 * CLICK_MINUTES;
    }
    minutes
}

fn note(shown: &mut Vec<(f64, bool)>, found: &Diagnosis, truth: &[Cause]) {
    shown.extend(found.causes.iter().map(|one| (one.probability, truth.contains(&one.cause))));
}

/// Somebody who does what the diagnosis says.
pub(crate) fn advised(mut bike: Bike, chance: &mut Chance) -> Outcome {
    let faults: Vec<Cause> = bike.faults.iter().map(|fault| fault.cause).collect();
    let mut outcome = Outcome {
        solved: false,
        minutes: GRID_MINUTES,
        first_minutes: 0.0,
        unsafe_actions: 0,
        actions: 0,
        shown: Vec::new(),
        faults: faults.clone(),
        said: Vec::new(),
    };
    let mut set = [false, false];
    let mut evidence = Evidence::of(bike.cogs as u32, bike.ratio, Length::mm(bike.detent_mm));
    evidence.history = bike.history;
    evidence.grids.push(grid(&bike, set, chance));
    loop {
        let found = diagnose(&evidence).unwrap();
        note(&mut outcome.shown, &found, &faults);
        // After the last action the likeliest explanation is cured, whatever would be done next.
        let step = match found.advice.step {
            Step::Check(_) | Step::Turn { .. } | Step::SetLimit(_) if outcome.actions == ACTIONS => {
                Step::Cure(found.explanations.first().map(|one| one.causes.clone()).unwrap_or_default())
            }
            step => step,
        };
        match step {
            Step::Done => break,
            // Clean on the stand and bad elsewhere: it is tried there once, and that is the end of it.
            Step::TryIn(_) => {
                outcome.minutes += GRID_MINUTES;
                break;
            }
            Step::TryGears if evidence.grids.len() > 6 => break,
            Step::TryGears => {
                evidence.grids.push(grid(&bike, set, chance));
                outcome.minutes += GRID_MINUTES;
            }
            Step::Check(check) => {
                outcome.actions += 1;
                outcome.minutes += check.minutes();
                evidence.seen.push(look(&bike, check, chance));
            }
            Step::SetLimit(limit) => {
                outcome.actions += 1;
                outcome.minutes += 2.0;
                for cause in match limit {
                    Limit::High => [Cause::HighLimitOpen, Cause::HighLimitTight],
                    Limit::Low => [Cause::LowLimitOpen, Cause::LowLimitTight],
                } {
                    bike.mend(cause);
                }
                set[usize::from(limit == Limit::Low)] = true;
                evidence.seen.push(Seen::LimitSet(limit));
                evidence.grids.push(grid(&bike, set, chance));
                outcome.minutes += GRID_MINUTES;
            }
            Step::Turn { add, at_most } => {
                outcome.actions += 1;
                outcome.unsafe_actions += usize::from(is_unsafe(&bike, add));
                let from = bike.clicks;
                let bad = evidence.grids.last().cloned().unwrap();
                let (after, minutes) = run(&mut bike, add, (at_most, false), &bad, set, chance);
                outcome.minutes += minutes;
                if !is_clean(&after) {
                    evidence.runs.push((from, bike.clicks));
                    bike.clicks = from;
                }
                evidence.grids.push(after);
            }
            Step::Cure(causes) => {
                outcome.first_minutes = outcome.minutes;
                let all_there = causes.iter().all(|cause| bike.has(*cause).is_some());
                if !all_there {
                    let needless = causes.iter().filter(|cause| bike.has(**cause).is_none());
                    outcome.minutes += needless.map(|cause| cause.cure_minutes()).sum::<f64>() + GRID_MINUTES;
                }
                for cause in &causes {
                    if cause.is_tension() {
                        outcome.unsafe_actions += usize::from(is_unsafe(&bike, *cause == Cause::Slack));
                    }
                    bike.mend(*cause);
                }
                outcome.said = causes;
                outcome.solved = all_there && bike.is_sound();
                if !bike.is_sound() {
                    outcome.minutes += work_through(&bike);
                }
                return outcome;
            }
        }
    }
    outcome.first_minutes = outcome.minutes;
    outcome.solved = bike.is_sound();
    if !outcome.solved {
        outcome.minutes += work_through(&bike);
    }
    outcome
}

/// Somebody who adds where a larger cog is slow, takes off where a smaller one is, and else goes on.
pub(crate) fn by_the_plain_rule(mut bike: Bike, chance: &mut Chance) -> Outcome {
    let mut outcome = Outcome {
        solved: false,
        minutes: GRID_MINUTES,
        first_minutes: 0.0,
        unsafe_actions: 0,
        actions: 0,
        shown: Vec::new(),
        faults: bike.faults.iter().map(|fault| fault.cause).collect(),
        said: Vec::new(),
    };
    let set = [false, false];
    let mut seen = grid(&bike, set, chance);
    let slow = |shift: Option<Shift>| matches!(shift, Some(Shift::Slow | Shift::Refuses));
    while outcome.actions < ACTIONS && !is_clean(&seen) {
        let add = if seen.rows.iter().any(|row| slow(row.to_larger)) {
            true
        } else if seen.rows.iter().any(|row| slow(row.to_smaller)) {
            false
        } else {
            break;
        };
        // It looks at the direction that it mends.
        let mut bad = seen.clone();
        for row in &mut bad.rows {
            if add {
                row.to_smaller = None;
            } else {
                row.to_larger = None;
            }
        }
        outcome.actions += 1;
        outcome.unsafe_actions += usize::from(is_unsafe(&bike, add));
        let (after, minutes) = run(&mut bike, add, (10, true), &bad, set, chance);
        outcome.minutes += minutes;
        seen = after;
    }
    outcome.first_minutes = outcome.minutes;
    outcome.solved = bike.is_sound();
    if !outcome.solved {
        outcome.minutes += work_through(&bike);
    }
    outcome
}
