//! CSV files: UTF-8 text, with the separator told from the header line.

use super::cell::Cell;
use super::row_taker::{Next, RowTaker};
use csv::{ReaderBuilder, StringRecord};

/// The separators that are looked for, with what they are called.
const SEPARATORS: [(u8, &str); 3] = [(b',', "commas"), (b';', "semicolons"), (b'\t', "tabs")];

/// Reads the rows of a CSV file. The answer says what was taken for granted.
pub(super) fn read(bytes: &[u8], taker: &mut RowTaker<'_>) -> Vec<String> {
    taker.begin(None);
    let text = match text(bytes) {
        Ok(text) => text,
        Err((line, what, accepted)) => {
            taker.note(line, what, accepted);
            return Vec::new();
        }
    };
    let (separator, words, is_said) = separator(text);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut record = StringRecord::new();
    let mut is_directive = is_said;
    loop {
        match reader.read_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {}
            Err(error) => {
                let line = error.position().map(|at| line(at.line()));
                taker.note(line, format!("the line cannot be taken apart: {error}"), "a CSV file in UTF-8");
                break;
            }
        }
        if std::mem::take(&mut is_directive) {
            continue;
        }
        let number = record.position().map_or(0, |at| line(at.line()));
        let cells: Vec<Cell<'_>> = record.iter().map(Cell::text).collect();
        if taker.row(number, &cells) != Next::Row {
            break;
        }
    }
    taker.end();
    vec![format!("the columns are separated by {words}, told from the first line")]
}

fn line(number: u64) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

/// The text, or the line of the first byte that is not UTF-8, what it is and what to do.
fn text(bytes: &[u8]) -> Result<&str, (Option<usize>, String, String)> {
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        let what = "the file is written in UTF-16".to_owned();
        return Err((None, what, "save it as CSV in UTF-8".to_owned()));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let line = bytes.get(..at).unwrap_or_default().iter().filter(|byte| **byte == b'\n').count() + 1;
        let byte = bytes.get(at).copied().unwrap_or_default();
        let what = format!("byte 0x{byte:02x} is not UTF-8 text; in Latin-1 it is `{}`", char::from(byte));
        (Some(line), what, "save the file as CSV in UTF-8".to_owned())
    })?;
    Ok(text.strip_prefix('\u{FEFF}').unwrap_or(text))
}

/// The separator, what it is called, and whether a first line says nothing but it (`sep=;`).
fn separator(text: &str) -> (u8, &'static str, bool) {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    if let Some([sign]) = first.trim_end_matches(['\r', '\n']).strip_prefix("sep=").map(str::as_bytes)
        && let Some((sign, words)) = SEPARATORS.iter().find(|(known, _)| known == sign)
    {
        return (*sign, words, true);
    }
    let mut counts = [0_usize; SEPARATORS.len()];
    let mut is_quoted = false;
    for byte in first.bytes() {
        is_quoted ^= byte == b'"';
        if let Some(at) = SEPARATORS.iter().position(|(sign, _)| *sign == byte).filter(|_| !is_quoted) {
            counts[at] += 1;
        }
    }
    let mut best = 0;
    for (at, count) in counts.iter().enumerate() {
        if *count > counts[best] {
            best = at;
        }
    }
    (SEPARATORS[best].0, SEPARATORS[best].1, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_separator_is_told_from_the_first_line() {
        for (text, sign, is_said) in [
            ("id,name", b',', false),
            ("id;name;price", b';', false),
            ("id\tname", b'\t', false),
            ("\"a,b,c\";name;x", b';', false),
            ("sep=;\nid;name", b';', true),
            ("id", b',', false),
            ("", b',', false),
        ] {
            let (found, _, said) = separator(text);
            assert_eq!((found, said), (sign, is_said), "{text}");
        }
    }

    /// ISO/IEC 8859-1 and Unicode give the letters above 0xA0 the same numbers.
    #[test]
    fn latin_1_is_refused_with_its_line_and_letter() {
        let (line, what, _) = text(b"id,name\nx,Bore \xd8\n").unwrap_err();
        assert_eq!(line, Some(2));
        assert!(what.contains("0xd8") && what.contains('Ø'), "{what}");
        assert!(text(&[0xFF, 0xFE, b'i', 0]).unwrap_err().1.contains("UTF-16"));
    }
}
