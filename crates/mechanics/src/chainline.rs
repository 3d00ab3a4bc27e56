//! How far cogs and rings stand from the middle of the bike, and what rubs. Begin with [`rub_gap`].
//!
//! Distances are taken sideways from the centre plane, positive toward the drive side.

use crate::chain::pitch_radius;
use quantity::{Angle, Length, Teeth};

/// How far the outer plates of a chain stand above its pins: half of a plate height of 7.6 mm. From memory.
pub(crate) const PLATE_ABOVE_PIN: Length = Length::mm(3.8);

/// Where the middle of each cog stands, the smallest (outermost) first.
///
/// `y₁ = W/2 − g − t/2`, then less each pitch in turn; W is the width of the hub over its locknuts, g from the
/// locknut to the outer face of the smallest cog, t the thickness of a cog.
///
/// Each rises with the hub width and falls with the gap, the thickness and the pitches before it. One more
/// than there are pitches.
///
/// # Source
/// Geometry. Checked on a printed chain line: `tests/published.rs::chain_line_of_ten_cogs`.
pub fn cog_positions(
    hub_width: Length,
    locknut_to_small_cog_face: Length,
    cog_thickness: Length,
    pitches: &[Length],
) -> Vec<Length> {
    let mut position = hub_width * 0.5 - locknut_to_small_cog_face - cog_thickness * 0.5;
    let mut positions = Vec::with_capacity(pitches.len() + 1);
    positions.push(position);
    for pitch in pitches {
        position = position - *pitch;
        positions.push(position);
    }
    positions
}

/// Where each ring stands, the outermost first; the chainline is the middle of them all.
///
/// `y_i = chainline + s ((n − 1)/2 − i)`, with s the gap from middle to middle and i from 0.
///
/// Each rises with the chainline; the outer half rises with the gap and the inner half falls.
pub fn ring_positions(chainline: Length, ring_gap: Length, rings: usize) -> Vec<Length> {
    let outermost = rings.saturating_sub(1) as f64 / 2.0;
    (0..rings).map(|ring| chainline + ring_gap * (outermost - ring as f64)).collect()
}

/// Angle by which the chain runs out of line; positive when the ring stands further out than the cog.
///
/// `atan((y_ring − y_cog) / C)`
///
/// Rises with the ring's place, falls with the cog's; its size falls with the chainstay. 0 in line.
pub fn angle(ring: Length, cog: Length, chainstay: Length) -> Angle {
    Angle::rad((ring - cog).to_mm().atan2(chainstay.to_mm()))
}

/// Gap left between a chain on the inner ring and the outer ring beside it; negative is a rub.
///
/// `s − w/2 − t/2 − x tan φ`, `tan φ = (y_cog − y_ring)/C`, `x = √((r_o + 3.8)² − r_i²)`: the chain leaves the
/// inner ring, and x behind that point it passes the edge of the outer ring, moved outward by `x tan φ`.
/// s is the gap of the rings from middle to middle, w the outer width of the chain, t the thickness of the
/// outer ring, r_o and r_i the pitch radii.
///
/// Rises with the ring gap and the ring's place; falls with both thicknesses and the cog's place. For a cog
/// further out than the ring it rises with the chainstay and the inner ring and falls with the outer ring. An
/// outer ring so small that its edge does not reach the chain counts as x = 0. A chainstay of 0 has no
/// meaning and gives an infinite or no number. Good to about 0.5 mm: ring teeth are not all on the middle.
///
/// # Source
/// Geometry; the 3.8 mm is from memory. The figures of a table made by hand agree within 0.1 mm:
/// `tests/cases.rs::rub_table`.
#[expect(clippy::too_many_arguments, reason = "eight measurements of one place; every caller names them")]
pub fn rub_gap(
    ring_gap: Length,
    chain_outer: Length,
    ring_thickness: Length,
    outer_ring: Teeth,
    inner_ring: Teeth,
    ring_position: Length,
    cog_position: Length,
    chainstay: Length,
) -> Length {
    let edge_mm = (pitch_radius(outer_ring) + PLATE_ABOVE_PIN).to_mm();
    let inner_mm = pitch_radius(inner_ring).to_mm();
    let x_mm = (edge_mm * edge_mm - inner_mm * inner_mm).max(0.0).sqrt();
    let tan_phi = (cog_position - ring_position).to_mm() / chainstay.to_mm();
    ring_gap - chain_outer * 0.5 - ring_thickness * 0.5 - Length::mm(x_mm * tan_phi)
}
