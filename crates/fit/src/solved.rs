//! What laws that take long have answered, kept with the bike so that the same numbers are not worked out twice.
//!
//! Nothing is kept but answers of pure functions under all the numbers that they were asked with, so what is kept
//! changes no answer. Copies of a bike share it: a search judges thousands of bikes that differ in little.

use crate::cage::Each;
use mechanics::cage::{CageError, Family, PairWindow};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Answers of one law that are kept; further ones are worked out each time. 16,384 windows are 20 MB.
const KEPT: usize = 1 << 14;

/// Answers that are kept.
#[derive(Clone, Default)]
pub struct Solved {
    kept: Arc<Kept>,
}

#[derive(Default)]
struct Kept {
    families: Mutex<BTreeMap<Numbers, Family>>,
    windows: Mutex<BTreeMap<Numbers, Arc<Each<Windowed>>>>,
}

/// The window of a pair, or why it has none.
pub(crate) type Windowed = Result<PairWindow, CageError>;

/// The numbers that a law was asked with, by their bits: equal bits have equal answers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Numbers(Vec<u64>);

impl Numbers {
    pub(crate) fn new(numbers: impl IntoIterator<Item = f64>) -> Self {
        Self(numbers.into_iter().map(f64::to_bits).collect())
    }
}

impl Solved {
    /// A family with the slant that its leaflet asks for.
    pub(crate) fn family(&self, asked: Numbers, work: impl FnOnce() -> Family) -> Family {
        kept(&self.kept.families, asked, work)
    }

    /// The window of a pair at every end of what is left open.
    pub(crate) fn window(
        &self,
        asked: Numbers,
        work: impl FnOnce() -> Each<Windowed>,
    ) -> Arc<Each<Windowed>> {
        kept(&self.kept.windows, asked, || Arc::new(work()))
    }
}

impl fmt::Debug for Solved {
    /// What is kept is no part of the bike.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Solved")
    }
}

fn kept<V: Clone>(answers: &Mutex<BTreeMap<Numbers, V>>, asked: Numbers, work: impl FnOnce() -> V) -> V {
    if let Some(answer) = lock(answers).get(&asked) {
        return answer.clone();
    }
    // Worked out without the lock: two who ask at once get the same answer.
    let answer = work();
    let mut answers = lock(answers);
    if answers.len() < KEPT {
        answers.insert(asked, answer.clone());
    }
    answer
}

/// What is kept is whole after every insertion, whoever panicked meanwhile.
fn lock<V>(answers: &Mutex<BTreeMap<Numbers, V>>) -> MutexGuard<'_, BTreeMap<Numbers, V>> {
    answers.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;
    use mechanics::cage::{MEDIUM, SHORT};

    #[test]
    fn the_same_numbers_are_worked_out_once_and_others_by_themselves() {
        let solved = Solved::default();
        let asked = |numbers: [f64; 2], family: Family| solved.family(Numbers::new(numbers), || family);
        assert_eq!(asked([1.0, 2.0], SHORT), SHORT);
        assert_eq!(asked([1.0, 2.0], MEDIUM), SHORT);
        assert_eq!(asked([1.0, 2.5], MEDIUM), MEDIUM);
        // A copy of the bike shares what is known.
        assert_eq!(solved.clone().family(Numbers::new([1.0, 2.5]), || SHORT), MEDIUM);
    }

    #[test]
    fn beyond_what_is_kept_answers_are_worked_out_each_time() {
        let solved = Solved::default();
        for number in 0..KEPT {
            solved.family(Numbers::new([number as f64]), || SHORT);
        }
        assert_eq!(solved.family(Numbers::new([-1.0]), || MEDIUM), MEDIUM);
        assert_eq!(solved.family(Numbers::new([-1.0]), || SHORT), SHORT);
    }
}
