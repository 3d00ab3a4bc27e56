//! The cogs that a rider used, read from recorded cadence and speed. Begin with [`infer_cogs`].
//!
//! Metres for a turn of the crank are the ring times the way of a wheel turn over the cog. Cogs are whole numbers, so
//! several developments together give the cogs; ring and wheel stay a product that nothing here can take apart.

use std::fmt;

/// What was recorded at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// Turns of the crank in a minute; 0 without pedalling.
    pub cadence_rpm: f64,
    /// Power, watts, where it was recorded.
    pub power_w: Option<f64>,
}

/// The cogs of a recording.
#[derive(Clone, Debug, PartialEq)]
pub struct UsedCogs {
    /// Teeth, largest first.
    pub cogs: Vec<u32>,
    /// Metres for a turn of the crank, one for each cog.
    pub developments_m: Vec<f64>,
    /// Share of the steady moments near each.
    pub shares: Vec<f64>,
    /// Teeth of the ring times the way of a wheel turn, metres: all that is known of either.
    pub ring_times_rollout_m: f64,
    /// How far the developments are from those of the cogs, as a share; root of the mean square.
    pub misfit: f64,
    /// The next best set of cogs, with its misfit.
    pub next: Option<(Vec<u32>, f64)>,
    /// Moments that counted as steady.
    pub steady: usize,
}

/// Why no cogs are told.
#[derive(Clone, Debug, PartialEq)]
pub enum InferenceError {
    /// Too few steady moments.
    TooFew {
        /// How many there are.
        steady: usize,
    },
    /// Too few developments stand out.
    FewGears {
        /// Metres for a turn, those that do.
        developments_m: Vec<f64>,
    },
    /// Several sets of cogs fit alike, or none does: two rings were used, or the sensors wander.
    Ambiguous {
        /// The best set.
        best: Vec<u32>,
        /// Its misfit.
        misfit: f64,
        /// The next set, with its misfit.
        next: Option<(Vec<u32>, f64)>,
    },
}

impl fmt::Display for InferenceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { steady } => {
                write!(
                    f,
                    "{steady} moments of steady pedalling with speed and cadence; {LEAST_STEADY} are wanted"
                )
            }
            Self::FewGears { developments_m } => write!(
                f,
                "{} developments stand out; {LEAST_PEAKS} are wanted to tell the cogs",
                developments_m.len()
            ),
            Self::Ambiguous { best, misfit, next } => {
                write!(f, "the cogs {} fit to {:.2} %", join(best), misfit * 100.0)?;
                match next {
                    Some((cogs, theirs)) => {
                        write!(f, " and the cogs {} to {:.2} %, too near to tell", join(cogs), theirs * 100.0)
                    }
                    None => f.write_str(", which is no fit"),
                }
            }
        }
    }
}

impl std::error::Error for InferenceError {}

/// Teeth joined by hyphens.
fn join(cogs: &[u32]) -> String {
    cogs.iter().map(u32::to_string).collect::<Vec<_>>().join("-")
}

/// Least steady moments: five gears, half a minute in each.
pub const LEAST_STEADY: usize = 150;
/// Least developments that stand out: two fit some whole numbers at any scale.
pub const LEAST_PEAKS: usize = 3;
/// Width of the bell that is laid on every moment, metres: cadence is recorded in whole turns, which is 1.2 % at 80.
const BELL_M: f64 = 0.06;
/// A development stands out from this share of the steady moments on.
const PEAK_SHARE: f64 = 0.009;
/// Worst misfit that counts as a fit: developments of neighbouring cogs differ by 5 % or more.
const MOST_MISFIT: f64 = 0.004;
/// The next set of cogs has to fit so many times worse.
const TIMES_WORSE: f64 = 2.0;
/// Ring times rollout, metres: from 34 teeth on a wheel of 1.9 m to 56 on one of 2.2 m. Twice as much would fit any ride
/// with twice the cogs.
const PRODUCTS_M: (f64, f64) = (64.0, 123.0);
/// Teeth of cogs.
const COGS: (u32, u32) = (9, 52);

