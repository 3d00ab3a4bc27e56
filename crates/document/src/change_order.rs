//! A change order as it leaves, in the order in which a customer reads it.

use crate::estimate::SaidDocument;
use crate::money::{MoneyDocument, PriceLineDocument, TotalsDocument};
use crate::promise::PromiseDocument;
use schemars::JsonSchema;
use serde::Serialize;
use shop::{Book, Call, ChangeOrder, Priced, SmallThing, StepId};

/// A change order.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangeOrderDocument {
    /// What the job is called.
    pub name: String,
    /// The shop.
    pub shop: String,
    /// The day on which it was made.
    pub made: String,
    /// What was found.
    pub found: String,
    /// The value that was measured.
    pub measured: Option<String>,
    /// The limit that it is held against.
    pub limit: Option<String>,
    /// Name of the photograph.
    pub photo: Option<String>,
    /// not-visible, missed-by-us, other-wish or part-wrong.
    pub cause: &'static str,
    /// Why it comes up now, in words.
    pub cause_words: &'static str,
    /// safety or use.
    pub concerns: &'static str,
    /// The step at which it was found.
    pub at: StepNameDocument,
    /// Steps that stop.
    pub stops: Vec<StepNameDocument>,
    /// Steps still to be done that go on meanwhile.
    pub goes_on: Vec<StepNameDocument>,
    /// What can be done.
    pub choices: Vec<ChoiceDocument>,
    /// wanted or not-needed.
    pub call: &'static str,
    /// The hour until which the stand waits.
    pub waits_until: String,
    /// What happens without an answer.
    pub without_answer: &'static str,
    /// The day that was promised so far; null if none was.
    pub promised: Option<String>,
    /// Small things of this job that were done without a call so far.
    pub small: Vec<SmallDocument>,
    /// What they have come to.
    pub spent: MoneyDocument,
    /// What is signed by itself if a matter of safety is left as it is; null where safety is not at stake.
    pub declined: Option<SaidDocument>,
}

/// A step by its key and its title.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StepNameDocument {
    /// Its key.
    pub id: &'static str,
    /// What it is called.
    pub title: &'static str,
}

/// A choice.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChoiceDocument {
    /// In words.
    pub words: String,
    /// What it means for the bike and its rider.
    pub means: String,
    /// Whether it is to do nothing.
    pub is_nothing: bool,
    /// Minutes that it adds to the job.
    pub minutes: u32,
    /// Its lines.
    pub lines: Vec<PriceLineDocument>,
    /// Its sums.
    pub totals: TotalsDocument,
    /// What the customer sees of them.
    pub price: MoneyDocument,
    /// The day on which the job would be ready; null if there is none.
    pub promise: Option<PromiseDocument>,
    /// Why there is no day; null if there is one.
    pub no_day: Option<String>,
}

/// A small thing that was done without a call.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SmallDocument {
    /// What.
    pub words: String,
    /// What the customer pays for it.
    pub amount: MoneyDocument,
}

impl ChoiceDocument {
    fn of(priced: &Priced) -> Self {
        Self {
            words: priced.choice.words.clone(),
            means: priced.choice.means.clone(),
            is_nothing: priced.choice.is_nothing(),
            minutes: priced.minutes,
            lines: priced.lines.iter().map(PriceLineDocument::of).collect(),
            totals: TotalsDocument::of(&priced.totals),
            price: MoneyDocument::of(priced.price),
            promise: priced.day.as_ref().ok().map(PromiseDocument::of),
            no_day: priced.day.as_ref().err().map(ToString::to_string),
        }
    }
}

impl ChangeOrderDocument {
    /// The document of a change order of a shop, made on a day.
    pub fn of(order: &ChangeOrder, shop: &str, made: &str, book: &Book) -> Self {
        let named = |id: &StepId| StepNameDocument {
            id: id.0,
            title: book.step(*id).map_or(id.0, |step| step.title),
        };
        let finding = &order.finding;
        let small = |thing: &SmallThing| SmallDocument {
            words: thing.words.clone(),
            amount: MoneyDocument::of(thing.amount),
        };
        Self {
            name: order.name.clone(),
            shop: shop.to_owned(),
            made: made.to_owned(),
            found: finding.words.clone(),
            measured: finding.measured.clone(),
            limit: finding.limit.clone(),
            photo: finding.photo.clone(),
            cause: finding.cause.key(),
            cause_words: finding.cause.words(),
            concerns: finding.concerns.key(),
            at: named(&finding.at),
            stops: order.stops.iter().map(named).collect(),
            goes_on: order.goes_on.iter().map(named).collect(),
            choices: order.choices.iter().map(ChoiceDocument::of).collect(),
            call: match order.call {
                Call::Wanted => "wanted",
                Call::NotNeeded => "not-needed",
            },
            waits_until: order.waits_until.strftime("%Y-%m-%d %H:%M").to_string(),
            without_answer: order.without_answer,
            promised: order.promised.map(|day| day.to_string()),
            small: order.small.iter().map(small).collect(),
            spent: MoneyDocument::of(order.spent),
            declined: order.declined.as_ref().map(SaidDocument::of),
        }
    }
}
