//! Parts out as a sheet: one row a part, one column for every field that one of them has.

use super::cell_text::{Minus, cell_text};
use catalog::Part;
use quantity::{Quantity, Reading};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};
use std::collections::BTreeSet;
use std::fmt;

/// The columns in front of the dimensions.
const LABELS: [&str; 6] = ["slot", "id", "name", "price", "mass", "lead_days"];

/// The form of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Text, UTF-8, separated by commas.
    Csv,
    /// A workbook with one sheet.
    Xlsx,
}

/// Why parts could not be written as a sheet.
#[derive(Debug)]
pub enum ExportError {
    /// A name that a sheet program would carry out as a formula.
    Formula(String),
    /// The text could not be put together.
    Csv(csv::Error),
    /// The workbook could not be put together.
    Xlsx(XlsxError),
}

impl fmt::Display for ExportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Formula(text) => write!(
                f,
                "the text `{text}` would be carried out as a formula by a sheet program; a name begins with a letter or a digit"
            ),
            Self::Csv(error) => write!(f, "the rows could not be written: {error}"),
            Self::Xlsx(error) => write!(f, "the workbook could not be written: {error}"),
        }
    }
}

impl std::error::Error for ExportError {}

impl From<csv::Error> for ExportError {
    fn from(error: csv::Error) -> Self {
        Self::Csv(error)
    }
}

impl From<XlsxError> for ExportError {
    fn from(error: XlsxError) -> Self {
        Self::Xlsx(error)
    }
}

/// Writes parts as a sheet that [`import`](super::import) reads again to the same parts, words for the basis
/// included.
///
/// The same parts give the same bytes.
///
/// # Errors
/// [`ExportError::Formula`] if a text would be carried out by a sheet program.
///
/// # Examples
/// ```
/// use intake::spreadsheet::{Format, export};
///
/// let catalogue = intake::built_in().unwrap();
/// let sheet = export(catalogue.for_slot(catalog::Slot::Tape), Format::Csv).unwrap();
/// assert!(sheet.starts_with(b"slot,id,name,price,mass,lead_days,roll,width,"));
/// ```
pub fn export<'a>(parts: impl IntoIterator<Item = &'a Part>, format: Format) -> Result<Vec<u8>, ExportError> {
    let parts: Vec<&Part> = parts.into_iter().collect();
    let keys = keys(&parts);
    let rows = parts.iter().map(|part| row(part, &keys));
    match format {
        Format::Csv => {
            let mut writer = csv::Writer::from_writer(Vec::new());
            writer.write_record(LABELS.iter().chain(&keys))?;
            for row in rows {
                writer.write_record(row?)?;
            }
            writer.into_inner().map_err(|error| ExportError::Csv(error.into_error().into()))
        }
        Format::Xlsx => {
            let mut workbook = Workbook::new();
            // The clock stays out of the file.
            let day = ExcelDateTime::from_ymd(2000, 1, 1)?;
            workbook.set_properties(&DocProperties::new().set_creation_datetime(&day));
            let sheet = workbook.add_worksheet().set_name("parts")?;
            for (column, key) in (0_u16..).zip(LABELS.iter().chain(&keys)) {
                sheet.write_string(0, column, *key)?;
            }
            for (line, row) in (1_u32..).zip(rows) {
                for (column, text) in (0_u16..).zip(row?).filter(|(_, text)| !text.is_empty()) {
                    match text.parse::<u32>() {
                        // What has no unit and no word for its basis stands as a number.
                        Ok(number)
                            if LABELS.get(usize::from(column)).is_none_or(|key| *key == "lead_days") =>
                        {
                            sheet.write_number(line, column, f64::from(number))?
                        }
                        _ => sheet.write_string(line, column, text)?,
                    };
                }
            }
            Ok(workbook.save_to_buffer()?)
        }
    }
}

/// The keys of the fields that have a reading in some part, in the order of files.
fn keys(parts: &[&Part]) -> Vec<&'static str> {
    let mut seen = BTreeSet::new();
    let mut keys = Vec::new();
    let slots: BTreeSet<_> = parts.iter().map(|part| part.slot()).collect();
    for field in slots.iter().flat_map(|slot| slot.fields()) {
        if seen.insert(field.key) {
            keys.push(field.key);
        }
    }
    keys
}

fn row(part: &Part, keys: &[&str]) -> Result<Vec<String>, ExportError> {
    let id = part.id().unwrap_or_default();
    for text in [id, part.name()] {
        if text.starts_with(['=', '+', '-', '@']) {
            return Err(ExportError::Formula(text.to_owned()));
        }
    }
    let mut row = vec![
        part.slot().key().to_owned(),
        id.to_owned(),
        part.name().to_owned(),
        part.price().map_or_else(String::new, |price| price.to_string()),
        part.mass().map_or_else(String::new, |mass| format!("{} g", mass.base())),
        part.lead_days().map_or_else(String::new, |days| days.to_string()),
    ];
    row.extend(keys.iter().map(|key| {
        let Some(field) = part.slot().fields().iter().find(|field| field.key == *key) else {
            return String::new();
        };
        let reading = part.get(field.dimension).unwrap_or(Reading::NotTaken);
        cell_text(*field, &reading, Minus::True).join("; ")
    }));
    Ok(row)
}
