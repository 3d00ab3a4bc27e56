//! The one place where findings become sentences.
//!
//! A finding is told in a fixed order: verdict and question; the facts, each with its value and where it comes
//! from; the deductions; the margin; one thing to do. Surfaces only arrange the rows.

pub mod own_rule;
pub mod ride;

use crate::build::Origin;
use crate::finding::{Act, Answer, Cure, Fact, Finding, Margin, Missing, Number, Values, Verdict, Want};
use crate::measure_first::ToMeasure;
use catalog::{Dimension, Slot, Sort, Tool, Value};
use quantity::{Basis, digits};

/// A finding in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// Verdict and question.
    pub head: String,
    /// The rows below it.
    pub rows: Vec<Row>,
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What the row is.
    pub label: Label,
    /// What it says.
    pub text: String,
    /// Where it comes from; empty where that goes without saying.
    pub note: String,
}

/// What a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Label {
    /// The first fact.
    Because,
    /// A further fact.
    And,
    /// A deduction.
    So,
    /// A table that belongs to the finding.
    Table,
    /// The distance to the limit.
    Margin,
    /// What to measure.
    Measure,
    /// The first thing to do.
    DoThis,
    /// Another way.
    Or,
}

impl Label {
    /// The word before the row.
    pub fn words(self) -> &'static str {
        match self {
            Self::Because => "because",
            Self::And => "and",
            Self::So => "so",
            Self::Table => "",
            Self::Margin => "margin",
            Self::Measure => "measure",
            Self::DoThis => "do this",
            Self::Or => "or",
        }
    }
}

/// The verdict in a sentence.
pub fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Works => "works",
        Verdict::Remedy => "works with a remedy",
        Verdict::Marginal => "marginal",
        Verdict::Measure => "cannot tell yet",
        Verdict::Fails => "does not work",
        Verdict::Refused => "refused",
    }
}

/// Tells a finding in full.
pub fn tell(finding: &Finding) -> Told {
    let mut head = format!("{}: {}", verdict_words(finding.verdict), finding.rule.title);
    if finding.without >= Some(Verdict::Fails) {
        head.push_str(" (does not work with what is on the bike)");
    }
    if finding.is_assumed() {
        head.push_str(" (assumed, not measured)");
    }
    let mut rows = Vec::new();
    for (i, fact) in finding.facts.iter().enumerate() {
        let label = if i == 0 { Label::Because } else { Label::And };
        rows.push(Row { label, text: fact_words(fact), note: fact_note(fact) });
    }
    for step in steps(finding) {
        rows.push(Row { label: Label::So, text: step, note: String::new() });
    }
    for line in &finding.lines {
        rows.push(Row { label: Label::Table, text: line.clone(), note: String::new() });
    }
    if let Some(margin) = &finding.margin {
        rows.push(Row { label: Label::Margin, text: margin_words(margin), note: String::new() });
    }
    for missing in &finding.missing {
        rows.push(Row { label: Label::Measure, text: missing_words(missing), note: String::new() });
    }
    rows.extend(cure_rows(finding));
    Told { head, rows }
}

/// The deductions alone, in order.
pub fn steps(finding: &Finding) -> Vec<String> {
    finding.steps.iter().map(|step| fill(step, &finding.numbers)).collect()
}

fn cure_rows(finding: &Finding) -> Vec<Row> {
    let label = |i| if i == 0 { Label::DoThis } else { Label::Or };
    let mut rows: Vec<Row> = finding
        .cures
        .iter()
        .enumerate()
        .map(|(i, cure)| Row { label: label(i), text: cure_words(cure), note: cure_note(cure) })
        .collect();
    if rows.is_empty() {
        let text = match finding.verdict {
            Verdict::Marginal => "try it on this bike, and tell the customer before; other cure: none",
            Verdict::Fails | Verdict::Refused => "cure: none",
            Verdict::Works | Verdict::Remedy | Verdict::Measure => return rows,
        };
        rows.push(Row { label: Label::DoThis, text: text.to_owned(), note: String::new() });
    }
    rows
}

/// A fact: what it is and its value.
pub fn fact_words(fact: &Fact) -> String {
    format!("{} {}", dimension_words(fact.dimension, fact.slot, fact.origin), fact.value)
}

/// The dimension, and of which wheel where both have it. A chosen part is named anyway.
fn dimension_words(dimension: Dimension, slot: Slot, origin: Origin) -> String {
    let wheels = [Slot::RearWheel, Slot::FrontWheel];
    let has = |wheel: &Slot| wheel.fields().iter().any(|field| field.dimension == dimension);
    if origin == Origin::Found && wheels.contains(&slot) && wheels.iter().all(has) {
        format!("{}, {}", dimension.words(), slot.words())
    } else {
        dimension.words().to_owned()
    }
}

