//! `rules`: the handbook page, made from the rule table.

use super::print_json;
use crate::Status;
use crate::args::Rules;
use crate::files::Failure;
use crate::screen::{self, HEADING};
use fit::{RULES, Rule};
use serde_json::json;
use std::fmt::Write;

pub(super) fn run(args: &Rules) -> Result<Status, Failure> {
    let chosen: Vec<&Rule> =
        RULES.iter().copied().filter(|rule| args.rule.as_deref().is_none_or(|id| id == rule.id)).collect();
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
                    "sentence": rule.sentence, "long": rule.long, "source": rule.source, "caution": rule.caution,
                })
            })
            .collect();
        print_json(&rules)?;
        return Ok(Status::Works);
    }
    let mut text = String::new();
    for rule in chosen {
        let _ = writeln!(text, "\n{HEADING}{}{HEADING:#}: {}", rule.id, rule.title);
        let _ = writeln!(text, "  {}", rule.sentence);
        let _ = writeln!(text, "  {}", rule.long);
        let _ = writeln!(text, "  source: {}", rule.source);
        if let Some(caution) = rule.caution {
            let _ = writeln!(text, "  caution: {caution}");
        }
    }
    screen::print(&text)?;
    Ok(Status::Works)
}
