//! The least weighed sum below and beside each entry, in several directions at once.
//!
//! With weights that are not below zero a set cannot weigh less than the least of its direction: what lies below an
//! entry and what lies beside it bound every set through it, in each direction. The sets behind the bounds are known
//! sets, good ones.

use crate::layers::Layers;

/// Directions looked into at once.
pub(crate) const LANES: usize = 16;
/// Partial choices from which known sets are completed.
const MOST_STARTS: usize = 800;

/// A number for each direction.
pub(crate) type Lanes = [f32; LANES];

/// A partial choice: what it costs so far, and the layers and entries that are still to be chosen in.
type Start<const K: usize> = ([i64; K], Vec<(usize, usize)>);

/// Nothing leads here.
const NOWHERE: Lanes = [f32::INFINITY; LANES];

/// The directions: the weight of each aim in each of them.
#[derive(Clone, Debug)]
pub(crate) struct Directions<const K: usize> {
    weights: [Lanes; K],
    /// What rounding may amount to, in each direction.
    slack: Lanes,
}

impl<const K: usize> Directions<K> {
    /// Each aim alone, then mixtures; an aim that counts the largest cost has no weight, since it is not added.
    fn of(layers: &Layers<K>) -> Self {
        let mut variance = [0.0f64; K];
        let mut largest = [0.0f64; K];
        for layer in &layers.all {
            let count = layer.costs.len().max(1) as f64;
            for aim in 0..K {
                let costs = || layer.costs.iter().map(|costs| costs[aim] as f64);
                let mean = costs().sum::<f64>() / count;
                variance[aim] += costs().map(|cost| (cost - mean).powi(2)).sum::<f64>() / count;
                largest[aim] += costs().fold(0.0, |most: f64, cost| most.max(cost.abs()));
            }
        }
        let scale: [f64; K] = std::array::from_fn(|aim| {
            if layers.folds.is_most(aim) { 0.0 } else { 1.0 / variance[aim].sqrt().max(1e-3) }
        });
        let steps = match K {
            0 | 1 => 1,
            2 => 15,
            3 => 4,
            4 => 3,
            _ => 2,
        };
        let mut mixtures = Vec::new();
        spread::<K>(&mut [0; K], 0, steps, &mut mixtures);
        // The aims by themselves come first: where the mixtures are more than there is room for, the last are left out.
        mixtures.sort_by_key(|steps| steps.iter().filter(|own| **own > 0).count().abs_diff(1));
        let mut weights = [[0.0; LANES]; K];
        let mut slack = [0.0; LANES];
        // Each sum is rounded once for each number in it, those of the bounds beside up to four times.
        let rounding = f32::EPSILON * (4 * layers.all.len() + K + 8) as f32;
        for (lane, steps) in mixtures.iter().take(LANES).enumerate() {
            for aim in 0..K {
                weights[aim][lane] = (steps[aim] as f64 * scale[aim]) as f32;
                let whole = (largest[aim] + layers.constant[aim].abs() as f64) as f32;
                slack[lane] += rounding * weights[aim][lane] * whole;
            }
        }
        Self { weights, slack }
    }

    /// What values weigh, in each direction.
    #[inline]
    pub(crate) fn weigh(&self, values: &[i64; K]) -> Lanes {
        let mut sums = [0.0; LANES];
        for (value, weights) in values.iter().zip(&self.weights) {
            let value = *value as f32;
            for lane in 0..LANES {
                sums[lane] += value * weights[lane];
            }
        }
        sums
    }

    /// The same, rounded down safely.
    #[inline]
    pub(crate) fn below(&self, sums: &Lanes) -> Lanes {
        std::array::from_fn(|lane| sums[lane] - self.slack[lane])
    }
}

#[inline]
fn plus(sums: &mut Lanes, more: &Lanes) {
    for lane in 0..LANES {
        sums[lane] += more[lane];
    }
}

#[inline]
fn lower(least: &mut Lanes, other: &Lanes) {
    for lane in 0..LANES {
        least[lane] = if other[lane] < least[lane] { other[lane] } else { least[lane] };
    }
}

/// The bounds of each entry.
#[derive(Clone, Debug)]
pub(crate) struct Weighed<const K: usize> {
    pub directions: Directions<K>,
    /// For each layer and entry the least that the slots behind it weigh, this one included.
    pub below: Vec<Vec<Lanes>>,
    /// For each layer and entry the least that all other slots weigh.
    pub beside: Vec<Vec<Lanes>>,
}

impl<const K: usize> Weighed<K> {
    /// The bounds below; nothing is said of what lies beside.
    pub(crate) fn new(layers: &Layers<K>) -> Self {
        let mut weighed = Self {
            directions: Directions::of(layers),
            below: layers.all.iter().map(|layer| vec![NOWHERE; layer.entries()]).collect(),
            beside: layers.all.iter().map(|layer| vec![NOWHERE; layer.entries()]).collect(),
        };
        weighed.up(layers);
        weighed
    }

