//! The report of a plan for a terminal: verdict first, then what decides it, then the numbers for the stand.

pub(crate) mod change_order;
pub(crate) mod choice;
pub(crate) mod estimate;
mod geometry;
mod options;
pub(crate) mod promise;

use crate::own_rules;
use crate::screen::{HEADING, QUIET, verdict_style};
use catalog::Slot;
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table};
use document::{extremes, left_alone, why_words};
use fit::words::{Label, margin_words, steps, tell, to_measure_words, verdict_words};
use fit::{Audience, Avoid, Coupling, Finding, Hazard, Pair, Plan, Verdict};
use quantity::{Pitches, digits};
use std::fmt::Write;

/// Columns of the report: what fits a terminal and a sheet in one.
const WIDTH: u16 = 112;

/// The whole report.
pub(crate) fn report(plan: &Plan) -> String {
    let mut out = String::new();
    head(&mut out, plan);
    for verdict in [Verdict::Refused, Verdict::Fails, Verdict::Remedy, Verdict::Marginal, Verdict::Measure] {
        for finding in plan.findings.iter().filter(|finding| finding.verdict == verdict) {
            told(&mut out, finding);
        }
    }
    own_rules::told(&mut out, plan);
    works(&mut out, plan);
    heading(&mut out, "Gears");
    gears(&mut out, plan);
    geometry::geometry(&mut out, plan);
    if !plan.to_measure.is_empty() {
        heading(&mut out, "Measure first");
        to_measure(&mut out, plan);
    }
    heading(&mut out, "Parts");
    parts(&mut out, plan);
    heading(&mut out, "What this wish pulls, and what it leaves alone");
    pulls(&mut out, plan);
    heading(&mut out, "Cautions");
    for caution in plan.cautions_for(Audience::Technician) {
        let mark = if caution.hazard == Hazard::Rider { "!" } else { "-" };
        wrapped(&mut out, mark, caution.words);
    }
    for caution in plan.cautions.iter().filter(|caution| caution.audience == Audience::Customer) {
        wrapped(&mut out, "-", &format!("tell the customer: {}", caution.words));
    }
    out
}

fn heading(out: &mut String, text: &str) {
    let _ = writeln!(out, "\n{HEADING}{text}{HEADING:#}");
}

fn head(out: &mut String, plan: &Plan) {
    let style = verdict_style(plan.verdict);
    let _ = writeln!(out, "{HEADING}{}{HEADING:#}", plan.name);
    if let Some(words) = &plan.refit.wish.words {
        let _ = writeln!(out, "The customer: “{words}”");
    }
    match plan.nothing_chosen {
        // What fails or is refused on the bike as it is stands all the same.
        Some(nothing) if plan.verdict < Verdict::Fails => {
            let _ = writeln!(out, "{style}NOTHING CHOSEN YET{style:#}: {}", nothing.words());
        }
        _ => {
            let verdict = verdict_words(plan.verdict).to_uppercase();
            let _ = writeln!(out, "{style}{verdict}{style:#}: {}", tally(plan));
        }
    }
    let alarm = verdict_style(Verdict::Refused);
    for flag in &plan.flags {
        let _ = writeln!(out, "{alarm}! {flag}{alarm:#}");
    }
}

/// How many interfaces have which verdict.
fn tally(plan: &Plan) -> String {
    let counts: Vec<String> = Verdict::ALL
        .iter()
        .rev()
        .filter_map(|verdict| {
            let n = plan.findings.iter().filter(|finding| finding.verdict == *verdict).count();
            (n > 0).then(|| format!("{n} {}", tally_words(*verdict, n)))
        })
        .collect();
    if counts.is_empty() {
        "this refit changes nothing that a rule looks at".to_owned()
    } else {
        counts.join(", ")
    }
}

