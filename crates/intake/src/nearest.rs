//! The word that was meant: the nearest of those that would have been accepted.

use crate::problem::{Refusal, quoted};
use std::ops::Range;

/// Two words less alike than this are not taken for a slip of the pen (Jaro and Winkler's measure, 1 is equal).
/// At 0.8 `chainstya` still finds `chainstay`, while `colour` finds nothing among the keys of a frame.
const LIKE_ENOUGH: f64 = 0.8;

/// A longer text is no slip of any word that is known.
const MOST_LETTERS: usize = 80;

/// So many words are listed where none is near.
const MOST_LISTED: usize = 24;

/// The word most like the one found, the first of equals; `None` if none is like it.
pub(crate) fn nearest<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if found.len() > MOST_LETTERS {
        return None;
    }
    let mut best: Option<(&str, f64)> = None;
    for word in known {
        let likeness = strsim::jaro_winkler(&found.to_lowercase(), word);
        if likeness > LIKE_ENOUGH && best.is_none_or(|(_, so_far)| likeness > so_far) {
            best = Some((word, likeness));
        }
    }
    best.map(|(word, _)| word)
}

/// The help for a word that is not known: the nearest, or the list.
pub(crate) fn offer(found: &str, known: &[&str]) -> String {
    match nearest(found, known.iter().copied()) {
        Some(word) => format!("did you mean `{word}`?"),
        None if known.is_empty() => "there is none to choose from".to_owned(),
        None => {
            let listed: Vec<String> =
                known.iter().take(MOST_LISTED).map(|word| format!("`{word}`")).collect();
            let rest = known.len().saturating_sub(MOST_LISTED);
            let rest = if rest > 0 { format!(" and {rest} more") } else { String::new() };
            format!("accepted: {}{rest}", listed.join(", "))
        }
    }
}

/// The refusal of a key that is not known in a place such as ``in `[bike.frame]` ``.
pub(crate) fn unknown_key(span: Range<usize>, key: &str, place: &str, known: &[&str]) -> Refusal {
    Refusal::at(span, format!("{} is not a key {place}", quoted(key))).help(offer(key, known))
}
