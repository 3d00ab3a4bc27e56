//! A tap-along counter: taps at every turn of the crank and at every tick give the turns between two ticks.
//! Begin with [`period`].

/// Turns of the crank between two ticks, and how far that may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Period {
    /// Turns between two ticks.
    pub turns: f64,
    /// By how much it may be off: twice its standard deviation, with [`TAP_SECONDS`] for one tap.
    pub give: f64,
}

/// Standard deviation of a tap by hand, seconds. A guess.
pub const TAP_SECONDS: f64 = 0.06;

/// Why taps give no period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TapError {
    /// Fewer than three taps of this kind.
    TooFew {
        /// Which taps.
        kind: &'static str,
        /// How many.
        found: usize,
    },
    /// A tap that is not after the one before it.
    NotInOrder {
        /// Which taps.
        kind: &'static str,
        /// The place of the tap, from 1.
        tap: usize,
    },
}

impl std::fmt::Display for TapError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::TooFew { kind, found } => write!(f, "{found} taps of the {kind}; at least 3 are wanted"),
            Self::NotInOrder { kind, tap } => {
                write!(f, "tap {tap} of the {kind} is not after the one before it")
            }
        }
    }
}

impl std::error::Error for TapError {}

/// The turns of the crank between two ticks, from the seconds at which each was tapped.
///
/// Two straight lines, time against number of the tap, by least squares; the slope of the ticks over that of the
/// turns. With n taps of scatter s the slope is off by `s √(12 / (n (n² − 1)))`.
///
/// The zero of the clock does not matter, nor does its unit for the turns. It rises with the time between ticks and
/// falls with that between turns. More taps make the give smaller.
///
/// # Errors
/// [`TapError`] for fewer than three taps of either, or taps out of order.
///
/// # Source
/// Least squares. Times without scatter give the period itself: `tests/diagnosis_cases.rs`.
///
/// # Example
/// ```
/// use mechanics::diagnosis::taps::period;
/// let found = period(&[0.0, 1.0, 2.0, 3.0], &[0.5, 2.66, 4.82])?;
/// assert_eq!(format!("{:.2}", found.turns), "2.16");
/// # Ok::<(), mechanics::diagnosis::taps::TapError>(())
/// ```
pub fn period(turns_s: &[f64], ticks_s: &[f64]) -> Result<Period, TapError> {
    let (turn, turn_off) = slope(turns_s, "crank")?;
    let (tick, tick_off) = slope(ticks_s, "tick")?;
    let turns = tick / turn;
    let share = (tick_off / tick).hypot(turn_off / turn);
    Ok(Period { turns, give: 2.0 * turns * share })
}

/// Seconds from tap to tap and their standard deviation.
fn slope(times: &[f64], kind: &'static str) -> Result<(f64, f64), TapError> {
    if times.len() < 3 {
        return Err(TapError::TooFew { kind, found: times.len() });
    }
    // A time that is no number is not after the one before it either.
    if let Some(at) = times.windows(2).position(|pair| !(pair[1] > pair[0] && pair[1].is_finite())) {
        return Err(TapError::NotInOrder { kind, tap: at + 2 });
    }
    let count = times.len() as f64;
    let (middle, mean) = ((count - 1.0) / 2.0, times.iter().sum::<f64>() / count);
    let (mut spread, mut together) = (0.0, 0.0);
    for (at, time) in times.iter().enumerate() {
        let away = at as f64 - middle;
        spread += away * away;
        together += away * (time - mean);
    }
    Ok((together / spread, TAP_SECONDS / spread.sqrt()))
}
