//! How long the chain must be, how much of it hangs, and where the centres are. Begin with [`need`].
//!
//! Lengths of chain are in half-inch pitches. Letters: F teeth of the ring, R teeth of the cog, C distance of
//! the centres, p one pitch (12.7 mm), r pitch radius.

use quantity::{Force, Length, Pitches, Teeth, Torque};
use std::f64::consts::PI;
use std::fmt;

/// Pitches added to the length around the biggest ring and cog: common practice, no source.
pub const SPARE: Pitches = Pitches::new(2.0);

/// Chain that hangs for one tooth of capacity too few: half a pitch, because a tooth less on one sprocket
/// frees half a pitch of wrap.
pub const SLACK_PER_TOOTH: Length = Length::mm(Pitches::MM / 2.0);

/// [`centre_distance`] is within this of the true root for every bicycle size.
pub const CENTRE_TOLERANCE: Length = Length::mm(1e-10);

/// Why a length of chain cannot be told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ChainError {
    /// The centres are closer than the two pitch radii together.
    SprocketsOverlap {
        /// The distance of the centres found.
        chainstay: Length,
        /// The smallest distance at which the two sprockets clear each other.
        least: Length,
    },
    /// The chain does not reach around the two sprockets even where they touch.
    TooShort {
        /// The length of chain found.
        pitches: Pitches,
        /// The shortest that goes around.
        least: Pitches,
    },
    /// A length that is no finite number.
    NotFinite {
        /// The number found.
        found: f64,
    },
}

impl fmt::Display for ChainError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SprocketsOverlap { chainstay, least } => {
                write!(f, "the sprockets overlap: centres are {chainstay:.1} apart, they need {least:.1}")
            }
            Self::TooShort { pitches, least } => {
                write!(f, "the chain is too short: {pitches:.1} found, {least:.1} needed")
            }
            Self::NotFinite { found } => write!(f, "a length of `{found}` found, a finite number wanted"),
        }
    }
}

impl std::error::Error for ChainError {}

/// Radius of the circle on which the pins of the chain lie on a sprocket.
///
/// `r = p / (2 sin(π/N))`
///
/// Rises with the teeth, by nearly [`radius_per_tooth`] for each.
///
/// # Source
/// R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., §7-6. Checked against a printed table of
/// pitch diameters: `tests/published.rs::pitch_diameter_table`.
pub fn pitch_radius(teeth: Teeth) -> Length {
    Length::mm(radius_mm(teeth))
}

/// Radius that one more tooth adds to a sprocket.
///
/// `p / 2π` = 2.02 mm. The true difference is this within 0.04 mm from 9 teeth upward.
pub fn radius_per_tooth() -> Length {
    Length::mm(Pitches::MM / (2.0 * PI))
}

/// Length of chain around a ring and a cog with no slack at all, before rounding to what can be joined.
///
/// `L = 2C cos β / p + F (½ + β/π) + R (½ − β/π)`, `β = asin((r_F − r_R)/C)`: two straight spans, and on each
/// sprocket as many pitches as teeth are wrapped.
///
/// Grows with ring, cog and chainstay (by nearly 2 pitches for each pitch of chainstay); the same when the
/// sprockets are swapped; `2C/p + N` when they are equal. Within 0.010 pitch of [`need_handbook`] for
/// sprockets of 9 to 56 teeth and centres of 30 pitches or more (`tests/laws.rs`).
///
/// # Errors
/// [`ChainError::SprocketsOverlap`] if `chainstay` is less than the two pitch radii together;
/// [`ChainError::NotFinite`] if it is no finite number.
///
/// # Source
/// Open belt geometry, with whole teeth in place of arcs. Checked against a general numerical library over
/// 300 and more drives: `tests/reference.rs`; against handbook examples: `tests/published.rs`.
///
/// # Example
/// ```
/// use mechanics::chain::{count, need};
/// use quantity::{Length, Teeth};
/// let big_big = need(Teeth::new(50)?, Teeth::new(28)?, Length::mm(410.0))?;
/// assert_eq!(big_big.to_string(), "103.95 pitches");
/// assert_eq!(count(big_big), 106);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn need(ring: Teeth, cog: Teeth, chainstay: Length) -> Result<Pitches, ChainError> {
    clear_of_each_other(radius_mm(ring), radius_mm(cog), chainstay)?;
    Ok(Pitches::new(polygon_pitches(ring, cog, chainstay.to_mm())))
}

