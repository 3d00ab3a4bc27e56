//! Who tries too often waits. Kept in memory: a restart forgets it, and takes longer than the waiting.

use shop::Moment;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// Wrong tries before the first wait.
const FREE_TRIES: u32 = 5;
/// The first wait; each further wrong try doubles it.
const FIRST_WAIT_MS: i64 = 30_000;
/// The longest wait.
const LONGEST_WAIT_MS: i64 = 15 * 60_000;
/// Most names that are remembered; beyond it the oldest are forgotten.
const MOST_NAMES: usize = 10_000;

#[derive(Clone, Copy, Debug)]
struct Tries {
    wrong: u32,
    until: i64,
    last: i64,
}

/// Locks names out after wrong tries: a person, a tablet, an address of the network.
#[derive(Debug, Default)]
pub(crate) struct LockOut {
    tries: Mutex<BTreeMap<String, Tries>>,
}

impl LockOut {
    /// How many seconds a name still waits; nothing if it may try.
    pub(crate) fn waits(&self, name: &str, now: Moment) -> Option<i64> {
        let tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        let left = tries.get(name)?.until - now.0;
        (left > 0).then(|| (left + 999) / 1_000)
    }

    /// A wrong try.
    pub(crate) fn wrong(&self, name: &str, now: Moment) {
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        if tries.len() >= MOST_NAMES {
            let oldest = tries.iter().min_by_key(|(_, tries)| tries.last).map(|(name, _)| name.clone());
            oldest.map(|name| tries.remove(&name));
        }
        let entry = tries.entry(name.to_owned()).or_insert(Tries { wrong: 0, until: 0, last: now.0 });
        entry.wrong += 1;
        entry.last = now.0;
        if entry.wrong >= FREE_TRIES {
            let doublings = (entry.wrong - FREE_TRIES).min(16);
            entry.until = now.0 + (FIRST_WAIT_MS << doublings).min(LONGEST_WAIT_MS);
        }
    }

    /// A right one: everything is forgotten.
    pub(crate) fn right(&self, name: &str) {
        self.tries.lock().unwrap_or_else(PoisonError::into_inner).remove(name);
    }
}

/// Lets an address do so many things at once and so many a second after that.
#[derive(Debug)]
pub(crate) struct Rate {
    at_once: f64,
    a_second: f64,
    left: Mutex<BTreeMap<String, (f64, i64)>>,
}

impl Rate {
    pub(crate) fn new(at_once: u32, a_second: u32) -> Self {
        Self { at_once: f64::from(at_once), a_second: f64::from(a_second), left: Mutex::new(BTreeMap::new()) }
    }

    /// Whether one more is allowed; it is counted.
    pub(crate) fn allows(&self, name: &str, now: Moment) -> bool {
        let mut all = self.left.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= MOST_NAMES {
            all.retain(|_, (_, last)| now.0 - *last < 60_000);
        }
        let (left, last) = all.entry(name.to_owned()).or_insert((self.at_once, now.0));
        let passed = (now.0 - *last).max(0) as f64 / 1_000.0;
        *left = (*left + passed * self.a_second).min(self.at_once);
        *last = now.0;
        if *left < 1.0 {
            return false;
        }
        *left -= 1.0;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrong_tries_wait_longer_and_longer_and_a_right_one_forgets_them() {
        let guard = LockOut::default();
        for _ in 0..4 {
            guard.wrong("b", Moment(0));
        }
        assert_eq!(guard.waits("b", Moment(0)), None);
        guard.wrong("b", Moment(0));
        assert_eq!(guard.waits("b", Moment(0)), Some(30));
        assert_eq!(guard.waits("another", Moment(0)), None);
        guard.wrong("b", Moment(0));
        assert_eq!(guard.waits("b", Moment(0)), Some(60));
        for _ in 0..100 {
            guard.wrong("b", Moment(0));
        }
        assert_eq!(guard.waits("b", Moment(0)), Some(900));
        assert_eq!(guard.waits("b", Moment(900_000)), None);
        guard.right("b");
        guard.wrong("b", Moment(900_000));
        assert_eq!(guard.waits("b", Moment(900_000)), None);
    }

    #[test]
    fn a_rate_lets_a_burst_through_and_then_so_many_a_second() {
        let rate = Rate::new(3, 1);
        let burst: Vec<bool> = (0..4).map(|_| rate.allows("a", Moment(0))).collect();
        assert_eq!(burst, [true, true, true, false]);
        assert!(rate.allows("b", Moment(0)));
        assert!(rate.allows("a", Moment(1_000)));
        assert!(!rate.allows("a", Moment(1_000)));
        // A clock set back neither gives nor takes.
        assert!(!rate.allows("a", Moment(0)));
    }
}
