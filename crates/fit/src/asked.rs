//! What a rule looked at of the bike after the refit: which slots, and which dimensions.

use catalog::{Dimension, Slot};
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};

/// Words for one bit for each dimension.
const WORDS: usize = 8;

const _: () = assert!(Dimension::ALL.len() <= 64 * WORDS && Slot::ALL.len() <= 32, "widen the bit sets");

/// Notes of what was looked at. A copy of a bike begins with empty notes.
#[derive(Debug, Default)]
pub struct Asked {
    slots: AtomicU32,
    dimensions: [AtomicU64; WORDS],
}

impl Clone for Asked {
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// Slots and dimensions as bits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Looked {
    slots: u32,
    dimensions: [u64; WORDS],
}

impl Asked {
    /// Notes a slot.
    pub(crate) fn slot(&self, slot: Slot) {
        self.slots.fetch_or(1 << slot as u32, Ordering::Relaxed);
    }

    /// Notes a dimension.
    pub(crate) fn dimension(&self, dimension: Dimension) {
        let at = dimension as usize;
        self.dimensions[at / 64].fetch_or(1 << (at % 64), Ordering::Relaxed);
    }

    /// What was noted; the notes are empty again.
    pub fn take(&self) -> Looked {
        Looked {
            slots: self.slots.swap(0, Ordering::Relaxed),
            dimensions: std::array::from_fn(|at| self.dimensions[at].swap(0, Ordering::Relaxed)),
        }
    }
}

impl Looked {
    /// Whether a slot was looked at.
    pub fn at_slot(&self, slot: Slot) -> bool {
        self.slots >> slot as u32 & 1 == 1
    }

    /// Whether a dimension was looked at, in whatever slot.
    pub fn at(&self, dimension: Dimension) -> bool {
        let at = dimension as usize;
        self.dimensions[at / 64] >> (at % 64) & 1 == 1
    }

    /// Whether all of these were looked at before.
    pub fn covers(&self, other: &Self) -> bool {
        other.slots & !self.slots == 0
            && self.dimensions.iter().zip(&other.dimensions).all(|(own, other)| other & !own == 0)
    }

    /// Both together.
    pub fn with(&self, other: &Self) -> Self {
        Self {
            slots: self.slots | other.slots,
            dimensions: std::array::from_fn(|at| self.dimensions[at] | other.dimensions[at]),
        }
    }
}
