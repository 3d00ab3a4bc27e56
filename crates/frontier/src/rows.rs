//! Tables by prefix: for each combination of all slots but the last, which places of the last hold.

use crate::bits::{self, words};
use crate::prepared::Prepared;
use crate::problem::Relation;

/// One slot of a prefix: its places or their classes, and how far apart they stand in the table.
#[derive(Clone, Debug)]
pub(crate) struct Key {
    pub slot: usize,
    /// The offset of each place.
    pub offsets: Vec<usize>,
}

/// A table by prefix.
#[derive(Clone, Debug)]
pub(crate) struct Rows {
    pub keys: Vec<Key>,
    pub width: usize,
    pub rows: Vec<u64>,
}

impl Rows {
    /// A wide relation, seen from the slot that goes first of its scope.
    pub(crate) fn of_relation(prepared: &Prepared<'_>, relation: &Relation, slot: usize) -> Self {
        let over = &relation.over;
        let own = over.scope.iter().position(|other| *other == slot).unwrap_or(0);
        let width = words(prepared.sizes[slot]);
        let mut members = vec![vec![0; width]; over.counts[own]];
        for place in 0..prepared.sizes[slot] {
            bits::add(&mut members[prepared.class(over, own, place)], place);
        }
        let mut strides = vec![0; over.scope.len()];
        let mut prefixes = 1;
        for at in (0..over.scope.len()).rev().filter(|at| *at != own) {
            strides[at] = prefixes;
            prefixes *= over.counts[at];
        }
        let mut rows = vec![0; prefixes * width];
        let last = over.counts.last().copied().unwrap_or(1);
        let row_words = words(last);
        let mut cell = 0;
        over.each(|classes| {
            if bits::has(&relation.rows[cell / last * row_words..], cell % last) {
                let prefix: usize = classes.iter().zip(&strides).map(|(class, stride)| class * stride).sum();
                let row = &mut rows[prefix * width..(prefix + 1) * width];
                row.iter_mut().zip(&members[classes[own]]).for_each(|(row, member)| *row |= member);
            }
            cell += 1;
        });
        let keys = (0..over.scope.len())
            .filter(|at| *at != own)
            .map(|at| {
                let slot = over.scope[at];
                let offset = |place| prepared.class(over, at, place) * strides[at];
                Key { slot, offsets: (0..prepared.sizes[slot]).map(offset).collect() }
            })
            .collect();
        Self { keys, width, rows }
    }

    /// An empty table over the slots of a bucket's rest.
    pub(crate) fn over_rest(prepared: &Prepared<'_>, rest: &[usize]) -> Self {
        let Some((last, prefix)) = rest.split_last() else {
            return Self { keys: Vec::new(), width: 0, rows: Vec::new() };
        };
        let width = words(prepared.sizes[*last]);
        let mut stride = 1;
        let mut keys: Vec<Key> = prefix
            .iter()
            .rev()
            .map(|slot| {
                let offsets = (0..prepared.sizes[*slot]).map(|place| place * stride).collect();
                stride *= prepared.sizes[*slot];
                Key { slot: *slot, offsets }
            })
            .collect();
        keys.reverse();
        Self { keys, width, rows: vec![0; stride * width] }
    }

    /// The prefix of an assignment.
    #[inline]
    pub(crate) fn prefix(&self, at: &[usize]) -> usize {
        self.keys.iter().map(|key| key.offsets[at[key.slot]]).sum()
    }

    #[inline]
    pub(crate) fn row(&self, prefix: usize) -> &[u64] {
        &self.rows[prefix * self.width..(prefix + 1) * self.width]
    }
}
