//! What a choice of a change order costs.

use super::{Cause, ChangeError, Choice};
use crate::price::{HowMuch, PriceError, PriceLine, Totals, totals};
use crate::tax::LineKind;
use crate::workshop::Terms;

/// The lines of a choice that adds so many minutes, and their sums.
pub(super) fn price(
    terms: &Terms,
    cause: Cause,
    choice: &Choice,
    minutes: u32,
) -> Result<(Vec<PriceLine>, Totals), Vec<ChangeError>> {
    let mut lines = Vec::new();
    let mut problems: Vec<ChangeError> = Vec::new();
    let line = |kind, words: String, how_much, unit, amount, why: &str| PriceLine {
        kind,
        part: None,
        words,
        how_much,
        unit: Some(unit),
        amount,
        why: why.to_owned(),
        priced_on: None,
        assumed: false,
    };
    if minutes > 0 {
        let carried = cause == Cause::MissedByUs;
        let charged = if carried { 0 } else { minutes };
        let why = if carried { "missed by us at intake: the shop carries it" } else { cause.words() };
        let words = format!("labour: {}", choice.words);
        match terms.hour.share(charged, 60) {
            Ok(amount) => {
                lines.push(line(LineKind::Labour, words, HowMuch::Minutes(minutes), terms.hour, amount, why));
            }
            Err(error) => problems.push(error.into()),
        }
    }
    for part in &choice.parts {
        let Some(unit) = part.price else {
            problems.push(PriceError::NoPrice(part.words.clone()).into());
            continue;
        };
        match unit.times(part.pieces) {
            Ok(amount) => {
                let (words, pieces) = (part.words.clone(), HowMuch::Pieces(part.pieces));
                lines.push(line(LineKind::Part, words, pieces, unit, amount, cause.words()));
            }
            Err(error) => problems.push(error.into()),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let totals = totals(&lines, &terms.taxes, terms.prices, terms.hour, terms.round_to)
        .map_err(|problems| problems.into_iter().map(ChangeError::Price).collect::<Vec<_>>())?;
    Ok((lines, totals))
}
