//! The answer: causes in words and numbers, and the step that saves the most minutes. Begin with [`diagnose`].

use super::causes::Cause;
use super::checks::{Check, Limit, LimitSeen, Seen};
use super::evidence::{Evidence, EvidenceError, Grid, History, Shift, Sound};
use super::hypothesis::Hypothesis;
use super::model::{self, outcomes};
use super::posterior::{NAMES, Name, Posterior, posterior};

/// Minutes lost by curing what is not wrong: a guess of practice.
const WRONG_CURE_MINUTES: f64 = 50.0;
/// Minutes of one click with the gears that were bad, and of trying all gears.
const CLICK_MINUTES: f64 = 0.3;
const GRID_MINUTES: f64 = 1.5;
/// Minutes of setting a limit.
const LIMIT_MINUTES: f64 = 2.0;
/// An open limit this likely is looked at before anything else.
const DANGER: f64 = 0.15;
/// Settings that cure less often than this are no settings to try.
const HARDLY: f64 = 0.10;
/// From here a cause is likely, and possible.
const LIKELY: f64 = 0.6;
const POSSIBLE: f64 = 0.15;
/// A hypothesis below this changes no advice.
const NEGLIGIBLE: f64 = 1e-7;
/// Two causes are spoken of when they explain the grid so many times better than the best one.
const RATHER_TWO: f64 = 2.0;

/// A probability in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    /// From 60 in 100.
    Likely,
    /// From 15 in 100.
    Possible,
    /// Less.
    Unlikely,
}

impl Word {
    /// The word of a probability.
    pub fn of(probability: f64) -> Self {
        if probability >= LIKELY {
            Self::Likely
        } else if probability >= POSSIBLE {
            Self::Possible
        } else {
            Self::Unlikely
        }
    }
}

/// A cause with its probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likely {
    /// The cause.
    pub cause: Cause,
    /// That it was at work when the bike was found, alone or with another.
    pub probability: f64,
}

impl Likely {
    /// The probability in a word.
    pub fn word(&self) -> Word {
        Word::of(self.probability)
    }
}

/// One cause or two that together explain what was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// None where nothing is wrong any more.
    pub causes: Vec<Cause>,
    /// How likely.
    pub probability: f64,
}

/// What to do next.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Every gear was tried and is clean: note the window and stop.
    Done,
    /// Try every gear both ways and write it down.
    TryGears,
    /// Clean here, and said to be bad elsewhere: try it there.
    TryIn(Elsewhere),
    /// Make a check.
    Check(Check),
    /// Set a limit screw.
    SetLimit(Limit),
    /// Click by click in one direction, all gears tried when those that were bad are clean, until they are.
    Turn {
        /// Whether clicks are added.
        add: bool,
        /// After so many clicks without success stop.
        at_most: u32,
    },
    /// Cure these.
    Cure(Vec<Cause>),
}

/// Where a shifting may be bad that is clean on the stand with the bars straight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Elsewhere {
    /// Under load: brake held on the stand, then on the road.
    UnderLoad,
    /// With the bars at either lock.
    BarsTurned,
}

/// Why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// Nothing was tried yet.
    NothingSeen,
    /// Everything is clean.
    AllClean,
    /// Everything is clean where it was tried, and it was not there that it was bad.
    CleanHere,
    /// The chain may leave the cassette.
    Danger,
    /// Before tension is added or taken off, the limits must hold the chain.
    LimitsFirst,
    /// It saves the most minutes.
    Saves,
    /// No further check would change what is to be done.
    Settled,
}

/// A step, its reason, and its minutes.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The step.
    pub step: Step,
    /// Why.
    pub reason: Reason,
    /// Minutes that it is expected to take.
    pub minutes: f64,
    /// Minutes that it is expected to save against curing the likeliest at once; 0 where that is no question.
    pub saves: f64,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// Every cause, the likeliest first.
    pub causes: Vec<Likely>,
    /// What explains it, the likeliest first, down to one in a hundred, at most six.
    pub explanations: Vec<Explanation>,
    /// Whether two causes together explain it much better than any one.
    pub rather_two: bool,
    /// Clicks to add from where the adjuster stands now, and their standard deviation, where clicks may cure it.
    pub clicks: Option<(f64, f64)>,
    /// How likely any setting of the adjuster makes every gear clean.
    pub curable: f64,
    /// Whether to stop adjusting: no click cures it.
    pub stop_adjusting: bool,
    /// Whether the bike must not be ridden before the limits are right.
    pub stop_riding: bool,
    /// What next.
    pub advice: Advice,
}

