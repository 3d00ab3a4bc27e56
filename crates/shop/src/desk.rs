//! The desk: everything that a plan comes to, in one value: estimate, order of work, day, other ways. Begin with
//! [`desk`].

use crate::estimate::{Answer, EstimateError, Signable, estimate};
use crate::labour::Circumstances;
use crate::operation::OperationId;
use crate::order::Placed;
use crate::promise::{Awaited, OpenJob, Promise, PromiseError, pieces_of, promises};
use crate::wanted::wanted;
use crate::ways::{Way, ways};
use crate::workshop::Workshop;
use catalog::Catalogue;
use fit::Plan;
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use std::collections::BTreeMap;
use std::fmt;

/// What a plan comes to.
#[derive(Debug)]
pub struct Desk<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The shop.
    pub shop: &'a Workshop,
    /// The day on which it was made.
    pub made: Date,
    /// The estimate, or why there is none.
    pub answer: Answer,
    /// The order of work; empty if no bolt moves.
    pub order: Vec<Placed<'a>>,
    /// The day, or why there is none.
    pub promise: Result<Promise, NoDay>,
    /// Other ways.
    pub ways: Vec<Way>,
}

/// Why a job has no day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoDay {
    /// There is no estimate.
    NoEstimate,
    /// Something has to be measured first.
    MeasureFirst(usize),
    /// A price is not known.
    PriceFirst(Vec<String>),
    /// Nobody knows when a part comes.
    Delivery(Vec<String>),
    /// The calendar has none.
    Promise(PromiseError),
}

impl fmt::Display for NoDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoEstimate => write!(f, "no day: there is nothing to be done that could be agreed on"),
            Self::MeasureFirst(1) => {
                write!(f, "no day is promised before one thing has been measured: it may turn a verdict")
            }
            Self::MeasureFirst(open) => {
                write!(
                    f,
                    "no day is promised before {open} things have been measured: they may turn a verdict"
                )
            }
            Self::PriceFirst(parts) => {
                write!(f, "no day is promised before these prices are known: {}", parts.join(", "))
            }
            Self::Delivery(parts) => {
                write!(
                    f,
                    "no day: nobody knows when these parts come: {}; ask the supplier",
                    parts.join(", ")
                )
            }
            Self::Promise(error) => write!(f, "no day: {error}"),
        }
    }
}

/// The supplier whose record counts for parts of the catalogue.
const CATALOGUE: &str = "catalogue";

/// What a plan comes to in a shop on a day.
///
/// # Errors
/// Everything that stands against a sum.
pub fn desk<'a>(
    plan: &'a Plan,
    catalogue: &Catalogue,
    shop: &'a Workshop,
    circumstances: Circumstances,
    made: Date,
) -> Result<Desk<'a>, Vec<EstimateError>> {
    let answer = estimate(plan, shop, circumstances, made)?;
    let ways = ways(plan, catalogue, shop, circumstances, made);
    let Answer::Estimate(quote) = &answer else {
        return Ok(Desk {
            plan,
            shop,
            made,
            answer,
            order: Vec::new(),
            promise: Err(NoDay::NoEstimate),
            ways,
        });
    };
    let all: Vec<OperationId> =
        wanted(plan, circumstances).into_iter().map(|wanted| wanted.operation).collect();
    let order = shop.book.order(&all).map_err(|error| vec![error.into()])?;
    let promise = match quote.signable {
        Signable::MeasureFirst => Err(NoDay::MeasureFirst(plan.to_measure.len())),
        Signable::PriceFirst => Err(NoDay::PriceFirst(quote.unpriced.clone())),
        Signable::Yes | Signable::WithAmber => awaited(plan, made).and_then(|awaits| {
            let (pieces, check) = pieces_of(&order, &quote.minutes);
            let job = OpenJob {
                name: plan.name.clone(),
                tell: "the customer".to_owned(),
                pieces,
                check,
                awaits,
                promised: None,
            };
            let mut jobs = shop.open_jobs.clone();
            jobs.push(job);
            let last = promises(shop, &jobs, made).pop();
            last.unwrap_or(Err(PromiseError::NeverOpen)).map_err(NoDay::Promise)
        }),
    };
    Ok(Desk { plan, shop, made, answer, order, promise, ways })
}

/// The parts of a plan that have to come, those of one delivery together: a day and what comes on it.
fn awaited(plan: &Plan, made: Date) -> Result<Vec<Awaited>, NoDay> {
    let mut by_days: BTreeMap<u32, Vec<&str>> = BTreeMap::new();
    let mut unknown = Vec::new();
    for line in &plan.parts.lines {
        match line.lead_days {
            Some(0) => {}
            Some(days) => by_days.entry(days).or_default().push(&line.name),
            // What the customer brings is there already.
            None if line.id.is_none() => {}
            None => unknown.push(line.name.clone()),
        }
    }
    if !unknown.is_empty() {
        return Err(NoDay::Delivery(unknown));
    }
    Ok(by_days
        .into_iter()
        .map(|(days, parts)| Awaited {
            what: parts.join(", "),
            supplier: CATALOGUE.to_owned(),
            due: working_days_after(made, days),
        })
        .collect())
}

/// The day so many working days after another; deliveries come from Monday to Friday.
fn working_days_after(day: Date, days: u32) -> Date {
    let (mut day, mut left) = (day, days);
    while left > 0 {
        day = day.saturating_add(1.day());
        if !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
            left -= 1;
        }
    }
    day
}
