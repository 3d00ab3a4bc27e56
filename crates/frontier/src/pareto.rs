//! Keeps of partial sets those that no other beats.

use std::cmp::Ordering;

/// A partial set: its values, the place chosen and the combination of partial sets behind it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Candidate<const K: usize> {
    pub values: [i64; K],
    pub place: u32,
    pub behind: u64,
}

/// Whether `a` is nowhere worse than `b`.
#[inline]
pub(crate) fn no_worse<const K: usize>(a: &[i64; K], b: &[i64; K]) -> bool {
    a.iter().zip(b).all(|(a, b)| a <= b)
}

/// Keeps the candidates that no other beats, in the order of their values; of equals the first by `tie`.
pub(crate) fn prune<const K: usize>(
    all: &mut Vec<Candidate<K>>,
    mut tie: impl FnMut(&Candidate<K>, &Candidate<K>) -> Ordering,
) {
    if all.len() < 2 {
        return;
    }
    all.sort_unstable_by_key(|candidate| candidate.values);
    // Equals stand together: the first of them by the tie stays.
    let mut kept = 0;
    for at in 1..all.len() {
        if all[at].values != all[kept].values {
            kept += 1;
            all[kept] = all[at];
        } else if tie(&all[at], &all[kept]) == Ordering::Less {
            all[kept] = all[at];
        }
    }
    all.truncate(kept + 1);
    let mut open = [0usize; K];
    let mut count = 0;
    for aim in 0..K {
        if all.iter().any(|candidate| candidate.values[aim] != all[0].values[aim]) {
            open[count] = aim;
            count += 1;
        }
    }
    match open[..count] {
        [] | [_] => all.truncate(1),
        [_, second] => {
            let mut least = i64::MAX;
            all.retain(|candidate| {
                let kept = candidate.values[second] < least;
                least = least.min(candidate.values[second]);
                kept
            });
        }
        [_, second, third] => staircase(all, second, third),
        _ => by_comparing(all),
    }
}

/// In the order of the first aim: kept if it lies below the stairs that the second and third make so far.
fn staircase<const K: usize>(all: &mut Vec<Candidate<K>>, second: usize, third: usize) {
    let mut stairs: Vec<(i64, i64)> = Vec::new();
    all.retain(|candidate| {
        let (x, y) = (candidate.values[second], candidate.values[third]);
        let after = stairs.partition_point(|stair| stair.0 <= x);
        if after > 0 && stairs[after - 1].1 <= y {
            return false;
        }
        let from = if after > 0 && stairs[after - 1].0 == x { after - 1 } else { after };
        let to = from + stairs[from..].partition_point(|stair| stair.1 >= y);
        stairs.splice(from..to, [(x, y)]);
        true
    });
}

/// Each against those kept before it, the one that beat last first.
fn by_comparing<const K: usize>(all: &mut Vec<Candidate<K>>) {
    let mut kept: Vec<[i64; K]> = Vec::new();
    all.retain(|candidate| {
        if let Some(at) = kept.iter().position(|values| no_worse(values, &candidate.values)) {
            // Moved up by half: those that beat often are met early.
            kept.swap(at, at / 2);
            return false;
        }
        kept.push(candidate.values);
        true
    });
}
