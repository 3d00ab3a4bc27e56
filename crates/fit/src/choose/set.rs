//! A set of parts, judged.

use crate::build::{Build, When};
use crate::choose::question::{Labour, heavier_mg};
use crate::choose::tables;
use crate::cures::couplings;
use crate::finding::{Finding, Verdict};
use crate::judge::{judge, worst};
use crate::pairs::{Pair, pairs};
use crate::refit::Refit;
use crate::ride::OnRide;
use crate::rule::Coupling;
use catalog::{Dimension, Part, Slot};
use quantity::{Money, Reading};

/// A set of parts with everything that is said of it.
#[derive(Clone, Debug)]
pub struct Set {
    /// The new parts, in the order of the slots; those that the refit chose already among them.
    pub parts: Vec<Part>,
    /// What they cost together; unknown where one price is.
    pub price: Option<Money>,
    /// Working days until all of them are here; unknown where one is.
    pub days: Option<u32>,
    /// Development of the lowest gear, metres; unknown without the rollout.
    pub lowest_m: Option<f64>,
    /// Development of the highest gear, metres.
    pub highest_m: Option<f64>,
    /// How much easier the lowest gear is than today, percent.
    pub easier_percent: Option<f64>,
    /// Largest step from cog to cog, percent.
    pub step_percent: Option<f64>,
    /// Its gears.
    pub gears: Gears,
    /// How far the hands move, millimetres; unknown where it cannot be told.
    pub hands_mm: Option<f64>,
    /// Grams more than the parts that they replace; unknown where one of them was not weighed.
    pub heavier_g: Option<f64>,
    /// What it makes of the customer's ride, where that is an aim.
    pub on_ride: Option<OnRide>,
    /// Minutes of labour, as far as the shop named them.
    pub minutes: u32,
    /// The worst verdict.
    pub verdict: Verdict,
    /// Everything that was found.
    pub findings: Vec<Finding>,
    /// The chains of dependence that it pulls.
    pub pulls: Vec<Coupling>,
}

/// The gears of a set: pairs of ring and cog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gears {
    /// All of them.
    pub all: usize,
    /// Those to be avoided: the chain rubs on the next ring, or hangs.
    pub avoided: usize,
    /// Whether both could be worked out for every pair; if not, more may have to be avoided.
    pub all_known: bool,
}

impl Gears {
    fn of(pairs: &[Pair]) -> Self {
        let largest = pairs.iter().map(|pair| pair.ring).max();
        // On the largest ring there is no next one to rub on.
        let rub_known = |pair: &Pair| pair.rub_gap_mm.is_some() || Some(pair.ring) == largest;
        Self {
            all: pairs.len(),
            avoided: pairs.iter().filter(|pair| !pair.avoid().is_empty()).count(),
            all_known: pairs.iter().all(|pair| pair.slack_pitches.is_some() && rub_known(pair)),
        }
    }

    /// Those that are left.
    pub fn usable(self) -> usize {
        self.all - self.avoided
    }
}

impl Set {
    pub(crate) fn new(refit: &Refit, labour: &Labour, currency: Option<Money>, build: &Build) -> Self {
        let parts: Vec<Part> = build.choice.iter().collect();
        let findings = judge(build);
        let mut pulls: Vec<Coupling> =
            parts.iter().flat_map(|part| couplings(part.slot())).copied().collect();
        pulls.sort();
        pulls.dedup();
        let nothing = currency.and_then(|money| Money::new(0, money.currency()).ok());
        let known = |value: i64, unit: f64| (value < tables::UNKNOWN).then_some(value as f64 / unit);
        let rollout = [When::Before, When::After].map(|when| {
            matches!(build.reading(Slot::RearWheel, when, Dimension::Rollout), Reading::Taken(_))
        });
        let metres = |value| known(value, 1e6).filter(|_| rollout[1]);
        let before = Build::new(refit);
        let today = {
            let mut found = before.clone();
            refit.choice.iter().for_each(|part| found.swap(part.slot(), None));
            known(tables::lowest(&found), 1e6)
        };
        let (lowest, comparable) = (known(tables::lowest(build), 1e6), rollout[0] == rollout[1]);
        let easier = today.zip(lowest).filter(|_| comparable);
        let heavier = parts.iter().try_fold(0.0, |sum, part| {
            let found = refit.bike.get(part.slot()).and_then(|found| found.mass());
            (found.is_some() && part.mass().is_some()).then(|| sum + heavier_mg(found, part) as f64 / 1000.0)
        });
        Self {
            price: parts.iter().try_fold(nothing, |sum, part| Some(sum?.plus(part.price()?).ok())).flatten(),
            days: parts.iter().map(Part::lead_days).try_fold(0, |most, days| days.map(|days| most.max(days))),
            lowest_m: metres(tables::lowest(build)),
            highest_m: metres(tables::highest(build)),
            easier_percent: easier.map(|(old, new)| mechanics::gears::easier_percent(old, new)),
            step_percent: known(tables::step(build), 1000.0),
            gears: Gears::of(&pairs(build, When::After)),
            hands_mm: known(tables::hands(build), 100.0),
            heavier_g: heavier,
            on_ride: None,
            minutes: parts.iter().filter_map(|part| labour.minutes.get(&part.slot())).sum(),
            verdict: worst(&findings),
            findings,
            pulls,
            parts,
        }
    }

    /// The keys of its parts; names where a part has no key.
    pub fn keys(&self) -> Vec<String> {
        self.parts.iter().map(|part| part.id().unwrap_or(part.name()).to_owned()).collect()
    }

    /// How many findings have a verdict.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.findings.iter().filter(|finding| finding.verdict == verdict).count()
    }

    /// How much is open: a marginal verdict counts as three that wait for a measurement.
    pub fn open(&self) -> usize {
        tables::MARGINAL_WEIGHS as usize * self.count(Verdict::Marginal) + self.count(Verdict::Measure)
    }

    /// Verdicts of which the customer has to be told, or for which something is to be measured.
    pub fn doubts(&self) -> usize {
        self.count(Verdict::Marginal) + self.count(Verdict::Measure)
    }

    /// The chains of dependence that it leaves alone.
    pub fn leaves_alone(&self) -> Vec<Coupling> {
        let chain = |coupling: &&Coupling| !matches!(coupling, Coupling::Wish | Coupling::Record);
        Coupling::ALL
            .iter()
            .filter(chain)
            .filter(|coupling| !self.pulls.contains(coupling))
            .copied()
            .collect()
    }
}
