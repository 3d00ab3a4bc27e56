//! Ways out of a verdict: parts of the catalogue are put in and the whole bike is judged again.
//!
//! A cure may pull others with it: if a swap makes another rule fail, one more part is exchanged to mend it.
//! For each set of exchanged slots and number of cogs the best cure is kept; the list is ranked by whether the
//! wish stays whole, then by money, then by days.

use crate::build::{Build, When};
use crate::finding::{Act, Cure, Finding, Number, Verdict};
use crate::heal::{Added, Merit, heal};
use crate::judge::judge_by;
use crate::pairs;
use crate::rule::{Coupling, Rule};
use crate::rules::cage_ground::cage_order;
use crate::rules::{RULES, index};
use catalog::{Catalogue, Dimension, Part, Slot};
use quantity::{Money, Span};
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// How many more parts may be exchanged to mend what a swap breaks. One: whole sets of another number of cogs are
/// tried by themselves, and a second mend found no cure more in any case but doubled the time.
const MENDS: usize = 1;
/// Cures shown for one finding that keep the wish whole.
const SHOWN: usize = 4;
/// And of those that give up part of it.
const SHOWN_LESS: usize = 2;
/// Parts with the same gears that are tried.
const ALIKE: usize = 2;
/// Cassettes of each other number of cogs that are tried as whole sets: the nearest to the wished lowest gear.
const SETS: usize = 2;

/// A finding's cures among the parts of a catalogue, best first, before those that the rule itself named.
pub fn cures(build: &Build, base: &[Finding], finding: &Finding, catalogue: &Catalogue) -> Vec<Cure> {
    let before = Base { findings: base, lowest: lowest(build, When::After), cogs: cogs(build) };
    // What already works in practice is not rebuilt for a doubt: one part may be exchanged, the wish stays whole.
    let doubt = finding.verdict == Verdict::Marginal;
    let mends = if doubt { 0 } else { MENDS };
    let mut kept = Kept { best: BTreeMap::new(), before: &before };
    for slot in swappable(finding.rule, build) {
        let mut trials: Vec<(Gears, Build)> = Vec::new();
        for part in candidates(catalogue, *slot) {
            if build.after.get(*slot).is_some_and(|now| now.id().is_some() && now.id() == part.id()) {
                continue;
            }
            let trial = build.with(part.clone());
            if is_better(finding, &trial) && (!doubt || cogs(&trial) == before.cogs) {
                trials.push((Gears::of(&trial), trial));
            }
        }
        if matches!(slot, Slot::Cassette | Slot::Crankset | Slot::Chainrings) {
            keep_cheapest_alike(&mut trials, *slot);
        }
        for (_, trial) in trials {
            kept.extend(mend(trial, vec![*slot], &before, catalogue, mends));
        }
    }
    if !doubt && finding.rule.cured_by.contains(&Slot::Cassette) {
        kept.extend(other_speeds(build, finding, &before, catalogue));
    }
    let mut found: Vec<((usize, u8), Cure)> = kept
        .best
        .into_values()
        .filter_map(|trial| {
            let cogs_off = cogs(&trial.build).abs_diff(before.cogs);
            let off = (cogs_off, cage_order(&trial.build));
            Some((off, trial.into_cure(build, finding.rule, &before)?))
        })
        .filter(|(_, cure)| !doubt || cure.keeps_wish)
        .collect();
    found.sort_by_key(|(off, cure)| rank(cure, *off));
    let (mut whole, mut less) = (SHOWN, SHOWN_LESS);
    found.retain(|(_, cure)| {
        let left = if cure.keeps_wish { &mut whole } else { &mut less };
        let shown = *left > 0;
        *left = left.saturating_sub(1);
        shown
    });
    found.into_iter().map(|(_, cure)| cure).chain(finding.cures.iter().cloned()).collect()
}

/// What tells two builds apart for a rider: the number of cogs and the lowest gear, to a thousandth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Gears(usize, i64);

impl Gears {
    fn of(build: &Build) -> Self {
        let lowest = lowest(build, When::After).map_or(0, |ratio| (ratio * 1000.0).round() as i64);
        Self(cogs(build), lowest)
    }
}

/// Of parts that give the same gears the cheapest few are tried: arm lengths and names differ, the cure does not.
fn keep_cheapest_alike(trials: &mut Vec<(Gears, Build)>, slot: Slot) {
    let price =
        |build: &Build| build.choice.get(slot).and_then(|part| part.price()).map_or(i64::MAX, Money::minor);
    trials.sort_by_key(|(gears, build)| (*gears, price(build)));
    let mut last: Option<Gears> = None;
    let mut alike = 0;
    trials.retain(|(gears, _)| {
        alike = if last == Some(*gears) { alike + 1 } else { 0 };
        last = Some(*gears);
        alike < ALIKE
    });
}

