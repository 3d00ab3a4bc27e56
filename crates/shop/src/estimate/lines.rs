//! The lines of an estimate: labour once, parts, what is known to be so, discounts.

use super::EstimateError;
use crate::labour::Labour;
use crate::price::{HowMuch, PriceError, PriceLine};
use crate::risk::{Faced, Standing};
use crate::tax::LineKind;
use crate::workshop::Terms;
use fit::{Plan, Why};
use quantity::Money;

/// Labour in one line, then the parts.
pub(super) fn lines(
    plan: &Plan,
    terms: &Terms,
    labour: &Labour,
    brought: bool,
) -> Result<(Vec<PriceLine>, Vec<String>), Vec<EstimateError>> {
    let minutes = labour.total.usual;
    let amount = terms.hour.share(minutes, 60).map_err(|error| vec![error.into()])?;
    let mut lines = vec![PriceLine {
        kind: LineKind::Labour,
        part: None,
        words: format!("labour, {} steps, each counted once", labour.steps.len()),
        how_much: HowMuch::Minutes(minutes),
        unit: Some(terms.hour),
        amount,
        why: "the steps of all operations together".to_owned(),
        priced_on: None,
        assumed: false,
    }];
    let (mut problems, mut unpriced) = (Vec::new(), Vec::new());
    for line in &plan.parts.lines {
        let is_own = brought && line.id.is_none() && line.why == Why::Chosen;
        let Some(unit) = line.price else {
            if !is_own {
                unpriced.push(line.name.clone());
            }
            continue;
        };
        if unit.currency() != terms.hour.currency() {
            problems.push(
                PriceError::OtherCurrency {
                    line: line.name.clone(),
                    found: unit.currency().to_owned(),
                    wanted: terms.hour.currency().to_owned(),
                }
                .into(),
            );
            continue;
        }
        let flat = line.id.as_deref() == Some("grease-and-cleaner");
        let kind = match (&line.why, flat) {
            (_, true) => LineKind::Consumable,
            (Why::Recipe(_), _) => LineKind::SmallPart,
            _ => LineKind::Part,
        };
        match unit.times(line.quantity) {
            Ok(amount) => lines.push(PriceLine {
                kind,
                part: line.id.clone(),
                words: line.name.clone(),
                how_much: if flat { HowMuch::Flat } else { HowMuch::Pieces(line.quantity) },
                unit: Some(unit),
                amount,
                why: why_words(&line.why),
                priced_on: terms.prices_on,
                assumed: line.assumed,
            }),
            Err(error) => problems.push(error.into()),
        }
    }
    if problems.is_empty() { Ok((lines, unpriced)) } else { Err(problems) }
}

fn why_words(why: &Why) -> String {
    match why {
        Why::Chosen => "chosen".to_owned(),
        Why::Added(rule) => format!("added by itself: {rule}"),
        Why::Recipe(recipe) => (*recipe).to_owned(),
    }
}

/// What is known to be so has a line of its own, before approval.
pub(super) fn certain(faced: &[Faced], terms: &Terms) -> Result<Vec<PriceLine>, EstimateError> {
    let mut lines = Vec::new();
    for faced in faced.iter().filter(|faced| faced.standing == Standing::Certain) {
        let minutes = faced.risk.minutes_now().round() as u32;
        let line = |kind, how_much, unit, amount| PriceLine {
            kind,
            part: None,
            words: faced.risk.words.clone(),
            how_much,
            unit,
            amount,
            why: "found at intake".to_owned(),
            priced_on: None,
            assumed: false,
        };
        if minutes > 0 {
            let amount = terms.hour.share(minutes, 60)?;
            lines.push(line(LineKind::Labour, HowMuch::Minutes(minutes), Some(terms.hour), amount));
        }
        if let Some(parts) = faced.risk.parts.filter(|parts| parts.minor() > 0) {
            lines.push(line(LineKind::Part, HowMuch::Flat, None, parts));
        }
    }
    Ok(lines)
}

/// Each discount as a line of its own for each sort of line that it meets.
pub(super) fn discounts(lines: &[PriceLine], terms: &Terms) -> Result<Vec<PriceLine>, EstimateError> {
    let mut given = Vec::new();
    for discount in &terms.discounts {
        for kind in
            LineKind::ALL.iter().filter(|kind| discount.kinds.is_empty() || discount.kinds.contains(kind))
        {
            let of_kind = lines.iter().filter(|line| line.kind == *kind);
            let sum = of_kind.map(|line| line.amount).try_fold(terms.hour.with_minor(0), Money::plus)?;
            let off = sum.share(discount.hundredths, 10_000)?;
            if off.minor() <= 0 {
                continue;
            }
            let percent = crate::tax::percent_words(discount.hundredths);
            given.push(PriceLine {
                kind: *kind,
                part: None,
                words: format!("discount on {}: {}, {percent} %", kind.words(), discount.words),
                how_much: HowMuch::Flat,
                unit: None,
                amount: off.with_minor(-off.minor()),
                why: "given".to_owned(),
                priced_on: None,
                assumed: false,
            });
        }
    }
    Ok(given)
}
