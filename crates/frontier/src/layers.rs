//! Everything that may be chosen, slot by slot in the order of elimination, with what each choice leads to.
//!
//! A layer belongs to one slot. An entry of it is a combination of the slot's later neighbours; an arc of an entry is
//! a place of the slot that goes with them, with its own cost and the entry of each earlier layer that it leads to.
//! A set is a choice of one arc in the entry of the last layer, and of one arc in each entry that this leads to.

use crate::bits;
use crate::front::Ask;
use crate::join::{Halt, Message, join, learn};
use crate::order::{Bucket, Plan};
use crate::prepared::Prepared;
use crate::problem::Fold;
use crate::watch::Progress;

/// The values of one aim folded, aim by aim.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Folds<const K: usize> {
    most: [bool; K],
    any_most: bool,
}

impl<const K: usize> Folds<K> {
    /// Whether the largest cost counts.
    pub(crate) fn is_most(&self, aim: usize) -> bool {
        self.most[aim]
    }

    #[inline]
    pub(crate) fn add(&self, a: &[i64; K], b: &[i64; K]) -> [i64; K] {
        if self.any_most {
            std::array::from_fn(|aim| if self.most[aim] { a[aim].max(b[aim]) } else { a[aim] + b[aim] })
        } else {
            std::array::from_fn(|aim| a[aim] + b[aim])
        }
    }
}

/// All arcs of one slot.
#[derive(Clone, Debug)]
pub(crate) struct Layer<const K: usize> {
    pub slot: usize,
    /// The earlier layers that its arcs lead to.
    pub from: Vec<usize>,
    /// Where the arcs of each entry begin; one more at the end.
    pub starts: Vec<u32>,
    pub places: Vec<u32>,
    pub costs: Vec<[i64; K]>,
    /// For each arc the entry that it leads to in each earlier layer.
    pub leads: Vec<u32>,
}

impl<const K: usize> Layer<K> {
    pub(crate) fn entries(&self) -> usize {
        self.starts.len() - 1
    }

    #[inline]
    pub(crate) fn arcs(&self, entry: usize) -> std::ops::Range<usize> {
        self.starts[entry] as usize..self.starts[entry + 1] as usize
    }

    #[inline]
    pub(crate) fn leads(&self, arc: usize) -> impl Iterator<Item = (usize, usize)> + '_ {
        let width = self.from.len();
        self.from
            .iter()
            .copied()
            .zip(self.leads[arc * width..(arc + 1) * width].iter().map(|entry| *entry as usize))
    }
}

/// The layers of a problem.
#[derive(Clone, Debug)]
pub(crate) struct Layers<const K: usize> {
    pub folds: Folds<K>,
    pub all: Vec<Layer<K>>,
    /// Layers that no other leads to; each has one entry.
    pub roots: Vec<usize>,
    /// What settled slots cost.
    pub constant: [i64; K],
    /// The option behind each place.
    pub names: Vec<Vec<u32>>,
}

