//! Keys of steps, operations and fasteners, kept as text and found again when the book that they stood in has changed.

use super::RecordError;
use catalog::{Dimension, Slot};
use shop::{Book, FASTENERS, FastenerId, OperationId, StepId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, OnceLock, PoisonError};

/// Most letters of a key.
const MOST_LETTERS: usize = 80;
/// Most keys that neither the book nor the table of fasteners knows: each is held until the program ends.
const MOST_FOREIGN: usize = 4096;

/// The step with this key. A step of an older or a newer book keeps its key.
pub(super) fn step(key: &str) -> Result<StepId, RecordError> {
    static STEPS: OnceLock<BTreeSet<&'static str>> = OnceLock::new();
    let known = STEPS.get_or_init(|| Book::start_values().steps().iter().map(|step| step.id.0).collect());
    known.get(key).copied().map_or_else(|| foreign("step", key), Ok).map(StepId)
}

/// The operation with this key. One of an older or a newer book keeps its key.
pub(super) fn operation(key: &str) -> Result<OperationId, RecordError> {
    static OPERATIONS: OnceLock<BTreeSet<&'static str>> = OnceLock::new();
    let known = OPERATIONS
        .get_or_init(|| Book::start_values().operations().iter().map(|operation| operation.id.0).collect());
    known.get(key).copied().map_or_else(|| foreign("operation", key), Ok).map(OperationId)
}

/// The fastener with this key.
pub(super) fn fastener(key: &str) -> Result<FastenerId, RecordError> {
    let known = FASTENERS.iter().map(|fastener| fastener.id.0).find(|known| *known == key);
    known.map_or_else(|| foreign("fastener", key), Ok).map(FastenerId)
}

/// The slot with this key.
pub(super) fn slot(key: &str) -> Result<Slot, RecordError> {
    Slot::read(key)
        .ok_or_else(|| RecordError::UnknownWord { what: "place on the bike", found: key.to_owned() })
}

/// The key of a dimension: that of its picture.
pub(super) fn of_dimension(dimension: Dimension) -> String {
    dimension.picture()
}

/// The dimension with this key.
pub(super) fn dimension(key: &str) -> Result<Dimension, RecordError> {
    static KEYS: OnceLock<BTreeMap<String, Dimension>> = OnceLock::new();
    let keys = KEYS.get_or_init(|| Dimension::ALL.iter().map(|d| (d.picture(), *d)).collect());
    let unknown = || RecordError::UnknownWord { what: "dimension", found: key.to_owned() };
    keys.get(key).copied().ok_or_else(unknown)
}

/// A key that no table of this program has.
fn foreign(what: &'static str, key: &str) -> Result<&'static str, RecordError> {
    static FOREIGN: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());
    let mut held = FOREIGN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = held.get(key) {
        return Ok(known);
    }
    if key.is_empty() || key.len() > MOST_LETTERS || held.len() >= MOST_FOREIGN {
        return Err(RecordError::UnknownWord { what, found: key.chars().take(MOST_LETTERS).collect() });
    }
    let kept: &'static str = Box::leak(key.to_owned().into_boxed_str());
    held.insert(kept);
    Ok(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_has_a_key_of_its_own() {
        for known in Dimension::ALL {
            assert_eq!(dimension(&of_dimension(*known)), Ok(*known));
        }
        assert!(dimension("wingspan").unwrap_err().to_string().contains("`wingspan`"));
    }

    #[test]
    fn a_step_that_the_book_no_longer_has_keeps_its_key() {
        let first = step("grease-the-unicorn").unwrap();
        let again = step("grease-the-unicorn").unwrap();
        assert_eq!(first, again);
        assert!(std::ptr::eq(first.0, again.0));
        assert!(step("").is_err() && step(&"x".repeat(500)).is_err());
    }
}
