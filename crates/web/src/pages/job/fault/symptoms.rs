//! Symptoms that are looked for one by one: each shows, is not there, or was not looked for.

use crate::ask::{Ask, Fields};
use document::complaint::{CauseDocument, SymptomNextDocument};
use maud::{Markup, html};

/// A symptom with its field and its words.
pub(super) struct Asked<S> {
    pub(super) symptom: S,
    pub(super) field: String,
    pub(super) words: &'static str,
}

/// The fields of some symptoms, by the words that files have for them.
pub(super) fn asked<S: Copy>(
    all: impl IntoIterator<Item = S>,
    word: fn(S) -> &'static str,
    seen: fn(S) -> &'static str,
) -> Vec<Asked<S>> {
    let one = |symptom| Asked { symptom, field: word(symptom).replace(' ', "-"), words: seen(symptom) };
    all.into_iter().map(one).collect()
}

const SHOWS: &str = "yes";
const ABSENT: &str = "no";

/// Those that show, and those that are not there.
pub(super) fn read<S: Copy>(asked: &[Asked<S>], fields: &Fields) -> (Vec<S>, Vec<S>) {
    let those = |answer: &str| {
        let is_so = |one: &&Asked<S>| fields.text(&one.field) == answer;
        asked.iter().filter(is_so).map(|one| one.symptom).collect()
    };
    (those(SHOWS), those(ABSENT))
}

/// The form.
pub(super) fn form<S>(ask: &Ask, title: &str, asked: &[Asked<S>]) -> Markup {
    html! {
        section.card {
            h2 { (title) }
            p { "Press a field until its answer is right. “Not there” speaks as well: say it where you looked." }
            div.symptoms {
                @for one in asked {
                    div.symptom {
                        span #{ "w-" (one.field) } { (one.words) }
                        select.cell name=(one.field) aria-label=(one.words) {
                            @for (word, words) in [("", "not looked"), (SHOWS, "yes"), (ABSENT, "not there")] {
                                option value=(word) selected[ask.query.text(&one.field) == word] { (words) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What follows from symptoms.
pub(super) struct Told<'a> {
    pub(super) next: &'a SymptomNextDocument,
    pub(super) causes: &'a [CauseDocument],
    pub(super) stop_riding: bool,
    pub(super) stop_adjusting: bool,
    pub(super) cautions: &'a [&'static str],
}

impl Told<'_> {
    /// The answer, with something of its own between causes and cautions.
    pub(super) fn show(&self, own: &Markup) -> Markup {
        let something = self.next.sort != "say";
        html! {
            h2 { "Next" }
            @if self.stop_riding { p.stop { "This bike is not ridden before it is mended." } }
            p.big-words { (self.next.words) }
            p { "Because " (self.next.reason) "." }
            @if self.stop_adjusting { p.stop { "Stop adjusting: most likely no screw and no barrel cures this. Straighten, clean, bleed or replace." } }
            @if something { (super::causes(self.causes)) }
            (own)
            ul.cautions { @for caution in self.cautions { li { (caution) } } }
        }
    }

    /// The same as a line of the record.
    pub(super) fn line(&self, part: &str) -> String {
        let best = self.causes.first().map_or("no cause found", |cause| cause.cause);
        format!("Fault of the {part}: {best}; next: {}", self.next.words)
    }
}
