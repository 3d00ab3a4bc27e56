//! The answer to a wish as JSON: border types with a schema.

use crate::priced_offer::PricedOffer;
use fit::Coupling;
use fit::Verdict;
use fit::choose::{Answer, RULE_OF_OFFERS, Set, Waiting, WhyNot};
use fit::words::{steps, verdict_words};
use quantity::Money;
use schemars::JsonSchema;
use serde::Serialize;

/// Sets of parts for a wish.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ChoiceDocument {
    /// What the job is called.
    pub name: String,
    /// What was made small, in the order in which it is compared; open verdicts come last.
    pub aims: Vec<&'static str>,
    /// Whether the search ran to its end; if not, other sets may be missing and may beat these.
    pub complete: bool,
    /// Sets that hold, beaten ones and ones over a ceiling included.
    pub holding: u64,
    /// The rule by which the offers are picked.
    pub rule_of_offers: &'static str,
    /// The bike as it would stay.
    pub leave: SetDocument,
    /// The offers.
    pub offers: Vec<OfferDocument>,
    /// Every set that no other beats, cheapest first.
    pub sets: Vec<SetDocument>,
    /// Whether every set has a marginal verdict.
    pub only_marginal: bool,
    /// Why there is no set.
    pub why_not: Option<WhyNotDocument>,
    /// What changes in the answer with the other file, catalogue or value that was named.
    pub change: Option<ChangeDocument>,
    /// What the sets wait for, what settles most of them first.
    pub waiting: Vec<WaitingDocument>,
    /// Keys of parts left out because their price is unknown, which is not zero.
    pub unpriced: Vec<String>,
    /// Keys of parts left out because their mass is unknown.
    pub unweighed: Vec<String>,
}

/// An offer.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct OfferDocument {
    /// Good, better, best, or several of them.
    pub name: String,
    /// The place of its set among the sets.
    pub set: usize,
    /// Keys or names of parts that go on by themselves.
    pub added: Vec<String>,
    /// Price with work and small parts that half of all such jobs stay below, minor units; only with the shop's file.
    pub price_p50_minor: Option<i64>,
    /// And eight of ten.
    pub price_p80_minor: Option<i64>,
    /// Currency of these prices.
    pub price_currency: Option<String>,
    /// At least so many of a hundred such jobs stay below the ceiling that the customer named.
    pub below_ceiling_of_hundred: Option<u32>,
    /// What is not included.
    pub not_included: Vec<String>,
    /// Why it has no estimate.
    pub no_estimate: Option<String>,
}

/// What changes in an answer.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ChangeDocument {
    /// Sets that hold there.
    pub holding: u64,
    /// Sets that nothing beats here and that fall out there.
    pub fall_out: Vec<SetDocument>,
    /// Sets that come in there.
    pub come_in: Vec<SetDocument>,
    /// Why there is no set there.
    pub why_not: Option<WhyNotDocument>,
}

/// A set of parts.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SetDocument {
    /// Keys of the new parts.
    pub parts: Vec<String>,
    /// Price in minor units.
    pub price_minor: Option<i64>,
    /// Currency of the price.
    pub currency: Option<String>,
    /// Working days until every part is here.
    pub days: Option<u32>,
    /// Development of the lowest gear, metres.
    pub lowest_m: Option<f64>,
    /// Development of the highest gear, metres.
    pub highest_m: Option<f64>,
    /// How much easier the lowest gear is than today, percent.
    pub easier_percent: Option<f64>,
    /// Largest step from cog to cog, percent.
    pub step_percent: Option<f64>,
    /// Pairs of ring and cog.
    pub gears: usize,
    /// Those of them that are to be avoided, as far as known.
    pub gears_avoided: usize,
    /// Whether that could be worked out for every pair.
    pub gears_all_known: bool,
    /// How far the hands move, millimetres.
    pub hands_mm: Option<f64>,
    /// Grams more than the parts that they replace.
    pub heavier_g: Option<f64>,
    /// Cost of the customer's ride, minutes: as stated, least and most; where it is an aim.
    pub ride_cost_min: Option<(f64, f64, f64)>,
    /// Minutes of labour that its parts add, each by itself: shared steps count for each, so it is an upper limit.
    pub minutes: u32,
    /// The worst verdict.
    pub verdict: &'static str,
    /// Marginal verdicts.
    pub marginal: usize,
    /// Verdicts that wait for a measurement.
    pub measure: usize,
    /// Chains of dependence that it pulls.
    pub pulls: Vec<&'static str>,
    /// Chains of dependence that it leaves alone.
    pub leaves_alone: Vec<&'static str>,
}

/// Why there is no set.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct WhyNotDocument {
    /// Facts that cannot hold together; without any one of them the others can.
    pub conflict: Vec<BlameDocument>,
    /// What to give up, cheapest first.
    pub ways: Vec<WayDocument>,
    /// Whether it was searched to the end.
    pub complete: bool,
}

/// A fact of a conflict.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct BlameDocument {
    /// The fact.
    pub words: String,
    /// Where it is a rule: its verdict on the best set that keeps everything else.
    pub verdict: Option<&'static str>,
    /// And its reasons, with their numbers.
    pub because: Vec<String>,
}

/// A way out.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct WayDocument {
    /// What is given up.
    pub without: String,
    /// What is reached in its place, where it was a figure.
    pub reached: Option<String>,
    /// Price of the cheapest set that it opens, in minor units.
    pub price_minor: Option<i64>,
    /// Days until its parts are here.
    pub days: Option<u32>,
    /// Sets that it opens.
    pub sets: u64,
    /// Keys of the parts of the cheapest.
    pub parts: Vec<String>,
}

