//! Parts that go on the list as a matter of course: the stem for a new bar, the chain for a larger cog.

use crate::build::Build;
use crate::finding::{Finding, Verdict};
use crate::judge::judge_by;
use crate::rule::Rule;
use crate::rules::RULES;
use catalog::{Catalogue, Part, Slot};

/// A part that was put on the list, and the rule that asked for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Added {
    /// The part.
    pub part: Part,
    /// The rule that fails without it.
    pub rule: &'static Rule,
}

/// Adds a part wherever a rule fails with what is on the bike and names the slot that heals it, unless the
/// customer chose that slot already.
pub fn heal(build: &Build, catalogue: &Catalogue) -> (Build, Vec<Added>) {
    let mut build = build.clone();
    let mut added = Vec::new();
    for rule in RULES {
        let Some(slot) = rule.heals.filter(|slot| !build.changes(*slot)) else { continue };
        let fails = |build: &Build| judge_by(rule, build).is_some_and(|f| f.verdict >= Verdict::Fails);
        if !fails(&build) {
            continue;
        }
        let healed = catalogue
            .for_slot(slot)
            .map(|part| (part, build.with(part.clone())))
            .filter(|(_, trial)| !fails(trial))
            .map(|(part, trial)| (Merit::in_slot(&trial, slot), part, trial))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, part, trial)| (part, trial));
        if let Some((part, trial)) = healed {
            added.push(Added { part: part.clone(), rule });
            build = trial;
        }
    }
    (build, added)
}

/// How good a build is, to choose between parts that all heal: fewer bad verdicts, then the hands nearest to
/// where they were, then the price.
#[derive(Clone, Copy, Debug)]
pub struct Merit {
    /// Failures, then values to measure, then marginal verdicts.
    pub bad: [u32; 3],
    /// How far the hands move, millimetres.
    pub hands_mm: f64,
    /// Price of the chosen parts in minor units; a part without a price counts as dear as can be.
    pub price_minor: f64,
}

impl Merit {
    /// The merit of a build among builds that differ in one slot only: the rules that the slot does not touch say
    /// the same of all of them.
    fn in_slot(build: &Build, slot: Slot) -> Self {
        let touched = RULES.iter().filter(|rule| rule.touches.is_empty() || rule.touches.contains(&slot));
        let findings: Vec<Finding> = touched.filter_map(|rule| judge_by(rule, build)).collect();
        Self::of_judged(build, &findings)
    }

    /// The merit of a build that is judged already.
    pub fn of_judged(build: &Build, findings: &[Finding]) -> Self {
        let count = |verdict| findings.iter().filter(|finding| finding.verdict == verdict).count() as u32;
        let refused = count(Verdict::Refused);
        let hands = findings.iter().find(|finding| finding.rule.id == "hand-position");
        let shift = |name| hands.and_then(|f| f.number(name)).map_or(0.0, |number| number.span.middle());
        let price =
            build.choice.iter().map(|part| part.price().map_or(1e12, |price| price.minor() as f64)).sum();
        Self {
            bad: [count(Verdict::Fails) + refused, count(Verdict::Measure), count(Verdict::Marginal)],
            hands_mm: shift("shift_x").hypot(shift("shift_y")),
            price_minor: price,
        }
    }

    /// Better is less. Hands are compared to the millimetre.
    pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.bad
            .cmp(&other.bad)
            .then_with(|| self.hands_mm.round().total_cmp(&other.hands_mm.round()))
            .then_with(|| self.price_minor.total_cmp(&other.price_minor))
    }
}
