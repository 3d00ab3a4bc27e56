//! How long an exact front takes, by options, density and slots.

#![expect(clippy::unwrap_used, reason = "a problem that cannot be laid out stops the run")]

#[path = "../tests/fronts/generator.rs"]
mod generator;

use divan::Bencher;
use frontier::{Fold, Problem, Watch};
use generator::{Instance, Recipe, Stream};

fn main() {
    divan::main();
}

const STORED: [(u64, usize, u32, bool); 9] = [
    (1, 40, 15, true),
    (1, 40, 15, false),
    (2, 40, 15, false),
    (3, 40, 15, false),
    (4, 40, 15, false),
    (5, 40, 15, false),
    (1, 40, 20, false),
    (1, 40, 30, false),
    (1, 120, 15, false),
];

fn recipe((seed, options, percent, attributes): (u64, usize, u32, bool)) -> Recipe {
    Recipe { attributes, ..Recipe::random(seed, options, f64::from(percent) / 100.0) }
}

/// The nine stored instances: (seed, options, percent of pairs, hidden attributes).
#[divan::bench(args = STORED.map(|stored| format!("{stored:?}")))]
fn stored(bencher: Bencher<'_, '_>, name: &str) {
    let stored = STORED.iter().find(|stored| format!("{stored:?}") == name).unwrap();
    let problem = Instance::new(recipe(*stored)).problem().0;
    bencher.bench(|| problem.front(Watch::default()));
}

/// Growth with options at 15 % of pairs.
#[divan::bench(args = [20, 40, 80, 160])]
fn options(bencher: Bencher<'_, '_>, options: usize) {
    let problem = Instance::new(Recipe::random(1, options, 0.15)).problem().0;
    bencher.bench(|| problem.front(Watch::default()));
}

/// Growth with the share of pairs at 40 options.
#[divan::bench(args = [10, 20, 30, 40, 60], sample_count = 10)]
fn density(bencher: Bencher<'_, '_>, percent: u32) {
    let problem = Instance::new(Recipe::random(1, 40, f64::from(percent) / 100.0)).problem().0;
    bencher.bench(|| problem.front(Watch::default()));
}

/// Slots in a row, each related to the `reach` before it: 20 options, a third of the pairs, two aims.
fn row(slots: usize, reach: usize) -> Problem {
    let mut stream = Stream::new(7);
    let mut problem = Problem::new(&vec![20; slots]).unwrap();
    for slot in 0..slots {
        for before in slot.saturating_sub(reach)..slot {
            problem.relate(&[before, slot], None, |at| at == [0, 0] || stream.unit() < 0.33).unwrap();
        }
    }
    for _ in 0..2 {
        let aim = problem.aim(Fold::Sum).unwrap();
        for slot in 0..slots {
            let costs: Vec<i64> = (0..20).map(|_| stream.below(100) as i64).collect();
            problem.cost(aim, slot, &costs).unwrap();
        }
    }
    problem
}

/// Growth with slots where each meets the two before it.
#[divan::bench(args = [10, 20, 40, 80], sample_count = 20)]
fn slots(bencher: Bencher<'_, '_>, slots: usize) {
    let problem = row(slots, 2);
    bencher.bench(|| problem.front(Watch::default()));
}

/// Growth with how many slots each meets, of twelve.
#[divan::bench(args = [1, 2, 3, 4, 5, 6], sample_count = 10)]
fn width(bencher: Bencher<'_, '_>, reach: usize) {
    let problem = row(12, reach);
    bencher.bench(|| problem.front(Watch::default()));
}
