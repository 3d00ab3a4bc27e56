//! One dimension as it stands in a file, read by the sort of its row.

use crate::document::wrong_form;
use crate::nearest::{nearest, offer};
use crate::plain_value::{MOST_IN_VALUE, integer};
use crate::problem::{Refusal, quoted};
use catalog::value::Noted;
use catalog::{Dimension, Field, Row, Sort, Value};
use quantity::{
    Angle, Basis, Length, Measured, Quantity, Ratio, Reading, SLACK, Stated, Teeth, TextError, digits,
};
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::DeValue;

/// Most cogs that a cassette has.
pub(crate) const MOST_COGS: usize = 14;
/// Most rings that a crankset has.
pub(crate) const MOST_RINGS: usize = 3;

/// Answers that may stand in place of any value.
pub(crate) const ANSWERS: [&str; 3] = ["fine", "not reachable", "not needed"];

/// What a value is read against.
#[derive(Clone, Copy)]
pub(crate) struct Context<'a> {
    /// The keys that may stand after `published`.
    pub(crate) sources: &'a BTreeMap<String, String>,
}

type Given<'t, 'a> = &'t Spanned<DeValue<'a>>;

/// Reads the value of a field.
pub(crate) fn reading(
    field: Field,
    value: Given<'_, '_>,
    context: Context<'_>,
) -> Result<Reading<Value>, Refusal> {
    if let Some(answer) = answer(value) {
        return Ok(answer);
    }
    let row = field.dimension.row();
    let read = match row.sort {
        Sort::Length => Value::Length(one::<Length>(field, value)?),
        Sort::Angle => Value::Angle(one::<Angle>(field, value)?),
        Sort::Ratio => Value::Ratio(one::<Ratio>(field, value)?),
        Sort::Lengths => Value::Lengths(lengths(field, value)?),
        Sort::Count => Value::Count(count(field, value)?),
        Sort::Teeth => Value::Teeth(teeth(field, value)?),
        Sort::Word(words) => Value::Word(word(field, words, value)?),
    };
    check_sources(&read, value, context)?;
    Ok(Reading::Taken(read))
}

/// How a field is written, with a value from the middle of its range.
pub(crate) fn example(field: Field) -> String {
    let row = field.dimension.row();
    let middle = row.least.midpoint(row.most).round().clamp(row.least, row.most);
    let whole = digits::fixed(middle, 0);
    let value = match row.sort {
        Sort::Length => format!("\"{} mm\"", number(row)),
        Sort::Lengths => format!("[\"{0} mm\", \"{0} mm\"]", number(row)),
        Sort::Angle => format!("\"{} deg\"", number(row)),
        Sort::Ratio => format!("\"{}\"", number(row)),
        Sort::Count => whole,
        Sort::Teeth if field.dimension == Dimension::Rings => "[50, 34]".to_owned(),
        Sort::Teeth => "[11, 12, 13]".to_owned(),
        Sort::Word(words) => format!("\"{}\"", words.first().unwrap_or(&"")),
    };
    format!("{} = {value}", field.key)
}

fn number(row: &Row) -> String {
    let middle = row.least.midpoint(row.most);
    let decimals = usize::from(row.most - row.least <= 20.0 && middle.fract() != 0.0);
    digits::fixed(middle, decimals)
}

/// `fine`, `not reachable`, `not needed`. No set of words holds one of these.
fn answer(value: Given<'_, '_>) -> Option<Reading<Value>> {
    let DeValue::String(text) = value.get_ref() else { return None };
    match text.trim() {
        "fine" => Some(Reading::Fine),
        "not reachable" => Some(Reading::NotReachable),
        "not needed" => Some(Reading::NotNeeded),
        _ => None,
    }
}

/// One quantity with the tolerance that was written or that of the usual tool.
fn one<Q: Quantity>(field: Field, value: Given<'_, '_>) -> Result<Measured<Q>, Refusal> {
    let row = field.dimension.row();
    let (stated, written) = match value.get_ref() {
        DeValue::String(text) => (stated::<Q>(field, value, text)?, text.to_string()),
        DeValue::Integer(number) => bare(field, value, &number.to_string())?,
        DeValue::Float(number) => bare(field, value, number.as_str())?,
        _ => {
            let wanted = if Q::UNIT.is_empty() { "a number" } else { "text with a unit" };
            return Err(wrong_form(field.key, value, wanted, &example(field)));
        }
    };
    check_range(field, value, stated.value.base(), Q::UNIT, &written)?;
    let tolerance = stated.tolerance.map_or(0.0, Q::base);
    if tolerance > row.most - row.least {
        let what = format!("the tolerance of `{}` is wider than all that is believed of it", field.key);
        let help = format!(
            "`{}` is believed from {}; check the unit of the tolerance",
            field.key,
            range_words(row, Q::UNIT)
        );
        return Err(Refusal::at(value.span(), what).help(help));
    }
    let usual = Q::from_base(row.tolerance.of(stated.value.base()));
    Ok(stated.or_tolerance(usual))
}

