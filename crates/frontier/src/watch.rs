//! How a search is watched and stopped, and how large it may grow.

use std::sync::atomic::{AtomicBool, Ordering};

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Parts of the search that are done.
    pub done: usize,
    /// Parts that it has, as far as known.
    pub of: usize,
    /// Sets found so far that nothing found so far beats.
    pub found: usize,
}

/// Who watches a search.
#[derive(Clone, Copy, Default)]
pub struct Watch<'a> {
    /// Set from elsewhere to end the search early.
    pub stop: Option<&'a AtomicBool>,
    /// Told now and then how far it is.
    pub tell: Option<&'a dyn Fn(Progress)>,
}

impl Watch<'_> {
    /// Whether the search shall end.
    pub fn stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// Tells how far the search is, if anybody listens.
    pub fn tell(&self, progress: Progress) {
        if let Some(tell) = self.tell {
            tell(progress);
        }
    }
}

/// How large a search may grow before it is divided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Rows of one table of partial sets.
    pub rows: usize,
    /// Partial sets that one table keeps.
    pub points: usize,
}

impl Default for Limits {
    /// Four million rows and four million partial sets: below 500 MB with five aims.
    fn default() -> Self {
        Self { rows: 1 << 22, points: 1 << 22 }
    }
}