/// Length of chain around a ring and a cog by the handbook form, a near formula that needs no sine.
///
/// `L = 2C + (F + R)/2 + (F − R)² / (4π² C)`, all in pitches.
///
/// Grows with every input for sprockets that clear each other; the same when they are swapped; `2C + N` when
/// they are equal.
///
/// # Errors
/// As [`need`].
///
/// # Source
/// R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., §7-6. Checked against its Example 7-3,
/// p. 295: `tests/published.rs::mott_example_7_3`.
pub fn need_handbook(ring: Teeth, cog: Teeth, chainstay: Length) -> Result<Pitches, ChainError> {
    clear_of_each_other(radius_mm(ring), radius_mm(cog), chainstay)?;
    let centres = Pitches::new(chainstay.to_mm() / Pitches::MM);
    Ok(handbook_pitches(ring.to_f64(), cog.to_f64(), centres))
}

/// The handbook form of [`need_handbook`] for sprockets of any machine: tooth counts are plain numbers, and
/// the pitch may be any.
///
/// Centres of 0 give infinity. It does not look whether the sprockets clear each other.
///
/// # Source
/// As [`need_handbook`]; with 81 teeth, *Analysis and Design of Machine Elements*, p. 162:
/// `tests/published.rs::machine_elements_21_and_81_teeth`.
pub fn handbook_pitches(larger_teeth: f64, smaller_teeth: f64, centres: Pitches) -> Pitches {
    let c = centres.to_f64();
    let difference = (larger_teeth - smaller_teeth) / (2.0 * PI);
    Pitches::new(2.0 * c + (larger_teeth + smaller_teeth) / 2.0 + difference * difference / c)
}

/// Distance of the centres, in pitches, for a given length of chain, by the handbook form: the exact inverse
/// of [`handbook_pitches`].
///
/// `C = ¼ (A + √(A² − 8 ((N − n)/2π)²))`, `A = L − (N + n)/2`
///
/// Grows with the length, falls as teeth are added. `None` where the chain does not reach around.
///
/// # Source
/// Mott, as above; also *Analysis and Design of Machine Elements* (Wiley), eq. 7.29. Checked against the
/// examples of both: `tests/published.rs`.
pub fn handbook_centres(larger_teeth: f64, smaller_teeth: f64, length: Pitches) -> Option<Pitches> {
    let straight = length.to_f64() - (larger_teeth + smaller_teeth) / 2.0;
    let difference = (larger_teeth - smaller_teeth) / (2.0 * PI);
    let under_root = straight * straight - 8.0 * difference * difference;
    (straight > 0.0 && under_root >= 0.0).then(|| Pitches::new((straight + under_root.sqrt()) / 4.0))
}

/// Length of chain in inches by the quick rule of the workshop, spare included.
///
/// `2C + F/4 + R/4 + 1`, C in inches; rounded up to the next full inch by who uses it.
///
/// Grows with every input. It is [`need_handbook`] without its last term, plus [`SPARE`]; so it runs short where
/// ring and cog differ most: by 0.7 in for 53 and 11 teeth at 410 mm.
///
/// # Source
/// Common practice; quoted from memory, no source seen.
pub fn workshop_rule_inches(ring: Teeth, cog: Teeth, chainstay: Length) -> f64 {
    2.0 * chainstay.to_inches() + ring.to_f64() / 4.0 + cog.to_f64() / 4.0 + 1.0
}

/// Length of an open belt on two wheels.
///
/// `L = 2C cos β + (π + 2β) R + (π − 2β) r`, `β = asin((R − r)/C)`
///
/// Grows with every input; the same when the wheels are swapped; `2C + 2πr` when they are equal. A chain is
/// not a belt: with pitch radii this counts up to 0.1 pitch too much, see [`need`].
///
/// # Errors
/// As [`need`], with the two radii in place of the pitch radii.
///
/// # Source
/// Textbook geometry ("belt problem"). Checked against Mott, ch. 7: `tests/published.rs::mott_belt_of_chapter_7`;
/// against the perimeter of a convex hull: `tests/reference.rs`.
pub fn open_belt(radius_one: Length, radius_other: Length, centres: Length) -> Result<Length, ChainError> {
    let beta = span_slope(radius_one, radius_other, centres)?.to_rad();
    let straight = 2.0 * centres.to_mm() * beta.cos();
    let wrapped = (PI + 2.0 * beta) * radius_one.to_mm() + (PI - 2.0 * beta) * radius_other.to_mm();
    Ok(Length::mm(straight + wrapped))
}