fn tally_words(verdict: Verdict, n: usize) -> &'static str {
    match (verdict, n) {
        (Verdict::Works, 1) => "works",
        (Verdict::Works, _) => "work",
        (Verdict::Remedy, 1) => "works with a remedy",
        (Verdict::Remedy, _) => "work with a remedy",
        (Verdict::Marginal, _) => "marginal",
        (Verdict::Measure, _) => "to be measured first",
        (Verdict::Fails, 1) => "does not work",
        (Verdict::Fails, _) => "do not work",
        (Verdict::Refused, _) => "refused",
    }
}

/// A finding in full.
pub(crate) fn told(out: &mut String, finding: &Finding) {
    let told = tell(finding);
    let style = verdict_style(finding.verdict);
    let (verdict, question) = told.head.split_once(':').unwrap_or((&told.head, ""));
    let _ = writeln!(out, "\n{style}{verdict}{style:#}:{question} {QUIET}[{}]{QUIET:#}", finding.rule.id);
    let mut table = plain_table();
    for row in &told.rows {
        let text = match (row.label, row.note.as_str()) {
            (_, "") => row.text.clone(),
            // What a cure costs stands with it; where a fact comes from stands beside it.
            (Label::DoThis | Label::Or, note) => format!("{} ({note})", row.text),
            (_, note) => format!("{}, {note}", row.text),
        };
        table
            .add_row(vec![Cell::new(row.label.words()).set_alignment(CellAlignment::Right), Cell::new(text)]);
    }
    print_table(out, &table);
}

/// What works: a line each, with its numbers. The report is never silent on a good bike.
fn works(out: &mut String, plan: &Plan) {
    let of = |record: bool| {
        plan.findings
            .iter()
            .filter(move |f| f.verdict == Verdict::Works && (f.rule.coupling == Coupling::Record) == record)
    };
    if of(false).next().is_some() {
        heading(out, "Works, with the numbers for the stand");
        let mut table = plain_table();
        for finding in of(false) {
            let assumed = if finding.is_assumed() { " (assumed, not measured)" } else { "" };
            let mut text = format!("{}{assumed}", steps(finding).join("; "));
            if let Some(margin) = &finding.margin {
                let _ = write!(text, "; margin {}", margin_words(margin));
            }
            for line in &finding.lines {
                let _ = write!(text, "\n{line}");
            }
            table.add_row(vec![Cell::new(finding.rule.id), Cell::new(text)]);
        }
        print_table(out, &table);
    }
    if of(true).next().is_some() {
        heading(out, "Measurements that agree with each other");
        let mut table = plain_table();
        for finding in of(true) {
            table.add_row(vec![Cell::new(finding.rule.id), Cell::new(steps(finding).join("; "))]);
        }
        print_table(out, &table);
    }
}

/// Gears before and after.
pub(crate) fn gears(out: &mut String, plan: &Plan) {
    let (before, after) = (extremes(&plan.gears_before), extremes(&plan.gears_after));
    for (name, old, new) in [("lowest gear", before.0, after.0), ("highest gear", before.1, after.1)] {
        let metres = |m: Option<f64>| m.map_or("not known".to_owned(), |m| digits::with_unit(m, 2, "m"));
        let change = match (old, new) {
            (Some(old), Some(new)) => {
                format!(" ({})", digits::signed_with_unit((new / old - 1.0) * 100.0, 1, "%"))
            }
            _ => String::new(),
        };
        let _ = writeln!(out, "  {name}: {} -> {} a turn{change}", metres(old), metres(new));
    }
    for (title, pairs) in [("as found", &plan.gears_before), ("after", &plan.gears_after)] {
        gear_table(out, title, pairs);
    }
}

