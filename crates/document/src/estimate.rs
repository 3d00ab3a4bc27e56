//! The estimate, in the order in which it is read, with the order of work and the day.

use crate::order::{MinutesDocument, StepDocument};
use schemars::JsonSchema;
use serde::Serialize;
use shop::{
    Answer, Desk, Estimate, HowMuch, NoEstimate, Outlook, PriceLine, Promise, PromiseError, Said, Standing,
    Totals, shown,
};

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
    /// Other ways: leaving it, and ways out of what does not work.
    pub options: Vec<OptionDocument>,
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

/// An amount of money.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MoneyDocument {
    /// In minor units.
    pub minor: i64,
    /// The currency.
    pub currency: String,
    /// As it is shown.
    pub text: String,
}

impl MoneyDocument {
    /// The document of an amount.
    pub fn of(money: quantity::Money) -> Self {
        Self { minor: money.minor(), currency: money.currency().to_owned(), text: money.to_string() }
    }
}

/// A line.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PriceLineDocument {
    /// labour, part, small_part, consumable, used_part or voucher.
    pub kind: &'static str,
    /// Key in the catalogue.
    pub part: Option<String>,
    /// In words.
    pub words: String,
    /// How much, in words.
    pub how_much: String,
    /// Minutes, for labour.
    pub minutes: Option<u32>,
    /// Pieces, for parts.
    pub pieces: Option<u32>,
    /// The price of an hour or a piece.
    pub unit: Option<MoneyDocument>,
    /// The amount.
    pub amount: MoneyDocument,
    /// Why it is there.
    pub why: String,
    /// The day of the price list.
    pub priced_on: Option<String>,
    /// Whether the quantity was assumed.
    pub assumed: bool,
}

/// The sums.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TotalsDocument {
    /// By rule of tax.
    pub taxes: Vec<TaxDocument>,
    /// Without tax.
    pub net: MoneyDocument,
    /// The tax.
    pub tax: MoneyDocument,
    /// With tax.
    pub gross: MoneyDocument,
    /// What rounding adds or takes.
    pub rounding: MoneyDocument,
    /// What is paid.
    pub payable: MoneyDocument,
}

/// All lines that are taxed alike.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TaxDocument {
    /// The rule, in words.
    pub rule: String,
    /// Without tax.
    pub net: MoneyDocument,
    /// The tax.
    pub tax: MoneyDocument,
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

/// The day.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PromiseDocument {
    /// The job.
    pub job: String,
    /// The day on which it is planned to be ready.
    pub planned: String,
    /// The day that is promised: it holds in eight of ten such weeks.
    pub promised: String,
    /// The day that was promised before.
    pub before: Option<String>,
    /// Who does what when.
    pub pieces: Vec<PieceDocument>,
    /// What decides the day.
    pub because: Vec<String>,
}

/// A piece of work in the plan.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PieceDocument {
    /// What.
    pub words: String,
    /// Who.
    pub person: String,
    /// The day.
    pub day: String,
    /// From.
    pub from: String,
    /// To.
    pub to: String,
}

/// Another way.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OptionDocument {
    /// In words.
    pub words: String,
    /// The verdict with it.
    pub verdict: &'static str,
    /// The price; null if there is none.
    pub price: Option<MoneyDocument>,
    /// The price at 80 percent, minor units.
    pub p80_minor: Option<i64>,
    /// The change of the lowest gear, percent; negative is easier.
    pub lowest_change_percent: Option<f64>,
    /// Minutes of work.
    pub minutes: Option<u32>,
    /// Working days until every part is here.
    pub days: Option<u32>,
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
            cautions: estimate.cautions.clone(),
        }
    }
}

