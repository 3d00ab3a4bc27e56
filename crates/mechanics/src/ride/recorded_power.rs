//! What a rider gave, from what was recorded: power from speed, from a climb with its time, and the best of a ride.

use super::power_balance::{Load, LoadError, State, crank_power_w};

/// A stretch of a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Mean speed on the road, m/s.
    pub speed_m_s: f64,
    /// Rise over level distance.
    pub grade: f64,
    /// Seconds.
    pub time_s: f64,
}

/// Power at the cranks of each stretch, watts, from the speeds recorded.
///
/// The balance with the change of speed from the stretch before to the one behind. What comes out below 0 was
/// braked and is 0. Wind is not recorded, so single stretches are off by tens of watts; climbs, where gravity takes most,
/// are good to about a tenth.
///
/// # Source
/// [`power_balance`](super::power_balance::power_balance()); on the flat a wind of 2 m/s ahead changes 200 W by about 60.
pub fn powers_w(load: &Load, stretches: &[Stretch]) -> Vec<f64> {
    let speed = |k: usize| stretches[k].speed_m_s;
    (0..stretches.len())
        .map(|k| {
            let (before, behind) = (k.saturating_sub(1), (k + 1).min(stretches.len() - 1));
            // From the middle of the stretch before to the middle of the one behind.
            let seconds =
                (before..=behind).map(|j| stretches[j].time_s * if j == k { 1.0 } else { 0.5 }).sum::<f64>();
            let seconds =
                if before == k || behind == k { seconds - stretches[k].time_s / 2.0 } else { seconds };
            let acceleration = if seconds > 0.0 { (speed(behind) - speed(before)) / seconds } else { 0.0 };
            let state =
                State { speed_m_s: speed(k), grade: stretches[k].grade, headwind_m_s: 0.0, acceleration };
            crank_power_w(load, state).max(0.0)
        })
        .collect()
}

/// The highest mean of values over a time, each holding for its seconds; `None` where the whole is shorter.
///
/// The best window begins with a value or ends with one, so both are looked through; the value at the other end counts in
/// part. Time linear in the number of values.
pub fn best_mean(values: &[f64], times_s: &[f64], window_s: f64) -> Option<f64> {
    if !(window_s > 0.0 && window_s.is_finite()) {
        return None;
    }
    let pairs: Vec<(f64, f64)> = values.iter().copied().zip(times_s.iter().copied()).collect();
    let turned: Vec<(f64, f64)> = pairs.iter().rev().copied().collect();
    let best = [best_begun(&pairs, window_s), best_begun(&turned, window_s)];
    best.into_iter().flatten().max_by(f64::total_cmp)
}

/// The highest mean of windows that begin with a value.
fn best_begun(pairs: &[(f64, f64)], window_s: f64) -> Option<f64> {
    let mut best: Option<f64> = None;
    let (mut end, mut sum, mut time) = (0, 0.0, 0.0);
    for (from, (value, seconds)) in pairs.iter().enumerate() {
        while end < pairs.len() && time + pairs[end].1 <= window_s {
            sum += pairs[end].0 * pairs[end].1;
            time += pairs[end].1;
            end += 1;
        }
        let rest = window_s - time;
        let mean = match pairs.get(end) {
            _ if rest <= 1e-9 * window_s => sum / window_s,
            Some(next) => (sum + rest * next.0) / window_s,
            None => return best,
        };
        best = Some(best.map_or(mean, |kept| kept.max(mean)));
        if end > from {
            sum -= value * seconds;
            time -= seconds;
        } else {
            // One value is longer than the window.
            (end, sum, time) = (from + 1, 0.0, 0.0);
        }
    }
    best
}

/// Mean power at the cranks over a climb of known length along the road, height and time, watts.
///
/// The balance at the mean speed on the mean grade. It is a lower bound: going unevenly over an uneven hill takes more,
/// commonly 1 to 3 %.
///
/// # Errors
/// [`LoadError`] for figures out of range.
///
/// # Source
/// The balance; 85 kg, 8 km at 7 % in 40 minutes by hand in `tests/ride.rs::a_timed_climb_by_hand`.
pub fn climb_power_w(load: &Load, length_m: f64, climb_m: f64, time_s: f64) -> Result<f64, LoadError> {
    load.check()?;
    for (what, found, least, most) in [
        ("the length of the climb in m", length_m, 50.0, 200_000.0),
        ("the height of the climb in m", climb_m, 0.0, 0.37 * length_m),
        ("the time of the climb in s", time_s, length_m / 30.0, length_m / 0.3),
    ] {
        if !(least..=most).contains(&found) {
            return Err(LoadError { what, found, least, most });
        }
    }
    let grade = climb_m / (length_m * length_m - climb_m * climb_m).sqrt();
    let state = State { speed_m_s: length_m / time_s, grade, headwind_m_s: 0.0, acceleration: 0.0 };
    Ok(crank_power_w(load, state))
}
