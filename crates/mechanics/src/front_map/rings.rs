//! Which rings a front derailleur serves, by its tail, its inner plate, its curve and its place on the frame.

use super::{FrontCage, FrontError, FrontRun, pass};
use crate::chain::pitch_radius;
use quantity::{Length, Teeth};

/// Radius of the tooth tips.
///
/// `p/2 · (0.6 + cot(π/N))`, p the pitch.
///
/// Rises with the teeth, 3.6 mm over the pitch radius for a road ring.
///
/// # Source
/// Outside diameter of a roller chain sprocket in handbooks (Machinery's Handbook, from memory). Rings with ramps
/// and narrow teeth differ by some tenths.
pub fn tip_radius(teeth: Teeth) -> Length {
    let half = std::f64::consts::PI / teeth.to_f64();
    Length::mm(6.35 * (0.6 + 1.0 / half.tan()))
}

/// The smallest ring beside an outer ring on which the chain still runs clear of the bridge of the tail, on the
/// smallest cog; `None` if no smaller ring does.
///
/// The lower edge of the chain at the tail falls with the ring and with the cog, so smaller rings are tried until one
/// does not clear the bridge by the room wanted.
///
/// # Errors
/// As [`pass`].
///
/// # Source
/// Geometry of [`super::Pass::over_bridge`].
pub fn smallest_inner_ring(
    cage: &FrontCage,
    outer: &FrontRun,
    smallest_cog: Teeth,
    room: Length,
) -> Result<Option<Teeth>, FrontError> {
    let mut smallest = None;
    for teeth in (1..outer.outer_ring.get()).rev().map_while(|teeth| Teeth::new(i64::from(teeth)).ok()) {
        let run = FrontRun { ring: teeth, cog: smallest_cog, ..*outer };
        if pass(cage, &run)?.over_bridge < room {
            break;
        }
        smallest = Some(teeth);
    }
    Ok(smallest)
}

/// The largest ring beside an outer ring that the inner plate passes over by a room; `None` if none is so small.
///
/// The lower edge of the inner plate stands at `r_tip(outer) + height − depth`. The deeper the plate, the further
/// apart the rings must be.
///
/// # Source
/// Geometry. Cages for three rings are made for rings 10 to 12 teeth apart by print, which asks for a depth of 21 to
/// 25 mm here.
pub fn largest_inner_ring(cage: &FrontCage, outer_ring: Teeth, room: Length) -> Option<Teeth> {
    let edge = tip_radius(outer_ring) + cage.height - cage.inner_depth;
    let smaller = (1..outer_ring.get()).rev().map_while(|teeth| Teeth::new(i64::from(teeth)).ok());
    smaller.into_iter().find(|teeth| tip_radius(*teeth) + room <= edge)
}

/// The smallest and the largest outer ring that a slot serves: the bolt stands somewhere in it for the ring of now,
/// and moves by the difference of the pitch radii. `None` if no ring does.
///
/// Both rise with the ring of now; the smallest falls with the room below the bolt, the largest rises with that above.
///
/// # Source
/// Geometry; seven teeth are 14.1 mm: `tests/front_laws.rs::a_slot_serves_the_rings_that_practice_knows`.
pub fn rings_for_slot(
    ring_now: Teeth,
    bolt_now: Length,
    low: Length,
    high: Length,
) -> Option<(Teeth, Teeth)> {
    let fits = |teeth: &Teeth| {
        let bolt = bolt_now + pitch_radius(*teeth) - pitch_radius(ring_now);
        low <= bolt && bolt <= high
    };
    let rings = || (Teeth::LEAST..=Teeth::MOST).filter_map(|teeth| Teeth::new(teeth).ok()).filter(fits);
    Some((rings().next()?, rings().next_back()?))
}

/// How much further from the tooth tips the lower edge of the outer plate stands at the tail than at the top, for a
/// cage that is curved for another ring.
///
/// The plate is a circle of radius `ρ = r_tip(curve) + height` that stands `height` over the ring at its top, so at x
/// behind the crank axis its edge has the height `z = r_tip + height − ρ + √(ρ² − x²)` and stands
/// `√(x² + z²) − r_tip − height` further off.
///
/// Rises with the curve's ring, falls with the ring under it; 0 for the ring of the curve.
///
/// # Errors
/// [`FrontError::TailBeyondRing`] for a tail that lies beyond the curve; [`FrontError::OutOfRange`] for what is no
/// finite number.
///
/// # Source
/// Geometry. Practice says four teeth less still shift well: 3.4 mm at a tail 85 mm behind the cranks for 46 under a
/// cage for 50.
pub fn tail_stand_off(
    curve_ring: Teeth,
    ring: Teeth,
    height: Length,
    tail_behind: Length,
) -> Result<Length, FrontError> {
    let (h, x) = (height.to_mm(), tail_behind.to_mm());
    for (what, found) in [("the height over the ring", h), ("the tail behind the cranks", x)] {
        if !found.is_finite() || found.abs() > 1e5 {
            return Err(FrontError::OutOfRange { what, found });
        }
    }
    let (tip, curve) = (tip_radius(ring).to_mm(), tip_radius(curve_ring).to_mm() + h);
    if x.abs() >= curve {
        return Err(FrontError::TailBeyondRing { tail: tail_behind, edge: Length::mm(curve) });
    }
    let z = tip + h - curve + (curve * curve - x * x).sqrt();
    Ok(Length::mm(x.hypot(z) - tip - h))
}
