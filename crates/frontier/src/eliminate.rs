//! Slot by slot: for each entry of a layer the partial sets behind it that nothing beats.

use crate::bounds::{Known, Room};
use crate::front::Ask;
use crate::join::Halt;
use crate::layers::Layers;
use crate::order::Plan;
use crate::pareto::{Candidate, no_worse, prune};
use crate::prepared::Prepared;
use crate::watch::Progress;
use crate::weighed::{Lanes, Weighed};
use std::cmp::Ordering;

/// Below so many arcs looking for known sets first costs more than it saves.
const WORTH_BOUNDS: usize = 10_000;
/// How often bounds are worked out, each time over the arcs that the last left open.
const ROUNDS: usize = 2;

/// A whole set: its values and the option of each slot.
pub(crate) type Whole<const K: usize> = ([i64; K], Vec<u32>);

/// The values and options of every set that no other beats.
pub(crate) fn eliminate<const K: usize>(
    ask: &Ask<'_>,
    prepared: Prepared<'_>,
    plan: &Plan,
) -> Result<Vec<Whole<K>>, Halt> {
    let Some(mut layers) = Layers::<K>::new(ask, prepared, plan)? else { return Ok(Vec::new()) };
    let mut known = Known::default();
    let mut bounds = None;
    let arcs: usize = layers.all.iter().map(|layer| layer.places.len()).sum();
    if K > 0 && arcs > WORTH_BOUNDS {
        for _ in 0..ROUNDS {
            if ask.watch.stopped() {
                return Err(Halt::Stopped);
            }
            let mut weighed = Weighed::new(&layers);
            known.put(weighed.sets(&layers));
            let mut room = Room::new(&weighed.directions, &known);
            weighed.down(&mut layers, |bounds| room.has_for(bounds));
            bounds = Some((weighed, room));
        }
    }
    let stores = run(ask, &layers, &mut bounds, known.len())?;
    Ok(finish(&layers, &stores))
}

/// All layers in turn.
fn run<const K: usize>(
    ask: &Ask<'_>,
    layers: &Layers<K>,
    bounds: &mut Option<(Weighed<K>, Room)>,
    found: usize,
) -> Result<Vec<Store<K>>, Halt> {
    let mut stores: Vec<Store<K>> = Vec::with_capacity(layers.all.len());
    let mut work = Work { candidates: Vec::new(), next: Vec::new() };
    for number in 0..layers.all.len() {
        let elimination = Elimination { layers, stores: &stores, number };
        let mut store = Store { starts: vec![0], ..Store::default() };
        let entries = layers.all[number].entries();
        for entry in 0..entries {
            if entry % 256 == 255 && ask.watch.stopped() {
                return Err(Halt::Stopped);
            }
            elimination.entry(entry, bounds, &mut work, &mut store);
            if store.values.len() > ask.limits.points {
                return Err(Halt::TooLarge);
            }
        }
        stores.push(store);
        ask.watch.tell(Progress { done: layers.all.len() + number + 1, of: 2 * layers.all.len(), found });
    }
    Ok(stores)
}

/// Partial sets of one layer: for each entry those that nothing beats.
#[derive(Debug, Default)]
struct Store<const K: usize> {
    /// Where each entry begins; one more at the end.
    starts: Vec<u32>,
    values: Vec<[i64; K]>,
    arcs: Vec<u32>,
    /// For each partial set the partial sets behind it, one for each layer that its arc leads to.
    behind: Vec<u32>,
    /// The least of each aim in each entry.
    low: Vec<[i64; K]>,
}

impl<const K: usize> Store<K> {
    #[inline]
    fn span(&self, entry: usize) -> std::ops::Range<usize> {
        self.starts[entry] as usize..self.starts[entry + 1] as usize
    }
}

/// Lists that are used again for every entry.
struct Work<const K: usize> {
    candidates: Vec<Candidate<K>>,
    next: Vec<Candidate<K>>,
}

struct Elimination<'a, const K: usize> {
    layers: &'a Layers<K>,
    stores: &'a [Store<K>],
    number: usize,
}

