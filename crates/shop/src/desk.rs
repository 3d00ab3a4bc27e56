//! The desk: everything that a plan comes to, in one value: estimate, order of work, day, options. Begin with [`desk`].

use crate::estimate::{Answer, EstimateError, estimate};
use crate::labour::Circumstances;
use crate::order::Placed;
use crate::promise::Promise;
use crate::queue::Queue;
use crate::ready::{NoDay, Ready, order_of, ready};
use crate::ways::{Way, WayName, Ways, ways};
use crate::workshop::Workshop;
use catalog::Catalogue;
use fit::Plan;
use jiff::civil::Date;

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
    /// The day that it would be if what is open turned out well; none where a day is promised, and where none could be.
    pub provisional: Option<Promise>,
    /// The options, leaving it first.
    pub ways: Vec<Way>,
    /// Options that are not among them, with the reason.
    pub no_way: Vec<(WayName, &'static str)>,
}

/// What a plan comes to, without the options: what a page shows at once.
#[derive(Debug)]
pub struct Told<'a> {
    /// The estimate, or why there is none.
    pub answer: Answer,
    /// The order of work; empty if no bolt moves.
    pub order: Vec<Placed<'a>>,
    /// The day, or why there is none.
    pub promise: Result<Promise, NoDay>,
    /// As in [`Desk`].
    pub provisional: Option<Promise>,
}

/// What a plan comes to in a shop on a day, beside the jobs that wait: the sum and the day.
///
/// # Errors
/// Everything that stands against a sum.
pub fn told<'a>(
    plan: &Plan,
    shop: &'a Workshop,
    circumstances: Circumstances,
    queue: &Queue,
    made: Date,
) -> Result<Told<'a>, Vec<EstimateError>> {
    let answer = estimate(plan, shop, circumstances, made)?;
    let (order, Ready { promise, provisional }) = match &answer {
        Answer::Estimate(quote) => {
            let order = order_of(plan, shop, circumstances).map_err(|error| vec![error.into()])?;
            let ready = ready(plan, quote, &order, shop, queue, made);
            (order, ready)
        }
        Answer::None(_) => (Vec::new(), Ready::never()),
    };
    Ok(Told { answer, order, promise, provisional })
}

/// What a plan comes to in a shop on a day, beside the open jobs of its file.
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
    desk_beside(plan, catalogue, shop, circumstances, &Queue::of(shop, &shop.open_jobs, made), made)
}

/// The same, beside the jobs of a queue.
///
/// # Errors
/// Everything that stands against a sum.
pub fn desk_beside<'a>(
    plan: &'a Plan,
    catalogue: &Catalogue,
    shop: &'a Workshop,
    circumstances: Circumstances,
    queue: &Queue,
    made: Date,
) -> Result<Desk<'a>, Vec<EstimateError>> {
    let Told { answer, order, promise, provisional } = told(plan, shop, circumstances, queue, made)?;
    let Ways { offered: ways, missing: no_way } = ways(plan, catalogue, shop, circumstances, queue, made);
    Ok(Desk { plan, shop, made, answer, order, promise, provisional, ways, no_way })
}
