//! What a partial set can become at best, and complete sets that beat what cannot become better.

use crate::layers::Layers;
use crate::pareto::{Candidate, no_worse, prune};

/// The best of each aim, by itself, below and beside each entry.
#[derive(Clone, Debug)]
pub(crate) struct Bounds<const K: usize> {
    /// For each layer and entry: the least that the slots behind it cost, this one included.
    pub low: Vec<Vec<[i64; K]>>,
    /// For each layer and entry: the least that all other slots cost; the largest number where nothing leads here.
    pub beside: Vec<Vec<[i64; K]>>,
    /// For each layer and arc whether it can be part of a set that nothing known beats.
    pub open: Vec<Vec<bool>>,
}

/// Nothing leads here.
pub(crate) const NOWHERE: i64 = i64::MAX / 4;

impl<const K: usize> Bounds<K> {
    /// Works them out, without the arcs that a known set beats.
    pub(crate) fn new(layers: &Layers<K>, known: &mut Known<K>) -> Self {
        let mut bounds = Self {
            low: layers.all.iter().map(|layer| vec![[NOWHERE; K]; layer.entries()]).collect(),
            beside: layers.all.iter().map(|layer| vec![[NOWHERE; K]; layer.entries()]).collect(),
            open: layers.all.iter().map(|layer| vec![true; layer.places.len()]).collect(),
        };
        bounds.up(layers);
        bounds.down(layers, known);
        bounds
    }

    fn best_of_arc(&self, layers: &Layers<K>, number: usize, arc: usize) -> [i64; K] {
        let layer = &layers.all[number];
        let mut sum = layer.costs[arc];
        for (from, entry) in layer.leads(arc) {
            sum = layers.folds.add(&sum, &self.low[from][entry]);
        }
        sum
    }

    fn up(&mut self, layers: &Layers<K>) {
        for (number, layer) in layers.all.iter().enumerate() {
            for entry in 0..layer.entries() {
                let mut low = [NOWHERE; K];
                for arc in layer.arcs(entry).filter(|arc| self.open[number][*arc]) {
                    let best = self.best_of_arc(layers, number, arc);
                    low.iter_mut().zip(&best).for_each(|(low, best)| *low = (*low).min(*best));
                }
                self.low[number][entry] = low.map(|low| low.min(NOWHERE));
            }
        }
    }

    fn down(&mut self, layers: &Layers<K>, known: &mut Known<K>) {
        self.beside.iter_mut().flatten().for_each(|beside| *beside = [NOWHERE; K]);
        for root in &layers.roots {
            let mut beside = layers.constant;
            for other in layers.roots.iter().filter(|other| *other != root) {
                beside = layers.folds.add(&beside, &self.low[*other][0]);
            }
            self.beside[*root][0] = beside;
        }
        for (number, layer) in layers.all.iter().enumerate().rev() {
            for entry in 0..layer.entries() {
                let beside = self.beside[number][entry];
                let reached = beside.iter().all(|value| *value < NOWHERE);
                for arc in layer.arcs(entry) {
                    let best = if reached && self.open[number][arc] {
                        layers.folds.add(&self.best_of_arc(layers, number, arc), &beside)
                    } else {
                        [NOWHERE; K]
                    };
                    let open = best.iter().all(|value| *value < NOWHERE) && !known.beats(&best);
                    self.open[number][arc] = open;
                    if !open {
                        continue;
                    }
                    let here = layers.folds.add(&layer.costs[arc], &beside);
                    for (from, entry) in layer.leads(arc) {
                        let mut sum = here;
                        for (other, other_entry) in layer.leads(arc).filter(|(other, _)| *other != from) {
                            sum = layers.folds.add(&sum, &self.low[other][other_entry]);
                        }
                        let beside = &mut self.beside[from][entry];
                        beside.iter_mut().zip(&sum).for_each(|(beside, sum)| *beside = (*beside).min(*sum));
                    }
                }
            }
        }
    }

    /// Once more, with more known sets and without the arcs that fell out.
    pub(crate) fn tighten(&mut self, layers: &Layers<K>, known: &mut Known<K>) {
        self.up(layers);
        self.down(layers, known);
    }
}

/// Complete sets that no other known one beats, by their values.
#[derive(Clone, Debug, Default)]
pub(crate) struct Known<const K: usize> {
    values: Vec<[i64; K]>,
}

impl<const K: usize> Known<K> {
    /// Puts more in and keeps those that no other beats.
    pub(crate) fn put(&mut self, more: impl IntoIterator<Item = [i64; K]>) {
        let all = self.values.drain(..).chain(more);
        let mut all: Vec<Candidate<K>> =
            all.map(|values| Candidate { values, place: 0, behind: 0 }).collect();
        prune(&mut all, |_, _| std::cmp::Ordering::Equal);
        self.values.extend(all.into_iter().map(|candidate| candidate.values));
    }

    /// Whether a known set is nowhere worse and somewhere better than this.
    #[inline]
    pub(crate) fn beats(&mut self, values: &[i64; K]) -> bool {
        match self.values.iter().position(|known| no_worse(known, values) && known != values) {
            Some(at) => {
                // Moved up by half: those that beat often are met early.
                self.values.swap(at, at / 2);
                true
            }
            None => false,
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.values.len()
    }
}