/// The slots whose exchange may cure a rule. Shifting stays where it is: levers are not cured by shifters for
/// another kind of bar, nor the other way round.
fn swappable<'a>(rule: &'static Rule, build: &'a Build) -> impl Iterator<Item = &'static Slot> + use<'a> {
    let shifting = build.shifting_slot(When::After);
    rule.cured_by
        .iter()
        .filter(move |slot| !matches!(slot, Slot::Levers | Slot::Shifters) || **slot == shifting)
}

/// The parts that may be tried in a slot: levers that only brake are no cure where levers shift.
fn candidates(catalogue: &Catalogue, slot: Slot) -> impl Iterator<Item = &Part> {
    let shifts = |part: &Part| {
        part.get(Dimension::ShiftPositions).is_some_and(|positions| positions.taken().is_some())
    };
    catalogue.for_slot(slot).filter(move |part| slot != Slot::Levers || shifts(part))
}

/// Whether a build heals a finding, or at least turns a failure into something to measure.
fn is_better(finding: &Finding, trial: &Build) -> bool {
    let limit = if finding.verdict == Verdict::Marginal { Verdict::Marginal } else { Verdict::Fails };
    judge_by(finding.rule, trial).is_some_and(|cured| cured.verdict < limit)
}

/// The best trial for each set of exchanged slots and number of cogs.
struct Kept<'a> {
    best: BTreeMap<(Vec<Slot>, usize), Trial>,
    before: &'a Base<'a>,
}

impl Kept<'_> {
    fn extend(&mut self, trials: impl IntoIterator<Item = Trial>) {
        trials.into_iter().for_each(|trial| self.offer(trial));
    }

    fn offer(&mut self, trial: Trial) {
        let key = (trial.swapped.clone(), cogs(&trial.build));
        match self.best.get(&key) {
            Some(kept) if kept.compare(&trial, self.before) != Ordering::Greater => {}
            _ => {
                self.best.insert(key, trial);
            }
        }
    }
}

/// Whole sets of another number of cogs: cassette, shifting and derailleur that are made for each other.
fn other_speeds(build: &Build, finding: &Finding, before: &Base<'_>, catalogue: &Catalogue) -> Vec<Trial> {
    let slot = build.shifting_slot(When::After);
    let index = |trial: &Build| judge_by(&index::RULE, trial).map(|finding| finding.verdict);
    let mut by_cogs: BTreeMap<usize, Vec<(f64, Build)>> = BTreeMap::new();
    for cassette in catalogue.for_slot(Slot::Cassette) {
        let trial = build.with(cassette.clone());
        if cogs(&trial) != before.cogs && is_better(finding, &trial) {
            let shift = gear_shift(before, &trial);
            by_cogs.entry(cogs(&trial)).or_default().push((shift, trial));
        }
    }
    let mut found = Vec::new();
    for cassettes in by_cogs.values_mut() {
        cassettes.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, with_cassette) in cassettes.iter().take(SETS) {
            for shifting in candidates(catalogue, slot) {
                let with_shifting = with_cassette.with(shifting.clone());
                let positions = pairs::whole(&with_shifting, When::After, Dimension::ShiftPositions);
                if positions != u32::try_from(cogs(&with_shifting)).ok() {
                    continue;
                }
                for derailleur in candidates(catalogue, Slot::RearDerailleur) {
                    let trial = with_shifting.with(derailleur.clone());
                    if index(&trial) == Some(Verdict::Works) {
                        let swapped = vec![Slot::Cassette, slot, Slot::RearDerailleur];
                        found.extend(mend(trial, swapped, before, catalogue, 1));
                    }
                }
            }
        }
    }
    found
}

/// What a trial is compared with.
struct Base<'a> {
    findings: &'a [Finding],
    lowest: Option<f64>,
    cogs: usize,
}

impl Base<'_> {
    fn verdict(&self, rule: &Rule) -> Verdict {
        self.findings.iter().find(|f| f.rule.id == rule.id).map_or(Verdict::Works, |f| f.verdict)
    }
}

struct Trial {
    build: Build,
    swapped: Vec<Slot>,
    added: Vec<Added>,
    findings: Vec<Finding>,
}