/// Where a fact comes from.
pub fn fact_note(fact: &Fact) -> String {
    let place = match fact.origin {
        Origin::Found => "on the bike".to_owned(),
        Origin::Chosen => format!("new {}", fact.slot.words()),
    };
    match fact.value.basis() {
        // What stands in the name of a part needs no further word; what was seen on the bike was seen.
        Basis::Counted if fact.origin == Origin::Chosen => place,
        Basis::Counted if matches!(fact.value, Value::Word(_)) => format!("seen, {place}"),
        Basis::Assumed => format!("ASSUMED, {place}"),
        Basis::Published(key) => format!("published ({key}), {place}"),
        basis => format!("{}, {place}", basis.word()),
    }
}

/// A number with its unit, without false digits.
pub fn number_words(number: &Number) -> String {
    let value = number.value;
    if number.signed {
        digits::signed_with_unit(value, number.decimals, number.unit)
    } else {
        digits::with_unit(value, number.decimals, number.unit)
    }
}

/// The margin with its tolerance, and in a unit of the shop.
pub fn margin_words(margin: &Margin) -> String {
    let mut text = digits::signed_with_unit(margin.span.middle(), margin.decimals, margin.unit);
    if !margin.span.is_exact() {
        let ends = [margin.span.least(), margin.span.most()].map(|end| digits::signed(end, margin.decimals));
        text.push_str(&format!(" ({} to {})", ends[0], ends[1]));
    }
    if let Some((value, unit)) = margin.shop {
        text.push_str(&format!(", that is {}", digits::signed_with_unit(value, 1, unit)));
    }
    text
}

/// A value that a section waits for: what it is and what to take it with.
pub fn wanted_words(missing: &Missing) -> String {
    let again = if missing.want == Want::Again { " (again)" } else { "" };
    let what = dimension_words(missing.dimension, missing.slot, missing.origin);
    format!("{what}{again}: {}", tool_words(missing.dimension, missing.tool))
}

fn missing_words(missing: &Missing) -> String {
    let row = missing.dimension.row();
    let why = match missing.want {
        Want::NotTaken => "",
        Want::CalledFine => " (called fine, but the value is needed)",
        Want::NotReachable => " (could not be reached: decide how)",
        Want::CalledNotNeeded => " (called not needed, but this wish needs it)",
        Want::Again => " again",
    };
    let place = match missing.origin {
        Origin::Found => format!("{}, {}", row.place, row.reach.words()),
        Origin::Chosen => format!("on the new {}: {}", missing.slot.words(), row.place),
    };
    let what = dimension_words(missing.dimension, missing.slot, missing.origin);
    let mut text = format!("{what}{why}: {} ({place})", tool_words(missing.dimension, missing.tool));
    if let [only] = missing.answers.as_slice() {
        text.push_str(&format!("; whatever it is, this then {}", then_words(only.verdict)));
    } else if missing.answers.len() > 1 {
        let answers: Vec<String> =
            missing.answers.iter().map(|answer| answer_words(missing.dimension, answer)).collect();
        text.push_str("; ");
        text.push_str(&answers.join(", "));
    }
    text
}

fn then_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Works => "works: it decides a number, not the verdict",
        Verdict::Remedy => "works with a remedy",
        Verdict::Marginal => "is marginal",
        Verdict::Measure => "waits for a finer reading",
        Verdict::Fails => "does not work",
        Verdict::Refused => "is refused",
    }
}

/// The tool with the tolerance that it reads to.
pub fn tool_words(dimension: Dimension, (tool, tolerance): (Tool, f64)) -> String {
    match unit(dimension) {
        Some(unit) if tolerance > 0.0 => {
            format!(
                "{}, to {}",
                tool.words(),
                digits::with_unit(tolerance, digits::decimals_for(tolerance, 2), unit)
            )
        }
        _ => tool.words().to_owned(),
    }
}

fn answer_words(dimension: Dimension, answer: &Answer) -> String {
    let verdict = answer.verdict.word();
    match answer.values {
        Values::Word(word) => format!("{word}: {verdict}"),
        Values::Between(from, to) => {
            let decimals = match dimension.row().sort {
                Sort::Count => 0,
                Sort::Ratio => 2,
                _ => digits::decimals_for(dimension.row().tolerance.of((from + to) / 2.0), 1),
            };
            let unit = unit(dimension).unwrap_or("");
            format!(
                "{} to {}: {verdict}",
                digits::fixed(from, decimals),
                digits::with_unit(to, decimals, unit)
            )
        }
    }
}

fn unit(dimension: Dimension) -> Option<&'static str> {
    match dimension.row().sort {
        Sort::Length | Sort::Lengths => Some("mm"),
        Sort::Angle => Some("°"),
        Sort::Ratio => Some(""),
        Sort::Count | Sort::Teeth | Sort::Word(_) => None,
    }
}

