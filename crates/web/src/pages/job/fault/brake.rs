//! A brake, by its symptoms. The plan says which kind it is; another one may be picked.

use super::symptoms::{Told, asked, form, read};
use super::{Finder, Trouble, brake_of, choice, finder, into_the_record};
use crate::ask::Ask;
use crate::failure::{Failure, FieldFault};
use crate::pages::job::card;
use crate::reply::Reply;
use document::ComplaintDocument;
use fit::complaint::words::{brake_kind_words, brake_symptom_seen, brake_symptom_word};
use fit::complaint::{Brake, BrakeKind, BrakeSymptom, Complaint, answer};
use maud::html;

/// Kinds by the words of their field, as files call them.
const KINDS: [(&str, BrakeKind); 3] = [
    ("rim-brake", BrakeKind::Rim),
    ("cable-disc-brake", BrakeKind::CableDisc),
    ("fluid-disc-brake", BrakeKind::FluidDisc),
];

fn word_of(kind: BrakeKind) -> &'static str {
    KINDS.iter().find(|(_, other)| *other == kind).map_or("", |(word, _)| word)
}

pub(super) fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let planned = brake_of(&card);
    let picked = KINDS.iter().find(|(word, _)| *word == ask.query.text("kind")).map(|(_, kind)| *kind);
    let kind = picked.or(planned).unwrap_or(BrakeKind::Rim);
    let of_kind = BrakeSymptom::ALL.into_iter().filter(|symptom| symptom.is_of(kind));
    let asked = asked(of_kind, brake_symptom_word, brake_symptom_seen);
    let (shows, absent) = read(&asked, &ask.query);
    let complaint = Complaint {
        name: card.number(),
        brakes: vec![Brake { kind, shows, absent }],
        ..Complaint::default()
    };
    let findings = answer(&complaint).map_err(|why| FieldFault::one("What was seen", "", why.to_string()))?;
    let document = ComplaintDocument::of(&complaint, &findings);
    let end = if ask.query.text("end") == "rear" { "rear " } else { "front " };
    let told = document.brakes.first().map(|brake| {
        let told = Told {
            next: &brake.next,
            causes: &brake.causes,
            stop_riding: brake.stop_riding,
            stop_adjusting: brake.stop_adjusting,
            cautions: brake.cautions,
        };
        let line = told.line(&format!("{end}{}", brake.kind));
        html! { (told.show(&html! {})) (into_the_record(&card, Trouble::Brake, &line)) }
    });
    let ends = ["front", "rear"].map(|end| (end, end.to_owned()));
    let here = super::super::address(&card, Trouble::Brake.path());
    let seen = html! {
        section.card {
            h2 { "Which brake?" }
            input type="hidden" name="kind" value=(word_of(kind));
            // Another kind is another list of what can be seen: the page begins anew with it.
            div.kinds {
                @for (word, other) in KINDS {
                    a.button href=(format!("{here}?kind={word}")) aria-current=[(other == kind).then_some("true")] { (brake_kind_words(other)) }
                }
            }
            (choice(ask, "end", "End of the bike", "", &ends))
            @match planned {
                Some(known) if known == kind => { p.quiet { "As the plan has it." } }
                Some(known) => { p.doubt { "The plan has another kind: " (brake_kind_words(known)) "." } }
                None => { p.doubt { "The plan does not know the brakes of this bike: pick the kind." } }
            }
        }
        (form(ask, "What does it do?", &asked))
    };
    let page = Finder {
        card: &card,
        trouble: Trouble::Brake,
        scripts: &["fault.js"],
        answer: told.unwrap_or_default(),
        seen,
        beside: html! {},
    };
    Ok(finder(ask, page))
}
