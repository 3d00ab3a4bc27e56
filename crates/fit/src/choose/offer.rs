//! Leave it, good, better, best: picked from all sets that nothing beats by a rule that is printed.

use crate::choose::set::Set;
use crate::set_wish::AimName;
use quantity::Money;
use std::cmp::Ordering;

/// The rule, for the sheet.
pub const RULE_OF_OFFERS: &str = "good pulls the fewest chains of dependence; better has the fewest marginal verdicts, \
    then the fewest to be measured; best has the fewest marginal verdicts and of these the most of what is wished \
    beside the price, which is the easiest lowest gear unless the wish names another aim; of equals the one with fewer \
    marginal verdicts, then the cheaper";

/// One offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The fewest chains of dependence.
    pub good: bool,
    /// The fewest open verdicts.
    pub better: bool,
    /// The most of what is wished, with the fewest marginal verdicts.
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
    let best_by = |key: &dyn Fn(&Set, &Set) -> Ordering| {
        let order = |a: &usize, b: &usize| key(&sets[*a], &sets[*b]).then(a.cmp(b));
        (0..sets.len()).filter(|set| allowed(*set)).min_by(order)
    };
    let price = |set: &Set| set.price.map_or(i64::MAX, Money::minor);
    let cheaper = |a: &Set, b: &Set| price(a).cmp(&price(b)).then_with(|| a.open().cmp(&b.open()));
    let marginal = |a: &Set, b: &Set| a.open().0.cmp(&b.open().0);
    let aim = aims.iter().copied().find(|aim| *aim != AimName::Price).unwrap_or(AimName::Lowest);
    let by_aim = |a: &Set, b: &Set| aimed(a, aim).total_cmp(&aimed(b, aim));
    let good = best_by(&|a, b| {
        a.pulls.len().cmp(&b.pulls.len()).then_with(|| marginal(a, b)).then_with(|| cheaper(a, b))
    });
    let better = best_by(&|a, b| a.open().cmp(&b.open()).then_with(|| cheaper(a, b)));
    let best = best_by(&|a, b| marginal(a, b).then_with(|| by_aim(a, b)).then_with(|| cheaper(a, b)));
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
    }
}
