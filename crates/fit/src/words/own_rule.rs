//! The shop's own rules in sentences.

use crate::build::When;
use crate::finding::Verdict;
use crate::own_rule::{OwnFinding, OwnRule, OwnVerdict, Pick, Term, Test};
use crate::words::verdict_words;

/// Where an own rule comes from, as it stands beside its verdict.
pub fn own_source(rule: &OwnRule) -> String {
    format!("the shop's own rule, {}, {}", rule.by, rule.on)
}

/// The verdict with the sentence of the rule.
pub fn own_head(own: &OwnFinding) -> String {
    let says = &own.rule.says;
    match (own.holds, &own.rule.verdict) {
        (Some(true), OwnVerdict::Caution) => format!("caution: {says}"),
        (Some(true), OwnVerdict::Overrides { rule, part, .. }) => {
            format!("counts as works, in place of marginal by {}, for {part}: {says}", rule.id)
        }
        _ => format!("{}: {says}", verdict_words(own.verdict)),
    }
}

/// What decided, what is missing, and what an override rests on; one line each.
pub fn own_lines(own: &OwnFinding) -> Vec<String> {
    let mut lines: Vec<String> = own
        .facts
        .iter()
        .map(|fact| format!("{} is {}, {}", fact.dimension.words(), fact.value, fact.value.basis().word()))
        .collect();
    match (&own.rule.verdict, own.holds) {
        (_, Some(false)) => {
            lines.push(format!("it holds where {}: it does not here", condition_words(&own.rule)))
        }
        (OwnVerdict::Overrides { rule, why, .. }, _) => {
            lines.push(format!("the finding of {} stays as it is; {why}", rule.id));
        }
        _ => lines.push(format!("it holds where {}", condition_words(&own.rule))),
    }
    if own.verdict == Verdict::Measure {
        lines.extend(own.missing.iter().map(|missing| {
            format!(
                "needs {} of the {}, {}",
                missing.dimension.words(),
                missing.slot.words(),
                missing.tool.0.words()
            )
        }));
    }
    lines
}

/// The condition of a rule.
pub fn condition_words(rule: &OwnRule) -> String {
    let (terms, joint) = match &rule.condition {
        crate::own_rule::Condition::All(terms) => (terms, " and "),
        crate::own_rule::Condition::Any(terms) => (terms, " or "),
    };
    terms.iter().map(term_words).collect::<Vec<_>>().join(joint)
}

fn term_words(term: &Term) -> String {
    let what = term.dimension.words();
    let when = if term.when == When::Before { " as found" } else { "" };
    match &term.test {
        Test::Is(word) => format!("{what}{when} is {word}"),
        Test::IsNot(word) => format!("{what}{when} is not {word}"),
        Test::Number { pick, side, limit, .. } => {
            let pick = match pick {
                Pick::Only => "",
                Pick::Smallest => "the smallest of ",
                Pick::Largest => "the largest of ",
            };
            format!("{pick}{what}{when} is {} {limit}", side.words())
        }
    }
}
