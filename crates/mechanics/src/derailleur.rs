//! The rear derailleur and its hanger, and how far the front one moves. Begin with [`largest_cog_allowed`].

use crate::chain::{pitch_radius, radius_per_tooth};
use quantity::{Angle, Length, Teeth};

/// Height from the axle to the hanger bolt for which derailleurs are usually rated: a guess at the usual, no
/// source; the leaflet of the part wins.
pub const REFERENCE_HANGER_DROP: Length = Length::mm(28.0);

/// How far the part of the pulley's travel lies apart that a cable adjuster cannot tune away when the hanger
/// is bent: the pulley stands about 60 mm below the axle on the small cogs and 85 mm on the large ones. From
/// memory.
const PULLEY_TRAVEL: Length = Length::mm(25.0);

/// Largest cog a derailleur clears on a hanger of another length, in teeth with a fraction.
///
/// `R_rated + (h − h_ref) / (p/2π)`: each tooth adds [`radius_per_tooth`], and the pulley hangs lower with the
/// hanger.
///
/// Rises with the rating and the drop, falls with the reference.
///
/// # Source
/// Geometry. The reference drop is the weak part: see [`REFERENCE_HANGER_DROP`].
///
/// # Example
/// ```
/// use mechanics::derailleur::{REFERENCE_HANGER_DROP, largest_cog_allowed};
/// use quantity::{Length, Teeth};
/// let allowed = largest_cog_allowed(Teeth::new(30)?, Length::mm(29.5), REFERENCE_HANGER_DROP);
/// assert_eq!(format!("{allowed:.1}"), "30.7");
/// # Ok::<(), quantity::OutOfRange>(())
/// ```
pub fn largest_cog_allowed(rated: Teeth, hanger_drop: Length, reference: Length) -> f64 {
    rated.to_f64() + (hanger_drop - reference).to_mm() / radius_per_tooth().to_mm()
}

/// Gap left between the upper pulley and the largest cog when that cog grows and the derailleur stays.
///
/// `gap + reserve − ΔT · p/2π`, with the reserve what the body-angle screw can still add.
///
/// Rises with the gap and the reserve, falls with the teeth; negative when the pulley would run into the cog.
pub fn gap_with_cog(gap_now: Length, screw_reserve: Length, extra_teeth: f64) -> Length {
    gap_now + screw_reserve - radius_per_tooth() * extra_teeth
}

/// Angle by which a hanger is bent, from two readings of a gauge at opposite points.
///
/// `ψ = asin(d/D)`, with d the difference of the readings and D how far they lie apart.
///
/// Rises with the difference; for a positive difference falls with the span; odd in the difference. A
/// difference as large as the span or larger, or a span of 0, gives 90° with the sign of the difference: no
/// hanger is so bent, and every limit refuses it.
///
/// # Source
/// Geometry. Checked: `tests/published.rs::hanger_four_millimetres_at_the_rim`.
pub fn hanger_angle(gauge_difference: Length, span: Length) -> Angle {
    let (d, span) = (gauge_difference.to_mm(), span.to_mm());
    if d.abs() >= span {
        return Angle::deg(90.0_f64.copysign(d));
    }
    Angle::rad((d / span).asin())
}

/// The error of a bent hanger that grows over the range of the cassette and cannot be tuned away.
///
/// `25 mm · sin ψ`: the pulley stands 60 to 85 mm below the axle, so that much of its height changes from the
/// smallest to the largest cog.
///
/// Rises with the angle up to 90°; odd in it. 0.44 mm for one degree.
pub fn hanger_slope(angle: Angle) -> Length {
    PULLEY_TRAVEL * angle.to_rad().sin()
}

/// How far the two pulleys of a cage stand out of line on a bent hanger.
///
/// `a · sin ψ`, with a the distance of the pulleys: 56 to 85 mm by the length of the cage.
///
/// Rises with both, for angles up to 90°.
pub fn cage_lean(angle: Angle, pulleys_apart: Length) -> Length {
    pulleys_apart * angle.to_rad().sin()
}

/// How the front derailleur must move when the large ring changes; negative is downward.
///
/// `r_new − r_old`, pitch radii.
///
/// Rises with the new ring, falls with the old one; 0 when they are equal.
///
/// # Example
/// ```
/// use mechanics::derailleur::bolt_height_change;
/// use quantity::Teeth;
/// assert_eq!(format!("{:.1}", bolt_height_change(Teeth::new(53)?, Teeth::new(46)?)), "−14.1 mm");
/// # Ok::<(), quantity::OutOfRange>(())
/// ```
pub fn bolt_height_change(old_ring: Teeth, new_ring: Teeth) -> Length {
    pitch_radius(new_ring) - pitch_radius(old_ring)
}
