//! What changed between two plans of the same job: a changed measurement is shown with what it turned.

use crate::finding::{Fact, Finding, Verdict};
use crate::plan::Plan;
use crate::rule::Rule;

/// One interface whose verdict or whose facts changed.
#[derive(Clone, Debug)]
pub struct Change {
    /// The rule.
    pub rule: &'static Rule,
    /// The verdict before; none if the rule did not speak.
    pub was: Option<Verdict>,
    /// The verdict now; none if the rule does not speak any more.
    pub is: Option<Verdict>,
    /// Facts that only the earlier plan had.
    pub gone: Vec<Fact>,
    /// Facts that only the later plan has.
    pub come: Vec<Fact>,
}

impl Change {
    /// Whether the verdict itself changed.
    pub fn turned(&self) -> bool {
        self.was != self.is
    }
}

/// Every interface in which two plans differ, in the order of the rules: those with another verdict, and those
/// that stand on other facts. Nothing changed means an empty list.
pub fn changes(earlier: &Plan, later: &Plan) -> Vec<Change> {
    let find = |plan: &Plan, rule: &Rule| plan.findings.iter().position(|finding| finding.rule == rule);
    crate::rules::RULES
        .iter()
        .filter_map(|rule| {
            let was = find(earlier, rule).map(|at| &earlier.findings[at]);
            let is = find(later, rule).map(|at| &later.findings[at]);
            let change = Change {
                rule,
                was: was.map(|finding| finding.verdict),
                is: is.map(|finding| finding.verdict),
                gone: only(was, is),
                come: only(is, was),
            };
            (change.turned() || !change.gone.is_empty() || !change.come.is_empty()).then_some(change)
        })
        .collect()
}

fn only(of: Option<&Finding>, other: Option<&Finding>) -> Vec<Fact> {
    let facts = |finding: Option<&Finding>| finding.map_or_else(Vec::new, |finding| finding.facts.clone());
    let others = facts(other);
    facts(of).into_iter().filter(|fact| !others.contains(fact)).collect()
}
