//! Smooth modes of a rod of length 1: integrals of Legendre polynomials, so that the curvatures of two modes
//! share no energy.
//!
//! Curvature of mode k: `ψ_k(s) = √(2k + 1) P_k(2s − 1)`, with `∫ ψ_j ψ_k = 1` if j is k, else 0. Its swing
//! `φ_k = ∫ ψ_k = (P_{k+1} − P_{k−1})/(2 √(2k + 1))` is 0 at both ends, so the end angles stay as they are held.

use std::f64::consts::PI;

/// N modes tabled at the Q nodes of a Gauss rule on 0 to 1.
pub(super) struct Modes<const N: usize, const Q: usize> {
    pub(super) node: [f64; Q],
    pub(super) weight: [f64; Q],
    /// Swing of every mode at every node.
    pub(super) swing: [[f64; N]; Q],
    /// The same, a mode a row.
    pub(super) swing_by_mode: [[f64; Q]; N],
}

impl<const N: usize, const Q: usize> Modes<N, Q> {
    pub(super) fn new() -> Self {
        let (node, weight) = gauss_rule::<Q>();
        let mut swing = [[0.0; N]; Q];
        for (row, s) in swing.iter_mut().zip(node) {
            let mut legendre = Legendre::at(s);
            for (mode, slot) in row.iter_mut().enumerate() {
                *slot = legendre.swing_of_next(mode + 1);
            }
        }
        let mut swing_by_mode = [[0.0; Q]; N];
        for (mode, row) in swing_by_mode.iter_mut().enumerate() {
            for (slot, at_node) in row.iter_mut().zip(&swing) {
                *slot = at_node[mode];
            }
        }
        Self { node, weight, swing, swing_by_mode }
    }

    /// Nodes and weights of the rule.
    pub(super) fn rule(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.node.iter().copied().zip(self.weight.iter().copied())
    }
}

/// N modes tabled at M places spread evenly, both ends included: swings and curvatures.
pub(super) struct EvenLooks<const N: usize, const M: usize> {
    swing: [[f64; N]; M],
    curvature: [[f64; N]; M],
}

impl<const N: usize, const M: usize> EvenLooks<N, M> {
    pub(super) fn new() -> Self {
        let (mut swing, mut curvature) = ([[0.0; N]; M], [[0.0; N]; M]);
        for look in 0..M {
            let s = Self::share(look);
            let mut legendre = Legendre::at(s);
            for mode in 0..N {
                curvature[look][mode] = (2.0 * mode as f64 + 3.0).sqrt() * legendre.now;
                swing[look][mode] = legendre.swing_of_next(mode + 1);
            }
        }
        Self { swing, curvature }
    }

    pub(super) fn share(look: usize) -> f64 {
        look as f64 / (M - 1) as f64
    }

    /// `Σ c_k φ_k` and `Σ c_k ψ_k` at a look.
    pub(super) fn at(&self, modes: &[f64], look: usize) -> (f64, f64) {
        let (mut swing, mut curvature) = (0.0, 0.0);
        for ((c, phi), psi) in modes.iter().zip(&self.swing[look]).zip(&self.curvature[look]) {
            swing += c * phi;
            curvature += c * psi;
        }
        (swing, curvature)
    }
}

/// `Σ c_k φ_k(s)`
pub(super) fn swung_to(modes: &[f64], s: f64) -> f64 {
    let mut legendre = Legendre::at(s);
    modes.iter().enumerate().map(|(mode, c)| c * legendre.swing_of_next(mode + 1)).sum()
}

/// `turn + Σ c_k ψ_k(s)`
pub(super) fn curvature_at(modes: &[f64], turn: f64, s: f64) -> f64 {
    let mut legendre = Legendre::at(s);
    let mut curvature = turn;
    for (mode, c) in modes.iter().enumerate() {
        let degree = (mode + 1) as f64;
        curvature += c * (2.0 * degree + 1.0).sqrt() * legendre.now;
        legendre.step(degree);
    }
    curvature
}

/// Two neighbours in the row of Legendre polynomials at one place: degrees k − 1 and k, beginning with 0 and 1.
struct Legendre {
    t: f64,
    before: f64,
    now: f64,
}

impl Legendre {
    fn at(s: f64) -> Self {
        let t = 2.0 * s - 1.0;
        Self { t, before: 1.0, now: t }
    }

    /// From degrees k − 1 and k to k and k + 1, by the three-term recursion.
    fn step(&mut self, degree: f64) {
        let next = ((2.0 * degree + 1.0) * self.t * self.now - degree * self.before) / (degree + 1.0);
        self.before = self.now;
        self.now = next;
    }

    /// φ_k, leaving the row one degree further.
    fn swing_of_next(&mut self, degree: usize) -> f64 {
        let degree = degree as f64;
        let under = self.before;
        self.step(degree);
        (self.now - under) / (2.0 * (2.0 * degree + 1.0).sqrt())
    }
}

/// Nodes and weights of the Gauss rule with Q nodes, exact for polynomials of degree 2Q − 1.
fn gauss_rule<const Q: usize>() -> ([f64; Q], [f64; Q]) {
    let (mut nodes, mut weights) = ([0.0; Q], [0.0; Q]);
    let count = Q as f64;
    for (index, (node, weight)) in nodes.iter_mut().zip(weights.iter_mut()).enumerate() {
        // The usual first guess, from the smallest node up; six Newton steps take it to the last digit.
        let mut s = 0.5 - 0.5 * (PI * (index as f64 + 0.75) / (count + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..6 {
            let mut legendre = Legendre::at(s);
            for degree in 1..Q {
                legendre.step(degree as f64);
            }
            slope = count * (legendre.t * legendre.now - legendre.before) / (legendre.t * legendre.t - 1.0);
            s -= 0.5 * legendre.now / slope;
        }
        let t = 2.0 * s - 1.0;
        *node = s;
        *weight = 1.0 / ((1.0 - t * t) * slope * slope);
    }
    (nodes, weights)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_integrates_powers_exactly() {
        let modes = Modes::<4, 8>::new();
        for power in 0..16 {
            let sum: f64 = modes.rule().map(|(s, weight)| weight * s.powi(power)).sum();
            assert!((sum - 1.0 / f64::from(power + 1)).abs() < 1e-14, "power {power}: {sum}");
        }
    }

    #[test]
    fn curvatures_of_two_modes_share_no_energy() {
        let modes = Modes::<6, 16>::new();
        for one in 0..6 {
            for other in 0..6 {
                let (mut c, mut d) = ([0.0; 6], [0.0; 6]);
                (c[one], d[other]) = (1.0, 1.0);
                let shared: f64 =
                    modes.rule().map(|(s, w)| w * curvature_at(&c, 0.0, s) * curvature_at(&d, 0.0, s)).sum();
                let wanted = if one == other { 1.0 } else { 0.0 };
                assert!((shared - wanted).abs() < 1e-13);
            }
        }
    }

    #[test]
    fn a_swing_is_the_integral_of_its_curvature_and_ends_at_0() {
        let c = [0.3, -1.1, 0.7, 0.2];
        assert!(swung_to(&c, 0.0).abs() < 1e-15 && swung_to(&c, 1.0).abs() < 1e-15);
        let h = 1e-5;
        for s in [0.1, 0.37, 0.5, 0.93] {
            let slope = (swung_to(&c, s + h) - swung_to(&c, s - h)) / (2.0 * h);
            assert!((slope - curvature_at(&c, 0.0, s)).abs() < 1e-8);
        }
    }
}