/// Angle between a straight span and the line of the centres.
///
/// `β = asin((R − r)/C)`, positive when the first wheel is the larger.
///
/// Rises with the first radius, falls with the other; shrinks toward 0 as the centres part.
///
/// # Errors
/// As [`open_belt`].
pub fn span_slope(
    radius_one: Length,
    radius_other: Length,
    centres: Length,
) -> Result<quantity::Angle, ChainError> {
    clear_of_each_other(radius_one.to_mm(), radius_other.to_mm(), centres)?;
    Ok(quantity::Angle::rad(((radius_one.to_mm() - radius_other.to_mm()) / centres.to_mm()).asin()))
}

/// Distance of the centres at which a given length of chain is taut: the inverse of [`need`].
///
/// Grows with the chain, falls as teeth are added. Found by Newton steps kept inside a bracket, to
/// [`CENTRE_TOLERANCE`] or to the last digits of the number, whichever is coarser.
///
/// # Errors
/// [`ChainError::TooShort`] if the chain does not go around the sprockets where they touch;
/// [`ChainError::NotFinite`] if its length is no finite number.
///
/// # Source
/// Checked against a root finder of a general numerical library: `tests/reference.rs`.
///
/// # Example
/// ```
/// use mechanics::chain::{centre_distance, need};
/// use quantity::{Length, Teeth};
/// let (ring, cog) = (Teeth::new(44)?, Teeth::new(18)?);
/// let length = need(ring, cog, Length::mm(420.0))?;
/// assert_eq!(format!("{:.6}", centre_distance(ring, cog, length)?), "420.000000 mm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn centre_distance(ring: Teeth, cog: Teeth, pitches: Pitches) -> Result<Length, ChainError> {
    let wanted = pitches.to_f64();
    // A chain so long that its half cannot be held in millimetres is no chain either.
    if !pitches.to_mm().is_finite() {
        return Err(ChainError::NotFinite { found: wanted });
    }
    let mut low = radius_mm(ring) + radius_mm(cog);
    let least = polygon_pitches(ring, cog, low);
    if wanted < least {
        // Rounding alone must not refuse the length that `need` gives where the sprockets touch.
        if least - wanted <= 1e-12 * least {
            return Ok(Length::mm(low));
        }
        return Err(ChainError::TooShort { pitches, least: Pitches::new(least) });
    }
    // A chain is longer than twice its centres, so half of it is too far apart.
    let mut high = (pitches.to_mm() / 2.0).max(low);
    let guess = handbook_centres(ring.to_f64(), cog.to_f64(), pitches).map_or(high, |c| c.to_mm());
    let mut centres = guess.clamp(low, high);
    for _ in 0..200 {
        let over = polygon_pitches(ring, cog, centres) - wanted;
        if over > 0.0 {
            high = centres;
        } else {
            low = centres;
        }
        let newton = centres - over / pitches_per_mm(ring, cog, centres);
        let next = if low <= newton && newton <= high { newton } else { low + (high - low) / 2.0 };
        let step = (next - centres).abs();
        centres = next;
        // Each Newton step about doubles the digits that are right, so a step this small leaves far less behind.
        if step <= CENTRE_TOLERANCE.to_mm() {
            break;
        }
    }
    Ok(Length::mm(centres))
}

/// Pitches to fit for a length around the biggest ring and the biggest cog: [`SPARE`] more, and up to the next
/// even number, because inner plates join only to outer plates.
///
/// Grows with the length, in steps of 2, up to the largest even `u32`. A length below −2 or NaN gives 0.
pub fn count(big_big: Pitches) -> u32 {
    // `u32::MAX` is odd; one less is the largest even count. NaN passes through and becomes 0.
    let most = f64::from(u32::MAX - 1);
    Pitches::new((big_big.to_f64() + SPARE.to_f64()).clamp(0.0, most)).next_even()
}

/// Teeth of slack that the rear derailleur must take up.
///
/// `T = (F_max − F_min) + (R_max − R_min)`; 0 for a side that has no sprockets.
///
/// Grows with the largest, falls with the smallest of each side; unchanged when a tooth is added to all rings
/// or to all cogs; the order of the sprockets does not matter.
///
/// # Source
/// Glossaries of the trade. Checked on printed examples: `tests/published.rs::capacity_examples`.
pub fn capacity_needed(rings: &[Teeth], cogs: &[Teeth]) -> u32 {
    spread(rings) + spread(cogs)
}

