//! Whether the clicks of a shifter land on the cogs. Begin with [`landings`].
//!
//! Clicks and cogs are counted from the smallest cog. Click 0 is the rest position and sits on it.

use quantity::Length;

/// Cable taken up by one detent of an adjuster: M5 x 0.8 with four detents a turn. Common practice; the count
/// of detents is not standardised.
pub const ADJUSTER_DETENT: Length = Length::mm(0.2);

/// Where one click puts the chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// Number of the click; 0 is the rest position.
    pub click: usize,
    /// Distance from the smallest cog, millimetres.
    pub position_mm: f64,
    /// The cog that is nearest, counted from the smallest as 0; the smaller of two that are as near.
    pub nearest_cog: usize,
    /// Position less that of the nearest cog, millimetres; positive is too far toward the large cogs.
    pub error_mm: f64,
}

/// How far the derailleur moves sideways for a pull of cable.
///
/// `pull · ratio`. Proportional to both.
///
/// # Source
/// Shift equation of an open textbook on gear-changing dimensions. Checked on the printed products:
/// `tests/published.rs::printed_steps`.
pub fn step(pull: Length, ratio: f64) -> Length {
    pull * ratio
}

/// Where every click lands, the rest position first: one landing more than there are pulls.
///
/// `x_k = Σ pull · ratio` against `y_j = Σ pitch`; the nearest cog is the j with the least `|x_k − y_j|`.
///
/// Each position rises with every pull before it and with the ratio. It answers also where there are more
/// clicks than cogs, or fewer.
///
/// # Example
/// ```
/// use mechanics::indexing::landings;
/// use quantity::Length;
/// // A pull of 3.4 mm and a ratio of 1.7 on ten cogs 3.95 mm apart: every second click is nearly right.
/// let landed = landings(&[Length::mm(3.4); 9], 1.7, &[Length::mm(3.95); 9]);
/// assert_eq!((landed[2].nearest_cog, format!("{:.2}", landed[2].error_mm)), (3, "-0.29".to_owned()));
/// ```
pub fn landings(pulls: &[Length], ratio: f64, pitches: &[Length]) -> Vec<Landing> {
    let cogs = positions_mm(pitches, 1.0);
    let mut landed = Vec::with_capacity(pulls.len() + 1);
    for (click, position_mm) in positions_mm(pulls, ratio).into_iter().enumerate() {
        // The smallest cog stands at 0 and is always there.
        let (mut nearest_cog, mut error_mm) = (0, position_mm);
        for (cog, cog_mm) in cogs.iter().enumerate() {
            if (position_mm - cog_mm).abs() < error_mm.abs() {
                (nearest_cog, error_mm) = (cog, position_mm - cog_mm);
            }
        }
        landed.push(Landing { click, position_mm, nearest_cog, error_mm });
    }
    landed
}

/// Error left on the end cogs when the cable is set as well as it can be.
///
/// The error of gear k before the cable is set is `e_k = Σ pull · ratio − Σ pitch` over the first k clicks.
/// One turn of the adjuster adds the same to all, so at best half of their spread is left:
/// `(max e − min e)/2`, with the sign of `e_last − e_first`. For equal clicks and equal pitches it is
/// `e (N − 1)/2`, with N cogs and e one step less one pitch.
///
/// For equal clicks and pitches it rises with pull and ratio and falls with the pitch. For unequal ones its
/// size need not, and the sign says only which way the end lies: evaluate at the ends of each interval. Uses
/// as many clicks as there are both pulls and pitches; 0 when there are none.
///
/// # Source
/// Arithmetic. Checked on the indexing table of practice values: `tests/published.rs::indexing_table_of_practice`.
pub fn end_error(pulls: &[Length], ratio: f64, pitches: &[Length]) -> Length {
    let clicks = positions_mm(pulls, ratio);
    let cogs = positions_mm(pitches, 1.0);
    // Both lists begin with 0, so every extreme includes the first gear.
    let (mut least, mut most, mut last) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (click_mm, cog_mm) in clicks.iter().zip(&cogs) {
        last = click_mm - cog_mm;
        if last.is_nan() {
            return Length::mm(f64::NAN);
        }
        least = least.min(last);
        most = most.max(last);
    }
    let half = (most - least) / 2.0;
    Length::mm(if last < 0.0 { -half } else { half })
}

/// Clicks until the whole width of the cassette is used up, with a fraction for the last.
///
/// A matched shifter needs one click fewer than there are cogs. Falls with every pull and the ratio, rises
/// with every pitch. Beyond the last click of the shifter it goes on with the last step. 0 when there is one
/// cog; infinity when the clicks never get there.
///
/// # Source
/// Arithmetic: the inverse of the running sum of steps.
pub fn clicks_to_cross(pulls: &[Length], ratio: f64, pitches: &[Length]) -> f64 {
    let mut left_mm: f64 = pitches.iter().map(|pitch| pitch.to_mm()).sum();
    if left_mm <= 0.0 {
        return 0.0;
    }
    let mut clicks = 0.0;
    let mut step_mm = 0.0;
    for pull in pulls {
        step_mm = step(*pull, ratio).to_mm();
        if step_mm >= left_mm {
            return clicks + left_mm / step_mm;
        }
        left_mm -= step_mm;
        clicks += 1.0;
    }
    if step_mm > 0.0 { clicks + left_mm / step_mm } else { f64::INFINITY }
}

/// How far one detent of the adjuster moves the chain sideways.
///
/// `detent · ratio`. Proportional to both: 0.34 mm at a ratio of 1.7 with [`ADJUSTER_DETENT`].
pub fn per_adjuster_click(detent_cable: Length, ratio: f64) -> Length {
    step(detent_cable, ratio)
}

/// Running sums, millimetres, beginning with 0.
fn positions_mm(parts: &[Length], ratio: f64) -> Vec<f64> {
    let mut sums = Vec::with_capacity(parts.len() + 1);
    let mut sum_mm = 0.0;
    sums.push(sum_mm);
    for part in parts {
        sum_mm += step(*part, ratio).to_mm();
        sums.push(sum_mm);
    }
    sums
}
