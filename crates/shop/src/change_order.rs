//! Change orders: something was found while working. Begin with [`change_order`].

mod asked;
mod price;
mod refusal;

pub use asked::{AskedChange, AskedChoice};
pub use refusal::ChangeError;

use crate::book::Book;
use crate::delivery::Awaited;
use crate::labour::Age;
use crate::operation::OperationId;
use crate::order::Placed;
use crate::price::{PriceLine, Totals, shown};
use crate::promise::{OpenJob, Promise, PromiseError, pieces_of, promises};
use crate::ready::{CATALOGUE, working_days_after};
use crate::risk::outlook;
use crate::step::StepId;
use crate::wording::Said;
use crate::workshop::Workshop;
use jiff::civil::{Date, DateTime};
use quantity::Money;

/// Why something comes up only now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// It could not be seen at intake.
    NotVisible,
    /// It could be seen, and we missed it: the shop carries the labour.
    MissedByUs,
    /// The customer wishes something else.
    OtherWish,
    /// A part is wrong.
    PartWrong,
}

impl Cause {
    /// All causes.
    pub const ALL: &'static [Self] = &[Self::NotVisible, Self::MissedByUs, Self::OtherWish, Self::PartWrong];

    /// The word in files.
    pub fn key(self) -> &'static str {
        match self {
            Self::NotVisible => "not-visible",
            Self::MissedByUs => "missed-by-us",
            Self::OtherWish => "other-wish",
            Self::PartWrong => "part-wrong",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::NotVisible => "not visible at intake",
            Self::MissedByUs => "visible at intake, and missed by us",
            Self::OtherWish => "the customer wishes something else",
            Self::PartWrong => "a part is wrong",
        }
    }
}

/// What is at stake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stakes {
    /// The rider may fall: it is never done or left without a word, and leaving it is signed for by itself.
    Safety,
    /// Function, wear, comfort or looks.
    Use,
}

impl Stakes {
    /// The word in files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Safety => "safety",
            Self::Use => "use",
        }
    }
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// In words.
    pub words: String,
    /// The value that was measured.
    pub measured: Option<String>,
    /// The limit that it is held against.
    pub limit: Option<String>,
    /// Name of the photograph.
    pub photo: Option<String>,
    /// Why it comes up now.
    pub cause: Cause,
    /// What is at stake.
    pub concerns: Stakes,
    /// The step at which it was found; it and what waits for it stop.
    pub at: StepId,
}

/// A part that a choice takes.
#[derive(Clone, Debug, PartialEq)]
pub struct ChoicePart {
    /// In words.
    pub words: String,
    /// How many.
    pub pieces: u32,
    /// The price of one.
    pub price: Option<Money>,
    /// Working days until it is here; 0 is on the shelf.
    pub days: Option<u32>,
}

/// Something that can be done about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// In words.
    pub words: String,
    /// What it means for the bike and its rider.
    pub means: String,
    /// Operations that are added; none for doing nothing.
    pub operations: Vec<OperationId>,
    /// Minutes beside those of the operations.
    pub minutes: u32,
    /// Parts.
    pub parts: Vec<ChoicePart>,
}

impl Choice {
    /// Whether it is to do nothing.
    pub fn is_nothing(&self) -> bool {
        self.operations.is_empty() && self.minutes == 0 && self.parts.is_empty()
    }
}

/// A small thing that was done without a call.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallThing {
    /// What.
    pub words: String,
    /// What the customer pays for it.
    pub amount: Money,
}

/// What the person at the stand writes down.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What was found.
    pub finding: Finding,
    /// What can be done: two or three choices, doing nothing among them.
    pub choices: Vec<Choice>,
    /// The hour until which the stand waits.
    pub waits_until: DateTime,
    /// Small things of this job that were done without a call so far.
    pub small: Vec<SmallThing>,
}

/// The job in which it was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnderWay<'a> {
    /// What the job is called.
    pub name: &'a str,
    /// Its operations.
    pub operations: &'a [OperationId],
    /// How hard the old parts come off.
    pub age: Age,
    /// The day that was promised.
    pub promised: Option<Date>,
    /// Jobs whose work goes on beside it.
    pub beside: &'a [OpenJob],
}

