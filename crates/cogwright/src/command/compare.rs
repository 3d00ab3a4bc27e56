//! `compare`: what changed between two states of a refit file.

use super::print_json;
use crate::Status;
use crate::args::Compare;
use crate::files::{Failure, catalogue, refit};
use crate::report::{plain_table, print_table};
use crate::screen::{self, HEADING, verdict_style};
use comfy_table::Cell;
use fit::words::{fact_note, fact_words, verdict_words};
use fit::{Change, Verdict, changes, plan};
use serde_json::json;
use std::fmt::Write;

pub(super) fn run(args: &Compare) -> Result<Status, Failure> {
    let catalogue = catalogue(&args.catalogue)?;
    let earlier = plan(&refit(Some(&args.earlier), &catalogue)?, &catalogue);
    let later = plan(&refit(Some(&args.later), &catalogue)?, &catalogue);
    let changes = changes(&earlier, &later);
    let status = Status::of(later.verdict);
    if args.json {
        let changes: Vec<_> = changes
            .iter()
            .map(|change| {
                let facts = |facts: &[fit::Fact]| facts.iter().map(fact_words).collect::<Vec<_>>();
                json!({
                    "rule": change.rule.id, "was": change.was.map(Verdict::word), "is": change.is.map(Verdict::word),
                    "gone": facts(&change.gone), "come": facts(&change.come),
                })
            })
            .collect();
        print_json(
            &json!({ "was": earlier.verdict.word(), "is": later.verdict.word(), "changes": changes }),
        )?;
        return Ok(status);
    }
    let mut text = String::new();
    let _ = writeln!(
        text,
        "{HEADING}{}{HEADING:#}: {}, before {}",
        later.name,
        verdict_words(later.verdict),
        verdict_words(earlier.verdict)
    );
    if changes.is_empty() {
        text.push_str("  no interface stands on anything else than before\n");
    }
    for change in &changes {
        tell(&mut text, change);
    }
    if changes.iter().any(Change::turned) {
        text.push_str("\n  a verdict turned: what was agreed on the earlier plan has to be agreed again\n");
    }
    screen::print(&text)?;
    Ok(status)
}

fn tell(text: &mut String, change: &Change) {
    let words = |verdict: Option<Verdict>| verdict.map_or("not touched", verdict_words);
    let style = verdict_style(change.is.unwrap_or(Verdict::Works));
    let _ = writeln!(
        text,
        "\n{style}{}{style:#}, before {}: {} [{}]",
        words(change.is),
        words(change.was),
        change.rule.title,
        change.rule.id
    );
    let mut table = plain_table();
    for (label, facts) in [("was", &change.gone), ("is", &change.come)] {
        for fact in facts {
            table.add_row(vec![
                Cell::new(label),
                Cell::new(format!("{}, {}", fact_words(fact), fact_note(fact))),
            ]);
        }
    }
    print_table(text, &table);
}
