//! The meeting of everything that an eliminated slot has to do with: each combination of its neighbours that holds.

use crate::bits::{self, full};
use crate::order::Bucket;
use crate::prepared::{Matrix, Prepared};
use crate::rows::Rows;
use crate::watch::Watch;

/// What an eliminated slot leaves: which combinations of its neighbours hold, and the number of each.
#[derive(Clone, Debug)]
pub(crate) struct Message {
    rows: Rows,
    /// For each prefix the number of its first entry.
    first: Vec<u32>,
    /// Number of entries.
    pub entries: usize,
}

impl Message {
    /// The prefix of an assignment, with its row and the number of its first entry.
    #[inline]
    pub(crate) fn at(&self, at: &[usize]) -> (&[u64], usize) {
        let prefix = self.rows.prefix(at);
        if self.rows.width == 0 {
            return (&[], 0);
        }
        (self.rows.row(prefix), self.first[prefix] as usize)
    }
}

/// How a join ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Halt {
    /// It was stopped from outside.
    Stopped,
    /// The table would be larger than allowed.
    TooLarge,
}

struct Join<'a, F> {
    prepared: &'a Prepared<'a>,
    bucket: &'a Bucket,
    messages: &'a [Option<Message>],
    /// For each depth the wide relations and messages whose prefix is settled there.
    settled: Vec<Vec<Settled>>,
    watch: Watch<'a>,
    most_entries: usize,
    visit: F,
    at: Vec<usize>,
    candidates: Vec<Vec<u64>>,
    held: Vec<Vec<u64>>,
    message: Message,
    /// Pairs of neighbours that some entry has.
    seen: Vec<Matrix>,
    steps: usize,
}

#[derive(Clone, Copy)]
enum Settled {
    Wide(usize),
    From(usize),
}

/// Calls `visit` with each combination of the neighbours and the places of the slot that go with it; keeps those for
/// which it says yes. Returns the table and the pairs of neighbours that it has.
pub(crate) fn join<'a, F: FnMut(&[usize], &[u64]) -> bool>(
    prepared: &'a Prepared<'a>,
    bucket: &'a Bucket,
    messages: &'a [Option<Message>],
    most_entries: usize,
    watch: Watch<'a>,
    visit: F,
) -> Result<(Message, Vec<Matrix>), Halt> {
    let depth = bucket.rest.len();
    let mut settled = vec![Vec::new(); depth + 1];
    let place = |slot: usize| bucket.rest.iter().position(|other| *other == slot).map_or(0, |at| at + 1);
    for (number, wide) in bucket.wide.iter().enumerate() {
        let at = wide.keys.iter().map(|key| place(key.slot)).max().unwrap_or(0);
        settled[at].push(Settled::Wide(number));
    }
    for from in &bucket.from {
        let keys = messages[*from].as_ref().map_or(&[][..], |message| &message.rows.keys);
        let at = keys.iter().map(|key| place(key.slot)).max().unwrap_or(0);
        settled[at].push(Settled::From(*from));
    }
    let rows = Rows::over_rest(prepared, &bucket.rest);
    let prefixes = rows.rows.len().checked_div(rows.width).unwrap_or(1);
    let sizes = |slot: &usize| prepared.sizes[*slot];
    let mut seen = Vec::new();
    for x in 0..depth {
        seen.extend((x + 1..depth).map(|y| Matrix::empty(sizes(&bucket.rest[x]), sizes(&bucket.rest[y]))));
    }
    let mut join = Join {
        prepared,
        bucket,
        messages,
        settled,
        watch,
        most_entries,
        visit,
        at: vec![0; prepared.slots()],
        candidates: bucket.rest.iter().map(|slot| full(sizes(slot))).collect(),
        held: vec![full(sizes(&bucket.slot)); depth + 1],
        message: Message { rows, first: vec![0; prefixes], entries: 0 },
        seen,
        steps: 0,
    };
    join.settle(0);
    join.descend(0)?;
    Ok((join.message, join.seen))
}

