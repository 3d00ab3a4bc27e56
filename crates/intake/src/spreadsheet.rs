//! Sheets in and out: a supplier's or a shop's list of parts as CSV or XLSX.
//!
//! Begin with [`import`]. It looks at the whole file and takes either every row or none: with one bad row
//! [`Import::parts`] is empty and [`Import::problems`] names every bad cell. Nothing is written anywhere; what to
//! do with the parts is the caller's. [`export`] writes parts so that [`import`] reads the same parts again.
//!
//! A header is the key of a field (`length`), the words of a dimension (`stem length`), or mapped to one of these
//! by a [`HeaderMap`]. A cell is written as in every other file, `110 mm printed`; a bare number is read only if
//! its column says the unit, `length [mm]`. An empty cell is unknown.

mod cell;
mod cell_problem;
mod cell_text;
mod cell_value;
mod columns;
mod comma_file;
mod export;
mod header_map;
mod row_taker;
mod workbook;

pub use cell_problem::{CellProblem, CellProblems};
pub(crate) use cell_text::{Minus, cell_text};
pub use export::{ExportError, Format, export};
pub use header_map::HeaderMap;

use crate::value_text::Context;
use catalog::{Catalogue, Dimension, Field, Part, Slot, Value};
use quantity::Reading;
use row_taker::RowTaker;

/// Most rows of a file, the headers not counted: 250,000. The largest list that one supplier of a workshop sends
/// has some tens of thousands; at about 1 kB a part the parts of such a file fit in 256 MB.
pub const MOST_ROWS: usize = 250_000;

/// Most columns of a sheet: all fields of all sorts of part are fewer.
pub const MOST_COLUMNS: usize = 500;

/// Most bytes of a file: 64 MiB.
pub const MOST_FILE_BYTES: usize = 64 << 20;

/// Most bytes of a workbook once unpacked: 64 MiB, three times what the most rows of a plain list need.
pub const MOST_UNPACKED_BYTES: u64 = 64 << 20;

/// How a file is read.
#[derive(Clone, Copy, Debug)]
pub struct Settings<'a> {
    /// What the rows are, where no column says so.
    pub slot: Option<Slot>,
    /// What the headers mean.
    pub map: &'a HeaderMap,
    /// What is there already: its keys are taken, its sources may be named.
    pub catalogue: &'a Catalogue,
}

/// What a file holds.
#[derive(Clone, Debug)]
pub struct Import {
    /// The parts of all rows, in the order of the file; none if anything is wrong.
    pub parts: Vec<Part>,
    /// What is wrong.
    pub problems: CellProblems,
    /// How many rows there were below the headers.
    pub rows_read: usize,
    /// What was told from the file and not said by anybody, such as the separator.
    pub told: Vec<String>,
}

/// Reads the parts of a CSV or XLSX file; which of the two is told from its first bytes.
///
/// The time grows with the number of cells, and the memory with the number of parts.
///
/// # Examples
/// ```
/// use catalog::{Catalogue, Slot};
/// use intake::spreadsheet::{HeaderMap, Settings, import};
///
/// let (map, catalogue) = (HeaderMap::default(), Catalogue::default());
/// let settings = Settings { slot: Some(Slot::Stem), map: &map, catalogue: &catalogue };
/// let sheet = "id;name;length [mm]\nstem-a;stem 110 mm;110\n";
/// assert_eq!(import("stems.csv", sheet.as_bytes(), &settings).parts.len(), 1);
///
/// let sheet = "id;name;length\nstem-a;stem 110 mm;110\n";
/// let import = import("stems.csv", sheet.as_bytes(), &settings);
/// assert!(import.parts.is_empty());
/// assert!(import.problems.to_string().contains("row 2, column `length`: `110` has no unit"));
/// ```
pub fn import(name: &str, bytes: &[u8], settings: &Settings<'_>) -> Import {
    let mut taker = RowTaker::new(name, settings);
    let mut told = Vec::new();
    if bytes.len() > MOST_FILE_BYTES {
        let what = format!("the file has {} bytes; at most {MOST_FILE_BYTES} are read", bytes.len());
        taker.problems.note_file(what, "split the file");
    } else if bytes.starts_with(b"PK\x03\x04") {
        told = workbook::read(bytes, &settings.map.sheets, &mut taker);
    } else if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        let what = "the workbook is of the older kind, or locked with a password";
        taker.problems.note_file(what, "save it without a password, in XLSX form or as CSV");
    } else if bytes.trim_ascii().is_empty() {
        taker.problems.note_file("nothing is written in this file", "a header row and one row a part");
    } else {
        told = comma_file::read(bytes, &mut taker);
    }
    if !taker.problems.is_empty() {
        taker.parts = Vec::new();
    }
    Import { parts: taker.parts, problems: taker.problems, rows_read: taker.rows_read, told }
}

/// Reads a value typed by itself, as a cell whose column has this unit would be read.
pub(crate) fn typed(
    field: Field,
    text: &str,
    unit: Option<&str>,
    comma: bool,
    context: Context<'_>,
) -> Result<Reading<Value>, (String, String)> {
    cell_value::reading(field, &cell::Cell::text(text), unit, comma, context)
}

/// The unit that a pad shows beside a dimension; none where it has none.
pub(crate) fn shown_unit(dimension: Dimension) -> Option<&'static str> {
    columns::units(dimension.row().sort).first().copied()
}
