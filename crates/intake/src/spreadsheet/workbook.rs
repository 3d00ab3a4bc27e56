//! XLSX workbooks, sheet by sheet and cell by cell, after a look at how large they become.

use super::cell::{Cell, letters};
use super::row_taker::{Next, RowTaker};
use super::{MOST_COLUMNS, MOST_UNPACKED_BYTES};
use calamine::{DataRef, Dimensions, Reader, SheetType, Xlsx};
use std::io::{self, Cursor, Read};
use zip::ZipArchive;

/// Most files within a workbook: a workbook has a dozen and one for each sheet.
const MOST_ENTRIES: usize = 2000;

/// Reads the rows of a workbook. The answer says what was taken for granted.
pub(super) fn read(bytes: &[u8], sheets: &[String], taker: &mut RowTaker<'_>) -> Vec<String> {
    let whole = "a workbook in XLSX form, as a sheet program saves it";
    if let Err((what, accepted)) = is_small_enough(bytes) {
        taker.problems.note_file(what, accepted);
        return Vec::new();
    }
    let mut workbook = match Xlsx::new(Cursor::new(bytes)) {
        Ok(workbook) => workbook,
        Err(error) => {
            taker.problems.note_file(format!("the workbook cannot be opened: {error}"), whole);
            return Vec::new();
        }
    };
    let metadata = workbook.sheets_metadata().iter();
    let names: Vec<String> =
        metadata.filter(|sheet| sheet.typ == SheetType::WorkSheet).map(|sheet| sheet.name.clone()).collect();
    for wanted in sheets.iter().filter(|wanted| !names.contains(wanted)) {
        let known: Vec<&str> = names.iter().map(String::as_str).collect();
        let accepted = crate::nearest::offer(wanted, &known);
        taker.problems.note_file(format!("the workbook has no sheet `{wanted}`"), accepted);
    }
    let mut told = Vec::new();
    let mut is_blank = true;
    for name in names.iter().filter(|name| sheets.is_empty() || sheets.contains(name)) {
        taker.begin(Some(name));
        let merged = match workbook.merge_cells_by_sheet_name(name) {
            Ok(merged) => merged,
            Err(error) => {
                taker.note(None, format!("the sheet cannot be read: {error}"), whole);
                continue;
            }
        };
        let before = taker.rows_read;
        let mut solved = 0;
        let next = rows(&mut workbook, name, taker, &mut solved);
        taker.end();
        is_blank &= taker.is_blank();
        if !taker.is_blank() {
            merges(&merged, taker);
        }
        told.push(match solved {
            0 => format!("sheet `{name}`: {} rows", taker.rows_read - before),
            _ => format!(
                "sheet `{name}`: {} rows; {solved} cells hold formulas: their results as last saved were taken",
                taker.rows_read - before
            ),
        });
        if next == Next::Nothing {
            break;
        }
    }
    if is_blank && taker.problems.is_empty() {
        taker.problems.note_file("no sheet has anything in it", "a header row and one row a part");
    }
    told
}

/// Looks at what the packed files become, by the sizes that they declare and then by unpacking them one
/// after the other: a declared size can lie.
fn is_small_enough(bytes: &[u8]) -> Result<(), (String, String)> {
    let accepted = "a workbook in XLSX form, as a sheet program saves it".to_owned();
    let broken = |error: &dyn std::fmt::Display| {
        (format!("the file is not a whole workbook: {error}"), "save it again in XLSX form".to_owned())
    };
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(&error))?;
    if archive.len() > MOST_ENTRIES {
        return Err((
            format!("the workbook is made of {} files; at most {MOST_ENTRIES} are read", archive.len()),
            accepted,
        ));
    }
    let too_large = |size: &str| {
        let what = format!(
            "unpacked, the workbook has {size} bytes; at most {MOST_UNPACKED_BYTES} are read, so that a small file \
            cannot fill the memory"
        );
        (what, "split the workbook, or save the one sheet as CSV".to_owned())
    };
    let mut declared = 0_u64;
    for at in 0..archive.len() {
        let entry = archive.by_index_raw(at).map_err(|error| broken(&error))?;
        declared = declared.saturating_add(entry.size());
    }
    if declared > MOST_UNPACKED_BYTES {
        return Err(too_large(&declared.to_string()));
    }
    let mut unpacked = 0_u64;
    let mut content = Vec::new();
    for at in 0..archive.len() {
        let entry = archive.by_index(at).map_err(|error| broken(&error))?;
        let room = MOST_UNPACKED_BYTES - unpacked + 1;
        content.clear();
        unpacked += io::copy(&mut entry.take(room), &mut content).map_err(|error| broken(&error))?;
        if unpacked > MOST_UNPACKED_BYTES {
            return Err(too_large("more than the allowed number of"));
        }
        if counts_too_many(&mut content) {
            let what = "the workbook says that it holds more texts than its size has room for".to_owned();
            return Err((what, accepted));
        }
        if names_a_far_cell(&content) {
            let what =
                "the workbook names a cell beyond XFD1048576, the last that a sheet can have".to_owned();
            return Err((what, accepted));
        }
    }
    Ok(())
}

/// Most letters and digits of the name of a cell: XFD1048576.
const MOST_COLUMN_LETTERS: usize = 3;
const MOST_ROW_DIGITS: usize = 7;

