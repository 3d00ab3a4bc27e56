//! Values as text with unit, tolerance and basis, exact: what is written reads back to the same bits.
//!
//! This is not how a typed value is read. That reading refuses what lies outside the range of today and fills in the
//! tolerance of the usual tool; a record keeps what was taken on its day, whatever is believed later.

use super::RecordError;
use catalog::value::Noted;
use catalog::{Dimension, Sort, Value};
use quantity::{Basis, Measured, Money, Quantity, Reading, Stated, Teeth};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An amount of money.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MoneyRecord {
    /// Whole minor units (cents).
    pub minor: i64,
    /// Three-letter code of the currency.
    pub currency: String,
}

impl From<Money> for MoneyRecord {
    fn from(money: Money) -> Self {
        Self { minor: money.minor(), currency: money.currency().to_owned() }
    }
}

impl MoneyRecord {
    /// The amount.
    ///
    /// # Errors
    /// [`RecordError::Text`] if the code of the currency is none.
    pub fn money(&self) -> Result<Money, RecordError> {
        Money::new(self.minor, &self.currency)
            .map_err(|_| RecordError::Text { what: "code of a currency", found: self.currency.clone() })
    }
}

/// A quantity without tolerance: `5.5 N·m`.
pub(super) fn plain_text<Q: Quantity>(quantity: Q) -> String {
    format!("{} {}", quantity.base(), Q::UNIT).trim_end().to_owned()
}

/// Reads [`plain_text`].
pub(super) fn plain<Q: Quantity>(text: &str) -> Result<Q, RecordError> {
    let refuse = || RecordError::Text { what: Q::NOUN, found: text.to_owned() };
    Stated::<Q>::parse(text).map(|stated| stated.value).map_err(|_| refuse())
}

/// The text of a reading: `410 ± 3 mm measured`, `11-12-13 counted`, `steel counted`, `fine`, `not taken`.
pub(super) fn reading_text(reading: &Reading<Value>) -> String {
    match reading {
        Reading::Taken(value) => value_text(value),
        Reading::Fine => "fine".to_owned(),
        Reading::NotReachable => "not reachable".to_owned(),
        Reading::NotNeeded => "not needed".to_owned(),
        Reading::NotTaken => "not taken".to_owned(),
    }
}

/// Reads [`reading_text`].
pub(super) fn reading(dimension: Dimension, text: &str) -> Result<Reading<Value>, RecordError> {
    match text {
        "fine" => Ok(Reading::Fine),
        "not reachable" => Ok(Reading::NotReachable),
        "not needed" => Ok(Reading::NotNeeded),
        "not taken" => Ok(Reading::NotTaken),
        text => value(dimension, text).map(Reading::Taken),
    }
}

fn value_text(value: &Value) -> String {
    match value {
        Value::Length(m) => measured_text(m),
        Value::Angle(m) => measured_text(m),
        Value::Ratio(m) => measured_text(m),
        Value::Lengths(all) => all.iter().map(measured_text).collect::<Vec<_>>().join("; "),
        Value::Count(n) => format!("{} {}", n.value, basis_text(&n.basis)),
        Value::Teeth(n) => {
            let teeth: Vec<String> = n.value.iter().map(Teeth::to_string).collect();
            format!("{} {}", teeth.join("-"), basis_text(&n.basis))
        }
        Value::Word(n) => format!("{} {}", n.value, basis_text(&n.basis)),
    }
}

fn value(dimension: Dimension, text: &str) -> Result<Value, RecordError> {
    Ok(match dimension.row().sort {
        Sort::Length => Value::Length(measured(text)?),
        Sort::Angle => Value::Angle(measured(text)?),
        Sort::Ratio => Value::Ratio(measured(text)?),
        Sort::Lengths if text.is_empty() => Value::Lengths(Vec::new()),
        Sort::Lengths => Value::Lengths(text.split("; ").map(measured).collect::<Result<_, _>>()?),
        Sort::Count => {
            let (body, basis) = split_basis(text)?;
            let refuse = |_| RecordError::Text { what: "whole number", found: text.to_owned() };
            Value::Count(Noted { value: body.parse().map_err(refuse)?, basis })
        }
        Sort::Teeth => {
            let (body, basis) = split_basis(text)?;
            let count = |word: &str| word.parse().ok().and_then(|count| Teeth::new(count).ok());
            let teeth: Option<Vec<Teeth>> =
                if body.is_empty() { Some(Vec::new()) } else { body.split('-').map(count).collect() };
            let refuse = || RecordError::Text { what: "list of tooth counts", found: text.to_owned() };
            Value::Teeth(Noted { value: teeth.ok_or_else(refuse)?, basis })
        }
        Sort::Word(words) => {
            let (body, basis) = split_basis(text)?;
            let unknown = || RecordError::UnknownWord { what: dimension.words(), found: body.to_owned() };
            let word = words.iter().find(|word| **word == body).ok_or_else(unknown)?;
            Value::Word(Noted { value: word, basis })
        }
    })
}

fn measured_text<Q: Quantity>(m: &Measured<Q>) -> String {
    let unit = if Q::UNIT.is_empty() { String::new() } else { format!(" {}", Q::UNIT) };
    format!("{} ± {}{unit} {}", m.value.base(), m.tolerance.base(), basis_text(&m.basis))
}

fn measured<Q: Quantity>(text: &str) -> Result<Measured<Q>, RecordError> {
    let refuse = || RecordError::Text { what: Q::NOUN, found: text.to_owned() };
    let (body, basis) = split_basis(text)?;
    let stated = Stated::<Q>::parse(body).map_err(|_| refuse())?;
    let tolerance = stated.tolerance.ok_or_else(refuse)?;
    Ok(Measured { value: stated.value, tolerance, basis })
}

fn basis_text(basis: &Basis) -> String {
    match basis {
        Basis::Measured => "measured".to_owned(),
        Basis::Counted => "counted".to_owned(),
        Basis::Printed => "printed".to_owned(),
        Basis::Assumed => "assumed".to_owned(),
        Basis::Published(key) => format!("published {key}"),
        Basis::Practice => "practice".to_owned(),
        Basis::Memory => "memory".to_owned(),
    }
}

fn split_basis(text: &str) -> Result<(&str, Basis), RecordError> {
    if let Some((body, key)) = text.split_once(" published ") {
        return Ok((body, Basis::Published(key.to_owned())));
    }
    let unknown = || RecordError::UnknownWord { what: "way to get a value", found: text.to_owned() };
    let (body, word) = text.rsplit_once(' ').ok_or_else(unknown)?;
    let basis = match word {
        "measured" => Basis::Measured,
        "counted" => Basis::Counted,
        "printed" => Basis::Printed,
        "assumed" => Basis::Assumed,
        "practice" => Basis::Practice,
        "memory" => Basis::Memory,
        _ => return Err(unknown()),
    };
    Ok((body, basis))
}
