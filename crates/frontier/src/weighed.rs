//! Complete sets that are good in one direction: the least weighed sum, for weights spread over all aims.

use crate::layers::Layers;

/// Steps into which the weights of one aim are divided.
const STEPS: usize = 8;
/// Directions looked into at once.
const AT_ONCE: usize = 8;
/// Most directions.
const MOST: usize = 64;

/// The values of the best set in each of several directions.
pub(crate) fn weighed<const K: usize>(layers: &Layers<K>, low: &[i64; K], high: &[i64; K]) -> Vec<[i64; K]> {
    let scale: [f64; K] = std::array::from_fn(|aim| 1.0 / ((high[aim] - low[aim]).max(1)) as f64);
    let mut directions = Vec::new();
    spread::<K>(&mut [0; K], 0, STEPS, &mut directions);
    let every = directions.len().div_ceil(MOST).max(1);
    let directions: Vec<[f64; K]> = directions
        .into_iter()
        .step_by(every)
        // A little of each aim, so that of equals the better one is taken.
        .map(|steps| std::array::from_fn(|aim| (steps[aim] as f64 + 0.01) * scale[aim]))
        .collect();
    directions.chunks(AT_ONCE).flat_map(|chunk| least(layers, chunk)).collect()
}

/// The best sets of each aim alone: where the scale of the weights comes from.
pub(crate) fn corners<const K: usize>(layers: &Layers<K>) -> Vec<[i64; K]> {
    let alone = |aim: usize| std::array::from_fn(|other| if other == aim { 1.0 } else { 1e-9 });
    let directions: Vec<[f64; K]> = (0..K).map(alone).collect();
    directions.chunks(AT_ONCE).flat_map(|chunk| least(layers, chunk)).collect()
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

fn least<const K: usize>(layers: &Layers<K>, directions: &[[f64; K]]) -> Vec<[i64; K]> {
    let weigh = |costs: &[i64; K]| -> [f64; AT_ONCE] {
        let mut sums = [0.0; AT_ONCE];
        for (sum, direction) in sums.iter_mut().zip(directions) {
            *sum = costs.iter().zip(direction).map(|(cost, weight)| *cost as f64 * weight).sum();
        }
        sums
    };
    // For each layer and entry the least weighed sum and the arc that gives it, direction by direction.
    let mut best: Vec<Vec<[f64; AT_ONCE]>> = Vec::with_capacity(layers.all.len());
    let mut by: Vec<Vec<[u32; AT_ONCE]>> = Vec::with_capacity(layers.all.len());
    for layer in &layers.all {
        let mut sums = vec![[f64::INFINITY; AT_ONCE]; layer.entries()];
        let mut arcs = vec![[0u32; AT_ONCE]; layer.entries()];
        for entry in 0..layer.entries() {
            for arc in layer.arcs(entry) {
                let mut sum = weigh(&layer.costs[arc]);
                for (from, behind) in layer.leads(arc) {
                    sum.iter_mut().zip(&best[from][behind]).for_each(|(sum, more)| *sum += more);
                }
                for direction in 0..AT_ONCE {
                    if sum[direction] < sums[entry][direction] {
                        sums[entry][direction] = sum[direction];
                        arcs[entry][direction] = arc as u32;
                    }
                }
            }
        }
        best.push(sums);
        by.push(arcs);
    }
    (0..directions.len())
        .map(|direction| {
            let mut values = layers.constant;
            let mut open: Vec<(usize, usize)> = layers.roots.iter().map(|root| (*root, 0)).collect();
            while let Some((number, entry)) = open.pop() {
                let arc = by[number][entry][direction] as usize;
                values = layers.folds.add(&values, &layers.all[number].costs[arc]);
                open.extend(layers.all[number].leads(arc));
            }
            values
        })
        .collect()
}