/// A value to take.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct WaitingDocument {
    /// The slot.
    pub slot: &'static str,
    /// The dimension.
    pub what: &'static str,
    /// Sets that wait for it.
    pub sets: usize,
    /// Sets that some answer rules out.
    pub may_rule_out: usize,
    /// Sets that some answer settles.
    pub may_settle: usize,
    /// Rules that wait for it.
    pub rules: Vec<&'static str>,
}

/// The words of chains.
pub(crate) fn chains(list: &[Coupling]) -> Vec<&'static str> {
    list.iter().map(|coupling| coupling.words()).collect()
}

impl SetDocument {
    fn of(set: &Set) -> Self {
        let tenth = |value: Option<f64>| value.map(|value| (value * 1000.0).round() / 1000.0);
        Self {
            parts: set.keys(),
            price_minor: set.price.map(Money::minor),
            currency: set.price.map(|price| price.currency().to_owned()),
            days: set.days,
            lowest_m: tenth(set.lowest_m),
            highest_m: tenth(set.highest_m),
            easier_percent: tenth(set.easier_percent),
            step_percent: tenth(set.step_percent),
            gears: set.gears.all,
            gears_avoided: set.gears.avoided,
            gears_all_known: set.gears.all_known,
            hands_mm: tenth(set.hands_mm),
            heavier_g: tenth(set.heavier_g),
            ride_cost_min: set.on_ride.as_ref().map(|on_ride| fit::ride::spread(on_ride.costs_min())),
            minutes: set.minutes,
            verdict: set.verdict.word(),
            marginal: set.count(Verdict::Marginal),
            measure: set.count(Verdict::Measure),
            pulls: chains(&set.pulls),
            leaves_alone: chains(&set.leaves_alone()),
        }
    }
}

impl OfferDocument {
    fn of(priced: &PricedOffer, is_priced: bool) -> Self {
        let estimate = priced.estimate.as_ref().ok();
        let money = estimate.filter(|_| is_priced);
        let named = money.map(|estimate| &estimate.ceiling).filter(|ceiling| ceiling.named);
        let keys =
            priced.plan.added.iter().map(|added| added.part.id().unwrap_or(added.part.name()).to_owned());
        Self {
            name: priced.offer.words(),
            set: priced.offer.set,
            added: keys.collect(),
            price_p50_minor: money.map(|estimate| estimate.price.p50.round() as i64),
            price_p80_minor: money.map(|estimate| estimate.price.p80.round() as i64),
            price_currency: money.map(|estimate| estimate.totals.payable.currency().to_owned()),
            below_ceiling_of_hundred: named.map(|ceiling| ceiling.of_hundred),
            not_included: estimate.map(|estimate| estimate.not_included.clone()).unwrap_or_default(),
            no_estimate: priced.estimate.as_ref().err().cloned(),
        }
    }
}

impl WhyNotDocument {
    fn of(why: &WhyNot) -> Self {
        Self {
            conflict: why
                .conflict
                .iter()
                .map(|blame| BlameDocument {
                    words: blame.words.clone(),
                    verdict: blame.finding.as_ref().map(|finding| verdict_words(finding.verdict)),
                    because: blame.finding.as_ref().map(steps).unwrap_or_default(),
                })
                .collect(),
            ways: why
                .ways
                .iter()
                .map(|way| WayDocument {
                    without: way.words.clone(),
                    reached: way.reached.clone(),
                    price_minor: way.price.map(Money::minor),
                    days: way.days,
                    sets: way.sets,
                    parts: way.parts.clone(),
                })
                .collect(),
            complete: why.complete,
        }
    }
}

impl ChoiceDocument {
    /// The answer to a wish with its offers; without the shop's file nothing is said of the price of the work.
    pub(crate) fn of(
        name: &str,
        answer: &Answer,
        waiting: &[Waiting],
        offers: &[PricedOffer],
        is_priced: bool,
    ) -> Self {
        Self {
            name: name.to_owned(),
            aims: answer.aims.iter().map(|aim| aim.word()).collect(),
            complete: answer.complete,
            holding: answer.count.sets,
            rule_of_offers: RULE_OF_OFFERS,
            leave: SetDocument::of(&answer.offers.leave),
            offers: offers.iter().map(|offer| OfferDocument::of(offer, is_priced)).collect(),
            sets: answer.sets.iter().map(SetDocument::of).collect(),
            only_marginal: answer.only_marginal,
            why_not: answer.why_not.as_ref().map(WhyNotDocument::of),
            change: None,
            waiting: waiting
                .iter()
                .map(|waiting| WaitingDocument {
                    slot: waiting.slot.words(),
                    what: waiting.dimension.row().words,
                    sets: waiting.sets,
                    may_rule_out: waiting.closes,
                    may_settle: waiting.settles,
                    rules: waiting.rules.clone(),
                })
                .collect(),
            unpriced: answer.left_out.unpriced.clone(),
            unweighed: answer.left_out.unweighed.clone(),
        }
    }

    /// With what changes from one answer to another.
    pub(crate) fn with_change(self, answers: Option<(&Answer, &Answer)>) -> Self {
        let change = answers.map(|(here, there)| {
            let (gone, come) = here.differences(there);
            ChangeDocument {
                holding: there.count.sets,
                fall_out: gone.iter().map(|at| SetDocument::of(&here.sets[*at])).collect(),
                come_in: come.iter().map(|at| SetDocument::of(&there.sets[*at])).collect(),
                why_not: there.why_not.as_ref().map(WhyNotDocument::of),
            }
        });
        Self { change, ..self }
    }
}