impl<const K: usize> Layers<K> {
    /// Lays them out; `None` if nothing holds.
    pub(crate) fn new(ask: &Ask<'_>, mut prepared: Prepared<'_>, plan: &Plan) -> Result<Option<Self>, Halt> {
        let problem = ask.problem;
        let most: [bool; K] = std::array::from_fn(|aim| problem.folds[ask.aims[aim]] == Fold::Most);
        let folds = Folds { most, any_most: most.contains(&true) };
        let names = prepared.names.clone();
        let cost = |aim: usize, slot: usize, option: u32| {
            problem.costs[ask.aims[aim]][slot].get(option as usize).copied().unwrap_or(0)
        };
        let unit = |slot: usize| -> Vec<[i64; K]> {
            names[slot].iter().map(|name| std::array::from_fn(|aim| cost(aim, slot, *name))).collect()
        };
        let mut messages: Vec<Option<Message>> = vec![None; plan.buckets.len()];
        let mut all: Vec<Layer<K>> = Vec::with_capacity(plan.buckets.len());
        for (number, bucket) in plan.buckets.iter().enumerate() {
            let (looks, own) = (looks(ask, &prepared, bucket), unit(bucket.slot));
            let mut layer = Layer {
                slot: bucket.slot,
                from: bucket.from.clone(),
                starts: vec![0],
                places: Vec::new(),
                costs: Vec::new(),
                leads: Vec::new(),
            };
            let mut rows: Vec<(&[u64], usize)> = Vec::new();
            let mut cells = vec![0; looks.len()];
            let most_arcs = ask.limits.points;
            let visit = |at: &[usize], held: &[u64]| {
                rows.clear();
                rows.extend(bucket.from.iter().filter_map(|from| Some(messages[*from].as_ref()?.at(at))));
                for (cell, look) in cells.iter_mut().zip(&looks) {
                    *cell = look.keys.iter().map(|(slot, offsets)| offsets[at[*slot]]).sum();
                }
                for place in bits::each(held) {
                    let mut costs = own[place];
                    for (look, cell) in looks.iter().zip(&cells) {
                        let mut cost = [0; K];
                        cost[look.aim] = look.costs[cell + look.own[place]];
                        costs = folds.add(&costs, &cost);
                    }
                    layer.places.push(place as u32);
                    layer.costs.push(costs);
                    layer
                        .leads
                        .extend(rows.iter().map(|(row, first)| (first + bits::rank(row, place)) as u32));
                }
                layer.starts.push(layer.places.len() as u32);
                // A layer that is too large is refused below: nothing more goes in.
                layer.places.len() <= most_arcs
            };
            let (message, seen) = join(&prepared, bucket, &messages, ask.limits.points, ask.watch, visit)?;
            if layer.places.len() > ask.limits.points {
                return Err(Halt::TooLarge);
            }
            if message.entries == 0 {
                return Ok(None);
            }
            learn(&mut prepared, &bucket.rest, seen);
            messages[number] = Some(message);
            bucket.from.iter().for_each(|from| messages[*from] = None);
            all.push(layer);
            ask.watch.tell(Progress { done: number + 1, of: 2 * plan.buckets.len(), found: 0 });
        }
        let mut constant = [0i64; K];
        for slot in (0..names.len()).filter(|slot| names[*slot].len() == 1) {
            constant = folds.add(&constant, &unit(slot)[0]);
        }
        for number in &plan.settled_terms {
            let Some(term) = prepared.terms().nth(*number) else { continue };
            let mut cell = 0;
            for (at, count) in term.over.counts.iter().enumerate() {
                cell = cell * count + prepared.class(&term.over, at, 0);
            }
            let mut cost = [0i64; K];
            if let Some(aim) = ask.aims.iter().position(|aim| *aim == term.aim) {
                cost[aim] = term.costs[cell];
            }
            constant = folds.add(&constant, &cost);
        }
        Ok(Some(Self { folds, all, roots: plan.roots.clone(), constant, names }))
    }
}

impl<const K: usize> Layers<K> {
    /// Keeps the arcs that are open, entries by their numbers.
    pub(crate) fn keep(&mut self, open: &[Vec<bool>]) {
        for (layer, open) in self.all.iter_mut().zip(open) {
            let width = layer.from.len();
            let mut kept = 0;
            for entry in 0..layer.entries() {
                let arcs = layer.arcs(entry);
                layer.starts[entry] = kept as u32;
                for arc in arcs.filter(|arc| open[*arc]) {
                    layer.places[kept] = layer.places[arc];
                    layer.costs[kept] = layer.costs[arc];
                    layer.leads.copy_within(arc * width..(arc + 1) * width, kept * width);
                    kept += 1;
                }
            }
            if let Some(last) = layer.starts.last_mut() {
                *last = kept as u32;
            }
            layer.places.truncate(kept);
            layer.costs.truncate(kept);
            layer.leads.truncate(kept * width);
        }
    }
}

/// A cost that ends in a bucket, ready to look up.
struct Look<'a> {
    aim: usize,
    costs: &'a [i64],
    keys: Vec<(usize, Vec<usize>)>,
    own: Vec<usize>,
}

fn looks<'a>(ask: &Ask<'a>, prepared: &Prepared<'a>, bucket: &Bucket) -> Vec<Look<'a>> {
    let terms: Vec<_> = prepared.terms().collect();
    bucket
        .terms
        .iter()
        .filter_map(|number| {
            let term = terms[*number];
            let mut look = Look {
                aim: ask.aims.iter().position(|aim| *aim == term.aim)?,
                costs: &term.costs,
                keys: Vec::new(),
                own: Vec::new(),
            };
            let mut stride = 1;
            for (at, slot) in term.over.scope.iter().enumerate().rev() {
                let offset = |place| prepared.class(&term.over, at, place) * stride;
                let offsets: Vec<usize> = (0..prepared.sizes[*slot]).map(offset).collect();
                if *slot == bucket.slot {
                    look.own = offsets;
                } else {
                    look.keys.push((*slot, offsets));
                }
                stride *= term.over.counts[at];
            }
            Some(look)
        })
        .collect()
}
