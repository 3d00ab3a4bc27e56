//! When a plan would be ready: the day that can be promised, or why none can and which day it would be if what is open
//! turned out well. Begin with `ready`.

use crate::book::BookError;
use crate::delivery::Awaited;
use crate::estimate::{Estimate, Signable};
use crate::labour::Circumstances;
use crate::operation::OperationId;
use crate::order::Placed;
use crate::promise::{OpenJob, Promise, PromiseError, pieces_of};
use crate::queue::Queue;
use crate::wanted::wanted;
use crate::workshop::Workshop;
use fit::Plan;
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use std::collections::BTreeMap;
use std::fmt;

/// Why a job has no day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoDay {
    /// There is no estimate.
    NoEstimate,
    /// Something has to be measured first.
    MeasureFirst(usize),
    /// A price is not known.
    PriceFirst(Vec<String>),
    /// It comes to more than the ceiling that was named.
    OverCeiling,
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
            Self::OverCeiling => {
                write!(f, "no day is promised before more is named or less is wished: it is over the ceiling")
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

/// When a plan would be ready.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// The day, or why none is promised.
    pub promise: Result<Promise, NoDay>,
    /// The day that it would be if what is open turned out well; none where a day is promised, and where none could be.
    pub provisional: Option<Promise>,
}

impl Ready {
    /// Of a plan that has no estimate.
    pub fn never() -> Self {
        Self { promise: Err(NoDay::NoEstimate), provisional: None }
    }
}

/// The supplier whose record counts for parts of the catalogue.
pub(crate) const CATALOGUE: &str = "catalogue";

/// The order of work of a plan, front to back.
///
/// # Errors
/// [`BookError`] if the book lacks an operation.
pub(crate) fn order_of<'a>(
    plan: &Plan,
    shop: &'a Workshop,
    circumstances: Circumstances,
) -> Result<Vec<Placed<'a>>, BookError> {
    let all: Vec<OperationId> =
        wanted(plan, circumstances).into_iter().map(|wanted| wanted.operation).collect();
    shop.book.order(&all)
}

/// When the plan of an estimate would be ready, in what the jobs that wait already leave free.
///
/// What may still turn the plan, its price or the customer's word is not promised; the day that it would be then stands
/// beside the reason.
pub(crate) fn ready(
    plan: &Plan,
    quote: &Estimate,
    order: &[Placed<'_>],
    shop: &Workshop,
    queue: &Queue,
    made: Date,
) -> Ready {
    let day = || -> Result<Promise, NoDay> {
        let awaits = awaited(plan, made)?;
        let (pieces, check) = pieces_of(order, &quote.minutes);
        let tell = "the customer".to_owned();
        let job = OpenJob { name: plan.name.clone(), tell, pieces, check, awaits, promised: None };
        queue.promise(shop, &job).map_err(NoDay::Promise)
    };
    let why_not = match quote.signable {
        Signable::MeasureFirst => NoDay::MeasureFirst(plan.to_measure.len()),
        Signable::PriceFirst => NoDay::PriceFirst(quote.unpriced.clone()),
        Signable::OverCeiling => NoDay::OverCeiling,
        Signable::Yes | Signable::WithAmber => return Ready { promise: day(), provisional: None },
    };
    Ready { promise: Err(why_not), provisional: day().ok() }
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
pub(crate) fn working_days_after(day: Date, days: u32) -> Date {
    let (mut day, mut left) = (day, days);
    while left > 0 {
        day = day.saturating_add(1.day());
        if !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
            left -= 1;
        }
    }
    day
}
