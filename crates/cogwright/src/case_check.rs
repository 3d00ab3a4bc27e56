//! Compares a plan with what a case file says it must be.

use crate::report::report;
use catalog::Catalogue;
use document::PlanDocument;
use intake::case::Case;
use serde_json::Value;

/// Everything in which the plan differs from the case; empty if it is as written.
pub(crate) fn differences(case: &Case, catalogue: &Catalogue) -> Vec<String> {
    let plan = fit::plan(&case.refit, catalogue);
    let document = PlanDocument::of(&plan);
    let mut wrong = Vec::new();
    if let Some(wanted) = case.expect.verdict.as_deref().filter(|wanted| *wanted != document.verdict) {
        wrong.push(format!("verdict is {}, not {wanted}", document.verdict));
    }
    for (rule, wanted) in &case.expect.findings {
        match document.findings.iter().find(|finding| finding.rule == rule) {
            None if wanted == "silent" => {}
            None => wrong.push(format!("{rule} does not speak; wanted {wanted}")),
            Some(finding) if finding.verdict != wanted => {
                wrong.push(format!("{rule} is {}, not {wanted}", finding.verdict));
            }
            Some(_) => {}
        }
    }
    let text = plain(&report(&plan));
    for says in &case.expect.says {
        if !text.contains(&squeeze(says)) {
            wrong.push(format!("the report does not say `{says}`"));
        }
    }
    for says in &case.expect.never_says {
        if text.contains(&squeeze(says)) {
            wrong.push(format!("the report says `{says}`"));
        }
    }
    for part in &case.expect.adds {
        if !document.added.contains(part)
            && !document.parts.lines.iter().any(|line| line.id.as_ref() == Some(part))
        {
            wrong.push(format!("`{part}` is not put on the list"));
        }
    }
    for asked in &case.expect.never_asks {
        if document.to_measure.iter().any(|wanted| wanted.what.starts_with(asked.as_str())) {
            wrong.push(format!("the plan asks for the {asked}"));
        }
    }
    // The document is plain data of our own: it always turns into a value.
    let json = serde_json::to_value(&document).unwrap_or_default();
    for (path, wanted) in &case.expect.numbers {
        match find(&json, path) {
            None => wrong.push(format!("there is no number `{path}`")),
            Some(found) if !agrees(found, wanted) => wrong.push(format!("{path} is {found}, not {wanted}")),
            Some(_) => {}
        }
    }
    wrong
}

/// Without colour, with every run of white space as one blank: a sentence may be broken over lines.
fn plain(text: &str) -> String {
    squeeze(&anstream::adapter::strip_str(text).to_string())
}

fn squeeze(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A number by its path:
/// `RULE.NAME` and `RULE.margin`; `RULE.cure PART.NAME` for the first cure that fits this part;
/// `cut.rear shift.inner.length_mm` for a row of the cut list, its piece by how it begins;
/// `gears.before.lowest_m`, `gears.after.34x11.slack_mm` and so on.
fn find(json: &Value, path: &str) -> Option<f64> {
    let (head, rest) = path.split_once('.')?;
    if head == "gears" {
        return gear(&json["gears"], rest);
    }
    if head == "cut" {
        let (run, rest) = rest.split_once('.')?;
        let (piece, name) = rest.rsplit_once('.')?;
        let cuts = json["geometry"]["cut_list"]["value"]["cuts"].as_array()?;
        let is_it = |cut: &&Value| {
            cut["run"] == run && cut["piece"].as_str().is_some_and(|found| found.starts_with(piece))
        };
        let found = &cuts.iter().find(is_it)?[name];
        return found.as_f64().or_else(|| found[0].as_f64());
    }
    let finding = json["findings"].as_array()?.iter().find(|finding| finding["rule"] == head)?;
    if let Some(cure) = rest.strip_prefix("cure ") {
        let (part, name) = cure.rsplit_once('.')?;
        let fits =
            |cure: &&Value| cure["parts"].as_array().is_some_and(|parts| parts.iter().any(|id| id == part));
        let cure = finding["cures"].as_array()?.iter().find(fits)?;
        return if name == "days" { cure[name].as_f64() } else { cure["numbers"][name]["value"].as_f64() };
    }
    match rest {
        "margin" => finding["margin"]["value"].as_f64(),
        name => match name.rsplit_once('.') {
            Some((name, end)) => finding["numbers"][name][end].as_f64(),
            None => finding["numbers"][name]["value"].as_f64(),
        },
    }
}

fn gear(gears: &Value, path: &str) -> Option<f64> {
    let Some((when, rest)) = path.split_once('.') else { return gears[path].as_f64() };
    match rest.split_once('.') {
        None => gears[when][rest].as_f64(),
        Some((pair, name)) => {
            gears[when]["pairs"].as_array()?.iter().find(|candidate| candidate["pair"] == pair)?[name]
                .as_f64()
        }
    }
}

/// Whether a number is the printed one: within half of its last digit.
fn agrees(found: f64, printed: &str) -> bool {
    let text = printed.replace('−', "-");
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let Ok(wanted) = text.trim_start_matches('+').parse::<f64>() else { return false };
    let half = 0.5 * 10f64.powi(-i32::try_from(decimals).unwrap_or(0));
    (found - wanted).abs() <= half + 1e-9
}
