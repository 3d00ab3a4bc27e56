//! The front derailleur, by its symptoms and by the travel of its cage.

use super::symptoms::{Told, asked, form, read};
use super::{Finder, Trouble, finder, into_the_record};
use crate::ask::Ask;
use crate::failure::{Failure, FieldFault};
use crate::pages::job::card;
use crate::reply::Reply;
use catalog::Dimension;
use document::ComplaintDocument;
use fit::complaint::words::{front_symptom_seen, front_symptom_word};
use fit::complaint::{Complaint, Front, FrontSymptom, answer};
use maud::html;
use quantity::{Length, digits};

/// Millimetres that a cage travels, and that rings stand apart.
const MOST_MM: f64 = 40.0;

pub(super) fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let asked = asked(FrontSymptom::ALL, front_symptom_word, front_symptom_seen);
    let (shows, absent) = read(&asked, &ask.query);
    let travel = millimetres(ask, "travel", "Travel of the cage")?;
    let gap = millimetres(ask, "gap", "From ring to ring")?;
    let front = Front { shows, absent, travel: travel.zip(gap) };
    let complaint = Complaint { name: card.number(), front: Some(front), ..Complaint::default() };
    let findings = answer(&complaint).map_err(|why| FieldFault::one("What was seen", "", why.to_string()))?;
    let document = ComplaintDocument::of(&complaint, &findings);
    let told = document.front.as_ref().map(|front| {
        let told = Told {
            next: &front.next,
            causes: &front.causes,
            stop_riding: front.stop_riding,
            stop_adjusting: front.stop_adjusting,
            cautions: front.cautions,
        };
        let short = html! {
            @if let Some(short) = front.travel_short_mm {
                p.stop { "One throw of the lever moves the cage " (digits::fixed(short, 1)) " mm too little: no screw helps. Look at lever, cage and cable path." }
            }
        };
        html! { (told.show(&short)) (into_the_record(&card, Trouble::Front, &told.line("front derailleur"))) }
    });
    let one_ring = super::teeth_of(&card, Dimension::Rings).len() == 1;
    let seen = html! {
        @if one_ring { p.doubt { "The plan has one ring: this bike should have no front derailleur." } }
        (form(ask, "What does it do?", &asked))
        section.card {
            h2 { "Travel of the cage" }
            p.quiet { "One throw of the lever against the gap of the rings, both in mm. No screw helps where it is too little." }
            div.window-line {
                @for (name, label) in [("travel", "Cage, one throw"), ("gap", "Ring to ring")] {
                    span { label for=(name) { (label) } input id=(name) name=(name) inputmode="decimal" size="5" value=(ask.query.text(name)) autocomplete="off"; }
                }
            }
        }
    };
    let page = Finder {
        card: &card,
        trouble: Trouble::Front,
        scripts: &["fault.js"],
        answer: told.unwrap_or_default(),
        seen,
        beside: html! {},
    };
    Ok(finder(ask, page))
}

fn millimetres(ask: &Ask, name: &str, field: &str) -> Result<Option<Length>, Failure> {
    let text = ask.query.text(name);
    if text.is_empty() {
        return Ok(None);
    }
    match text.replace(',', ".").parse::<f64>() {
        Ok(mm) if (0.0..=MOST_MM).contains(&mm) => Ok(Some(Length::mm(mm))),
        _ => Err(FieldFault::one(field, text, format!("0 to {MOST_MM} mm are wanted"))),
    }
}