fn gear_table(out: &mut String, title: &str, pairs: &[Pair]) {
    let mut rings: Vec<_> = pairs.iter().map(|pair| pair.ring).collect();
    rings.dedup();
    if rings.is_empty() {
        let _ = writeln!(out, "  {title}: rings or cogs are not known");
        return;
    }
    let of = |ring| pairs.iter().filter(move |pair| pair.ring == ring);
    let mut table = plain_table();
    let mut header = vec![Cell::new(title), Cell::new("cog")];
    header.extend(of(rings[0]).map(|pair| right(pair.cog.to_string())));
    table.add_row(header);
    for ring in rings {
        let mut row = vec![Cell::new(format!("ring {ring}")), Cell::new("metres")];
        let mut step = vec![Cell::new(""), Cell::new("step %")];
        let mut last: Option<f64> = None;
        for pair in of(ring) {
            row.push(right(match pair.development_m {
                Some(metres) => format!("{}{}", digits::fixed(metres, 2), mark(pair)),
                None => format!("{}{}", digits::fixed(pair.ratio(), 2), mark(pair)),
            }));
            step.push(right(
                last.map_or(String::new(), |last| digits::fixed((last / pair.ratio() - 1.0) * 100.0, 0)),
            ));
            last = Some(pair.ratio());
        }
        table.add_row(row);
        table.add_row(step);
    }
    print_table(out, &table);
    if pairs.iter().all(|pair| pair.development_m.is_none()) {
        let _ = writeln!(out, "  the rollout is not known: ratios instead of metres");
    }
    for pair in pairs.iter().filter(|pair| !pair.avoid().is_empty()) {
        let why: Vec<String> = pair.avoid().iter().map(|why| avoid_words(*why, pair)).collect();
        let _ = writeln!(out, "  avoid {}x{}: {}", pair.ring, pair.cog, why.join("; "));
    }
    for pair in pairs.iter().filter(|pair| pair.avoid().is_empty()) {
        if let Some(slack) = pair.slack_pitches.filter(|slack| *slack > 0.0) {
            let mm = digits::with_unit(slack * Pitches::MM, 0, "mm");
            let _ = writeln!(
                out,
                "  {}x{}: {} of chain hang ({})",
                pair.ring,
                pair.cog,
                mm,
                digits::with_unit(slack, 1, "pitches")
            );
        }
    }
}

fn avoid_words(why: Avoid, pair: &Pair) -> String {
    match why {
        Avoid::Rubs => format!(
            "the chain rubs on the larger ring ({})",
            digits::signed_with_unit(pair.rub_gap_mm.unwrap_or(0.0), 1, "mm")
        ),
        Avoid::Slack => {
            let slack = pair.slack_pitches.unwrap_or(0.0);
            format!(
                "{} of chain hang slack ({})",
                digits::with_unit(slack * Pitches::MM, 0, "mm"),
                digits::signed_with_unit(slack, 1, "pitches")
            )
        }
    }
}

fn mark(pair: &Pair) -> &'static str {
    if pair.avoid().is_empty() { "" } else { "!" }
}

pub(crate) fn right(text: String) -> Cell {
    Cell::new(text).set_alignment(CellAlignment::Right)
}

/// What to measure, best first.
pub(crate) fn to_measure(out: &mut String, plan: &Plan) {
    let mut table = plain_table();
    table.add_row(["", "what", "with", "where", "min", "decides"]);
    for (i, wanted) in plan.to_measure.iter().enumerate() {
        let (what, tool, place) = to_measure_words(wanted);
        let minutes = digits::fixed(wanted.dimension.row().minutes, 1);
        table.add_row(vec![
            right((i + 1).to_string()),
            Cell::new(what),
            Cell::new(tool),
            Cell::new(place),
            right(minutes),
            Cell::new(wanted.waits.join(", ")),
        ]);
    }
    print_table(out, &table);
}

