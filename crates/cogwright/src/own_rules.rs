//! The shop's own rules in the report and in JSON: beside the built-in ones, each with name and date.

use crate::report::{plain_table, print_table};
use crate::screen::{HEADING, QUIET, verdict_style};
use comfy_table::{Cell, CellAlignment};
use fit::words::own_rule::{own_head, own_lines, own_source};
use fit::{OwnFinding, Plan};
use schemars::JsonSchema;
use serde::Serialize;
use std::fmt::Write;

/// What one rule of the shop found.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct OwnRuleDocument {
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
    pub(crate) fn of(own: &OwnFinding) -> Self {
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

/// The section of the report.
pub(crate) fn told(out: &mut String, plan: &Plan) {
    if plan.own.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{HEADING}The shop's own rules{HEADING:#}");
    for own in &plan.own {
        let style = verdict_style(own.verdict);
        let head = own_head(own);
        let (verdict, says) = head.split_once(':').unwrap_or((&head, ""));
        let _ = writeln!(out, "{style}{verdict}{style:#}:{says} {QUIET}[{}]{QUIET:#}", own.rule.id);
        let mut table = plain_table();
        let lines = std::iter::once(own_source(&own.rule)).chain(own_lines(own));
        for line in lines {
            table.add_row(vec![Cell::new("").set_alignment(CellAlignment::Right), Cell::new(line)]);
        }
        print_table(out, &table);
    }
}
