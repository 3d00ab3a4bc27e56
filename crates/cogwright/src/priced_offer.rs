//! The offers of a choice with what the shop makes of them: price with the work, minutes, what is not in it.

use catalog::Catalogue;
use fit::choose::{Answer as Choice, Offer, with_set};
use fit::{OwnRule, Plan, Refit, plan_with};
use jiff::civil::Date;
use shop::{Answer, Circumstances, Estimate, Workshop, estimate};

/// Offers that pass the ceiling are left out and others picked, so often at most: each costs a plan and an estimate.
const ROUNDS: usize = 8;

/// An offer as the counter makes it.
#[derive(Debug)]
pub(crate) struct PricedOffer {
    /// The offer.
    pub offer: Offer,
    /// Its plan: what goes on by itself stands there.
    pub plan: Plan,
    /// The estimate; none where the shop's own rules stand against it or a sum cannot be made, with the reason.
    pub estimate: Result<Box<Estimate>, String>,
}

impl PricedOffer {
    /// Whether it cannot be offered: it has no estimate, or more than half of such jobs pass the ceiling that the customer
    /// named for parts and work together.
    fn is_out(&self, is_priced: bool) -> bool {
        match &self.estimate {
            Ok(estimate) => is_priced && estimate.ceiling.named && estimate.ceiling.of_hundred == 0,
            Err(_) => true,
        }
    }
}

/// What prices the work.
pub(crate) struct Counter<'a> {
    pub catalogue: &'a Catalogue,
    pub own_rules: &'a [OwnRule],
    pub shop: &'a Workshop,
    pub today: Date,
}

/// The offers of a choice with their prices, and how many sets were left out on the way: the shop's own rules stand against
/// them, or the whole job passes the ceiling.
///
/// Where every set that was tried is out, the first offers are returned all the same, each with what stands against it.
pub(crate) fn priced(
    refit: &Refit,
    choice: &Choice,
    counter: &Counter<'_>,
    is_priced: bool,
) -> (Vec<PricedOffer>, usize) {
    let mut out: Vec<usize> = Vec::new();
    let mut tried: Vec<PricedOffer> = Vec::new();
    for _ in 0..ROUNDS {
        let picked = choice.offers_among(&|set| !out.contains(&set));
        for offer in &picked {
            if tried.iter().all(|tried| tried.offer.set != offer.set) {
                tried.push(priced_offer(refit, choice, *offer, counter));
            }
        }
        let is_picked = |tried: &PricedOffer| picked.iter().any(|offer| offer.set == tried.offer.set);
        let more: Vec<usize> = tried
            .iter()
            .filter(|tried| is_picked(tried) && tried.is_out(is_priced))
            .map(|tried| tried.offer.set)
            .collect();
        if more.is_empty() && !picked.is_empty() {
            let priced = picked.iter().filter_map(|offer| {
                let at = tried.iter().position(|tried| tried.offer.set == offer.set)?;
                Some(PricedOffer { offer: *offer, ..tried.swap_remove(at) })
            });
            return (priced.collect(), out.len());
        }
        if picked.is_empty() {
            break;
        }
        out.extend(more);
    }
    tried.truncate(choice.offers.offers.len());
    (tried, out.len())
}

fn priced_offer(refit: &Refit, choice: &Choice, offer: Offer, counter: &Counter<'_>) -> PricedOffer {
    let chosen = with_set(refit, &choice.sets[offer.set]);
    let plan = plan_with(&chosen, counter.catalogue, counter.own_rules);
    let answer = estimate(&plan, counter.shop, Circumstances::default(), counter.today);
    let estimate = match answer {
        Ok(Answer::Estimate(estimate)) => Ok(estimate),
        Ok(Answer::None(none)) => Err(none.why),
        Err(problems) => {
            let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
            Err(problems.join("; "))
        }
    };
    PricedOffer { offer, plan, estimate }
}
