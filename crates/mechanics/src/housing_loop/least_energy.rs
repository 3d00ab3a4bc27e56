//! The least bending energy of a rod of length 1 whose ends are held: Newton steps on the modes and on the two
//! forces that hold the far end.
//!
//! `½ (turn² + Σ c_k²) + P (∫ cos θ − x) + Q (∫ sin θ − y)` is stationary in c, P and Q. Each step solves
//! `[A Gᵀ; G 0]` with A the second slopes in c and G the slopes of the far end. `ρ GᵀG` is added to A: it
//! changes no solution and makes A positive where the rod is stable, so a triangular root of A tells a shape of
//! rest from a saddle; where the root fails, A is lifted and the step still goes down. Nothing is allocated.

use super::modes::Modes;

/// The far end and the angles, for a rod of length 1 that begins at 0, 0.
pub(super) struct Clamps {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) start: f64,
    pub(super) turn: f64,
}

/// A shape: its modes and the multipliers P, Q. The force on the far end is their opposite.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rest<const N: usize> {
    pub(super) modes: [f64; N],
    pub(super) pull: [f64; 2],
}

impl<const N: usize> Rest<N> {
    /// Energy without the share of the even turn, which all shapes between the same ends have.
    pub(super) fn energy(&self) -> f64 {
        0.5 * self.modes.iter().map(|mode| mode * mode).sum::<f64>()
    }

    /// The same shape with more modes, or as many as there is room for.
    pub(super) fn widened<const M: usize>(&self) -> Rest<M> {
        let mut modes = [0.0; M];
        for (wide, mode) in modes.iter_mut().zip(self.modes) {
            *wide = mode;
        }
        Rest { modes, pull: self.pull }
    }

    /// Where two shapes on a path lead next: as far from this one as this one is from the one before.
    pub(super) fn onward(&self, before: &Self) -> Self {
        let mut next = *self;
        for (slot, was) in next.modes.iter_mut().zip(before.modes) {
            *slot += *slot - was;
        }
        for (slot, was) in next.pull.iter_mut().zip(before.pull) {
            *slot += *slot - was;
        }
        next
    }

    /// What the last two modes hold, as a share of the largest (or of a curvature of 1).
    pub(super) fn tail(&self) -> f64 {
        let most = self.modes.iter().fold(1.0_f64, |most, mode| most.max(mode.abs()));
        self.modes.iter().rev().take(2).fold(0.0_f64, |tail, mode| tail.max(mode.abs())) / most
    }

    /// The modes without the zeros at the end.
    pub(super) fn used(&self) -> &[f64] {
        let used = self.modes.iter().rposition(|mode| *mode != 0.0).map_or(0, |last| last + 1);
        &self.modes[..used]
    }
}

/// Weight of the far end's slopes in A; large against the second slopes of any loop, small against 1/rounding.
const RHO: f64 = 1e4;

/// Steps before a start is given up.
const STEPS_MOST: usize = 60;

/// Longest step in the modes: a curvature of 2.5 over the whole rod turns it by 143°.
const STEP_MOST: f64 = 2.5;

/// Goes down from a start to a shape of rest; `None` if it does not get there.
///
/// It ends with a step below `close`. Newton steps near the end square their error, so the shape after that
/// step is right to about `close²`.
pub(super) fn settle<const N: usize, const Q: usize>(
    modes: &Modes<N, Q>,
    clamps: &Clamps,
    start: Rest<N>,
    close: f64,
) -> Option<Rest<N>> {
    let mut rest = start;
    let mut look = Look::at(modes, clamps, &rest.modes);
    for _ in 0..STEPS_MOST {
        let slopes = look.slopes(modes);
        let (step, pull, lifted) = newton_step(modes, &look, &slopes, &rest)?;
        let length = step.iter().map(|part| part * part).sum::<f64>().sqrt();
        if !length.is_finite() {
            return None;
        }
        let is_close = !lifted && length < close && look.miss[0].abs().max(look.miss[1].abs()) < close;
        let weight = 2.0 * pull[0].abs().max(pull[1].abs()) + 1.0;
        let before = rest.energy() + weight * look.missed();
        let mut share = if length > STEP_MOST { STEP_MOST / length } else { 1.0 };
        let mut next = rest;
        for _ in 0..8 {
            for ((slot, mode), part) in next.modes.iter_mut().zip(rest.modes).zip(step) {
                *slot = mode + share * part;
            }
            if is_close {
                break;
            }
            look = Look::at(modes, clamps, &next.modes);
            // Near the end rounding decides what is lower; there every full step is a good one.
            if length < 1e-3 || next.energy() + weight * look.missed() < before {
                break;
            }
            share *= 0.5;
        }
        for (slot, target) in next.pull.iter_mut().zip(pull) {
            *slot += share * (target - *slot);
        }
        rest = next;
        if is_close {
            return Some(rest);
        }
    }
    None
}

/// A shape as seen at the nodes.
struct Look<const Q: usize> {
    sine: [f64; Q],
    cosine: [f64; Q],
    /// How far the far end is from where it is held.
    miss: [f64; 2],
}

