//! What could not be seen: named risks with chance, minutes and parts, and how far they may carry a price. Begin with
//! [`Risk`], then [`outlook`].

use catalog::{Dimension, Loosening, Slot, Value, Word};
use fit::{Plan, When};
use quantity::{Money, Reading};

/// The weight of what is believed before there are records: as if it had been seen in so many jobs.
pub const PRIOR_JOBS: f64 = 10.0;

/// A named risk.
#[derive(Clone, Debug, PartialEq)]
pub struct Risk {
    /// The key.
    pub id: String,
    /// What may be found, in words.
    pub words: String,
    /// It threatens a job that has one of these steps; every job if there are none.
    pub steps: Vec<String>,
    /// What looking at intake settles: tried loose, or measured within a range.
    pub settled_by: Option<Settled>,
    /// The chance that was believed at first, 0 to 1.
    pub chance: f64,
    /// Minutes that were believed at first.
    pub minutes: u32,
    /// Parts.
    pub parts: Option<Money>,
    /// The shop's own record.
    pub record: RiskRecord,
}

/// How a look at intake settles a risk.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Settled {
    /// A part that moved when it was tried is not seized; one that did not is certain trouble.
    TriedLoose(Dimension),
    /// A length up to this many millimetres rules it out.
    UpTo(Dimension, f64),
}

/// What the shop has seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RiskRecord {
    /// Jobs in which it could have happened.
    pub jobs: u32,
    /// Jobs in which it did.
    pub events: u32,
    /// Minutes that these took together.
    pub minutes: u32,
}

impl Risk {
    /// The chance with the shop's own record: `(10 c + events) / (10 + jobs)`, where `c` is what was believed at first.
    ///
    /// Lies between `c` and `events / jobs`, and goes to the latter as jobs go on.
    ///
    /// # Source
    /// The mean of a beta distribution after binomial counts (Gelman et al., *Bayesian Data Analysis*, 3rd ed., §2.4; from
    /// memory). The weight of ten jobs is a choice of ours.
    pub fn chance_now(&self) -> f64 {
        let (jobs, events) = (f64::from(self.record.jobs), f64::from(self.record.events));
        ((PRIOR_JOBS * self.chance + events) / (PRIOR_JOBS + jobs)).clamp(0.0, 1.0)
    }

    /// The minutes with the shop's own record, by the same weight.
    pub fn minutes_now(&self) -> f64 {
        let (events, minutes) = (f64::from(self.record.events), f64::from(self.record.minutes));
        (PRIOR_JOBS * f64::from(self.minutes) + minutes) / (PRIOR_JOBS + events)
    }

    /// Where the figures come from.
    pub fn source_words(&self) -> String {
        match self.record.jobs {
            0 => "believed, none of our own jobs counted yet".to_owned(),
            jobs => format!(
                "{} in {jobs} of our own jobs, with a first belief as heavy as 10",
                self.record.events
            ),
        }
    }
}

/// How a risk stands for one bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nobody knows.
    Open,
    /// Looked at, and it does not threaten.
    Spared,
    /// Looked at, and it is so: a line of its own, before approval.
    Certain,
}

/// A risk on one bike.
#[derive(Clone, Debug, PartialEq)]
pub struct Faced {
    /// The risk.
    pub risk: Risk,
    /// How it stands.
    pub standing: Standing,
}

/// The risks that a job with these steps faces.
pub fn faced(risks: &[Risk], plan: &Plan, steps: &[&str]) -> Vec<Faced> {
    risks
        .iter()
        .filter(|risk| risk.steps.is_empty() || risk.steps.iter().any(|step| steps.contains(&step.as_str())))
        .map(|risk| Faced { risk: risk.clone(), standing: standing(risk, plan) })
        .collect()
}

fn standing(risk: &Risk, plan: &Plan) -> Standing {
    match risk.settled_by {
        None => Standing::Open,
        Some(Settled::TriedLoose(dimension)) => {
            let found = match plan.build.reading(Slot::Frame, When::Before, dimension) {
                Reading::Taken(Value::Word(word)) => Loosening::read(word.value),
                _ => None,
            };
            match found {
                Some(Loosening::Moved) => Standing::Spared,
                Some(Loosening::NotMoved) => Standing::Certain,
                Some(Loosening::NotTried) | None => Standing::Open,
            }
        }
        Some(Settled::UpTo(dimension, most_mm)) => {
            match plan.build.reading(Slot::Frame, When::Before, dimension) {
                // The whole of what it can be has to lie below: a wide tolerance rules nothing out.
                Reading::Taken(Value::Length(length))
                    if length.value.to_mm() + length.tolerance.to_mm() <= most_mm =>
                {
                    Standing::Spared
                }
                _ => Standing::Open,
            }
        }
    }
}

/// What may come on top of a base: with this chance, so much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blow {
    /// The chance, 0 to 1.
    pub chance: f64,
    /// How much.
    pub by: f64,
}

