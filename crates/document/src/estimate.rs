//! The estimate, in the order in which it is read, with the order of work and the day.

use crate::money::{MoneyDocument, PriceLineDocument, TotalsDocument};
use crate::option::{NoOptionDocument, OptionDocument};
use crate::order::{MinutesDocument, StepDocument};
use crate::promise::PromiseDocument;
use schemars::JsonSchema;
use serde::Serialize;
use shop::{Answer, Desk, Estimate, NoEstimate, Outlook, SafetyItem, Said, Standing};

/// What comes of a plan at the desk.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EstimateDocument {
    /// What the job is called.
    pub name: String,
    /// The verdict of the plan.
    pub verdict: &'static str,
    /// The shop.
    pub shop: String,
    /// The day on which it was made.
    pub made: String,
    /// The estimate; null if there is none.
    pub estimate: Option<QuoteDocument>,
    /// Why there is none; null if there is one.
    pub none: Option<NoneDocument>,
    /// The order of work; empty if no bolt moves.
    pub order: Vec<StepDocument>,
    /// The day; null if there is none.
    pub promise: Option<PromiseDocument>,
    /// Why there is no day; null if there is one.
    pub no_day: Option<String>,
    /// The day that it would be if what is open turned out well; null if a day is promised or none could be.
    pub provisional: Option<PromiseDocument>,
    /// The options, leaving it first.
    pub options: Vec<OptionDocument>,
    /// Options that are not offered, with the reason.
    pub no_options: Vec<NoOptionDocument>,
}

/// An estimate.
#[derive(Debug, Serialize, JsonSchema)]
pub struct QuoteDocument {
    /// Version, from 1.
    pub version: u32,
    /// The day until which it holds.
    pub holds_until: String,
    /// Whether it may be signed, in words.
    pub signable: &'static str,
    /// What the customer told.
    pub told: Option<String>,
    /// What was found that matters.
    pub found: Vec<String>,
    /// What the wish pulls.
    pub pulls: Vec<&'static str>,
    /// What it leaves alone.
    pub leaves: Vec<&'static str>,
    /// The work.
    pub labour: LabourDocument,
    /// The lines.
    pub lines: Vec<PriceLineDocument>,
    /// Parts whose price is not known; the sums are without them.
    pub unpriced: Vec<String>,
    /// The sums.
    pub totals: TotalsDocument,
    /// Whether sums are shown `net` or `gross`.
    pub shown: &'static str,
    /// What would be cheap to do now.
    pub while_apart: Vec<OfferDocument>,
    /// The risks of this bike.
    pub risks: Vec<RiskDocument>,
    /// Minutes at 50, 80 and 95 percent.
    pub minutes: OutlookDocument,
    /// Price at 50, 80 and 95 percent, minor units.
    pub price: OutlookDocument,
    /// The price if nothing had been looked at; null if looking has settled nothing.
    pub price_untried: Option<OutlookDocument>,
    /// What is not passed without a word.
    pub ceiling: CeilingDocument,
    /// What is asked for in advance.
    pub deposit: Option<AdvanceDocument>,
    /// What is not in it.
    pub not_included: Vec<String>,
    /// What is said, by rule and version.
    pub said: Vec<SaidDocument>,
    /// What concerns the rider's safety: each is signed for by itself if it is declined.
    pub safety: Vec<SafetyDocument>,
    /// Cautions.
    pub cautions: Vec<&'static str>,
}

/// The work of an estimate.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LabourDocument {
    /// Steps, each counted once.
    pub steps: usize,
    /// All of it, extras included.
    pub total: MinutesDocument,
    /// The same lines as jobs of their own.
    pub sum_of_lines: MinutesDocument,
    /// Minutes that counting once saves.
    pub saved: u32,
    /// What this bike adds, by name.
    pub extras: Vec<String>,
}

/// A further operation while the bike is apart.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OfferDocument {
    /// Its key.
    pub operation: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// Minutes now.
    pub now_minutes: u32,
    /// Minutes as a job of its own.
    pub later_minutes: u32,
    /// Labour now, without parts.
    pub now: MoneyDocument,
    /// Labour later.
    pub later: MoneyDocument,
}

/// A risk on this bike.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RiskDocument {
    /// Its key.
    pub id: String,
    /// In words.
    pub words: String,
    /// open, spared or certain.
    pub standing: &'static str,
    /// The chance, with the shop's own record.
    pub chance: f64,
    /// Minutes, with the shop's own record.
    pub minutes: f64,
    /// Jobs that the shop has counted.
    pub jobs: u32,
    /// Of these, jobs in which it happened.
    pub events: u32,
    /// What it would cost.
    pub price: MoneyDocument,
    /// By how much it raises the 80 percent price.
    pub moves_p80: MoneyDocument,
    /// Where the figures come from.
    pub source: String,
}

/// Percentiles.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OutlookDocument {
    /// Half of all such jobs.
    pub p50: f64,
    /// Eight of ten.
    pub p80: f64,
    /// Nineteen of twenty.
    pub p95: f64,
    /// The chance that none of the risks happens.
    pub none: f64,
}

/// The ceiling.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CeilingDocument {
    /// The amount.
    pub amount: MoneyDocument,
    /// Whether the customer named it.
    pub named: bool,
    /// So many of a hundred such jobs stay below.
    pub of_hundred: u32,
}

/// An advance.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AdvanceDocument {
    /// How much.
    pub amount: MoneyDocument,
    /// For what.
    pub words: String,
}

/// A block of text.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SaidDocument {
    /// Its key.
    pub id: String,
    /// Its version.
    pub version: u32,
    /// The text.
    pub text: String,
}

