//! Values that are not dimensions: names, whole numbers, money, mass, power.

use crate::document::wrong_form;
use crate::problem::{Refusal, quoted};
use quantity::{Money, Quantity, Stated, TextError};
use toml::Spanned;
use toml::de::DeValue;

/// A name is one line.
pub(crate) const MOST_IN_NAME: usize = 200;

/// What the customer said, or why a case exists: about two pages.
pub(crate) const MOST_IN_WORDS: usize = 4000;

/// A value with its unit is short; this leaves room for the key of a source.
pub(crate) const MOST_IN_VALUE: usize = 200;

/// The text under a key, not longer than `most` characters.
pub(crate) fn text<'t>(
    key: &str,
    value: &'t Spanned<DeValue<'_>>,
    example: &str,
    most: usize,
) -> Result<&'t str, Refusal> {
    let DeValue::String(text) = value.get_ref() else {
        return Err(wrong_form(key, value, "text in quotes", &format!("{key} = \"{example}\"")));
    };
    let length = text.chars().count();
    if length > most {
        let what = format!("`{key}` has {length} characters; at most {most} are kept");
        return Err(Refusal::at(value.span(), what));
    }
    Ok(text)
}

/// A name: one line of text with something in it.
pub(crate) fn name(key: &str, value: &Spanned<DeValue<'_>>, example: &str) -> Result<String, Refusal> {
    let text = text(key, value, example, MOST_IN_NAME)?;
    if text.trim().is_empty() {
        return Err(Refusal::at(value.span(), format!("`{key}` is empty"))
            .help(format!("write `{key} = \"{example}\"`")));
    }
    if text.chars().any(char::is_control) {
        return Err(Refusal::at(
            value.span(),
            format!("`{key}` holds control characters; one line of text is wanted"),
        ));
    }
    Ok(text.trim().to_owned())
}

/// Free words: any number of lines.
pub(crate) fn words(key: &str, value: &Spanned<DeValue<'_>>, example: &str) -> Result<String, Refusal> {
    let text = text(key, value, example, MOST_IN_WORDS)?;
    if text.chars().any(|letter| letter.is_control() && !matches!(letter, '\n' | '\r' | '\t')) {
        return Err(Refusal::at(
            value.span(),
            format!("`{key}` holds control characters; plain text is wanted"),
        ));
    }
    Ok(text.trim().to_owned())
}

/// A whole number between two bounds.
pub(crate) fn whole(key: &str, value: &Spanned<DeValue<'_>>, least: u32, most: u32) -> Result<u32, Refusal> {
    let example = format!("{key} = {}", least.midpoint(most.min(least.saturating_add(14))));
    let Some(found) = integer(value.get_ref()) else {
        return Err(wrong_form(key, value, "a whole number", &example));
    };
    match found.map(u32::try_from) {
        Some(Ok(number)) if (least..=most).contains(&number) => Ok(number),
        _ => Err(Refusal::at(value.span(), format!("`{key}` is outside {least} to {most}"))
            .help(format!("write it such as `{example}`"))),
    }
}

/// The whole number of a value, `Some(None)` if it is larger than can be counted, `None` if it is none.
pub(crate) fn integer(value: &DeValue<'_>) -> Option<Option<i64>> {
    match value {
        DeValue::Integer(number) => Some(i64::from_str_radix(number.as_str(), number.radix()).ok()),
        _ => None,
    }
}

/// An amount of money that is not below zero.
pub(crate) fn money(key: &str, value: &Spanned<DeValue<'_>>) -> Result<Money, Refusal> {
    let text = text(key, value, "64.00 EUR", MOST_IN_VALUE)?;
    let amount = Money::parse(text).map_err(|error| {
        Refusal::at(value.span(), format!("`{key}`: {error}"))
            .help(format!("write it such as `{key} = \"64.00 EUR\"`"))
    })?;
    if amount.minor() < 0 {
        return Err(Refusal::at(value.span(), format!("`{key}` is below zero")));
    }
    Ok(amount)
}

/// A quantity between two bounds in base units, without tolerance. A word for its basis may stand behind it.
pub(crate) fn quantity<Q: Quantity>(
    key: &str,
    value: &Spanned<DeValue<'_>>,
    example: &str,
    (least, most): (f64, f64),
) -> Result<Q, Refusal> {
    let text = text(key, value, example, MOST_IN_VALUE)?;
    let help = format!("write it such as `{key} = \"{example}\"`");
    let stated = Stated::<Q>::parse(text).map_err(|error| {
        // The likely unit of the type is not that of the thing: a rider is not weighed in grams.
        let what = match error {
            TextError::NoUnit { .. } => format!("`{key}` needs a unit"),
            error => format!("`{key}`: {error}"),
        };
        Refusal::at(value.span(), what).help(help.as_str())
    })?;
    if stated.tolerance.is_some() {
        return Err(Refusal::at(value.span(), format!("`{key}` takes no tolerance")).help(help));
    }
    if !(least..=most).contains(&stated.value.base()) {
        let unit = Q::UNIT;
        let what = format!("`{key}` is {}, outside {least} {unit} to {most} {unit}", quoted(text));
        return Err(Refusal::at(value.span(), what).help("if the number is right, check its unit"));
    }
    Ok(stated.value)
}