impl<const Q: usize> Look<Q> {
    fn at<const N: usize>(modes: &Modes<N, Q>, clamps: &Clamps, c: &[f64; N]) -> Self {
        let mut angle = modes.node.map(|node| clamps.start + clamps.turn * node);
        for (mode, c) in modes.swing_by_mode.iter().zip(c) {
            for (angle, swing) in angle.iter_mut().zip(mode) {
                *angle += swing * c;
            }
        }
        let (mut sine, mut cosine) = ([0.0; Q], [0.0; Q]);
        let mut miss = [-clamps.x, -clamps.y];
        for q in 0..Q {
            (sine[q], cosine[q]) = angle[q].sin_cos();
            miss[0] += modes.weight[q] * cosine[q];
            miss[1] += modes.weight[q] * sine[q];
        }
        Self { sine, cosine, miss }
    }

    fn missed(&self) -> f64 {
        self.miss[0].abs() + self.miss[1].abs()
    }

    /// How the far end moves with each mode: G.
    fn slopes<const N: usize>(&self, modes: &Modes<N, Q>) -> [[f64; N]; 2] {
        let mut slopes = [[0.0; N]; 2];
        let [along, up] = &mut slopes;
        for q in 0..Q {
            let (sine, cosine) = (modes.weight[q] * self.sine[q], modes.weight[q] * self.cosine[q]);
            for k in 0..N {
                along[k] -= sine * modes.swing[q][k];
                up[k] += cosine * modes.swing[q][k];
            }
        }
        slopes
    }
}

/// The step in the modes, the multipliers after it, and whether A had to be lifted.
fn newton_step<const N: usize, const Q: usize>(
    modes: &Modes<N, Q>,
    look: &Look<Q>,
    slopes: &[[f64; N]; 2],
    rest: &Rest<N>,
) -> Option<([f64; N], [f64; 2], bool)> {
    let [p, q_pull] = rest.pull;
    // Upper triangle of A = 1 + Σ w (−P cos θ − Q sin θ) φ φᵀ + ρ GᵀG.
    let mut a = [[0.0; N]; N];
    for q in 0..Q {
        let weight = -modes.weight[q] * (p * look.cosine[q] + q_pull * look.sine[q]);
        let swing = &modes.swing[q];
        for j in 0..N {
            add_times(&mut a[j][j..], &swing[j..], weight * swing[j]);
        }
    }
    for j in 0..N {
        for slopes in slopes {
            add_times(&mut a[j][j..], &slopes[j..], RHO * slopes[j]);
        }
        a[j][j] += 1.0;
    }
    let mut lift = 0.0;
    let root = loop {
        if let Some(root) = triangular_root(&a, lift) {
            break root;
        }
        lift = if lift == 0.0 { 1.0 } else { lift * 4.0 };
        if lift > 1e12 {
            return None;
        }
    };
    // A δ + Gᵀ λ = −c − Gᵀ P, G δ = −miss; the multipliers go into the unknown, so the right side is −c.
    let down = solve(&root, &rest.modes.map(|mode| -mode));
    let along = solve(&root, &slopes[0]);
    let up = solve(&root, &slopes[1]);
    let (xx, xy, yy) = (dot(&slopes[0], &along), dot(&slopes[0], &up), dot(&slopes[1], &up));
    let right = [dot(&slopes[0], &down) + look.miss[0], dot(&slopes[1], &down) + look.miss[1]];
    // A straight rod moves its far end one way only; the small part keeps the step finite there.
    let spare = 1e-13 * (xx + yy);
    let (xx, yy) = (xx + spare, yy + spare);
    let determinant = xx * yy - xy * xy;
    if determinant.is_nan() || determinant <= 0.0 {
        return None;
    }
    let lambda =
        [(right[0] * yy - right[1] * xy) / determinant, (right[1] * xx - right[0] * xy) / determinant];
    let mut step = [0.0; N];
    for k in 0..N {
        step[k] = down[k] - lambda[0] * along[k] - lambda[1] * up[k];
    }
    // What ρ GᵀG took over of the multipliers goes back to them.
    let pull = [lambda[0] - RHO * look.miss[0], lambda[1] - RHO * look.miss[1]];
    Some((step, pull, lift > 0.0))
}

/// U with `A + lift = Uᵀ U`, the diagonal inverted; `None` where A is not positive. Only the upper triangles
/// count. Rows are taken off one after another, so that the inner loops run along rows.
fn triangular_root<const N: usize>(a: &[[f64; N]; N], lift: f64) -> Option<[[f64; N]; N]> {
    let mut root = *a;
    for j in 0..N {
        let (done, left) = root.split_at_mut(j + 1);
        let row = &mut done[j];
        let pivot = row[j] + lift;
        if pivot.is_nan() || pivot <= 1e-10 {
            return None;
        }
        let inverse = 1.0 / pivot.sqrt();
        for part in &mut row[j + 1..] {
            *part *= inverse;
        }
        row[j] = inverse;
        for (below, left_row) in left.iter_mut().enumerate() {
            let k = j + 1 + below;
            add_times(&mut left_row[k..], &row[k..], -row[k]);
        }
    }
    Some(root)
}

fn solve<const N: usize>(root: &[[f64; N]; N], right: &[f64; N]) -> [f64; N] {
    let mut x = *right;
    for j in 0..N {
        x[j] *= root[j][j];
        let solved = x[j];
        add_times(&mut x[j + 1..], &root[j][j + 1..], -solved);
    }
    for j in (0..N).rev() {
        x[j] = (x[j] - dot(&root[j][j + 1..], &x[j + 1..])) * root[j][j];
    }
    x
}

fn add_times(to: &mut [f64], row: &[f64], factor: f64) {
    for (slot, part) in to.iter_mut().zip(row) {
        *slot += factor * part;
    }
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}