/// A quantity as it was written in text.
fn stated<Q: Quantity>(field: Field, value: Given<'_, '_>, text: &str) -> Result<Stated<Q>, Refusal> {
    short_enough(field, value, text)?;
    Stated::<Q>::parse(text).map_err(|error| match error {
        TextError::NoUnit { number, likely } => no_unit(field, value, &number, likely),
        // Where there is no unit, what follows the number can only be a word for the basis.
        TextError::UnknownUnit { found, .. } if Q::UNIT.is_empty() => {
            text_error(field, value, &TextError::UnknownWord(found))
        }
        error => text_error(field, value, &error),
    })
}

/// A number without quotes: good for a ratio, without unit for all else.
fn bare<Q: Quantity>(
    field: Field,
    value: Given<'_, '_>,
    written: &str,
) -> Result<(Stated<Q>, String), Refusal> {
    let number: f64 =
        written.parse().map_err(|_| text_error(field, value, &TextError::NotANumber(written.to_owned())))?;
    if !number.is_finite() {
        return Err(text_error(field, value, &TextError::NotFinite(written.to_owned())));
    }
    if !Q::UNIT.is_empty() {
        return Err(no_unit(field, value, written, Q::UNITS.first().map_or(Q::UNIT, |unit| unit.0)));
    }
    Ok((Stated { value: Q::from_base(number), tolerance: None, basis: Basis::Measured }, written.to_owned()))
}

fn no_unit(field: Field, value: Given<'_, '_>, number: &str, likely: &str) -> Refusal {
    let help = format!("did you mean `{} = \"{number} {likely}\"`?", field.key);
    Refusal::at(value.span(), format!("`{}` needs a unit", field.key)).help(help)
}

fn text_error(field: Field, value: Given<'_, '_>, error: &TextError) -> Refusal {
    Refusal::at(value.span(), format!("`{}`: {error}", field.key)).help(form_words(field))
}

fn form_words(field: Field) -> String {
    format!(
        "{}: {}; write it such as `{}`",
        field.dimension.words(),
        field.dimension.row().place,
        example(field)
    )
}

fn short_enough(field: Field, value: Given<'_, '_>, text: &str) -> Result<(), Refusal> {
    if text.len() > MOST_IN_VALUE {
        let what = format!("`{}` is longer than a value can be", field.key);
        return Err(Refusal::at(value.span(), what).help(form_words(field)));
    }
    Ok(())
}

fn check_range(
    field: Field,
    value: Given<'_, '_>,
    base: f64,
    unit: &str,
    written: &str,
) -> Result<(), Refusal> {
    let row = field.dimension.row();
    if row.least - SLACK <= base && base <= row.most + SLACK {
        return Ok(());
    }
    let what = format!("`{}` is {}, outside {}", field.key, quoted(written), range_words(row, unit));
    let help = format!("if the reading is right, check its unit and its place: {}", row.place);
    Err(Refusal::at(value.span(), what).help(help))
}

fn range_words(row: &Row, unit: &str) -> String {
    let end = |value: f64| {
        let decimals = usize::from((value - value.round()).abs() > SLACK);
        digits::with_unit(value, decimals, unit)
    };
    format!("{} to {}", end(row.least), end(row.most))
}

/// Several lengths in order.
fn lengths(field: Field, value: Given<'_, '_>) -> Result<Vec<Measured<Length>>, Refusal> {
    let DeValue::Array(entries) = value.get_ref() else {
        return Err(wrong_form(field.key, value, "a list", &example(field)));
    };
    if entries.is_empty() || entries.len() > MOST_COGS {
        let what = format!("`{}` has {} entries; 1 to {MOST_COGS} are wanted", field.key, entries.len());
        return Err(Refusal::at(value.span(), what).help(form_words(field)));
    }
    entries.iter().map(|entry| one::<Length>(field, entry)).collect()
}

/// A whole number, bare or as text with a word for its basis.
fn count(field: Field, value: Given<'_, '_>) -> Result<Noted<u32>, Refusal> {
    let (found, basis, written) = match value.get_ref() {
        DeValue::String(text) => {
            let (body, basis) = with_basis(field, value, text)?;
            (body.parse::<i64>().ok(), basis, body.to_owned())
        }
        DeValue::Integer(number) => (integer(value.get_ref()).flatten(), Basis::Counted, number.to_string()),
        _ => return Err(wrong_form(field.key, value, "a whole number", &example(field))),
    };
    let Some(found) = found else {
        let what = format!("`{}`: {} is not a whole number", field.key, quoted(&written));
        return Err(Refusal::at(value.span(), what).help(form_words(field)));
    };
    check_range(field, value, found as f64, "", &written)?;
    match u32::try_from(found) {
        Ok(value) => Ok(Noted { value, basis }),
        Err(_) => {
            Err(Refusal::at(value.span(), format!("`{}` is below zero", field.key)).help(form_words(field)))
        }
    }
}

