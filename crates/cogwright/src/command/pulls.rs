//! `pulls`: what a wish pulls along, and what it leaves alone.

use super::{plan, print_json};
use crate::Status;
use crate::args::Refit;
use crate::files::Failure;
use crate::report::{plain_table, print_table};
use crate::screen::{self, HEADING};
use comfy_table::Cell;
use document::left_alone;
use fit::cures::couplings;
use fit::words::verdict_words;
use fit::{Coupling, Plan};
use serde_json::{Value, json};
use std::fmt::Write;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    let (pulled, still): (Vec<_>, Vec<_>) = chains().partition(|chain| plan.pulls.contains(chain));
    if args.json {
        let pulled: Vec<Value> = pulled
            .iter()
            .map(|chain| json!({ "chain": chain.words(), "parts": parts_of(&plan, *chain), "interfaces": interfaces(&plan, *chain) }))
            .collect();
        let still: Vec<&str> = still.iter().map(|chain| chain.words()).collect();
        print_json(&json!({ "pulls": pulled, "leaves": still, "keeps": left_alone(&plan) }))?;
        return Ok(Status::of(plan.verdict));
    }
    let mut text = format!("{HEADING}{}{HEADING:#}\n", plan.name);
    for chain in &pulled {
        let _ = writeln!(
            text,
            "\n{HEADING}pulls {}{HEADING:#}: {}",
            chain.words(),
            parts_of(&plan, *chain).join("; ")
        );
        let mut table = plain_table();
        for finding in plan.findings.iter().filter(|finding| finding.rule.coupling == *chain) {
            table.add_row(vec![Cell::new(verdict_words(finding.verdict)), Cell::new(finding.rule.title)]);
        }
        print_table(&mut text, &table);
    }
    let still: Vec<&str> = still.iter().map(|chain| chain.words()).collect();
    let none = |list: Vec<&str>| if list.is_empty() { "nothing".to_owned() } else { list.join("; ") };
    let _ = writeln!(text, "\n{HEADING}leaves alone{HEADING:#}: {}", none(still));
    let _ = writeln!(text, "{HEADING}keeps{HEADING:#}: {}", none(left_alone(&plan)));
    screen::print(&text)?;
    Ok(Status::of(plan.verdict))
}

/// The chains that parts pull: all but the wish and the record.
fn chains() -> impl Iterator<Item = Coupling> {
    Coupling::ALL.iter().copied().filter(|chain| !matches!(chain, Coupling::Wish | Coupling::Record))
}

fn parts_of(plan: &Plan, chain: Coupling) -> Vec<String> {
    let on_chain = plan.build.choice.iter().filter(|part| couplings(part.slot()).contains(&chain));
    on_chain.map(|part| part.name().to_owned()).collect()
}

fn interfaces(plan: &Plan, chain: Coupling) -> Vec<Value> {
    let on_chain = plan.findings.iter().filter(|finding| finding.rule.coupling == chain);
    on_chain.map(|finding| json!({ "rule": finding.rule.id, "verdict": finding.verdict.word() })).collect()
}
