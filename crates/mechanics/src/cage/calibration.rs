//! Three readings on the bike narrow the body dimensions that nobody can measure. Begin with [`calibrate`].

use super::families::{Dimension, Family};
use super::{CageError, Derailleur, Drivetrain, cage_angle, solve_pair};
use quantity::{Angle, Length, Pitches, Span};

/// Unknown dimensions, and the readings that speak of them.
const UNKNOWN: usize = Dimension::COUNT;
const READ: usize = 3;

/// Steps of the fit, and halvings of a step. Sound readings settle in six; readings that contradict each other gain
/// ever less with each step.
const STEPS: usize = 60;

/// A step shorter than this share of the tolerances ends the fit. The slopes carry the rounding of cage angles over
/// [`SLOPE_STEP`], which keeps the steps from falling below some 3e-10.
const SETTLED: f64 = 1e-8;

/// Share of a tolerance over which slopes are taken: the error of a central difference is its square.
const SLOPE_STEP: f64 = 1e-4;

type Shares = [f64; UNKNOWN];
type Matrix = [Shares; UNKNOWN];

/// A cage angle read with a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelReading {
    /// The ring, counted from 0 in the order of the drivetrain.
    pub ring_idx: usize,
    /// The cog, counted from 0.
    pub cog_idx: usize,
    /// Direction from the guide pulley to the tension pulley: 0° forward, 90° down.
    pub angle: Angle,
}

/// Three readings on the bike: the cage angle in two gears, the gap in one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Readings {
    /// The chain that is fitted.
    pub count: Pitches,
    /// The cage angle in two gears. Far apart tells the most.
    pub levels: [LevelReading; 2],
    /// How far a level reading may be off.
    pub level_tolerance: Angle,
    /// The ring of the gap reading.
    pub gap_ring_idx: usize,
    /// The cog of the gap reading.
    pub gap_cog_idx: usize,
    /// Tooth tip to tooth tip, by a feeler or hex key.
    pub gap: Length,
    /// How far the gap may be off.
    pub gap_tolerance: Length,
}

/// A family narrowed by readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibrated {
    /// The derailleur that agrees best with the readings and the family.
    pub derailleur: Derailleur,
    /// How far its dimensions moved from the middle of the family, as shares of the tolerances.
    pub moved: [f64; Dimension::COUNT],
    /// The largest of the remaining differences, in tolerances of its reading: above 1 the readings, the count or
    /// the family are wrong.
    pub misfit: f64,
    family: Family,
    covariance: Matrix,
}

impl Calibrated {
    /// Derailleurs one spread to either side along independent directions: what the readings have left open.
    ///
    /// `s ± lₖ` with `L Lᵀ = Σ`; half the difference of a figure between the two, squared and summed over all, is the
    /// square of the half width that [`Calibrated::interval`] gives for a figure that is straight between them.
    pub fn ends(&self) -> [(Derailleur, Derailleur); UNKNOWN] {
        let root = root(&self.covariance);
        std::array::from_fn(|column| {
            let at = |sign: f64| {
                let mut shares = self.moved;
                for (share, row) in shares.iter_mut().zip(&root) {
                    *share += sign * row[column];
                }
                self.family.moved(&shares)
            };
            (at(-1.0), at(1.0))
        })
    }

    /// The interval of a figure.
    ///
    /// `±√(gᵀ Σ g)`, with g the slopes of the figure in shares of the tolerances and Σ what the readings have left
    /// of them. Tolerances are added as squares here, so compare it with a family that was calibrated by very
    /// wide readings, not with [`Family::interval`], which adds them outright.
    ///
    /// # Errors
    /// The first error of the figure.
    pub fn interval<E>(&self, figure: impl Fn(&Derailleur) -> Result<f64, E>) -> Result<Span, E> {
        let middle = figure(&self.derailleur)?;
        let slopes = slopes(&self.family, &self.moved, |it| Ok([figure(it)?]))?;
        let mut variance = 0.0;
        for (row, covariances) in self.covariance.iter().enumerate() {
            for (column, covariance) in covariances.iter().enumerate() {
                variance += slopes[row][0] * covariance * slopes[column][0];
            }
        }
        Ok(Span::around(middle, variance.max(0.0).sqrt()))
    }
}

