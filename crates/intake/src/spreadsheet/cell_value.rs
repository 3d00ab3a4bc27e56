//! A cell as the value of a field: text with a unit, or a number whose column says the unit.

use super::cell::Cell;
use super::columns::units;
use crate::problem::quoted;
use crate::value_text::{self, Context};
use catalog::{Dimension, Field, Sort, Value};
use quantity::{Reading, digits};
use std::borrow::Cow;
use toml::Spanned;
use toml::de::{DeArray, DeValue};

/// What was found and what would be accepted.
pub(super) type Refused = (String, String);

/// Separates the entries of a list in one cell.
const LIST_SIGN: char = ';';

/// Reads the value of a field from a cell that is not empty.
pub(super) fn reading(
    field: Field,
    cell: &Cell<'_>,
    unit: Option<&str>,
    comma: bool,
    context: Context<'_>,
) -> Result<Reading<Value>, Refused> {
    let sort = field.dimension.row().sort;
    let text = text(cell).map_err(|what| (what, accepted(field)))?;
    let value = if let Sort::Lengths = sort {
        let mut list = DeArray::default();
        for piece in text.split(LIST_SIGN) {
            let piece = completed(piece.trim(), sort, unit, comma).map_err(|what| (what, accepted(field)))?;
            list.push(Spanned::new(0..0, DeValue::String(piece)));
        }
        match is_answer(&text) {
            true => DeValue::String(text),
            false => DeValue::Array(list),
        }
    } else {
        DeValue::String(completed(&text, sort, unit, comma).map_err(|what| (what, accepted(field)))?)
    };
    value_text::reading(field, &Spanned::new(0..0, value), context).map_err(|refusal| {
        let help = match (sort, refusal.help) {
            (Sort::Word(_), Some(help)) => help,
            _ => accepted(field),
        };
        (refusal.what, help)
    })
}

/// The text of a cell, or what else stands in it.
pub(super) fn text<'c>(cell: &'c Cell<'_>) -> Result<Cow<'c, str>, String> {
    match cell {
        Cell::Date => {
            Err("a date stands here; a sheet program makes one of `10-11`, so that the cell must be \
            formatted as text before it is typed"
                .to_owned())
        }
        Cell::Truth => Err("true or false stands here".to_owned()),
        Cell::Error(error) => Err(format!("the formula of this cell failed with {}", quoted(error))),
        Cell::Unsolved => {
            Err("a formula stands here without its result; open the file in a sheet program and \
            save it again, or put the value in place of the formula"
                .to_owned())
        }
        Cell::Text(text) if text.starts_with('=') => {
            Err(format!("{} is the text of a formula, not its result", quoted(text)))
        }
        cell => cell.written().ok_or_else(|| "nothing is written here".to_owned()),
    }
}

fn is_answer(text: &str) -> bool {
    value_text::ANSWERS.contains(&text.trim())
}

/// A text with the decimal sign of the language and with the unit of its column where it has none.
pub(super) fn completed<'t>(
    text: &'t str,
    sort: Sort,
    unit: Option<&str>,
    comma: bool,
) -> Result<Cow<'t, str>, String> {
    if !matches!(sort, Sort::Length | Sort::Lengths | Sort::Angle | Sort::Ratio) || is_answer(text) {
        return Ok(Cow::Borrowed(text));
    }
    let text = pointed(text, comma)?;
    let Some((number, rest)) = bare(&text).filter(|_| !units(sort).is_empty()) else { return Ok(text) };
    match unit {
        Some(unit) => Ok(format!("{number} {unit} {rest}").trim_end().to_owned().into()),
        None => {
            let likely = units(sort).first().copied().unwrap_or_default();
            Err(format!(
                "{} has no unit and its column names none; write `{number} {likely}` in the cell, or the unit in \
                the header, such as `[{likely}]`, or in the header map",
                quoted(number)
            ))
        }
    }
}

/// The text with a decimal point. Where decimals have a comma, a point may be one of thousands: it is refused.
pub(super) fn pointed(text: &str, comma: bool) -> Result<Cow<'_, str>, String> {
    if !comma {
        return Ok(Cow::Borrowed(text));
    }
    let (body, rest) = match text.find(" published ") {
        Some(at) => text.split_at(at),
        None => (text, ""),
    };
    if body.contains('.') {
        return Err(format!(
            "{} has a decimal point, but the header map says that decimals have a comma",
            quoted(text)
        ));
    }
    Ok(Cow::Owned(format!("{}{rest}", body.replace(',', "."))))
}

/// The number and the word for its basis, if there is no unit between them.
fn bare(text: &str) -> Option<(&str, &str)> {
    let in_number = |letter: char| {
        letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-' | '−' | '+' | '±' | '/' | ' ')
    };
    let end = text.find(|letter| !in_number(letter)).unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let first = rest.split(' ').next().unwrap_or_default();
    let is_basis = quantity::text::BASIS_WORDS
        .iter()
        .any(|word| word.split(' ').next().is_some_and(|word| word == first));
    let has_digit = number.bytes().any(|byte| byte.is_ascii_digit());
    (has_digit && (rest.is_empty() || is_basis)).then_some((number.trim(), rest.trim()))
}