impl Trial {
    /// Less is better: no new failures, a lowest gear near to the wished one, fewer doubts, the lower price.
    fn compare(&self, other: &Self, before: &Base<'_>) -> Ordering {
        let (a, b) =
            (Merit::of_judged(&self.build, &self.findings), Merit::of_judged(&other.build, &other.findings));
        a.bad[0]
            .cmp(&b.bad[0])
            .then_with(|| gear_shift(before, &self.build).total_cmp(&gear_shift(before, &other.build)))
            .then_with(|| cage_order(&self.build).cmp(&cage_order(&other.build)))
            .then_with(|| a.total_cmp(&b))
    }

    fn into_cure(self, build: &Build, rule: &'static Rule, before: &Base<'_>) -> Option<Cure> {
        let verdict = judge_by(rule, &self.build)?.verdict;
        let mut parts: Vec<Part> =
            self.swapped.iter().filter_map(|slot| self.build.choice.get(*slot)).collect();
        parts.extend(self.added.iter().filter(|a| !build.choice.has(a.part.slot())).map(|a| a.part.clone()));
        let brings: Vec<(&'static str, Verdict)> = self
            .findings
            .iter()
            .filter(|f| {
                f.rule.id != rule.id && f.verdict > Verdict::Remedy && f.verdict > before.verdict(f.rule)
            })
            .map(|f| (f.rule.id, f.verdict))
            .collect();
        let mut pulls: Vec<Coupling> =
            parts.iter().flat_map(|part| couplings(part.slot())).copied().collect();
        pulls.sort();
        pulls.dedup();
        let wish_kept = cogs(&self.build) == before.cogs
            && self
                .findings
                .iter()
                .all(|f| f.rule.coupling != Coupling::Wish || f.verdict <= before.verdict(f.rule));
        Some(Cure {
            price: price_change(build, &parts),
            days: parts.iter().map(Part::lead_days).try_fold(0, |most, days| days.map(|days| most.max(days))),
            numbers: outcome(build, &self.build, &self.findings),
            acts: parts.into_iter().map(Act::Fit).collect(),
            verdict,
            brings,
            pulls,
            keeps_wish: wish_kept,
        })
    }
}

/// How much harder the lowest gear is than the wished one, in half percents.
fn gear_shift(before: &Base<'_>, trial: &Build) -> f64 {
    match (before.lowest, lowest(trial, When::After)) {
        (Some(old), Some(new)) => ((new / old - 1.0).max(0.0) * 200.0).round(),
        _ => 0.0,
    }
}

/// Exchanges further parts until the swap breaks nothing that held before; `None` if that cannot be done.
fn mend(
    build: Build,
    swapped: Vec<Slot>,
    before: &Base<'_>,
    catalogue: &Catalogue,
    left: usize,
) -> Option<Trial> {
    let (healed, added) = heal(&build, catalogue);
    let breaks = |f: &Finding| f.verdict >= Verdict::Fails && before.verdict(f.rule) < Verdict::Fails;
    let mut findings = Vec::with_capacity(RULES.len());
    // The first rule that breaks ends the judging: nothing behind it changes what has to be mended.
    for finding in RULES.iter().filter_map(|rule| judge_by(rule, &healed)) {
        let done = breaks(&finding);
        findings.push(finding);
        if done {
            break;
        }
    }
    let Some(broken) = findings.iter().find(|finding| breaks(finding)) else {
        let mut swapped = swapped;
        swapped.sort();
        return Some(Trial { build: healed, swapped, added, findings });
    };
    if left == 0 {
        return None;
    }
    let rule = broken.rule;
    let mut best: Option<Trial> = None;
    for slot in swappable(rule, &build).filter(|slot| !swapped.contains(slot)) {
        for part in candidates(catalogue, *slot) {
            let trial = build.with(part.clone());
            // Sets of another number of cogs are tried as a whole elsewhere.
            let other_set = cogs(&trial) != cogs(&build);
            if other_set || judge_by(rule, &trial).is_none_or(|f| f.verdict >= Verdict::Fails) {
                continue;
            }
            let mut more = swapped.clone();
            more.push(*slot);
            // Only the cheapest way is followed: one mend is tried to its end before the next slot.
            if let Some(trial) = mend(trial, more, before, catalogue, left - 1)
                && best.as_ref().is_none_or(|kept| kept.compare(&trial, before) == Ordering::Greater)
            {
                best = Some(trial);
            }
        }
    }
    best
}

/// The wish kept first, then a number of cogs near to the wished one, on a small wheel the shorter cage, then money,
/// then days; the unknown last.
fn rank(cure: &Cure, off: (usize, u8)) -> (bool, (usize, u8), i64, u32, usize, usize) {
    let money = cure.price.map_or(i64::MAX, Money::minor);
    let days = cure.days.unwrap_or(u32::MAX);
    (!cure.keeps_wish, off, money, days, cure.brings.len(), cure.acts.len())
}

/// What the parts cost more than those they replace in the choice; unknown if any price is.
fn price_change(build: &Build, parts: &[Part]) -> Option<Money> {
    let mut change: Option<Money> = None;
    for part in parts {
        let price = part.price()?;
        let price = match build.choice.get(part.slot()) {
            Some(replaced) => price.minus(replaced.price()?).ok()?,
            None => price,
        };
        change = Some(match change {
            Some(sum) => sum.plus(price).ok()?,
            None => price,
        });
    }
    change
}

/// What the bike becomes with the cure: chain, capacity, gears, place of the front derailleur, index error.
fn outcome(build: &Build, cured: &Build, findings: &[Finding]) -> Vec<Number> {
    let mut numbers = Vec::new();
    let number = |rule: &str, name: &str| {
        findings.iter().find(|f| f.rule.id == rule).and_then(|f| f.number(name)).copied()
    };
    let id = |build: &Build, slot| build.choice.get(slot).and_then(|part| part.id().map(str::to_owned));
    let moved = |slots: &[Slot]| slots.iter().any(|slot| id(cured, *slot) != id(build, *slot));
    if moved(&[Slot::Cassette, Slot::Crankset, Slot::Chainrings, Slot::RearDerailleur]) {
        numbers.extend(number("chain-length", "with_spare"));
        numbers.extend(number("chain-length", "count"));
        numbers.extend(number("capacity", "needed").map(|n| Number { name: "capacity_needed", ..n }));
        if let (Some(old), Some(new)) = (lowest(build, When::Before), lowest(cured, When::After)) {
            let easier = mechanics::gears::easier_percent(old, new);
            numbers.push(Number::new("easier", Span::exact(easier), "%", 1));
        }
        let developments =
            || pairs::pairs(cured, When::After).into_iter().filter_map(|pair| pair.development_m);
        let metres = |name, m: Option<f64>| m.map(|m| Number::new(name, Span::exact(m), "m", 2));
        numbers.extend(metres("lowest", developments().min_by(f64::total_cmp)));
        numbers.extend(metres("highest", developments().max_by(f64::total_cmp)));
    }
    if moved(&[Slot::Crankset, Slot::Chainrings]) {
        let outer = |when| {
            pairs::teeth(if when == When::Before { build } else { cured }, when, Dimension::Rings)
                .into_iter()
                .max()
        };
        if let (Some(old), Some(new)) = (outer(When::Before), outer(When::After)) {
            let change_mm = mechanics::derailleur::bolt_height_change(old, new).to_mm();
            let name = if change_mm < 0.0 { "front_lower" } else { "front_higher" };
            numbers.push(Number::new(name, Span::exact(change_mm.abs()), "mm", 1));
        }
    }
    if moved(&[Slot::Levers, Slot::Shifters, Slot::RearDerailleur]) {
        numbers.extend(number("index", "end_error"));
    }
    numbers
}

fn cogs(build: &Build) -> usize {
    pairs::teeth(build, When::After, Dimension::Cogs).len()
}

fn lowest(build: &Build, when: When) -> Option<f64> {
    let ring = pairs::teeth(build, when, Dimension::Rings).into_iter().min()?;
    let cog = pairs::teeth(build, when, Dimension::Cogs).into_iter().max()?;
    Some(mechanics::gears::ratio(ring, cog))
}

/// The chains of dependence that a part belongs to.
pub fn couplings(slot: Slot) -> &'static [Coupling] {
    use Coupling::{Cogs, Front, Hands, Indexing, Reach, Stopping};
    match slot {
        Slot::Frame => &[],
        Slot::RearWheel => &[Cogs, Stopping],
        Slot::FrontWheel | Slot::Rotors => &[Stopping],
        Slot::Cassette => &[Cogs, Indexing, Reach],
        Slot::Chain => &[Indexing, Reach],
        Slot::Crankset | Slot::Chainrings => &[Reach, Front],
        Slot::BottomBracket | Slot::FrontDerailleur | Slot::Pedals => &[Front],
        Slot::RearDerailleur => &[Indexing, Reach],
        Slot::Levers => &[Indexing, Stopping, Hands],
        Slot::Shifters => &[Indexing],
        Slot::Calipers => &[Stopping],
        Slot::Bar | Slot::Stem | Slot::Headset | Slot::Tape | Slot::Seatpost => &[Hands],
        Slot::Cables => &[Indexing, Stopping],
    }
}
