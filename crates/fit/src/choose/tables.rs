//! The checks of a search: the rules, and what the wish asks of a set.

use crate::build::{Build, When};
use crate::finding::{Finding, Verdict};
use crate::judge::judge_by;
use crate::pairs::{number, teeth};
use crate::ride::RideCase;
use crate::rule::Rule;
use crate::rules::{brake_leverage, hand_position};
use catalog::Dimension;
use mechanics::gears;
use quantity::Length;

/// What a rule says of a build, as a number: the place of its verdict, or nothing.
pub(crate) fn verdict_of(rule: &'static Rule, build: &Build) -> i64 {
    judge_by(rule, build).map_or(SILENT, |finding| place(finding.verdict))
}

/// The rule does not speak.
pub(crate) const SILENT: i64 = -1;

/// The place of a verdict, good to bad.
pub(crate) fn place(verdict: Verdict) -> i64 {
    verdict as i64
}

/// What a verdict weighs among the open ones.
pub(crate) fn open_weight(verdict: i64) -> i64 {
    match verdict {
        _ if verdict == place(Verdict::Marginal) => MARGINAL_WEIGHS,
        _ if verdict == place(Verdict::Measure) => 1,
        _ => 0,
    }
}

/// The customer has to agree to a marginal verdict; to measure takes minutes. A count of the shop: what is to be measured
/// may turn out marginal too, so it does not outweigh any number of them.
pub(crate) const MARGINAL_WEIGHS: i64 = 3;

/// Whether a set with this verdict is offered.
pub(crate) fn is_offered(verdict: i64) -> bool {
    verdict < place(Verdict::Fails)
}

/// A number that is not known.
pub(crate) const UNKNOWN: i64 = i64::MAX;

/// Development of the lowest gear in thousandths of a millimetre; without the rollout that of a wheel of one metre.
pub(crate) fn lowest(build: &Build) -> i64 {
    extreme(build, |a, b| a < b)
}

/// Development of the highest gear, in the same unit.
pub(crate) fn highest(build: &Build) -> i64 {
    extreme(build, |a, b| a > b)
}

fn extreme(build: &Build, better: fn(f64, f64) -> bool) -> i64 {
    let rings = teeth(build, When::After, Dimension::Rings);
    let cogs = teeth(build, When::After, Dimension::Cogs);
    let rollout = number(build, When::After, Dimension::Rollout).map_or(Length::mm(1000.0), Length::mm);
    let mut best: Option<f64> = None;
    for ring in &rings {
        for cog in &cogs {
            let development = gears::development_m(*ring, *cog, rollout);
            if best.is_none_or(|best| better(development, best)) {
                best = Some(development);
            }
        }
    }
    best.map_or(UNKNOWN, |m| (m * 1e6).round() as i64)
}

/// Largest step from one cog to the next, in thousandths of a percent.
pub(crate) fn step(build: &Build) -> i64 {
    let mut cogs: Vec<f64> =
        teeth(build, When::After, Dimension::Cogs).into_iter().map(|cog| f64::from(cog.get())).collect();
    cogs.sort_by(f64::total_cmp);
    let steps = cogs.windows(2).map(|pair| (100_000.0 * (pair[1] / pair[0] - 1.0)).round() as i64);
    steps.max().unwrap_or(UNKNOWN)
}

/// The stated cost of a ride, in steps that are felt.
pub(crate) fn ride(case: &RideCase, build: &Build) -> i64 {
    case.felt_cost(build).unwrap_or(UNKNOWN)
}

/// Number of cogs; unknown is none.
pub(crate) fn cogs(build: &Build) -> i64 {
    teeth(build, When::After, Dimension::Cogs).len() as i64
}

/// Number of rings.
pub(crate) fn rings(build: &Build) -> i64 {
    teeth(build, When::After, Dimension::Rings).len() as i64
}

/// How far the hands move, in hundredths of a millimetre: nothing where no rule speaks of it.
pub(crate) fn hands(build: &Build) -> i64 {
    let shift = |finding: &Finding, name| finding.number(name).map(|number| number.value);
    match judge_by(&hand_position::RULE, build) {
        None => 0,
        Some(finding) => match (shift(&finding, "shift_x"), shift(&finding, "shift_y")) {
            (Some(x), Some(y)) => (100.0 * x.hypot(y)).round() as i64,
            _ => UNKNOWN,
        },
    }
}

/// Leverage of the brakes against today, in thousandths of a percent; unknown where it cannot be told.
pub(crate) fn brakes(build: &Build) -> i64 {
    match judge_by(&brake_leverage::RULE, build) {
        None => 0,
        Some(finding) => {
            finding.number("change").map_or(UNKNOWN, |number| (1000.0 * number.value).round() as i64)
        }
    }
}