/// What a cell of this field holds.
pub(super) fn accepted(field: Field) -> String {
    let row = field.dimension.row();
    let range = |unit: &str| {
        let end =
            |value: f64| digits::with_unit(value, usize::from((value - value.round()).abs() > 1e-6), unit);
        format!("{} to {}", end(row.least), end(row.most))
    };
    let form = match row.sort {
        Sort::Length => format!("a length with its unit, {}", range("mm")),
        Sort::Lengths => format!("lengths with their units, {}, with `;` between them", range("mm")),
        Sort::Angle => format!("an angle with its unit, {}", range("deg")),
        Sort::Ratio => format!("a number, {}", range("")),
        Sort::Count => format!("a whole number, {}", range("")),
        Sort::Teeth if field.dimension == Dimension::Rings => {
            "tooth counts, largest first: `50-34`".to_owned()
        }
        Sort::Teeth => "tooth counts, smallest first: `11-12-13`".to_owned(),
        Sort::Word(words) => format!("one of {}", words.join(", ")),
    };
    format!("{}: {form}; an empty cell is unknown", row.words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalog::Slot;

    fn read(
        key: &str,
        slot: Slot,
        cell: Cell<'_>,
        unit: Option<&str>,
        comma: bool,
    ) -> Result<String, Refused> {
        let field = *slot.fields().iter().find(|field| field.key == key).unwrap();
        let sources = Default::default();
        let reading = reading(field, &cell, unit, comma, Context { sources: &sources })?;
        Ok(match reading.taken() {
            None => "answer".to_owned(),
            Some(Value::Length(m)) => {
                format!("{} ± {} mm {}", m.value.to_mm(), m.tolerance.to_mm(), m.basis.word())
            }
            Some(value) => format!("{value} {}", value.basis().word()),
        })
    }

    #[test]
    fn a_cell_names_its_unit_or_its_column_does() {
        let length = |cell, unit, comma| read("length", Slot::Stem, cell, unit, comma);
        for (cell, unit, comma, shown) in [
            (Cell::text("110 ± 0 mm printed"), None, false, "110 ± 0 mm printed"),
            (Cell::text("11 cm printed"), Some("mm"), false, "110 ± 0 mm printed"),
            (Cell::text("110 printed"), Some("mm"), false, "110 ± 0 mm printed"),
            (Cell::text("110 ± 2 assumed"), Some("mm"), false, "110 ± 2 mm assumed"),
            (Cell::Number(110.0), Some("mm"), false, "110 ± 2 mm measured"),
            (Cell::text("11,5 printed"), Some("cm"), true, "115 ± 0 mm printed"),
            (Cell::text("4 1/2 in printed"), None, false, "114.3 ± 0 mm printed"),
            (Cell::text("not needed"), Some("mm"), false, "answer"),
        ] {
            assert_eq!(length(cell.clone(), unit, comma).unwrap(), shown, "{cell:?}");
        }
        for (cell, unit, comma) in [
            (Cell::text("110"), None, false),
            (Cell::Number(110.0), None, false),
            (Cell::text("11,5 cm"), None, false),
            (Cell::text("1.150 mm"), None, true),
            (Cell::text("n/a"), Some("mm"), false),
            (Cell::text("-"), Some("mm"), false),
            (Cell::text("=A1*2"), Some("mm"), false),
            (Cell::Date, Some("mm"), false),
            (Cell::Truth, Some("mm"), false),
            (Cell::Error("#REF!".to_owned()), Some("mm"), false),
            (Cell::Unsolved, Some("mm"), false),
        ] {
            assert!(length(cell.clone(), unit, comma).is_err(), "{cell:?}");
        }
    }

    #[test]
    fn counts_teeth_lists_and_words_need_no_unit() {
        assert_eq!(read("pitches", Slot::Chain, Cell::Number(116.0), None, false).unwrap(), "116 counted");
        assert_eq!(read("rings", Slot::Crankset, Cell::text("50-34"), None, true).unwrap(), "50-34 counted");
        assert_eq!(
            read("ratio", Slot::RearDerailleur, Cell::text("1,75 memory"), None, true).unwrap(),
            "1.75 from memory"
        );
        let pulls = read("pulls", Slot::Levers, Cell::text("2.5; 2.75 mm"), Some("mm"), false).unwrap();
        assert_eq!(pulls, "2.50, 2.75 mm measured");
        assert!(read("pitches", Slot::Chain, Cell::Number(116.5), None, false).is_err());
        assert!(
            read("rings", Slot::Crankset, Cell::Date, None, false)
                .unwrap_err()
                .0
                .contains("formatted as text")
        );
        let spline = read("spline", Slot::Cassette, Cell::text("9-shalow"), None, false).unwrap_err();
        assert!(spline.1.contains("9-shallow"), "{spline:?}");
    }
}