/// The derailleur of a family that agrees best with three readings.
///
/// Least squares: each difference of a reading in its tolerance, and each move of a dimension in its own. So
/// readings with wide tolerances leave the family as it is, and sharp ones move the dimensions that they speak
/// of; what they do not speak of stays.
///
/// # Errors
/// [`CageError::TooShort`] or [`CageError::TooLong`] if the chain is not taut in a gear of the readings for the
/// middle of the family; [`CageError::Sprockets`] for a gear outside the drivetrain; [`CageError::NotFinite`]
/// for readings or tolerances that are not finite and positive; [`CageError::NotConverged`] if the fit does not
/// settle.
///
/// # Source
/// Gauss and Newton with halved steps. Checked against the least squares of a general numerical library:
/// `tests/cage_reference.rs`.
pub fn calibrate(
    family: &Family,
    drivetrain: &Drivetrain<'_>,
    readings: &Readings,
) -> Result<Calibrated, CageError> {
    let tolerances = readings.checked(drivetrain)?;
    let model = |it: &Derailleur| readings.differences(it, drivetrain, &tolerances);
    let mut shares: Shares = [0.0; UNKNOWN];
    let mut left = model(&family.derailleur)?;
    for step in 1..=STEPS {
        let slopes = slopes(family, &shares, model)?;
        let normal = normal_matrix(&slopes);
        let mut downhill: Shares = [0.0; UNKNOWN];
        for (idx, down) in downhill.iter_mut().enumerate() {
            *down = -shares[idx] - slopes[idx].iter().zip(left).map(|(slope, off)| slope * off).sum::<f64>();
        }
        let inverse = inverse(&normal).ok_or(CageError::NotConverged { steps: STEPS })?;
        let whole = inverse.map(|row| row.iter().zip(downhill).map(|(a, b)| a * b).sum::<f64>());
        let size = whole.iter().fold(0.0_f64, |most, share| most.max(share.abs()));
        let misfit = left.iter().fold(0.0_f64, |most, off| most.max(off.abs()));
        // Readings that contradict each other need no last digit: the misfit tells.
        let done = size <= SETTLED || (step == STEPS && misfit > 1.0);
        let next = if done { None } else { better(family, &shares, &left, &whole, model) };
        let Some(next) = next else {
            let derailleur = family.moved(&shares);
            return Ok(Calibrated {
                derailleur,
                moved: shares,
                misfit,
                family: *family,
                covariance: inverse,
            });
        };
        (shares, left) = next;
    }
    Err(CageError::NotConverged { steps: STEPS })
}

impl Readings {
    /// The tolerances of the readings, once it is known that all can be used.
    fn checked(&self, drivetrain: &Drivetrain<'_>) -> Result<[f64; READ], CageError> {
        drivetrain.counted()?;
        let [one, other] = self.levels;
        for (ring, cog) in self.gears() {
            if drivetrain.gear(ring, cog).is_none() {
                let (rings, cogs) = (ring.saturating_add(1), cog.saturating_add(1));
                return Err(CageError::Sprockets { rings, cogs });
            }
        }
        let (level, gap) = (self.level_tolerance.to_deg(), self.gap_tolerance.to_mm());
        for found in [one.angle.to_deg(), other.angle.to_deg(), self.gap.to_mm()] {
            if !found.is_finite() {
                return Err(CageError::NotFinite { found });
            }
        }
        for found in [level, gap] {
            if !(found.is_finite() && 0.0 < found) {
                return Err(CageError::NotFinite { found });
            }
        }
        Ok([level, level, gap])
    }

    /// Ring and cog of each reading, the gap last.
    fn gears(&self) -> [(usize, usize); READ] {
        let [one, other] = self.levels;
        let gap = (self.gap_ring_idx, self.gap_cog_idx);
        [(one.ring_idx, one.cog_idx), (other.ring_idx, other.cog_idx), gap]
    }

    /// Model less reading, each in its tolerance.
    fn differences(
        &self,
        derailleur: &Derailleur,
        drivetrain: &Drivetrain<'_>,
        tolerances: &[f64; READ],
    ) -> Result<[f64; READ], CageError> {
        let mut found = [0.0; READ];
        for (idx, (ring_idx, cog_idx)) in self.gears().into_iter().enumerate() {
            // `checked` has refused a gear outside the drivetrain.
            let Some(gear) = drivetrain.gear(ring_idx, cog_idx) else { continue };
            found[idx] = match self.levels.get(idx) {
                Some(level) => {
                    (cage_angle(derailleur, &drivetrain.frame, gear, self.count)? - level.angle).to_deg()
                }
                None => (solve_pair(derailleur, &drivetrain.frame, gear, self.count)?.gap - self.gap).to_mm(),
            };
        }
        for (off, tolerance) in found.iter_mut().zip(tolerances) {
            *off /= tolerance;
        }
        Ok(found)
    }
}

