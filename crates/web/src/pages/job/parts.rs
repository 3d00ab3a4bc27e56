//! Deliveries: what is to be ordered, what is due, what came, and each part held against the bike by its dimensions.

use super::{card, forms, part_search, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use catalog::Slot;
use document::why_words;
use intake::value_text;
use jiff::ToSpan;
use maud::{Markup, html};
use shop::job::{PartCheck, PartState, gate};
use store::Role;

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}/parts", Access::Staff, page)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let role = ask.who()?.role;
    let slots = gate::gating(&card.plan);
    let body = html! {
        (part_search::form(&card, None, ""))
        @if slots.is_empty() { p.empty { "Nothing is to be ordered: no new part is on the list." } }
        @for slot in slots { (part(&card, slot, role)) }
        @if !card.plan.parts.lines.is_empty() {
            section.card {
                h2 { "The whole list, with small parts" }
                table {
                    thead { tr { th { "Part" } th.number { "Count" } th.number { "Price" } th { "Why" } } }
                    tbody { @for line in &card.plan.parts.lines {
                        tr {
                            td { (line.name) }
                            td.number { (line.quantity) }
                            td.number { @match line.price { Some(price) => { (price) } None => { "not known" } } }
                            td.quiet { (why_words(&line.why)) }
                        }
                    } }
                }
            }
        }
    };
    Ok(room(ask, &card, "/parts", body))
}

fn state_words(state: Option<&PartState>) -> String {
    match state {
        Some(PartState { arrived: true, check: Some(PartCheck::Fits), .. }) => {
            "here, complete, and as the plan says".to_owned()
        }
        Some(PartState { arrived: true, check: Some(PartCheck::Wrong { words }), .. }) => {
            format!("here, and wrong: {words}")
        }
        Some(PartState { arrived: true, check: None, .. }) => {
            "here; not yet held against the bike".to_owned()
        }
        Some(PartState { ordered: true, due_day: Some(day), .. }) => {
            format!("ordered, due {}", clock::day_words(*day))
        }
        Some(PartState { ordered: true, due_day: None, .. }) => "ordered, no day known".to_owned(),
        _ => "not ordered".to_owned(),
    }
}

fn part(card: &JobCard, slot: Slot, role: Role) -> Markup {
    let state = card.state().parts.get(&slot);
    let Some(part) = card.plan.build.choice.get(slot) else { return html! {} };
    let arrived = state.is_some_and(|state| state.arrived);
    let fits = state.is_some_and(|state| state.check == Some(PartCheck::Fits));
    let hidden = || html! { input type="hidden" name="slot" value=(slot.key()); };
    let due = clock::today().saturating_add(i64::from(part.lead_days().unwrap_or(0)).days()).to_string();
    html! {
        section.card.delivery id=(slot.key()) {
            h2 { (slot.words()) ": " (part.name()) }
            p { strong { (state_words(state)) } }
            @if !arrived {
                @if role != Role::Technician && !state.is_some_and(|state| state.ordered) {
                    (forms::act_line(card, "ordered", "/parts", html! {
                        (hidden())
                        label for=(format!("due-{}", slot.key())) { "Due on" }
                        input id=(format!("due-{}", slot.key())) name="due" type="date" value=(due);
                        button { "Ordered" }
                    }))
                }
                (forms::act_line(card, "arrived", "/parts", html! { (hidden()) button.main { "It came" } }))
            } @else if !fits {
                p { "Count the contents, then hold it against the bike. What the plan counts on:" }
                table {
                    tbody { @for field in slot.fields() {
                        @if let Some(reading) = part.get(field.dimension).filter(|reading| reading.is_answered()) {
                            tr {
                                th scope="row" { a href=(super::address(card, &format!("/measure/one?slot={}&dimension={}&origin=chosen", slot.key(), field.key))) { (field.dimension.words()) } }
                                td { (value_text(slot, field.dimension, &reading)) }
                            }
                        }
                    } }
                }
                p.quiet { "A value that differs is measured and written down under its name: the plan is judged again with it." }
                (forms::act_line(card, "part-fits", "/parts", html! { (hidden()) button.main { "Complete and right" } }))
                (forms::act_line(card, "part-wrong", "/parts", html! {
                    (hidden())
                    label for=(format!("wrong-{}", slot.key())) { "What is missing or another size" }
                    input id=(format!("wrong-{}", slot.key())) name="words" required autocomplete="off";
                    button { "Wrong" }
                }))
            }
        }
    }
}