    #[inline]
    fn of_arc(&self, layers: &Layers<K>, number: usize, arc: usize) -> Lanes {
        let layer = &layers.all[number];
        let mut sum = self.directions.weigh(&layer.costs[arc]);
        layer.leads(arc).for_each(|(from, entry)| plus(&mut sum, &self.below[from][entry]));
        sum
    }

    fn up(&mut self, layers: &Layers<K>) {
        for (number, layer) in layers.all.iter().enumerate() {
            for entry in 0..layer.entries() {
                let mut least = NOWHERE;
                for arc in layer.arcs(entry) {
                    lower(&mut least, &self.of_arc(layers, number, arc));
                }
                self.below[number][entry] = least;
            }
        }
    }

    /// The bounds beside; leaves out arcs through which no set passes that counts, as `may_count` says of its bounds.
    pub(crate) fn down(&mut self, layers: &mut Layers<K>, mut may_count: impl FnMut(&Lanes) -> bool) {
        let mut open: Vec<Vec<bool>> =
            layers.all.iter().map(|layer| vec![false; layer.places.len()]).collect();
        for root in &layers.roots {
            let mut beside = self.directions.weigh(&layers.constant);
            for other in layers.roots.iter().filter(|other| *other != root) {
                plus(&mut beside, &self.below[*other][0]);
            }
            self.beside[*root][0] = beside;
        }
        for (number, layer) in layers.all.iter().enumerate().rev() {
            for entry in 0..layer.entries() {
                let beside = self.beside[number][entry];
                if beside[0] == f32::INFINITY {
                    continue;
                }
                for arc in layer.arcs(entry) {
                    let mut whole = self.of_arc(layers, number, arc);
                    plus(&mut whole, &beside);
                    if whole[0] == f32::INFINITY || !may_count(&self.directions.below(&whole)) {
                        continue;
                    }
                    open[number][arc] = true;
                    for (from, entry) in layer.leads(arc) {
                        let below = &self.below[from][entry];
                        let rest: Lanes = std::array::from_fn(|lane| whole[lane] - below[lane]);
                        lower(&mut self.beside[from][entry], &rest);
                    }
                }
            }
        }
        layers.keep(&open);
    }

    /// Known sets: partial choices near the roots, each completed by the best of each direction.
    pub(crate) fn sets(&self, layers: &Layers<K>) -> Vec<[i64; K]> {
        let roots = layers.roots.iter().map(|root| (*root, 0)).collect();
        let mut starts: Vec<Start<K>> = vec![(layers.constant, roots)];
        loop {
            // The entry nearest the roots is settled next, in all its ways.
            let mut next = Vec::new();
            for (values, open) in &starts {
                let Some(at) = (0..open.len()).max_by_key(|at| open[*at].0) else { continue };
                let (number, entry) = open[at];
                let layer = &layers.all[number];
                for arc in layer.arcs(entry) {
                    let mut open = open.clone();
                    open.swap_remove(at);
                    open.extend(layer.leads(arc));
                    next.push((layers.folds.add(values, &layer.costs[arc]), open));
                }
                if next.len() > MOST_STARTS {
                    break;
                }
            }
            if next.is_empty() || next.len() > MOST_STARTS {
                break;
            }
            starts = next;
        }
        let mut sets = Vec::with_capacity(starts.len() * LANES);
        for (values, open) in &starts {
            for lane in 0..LANES {
                sets.extend(self.complete(layers, lane, *values, open.clone()));
            }
        }
        sets
    }

    fn complete(
        &self,
        layers: &Layers<K>,
        lane: usize,
        mut values: [i64; K],
        mut open: Vec<(usize, usize)>,
    ) -> Option<[i64; K]> {
        while let Some((number, entry)) = open.pop() {
            let layer = &layers.all[number];
            let weight = |arc: usize| {
                let own: f32 =
                    (0..K).map(|aim| layer.costs[arc][aim] as f32 * self.directions.weights[aim][lane]).sum();
                layer.leads(arc).fold(own, |sum, (from, entry)| sum + self.below[from][entry][lane])
            };
            let arcs = layer.arcs(entry).map(|arc| (weight(arc), arc));
            let (_, arc) = arcs.min_by(|a, b| a.0.total_cmp(&b.0))?;
            values = layers.folds.add(&values, &layer.costs[arc]);
            open.extend(layer.leads(arc));
        }
        Some(values)
    }
}

fn spread<const K: usize>(steps: &mut [usize; K], aim: usize, left: usize, found: &mut Vec<[usize; K]>) {
    if aim + 1 >= K {
        if let Some(last) = steps.last_mut() {
            *last = left;
        }
        found.push(*steps);
        return;
    }
    for own in 0..=left {
        steps[aim] = own;
        spread(steps, aim + 1, left - own, found);
    }
}
