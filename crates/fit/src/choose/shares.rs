//! Work on a list, shared out: no item depends on another, and the answers stand in the order of the list.
//!
//! The one file of the pure crates with threads. They end before the function returns, and how many there are changes no
//! answer.

use std::thread;

/// Shares that are worked on at the same time, on as many cores as there are.
const AT_ONCE: usize = 4;

/// What comes of each item.
pub(crate) fn each<I: Sync, T: Send>(items: &[I], work: impl Fn(&I) -> T + Sync) -> Vec<T> {
    let share = items.len().div_ceil(AT_ONCE).max(1);
    let work_on = |items: &[I]| items.iter().map(&work).collect::<Vec<T>>();
    thread::scope(|scope| {
        let others: Vec<_> =
            items.chunks(share).skip(1).map(|items| (items, scope.spawn(|| work_on(items)))).collect();
        let mut all = items.chunks(share).next().map(work_on).unwrap_or_default();
        for (items, other) in others {
            // Who did not come back has his share done again here, where what went wrong shows.
            all.extend(other.join().unwrap_or_else(|_| work_on(items)));
        }
        all
    })
}

/// The same work by several at once, each of whom takes what nobody has taken yet; what the one who asked comes to counts.
pub(crate) fn together<T>(most: usize, own: impl FnOnce() -> T, other: impl Fn() + Sync) -> T {
    thread::scope(|scope| {
        for _ in 1..AT_ONCE.min(most) {
            scope.spawn(&other);
        }
        own()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_answers_stand_in_the_order_of_the_list() {
        for length in [0, 1, 3, 4, 5, 101_u64] {
            let items: Vec<u64> = (0..length).collect();
            assert_eq!(
                each(&items, |item| item * item),
                items.iter().map(|item| item * item).collect::<Vec<_>>()
            );
        }
    }
}
