//! Leave it, good, better, best: picked from all sets that nothing beats by a rule that is printed.

use crate::choose::set::Set;
use quantity::Money;
use std::cmp::Ordering;

/// The rule, for the sheet.
pub const RULE_OF_OFFERS: &str = "good pulls the fewest chains of dependence, better has the fewest open verdicts, \
    best has the easiest lowest gear; of equals the cheaper, then the one with fewer open verdicts";

/// One offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// What it is called: several names where one set is the answer to several.
    pub good: bool,
    /// The fewest open verdicts.
    pub better: bool,
    /// The easiest lowest gear.
    pub best: bool,
    /// The set, by its place.
    pub set: usize,
}

impl Offer {
    /// Its name.
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

impl Offers {
    pub(crate) fn of(leave: Set, sets: &[Set]) -> Self {
        let best_by = |key: &dyn Fn(&Set, &Set) -> Ordering| {
            (0..sets.len()).min_by(|a, b| key(&sets[*a], &sets[*b]).then(a.cmp(b)))
        };
        let price = |set: &Set| set.price.map_or(i64::MAX, Money::minor);
        let cheaper = |a: &Set, b: &Set| price(a).cmp(&price(b)).then(a.doubts().cmp(&b.doubts()));
        // A gear of which nothing is known is no easy gear.
        let lowest = |set: &Set| -set.easier_percent.unwrap_or(f64::NEG_INFINITY);
        let good = best_by(&|a, b| a.pulls.len().cmp(&b.pulls.len()).then_with(|| cheaper(a, b)));
        let better = best_by(&|a, b| a.doubts().cmp(&b.doubts()).then_with(|| cheaper(a, b)));
        let best = best_by(&|a, b| lowest(a).total_cmp(&lowest(b)).then_with(|| cheaper(a, b)));
        let mut offers: Vec<Offer> = Vec::new();
        for set in [good, better, best].into_iter().flatten() {
            if !offers.iter().any(|offer| offer.set == set) {
                let is = |other: Option<usize>| other == Some(set);
                offers.push(Offer { good: is(good), better: is(better), best: is(best), set });
            }
        }
        Self { leave, offers }
    }
}