/// The whole step, or the largest half, quarter and so on that lowers the sum of squares. A step out of the
/// working range counts as no better. `None` where no part is: the fit then stands at the edge of that range, and the
/// misfit tells.
fn better(
    family: &Family,
    shares: &Shares,
    left: &[f64; READ],
    step: &Shares,
    model: impl Fn(&Derailleur) -> Result<[f64; READ], CageError>,
) -> Option<(Shares, [f64; READ])> {
    let squares =
        |shares: &Shares, left: &[f64; READ]| -> f64 { shares.iter().chain(left).map(|off| off * off).sum() };
    let now = squares(shares, left);
    let mut part = 1.0;
    for _ in 0..STEPS {
        let mut next = *shares;
        for (share, by) in next.iter_mut().zip(step) {
            *share += by * part;
        }
        if let Ok(left) = model(&family.moved(&next)) {
            // Near the end the sum no longer tells better from equal.
            if squares(&next, &left) <= now * (1.0 + 1e-12) {
                return Some((next, left));
            }
        }
        part /= 2.0;
    }
    None
}

/// Slopes of some figures in the shares, by central differences.
fn slopes<E, const N: usize>(
    family: &Family,
    shares: &Shares,
    figures: impl Fn(&Derailleur) -> Result<[f64; N], E>,
) -> Result<[[f64; N]; UNKNOWN], E> {
    let mut found = [[0.0; N]; UNKNOWN];
    for (idx, slopes) in found.iter_mut().enumerate() {
        if family.tolerances[idx] == 0.0 {
            continue;
        }
        let at = |by: f64| {
            let mut moved = *shares;
            moved[idx] += by;
            figures(&family.moved(&moved))
        };
        let (below, above) = (at(-SLOPE_STEP)?, at(SLOPE_STEP)?);
        for (slope, (low, high)) in slopes.iter_mut().zip(below.into_iter().zip(above)) {
            *slope = (high - low) / (2.0 * SLOPE_STEP);
        }
    }
    Ok(found)
}

/// `1 + J Jᵀ`: what the family says and what the readings add.
fn normal_matrix(slopes: &[[f64; READ]; UNKNOWN]) -> Matrix {
    let mut normal = [[0.0; UNKNOWN]; UNKNOWN];
    for (row, entries) in normal.iter_mut().enumerate() {
        for (column, entry) in entries.iter_mut().enumerate() {
            let own = if row == column { 1.0 } else { 0.0 };
            *entry = own + slopes[row].iter().zip(slopes[column]).map(|(a, b)| a * b).sum::<f64>();
        }
    }
    normal
}

/// The lower triangle `L` with `L Lᵀ` the matrix (Cholesky); a direction with no spread left stays 0.
fn root(matrix: &Matrix) -> Matrix {
    let mut lower = [[0.0; UNKNOWN]; UNKNOWN];
    for row in 0..UNKNOWN {
        for column in 0..=row {
            let done: f64 = (0..column).map(|idx| lower[row][idx] * lower[column][idx]).sum();
            let left = matrix[row][column] - done;
            lower[row][column] = if row == column {
                left.max(0.0).sqrt()
            } else if lower[column][column] > 0.0 {
                left / lower[column][column]
            } else {
                0.0
            };
        }
    }
    lower
}

/// The inverse of a positive definite matrix by elimination: no pivoting is needed, for every pivot is 1 or more.
/// `None` where a pivot is not positive, which only numbers that are not finite bring about.
fn inverse(matrix: &Matrix) -> Option<Matrix> {
    let mut left = *matrix;
    let mut right = [[0.0; UNKNOWN]; UNKNOWN];
    for (idx, row) in right.iter_mut().enumerate() {
        row[idx] = 1.0;
    }
    for pivot in 0..UNKNOWN {
        let by = left[pivot][pivot];
        if !(by.is_finite() && 0.0 < by) {
            return None;
        }
        left[pivot] = left[pivot].map(|entry| entry / by);
        right[pivot] = right[pivot].map(|entry| entry / by);
        let (pivot_left, pivot_right) = (left[pivot], right[pivot]);
        for row in (0..UNKNOWN).filter(|row| *row != pivot) {
            let factor = left[row][pivot];
            for column in 0..UNKNOWN {
                left[row][column] -= factor * pivot_left[column];
                right[row][column] -= factor * pivot_right[column];
            }
        }
    }
    Some(right)
}
