//! Hand-over: what is said, in which order, with the numbers of this bike; then the signature.

use super::{address, card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::Failure;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use document::extremes;
use fit::Audience;
use maud::{Markup, html};
use quantity::digits;
use shop::Stage;
use store::Role;

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}/hand-over", Access::Staff, page)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let stage = card.stage(&ask.house.workshop.book);
    let role = ask.who()?.role;
    let body = html! {
        section.card {
            h2 { "What to say, in this order" }
            ol.talk { @for line in talk(&card) { li { (line) } } }
            p { a.button href=(address(&card, "/sheets/hand-over.pdf")) { "The customer’s page" } }
        }
        @match stage {
            Stage::Ready if role == Role::Technician => { p.quiet { "The counter or the manager hands it over." } }
            Stage::Ready => { (sign(&card)) }
            Stage::Collected | Stage::FollowedUp => { p.agreed { "With the customer." } }
            _ => {
                section.next {
                    h2 { "Not yet" }
                    ul { @for refusal in card.blocks_release(&ask.house.workshop.book) { li { (refusal) } } }
                }
            }
        }
    };
    Ok(room(ask, &card, "", body))
}

fn sign(card: &JobCard) -> Markup {
    forms::act(
        card,
        "collected",
        "",
        html! {
            h2 { "The customer takes it" }
            p { "Their own ride in front of the shop comes before paying." }
            label for="signs" { "Who signs" }
            input #signs name="name" value=(card.state().customer.as_deref().unwrap_or("")) required autocomplete="off";
            button.main { "Collected" }
        },
    )
}

/// The talk: their reason answered with numbers, then brakes, hands, what was not done, settling, the date, old parts.
fn talk(card: &JobCard) -> Vec<String> {
    let (plan, state) = (&card.plan, card.state());
    let mut lines = Vec::new();
    if let Some(words) = &plan.refit.wish.words {
        lines.push(format!("Their reason: “{words}”"));
    }
    let ((before, _), (after, _)) = (extremes(&plan.gears_before), extremes(&plan.gears_after));
    if let (Some(before), Some(after)) = (before, after) {
        let easier = (1.0 - after / before) * 100.0;
        let word = if easier >= 0.0 { "easier" } else { "harder" };
        lines.push(format!(
            "The lowest gear went from {} m to {} m a turn: {} % {word}.",
            digits::fixed(before, 2),
            digits::fixed(after, 2),
            digits::fixed(easier.abs(), 0)
        ));
    }
    lines.push(
        "Levers and brakes in their hands: which lever works which brake, squeeze both, first stops gently."
            .to_owned(),
    );
    if let Some(hands) = &state.hands {
        lines.push(format!("Their hands before: {hands}. They are where they were, or moved as agreed."));
    }
    for declined in &state.declined {
        lines.push(format!("Not done, because they declined it: {declined}."));
    }
    lines.extend(plan.cautions_for(Audience::Customer).map(|caution| sentence(caution.words)));
    for words in &state.not_ridden {
        lines.push(format!("Not ridden by us: {words}."));
    }
    lines.push("New cables settle: one click, which adjuster, which way. The check after four to six weeks is booked now.".to_owned());
    lines.push("Old parts: back in the bag, or scrapped, as they said.".to_owned());
    lines
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}