/// Whether the name of a cell is longer than any can be: the reader counts with it.
fn names_a_far_cell(content: &[u8]) -> bool {
    let names = [b" r=".as_slice(), b" ref=".as_slice(), b"\nr=".as_slice(), b"\tr=".as_slice()];
    (0..content.len()).any(|at| {
        let Some(rest) = content.get(at..) else { return false };
        let Some(name) = names.iter().find(|name| rest.starts_with(name)) else { return false };
        let value = rest.get(name.len() + 1..).unwrap_or_default();
        let value: Vec<u8> = value.iter().copied().take_while(|byte| !matches!(byte, b'"' | b'\'')).collect();
        let runs =
            |is: fn(&u8) -> bool, most: usize| value.split(|byte| !is(byte)).any(|run| run.len() > most);
        runs(u8::is_ascii_alphabetic, MOST_COLUMN_LETTERS) || runs(u8::is_ascii_digit, MOST_ROW_DIGITS)
    })
}

/// What stands before the number of texts; room is made for so many before the first of them is read.
const COUNT: &[u8] = b"uniqueCount";

/// Bytes of the shortest text: `<si/>`.
const LEAST_TEXT: u64 = 5;

/// Whether a file announces more texts than it can hold.
fn counts_too_many(content: &mut Vec<u8>) -> bool {
    let most = content.len() as u64 / LEAST_TEXT;
    // Letters of two bytes each have a zero in every one of them.
    content.retain(|byte| *byte != 0);
    let mut rest = content.as_slice();
    while let Some(at) = rest.windows(COUNT.len()).position(|word| word == COUNT) {
        rest = rest.get(at + COUNT.len()..).unwrap_or_default();
        let sign = |byte: &u8| byte.is_ascii_whitespace() || matches!(byte, b'=' | b'"' | b'\'' | b'+');
        let digits = rest.iter().skip_while(|byte| sign(byte)).take_while(|byte| byte.is_ascii_digit());
        let count =
            digits.fold(0_u64, |sum, digit| sum.saturating_mul(10).saturating_add(u64::from(digit - b'0')));
        if count > most {
            return true;
        }
    }
    false
}

/// Merged cells hold a value in the first of them only; the others would be read as unknown.
fn merges(merged: &[Dimensions], taker: &mut RowTaker<'_>) {
    for Dimensions { start, end } in merged {
        let place = |(row, column): (u32, u32)| format!("{}{}", letters(column as usize), u64::from(row) + 1);
        taker.note(
            Some(start.0 as usize + 1),
            format!(
                "the cells {} to {} are merged: only the first of them holds a value",
                place(*start),
                place(*end)
            ),
            "split them and write the value in every row",
        );
    }
}

/// Hands over the rows of a sheet.
fn rows(
    workbook: &mut Xlsx<Cursor<&[u8]>>,
    name: &str,
    taker: &mut RowTaker<'_>,
    solved: &mut usize,
) -> Next {
    let accepted = "save the workbook again in a sheet program";
    let mut reader = match workbook.worksheet_cells_reader(name) {
        Ok(reader) => reader,
        Err(error) => {
            taker.note(None, format!("the sheet cannot be read: {error}"), accepted);
            return Next::Sheet;
        }
    };
    let mut cells: Vec<Cell<'_>> = Vec::new();
    let mut current = 0_usize;
    loop {
        let record = match reader.next_cell_with_formula_metadata() {
            Ok(Some(record)) => record,
            Ok(None) => break,
            Err(error) => {
                taker.note(Some(current + 1), format!("the sheet breaks off: {error}"), accepted);
                return Next::Sheet;
            }
        };
        let has_formula = record.formula.is_some();
        let (row, column) = (record.pos.0 as usize, record.pos.1 as usize);
        let cell = match meaning(record.value) {
            Cell::Empty if has_formula => Cell::Unsolved,
            cell => cell,
        };
        if cell.is_empty() {
            continue;
        }
        *solved += usize::from(has_formula && cell != Cell::Unsolved);
        if row != current {
            if row < current {
                taker.note(Some(row + 1), "the rows of the sheet are out of order", accepted);
                return Next::Sheet;
            }
            let next = taker.row(current + 1, &cells);
            if next != Next::Row {
                return next;
            }
            cells.clear();
            current = row;
        }
        if column >= MOST_COLUMNS {
            taker.note(
                Some(row + 1),
                format!("something stands in column {}; {MOST_COLUMNS} columns are read", letters(column)),
                "empty what stands far off to the right",
            );
            return Next::Sheet;
        }
        if cells.len() <= column {
            cells.resize(column + 1, Cell::Empty);
        }
        cells[column] = cell;
    }
    taker.row(current + 1, &cells)
}

fn meaning(value: DataRef<'_>) -> Cell<'_> {
    match value {
        DataRef::Empty => Cell::Empty,
        DataRef::String(text) => Cell::text(text),
        DataRef::SharedString(text) => Cell::text(text),
        DataRef::Int(number) => Cell::Number(number as f64),
        DataRef::Float(number) => Cell::Number(number),
        DataRef::Bool(_) => Cell::Truth,
        DataRef::DateTime(_) | DataRef::DateTimeIso(_) | DataRef::DurationIso(_) => Cell::Date,
        DataRef::Error(error) => Cell::Error(error.to_string()),
    }
}