impl PriceLineDocument {
    fn of(line: &PriceLine) -> Self {
        let (minutes, pieces) = match line.how_much {
            HowMuch::Minutes(minutes) => (Some(minutes), None),
            HowMuch::Pieces(pieces) => (None, Some(pieces)),
            HowMuch::Flat => (None, None),
        };
        Self {
            kind: line.kind.key(),
            part: line.part.clone(),
            words: line.words.clone(),
            how_much: line.how_much.to_string(),
            minutes,
            pieces,
            unit: line.unit.map(MoneyDocument::of),
            amount: MoneyDocument::of(line.amount),
            why: line.why.clone(),
            priced_on: line.priced_on.map(|day| day.to_string()),
            assumed: line.assumed,
        }
    }
}

impl TotalsDocument {
    /// The document of the sums.
    pub fn of(totals: &Totals) -> Self {
        Self {
            taxes: totals
                .groups
                .iter()
                .map(|group| TaxDocument {
                    rule: group.rule.to_string(),
                    net: MoneyDocument::of(group.net),
                    tax: MoneyDocument::of(group.tax),
                })
                .collect(),
            net: MoneyDocument::of(totals.net),
            tax: MoneyDocument::of(totals.tax),
            gross: MoneyDocument::of(totals.gross),
            rounding: MoneyDocument::of(totals.rounding),
            payable: MoneyDocument::of(totals.payable),
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
    fn of(said: &Said) -> Self {
        Self { id: said.id.clone(), version: said.version, text: said.text.clone() }
    }
}

impl PromiseDocument {
    /// The document of a promise.
    pub fn of(promise: &Promise) -> Self {
        Self {
            job: promise.job.clone(),
            planned: promise.planned.to_string(),
            promised: promise.promised.to_string(),
            before: promise.before.map(|day| day.to_string()),
            pieces: promise
                .pieces
                .iter()
                .map(|piece| PieceDocument {
                    words: piece.words.clone(),
                    person: piece.person.clone(),
                    day: piece.day.to_string(),
                    from: shop::clock_words(piece.from),
                    to: shop::clock_words(piece.to),
                })
                .collect(),
            because: promise.because.clone(),
        }
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
            options: desk.ways.iter().map(OptionDocument::of).collect(),
        }
    }
}

impl OptionDocument {
    fn of(way: &shop::Way) -> Self {
        let estimate = way.estimate.as_ref();
        Self {
            words: way.words.clone(),
            verdict: way.verdict.word(),
            price: estimate.map(|estimate| MoneyDocument::of(shown(&estimate.totals, estimate.shown))),
            p80_minor: estimate.map(|estimate| estimate.price.p80.round() as i64),
            lowest_change_percent: way.lowest_change_percent.map(|percent| (percent * 10.0).round() / 10.0),
            minutes: estimate.map(|estimate| estimate.labour.total.usual),
            days: way.days,
        }
    }
}

/// The promises of a shop.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PromisesDocument {
    /// The shop.
    pub shop: String,
    /// The day from which it is planned.
    pub today: String,
    /// Job by job: a day, or why there is none.
    pub jobs: Vec<JobDocument>,
    /// Promises that do not hold any more, with who has to be told.
    pub broken: Vec<String>,
}

/// A job with its day.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JobDocument {
    /// The job.
    pub job: String,
    /// The day.
    pub promise: Option<PromiseDocument>,
    /// Why there is none.
    pub no_day: Option<String>,
}

impl PromisesDocument {
    /// The document of the promises of a shop.
    pub fn of(
        shop: &str,
        today: &str,
        jobs: &[shop::OpenJob],
        promises: &[Result<Promise, PromiseError>],
        broken: &[shop::Broken],
    ) -> Self {
        Self {
            shop: shop.to_owned(),
            today: today.to_owned(),
            jobs: jobs
                .iter()
                .zip(promises)
                .map(|(job, promise)| JobDocument {
                    job: job.name.clone(),
                    promise: promise.as_ref().ok().map(PromiseDocument::of),
                    no_day: promise.as_ref().err().map(ToString::to_string),
                })
                .collect(),
            broken: broken.iter().map(ToString::to_string).collect(),
        }
    }
}
