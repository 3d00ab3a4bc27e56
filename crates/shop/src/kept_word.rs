//! Words of a file that become keys and titles of the book: each is kept once, as long as the program runs.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};

static KEPT: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());

/// A word of a file as a word of the book. The same word is kept only once, so that reading a file again and again
/// takes no more room; the result depends on the word alone.
pub fn keep(word: &str) -> &'static str {
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(word) = kept.get(word) {
        return word;
    }
    let word: &'static str = Box::leak(word.to_owned().into_boxed_str());
    kept.insert(word);
    word
}
