//! What would be cheap to do while the bike is apart.

use super::EstimateError;
use crate::book::Book;
use crate::operation::OperationId;
use crate::step::Minutes;
use crate::workshop::Terms;
use catalog::Slot;
use fit::Plan;
use quantity::Money;

/// A further operation while the bike is apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offer {
    /// The operation.
    pub operation: OperationId,
    /// What it is called.
    pub title: &'static str,
    /// Minutes added now.
    pub now: Minutes,
    /// Minutes as a job of its own.
    pub later: Minutes,
    /// Labour added now, without parts.
    pub price_now: Money,
    /// Labour as a job of its own.
    pub price_later: Money,
}

/// Operations that are offered while the bike is apart, with the slot that the bike has to have.
const OFFERED: &[(&str, Option<Slot>)] = &[
    ("bottom-bracket-service", None),
    ("headset", None),
    ("pads", Some(Slot::Calipers)),
    ("tape", Some(Slot::Tape)),
    ("chain", Some(Slot::Chain)),
    ("pedals", None),
    ("hanger-alignment", None),
    ("hub-service-rear", None),
    ("hub-service-front", None),
];

/// Operations that would cost a third or less of their own price while the bike is apart.
pub(super) fn offers(
    book: &Book,
    plan: &Plan,
    chosen: &[OperationId],
    terms: &Terms,
) -> Result<Vec<Offer>, EstimateError> {
    let brought = book.brought_by(chosen)?;
    let mut offers = Vec::new();
    let has = |slot: &Option<Slot>| slot.is_none_or(|slot| plan.build.after.has(slot));
    for (id, _) in OFFERED.iter().filter(|(_, slot)| has(slot)) {
        let Some(operation) = book.operation(OperationId(id)) else { continue };
        if brought.contains(&operation.id) {
            continue;
        }
        let marginal = book.marginal(chosen, operation.id)?;
        let (now, later) = (marginal.while_apart, marginal.alone);
        if now.usual == 0 || now.usual * 3 > later.usual {
            continue;
        }
        offers.push(Offer {
            operation: operation.id,
            title: operation.title,
            now,
            later,
            price_now: terms.hour.share(now.usual, 60)?,
            price_later: terms.hour.share(later.usual, 60)?,
        });
    }
    // The largest saving first; so many are read.
    const SHOWN: usize = 4;
    offers.sort_by_key(|offer| std::cmp::Reverse(offer.later.usual - offer.now.usual));
    offers.truncate(SHOWN);
    Ok(offers)
}
