//! Two measurements of one thing that do not agree: the old bike checks the ruler.
//! Begin with [`chain_count_is_contradicted`].

use crate::gears::rollout;
use quantity::Length;

/// Pitches by which a counted chain may differ from the predicted one: a pair, because a mechanic may have
/// fitted a pair more. Common practice.
pub const CHAIN_COUNT_ALLOWED: u32 = 2;

/// Percent by which a measured rollout may differ from that of the tyre's label. Printed charts and measured
/// tyres scatter by 1.5 %, rounded up.
pub const ROLLOUT_ALLOWED_PERCENT: f64 = 2.0;

/// How many pitches the counted chain is longer than the predicted one; negative is shorter.
///
/// `counted − predicted`. Rises with the first and falls with the second.
pub fn chain_count_difference(predicted: u32, counted: u32) -> i64 {
    i64::from(counted) - i64::from(predicted)
}

/// Whether the counted chain of the old bike says that a tooth count or the chainstay is wrong (or that the
/// chain always was).
///
/// `|counted − predicted| > 2`
pub fn chain_count_is_contradicted(predicted: u32, counted: u32) -> bool {
    counted.abs_diff(predicted) > CHAIN_COUNT_ALLOWED
}

/// How much longer a measured rollout is than that of the tyre's label, in percent.
///
/// `100 · (u / (π (B + 2w)) − 1)`
///
/// Rises with the rollout, falls with the bead seat diameter and the width. A label of 0 x 0 gives no finite
/// number.
pub fn rollout_difference_percent(measured: Length, bead_seat: Length, tyre_width: Length) -> f64 {
    (measured.to_mm() / rollout(bead_seat, tyre_width).to_mm() - 1.0) * 100.0
}

/// Whether a measured rollout says that the label, the pressure or the reading is wrong.
///
/// `|difference| > 2 %`; no number counts as a contradiction.
pub fn rollout_is_contradicted(measured: Length, bead_seat: Length, tyre_width: Length) -> bool {
    let difference = rollout_difference_percent(measured, bead_seat, tyre_width).abs();
    difference.is_nan() || difference > ROLLOUT_ALLOWED_PERCENT
}
