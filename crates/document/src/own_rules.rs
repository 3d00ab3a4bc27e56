//! The shop's own rules: beside the built-in ones, each with name and date.

use fit::OwnFinding;
use fit::words::own_rule::own_lines;
use schemars::JsonSchema;
use serde::Serialize;

/// What one rule of the shop found.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OwnRuleDocument {
    /// Key of the rule.
    pub rule: String,
    /// The rule in the words of the shop.
    pub says: String,
    /// Who decided it.
    pub by: String,
    /// When.
    pub on: String,
    /// Whether its condition holds; null if that cannot be told.
    pub holds: Option<bool>,
    /// The verdict.
    pub verdict: &'static str,
    /// Key of the built-in rule whose marginal verdict counts as works because of this.
    pub overrides: Option<&'static str>,
    /// What decided it, in words.
    pub because: Vec<String>,
    /// What the verdict waits for.
    pub missing: Vec<&'static str>,
}

impl OwnRuleDocument {
    /// The document of a finding.
    pub fn of(own: &OwnFinding) -> Self {
        Self {
            rule: own.rule.id.clone(),
            says: own.rule.says.clone(),
            by: own.rule.by.clone(),
            on: own.rule.on.clone(),
            holds: own.holds,
            verdict: own.verdict.word(),
            overrides: own.overrides().map(|rule| rule.id),
            because: own_lines(own),
            missing: own.missing.iter().map(|missing| missing.dimension.words()).collect(),
        }
    }
}