/// Tooth counts: a list of whole numbers, or text such as `50-34`.
fn teeth(field: Field, value: Given<'_, '_>) -> Result<Noted<Vec<Teeth>>, Refusal> {
    let refuse = |what: String| Refusal::at(value.span(), what).help(form_words(field));
    let mut counts: Vec<i64> = Vec::new();
    let mut basis = Basis::Counted;
    match value.get_ref() {
        DeValue::Array(entries) => {
            for entry in entries.iter() {
                let Some(found) = integer(entry.get_ref()) else {
                    return Err(wrong_form(field.key, entry, "a whole number of teeth", &example(field)));
                };
                counts.push(found.unwrap_or(i64::MAX));
            }
        }
        DeValue::String(text) => {
            let (body, told) = with_basis(field, value, text)?;
            basis = told;
            for count in body.split(['-', '/']) {
                let found = count.trim().parse();
                counts.push(found.map_err(|_| {
                    refuse(format!("`{}`: {} is not a tooth count", field.key, quoted(count)))
                })?);
            }
        }
        _ => return Err(wrong_form(field.key, value, "a list of tooth counts", &example(field))),
    }
    let (most, rises) =
        if field.dimension == Dimension::Rings { (MOST_RINGS, false) } else { (MOST_COGS, true) };
    if counts.is_empty() || counts.len() > most {
        return Err(refuse(format!(
            "`{}` has {} tooth counts; 1 to {most} are wanted",
            field.key,
            counts.len()
        )));
    }
    let teeth = counts.iter().map(|count| Teeth::new(*count)).collect::<Result<Vec<_>, _>>();
    let teeth = teeth.map_err(|error| refuse(format!("`{}`: {error} teeth", field.key)))?;
    if !teeth.is_sorted_by(|a, b| if rises { a < b } else { a > b }) {
        return Err(out_of_order(field, value, teeth, rises));
    }
    Ok(Noted { value: teeth, basis })
}

fn out_of_order(field: Field, value: Given<'_, '_>, mut teeth: Vec<Teeth>, rises: bool) -> Refusal {
    let order = if rises {
        "smallest cog first, each larger than the one before"
    } else {
        "largest ring first, each smaller than the one before"
    };
    teeth.sort_unstable();
    teeth.dedup();
    if !rises {
        teeth.reverse();
    }
    let sorted: Vec<String> = teeth.iter().map(Teeth::to_string).collect();
    Refusal::at(value.span(), format!("`{}` is not written {order}", field.key)).help(format!(
        "count again, then write `{} = [{}]`",
        field.key,
        sorted.join(", ")
    ))
}

/// One word of a set.
fn word(
    field: Field,
    words: &'static [&'static str],
    value: Given<'_, '_>,
) -> Result<Noted<&'static str>, Refusal> {
    let DeValue::String(text) = value.get_ref() else {
        return Err(wrong_form(field.key, value, "one of a set of words", &example(field)));
    };
    let (found, basis) = with_basis(field, value, text)?;
    match words.iter().find(|word| **word == found) {
        Some(word) => Ok(Noted { value: word, basis }),
        None => {
            let known =
                nearest(found, words.iter().copied()).map_or_else(|| words.to_vec(), |word| vec![word]);
            let what = format!("{} is not a {}", quoted(found), field.dimension.words());
            Err(Refusal::at(value.span(), what).help(offer(found, &known)))
        }
    }
}

/// What was counted or seen, and the word for its basis behind the first space; counted where there is none.
fn with_basis<'t>(field: Field, value: Given<'_, '_>, text: &'t str) -> Result<(&'t str, Basis), Refusal> {
    short_enough(field, value, text)?;
    let Some((body, tail)) = text.trim().split_once(' ') else { return Ok((text.trim(), Basis::Counted)) };
    // The words for the basis are those of every quantity: they are read behind a number that is thrown away.
    match Stated::<Ratio>::parse(&format!("1 {}", tail.trim())) {
        Ok(Stated { tolerance: None, value, basis }) if value.to_f64() == 1.0 => Ok((body, basis)),
        Err(error @ TextError::UnknownWord(_)) => Err(text_error(field, value, &error)),
        _ => Err(text_error(field, value, &TextError::UnknownWord(tail.trim().to_owned()))),
    }
}

/// A value from a published source names a source that is known.
fn check_sources(read: &Value, value: Given<'_, '_>, context: Context<'_>) -> Result<(), Refusal> {
    let check = |basis: &Basis| match basis {
        Basis::Published(key) if !context.sources.contains_key(key) => {
            let known: Vec<&str> = context.sources.keys().map(String::as_str).collect();
            let what = format!("{} is not the key of a source", quoted(key));
            Err(Refusal::at(value.span(), what).help(offer(key, &known)))
        }
        _ => Ok(()),
    };
    match read {
        Value::Lengths(all) => all.iter().try_for_each(|length| check(&length.basis)),
        one => check(one.basis()),
    }
}
