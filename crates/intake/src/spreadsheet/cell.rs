//! A cell of a sheet before its meaning, and the letters of its column.

use std::borrow::Cow;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Cell<'a> {
    /// Nothing, or blanks only: unknown.
    Empty,
    /// Text.
    Text(Cow<'a, str>),
    /// A number without a unit.
    Number(f64),
    /// A date or a time that the sheet program made of what was typed.
    Date,
    /// True or false.
    Truth,
    /// An error of the sheet program, such as `#REF!`.
    Error(String),
    /// A formula whose result was not stored.
    Unsolved,
}

impl<'a> Cell<'a> {
    /// A cell of text; blanks around it do not count, and a hard blank is a blank.
    pub(super) fn text(text: impl Into<Cow<'a, str>>) -> Self {
        let text = text.into();
        let trimmed = text.trim();
        if trimmed.is_empty() {
            return Self::Empty;
        }
        if trimmed.contains(['\u{A0}', '\u{202F}']) {
            return Self::Text(trimmed.replace(['\u{A0}', '\u{202F}'], " ").into());
        }
        if trimmed.len() == text.len() {
            return Self::Text(text);
        }
        match text {
            Cow::Borrowed(text) => Self::Text(Cow::Borrowed(text.trim())),
            Cow::Owned(text) => Self::Text(text.trim().to_owned().into()),
        }
    }

    /// Whether nothing stands here.
    pub(super) fn is_empty(&self) -> bool {
        *self == Self::Empty
    }

    /// The text of a cell that holds text or a number.
    pub(super) fn written(&self) -> Option<Cow<'_, str>> {
        match self {
            Self::Text(text) => Some(Cow::Borrowed(text)),
            // No number of a workshop is so large that its digits would fill a line.
            Self::Number(number) if number.abs() < 1e15 => Some(number.to_string().into()),
            Self::Number(number) => Some(format!("{number:e}").into()),
            _ => None,
        }
    }
}

/// The letters of a column, counted from 0: A to Z, AA, AB and on.
///
/// # Examples
/// Column 27 is `AB`.
pub(super) fn letters(column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = column;
    loop {
        letters.push(b'A' + u8::try_from(rest % 26).unwrap_or_default());
        match (rest / 26).checked_sub(1) {
            Some(next) => rest = next,
            None => break,
        }
    }
    letters.iter().rev().map(|letter| char::from(*letter)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The last column of a sheet is `XFD`, the 16,384th (Office Open XML, ECMA-376 part 1, limits of a sheet).
    #[test]
    fn columns_have_the_letters_of_the_sheet() {
        for (column, text) in
            [(0, "A"), (25, "Z"), (26, "AA"), (27, "AB"), (701, "ZZ"), (702, "AAA"), (16_383, "XFD")]
        {
            assert_eq!(letters(column), text);
        }
    }

    #[test]
    fn blanks_are_nothing_and_hard_blanks_are_blanks() {
        assert_eq!(Cell::text(" \u{A0} "), Cell::Empty);
        assert_eq!(Cell::text(" 410\u{A0}mm "), Cell::Text("410 mm".into()));
        assert_eq!(Cell::Number(410.0).written().unwrap(), "410");
        assert!(Cell::Number(1e300).written().unwrap().len() < 10);
    }
}
