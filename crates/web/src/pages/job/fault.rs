//! Something does not work as it should: one page a part that troubles, the answer above what is seen. Begin with
//! [`routes`].
//!
//! Everything stands in the address, so the page is the same after a reload and asks the job for nothing but its plan.

mod brake;
mod front;
mod noise;
mod rear;
mod symptoms;

use super::{forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use catalog::{Dimension, Slot, Value};
use document::complaint::CauseDocument;
use fit::When;
use fit::complaint::BrakeKind;
use fit::pairs::teeth;
use maud::{Markup, html};
use quantity::{Reading, Teeth, digits};

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/fault", Access::Staff, rear::page),
        show("/jobs/{job}/fault/front", Access::Staff, front::page),
        show("/jobs/{job}/fault/brake", Access::Staff, brake::page),
        show("/jobs/{job}/fault/noise", Access::Staff, noise::page),
    ]
}

/// A part that troubles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Trouble {
    Rear,
    Front,
    Brake,
    Noise,
}

impl Trouble {
    /// Its page, under that of the job.
    fn path(self) -> &'static str {
        match self {
            Self::Rear => "/fault",
            Self::Front => "/fault/front",
            Self::Brake => "/fault/brake",
            Self::Noise => "/fault/noise",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Rear => "Rear derailleur",
            Self::Front => "Front derailleur",
            Self::Brake => "A brake",
            Self::Noise => "A noise",
        }
    }
}

/// The page of a part that troubles.
pub(crate) fn address_of(card: &JobCard, trouble: Trouble) -> String {
    super::address(card, trouble.path())
}

/// The known tooth counts of the bike: as it will be, or as it was found.
fn teeth_of(card: &JobCard, dimension: Dimension) -> Vec<Teeth> {
    let of = |when| teeth(&card.plan.build, when, dimension);
    [When::After, When::Before].map(of).into_iter().find(|teeth| !teeth.is_empty()).unwrap_or_default()
}

/// A reading of the bike as it will be, or as it was found.
fn reading(card: &JobCard, slot: Slot, dimension: Dimension) -> Option<Value> {
    let of = |when| card.plan.build.reading(slot, when, dimension);
    [When::After, When::Before].map(of).into_iter().find_map(|reading| match reading {
        Reading::Taken(value) => Some(value),
        _ => None,
    })
}

/// The kind of brake that the plan knows.
fn brake_of(card: &JobCard) -> Option<BrakeKind> {
    let word = |dimension| {
        let found = reading(card, Slot::Calipers, dimension)?;
        Some(intake::value_text(Slot::Calipers, dimension, &Reading::Taken(found)))
    };
    let is_fluid = word(Dimension::CaliperFluid).is_some_and(|fluid| !fluid.starts_with("cable"));
    if is_fluid {
        return Some(BrakeKind::FluidDisc);
    }
    let mount = word(Dimension::CaliperMount)?;
    Some(if mount.starts_with("disc") { BrakeKind::CableDisc } else { BrakeKind::Rim })
}

/// What is offered, in its order: what this bike has comes first.
fn offered(card: &JobCard) -> [Trouble; 4] {
    // One ring needs no derailleur in front; where the rings are not known it may be there.
    if teeth_of(card, Dimension::Rings).len() == 1 {
        [Trouble::Rear, Trouble::Brake, Trouble::Noise, Trouble::Front]
    } else {
        [Trouble::Rear, Trouble::Front, Trouble::Brake, Trouble::Noise]
    }
}

/// A page of a complaint: the choice of the part at the top, the answer, and the form of what is seen.
struct Finder<'a> {
    card: &'a JobCard,
    trouble: Trouble,
    scripts: &'static [&'static str],
    answer: Markup,
    seen: Markup,
    /// Buttons beside *What is it?*.
    beside: Markup,
}

fn finder(ask: &Ask, finder: Finder<'_>) -> Reply {
    let Finder { card, trouble, scripts, answer, seen, beside } = finder;
    let here = super::address(card, trouble.path());
    let body = html! {
        div.fault {
            nav.troubles aria-label="Which part troubles?" {
                @for other in offered(card) {
                    a.button href=(super::address(card, other.path())) aria-current=[(other == trouble).then_some("page")] { (other.words()) }
                }
            }
            section.next #answer aria-live="polite" { (answer) }
            form #seen method="get" action=(here) hx-get=(here) hx-target="#answer" hx-select="#answer" hx-swap="outerHTML" hx-trigger="change delay:200ms" hx-sync="this:replace" hx-replace-url="true" {
                (seen)
                div.answers {
                    button.main { "What is it?" }
                    (beside)
                    a.button href=(here) { "Begin again" }
                    a.button href=(super::address(card, "/stand")) { "Back to the stand" }
                }
            }
        }
    };
    match room(ask, card, "/stand", body) {
        Reply::Page(mut page) => {
            page.scripts = scripts;
            // Its own fields are not swept away because somebody else does something to the job.
            page.follows = None;
            Reply::Page(page)
        }
        other => other,
    }
}

fn percent(probability: f64) -> String {
    format!("{} %", digits::fixed(100.0 * probability, 0))
}

/// The likeliest causes, with probability and word.
fn causes(all: &[CauseDocument]) -> Markup {
    html! {
        table {
            caption { "Causes, the likeliest first" }
            tbody {
                @for cause in all.iter().take(5) {
                    tr {
                        td.number { (percent(cause.probability)) }
                        td { (cause.word) }
                        th scope="row" { (cause.cause) @if let Some(cure) = cause.cure { p.quiet { (cure) } } }
                    }
                }
            }
        }
    }
}

/// The button that keeps the answer.
fn into_the_record(card: &JobCard, trouble: Trouble, words: &str) -> Markup {
    forms::act(
        card,
        "noted",
        trouble.path(),
        html! {
            input type="hidden" name="words" value=(words);
            button { "Write this into the record" }
        },
    )
}

/// A choice of a few answers.
fn choice(ask: &Ask, name: &str, label: &str, none: &str, answers: &[(&str, String)]) -> Markup {
    html! {
        div.check-line {
            label for=(name) { (label) }
            select id=(name) name=(name) {
                @if !none.is_empty() { option value="" { (none) } }
                @for (word, words) in answers { option value=(word) selected[ask.query.text(name) == *word] { (words) } }
            }
        }
    }
}
