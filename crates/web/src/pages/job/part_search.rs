//! Parts found by words: those of the catalogue and the shop's own, by place, name and dimensions.

use super::plan::headline;
use super::wish::{candidates, judged};
use super::{address, card, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::Failure;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use catalog::{Part, Slot};
use intake::value_text;
use maud::{Markup, html};

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}/find-part", Access::Staff, page)]
}

/// Most parts that are judged for a page.
const MOST_FOUND: usize = 24;

/// The field to search with; it needs no script.
pub(super) fn form(card: &JobCard, slot: Option<Slot>, words: &str) -> Markup {
    html! {
        form.line.part-search role="search" method="get" action=(address(card, "/find-part")) {
            label for="part-words" { "Find a part" }
            input #part-words name="words" type="search" value=(words) placeholder="11-32, or 31.8 mm" autocomplete="off";
            label.unseen for="part-slot" { "For which place" }
            select #part-slot name="slot" {
                option value="" { "for any place" }
                @for one in Slot::ALL { option value=(one.key()) selected[slot == Some(*one)] { (one.words()) } }
            }
            button { "Find" }
        }
    }
}

/// Everything of a part that words can be found in: place, name, key, and each dimension with its value.
fn text_of(part: &Part) -> String {
    let slot = part.slot();
    let mut text = format!("{} {} {}", slot.words(), part.name(), part.id().unwrap_or_default());
    for field in slot.fields() {
        if let Some(reading) = part.get(field.dimension).filter(|reading| reading.is_answered()) {
            text.push(' ');
            text.push_str(field.dimension.words());
            text.push(' ');
            text.push_str(&value_text(slot, field.dimension, &reading));
        }
    }
    text.to_lowercase()
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let words = ask.query.text("words");
    let slot = Slot::read(ask.query.text("slot"));
    // A comma may stand for the point, as everywhere.
    let wanted: Vec<String> =
        words.to_lowercase().replace(',', ".").split_whitespace().map(str::to_owned).collect();
    let catalogue = ask.house.catalogue();
    let fits = |part: &&Part| {
        slot.is_none_or(|slot| part.slot() == slot) && {
            let text = text_of(part);
            wanted.iter().all(|word| text.contains(word))
        }
    };
    let asked = !wanted.is_empty() || slot.is_some();
    let found: Vec<&Part> = if asked { catalogue.parts.iter().filter(fits).collect() } else { Vec::new() };
    let all = judged(&card, found.iter().copied().take(MOST_FOUND), headline);
    let body = html! {
        h2 { "Parts found" }
        (form(&card, slot, words))
        @if !asked { p.empty { "Words of the name or of a dimension find a part: teeth, millimetres, a thread." } }
        @else if found.is_empty() { p.empty { "None in the catalogue has all of these words. The shop’s own parts are taken in under Shop." } }
        @else {
            p aria-live="polite" { (found.len()) @if found.len() == 1 { " part" } @else { " parts" } ". Each is judged in this bike, together with what is on the list already."
                @if found.len() > MOST_FOUND { " The first " (MOST_FOUND) " are shown: say more of it." } }
            (candidates(&card, &all, true))
        }
        p { a href=(address(&card, "/wish")) { "Back to the list" } }
    };
    Ok(room(ask, &card, "/wish", body))
}
