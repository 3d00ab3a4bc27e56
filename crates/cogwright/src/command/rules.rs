//! `rules`: the handbook page, made from the rule table.

use super::print_json;
use crate::Status;
use crate::args::Rules;
use crate::files::Failure;
use crate::screen::{self, HEADING};
use catalog::standards::disagreement::disagreements;
use fit::{Audience, Coupling, Hazard, RULES, Rule, Warning};
use serde_json::json;
use std::fmt::Write;

pub(super) fn run(args: &Rules) -> Result<Status, Failure> {
    let named = |rule: &&Rule| args.rule.as_deref().is_none_or(|id| id == rule.id);
    let chosen: Vec<&Rule> = RULES.iter().copied().filter(named).collect();
    if let (Some(found), true) = (&args.rule, chosen.is_empty()) {
        return Err(Failure::Word {
            found: found.clone(),
            kind: "rule",
            accepted: RULES.iter().map(|rule| rule.id).collect(),
        });
    }
    if args.json {
        let rules: Vec<_> = chosen
            .iter()
            .map(|rule| {
                json!({
                    "id": rule.id, "question": rule.title, "coupling": rule.coupling.words(),
                    "touches": rule.touches.iter().map(|slot| slot.key()).collect::<Vec<_>>(),
                    "sentence": rule.sentence, "long": rule.long, "source": rule.source,
                    "caution": said(rule, Audience::Technician),
                    "caution_for_customer": said(rule, Audience::Customer),
                })
            })
            .collect();
        print_json(&rules)?;
        return Ok(Status::Works);
    }
    screen::print(&if args.page { page(&chosen) } else { terminal(&chosen) })?;
    Ok(Status::Works)
}

fn terminal(rules: &[&Rule]) -> String {
    let mut text = String::new();
    for rule in rules {
        let _ = writeln!(text, "\n{HEADING}{}{HEADING:#}: {}", rule.id, rule.title);
        let _ = writeln!(text, "  {}", rule.sentence);
        let _ = writeln!(text, "  {}", rule.long);
        let _ = writeln!(text, "  source: {}", rule.source);
        for (audience, words) in rule.caution.into_iter().flat_map(Warning::sentences) {
            let _ = writeln!(text, "  {}: {words}", caution_of(audience));
        }
    }
    text
}

/// The handbook as a page of Markdown, by the chains of dependence of a refit.
fn page(rules: &[&Rule]) -> String {
    let mut text = String::from(
        "# Handbook of the rules\n\nMade from the rule table by `cogwright rules --page`; do not edit it by hand.\n\
         The figure that the maker prints on a part or in its leaflet wins over every figure here; local rules come \
         first.\n",
    );
    for chain in Coupling::ALL {
        let mut of_chain = rules.iter().filter(|rule| rule.coupling == *chain).peekable();
        if of_chain.peek().is_none() {
            continue;
        }
        let _ = writeln!(text, "\n## {}", upper_first(chain.words()));
        for rule in of_chain {
            let _ = writeln!(text, "\n### {} `{}`\n", upper_first(rule.title), rule.id);
            let _ = writeln!(text, "**{}.**\n", upper_first(rule.sentence));
            let _ = writeln!(text, "{}\n", rule.long);
            let touches: Vec<&str> = rule.touches.iter().map(|slot| slot.words()).collect();
            let speaks = if touches.is_empty() {
                "always, where the facts are known".to_owned()
            } else {
                format!("when the refit changes {}", touches.join(", "))
            };
            let _ = writeln!(text, "- Speaks {speaks}.");
            if !rule.silent_without.is_empty() {
                let taken: Vec<&str> =
                    rule.silent_without.iter().map(|dimension| dimension.words()).collect();
                let _ = writeln!(text, "- Silent where nobody took: {}.", taken.join(", "));
            }
            let _ = writeln!(text, "- If it is wrong: {}.", harm(rule.hazard));
            let _ = writeln!(text, "- Source: {}.", rule.source);
            for (audience, words) in rule.caution.into_iter().flat_map(Warning::sentences) {
                let _ = writeln!(text, "- {}: {words}.", upper_first(caution_of(audience)));
            }
        }
    }
    disagree(&mut text);
    text
}

/// What a rule says to a reader.
fn said(rule: &Rule, reader: Audience) -> Option<&'static str> {
    let mut sentences = rule.caution.into_iter().flat_map(Warning::sentences);
    sentences.find(|(audience, _)| *audience == reader).map(|(_, words)| words)
}

fn caution_of(audience: Audience) -> &'static str {
    match audience {
        Audience::Customer => "caution for the customer",
        Audience::Everybody | Audience::Technician => "caution",
    }
}

/// Where the sources of the tables disagree.
fn disagree(text: &mut String) {
    text.push_str(
        "\n## Where sources disagree\n\nFound by laying the rows of the tables side by side. No reading is averaged away, and \
         none decides by itself: the part is measured, and what is printed on it wins. The letter says how well a \
         reading is supported: A seen directly or in two that agree, B in one secondary source, C from memory with \
         arithmetic behind it, D from memory alone.\n\n| what | readings |\n| --- | --- |\n",
    );
    for one in disagreements() {
        let readings: Vec<String> = one
            .readings
            .iter()
            .map(|(reading, source)| match source {
                Some(source) => format!("{reading} ({}; {:?})", source.words, source.confidence),
                None => reading.clone(),
            })
            .collect();
        let _ = writeln!(text, "| {} | {} |", one.what, readings.join(" · "));
    }
}

fn harm(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Comfort => "looks or comfort suffer",
        Hazard::Function => "the bike works badly, is noisy or wears",
        Hazard::Damage => "a part is damaged, or the bike brakes or drives poorly",
        Hazard::Rider => "the rider may be hurt",
    }
}

fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
