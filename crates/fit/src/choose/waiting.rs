//! What the sets wait for, and how many of them an answer may rule out or settle.

use crate::answers::explain;
use crate::build::{Build, Origin};
use crate::choose::answer::{Answer, with_set};
use crate::finding::{Finding, Verdict};
use crate::refit::Refit;
use catalog::{Dimension, Slot};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// A value that nobody has taken, and what it would change.
///
/// An unknown rules no set out, so measuring opens none: it rules out or settles.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// The slot.
    pub slot: Slot,
    /// On the bike or on a new part.
    pub origin: Origin,
    /// The dimension.
    pub dimension: Dimension,
    /// Sets that wait for it.
    pub sets: usize,
    /// Sets that some answer rules out, whatever else is found.
    pub closes: usize,
    /// Sets of which some answer settles every verdict that waits for this value alone.
    pub settles: usize,
    /// Rules that wait for it, in any of the sets.
    pub rules: Vec<&'static str>,
}

/// What the sets of an answer wait for: what may rule out or settle most of them first.
///
/// For each verdict that waits for one value alone every answer is tried, so this takes longer than the search itself
/// where there are hundreds of sets.
pub fn waiting(refit: &Refit, answer: &Answer) -> Vec<Waiting> {
    let mut waits = Waits::default();
    for set in &answer.sets {
        waits.add(&Build::new(&with_set(refit, set)), &set.findings);
    }
    waits.sorted()
}

/// What waits, gathered set by set.
#[derive(Debug, Default)]
struct Waits {
    all: BTreeMap<(Slot, Origin, Dimension), Waiting>,
}

/// What one set says of one value.
#[derive(Clone, Copy, Debug)]
struct Said {
    closes: bool,
    settles: bool,
}

impl Waits {
    /// Adds what one set waits for.
    fn add(&mut self, build: &Build, findings: &[Finding]) {
        let mut said: BTreeMap<(Slot, Origin, Dimension), Said> = BTreeMap::new();
        for finding in findings.iter().filter(|finding| finding.verdict == Verdict::Measure) {
            let mut finding = finding.clone();
            explain(build, &mut finding);
            for missing in &finding.missing {
                let key = (missing.slot, missing.origin, missing.dimension);
                let some =
                    |may: fn(Verdict) -> bool| missing.answers.iter().any(|answer| may(answer.verdict));
                let now = Said {
                    closes: some(|verdict| verdict >= Verdict::Fails),
                    settles: some(|verdict| verdict <= Verdict::Remedy),
                };
                // One rule is enough to rule a set out; to settle it all that wait have to be content.
                said.entry(key)
                    .and_modify(|before| {
                        before.closes |= now.closes;
                        before.settles &= now.settles;
                    })
                    .or_insert(now);
                let (slot, origin, dimension) = key;
                let none =
                    Waiting { slot, origin, dimension, sets: 0, closes: 0, settles: 0, rules: Vec::new() };
                let waiting = self.all.entry(key).or_insert(none);
                if !waiting.rules.contains(&finding.rule.id) {
                    waiting.rules.push(finding.rule.id);
                }
            }
        }
        for (key, said) in said {
            if let Some(waiting) = self.all.get_mut(&key) {
                waiting.sets += 1;
                waiting.closes += usize::from(said.closes);
                waiting.settles += usize::from(said.settles);
            }
        }
    }

    /// What may rule out most sets first, then what may settle most, then what most wait for.
    fn sorted(self) -> Vec<Waiting> {
        let mut all: Vec<Waiting> = self.all.into_values().collect();
        all.sort_by_key(|w| (Reverse((w.closes + w.settles, w.sets, w.rules.len())), w.slot, w.dimension));
        all
    }
}