impl<F: FnMut(&[usize], &[u64]) -> bool> Join<'_, F> {
    /// Leaves of the places that hold at this depth those that its relations and messages allow.
    fn settle(&mut self, depth: usize) {
        for settled in &self.settled[depth] {
            let row = match settled {
                Settled::Wide(number) => {
                    let wide = &self.bucket.wide[*number];
                    wide.row(wide.prefix(&self.at))
                }
                Settled::From(from) => match &self.messages[*from] {
                    Some(message) => message.at(&self.at).0,
                    None => continue,
                },
            };
            self.held[depth].iter_mut().zip(row).for_each(|(held, row)| *held &= row);
        }
    }

    fn descend(&mut self, depth: usize) -> Result<(), Halt> {
        let width = self.bucket.rest.len();
        if depth == width {
            // Only where the slot has no neighbours: a single entry.
            if !bits::none(&self.held[depth]) && (self.visit)(&self.at, &self.held[depth]) {
                self.message.entries = 1;
            }
            return Ok(());
        }
        let (slot, last) = (self.bucket.rest[depth], depth + 1 == width);
        let prefix = if last { self.message.rows.prefix(&self.at) } else { 0 };
        if last {
            self.message.first[prefix] = self.message.entries as u32;
        }
        for word in 0..self.candidates[depth].len() {
            let mut left = self.candidates[depth][word];
            while left != 0 {
                let place = word * 64 + left.trailing_zeros() as usize;
                left &= left - 1;
                self.at[slot] = place;
                if !self.hold(depth, slot, place) {
                    continue;
                }
                if !last {
                    if self.narrow(depth) {
                        self.descend(depth + 1)?;
                    }
                    continue;
                }
                self.steps += 1;
                if self.steps.is_multiple_of(1024) && self.watch.stopped() {
                    return Err(Halt::Stopped);
                }
                if (self.visit)(&self.at, &self.held[depth + 1]) {
                    let width = self.message.rows.width;
                    bits::add(&mut self.message.rows.rows[prefix * width..], place);
                    self.message.entries += 1;
                    self.mark();
                    if self.message.entries > self.most_entries {
                        return Err(Halt::TooLarge);
                    }
                }
            }
        }
        Ok(())
    }

    /// The places of the slot that still hold with one more neighbour settled; `false` if none.
    fn hold(&mut self, depth: usize, slot: usize, place: usize) -> bool {
        let (above, below) = self.held.split_at_mut(depth + 1);
        let (above, below) = (&above[depth], &mut below[0]);
        match self.prepared.pair(slot, self.bucket.slot) {
            Some(pair) => {
                below.iter_mut().zip(above.iter().zip(pair.row(place))).for_each(|(to, (a, b))| *to = a & b)
            }
            None => below.copy_from_slice(above),
        }
        if !self.settled[depth + 1].is_empty() {
            self.settle(depth + 1);
        }
        !bits::none(&self.held[depth + 1])
    }

    /// The candidates of the next neighbour; `false` if none.
    fn narrow(&mut self, depth: usize) -> bool {
        let next = self.bucket.rest[depth + 1];
        let target = &mut self.candidates[depth + 1];
        let mut open = true;
        for before in &self.bucket.rest[..=depth] {
            let Some(pair) = self.prepared.pair(*before, next) else { continue };
            let row = pair.row(self.at[*before]);
            if open {
                target.copy_from_slice(row);
                open = false;
            } else {
                target.iter_mut().zip(row).for_each(|(target, row)| *target &= row);
            }
        }
        if open {
            target.copy_from_slice(&full(self.prepared.sizes[next]));
        }
        !bits::none(target)
    }

    fn mark(&mut self) {
        let rest = &self.bucket.rest;
        let mut number = 0;
        for x in 0..rest.len() {
            for y in x + 1..rest.len() {
                self.seen[number].add(self.at[rest[x]], self.at[rest[y]]);
                number += 1;
            }
        }
    }
}

/// Keeps of the pairs of two slots those that a table has.
pub(crate) fn learn(prepared: &mut Prepared<'_>, rest: &[usize], seen: Vec<Matrix>) {
    let n = prepared.slots();
    let mut seen = seen.into_iter();
    for (x, a) in rest.iter().enumerate() {
        for b in &rest[x + 1..] {
            let Some(there) = seen.next() else { return };
            let back = there.turned(prepared.sizes[*a], prepared.sizes[*b]);
            for (at, matrix) in [(a * n + b, there), (b * n + a, back)] {
                match &mut prepared.pairs[at] {
                    Some(old) => old.meet(&matrix),
                    none => *none = Some(matrix),
                }
            }
        }
    }
}
