//! How likely every hypothesis is after all that was seen. Begin with [`posterior`].

use super::causes::{Cause, Hidden};
use super::checks::Limit;
use super::evidence::{Evidence, EvidenceError};
use super::hypothesis::{Hypothesis, each};
use super::model::{Table, grid_weight, seen_likelihood, setting};

/// A run on which no click was clean speaks so much against a setting that should have been.
const RUN_SURE: f64 = 0.9;

/// A setting by hand is off by this much on half of the bikes, on either side. A guess.
const SETTING_OFF_MM: f64 = 0.2;

/// What is less likely than the likeliest by this power of e, with the setting exact, is out of the question.
const OUT_OF_QUESTION: f64 = 20.0;

/// Every hypothesis with its probability.
#[derive(Clone, Debug)]
pub struct Posterior {
    pub(super) weighed: Vec<(Hypothesis, f64)>,
    pub(super) set: [bool; 2],
}

/// Weighs every hypothesis.
///
/// `P(x | seen) ∝ P(x) Π P(cell | x)^λ Π P(check | x)` over a grid of the hidden numbers x of every cause and every two
/// of different kinds, with λ the [`DAMPING`](super::DAMPING).
///
/// The order of checks does not matter; a cell that was not tried changes nothing.
///
/// # Errors
/// What is no evidence: [`EvidenceError`].
///
/// # Source
/// Bayes' rule. The same grid by a general-purpose library: `tests/diagnosis_reference.rs`; faults that are known:
/// `tests/virtual_bike.rs`.
pub fn posterior(evidence: &Evidence) -> Result<Posterior, EvidenceError> {
    evidence.check()?;
    let table = Table::new();
    // Shifts and sounds with the setting off by this much, as far as they matter.
    let of_grids = |hidden: &Hidden, off_mm: f64, enough: f64| {
        let moved = Hidden { offset_mm: hidden.offset_mm + off_mm, ..*hidden };
        let mut weight = 0.0;
        for grid in &evidence.grids {
            weight += grid_weight(&moved, evidence, grid, &table, enough - weight);
            if weight < enough {
                break;
            }
        }
        weight
    };
    let of_checks = |hidden: &Hidden| {
        let seen = evidence.seen.iter().map(|seen| seen_likelihood(hidden, evidence, seen).max(1e-30).ln());
        seen.sum::<f64>() + of_runs(hidden, evidence)
    };
    let mut most = f64::NEG_INFINITY;
    let mut weighed: Vec<(Hypothesis, f64)> = Vec::new();
    each(evidence, |hypothesis| {
        let before = hypothesis.prior.ln() + of_checks(&hypothesis.hidden);
        let enough = most - OUT_OF_QUESTION;
        let log = before + of_grids(&hypothesis.hidden, 0.0, enough - before);
        if log > enough {
            most = most.max(log);
            weighed.push((hypothesis, log));
        }
    });
    weighed.retain(|(_, log)| *log > most - OUT_OF_QUESTION);
    for (hypothesis, log) in &mut weighed {
        let hidden = &hypothesis.hidden;
        let middle = of_grids(hidden, 0.0, f64::NEG_INFINITY);
        let side = |off_mm: f64| (of_grids(hidden, off_mm, f64::NEG_INFINITY) - middle).exp();
        *log += (0.5 + 0.25 * (side(-SETTING_OFF_MM) + side(SETTING_OFF_MM))).ln();
    }
    let most = weighed.iter().map(|(_, log)| *log).fold(f64::NEG_INFINITY, f64::max);
    let mut total = 0.0;
    for (_, weight) in &mut weighed {
        *weight = (*weight - most).exp();
        total += *weight;
    }
    for (_, weight) in &mut weighed {
        *weight /= total;
    }
    Ok(Posterior { weighed, set: [evidence.is_set(Limit::High), evidence.is_set(Limit::Low)] })
}

/// What runs without success say of a setting that should have been clean.
fn of_runs(hidden: &Hidden, evidence: &Evidence) -> f64 {
    if evidence.runs.is_empty() {
        return 0.0;
    }
    let best = setting(hidden, evidence, [false, false]);
    let passed = |run: &&(i32, i32)| {
        let (from, to) = **run;
        (f64::from(from.min(to))..=f64::from(from.max(to))).contains(&best.clicks)
    };
    evidence.runs.iter().filter(passed).map(|_| (1.0 - RUN_SURE * best.clean).ln()).sum()
}

impl Posterior {
    /// How likely a cause was at work when the bike was found, alone or with another.
    pub fn probability(&self, cause: Cause) -> f64 {
        self.sum(|hypothesis| hypothesis.causes.contains(&Some(cause)))
    }

    /// How likely two causes are at work.
    pub fn two_at_once(&self) -> f64 {
        self.sum(|hypothesis| hypothesis.causes[1].is_some())
    }

    fn sum(&self, which: impl Fn(&Hypothesis) -> bool) -> f64 {
        self.weighed.iter().filter(|(hypothesis, _)| which(hypothesis)).map(|(_, weight)| weight).sum()
    }
}

/// What is to be named: at most two causes, without a limit that was set since, and without a tension that the cure
/// of the other sets anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Name(pub u8);

/// So many names there are.
pub(super) const NAMES: usize = 256;

impl Name {
    /// Nothing to be cured.
    pub(super) const NOTHING: Self = Self(0);

    /// The name of a hypothesis.
    pub(super) fn of(causes: [Option<Cause>; 2], set: [bool; 2]) -> Self {
        let is_left = |cause: &Cause| match cause.limit() {
            Some(Limit::High) => !set[0],
            Some(Limit::Low) => !set[1],
            None => true,
        };
        let [one, other] = causes.map(|cause| cause.filter(is_left));
        let anew = |cause: Option<Cause>| cause.is_some_and(Cause::sets_tension_anew);
        let keep = |mine: Option<Cause>, theirs: Option<Cause>| {
            mine.filter(|cause| !(cause.is_tension() && anew(theirs)))
        };
        let code = |cause: Option<Cause>| cause.map_or(0, |cause| cause as u8 + 1);
        let (a, b) = (code(keep(one, other)), code(keep(other, one)));
        Self(a.min(b) * 16 + a.max(b))
    }

    /// Its causes.
    pub(super) fn causes(self) -> Vec<Cause> {
        let of = |code: u8| code.checked_sub(1).and_then(|at| Cause::ALL.get(at as usize).copied());
        [self.0 / 16, self.0 % 16].into_iter().filter_map(of).collect()
    }
}
