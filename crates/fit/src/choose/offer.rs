//! Leave it, good, better, best: picked from all sets that nothing beats by a rule that is printed.

use crate::choose::set::Set;
use crate::finding::Verdict;
use crate::set_wish::AimName;
use quantity::Money;
use std::cmp::Ordering;

/// The rule, for the sheet.
pub const RULE_OF_OFFERS: &str = "good pulls the fewest chains of dependence with the fewest new parts; better has the \
    least open, a marginal verdict counting as three to be measured; best has the most of what is wished beside the \
    price, with no more marginal verdicts than better: the easiest lowest gear unless the wish names another aim; of \
    equals the one with less open, then the cheaper";

/// One offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The fewest chains of dependence, with the fewest new parts.
    pub good: bool,
    /// The least open.
    pub better: bool,
    /// The most of what is wished, with no more marginal verdicts than the better one.
    pub best: bool,
    /// The set, by its place.
    pub set: usize,
}

impl Offer {
    /// Its name: several where one set is the answer to several.
    pub fn words(&self) -> String {
        let names = [(self.good, "good"), (self.better, "better"), (self.best, "best")];
        let names: Vec<&str> = names.iter().filter(|(is, _)| *is).map(|(_, name)| *name).collect();
        names.join(" and ")
    }
}

/// The offers, and the bike as it would stay.
#[derive(Clone, Debug)]
pub struct Offers {
    /// Nothing changes but what was chosen already.
    pub leave: Set,
    /// The others, good first; a set that answers to several names stands once.
    pub offers: Vec<Offer>,
}

/// Picks the offers among the sets that may be offered.
pub(crate) fn pick(sets: &[Set], aims: &[AimName], allowed: &dyn Fn(usize) -> bool) -> Vec<Offer> {
    let best_by = |among: &dyn Fn(&Set) -> bool, key: &dyn Fn(&Set, &Set) -> Ordering| {
        let order = |a: &usize, b: &usize| key(&sets[*a], &sets[*b]).then(a.cmp(b));
        (0..sets.len()).filter(|set| allowed(*set) && among(&sets[*set])).min_by(order)
    };
    let price = |set: &Set| set.price.map_or(i64::MAX, Money::minor);
    let less_open = |a: &Set, b: &Set| a.open().cmp(&b.open()).then_with(|| price(a).cmp(&price(b)));
    let pulls = |set: &Set| (set.pulls.len(), set.parts.len());
    let good = best_by(&|_| true, &|a, b| pulls(a).cmp(&pulls(b)).then_with(|| less_open(a, b)));
    let better = best_by(&|_| true, &less_open);
    let aim = aims.iter().copied().find(|aim| *aim != AimName::Price).unwrap_or(AimName::Lowest);
    let marginal = |set: &Set| set.count(Verdict::Marginal);
    let most = better.map_or(0, |better| marginal(&sets[better]));
    let best = best_by(&|set| marginal(set) <= most, &|a, b| {
        aimed(a, aim).total_cmp(&aimed(b, aim)).then_with(|| less_open(a, b))
    });
    let mut offers: Vec<Offer> = Vec::new();
    for set in [good, better, best].into_iter().flatten() {
        if !offers.iter().any(|offer| offer.set == set) {
            let is = |other: Option<usize>| other == Some(set);
            offers.push(Offer { good: is(good), better: is(better), best: is(best), set });
        }
    }
    offers
}

/// What a set makes of an aim, less is better; what is not known is the worst.
fn aimed(set: &Set, aim: AimName) -> f64 {
    let known = |value: Option<f64>| value.unwrap_or(f64::INFINITY);
    match aim {
        AimName::Price => known(set.price.map(|price| price.minor() as f64)),
        AimName::Lowest => known(set.easier_percent.map(|easier| -easier)),
        AimName::Step => known(set.step_percent),
        AimName::Weight => known(set.heavier_g),
        AimName::Minutes => f64::from(set.minutes),
        // The cost in the middle of what is known of power and mass.
        AimName::Ride => known(set.on_ride.as_ref().and_then(|ride| ride.costs_min().first().copied())),
    }
}
