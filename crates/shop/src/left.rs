//! What is left of a job on record, as the calendar needs it. Begin with [`left`].

use crate::delivery::Awaited;
use crate::job::gate::{gating, operations};
use crate::job::{Stage, State};
use crate::order::Placed;
use crate::promise::{OpenJob, pieces_of};
use crate::ready::{CATALOGUE, working_days_after};
use crate::risk::{Blow, Standing, faced, outlook};
use crate::step::StepId;
use crate::workshop::Workshop;
use fit::Plan;
use jiff::ToSpan;
use jiff::civil::{Date, date};

/// Whether a job in this stage takes time of the shop that others cannot have: the customer agreed, and it is not done.
pub fn takes_time(stage: Stage) -> bool {
    matches!(stage, Stage::Agreed | Stage::WaitingForParts | Stage::InWork | Stage::Paused | Stage::Checks)
}

/// What is left of a job: the steps that are not done, the parts that are not here, the day that was promised. None if
/// nothing is left.
///
/// A part whose day nobody knows, or whose day has gone by, may come today: its work takes up time all the same, and a
/// later day would promise others what the shop does not have. Minutes go up to a whole quarter of an hour, so that no
/// promise hangs on a single step.
pub fn left(name: &str, state: &State, plan: &Plan, shop: &Workshop, today: Date) -> Option<OpenJob> {
    // An operation that the book does not know is a fault of the book, said where the book is read.
    let operations = operations(state, plan);
    let order = shop.book.order(&operations).ok()?;
    let is_open = |placed: &Placed<'_>| !is_done(state, placed.step.id);
    let minutes =
        |placed: &[Placed<'_>]| placed.iter().map(|one| f64::from(one.step.minutes.usual)).sum::<f64>();
    let all = minutes(&order);
    let steps: Vec<&str> = order.iter().map(|placed| placed.step.id.0).collect();
    let open: Vec<Placed<'_>> = order.iter().filter(|placed| is_open(placed)).cloned().collect();
    let labour = shop.book.labour(&operations, state.circumstances.age).ok()?;
    let base = f64::from(labour.total.usual) * if all > 0.0 { minutes(&open) / all } else { 0.0 };
    // What could come up while taking apart comes up in the first steps.
    let blows: Vec<Blow> = faced(&shop.risks, plan, &steps)
        .into_iter()
        .filter(|faced| !state.started && faced.standing != Standing::Spared)
        .map(|faced| match faced.standing {
            Standing::Certain => Blow { chance: 1.0, by: faced.risk.minutes_now() },
            _ => Blow { chance: faced.risk.chance_now(), by: faced.risk.minutes_now() },
        })
        .collect();
    let scatter = f64::from(shop.terms.scatter_percent) / 100.0;
    let (mut pieces, check) = pieces_of(&open, &outlook(base, scatter * base, &blows));
    pieces.iter_mut().for_each(|piece| piece.minutes = piece.minutes.in_quarters());
    if pieces.is_empty() && check.is_none() {
        return None;
    }
    Some(OpenJob {
        name: name.to_owned(),
        tell: state.customer.clone().unwrap_or_default(),
        pieces,
        check,
        awaits: awaits(state, plan, today),
        promised: state.promised.last().and_then(|day| date_of(*day)),
    })
}

/// Rides and checks are recorded apart from the steps.
fn is_done(state: &State, step: StepId) -> bool {
    match step.0 {
        "first-ride" => state.record.is_ridden(),
        "second-check" => state.record.second_person().is_some(),
        _ => state.done.contains_key(&step),
    }
}

fn awaits(state: &State, plan: &Plan, today: Date) -> Vec<Awaited> {
    let mut awaits = Vec::new();
    for slot in gating(plan) {
        let part = state.parts.get(&slot);
        if part.is_some_and(|part| part.arrived) {
            continue;
        }
        let lead = || {
            let days = plan.build.choice.get(slot).and_then(|part| part.lead_days())?;
            Some(working_days_after(today, days))
        };
        let due = part.and_then(|part| part.due_day).and_then(date_of).or_else(lead).unwrap_or(today);
        let (what, supplier) = (slot.words().to_owned(), CATALOGUE.to_owned());
        awaits.push(Awaited { what, supplier, due: due.max(today) });
    }
    awaits
}

/// The date of a day counted from 1970-01-01.
fn date_of(day: i64) -> Option<Date> {
    date(1970, 1, 1).checked_add(i32::try_from(day).ok()?.days()).ok()
}
