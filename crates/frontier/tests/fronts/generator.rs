//! Seeded problems of nine slots and thirteen pair tables, the same in any language: written from their description.
//!
//! The random stream is xorshift64* seeded through splitmix64 (Vigna, "An experimental exploration of Marsaglia's
//! xorshift generators, scrambled", ACM Trans. Math. Softw. 42, 2016).

use frontier::{Aim, Fold, Problem};

const SLOTS: usize = 9;
const CRANK: usize = 3;
const CASSETTE: usize = 5;
/// Which slots meet: shifters 0, rear derailleur 1, front derailleur 2, crank 3, bracket 4, cassette 5, chain 6,
/// rear wheel 7, brakes 8.
pub(crate) const PAIRS: [(usize, usize); 13] =
    [(0, 1), (0, 2), (0, 8), (0, 5), (1, 5), (1, 6), (1, 3), (2, 3), (3, 4), (3, 6), (5, 6), (5, 7), (7, 8)];
const PRICE: [(f64, f64); SLOTS] = [
    (8000.0, 45000.0),
    (3000.0, 30000.0),
    (2000.0, 16000.0),
    (6000.0, 45000.0),
    (1500.0, 9000.0),
    (2500.0, 25000.0),
    (1200.0, 6000.0),
    (9000.0, 60000.0),
    (3000.0, 25000.0),
];
const WEIGHT: [(f64, f64); SLOTS] = [
    (330.0, 520.0),
    (180.0, 330.0),
    (75.0, 130.0),
    (560.0, 900.0),
    (60.0, 130.0),
    (200.0, 420.0),
    (230.0, 290.0),
    (800.0, 1300.0),
    (280.0, 420.0),
];
const RINGS: [i64; 10] = [24, 26, 28, 30, 32, 33, 34, 36, 38, 39];
const COGS: [i64; 8] = [23, 25, 27, 28, 30, 32, 34, 36];

/// The random stream.
pub(crate) struct Stream(u64);

impl Stream {
    pub(crate) fn new(seed: u64) -> Self {
        let z = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        Self(match z ^ (z >> 31) {
            0 => 1,
            z => z,
        })
    }

    fn bits(&mut self) -> u64 {
        let mut x = self.0;
        x ^= x >> 12;
        x ^= x << 25;
        x ^= x >> 27;
        self.0 = x;
        x.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.bits()) * n as u128) >> 53) as usize
    }

    pub(crate) fn unit(&mut self) -> f64 {
        self.bits() as f64 / 9_007_199_254_740_992.0
    }
}

/// What a problem is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Recipe {
    pub(crate) seed: u64,
    pub(crate) options: usize,
    pub(crate) density: f64,
    /// Each pair looks at a hidden attribute on both sides, with a few exceptions, instead of at chance alone.
    pub(crate) attributes: bool,
    /// One set is made to hold.
    pub(crate) planted: bool,
}

impl Recipe {
    pub(crate) fn random(seed: u64, options: usize, density: f64) -> Self {
        Self { seed, options, density, attributes: false, planted: true }
    }
}

/// The parts of an instance, before it becomes a problem.
pub(crate) struct Instance {
    pub(crate) options: usize,
    pub(crate) price: Vec<Vec<i64>>,
    pub(crate) weight: Vec<Vec<i64>>,
    pub(crate) ring: Vec<i64>,
    pub(crate) cog: Vec<i64>,
    /// For each pair of slots which options go together, row by row.
    pub(crate) allowed: Vec<Vec<bool>>,
}

impl Instance {
    pub(crate) fn new(recipe: Recipe) -> Self {
        let (n, mut stream) = (recipe.options, Stream::new(recipe.seed));
        let (mut price, mut weight) = (Vec::new(), Vec::new());
        let (mut ring, mut cog) = (Vec::new(), Vec::new());
        for slot in 0..SLOTS {
            let (mut prices, mut weights) = (Vec::new(), Vec::new());
            for _ in 0..n {
                let q = stream.unit();
                let (low, high) = PRICE[slot];
                prices.push((low + (high - low) * q * q) as i64);
                let (low, high) = WEIGHT[slot];
                weights.push((high - (high - low) * (0.65 * q + 0.35 * stream.unit())) as i64);
                if slot == CRANK {
                    ring.push(RINGS[stream.below(RINGS.len())]);
                }
                if slot == CASSETTE {
                    cog.push(COGS[stream.below(COGS.len())]);
                }
            }
            price.push(prices);
            weight.push(weights);
        }
        let planted: Option<Vec<usize>> =
            recipe.planted.then(|| (0..SLOTS).map(|_| stream.below(n)).collect());
        let kinds = (1.0 / recipe.density).round_ties_even().max(2.0) as usize;
        let mut attributes = Vec::new();
        if recipe.attributes {
            for _ in 0..PAIRS.len() * 2 {
                attributes.push((0..n).map(|_| stream.below(kinds)).collect::<Vec<_>>());
            }
        }
        let mut allowed = Vec::new();
        for (pair, (a, b)) in PAIRS.iter().enumerate() {
            let mut table = Vec::with_capacity(n * n);
            for i in 0..n {
                for j in 0..n {
                    let mut holds = if recipe.attributes {
                        let same = attributes[2 * pair][i] == attributes[2 * pair + 1][j];
                        if stream.unit() < 0.05 && stream.unit() < recipe.density { !same } else { same }
                    } else {
                        stream.unit() < recipe.density
                    };
                    holds |= planted.as_ref().is_some_and(|set| set[*a] == i && set[*b] == j);
                    table.push(holds);
                }
            }
            allowed.push(table);
        }
        Self { options: n, price, weight, ring, cog, allowed }
    }

    /// Price, weight and lowest gear, parts in a million of a wheel turn for one turn of the cranks.
    pub(crate) fn problem(&self) -> (Problem, [Aim; 3]) {
        let n = self.options;
        let mut problem = Problem::new(&[n; SLOTS]).unwrap();
        for (pair, (a, b)) in PAIRS.iter().enumerate() {
            problem.relate(&[*a, *b], Some(pair), |at| self.allowed[pair][at[0] * n + at[1]]).unwrap();
        }
        let aims = [(); 3].map(|()| problem.aim(Fold::Sum).unwrap());
        for slot in 0..SLOTS {
            problem.cost(aims[0], slot, &self.price[slot]).unwrap();
            problem.cost(aims[1], slot, &self.weight[slot]).unwrap();
        }
        let gear =
            |at: &[usize]| (1e6 * self.ring[at[0]] as f64 / self.cog[at[1]] as f64).round_ties_even() as i64;
        problem.cost_of(aims[2], &[CRANK, CASSETTE], gear).unwrap();
        (problem, aims)
    }
}