fn parts(out: &mut String, plan: &Plan) {
    if let Some(rule) = plan.stopped {
        let _ = writeln!(
            out,
            "  none: the job stops at {}, nothing is ordered and nothing further is measured",
            rule.id
        );
        let usable = plan.build.before.iter().filter(|part| part.slot() != Slot::Frame);
        let usable: Vec<String> = usable
            .map(|part| {
                let price = part.price().map_or("value unknown".to_owned(), |price| price.to_string());
                let name = if part.name().is_empty() { part.slot().words() } else { part.name() };
                format!("{name} ({price})")
            })
            .collect();
        let usable = if usable.is_empty() { "none written down".to_owned() } else { usable.join(", ") };
        wrapped(
            out,
            "or",
            &format!("another frame that takes the usable parts over, each looked at first: {usable}"),
        );
        wrapped(out, "or", "another bike");
        wrapped(
            out,
            "charged",
            "the intake alone; the reasons are printed, and the customer signs for having been told",
        );
        return;
    }
    if plan.parts.lines.is_empty() {
        let _ = writeln!(out, "  none chosen");
        return;
    }
    let mut table = plain_table();
    for line in &plan.parts.lines {
        let assumed = if line.assumed { " (quantity assumed: count the pieces)" } else { "" };
        let delivery = match line.lead_days {
            Some(0) => "in stock".to_owned(),
            Some(1) => "1 day".to_owned(),
            Some(days) => format!("{days} days"),
            None => "delivery unknown".to_owned(),
        };
        let sum = line.price.and_then(|price| price.times(line.quantity).ok());
        table.add_row(vec![
            right(line.quantity.to_string()),
            Cell::new(&line.name),
            right(sum.map_or("price unknown".to_owned(), |price| price.to_string())),
            Cell::new(delivery),
            Cell::new(format!("{}{assumed}", why_words(&line.why))),
        ]);
    }
    print_table(out, &table);
    match (&plan.parts.total, &plan.parts.problem) {
        (Some(total), _) => {
            let unpriced = match plan.parts.unpriced {
                0 => String::new(),
                n => format!(", and {n} without a known price"),
            };
            let days = match plan.parts.days {
                Some(0) => "all in stock".to_owned(),
                Some(days) => format!("the last part in {days} working days"),
                None => "the delivery of a part is unknown".to_owned(),
            };
            let _ = writeln!(out, "  parts together {total}{unpriced}; {days}; labour comes on top");
            over_ceiling(out, plan, *total);
        }
        (None, Some(problem)) => {
            let _ = writeln!(out, "  no sum: {problem}");
        }
        (None, None) => {
            let _ = writeln!(out, "  no sum: no part has a known price");
        }
    }
}

fn over_ceiling(out: &mut String, plan: &Plan, total: quantity::Money) {
    let Some(ceiling) = plan.refit.wish.ceiling else { return };
    match ceiling.minus(total) {
        Ok(left) if left.minor() < 0 => {
            let _ = writeln!(out, "  the ceiling is {ceiling}: the parts alone pass it");
        }
        Ok(left) => {
            let _ = writeln!(out, "  the ceiling is {ceiling}: {left} are left for labour");
        }
        Err(problem) => {
            let _ = writeln!(out, "  the ceiling is {ceiling}: {problem}");
        }
    }
}

fn pulls(out: &mut String, plan: &Plan) {
    let pulled: Vec<&str> = plan.pulls.iter().map(|coupling| coupling.words()).collect();
    let pulled = if pulled.is_empty() { "nothing".to_owned() } else { pulled.join("; ") };
    wrapped(out, "pulls", &pulled);
    for added in &plan.added {
        wrapped(out, "adds", &format!("{}, because of {}", added.part.name(), added.rule.id));
    }
    let left = left_alone(plan);
    wrapped(out, "keeps", &if left.is_empty() { "nothing".to_owned() } else { left.join("; ") });
}

pub(crate) fn wrapped(out: &mut String, mark: &str, text: &str) {
    let mut table = plain_table();
    table.add_row([mark, text]);
    print_table(out, &table);
}

pub(crate) fn plain_table() -> Table {
    let mut table = Table::new();
    table
        .load_style(comfy_table::presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH);
    table
}

/// Prints a table without the blanks at the ends of its lines.
pub(crate) fn print_table(out: &mut String, table: &Table) {
    for line in table.to_string().lines() {
        let _ = writeln!(out, " {}", line.trim_end());
    }
}