/// What is wrong, as far as it shows, and what to do next.
///
/// The next step is the one with the least expected minutes: its own and those that are lost when the likeliest
/// explanation after it is cured and is the wrong one. It looks one step ahead. A limit that may be open comes
/// before everything; the adjuster is turned only where both limits are known to hold the chain.
///
/// # Errors
/// As [`posterior`].
///
/// # Example
/// ```
/// use mechanics::diagnosis::{Cause, Evidence, GearRow, Grid, Shift, diagnose};
/// use quantity::Length;
/// let mut bike = Evidence::of(10, 1.4, Length::mm(0.2));
/// let row = GearRow { to_larger: Some(Shift::Slow), to_smaller: Some(Shift::Clean), sound: None };
/// bike.grids.push(Grid { clicks: 0, rows: vec![row; 10], high_set: false, low_set: false });
/// let found = diagnose(&bike)?;
/// assert_eq!(found.causes[0].cause, Cause::Slack);
/// # Ok::<(), mechanics::diagnosis::EvidenceError>(())
/// ```
pub fn diagnose(evidence: &Evidence) -> Result<Diagnosis, EvidenceError> {
    let posterior = posterior(evidence)?;
    let mut causes: Vec<Likely> = Cause::ALL
        .into_iter()
        .map(|cause| Likely { cause, probability: posterior.probability(cause) })
        .collect();
    causes.sort_by(|one, other| other.probability.total_cmp(&one.probability));

    let near: Vec<Near> = posterior
        .weighed
        .iter()
        .filter(|(_, weight)| *weight > NEGLIGIBLE)
        .map(|(hypothesis, weight)| Near::of(hypothesis, *weight, &posterior, evidence))
        .collect();
    let (clicks, curable) = setting(&near, evidence.clicks_now());
    let danger = danger(&posterior);
    let seen_open = Limit::of_open(evidence);
    let advice = advise(evidence, &near, danger, curable);
    Ok(Diagnosis {
        rather_two: rather_two(&posterior),
        explanations: explanations(&near),
        clicks: clicks.filter(|_| curable >= HARDLY),
        curable,
        stop_adjusting: curable < HARDLY
            && !matches!(advice.step, Step::Done | Step::TryGears | Step::TryIn(_)),
        stop_riding: danger > DANGER || seen_open.is_some(),
        causes,
        advice,
    })
}

/// A hypothesis with what advice needs of it.
struct Near<'a> {
    hypothesis: &'a Hypothesis,
    weight: f64,
    name: Name,
    /// Clicks from as found to the middle, and how likely it is clean there.
    clicks: f64,
    clean: f64,
}

impl<'a> Near<'a> {
    fn of(hypothesis: &'a Hypothesis, weight: f64, posterior: &Posterior, evidence: &Evidence) -> Self {
        let setting = model::setting(&hypothesis.hidden, evidence, posterior.set);
        let mut name = Name::of(hypothesis.causes, posterior.set);
        // A tension that has been set right since needs no cure.
        let is_now_clean = evidence.grids.last().is_some_and(|grid| is_clean(grid, evidence.gears));
        if is_now_clean && setting.clean_now > 0.5 && name.causes().iter().all(|cause| cause.is_tension()) {
            name = Name::NOTHING;
        }
        Self { hypothesis, weight, name, clicks: setting.clicks, clean: setting.clean }
    }
}

/// Whether every gear was tried both ways, clean and quiet.
fn is_clean(grid: &Grid, gears: u32) -> bool {
    let shifts = || grid.rows.iter().flat_map(|row| [row.to_larger, row.to_smaller]).flatten();
    let is_quiet = grid.rows.iter().all(|row| row.sound.is_none_or(|sound| sound == Sound::Quiet));
    // Each gear is reached twice, the ends once.
    is_quiet && shifts().all(|shift| shift == Shift::Clean) && shifts().count() >= 2 * (gears as usize - 1)
}

impl Limit {
    /// A limit that was seen open and not set since.
    fn of_open(evidence: &Evidence) -> Option<Self> {
        let open = |limit: Self| {
            !evidence.is_set(limit)
                && evidence.seen.iter().any(|seen| match seen {
                    Seen::Limits { high, low } => {
                        *(if limit == Self::High { high } else { low }) == LimitSeen::Open
                    }
                    _ => false,
                })
        };
        [Self::Low, Self::High].into_iter().find(|limit| open(*limit))
    }
}

