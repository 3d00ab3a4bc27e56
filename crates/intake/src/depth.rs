//! How deep the keys of a text go, looked at before tables are made of them.
//!
//! Tables within tables are taken apart one inside the other, and the stack is finite. The parser bounds
//! brackets and the dots of one key, each by itself, but not both together; no file needs either. The pieces
//! are those of the TOML grammar, so that a dot in a string or a remark does not count.

use crate::problem::Refusal;
use std::ops::Range;

/// Most dots in a key: `choice.rear_derailleur.capacity` has two.
const MOST_DOTS: usize = 4;

/// Refuses keys that go deeper than any table of a file.
pub(crate) fn check(text: &str) -> Result<(), Refusal> {
    let mut dots = 0;
    let mut is_key = true;
    for (kind, span) in (Pieces { text, at: 0 }) {
        match kind {
            b'.' if is_key => dots += 1,
            b'=' => is_key = false,
            b'\n' | b'\r' | b',' | b'{' | b'[' => (dots, is_key) = (0, true),
            _ => {}
        }
        if dots > MOST_DOTS {
            let what = format!("a key with more than {MOST_DOTS} dots leads to no table of such a file");
            return Err(Refusal::at(span, what));
        }
    }
    Ok(())
}

/// What ends a bare word. A quote does not: inside a bare word it opens no string.
const WORD_ENDS: &[u8] = b".=,[]{} \t#\r\n";

/// The pieces of a text, each with its first byte: strings, remarks and bare words whole, signs one by one.
struct Pieces<'a> {
    text: &'a str,
    at: usize,
}

impl Iterator for Pieces<'_> {
    type Item = (u8, Range<usize>);

    fn next(&mut self) -> Option<Self::Item> {
        let rest = self.text.as_bytes().get(self.at..)?;
        let first = *rest.first()?;
        let length = match first {
            b'#' => rest.iter().position(|byte| matches!(byte, b'\n' | b'\r')).unwrap_or(rest.len()),
            b'"' | b'\'' if rest.starts_with(&[first; 3]) => long_string(rest, first),
            b'"' | b'\'' => string(rest, first),
            sign if WORD_ENDS.contains(&sign) => 1,
            _ => rest.iter().position(|byte| WORD_ENDS.contains(byte)).unwrap_or(rest.len()),
        };
        let span = self.at..self.at + length;
        self.at = span.end;
        Some((first, span))
    }
}

/// Length of a string on one line, up to its closing quote or the end of the line.
fn string(rest: &[u8], quote: u8) -> usize {
    let mut at = 1;
    while let Some(byte) = rest.get(at) {
        match *byte {
            b'\n' => return at,
            b'\\' if quote == b'"' => at += escape(rest, at),
            byte if byte == quote => return at + 1,
            _ => at += 1,
        }
    }
    rest.len()
}

/// Length of a string over several lines; up to two quotes may stand before its closing three.
fn long_string(rest: &[u8], quote: u8) -> usize {
    let mut at = 3;
    while at < rest.len() {
        if rest[at] == b'\\' && quote == b'"' {
            at += escape(rest, at);
        } else if rest[at..].starts_with(&[quote; 3]) {
            let more = rest[at + 3..].iter().take(2).take_while(|byte| **byte == quote).count();
            return at + 3 + more;
        } else {
            at += 1;
        }
    }
    rest.len()
}

/// Length of an escape that could hide a quote or another escape.
fn escape(rest: &[u8], at: usize) -> usize {
    if matches!(rest.get(at + 1), Some(b'"' | b'\\')) { 2 } else { 1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dots_count_in_keys_only() {
        for text in [
            "a.b.c.d.e = 1",
            "w = 'a.b.c.d.e.f.g'",
            "# a.b.c.d.e.f",
            "w = \"\"\"\na.b.c.d.e.f\n\"\"\"",
            "a = 1.2.3.4.5.6",
        ] {
            assert!(check(text).is_ok(), "{text}");
        }
        for text in [
            "a.b.c.d.e.f = 1",
            "x = { a.b.c.d.e.f = 1 }",
            "[a.'.'.\"\\\".\".d.e.f]",
            "w = 'a\na.b.c.d.e.f = 1",
            "w = ''''''\na.b.c.d.e.f = 1",
        ] {
            assert!(check(text).is_err(), "{text}");
        }
    }
}
