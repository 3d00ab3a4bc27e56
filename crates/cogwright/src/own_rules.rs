//! The shop's own rules in the report: beside the built-in ones, each with name and date.

use crate::report::{plain_table, print_table};
use crate::screen::{HEADING, QUIET, verdict_style};
use comfy_table::{Cell, CellAlignment};
use fit::Plan;
use fit::words::own_rule::{own_head, own_lines, own_source};
use std::fmt::Write;

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
