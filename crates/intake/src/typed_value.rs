//! One value as it is typed at the stand, sent by a page or kept in a store, and the text that reads back to it.

use crate::spreadsheet::{Minus, cell_text, shown_unit, typed};
use crate::value_text::Context;
use catalog::{Dimension, Field, Slot, Value};
use quantity::Reading;
use std::collections::BTreeMap;
use std::fmt;

/// The unit that stands beside the field of a dimension; none where it has none.
pub fn shown_unit_of(dimension: Dimension) -> Option<&'static str> {
    shown_unit(dimension)
}

/// Why a typed value is not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedError {
    /// What was found.
    pub what: String,
    /// What would be taken.
    pub help: String,
}

impl fmt::Display for TypedError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.what, self.help)
    }
}

impl std::error::Error for TypedError {}

/// Whether a bare number may be typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pad {
    /// The unit stands beside the field, and a comma may stand for the point.
    UnitShown,
    /// The text has to say its unit.
    UnitWritten,
}

/// Reads one value: a quantity with its unit, a list with semicolons between, a word of the dimension, or `fine`,
/// `not reachable`, `not needed`. Nothing typed means nothing taken.
///
/// `sources` are the keys that may stand after `published`.
///
/// # Errors
/// [`TypedError`]: what was found and what would be taken, with the range that is believed of the dimension.
///
/// # Example
/// ```
/// use catalog::{Dimension, Slot};
/// use intake::{Pad, read_value, value_text};
/// let sources = Default::default();
/// let read = |text| read_value(Slot::Frame, Dimension::Chainstay, text, Pad::UnitShown, &sources);
/// assert_eq!(value_text(Slot::Frame, Dimension::Chainstay, &read("410,5")?), "410.5 mm");
/// assert!(read("4105").unwrap_err().what.contains("outside"));
/// # Ok::<(), intake::TypedError>(())
/// ```
pub fn read_value(
    slot: Slot,
    dimension: Dimension,
    text: &str,
    pad: Pad,
    sources: &BTreeMap<String, String>,
) -> Result<Reading<Value>, TypedError> {
    let field = field(slot, dimension)?;
    let text = text.trim();
    if text.is_empty() {
        return Ok(Reading::NotTaken);
    }
    let (unit, comma) = match pad {
        // A hand types a point or a comma, whatever the pad offers.
        Pad::UnitShown => (shown_unit(dimension), text.contains(',')),
        Pad::UnitWritten => (None, false),
    };
    typed(field, text, unit, comma, Context { sources }).map_err(|(what, help)| TypedError { what, help })
}

/// The text that [`read_value`] reads back to the same reading, with its unit; empty if nothing is known.
pub fn value_text(slot: Slot, dimension: Dimension, reading: &Reading<Value>) -> String {
    match field(slot, dimension) {
        Ok(field) => cell_text(field, reading, Minus::Hyphen).join("; "),
        Err(_) => String::new(),
    }
}

fn field(slot: Slot, dimension: Dimension) -> Result<Field, TypedError> {
    let found = slot.fields().iter().find(|field| field.dimension == dimension).copied();
    found.ok_or_else(|| {
        let keys: Vec<&str> = slot.fields().iter().map(|field| field.key).collect();
        TypedError {
            what: format!("`{}` is not measured on the {}", dimension.words(), slot.words()),
            help: format!("what is measured there: {}", keys.join(", ")),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_of_the_catalogue_reads_back_from_its_text() {
        let catalogue = crate::built_in().unwrap();
        let mut read = 0;
        for part in &catalogue.parts {
            for field in part.slot().fields() {
                let Some(reading) = part.get(field.dimension) else { continue };
                let text = value_text(part.slot(), field.dimension, &reading);
                let again =
                    read_value(part.slot(), field.dimension, &text, Pad::UnitWritten, &catalogue.sources);
                assert_eq!(again.as_ref(), Ok(&reading), "{text}");
                read += usize::from(!text.is_empty());
            }
        }
        assert!(read > 1_500, "{read}");
    }

    #[test]
    fn a_pad_takes_a_point_or_a_comma_with_or_without_the_unit() {
        let sources = BTreeMap::new();
        let read =
            |text| read_value(Slot::Frame, Dimension::SeatTube, text, Pad::UnitShown, &sources).unwrap();
        for text in ["31.8", "31,8", "31.8 mm", "31,8 mm"] {
            assert_eq!(read(text), read("31.8 mm"), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_taken_says_what_would_be() {
        let sources = BTreeMap::new();
        let read = |slot, dimension, text| read_value(slot, dimension, text, Pad::UnitWritten, &sources);
        let error = read(Slot::Frame, Dimension::Chainstay, "410").unwrap_err();
        assert!(error.to_string().contains("mm"), "{error}");
        let error = read(Slot::Stem, Dimension::Chainstay, "410 mm").unwrap_err();
        assert!(error.what.contains("is not measured on the stem"), "{error}");
        let long = "9".repeat(5_000);
        for strange in ["410 parsecs", "NaN mm", "\u{0}", "-", "1e999 mm", &long] {
            assert!(read(Slot::Frame, Dimension::Chainstay, strange).is_err(), "{strange}");
        }
        assert_eq!(read(Slot::Frame, Dimension::Chainstay, " "), Ok(Reading::NotTaken));
        assert_eq!(read(Slot::Frame, Dimension::Chainstay, "not reachable"), Ok(Reading::NotReachable));
    }
}
