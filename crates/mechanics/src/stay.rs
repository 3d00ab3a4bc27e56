//! Room between the chainstay and what turns beside it: rings and crank arm. Begin with [`ring_gap`].
//!
//! Distances are taken sideways from the centre plane, positive toward the drive side; radii from the centre
//! of the bottom bracket.

use crate::chain::radius_per_tooth;
use quantity::{Length, Teeth};
use std::f64::consts::PI;

/// Radii at which the half width of the stay is measured. Common practice.
pub const RADII: [Length; 5] =
    [Length::mm(75.0), Length::mm(85.0), Length::mm(95.0), Length::mm(105.0), Length::mm(165.0)];

/// Half of a ring with the bolt ends and ramps that stand out toward the stay. Common practice.
pub const RING_INNER_HALF: Length = Length::mm(2.8);

/// Radii to which the nearest measured width is taken to hold, inward and outward.
const HOLDS: (Length, Length) = (Length::mm(45.0), Length::mm(185.0));

/// Radius over the tips of the teeth.
///
/// `R = p/2 · (0.6 + cot(π/N))`, p the pitch of 12.7 mm.
///
/// Rises with the teeth: by about 2.02 mm for each, as the pitch radius does.
///
/// # Source
/// Outside diameter of a roller-chain sprocket as handbooks give it (*Machinery's Handbook*, roller chain
/// sprockets); quoted from memory. Ring teeth are often cut lower, so it is on the safe side.
pub fn tip_radius(teeth: Teeth) -> Length {
    let half_pitch = radius_per_tooth() * PI;
    half_pitch * (0.6 + 1.0 / (PI / teeth.to_f64()).tan())
}

/// Half width of the stay at a radius, from its widths at [`RADII`].
///
/// Straight lines between the measured places; from 45 mm to the first and from the last to 185 mm the nearest
/// width. `None` beyond, where nothing is known. Rises with each width.
///
/// # Example
/// ```
/// use mechanics::stay::half_width;
/// use quantity::Length;
/// let widths = [30.0, 31.0, 33.0, 35.0, 44.0].map(Length::mm);
/// assert_eq!(half_width(Length::mm(90.0), &widths), Some(Length::mm(32.0)));
/// assert_eq!(half_width(Length::mm(40.0), &widths), None);
/// ```
pub fn half_width(at: Length, widths: &[Length; 5]) -> Option<Length> {
    if at < HOLDS.0 || at > HOLDS.1 {
        return None;
    }
    if at <= RADII[0] {
        return Some(widths[0]);
    }
    for i in 1..RADII.len() {
        if at <= RADII[i] {
            let share = (at - RADII[i - 1]).to_mm() / (RADII[i] - RADII[i - 1]).to_mm();
            return Some(widths[i - 1] * (1.0 - share) + widths[i] * share);
        }
    }
    Some(widths[4])
}

/// Gap between a ring and the stay at the tips of its teeth.
///
/// `y_ring − 2.8 mm − s(R)`, y the place of the ring and s the half width of the stay at the tip radius R.
///
/// Rises with the place of the ring, falls with the widths; falls with the teeth where the stay gets wider
/// outward, as stays do. `None` where the stay is not known. Negative when they would touch.
pub fn ring_gap(ring_at: Length, teeth: Teeth, widths: &[Length; 5]) -> Option<Length> {
    half_width(tip_radius(teeth), widths).map(|stay| ring_at - RING_INNER_HALF - stay)
}

/// Gap between the crank arm and the stay at the outermost radius measured.
///
/// `Q/2 − t − s(165)`, Q the width over both arms, t the thickness of the arm.
///
/// Rises with Q; falls with t and the width.
///
/// # Example
/// ```
/// use mechanics::stay::arm_gap;
/// use quantity::Length;
/// let gap = arm_gap(Length::mm(146.0), Length::mm(13.0), Length::mm(55.0));
/// assert_eq!(gap, Length::mm(5.0));
/// ```
pub fn arm_gap(q_factor: Length, arm_thickness: Length, stay_at_165: Length) -> Length {
    q_factor * 0.5 - arm_thickness - stay_at_165
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::pitch_radius;

    fn widths() -> [Length; 5] {
        [30.0, 31.0, 33.0, 35.0, 44.0].map(Length::mm)
    }

    fn teeth(count: i64) -> Teeth {
        Teeth::new(count).unwrap()
    }

    #[test]
    fn the_measured_places_come_back() {
        for (at, width) in RADII.into_iter().zip(widths()) {
            assert!((half_width(at, &widths()).unwrap() - width).abs() < Length::mm(1e-9));
        }
    }

    #[test]
    fn between_two_places_the_stay_is_straight() {
        // 135 mm is half way from 105 to 165 mm: (35 + 44) / 2, by hand.
        assert!((half_width(Length::mm(135.0), &widths()).unwrap().to_mm() - 39.5).abs() < 1e-9);
    }

    #[test]
    fn far_from_every_place_nothing_is_known() {
        assert_eq!(half_width(Length::mm(44.0), &widths()), None);
        assert_eq!(half_width(Length::mm(186.0), &widths()), None);
        assert_eq!(half_width(Length::mm(175.0), &widths()), Some(Length::mm(44.0)));
    }

    /// The tip stands 0.3 pitch over the line p/2 · cot(π/N), which lies a little inside the pitch radius: for 25
    /// to 60 teeth 3.3 to 3.8 mm over the pitch circle, worked out a second time by another program.
    #[test]
    fn tips_stand_over_the_pitch_circle() {
        for count in 25..=60 {
            let over = (tip_radius(teeth(count)) - pitch_radius(teeth(count))).to_mm();
            assert!((3.3..3.8).contains(&over), "{count}: {over}");
        }
        assert!((tip_radius(teeth(50)).to_mm() - 104.742).abs() < 0.01);
    }

    #[test]
    fn a_larger_ring_stands_nearer_to_a_stay_that_widens() {
        let gap = |count| ring_gap(Length::mm(47.15), teeth(count), &widths()).unwrap();
        assert!(gap(50) < gap(46));
    }

    #[test]
    fn a_ring_moved_outward_gains_as_much() {
        let gap = |mm| ring_gap(Length::mm(mm), teeth(50), &widths()).unwrap().to_mm();
        assert!((gap(48.0) - gap(47.0) - 1.0).abs() < 1e-9);
        // By hand: at 104.74 mm the stay is 33 + 0.9742 · 2 = 34.948 mm; 47.0 − 2.8 − 34.948.
        assert!((gap(47.0) - 9.252).abs() < 0.005);
    }
}