/// A matter of the rider's safety that can be declined.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SafetyDocument {
    /// The rule that found it.
    pub rule: &'static str,
    /// What was found.
    pub what: String,
    /// What would mend it; null if nothing of the catalogue does.
    pub cure: Option<String>,
    /// What is signed.
    pub words: String,
    /// The version of the words.
    pub version: u32,
}

impl SafetyDocument {
    fn of(item: &SafetyItem) -> Self {
        let SafetyItem { rule, what, cure, words, version } = item.clone();
        Self { rule, what, cure, words, version }
    }
}

/// Why there is no estimate.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NoneDocument {
    /// In a sentence.
    pub why: String,
    /// What stands against it.
    pub because: Vec<String>,
    /// Ways out; empty means none.
    pub ways: Vec<String>,
    /// What the inspection costs.
    pub fee: MoneyDocument,
    /// The sums.
    pub totals: TotalsDocument,
}

impl NoneDocument {
    /// The document of a plan without estimate.
    pub fn of(none: &NoEstimate) -> Self {
        Self {
            why: none.why.clone(),
            because: none.because.clone(),
            ways: none.ways.clone(),
            fee: MoneyDocument::of(none.fee.amount),
            totals: TotalsDocument::of(&none.totals),
        }
    }
}

impl QuoteDocument {
    /// The document of an estimate.
    pub fn of(estimate: &Estimate) -> Self {
        let labour = &estimate.labour;
        Self {
            version: estimate.version,
            holds_until: estimate.holds_until.to_string(),
            signable: estimate.signable.words(),
            told: estimate.told.clone(),
            found: estimate.found.clone(),
            pulls: estimate.pulls.clone(),
            leaves: estimate.leaves.clone(),
            labour: LabourDocument {
                steps: labour.steps.len(),
                total: MinutesDocument::of(labour.total),
                sum_of_lines: MinutesDocument::of(labour.sum_of_lines),
                saved: labour.saved,
                extras: labour
                    .extras
                    .iter()
                    .map(|extra| format!("{}: {}", extra.words, extra.minutes))
                    .collect(),
            },
            lines: estimate.lines.iter().map(PriceLineDocument::of).collect(),
            unpriced: estimate.unpriced.clone(),
            totals: TotalsDocument::of(&estimate.totals),
            shown: estimate.shown.word(),
            while_apart: estimate
                .offers
                .iter()
                .map(|offer| OfferDocument {
                    operation: offer.operation.0,
                    title: offer.title,
                    now_minutes: offer.now.usual,
                    later_minutes: offer.later.usual,
                    now: MoneyDocument::of(offer.price_now),
                    later: MoneyDocument::of(offer.price_later),
                })
                .collect(),
            risks: estimate.risks.iter().map(RiskDocument::of).collect(),
            minutes: OutlookDocument::of(&estimate.minutes),
            price: OutlookDocument::of(&estimate.price),
            price_untried: estimate.price_untried.as_ref().map(OutlookDocument::of),
            ceiling: CeilingDocument {
                amount: MoneyDocument::of(estimate.ceiling.amount),
                named: estimate.ceiling.named,
                of_hundred: estimate.ceiling.of_hundred,
            },
            deposit: estimate.deposit.as_ref().map(|advance| AdvanceDocument {
                amount: MoneyDocument::of(advance.amount),
                words: advance.words.clone(),
            }),
            not_included: estimate.not_included.clone(),
            said: estimate.said.iter().map(SaidDocument::of).collect(),
            safety: estimate.safety.iter().map(SafetyDocument::of).collect(),
            cautions: estimate.cautions.clone(),
        }
    }
}

impl RiskDocument {
    fn of(priced: &shop::FacedPrice) -> Self {
        let risk = &priced.faced.risk;
        Self {
            id: risk.id.clone(),
            words: risk.words.clone(),
            standing: match priced.faced.standing {
                Standing::Open => "open",
                Standing::Spared => "spared",
                Standing::Certain => "certain",
            },
            chance: thousandth(risk.chance_now()),
            minutes: thousandth(risk.minutes_now()),
            jobs: risk.record.jobs,
            events: risk.record.events,
            price: MoneyDocument::of(priced.price),
            moves_p80: MoneyDocument::of(priced.moves_p80),
            source: risk.source_words(),
        }
    }
}

impl OutlookDocument {
    fn of(outlook: &Outlook) -> Self {
        Self {
            p50: outlook.p50.round(),
            p80: outlook.p80.round(),
            p95: outlook.p95.round(),
            none: thousandth(outlook.none),
        }
    }
}

/// Nobody knows a chance better.
fn thousandth(share: f64) -> f64 {
    (share * 1000.0).round() / 1000.0
}

impl SaidDocument {
    /// The document of what is said.
    pub fn of(said: &Said) -> Self {
        Self { id: said.id.clone(), version: said.version, text: said.text.clone() }
    }
}

impl EstimateDocument {
    /// The document of what a plan comes to.
    pub fn of(desk: &Desk<'_>) -> Self {
        let (estimate, none) = match &desk.answer {
            Answer::Estimate(estimate) => (Some(QuoteDocument::of(estimate)), None),
            Answer::None(none) => (None, Some(NoneDocument::of(none))),
        };
        Self {
            name: desk.plan.name.clone(),
            verdict: desk.plan.verdict.word(),
            shop: desk.shop.name.clone(),
            made: desk.made.to_string(),
            estimate,
            none,
            order: desk.order.iter().map(StepDocument::of).collect(),
            promise: desk.promise.as_ref().ok().map(PromiseDocument::of),
            no_day: desk.promise.as_ref().err().map(ToString::to_string),
            provisional: desk.provisional.as_ref().map(PromiseDocument::of),
            options: desk.ways.iter().map(OptionDocument::of).collect(),
            no_options: desk.no_way.iter().copied().map(NoOptionDocument::of).collect(),
        }
    }
}