/// What to do, in a clause.
pub fn cure_words(cure: &Cure) -> String {
    let acts: Vec<String> = cure
        .acts
        .iter()
        .filter_map(|act| match act {
            Act::Fit(part) => Some(part.name().to_owned()),
            Act::Spacer(length) => Some(format!("a spacer of {length} behind the cassette")),
            Act::Work(work) => Some((*work).to_owned()),
            // A small part is named by the spacer or shim that it is.
            Act::Small(id) if cure.acts.len() == 1 => Some((*id).to_owned()),
            Act::Small(_) => None,
        })
        .collect();
    let mut text = acts.join(" + ");
    // A gear that stays as it is needs no word.
    let told = cure.numbers.iter().filter(|number| number.name != "easier" || number.value.abs() >= 0.05);
    let numbers: Vec<String> = told.map(outcome_words).collect();
    if !numbers.is_empty() {
        text.push_str(": ");
        text.push_str(&numbers.join(", "));
    }
    text
}

fn outcome_words(number: &Number) -> String {
    let value = number_words(number);
    match number.name {
        "with_spare" => format!("chain {}", digits::fixed(number.span.middle(), 2)),
        "count" => format!("cut to {}", digits::fixed(number.span.middle(), 0)),
        "capacity_needed" => format!("asks a capacity of {}", digits::fixed(number.span.middle(), 0)),
        "easier" if number.span.middle() < 0.0 => {
            format!("lowest gear {} harder than today", digits::with_unit(-number.span.middle(), 1, "%"))
        }
        "easier" => format!("lowest gear {value} easier than today"),
        "lowest" => format!("{value} a turn"),
        "highest" => format!("highest gear {value}"),
        "front_lower" => format!("front derailleur {value} lower"),
        "front_higher" => format!("front derailleur {value} higher"),
        "end_error" => format!("index error {value} at the ends"),
        _ => value,
    }
}

/// Money, days, what else it brings and pulls.
pub fn cure_note(cure: &Cure) -> String {
    let mut notes: Vec<String> = Vec::new();
    let fits = cure.acts.iter().any(|act| matches!(act, Act::Fit(_)));
    match cure.price {
        Some(price) if price.minor() > 0 => notes.push(format!("+{price}")),
        Some(price) => notes.push(price.to_string()),
        None if fits => notes.push("price unknown".to_owned()),
        None => {}
    }
    match cure.days {
        Some(0) => notes.push("in stock".to_owned()),
        Some(1) => notes.push("1 day".to_owned()),
        Some(days) => notes.push(format!("{days} days")),
        None if fits => notes.push("delivery unknown".to_owned()),
        None => {}
    }
    if cure.verdict > Verdict::Remedy {
        notes.push(format!("this then {}", then_words(cure.verdict)));
    }
    for (verdict, words) in
        [(Verdict::Marginal, "marginal"), (Verdict::Measure, "to be measured"), (Verdict::Fails, "fails")]
    {
        let ids: Vec<&str> = cure.brings.iter().filter(|b| b.1 == verdict).map(|b| b.0).collect();
        if !ids.is_empty() {
            notes.push(format!("{words}: {}", ids.join(" and ")));
        }
    }
    if !cure.keeps_wish {
        notes.push("gives up part of the wish".to_owned());
    }
    notes.join("; ")
}

/// A value to take, in words: what, with what, where.
pub fn to_measure_words(wanted: &ToMeasure) -> (String, String, String) {
    let row = wanted.dimension.row();
    let again = if wanted.want == Want::Again { " (again)" } else { "" };
    let what = match wanted.origin {
        Origin::Found => {
            format!("{}{again}", dimension_words(wanted.dimension, wanted.slot, wanted.origin))
        }
        Origin::Chosen => format!("{}{again}, on the new {}", row.words, wanted.slot.words()),
    };
    let place = match wanted.origin {
        Origin::Found => format!("{}; {}", row.place, row.reach.words()),
        Origin::Chosen => row.place.to_owned(),
    };
    (what, tool_words(wanted.dimension, wanted.tool), place)
}

/// Puts the numbers into a sentence.
fn fill(template: &str, numbers: &[Number]) -> String {
    let mut text = String::with_capacity(template.len() + 16);
    let mut rest = template;
    while let Some((before, after)) = rest.split_once('{') {
        let (name, tail) = after.split_once('}').unwrap_or((after, ""));
        text.push_str(before);
        match numbers.iter().find(|number| number.name == name) {
            Some(number) => text.push_str(&number_words(number)),
            // A name without a number is a slip in a rule, caught by the laws over generated bikes.
            None => text.push_str(name),
        }
        rest = tail;
    }
    text.push_str(rest);
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Span;

    #[test]
    fn numbers_stand_in_their_places() {
        let numbers = [
            Number::new("gap", Span::exact(2.65), "mm", 2),
            Number::difference("by", Span::exact(1.85), "mm", 2),
        ];
        assert_eq!(fill("moves {by}: {gap} stay", &numbers), "moves +1.85 mm: 2.65 mm stay");
        assert_eq!(fill("nothing to fill", &[]), "nothing to fill");
        assert_eq!(fill("an open { brace", &[]), "an open  brace");
    }
}