impl<const K: usize> Elimination<'_, K> {
    /// All partial sets of one entry that nothing beats.
    fn entry(
        &self,
        entry: usize,
        bounds: &mut Option<(Weighed<K>, Room)>,
        work: &mut Work<K>,
        store: &mut Store<K>,
    ) {
        let (layer, folds) = (&self.layers.all[self.number], &self.layers.folds);
        work.candidates.clear();
        let mut pruned = 0;
        'arcs: for arc in layer.arcs(entry) {
            let mut ideal = layer.costs[arc];
            for (from, behind) in layer.leads(arc) {
                if self.stores[from].span(behind).is_empty() {
                    continue 'arcs;
                }
                ideal = folds.add(&ideal, &self.stores[from].low[behind]);
            }
            let beaten =
                |candidate: &Candidate<K>| candidate.values != ideal && no_worse(&candidate.values, &ideal);
            if work.candidates[..pruned].iter().any(beaten) {
                continue;
            }
            self.cross(arc, entry, bounds, work);
            if work.candidates.len() > 2 * pruned + 24 {
                prune(&mut work.candidates, |a, b| self.tie(layer.from.len(), a, b));
                pruned = work.candidates.len();
            }
        }
        prune(&mut work.candidates, |a, b| self.tie(layer.from.len(), a, b));
        if let Some((weighed, room)) = bounds {
            let beside = &weighed.beside[self.number][entry];
            work.candidates.retain(|candidate| {
                room.has_for(
                    &weighed.directions.below(&sum(&weighed.directions.weigh(&candidate.values), beside)),
                )
            });
        }
        let mut low = [i64::MAX; K];
        for candidate in &work.candidates {
            low.iter_mut().zip(&candidate.values).for_each(|(low, value)| *low = (*low).min(*value));
            store.values.push(candidate.values);
            store.arcs.push(candidate.place);
            let mut behind = candidate.behind;
            for (from, entry) in layer.leads(candidate.place as usize) {
                let span = self.stores[from].span(entry);
                store.behind.push(span.start as u32 + (behind % span.len() as u64) as u32);
                behind /= span.len() as u64;
            }
        }
        store.low.push(low);
        store.starts.push(store.values.len() as u32);
    }

    /// Every combination of the partial sets behind one arc.
    fn cross(&self, arc: usize, entry: usize, bounds: &mut Option<(Weighed<K>, Room)>, work: &mut Work<K>) {
        let (layer, folds) = (&self.layers.all[self.number], &self.layers.folds);
        let start = Candidate { values: layer.costs[arc], place: arc as u32, behind: 0 };
        let width = layer.from.len();
        if width == 0 {
            work.candidates.push(start);
            return;
        }
        let mut product = 1u64;
        work.next.clear();
        work.next.push(start);
        for (number, (from, behind)) in layer.leads(arc).enumerate() {
            let store = &self.stores[from];
            let values = &store.values[store.span(behind)];
            if number + 1 == width {
                for candidate in &work.next {
                    work.candidates.extend(values.iter().enumerate().map(|(index, value)| Candidate {
                        values: folds.add(&candidate.values, value),
                        behind: candidate.behind + product * index as u64,
                        ..*candidate
                    }));
                }
                return;
            }
            if let [value] = values {
                work.next
                    .iter_mut()
                    .for_each(|candidate| candidate.values = folds.add(&candidate.values, value));
                continue;
            }
            // What the lists that are still to come weigh at least.
            let rest = bounds.as_ref().map(|(weighed, _)| {
                let mut rest = weighed.beside[self.number][entry];
                for (later, entry) in layer.leads(arc).skip(number + 1) {
                    rest = sum(&rest, &weighed.below[later][entry]);
                }
                rest
            });
            let mut grown = Vec::with_capacity(work.next.len() * values.len());
            for candidate in &work.next {
                for (index, value) in values.iter().enumerate() {
                    let values = folds.add(&candidate.values, value);
                    if let (Some(rest), Some((weighed, room))) = (&rest, bounds.as_mut()) {
                        let whole = sum(&weighed.directions.weigh(&values), rest);
                        if !room.has_for(&weighed.directions.below(&whole)) {
                            continue;
                        }
                    }
                    grown.push(Candidate {
                        values,
                        behind: candidate.behind + product * index as u64,
                        ..*candidate
                    });
                }
            }
            if grown.len() > 16 {
                prune(&mut grown, |a, b| self.tie(number + 1, a, b));
            }
            work.next = grown;
            product *= values.len() as u64;
        }
    }

    /// Which of two partial sets with the same values comes first, slot by slot.
    fn tie(&self, froms: usize, a: &Candidate<K>, b: &Candidate<K>) -> Ordering {
        let layer = &self.layers.all[self.number];
        let options = |candidate: &Candidate<K>| {
            let arc = candidate.place as usize;
            let mut options = vec![0; self.layers.names.len()];
            options[layer.slot] = self.layers.names[layer.slot][layer.places[arc] as usize];
            let mut behind = candidate.behind;
            for (from, entry) in layer.leads(arc).take(froms) {
                let span = self.stores[from].span(entry);
                let point = span.start + (behind % span.len() as u64) as usize;
                write(self.layers, self.stores, from, point, &mut options);
                behind /= span.len() as u64;
            }
            options
        };
        options(a).cmp(&options(b))
    }
}

#[inline]
fn sum(a: &Lanes, b: &Lanes) -> Lanes {
    std::array::from_fn(|lane| a[lane] + b[lane])
}

/// The options of a partial set and of all behind it.
fn write<const K: usize>(
    layers: &Layers<K>,
    stores: &[Store<K>],
    number: usize,
    point: usize,
    options: &mut [u32],
) {
    let (layer, store) = (&layers.all[number], &stores[number]);
    options[layer.slot] = layers.names[layer.slot][layer.places[store.arcs[point] as usize] as usize];
    for (at, from) in layer.from.iter().enumerate() {
        write(layers, stores, *from, store.behind[point * layer.from.len() + at] as usize, options);
    }
}

/// The parts of the graph that hang together, put together.
fn finish<const K: usize>(layers: &Layers<K>, stores: &[Store<K>]) -> Vec<Whole<K>> {
    let settled: Vec<u32> =
        layers.names.iter().map(|names| if names.len() == 1 { names[0] } else { 0 }).collect();
    let mut all = vec![(layers.constant, settled)];
    for root in &layers.roots {
        let values = &stores[*root].values;
        let mut candidates: Vec<Candidate<K>> = Vec::with_capacity(all.len() * values.len());
        for (at, (before, _)) in all.iter().enumerate() {
            candidates.extend(values.iter().enumerate().map(|(point, value)| Candidate {
                values: layers.folds.add(before, value),
                place: point as u32,
                behind: at as u64,
            }));
        }
        let options = |candidate: &Candidate<K>| {
            let mut options = all[candidate.behind as usize].1.clone();
            write(layers, stores, *root, candidate.place as usize, &mut options);
            options
        };
        prune(&mut candidates, |a, b| options(a).cmp(&options(b)));
        all = candidates.iter().map(|candidate| (candidate.values, options(candidate))).collect();
    }
    all
}
