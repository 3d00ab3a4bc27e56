//! A file before its meaning: bytes, text, and the tables and values that the text spells.

use crate::problem::{Notes, Problems, Refusal, quoted};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The largest file that is read: 1 MiB. A refit written out in full, every dimension of every part with a
/// remark on each line, is under 20 KiB; what is fifty times as long is some other file.
pub const MOST_BYTES: usize = 1 << 20;

/// The largest catalogue file that is read: 16 MiB. A part takes about 250 bytes, so a shop's list of 60,000
/// parts fits.
pub const MOST_CATALOGUE_BYTES: usize = 16 << 20;

/// A text with the name that the user gave to its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source<'a> {
    /// Name of the file, as it is shown with problems.
    pub name: &'a str,
    /// The text.
    pub text: &'a str,
}

/// The text of a file: not empty, not longer than [`MOST_BYTES`], UTF-8. A byte order mark in front is dropped,
/// since it is no part of the text.
///
/// # Errors
/// [`Problems`] with the line and column of the first byte that is not UTF-8.
///
/// # Examples
/// ```
/// assert_eq!(intake::check_bytes("job.toml", b"name = 'x'").unwrap(), "name = 'x'");
/// assert!(intake::check_bytes("job.toml", b"name = '\xff'").unwrap_err().to_string().contains("job.toml:1:9"));
/// ```
pub fn check_bytes<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, Problems> {
    check_bytes_to(MOST_BYTES, name, bytes)
}

/// As [`check_bytes`], for a catalogue file: up to [`MOST_CATALOGUE_BYTES`].
///
/// # Errors
/// As [`check_bytes`].
pub fn check_catalogue_bytes<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, Problems> {
    check_bytes_to(MOST_CATALOGUE_BYTES, name, bytes)
}

fn check_bytes_to<'a>(most: usize, name: &str, bytes: &'a [u8]) -> Result<&'a str, Problems> {
    if bytes.len() > most {
        return Err(Problems::with_file(name, "", too_long(bytes.len(), most)));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let found = bytes.get(at).copied().unwrap_or_default();
        // Up to the bad byte the lossy text is the file itself; there it has one replacement character.
        let lossy = String::from_utf8_lossy(bytes);
        let refusal =
            Refusal::at(at..at + '\u{FFFD}'.len_utf8(), format!("byte 0x{found:02x} is not UTF-8 text"))
                .help("save the file as UTF-8");
        Problems::with_file(name, &lossy, refusal)
    })?;
    let text = without_mark(text);
    if text.trim().is_empty() {
        return Err(Problems::with_file(name, text, empty()));
    }
    Ok(text)
}

/// The tables of a text.
pub(crate) fn parse<'a>(source: Source<'a>) -> Result<DeTable<'a>, Problems> {
    parse_to(MOST_BYTES, source)
}

/// The tables of a text of at most so many bytes.
pub(crate) fn parse_to<'a>(most: usize, source: Source<'a>) -> Result<DeTable<'a>, Problems> {
    if source.text.len() > most {
        return Err(Problems::with_file(source.name, "", too_long(source.text.len(), most)));
    }
    if source.text.trim().is_empty() {
        return Err(Problems::with_file(source.name, source.text, empty()));
    }
    if let Err(refusal) = crate::depth::check(source.text) {
        return Err(Problems::with_file(source.name, source.text, refusal));
    }
    let (table, errors) = DeTable::parse_recoverable(source.text);
    let mut notes = Notes::default();
    for error in &errors {
        notes.refuse(spelling(error, source.text));
    }
    match Problems::gathered([(source.name, source.text, notes)]) {
        Some(problems) => Err(problems),
        None => Ok(table.into_inner()),
    }
}

/// The source without a byte order mark.
pub(crate) fn unmarked(source: Source<'_>) -> Source<'_> {
    Source { text: without_mark(source.text), ..source }
}

fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{FEFF}').unwrap_or(text)
}

fn too_long(length: usize, most: usize) -> Refusal {
    Refusal::of_file(format!("the file has {length} bytes; at most {most} are read"))
}

fn empty() -> Refusal {
    Refusal::of_file("nothing is written in this file")
        .help("a refit needs a `name` and what is known of the bike under `[bike.frame]` and its sisters")
}

/// A mistake in the spelling of the file itself, in the words of its parser unless those mislead.
fn spelling(error: &toml::de::Error, text: &str) -> Refusal {
    let message = error.message();
    let Some(span) = error.span() else { return Refusal::of_file(message) };
    if message.contains("must be quoted") {
        let found = text.get(span.clone()).unwrap_or_default();
        let what = match found.trim() {
            "" => "there is no value after `=`".to_owned(),
            found => format!("{} is not in quotes", quoted(found)),
        };
        let help = "text and values with a unit stand in quotes, such as `chainstay = \"410 mm\"`; what is not known is left out";
        return Refusal::at(span, what).help(help);
    }
    if message.contains("duplicate key") {
        return Refusal::at(span, "this key is given twice in one table").help("keep one of the two");
    }
    Refusal::at(span, message)
}

/// What a value is, in words.
pub(crate) fn form_of(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with decimals",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The refusal of a value of the wrong form.
pub(crate) fn wrong_form(key: &str, value: &Spanned<DeValue<'_>>, wanted: &str, example: &str) -> Refusal {
    let what = format!("`{key}` is {}; {wanted} is wanted", form_of(value.get_ref()));
    Refusal::at(value.span(), what).help(format!("write it such as `{example}`"))
}

/// The table under a key.
pub(crate) fn table_of<'t, 'a>(
    key: &str,
    value: &'t Spanned<DeValue<'a>>,
    example: &str,
) -> Result<&'t DeTable<'a>, Refusal> {
    match value.get_ref() {
        DeValue::Table(table) => Ok(table),
        _ => Err(wrong_form(key, value, "a table", example)),
    }
}