/// Chain that the derailleur cannot take up in a gear; when positive it hangs by 12.7 mm for each pitch.
///
/// `x = n − L − (2 + T/2)`, with n the pitches fitted, L the [`need`] of the gear and T the capacity of the
/// derailleur in teeth.
///
/// Rises with the count, falls with the need and the capacity; one tooth of capacity is half a pitch.
///
/// # Source
/// Counting: [`SPARE`] is what is left when the derailleur is fully stretched, and T/2 pitches are what it
/// takes up from there.
pub fn slack(count: u32, need: Pitches, capacity: u32) -> Pitches {
    let taken_up = SPARE.to_f64() + f64::from(capacity) / 2.0;
    Pitches::new(f64::from(count) - need.to_f64() - taken_up)
}

/// Wear of a chain in percent of its length, measured over twelve pitches (152.4 mm when new).
///
/// `100 · (measured / (12 p) − 1)`. Rises with the length measured; 0 for a new chain.
///
/// For a measurement over another run, such as a twelve-inch rule, see [`elongation_percent_over`].
pub fn elongation_percent(measured_12_pitches: Length) -> f64 {
    elongation_percent_over(measured_12_pitches, 12)
}

/// Wear of a chain in percent of its length, measured over so many pitches.
///
/// `100 · (measured / (n p) − 1)`. Rises with the length measured, falls with the pitches; no pitches give
/// infinity.
///
/// # Example
/// ```
/// use mechanics::chain::elongation_percent_over;
/// use quantity::Length;
/// // Twelve inches and a sixteenth over 24 pitches.
/// assert_eq!(format!("{:.2}", elongation_percent_over(Length::inches(12.0625), 24)), "0.52");
/// ```
pub fn elongation_percent_over(measured: Length, pitches: u32) -> f64 {
    (measured.to_mm() / (f64::from(pitches) * Pitches::MM) - 1.0) * 100.0
}

/// Pull in the upper run of the chain for a torque at the crank.
///
/// `T / r`, with r the pitch radius of the ring. Rises with the torque, falls with the ring.
pub fn pull(torque: Torque, ring: Teeth) -> Force {
    Force::newtons(torque.to_newton_metres() * 1000.0 / radius_mm(ring))
}

fn radius_mm(teeth: Teeth) -> f64 {
    Pitches::MM / (2.0 * (PI / teeth.to_f64()).sin())
}

/// Refuses centres at which the two circles overlap.
fn clear_of_each_other(radius_one_mm: f64, radius_other_mm: f64, centres: Length) -> Result<(), ChainError> {
    // The difference is the larger of the two only for a negative radius, which no sprocket has; it keeps the
    // arcsine within its range.
    let least_mm = (radius_one_mm + radius_other_mm).max((radius_one_mm - radius_other_mm).abs());
    for found in [centres.to_mm(), least_mm] {
        if !found.is_finite() {
            return Err(ChainError::NotFinite { found });
        }
    }
    if centres.to_mm() < least_mm || centres.to_mm() <= 0.0 {
        return Err(ChainError::SprocketsOverlap { chainstay: centres, least: Length::mm(least_mm) });
    }
    Ok(())
}

/// The formula of [`need`], for centres already known to be far enough apart.
fn polygon_pitches(ring: Teeth, cog: Teeth, centres_mm: f64) -> f64 {
    let beta = ((radius_mm(ring) - radius_mm(cog)) / centres_mm).asin();
    let straight = 2.0 * centres_mm * beta.cos() / Pitches::MM;
    let on_ring = ring.to_f64() * (0.5 + beta / PI);
    let on_cog = cog.to_f64() * (0.5 - beta / PI);
    // The two wraps are added first: a sum of two does not depend on their order, so a swap changes no bit.
    straight + (on_ring + on_cog)
}

/// Slope of [`polygon_pitches`] in the centres.
///
/// With `dβ/dC = −tan β / C`: `dL/dC = 2 cos β / p − (tan β / C) ((F − R)/π − 2 (r_F − r_R)/p)`. The second
/// term is what a polygon differs from a circle, a hundredth of the first at most.
fn pitches_per_mm(ring: Teeth, cog: Teeth, centres_mm: f64) -> f64 {
    let difference_mm = radius_mm(ring) - radius_mm(cog);
    let beta = (difference_mm / centres_mm).asin();
    let polygon = (ring.to_f64() - cog.to_f64()) / PI - 2.0 * difference_mm / Pitches::MM;
    2.0 * beta.cos() / Pitches::MM - beta.tan() / centres_mm * polygon
}

fn spread(sprockets: &[Teeth]) -> u32 {
    match (sprockets.iter().max(), sprockets.iter().min()) {
        (Some(most), Some(least)) => most.get() - least.get(),
        _ => 0,
    }
}
