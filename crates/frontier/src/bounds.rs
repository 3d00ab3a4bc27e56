//! Where a set may still lie that no known set beats, and whether bounds leave it room there.

use crate::bits::{self, words};
use crate::pareto::{Candidate, prune};
use crate::weighed::{Directions, LANES, Lanes};

/// Steps into which the room of one direction is divided.
const STEPS: usize = 64;
/// Most known sets that are looked at: their corners grow faster than they do.
const MOST_KNOWN: usize = 400;
/// Most corners.
const MOST_CORNERS: usize = 4_096;
/// Higher than any value.
const OPEN: i64 = i64::MAX / 4;

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

    pub(crate) fn len(&self) -> usize {
        self.values.len()
    }

    /// The corners of what no known set beats: a set counts only if it is nowhere above one of them.
    ///
    /// They are the local upper bounds of the known sets (Klamroth, Lacour and Vanderpooten, "On the representation
    /// of the search region in multi-objective optimization", Eur. J. Oper. Res. 245, 2015), less one, and the known
    /// sets themselves, since an equal set may be the first by options.
    fn corners(&self) -> Vec<[i64; K]> {
        let step = self.values.len().div_ceil(MOST_KNOWN).max(1);
        let mut corners = vec![[OPEN; K]];
        for known in self.values.iter().step_by(step) {
            let (hit, mut rest): (Vec<[i64; K]>, Vec<[i64; K]>) =
                corners.iter().partition(|corner| corner.iter().zip(known).all(|(corner, own)| corner > own));
            if rest.len() + K * hit.len() > MOST_CORNERS {
                break;
            }
            for aim in 0..K {
                let mut moved: Vec<[i64; K]> = hit.clone();
                moved.iter_mut().for_each(|corner| corner[aim] = known[aim]);
                let beside: Vec<[i64; K]> =
                    rest.iter().filter(|corner| corner[aim] == known[aim]).copied().collect();
                let within = |a: &[i64; K], b: &[i64; K]| a.iter().zip(b).all(|(a, b)| a <= b);
                for (at, corner) in moved.iter().enumerate() {
                    let covered = |(other_at, other): (usize, &[i64; K])| {
                        other_at != at && within(corner, other) && (corner != other || other_at < at)
                    };
                    if !moved.iter().enumerate().any(covered)
                        && !beside.iter().any(|other| within(corner, other))
                    {
                        rest.push(*corner);
                    }
                }
            }
            corners = rest;
        }
        corners.iter_mut().flatten().filter(|value| **value < OPEN).for_each(|value| *value -= 1);
        corners.extend(self.values.iter().copied());
        corners
    }
}

/// For each direction and step which corners lie as high or higher.
#[derive(Clone, Debug)]
pub(crate) struct Room {
    width: usize,
    low: Lanes,
    per_unit: Lanes,
    /// At `(lane * (STEPS + 1) + step) * width`.
    rows: Vec<u64>,
    /// Corners that are left in the test that runs.
    left: Vec<u64>,
}

impl Room {
    pub(crate) fn new<const K: usize>(directions: &Directions<K>, known: &Known<K>) -> Self {
        let corners = known.corners();
        let heights: Vec<Lanes> = corners.iter().map(|corner| directions.weigh(corner)).collect();
        let width = words(corners.len());
        let mut low = [0.0; LANES];
        let mut per_unit = [0.0; LANES];
        let mut rows = vec![0; LANES * (STEPS + 1) * width];
        let is_high = |at: usize| corners[at].iter().any(|value| *value >= OPEN);
        for lane in 0..LANES {
            let closed = || (0..corners.len()).filter(|at| !is_high(*at)).map(|at| heights[at][lane]);
            low[lane] = closed().fold(f32::INFINITY, f32::min);
            let high = closed().fold(f32::NEG_INFINITY, f32::max);
            if !(low[lane].is_finite() && high > low[lane]) {
                // No weight, or one height: says nothing.
                low[lane] = f32::INFINITY;
            }
            let unit = (high - low[lane]) / (STEPS - 1) as f32;
            per_unit[lane] = if unit > 0.0 { 1.0 / unit } else { 0.0 };
            for step in 0..=STEPS {
                let row = &mut rows[(lane * (STEPS + 1) + step) * width..][..width];
                // A little lower than the step: what rounding lifts over it stays in.
                let edge = low[lane] + (step as f32 - 1e-3) * unit;
                for (at, height) in heights.iter().enumerate() {
                    if step == 0 || height[lane] >= edge || low[lane] == f32::INFINITY {
                        bits::add(row, at);
                    }
                }
            }
        }
        Self { width, low, per_unit, rows, left: vec![0; width] }
    }

    /// Whether a set with these bounds may lie where no known set beats it.
    #[inline]
    pub(crate) fn has_for(&mut self, bounds: &Lanes) -> bool {
        let width = self.width;
        for (lane, bound) in bounds.iter().enumerate() {
            let above = (bound - self.low[lane]) * self.per_unit[lane];
            let step = if above > 0.0 { (above as usize).min(STEPS) } else { 0 };
            let row = &self.rows[(lane * (STEPS + 1) + step) * width..][..width];
            let mut any = 0;
            if lane == 0 {
                self.left.copy_from_slice(row);
                any = 1;
            } else {
                for (left, row) in self.left.iter_mut().zip(row) {
                    *left &= row;
                    any |= *left;
                }
            }
            if any == 0 {
                return false;
            }
        }
        true
    }
}