/// A choice with its price and its day.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The choice.
    pub choice: Choice,
    /// Minutes that it adds to the job.
    pub minutes: u32,
    /// Its lines. Labour that the shop carries is a line of nothing.
    pub lines: Vec<PriceLine>,
    /// Its sums.
    pub totals: Totals,
    /// What the customer sees of them.
    pub price: Money,
    /// The day on which the job would be ready, or why there is none.
    pub day: Result<Promise, NoNewDay>,
}

/// Why a choice has no day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoNewDay {
    /// Nobody knows when these parts come.
    Delivery(Vec<String>),
    /// The calendar has none.
    Promise(PromiseError),
}

impl std::fmt::Display for NoNewDay {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Delivery(parts) => {
                write!(f, "nobody knows when these parts come: {}; ask the supplier", parts.join(", "))
            }
            Self::Promise(error) => write!(f, "{error}"),
        }
    }
}

/// Whether the customer is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Call {
    /// Nothing is done before the customer has answered.
    Wanted,
    /// It is small enough to be done without a call; it is listed all the same.
    NotNeeded,
}

/// A change order, ready for the customer.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangeOrder {
    /// What the job is called.
    pub name: String,
    /// The day that was promised so far.
    pub promised: Option<Date>,
    /// What was found.
    pub finding: Finding,
    /// Steps that stop.
    pub stops: Vec<StepId>,
    /// Steps still to be done that go on meanwhile.
    pub goes_on: Vec<StepId>,
    /// What can be done, with its price and its day.
    pub choices: Vec<Priced>,
    /// The hour until which the stand waits.
    pub waits_until: DateTime,
    /// What happens without an answer.
    pub without_answer: &'static str,
    /// Whether the customer is called.
    pub call: Call,
    /// Small things that were done without a call so far.
    pub small: Vec<SmallThing>,
    /// What they have come to.
    pub spent: Money,
    /// What is signed by itself if a matter of safety is left as it is; none where safety is not at stake.
    pub declined: Option<Said>,
}

/// What happens without an answer: never what was not agreed to.
pub const WITHOUT_ANSWER: &str = "the bike is made safe and parked; nothing of this is done";

