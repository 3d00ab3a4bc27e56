//! Sets of rings and cassette of the catalogue on the ride. Begin with [`RideCase::rank`].

use super::{OnRide, RideCase, cost_min, gears};
use crate::build::{Build, When};
use crate::finding::Verdict;
use crate::heal::heal;
use crate::judge::judge;
use crate::pairs::pairs;
use catalog::{Catalogue, Part, Slot};
use mechanics::ride::shifting::ridden;

/// So many of the cheapest sets are judged by the rules of fit.
pub const MOST_JUDGED: usize = 80;

/// A set of the catalogue on the ride.
#[derive(Clone, Debug)]
pub struct RankedSet {
    /// The parts put in, in place of what the refit has.
    pub parts: Vec<Part>,
    /// What it makes of the ride.
    pub on_ride: OnRide,
    /// Rules that fail with it and not without it.
    pub brings: Vec<&'static str>,
}

impl RideCase {
    /// All sets of rings and cassette of the catalogue with as many cogs as the refit has, cheapest first.
    ///
    /// Sets with the same gears are one. The cheapest [`MOST_JUDGED`] are judged, and `most` given: those with which nothing
    /// new fails, and where there are fewer also others, with the names of the rules. Nothing is given where the gears after
    /// the refit are not known.
    pub fn rank(&self, build: &Build, catalogue: &Catalogue, most: usize) -> Vec<RankedSet> {
        let cogs = |build: &Build| crate::pairs::teeth(build, When::After, catalog::Dimension::Cogs).len();
        let wanted = cogs(build);
        let mut sets: Vec<(f64, Vec<Part>, f64)> = Vec::new();
        let mut seen: Vec<Vec<u64>> = Vec::new();
        let cranksets = catalogue.for_slot(Slot::Crankset).chain(catalogue.for_slot(Slot::Chainrings));
        let rings: Vec<Option<&Part>> = std::iter::once(None).chain(cranksets.map(Some)).collect();
        for cassette in catalogue.for_slot(Slot::Cassette) {
            let with_cassette = build.with(cassette.clone());
            if cogs(&with_cassette) != wanted {
                continue;
            }
            for ring in &rings {
                let with_both = ring.map(|ring| with_cassette.with(ring.clone()));
                let Some(gears) = gears(&pairs(with_both.as_ref().unwrap_or(&with_cassette), When::After))
                else {
                    continue;
                };
                let key: Vec<u64> = gears.iter().map(|gear| gear.development_m.to_bits()).collect();
                if seen.contains(&key) {
                    continue;
                }
                seen.push(key);
                let cost = self.courses.first().map(|course| cost_min(&ridden(course, &gears, self.habit)));
                let parts = ring.iter().copied().chain([cassette]).cloned().collect();
                let lowest = gears.iter().map(|gear| gear.development_m).fold(f64::INFINITY, f64::min);
                sets.push((cost.unwrap_or(f64::INFINITY), parts, lowest));
            }
        }
        // Of two that cost the same, the one with the easier lowest gear.
        sets.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.2.total_cmp(&other.2)));
        let judged: Vec<RankedSet> = sets
            .into_iter()
            .take(MOST_JUDGED)
            .filter_map(|(_, parts, _)| self.judged(build, parts, catalogue))
            .collect();
        let holding = judged.iter().filter(|set| set.brings.is_empty()).count();
        let mut failing = most.saturating_sub(holding);
        // Those that hold come first to the list; where there are few, the cheapest that do not fill it.
        let mut keeps = |set: &RankedSet| {
            set.brings.is_empty() || {
                let has_room = failing > 0;
                failing = failing.saturating_sub(1);
                has_room
            }
        };
        judged.into_iter().filter(|set| keeps(set)).take(most).collect()
    }

    /// A set of parts put into the refit, on the ride and judged; `None` where its gears are not known.
    ///
    /// What comes as a matter of course with the parts, such as a chain, is put in too.
    pub fn judged(&self, build: &Build, parts: Vec<Part>, catalogue: &Catalogue) -> Option<RankedSet> {
        let failing = |build: &Build| -> Vec<&'static str> {
            let findings = judge(build);
            findings.iter().filter(|f| f.verdict >= Verdict::Fails).map(|f| f.rule.id).collect()
        };
        let before = failing(build);
        let trial = parts.iter().fold(build.clone(), |build, part| build.with(part.clone()));
        let on_ride = self.on_bike(&trial, When::After)?;
        let (trial, _) = heal(&trial, catalogue);
        let brings = failing(&trial).into_iter().filter(|id| !before.contains(id)).collect();
        Some(RankedSet { parts, on_ride, brings })
    }
}