/// How far a sum may go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlook {
    /// Not more than this in half of all such jobs.
    pub p50: f64,
    /// In eight of ten.
    pub p80: f64,
    /// In nineteen of twenty.
    pub p95: f64,
    /// The mean.
    pub mean: f64,
    /// The chance that none of the blows falls.
    pub none: f64,
}

/// Cells of the grid on which sums are folded. At a range of 800 minutes a cell is a fifth of a minute.
const CELLS: usize = 4096;

/// Standard deviations of the scatter that are kept on either side: all but 6 in 100 000 of its weight.
const REACH: f64 = 4.0;

/// The sum of a base, of scatter about it, and of blows that fall independently.
///
/// The density of `base + σ·N(0, 1)` is laid on a grid of 4096 cells and folded with each blow in turn: `f ← (1 − c) f +
/// c f(· − by)`, a blow between two cells being shared between them so that its mean stays. The percentiles are read off
/// the running sum, within a cell by straight lines.
///
/// Grows with `base`, and with every chance and every blow. Exact on its grid: the error is at most a cell. With neither
/// scatter nor blows it is `base`.
///
/// # Source
/// The distribution of a sum of independent parts is the convolution of theirs (Feller, *An Introduction to Probability
/// Theory and Its Applications*, vol. 2, §I.2; from memory). Checked against numpy: `tests/percentiles.rs`.
pub fn outlook(base: f64, sigma: f64, blows: &[Blow]) -> Outlook {
    let none = blows.iter().map(|blow| 1.0 - blow.chance).product();
    let mean = base + blows.iter().map(|blow| blow.chance * blow.by).sum::<f64>();
    let most: f64 = blows.iter().map(|blow| blow.by.max(0.0)).sum();
    let (from, to) = (base - REACH * sigma, base + REACH * sigma + most);
    let step = (to - from) / (CELLS - 2) as f64;
    if step <= 0.0 || !step.is_finite() {
        return Outlook { p50: base, p80: base, p95: base, mean, none };
    }
    let mut weights = scattered(base, sigma, from, step);
    let mut spare = vec![0.0; CELLS];
    for blow in blows.iter().filter(|blow| blow.chance > 0.0 && blow.by > 0.0) {
        fold(&weights, &mut spare, *blow, step);
        std::mem::swap(&mut weights, &mut spare);
    }
    let at = |share: f64| percentile(&weights, from, step, share);
    Outlook { p50: at(0.5), p80: at(0.8), p95: at(0.95), mean, none }
}

/// The weight of the scattered base in each cell; cell `i` reaches half a step to either side of `from + i·step`.
fn scattered(base: f64, sigma: f64, from: f64, step: f64) -> Vec<f64> {
    let mut weights = vec![0.0; CELLS];
    if sigma <= 0.0 {
        // Shared between the two cells beside it.
        let place = (base - from) / step;
        let (cell, rest) = (place.floor(), place - place.floor());
        weights[cell as usize] = 1.0 - rest;
        weights[cell as usize + 1] = rest;
        return weights;
    }
    let reach = (2.0 * REACH * sigma / step).ceil() as usize + 1;
    let below = |cell: f64| normal((from + (cell - 0.5) * step - base) / sigma);
    let mut before = below(0.0);
    for (at, weight) in weights.iter_mut().enumerate().take(reach) {
        let after = below(at as f64 + 1.0);
        *weight = after - before;
        before = after;
    }
    let sum: f64 = weights.iter().sum();
    weights.iter_mut().for_each(|weight| *weight /= sum);
    weights
}

fn fold(weights: &[f64], into: &mut [f64], blow: Blow, step: f64) {
    let place = blow.by / step;
    let (cells, rest) = (place.floor() as usize, place - place.floor());
    for (at, sum) in into.iter_mut().enumerate() {
        let back =
            |cells: usize| at.checked_sub(cells).and_then(|at| weights.get(at)).copied().unwrap_or(0.0);
        let moved = (1.0 - rest) * back(cells) + rest * back(cells + 1);
        *sum = (1.0 - blow.chance) * weights[at] + blow.chance * moved;
    }
}

fn percentile(weights: &[f64], from: f64, step: f64, share: f64) -> f64 {
    let mut sum = 0.0;
    for (at, weight) in weights.iter().enumerate() {
        if sum + weight >= share && *weight > 0.0 {
            let within = (share - sum) / weight;
            return from + (at as f64 - 0.5 + within) * step;
        }
        sum += weight;
    }
    from + (weights.len() - 1) as f64 * step
}

/// The share of a standard normal distribution below `z`, within 1.5 · 10⁻⁷.
///
/// # Source
/// Abramowitz and Stegun, *Handbook of Mathematical Functions*, 7.1.26 (from memory; checked against numpy with the
/// percentiles).
fn normal(z: f64) -> f64 {
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let series = t
        * (0.254_829_592
            + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let half = 0.5 * series * (-x * x).exp();
    if z > 0.0 { 1.0 - half } else { half }
}