/// Makes a change order for a job under way, on a day.
///
/// Labour of a choice is what it adds while the bike is apart. What was visible at intake and missed by us costs the
/// customer the parts, not the labour. The day of a choice is promised as every day is, for the steps that are left
/// from the one at which it was found, with the parts of the choice waited for.
///
/// No call is needed for what is small: not above the shop's limit, nor above the limit of all small things together,
/// with every part on the shelf and nobody's safety at stake.
///
/// # Errors
/// Everything that is missing from it, and what cannot be counted.
pub fn change_order(
    shop: &Workshop,
    job: UnderWay<'_>,
    change: Change,
    today: Date,
) -> Result<ChangeOrder, Vec<ChangeError>> {
    let mut problems = refusal::problems(&change);
    if change.waits_until.date() < today {
        problems.push(ChangeError::WaitsInThePast { until: change.waits_until, today });
    }
    let order = shop.book.order(job.operations).unwrap_or_else(|error| {
        problems.push(ChangeError::Book(error));
        Vec::new()
    });
    let steps: Vec<StepId> = order.iter().map(|placed| placed.step.id).collect();
    let found_at = steps.iter().position(|step| *step == change.finding.at);
    if found_at.is_none() && !order.is_empty() {
        problems.push(ChangeError::NoSuchStep(change.finding.at));
    }
    let spent =
        change.small.iter().try_fold(shop.terms.hour.with_minor(0), |sum, thing| sum.plus(thing.amount));
    let spent = spent.unwrap_or_else(|error| {
        problems.push(error.into());
        shop.terms.hour.with_minor(0)
    });
    let done = steps.get(..found_at.unwrap_or(0)).unwrap_or_default();
    let mut choices = Vec::new();
    for choice in change.choices {
        match priced(shop, job, change.finding.cause, choice, done, today) {
            Ok(choice) => choices.push(choice),
            Err(more) => problems.extend(more),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let (stops, goes_on) = steps
        .iter()
        .skip(done.len())
        .copied()
        .partition(|step| *step == change.finding.at || shop.book.comes_before(change.finding.at, *step));
    Ok(ChangeOrder {
        name: job.name.to_owned(),
        promised: job.promised,
        stops,
        goes_on,
        waits_until: change.waits_until,
        without_answer: WITHOUT_ANSWER,
        call: call(shop, &change.finding, &choices, spent),
        declined: declined(shop, &change.finding, &choices),
        small: change.small,
        finding: change.finding,
        choices,
        spent,
    })
}

fn call(shop: &Workshop, finding: &Finding, choices: &[Priced], spent: Money) -> Call {
    let small = &shop.terms.small;
    let is_small = |choice: &Priced| {
        let in_all = spent.plus(choice.price).map_or(i64::MAX, Money::minor);
        choice.price.minor() <= small.each.minor()
            && in_all <= small.in_all.minor()
            && choice.choice.parts.iter().all(|part| part.days == Some(0))
    };
    if finding.concerns == Stakes::Use && choices.iter().all(is_small) {
        Call::NotNeeded
    } else {
        Call::Wanted
    }
}

/// What is signed by itself if a matter of safety is left as it is.
fn declined(shop: &Workshop, finding: &Finding, choices: &[Priced]) -> Option<Said> {
    if finding.concerns != Stakes::Safety {
        return None;
    }
    let nothing = choices.iter().find(|priced| priced.choice.is_nothing())?;
    let cures: Vec<&str> = choices
        .iter()
        .filter(|priced| !priced.choice.is_nothing())
        .map(|priced| priced.choice.words.as_str())
        .collect();
    let what = match (&finding.measured, &finding.limit) {
        (Some(measured), Some(limit)) => format!("{}, {measured}, limit {limit}", finding.words),
        _ => finding.words.clone(),
    };
    let with = [("what", &*what), ("cure", &*cures.join(", or ")), ("harm", nothing.choice.means.as_str())];
    shop.blocks.say("declined", &with)
}

fn priced(
    shop: &Workshop,
    job: UnderWay<'_>,
    cause: Cause,
    choice: Choice,
    done: &[StepId],
    today: Date,
) -> Result<Priced, Vec<ChangeError>> {
    let all = [job.operations, &choice.operations].concat();
    let minutes = added_minutes(&shop.book, job, &all).map_err(|error| vec![error])? + choice.minutes;
    let (lines, totals) = price::price(&shop.terms, cause, &choice, minutes)?;
    let order = shop.book.order(&all).map_err(|error| vec![error.into()])?;
    let left: Vec<Placed<'_>> = order.into_iter().filter(|placed| !done.contains(&placed.step.id)).collect();
    let day = day(shop, job, &choice, &left, today);
    Ok(Priced { minutes, price: shown(&totals, shop.terms.shown), lines, totals, day, choice })
}

/// What operations add to a job while the bike is apart. Adding one never lowers the union.
fn added_minutes(book: &Book, job: UnderWay<'_>, all: &[OperationId]) -> Result<u32, ChangeError> {
    let before = book.labour(job.operations, job.age)?;
    let after = book.labour(all, job.age)?;
    Ok(after.minutes.usual.saturating_sub(before.minutes.usual))
}

/// The day on which the rest of the job would be ready.
fn day(
    shop: &Workshop,
    job: UnderWay<'_>,
    choice: &Choice,
    left: &[Placed<'_>],
    today: Date,
) -> Result<Promise, NoNewDay> {
    let late = |part: &&ChoicePart| part.days != Some(0);
    let waits: Vec<&ChoicePart> = choice.parts.iter().filter(late).collect();
    let unknown = waits.iter().filter(|part| part.days.is_none());
    let unknown: Vec<String> = unknown.map(|part| part.words.clone()).collect();
    if !unknown.is_empty() {
        return Err(NoNewDay::Delivery(unknown));
    }
    let minutes: u32 = left.iter().map(|placed| placed.step.minutes.usual).sum::<u32>() + choice.minutes;
    let minutes = f64::from(minutes);
    let scatter = f64::from(shop.terms.scatter_percent) / 100.0;
    let (pieces, check) = pieces_of(left, &outlook(minutes, scatter * minutes, &[]));
    let awaits = waits
        .iter()
        .map(|part| Awaited {
            what: part.words.clone(),
            supplier: CATALOGUE.to_owned(),
            due: working_days_after(today, part.days.unwrap_or(0)),
        })
        .collect();
    let rest = OpenJob {
        name: job.name.to_owned(),
        tell: "the customer".to_owned(),
        pieces,
        check,
        awaits,
        promised: job.promised,
    };
    let mut jobs = job.beside.to_vec();
    // What stands on a stand goes on first: the others were planned around it.
    jobs.insert(0, rest);
    let first = promises(shop, &jobs, today).into_iter().next();
    first.unwrap_or(Err(PromiseError::NeverOpen)).map_err(NoNewDay::Promise)
}