/// How likely the chain can leave the cassette.
fn danger(posterior: &Posterior) -> f64 {
    let is_set = |cause: Cause| match cause.limit() {
        Some(Limit::High) => posterior.set[0],
        Some(Limit::Low) => posterior.set[1],
        None => false,
    };
    let open = |hypothesis: &Hypothesis| {
        hypothesis.causes.iter().flatten().any(|cause| cause.is_danger() && !is_set(*cause))
    };
    posterior.weighed.iter().filter(|(hypothesis, _)| open(hypothesis)).map(|(_, weight)| weight).sum()
}

fn rather_two(posterior: &Posterior) -> bool {
    let mut by_name = [0.0; NAMES];
    for (hypothesis, weight) in &posterior.weighed {
        by_name[Name::of(hypothesis.causes, [false, false]).0 as usize] += weight;
    }
    let (mut one, mut two) = (0.0_f64, 0.0_f64);
    for (at, weight) in by_name.iter().enumerate() {
        let best = if at >= 16 { &mut two } else { &mut one };
        *best = best.max(*weight);
    }
    two > RATHER_TWO * one
}

fn explanations(near: &[Near<'_>]) -> Vec<Explanation> {
    let by_name = names(near.iter().map(|one| (one.name, one.weight)));
    let mut found: Vec<(usize, f64)> =
        by_name.into_iter().enumerate().filter(|(_, weight)| *weight >= 0.01).collect();
    found.sort_by(|one, other| other.1.total_cmp(&one.1));
    found
        .into_iter()
        .take(6)
        .map(|(name, probability)| Explanation { causes: Name(name as u8).causes(), probability })
        .collect()
}

fn names(weights: impl Iterator<Item = (Name, f64)>) -> [f64; NAMES] {
    let mut by_name = [0.0; NAMES];
    for (name, weight) in weights {
        by_name[name.0 as usize] += weight;
    }
    by_name
}

/// Clicks from now with their standard deviation, over what clicks cure, and how likely they do.
fn setting(near: &[Near<'_>], now: i32) -> (Option<(f64, f64)>, f64) {
    spread(near.iter().map(|one| (one.clicks - f64::from(now), one.weight * one.clean)))
}

fn spread(all: impl Iterator<Item = (f64, f64)>) -> (Option<(f64, f64)>, f64) {
    let (mut weight, mut sum, mut squares) = (0.0, 0.0, 0.0);
    for (clicks, share) in all {
        weight += share;
        sum += share * clicks;
        squares += share * clicks * clicks;
    }
    if weight <= 0.0 {
        return (None, 0.0);
    }
    let mean = sum / weight;
    (Some((mean, (squares / weight - mean * mean).max(0.0).sqrt())), weight)
}

fn advise(evidence: &Evidence, near: &[Near<'_>], danger: f64, curable: f64) -> Advice {
    let plain = |step: Step, reason: Reason, minutes: f64| Advice { step, reason, minutes, saves: 0.0 };
    let Some(last) = evidence.grids.last() else {
        return plain(Step::TryGears, Reason::NothingSeen, GRID_MINUTES);
    };
    let all_clean = is_clean(last, evidence.gears);
    if danger > DANGER && !evidence.has(Check::Limits) {
        return plain(Step::Check(Check::Limits), Reason::Danger, Check::Limits.minutes());
    }
    let by_name = names(near.iter().map(|one| (one.name, one.weight)));
    let total: f64 = by_name.iter().sum();
    let (best, most) = best_of(&by_name);
    let now = WRONG_CURE_MINUTES * (1.0 - most / total);
    let mut choice = (now, None, 0.0);
    for check in Check::ALL.into_iter().filter(|check| !evidence.has(*check)) {
        let cost = check.minutes() + after_check(check, near, evidence) / total;
        if cost < choice.0 {
            choice = (cost, Some(Step::Check(check)), check.minutes());
        }
    }
    let holds = evidence.holds(Limit::High) && evidence.holds(Limit::Low) && danger <= DANGER;
    if curable >= HARDLY {
        for add in [true, false] {
            let Some((cost, step, minutes)) = turn(near, evidence.clicks_now(), add, total) else { continue };
            let look = if holds { 0.0 } else { Check::Limits.minutes() };
            if cost + look < choice.0 {
                choice = (cost + look, Some(step), minutes);
            }
        }
    }
    let saves = now - choice.0;
    let limits_first = || match Limit::of_open(evidence) {
        Some(limit) => plain(Step::SetLimit(limit), Reason::Danger, LIMIT_MINUTES),
        None if !evidence.has(Check::Limits) => {
            plain(Step::Check(Check::Limits), Reason::LimitsFirst, Check::Limits.minutes())
        }
        // Looked at and not seen open, and yet the chain goes over: the likelier one is set anew.
        None => {
            let weight = |cause: Cause| {
                let with = near.iter().filter(|one| one.hypothesis.causes.contains(&Some(cause)));
                with.map(|one| one.weight).sum::<f64>()
            };
            let is_low = weight(Cause::LowLimitOpen) >= weight(Cause::HighLimitOpen);
            let limit = if is_low { Limit::Low } else { Limit::High };
            plain(Step::SetLimit(limit), Reason::Danger, LIMIT_MINUTES)
        }
    };
    match choice.1 {
        Some(Step::Turn { .. }) if !holds => return Advice { saves, ..limits_first() },
        Some(step) => return Advice { saves, ..plain(step, Reason::Saves, choice.2) },
        None => {}
    }
    let mut causes = Name(best as u8).causes();
    if causes.is_empty() {
        return match all_clean {
            true => match elsewhere(&evidence.history) {
                Some(there) => plain(Step::TryIn(there), Reason::CleanHere, GRID_MINUTES),
                None => plain(Step::Done, Reason::AllClean, 0.0),
            },
            false => plain(Step::TryGears, Reason::Settled, GRID_MINUTES),
        };
    }
    if let Some(tension) = causes.iter().find(|cause| cause.is_tension()) {
        if !holds {
            return limits_first();
        }
        let add = *tension == Cause::Slack;
        if let ([_], Some((_, step, minutes))) =
            (causes.as_slice(), turn(near, evidence.clicks_now(), add, total))
        {
            return plain(step, Reason::Settled, minutes);
        }
    }
    // What can throw the chain off is cured first, then the other limits, and the tension last.
    causes.sort_by_key(|cause| (!cause.is_danger(), cause.limit().is_none(), cause.is_tension()));
    let minutes = causes.iter().map(|cause| cause.cure_minutes()).sum();
    plain(Step::Cure(causes), Reason::Settled, minutes)
}

/// Where it is bad, as it was told.
fn elsewhere(history: &History) -> Option<Elsewhere> {
    let said = |mark: Option<bool>| mark == Some(true);
    match (said(history.worse_on_road), said(history.changes_with_bars)) {
        (true, _) => Some(Elsewhere::UnderLoad),
        (_, true) => Some(Elsewhere::BarsTurned),
        _ => None,
    }
}

fn best_of(by_name: &[f64; NAMES]) -> (usize, f64) {
    let mut best = (0, f64::NEG_INFINITY);
    for (name, weight) in by_name.iter().enumerate() {
        if *weight > best.1 {
            best = (name, *weight);
        }
    }
    best
}

/// Minutes expected to be lost after a check, times the weight of all.
fn after_check(check: Check, near: &[Near<'_>], evidence: &Evidence) -> f64 {
    let mut by_outcome = [[0.0; NAMES]; 9];
    let mut count = 0;
    for one in near {
        let (likelihoods, outcomes) = outcomes(check, &one.hypothesis.hidden, evidence);
        count = outcomes;
        for (names, p) in by_outcome.iter_mut().zip(&likelihoods[..outcomes]) {
            names[one.name.0 as usize] += one.weight * p;
        }
    }
    let lost = |names: &[f64; NAMES]| WRONG_CURE_MINUTES * (names.iter().sum::<f64>() - best_of(names).1);
    by_outcome[..count].iter().map(lost).sum()
}

/// Minutes expected of clicks in one direction and of what is lost where they do not cure it, the step, and the
/// minutes of the clicks alone.
fn turn(near: &[Near<'_>], now: i32, add: bool, total: f64) -> Option<(f64, Step, f64)> {
    let from_now = |one: &Near<'_>| one.clicks - f64::from(now);
    let cures = |one: &Near<'_>| {
        if (from_now(one) > 0.0) == add && from_now(one).abs() > 0.3 { one.weight * one.clean } else { 0.0 }
    };
    let (of, cured) = spread(near.iter().map(|one| (from_now(one).abs(), cures(one))));
    let (mean, deviation) = of?;
    let at_most = (mean + 1.5 * deviation).ceil().clamp(1.0, 14.0);
    let left = names(near.iter().map(|one| (one.name, one.weight - cures(one))));
    let lost = WRONG_CURE_MINUTES * (left.iter().sum::<f64>() - best_of(&left).1) / total;
    let missed = 1.0 - cured / total;
    let minutes = GRID_MINUTES + CLICK_MINUTES * ((1.0 - missed) * mean + missed * at_most);
    Some((minutes + lost, Step::Turn { add, at_most: at_most as u32 }, minutes))
}