/// The cogs of a recording, one moment a second or so.
///
/// Steady pedalling is picked out, the developments that stand out are found, and the whole cogs are sought whose
/// developments fit them best with one ring. Told only where they fit well and no other set comes near.
///
/// # Errors
/// [`InferenceError`], with what was found.
///
/// # Source
/// Whole numbers. On a recorded ride of open test data the cogs are those that a search with numpy finds:
/// 21-19-17-16-15 with a product of 111.6 m: `intake/tests/recorded_rides.rs`.
pub fn infer_cogs(moments: &[Moment]) -> Result<UsedCogs, InferenceError> {
    let turns_m = steady(moments);
    if turns_m.len() < LEAST_STEADY {
        return Err(InferenceError::TooFew { steady: turns_m.len() });
    }
    let peaks = peaks(&turns_m);
    if peaks.len() < LEAST_PEAKS {
        return Err(InferenceError::FewGears { developments_m: peaks.iter().map(|peak| peak.0).collect() });
    }
    let mut fits: Vec<(f64, Vec<u32>, f64)> = Vec::new();
    let steps = ((PRODUCTS_M.1 - PRODUCTS_M.0) / 0.02) as usize;
    for step in 0..=steps {
        let Some(fit) = fit(&peaks, PRODUCTS_M.0 + 0.02 * step as f64) else { continue };
        match fits.iter_mut().find(|kept| kept.1 == fit.1) {
            Some(kept) if kept.0 <= fit.0 => {}
            Some(kept) => *kept = fit,
            None => fits.push(fit),
        }
    }
    fits.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut fits = fits.into_iter();
    let Some((misfit, cogs, product)) = fits.next() else {
        return Err(InferenceError::Ambiguous { best: Vec::new(), misfit: f64::INFINITY, next: None });
    };
    let next = fits.next().map(|(misfit, cogs, _)| (cogs, misfit));
    if misfit > MOST_MISFIT || next.as_ref().is_some_and(|next| next.1 < TIMES_WORSE * misfit) {
        return Err(InferenceError::Ambiguous { best: cogs, misfit, next });
    }
    let all: f64 = peaks.iter().map(|peak| peak.1).sum();
    Ok(UsedCogs {
        cogs,
        developments_m: peaks.iter().map(|peak| peak.0).collect(),
        shares: peaks.iter().map(|peak| peak.1 / all).collect(),
        ring_times_rollout_m: product,
        misfit,
        next,
        steady: turns_m.len(),
    })
}

impl UsedCogs {
    /// Rings that go with a rollout between two, with the rollout each of them needs, metres.
    pub fn rings(&self, rollout_m: (f64, f64)) -> Vec<(u32, f64)> {
        let product = self.ring_times_rollout_m;
        (20..=60)
            .map(|ring| (ring, product / f64::from(ring)))
            .filter(|(_, rollout)| rollout_m.0 <= *rollout && *rollout <= rollout_m.1)
            .collect()
    }
}

/// Metres for a turn, of the moments whose neighbours have all but the same speed and cadence.
fn steady(moments: &[Moment]) -> Vec<f64> {
    let pedals =
        |m: &Moment| m.cadence_rpm >= 60.0 && m.speed_m_s > 4.0 && m.power_w.is_none_or(|w| w > 30.0);
    let near = |a: &Moment, b: &Moment| {
        (a.cadence_rpm - b.cadence_rpm).abs() <= 1.0 && (a.speed_m_s - b.speed_m_s).abs() < 0.15
    };
    moments
        .windows(3)
        .filter(|three| pedals(&three[1]) && near(&three[0], &three[1]) && near(&three[1], &three[2]))
        .map(|three| three[1].speed_m_s * 60.0 / three[1].cadence_rpm)
        .filter(|metres| (1.0..12.0).contains(metres))
        .collect()
}

/// Developments that stand out, smallest first, with how much stands there.
fn peaks(turns_m: &[f64]) -> Vec<(f64, f64)> {
    let mut sorted = turns_m.to_vec();
    sorted.sort_by(f64::total_cmp);
    let reach = 6.0 * BELL_M;
    let height = |at: f64| -> f64 {
        let from = sorted.partition_point(|x| *x < at - reach);
        let to = sorted.partition_point(|x| *x <= at + reach);
        sorted[from..to].iter().map(|x| (-0.5 * ((at - x) / BELL_M).powi(2)).exp()).sum()
    };
    let place = |k: usize| 1.0 + 0.005 * k as f64;
    let heights: Vec<f64> = (0..2201).map(|k| height(place(k))).collect();
    let least = PEAK_SHARE * turns_m.len() as f64;
    (1..heights.len() - 1)
        .filter(|k| heights[*k] > heights[k - 1] && heights[*k] >= heights[k + 1] && heights[*k] > least)
        .map(|k| (place(k), heights[k]))
        .collect()
}

/// Misfit, cogs and best product near a product; `None` where two developments would be one cog.
fn fit(peaks: &[(f64, f64)], product: f64) -> Option<(f64, Vec<u32>, f64)> {
    let cogs: Vec<f64> = peaks.iter().map(|peak| (product / peak.0).round()).collect();
    let range = f64::from(COGS.0)..=f64::from(COGS.1);
    if cogs.windows(2).any(|pair| pair[0] <= pair[1]) || cogs.iter().any(|cog| !range.contains(cog)) {
        return None;
    }
    // Each development gives a product; the best is their mean, weighted by how much stands there.
    let all: f64 = peaks.iter().map(|peak| peak.1).sum();
    let best = peaks.iter().zip(&cogs).map(|(peak, cog)| peak.1 * peak.0 * cog).sum::<f64>() / all;
    let square =
        peaks.iter().zip(&cogs).map(|(peak, cog)| peak.1 * (best / cog / peak.0 - 1.0).powi(2)).sum::<f64>();
    Some(((square / all).sqrt(), cogs.iter().map(|cog| *cog as u32).collect(), best))
}
