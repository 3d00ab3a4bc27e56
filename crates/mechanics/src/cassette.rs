//! The cassette on its body and between its neighbours. Begin with [`body_margin`].

use quantity::Length;

/// Room left on the body behind the cassette; negative is too short. A positive margin is the spacer needed.
///
/// `L − L_required + z`, with z the recess by which the largest cogs hang over behind the rearmost support.
///
/// Rises with the body and the overhang, falls with the length required.
///
/// # Source
/// Counting; the lengths of bodies are facts of the catalog.
pub fn body_margin(body: Length, needed: Length, overhang: Length) -> Length {
    body - needed + overhang
}

/// Width of a cassette from the outer face of its smallest cog to the inner face of its largest.
///
/// `(N − 1) · pitch + t`, with t the thickness of a cog; 0 without cogs.
///
/// Rises with pitch, thickness and cogs.
///
/// # Source
/// Counting. Checked against printed widths: `tests/published.rs::stack_widths`.
pub fn stack_width(pitch: Length, cog_thickness: Length, cogs: u32) -> Length {
    if cogs == 0 {
        return Length::mm(0.0);
    }
    pitch * f64::from(cogs - 1) + cog_thickness
}

/// Room between a chain centred on a cog and the next cog; negative is contact.
///
/// `pitch − w/2 − t/2`, with w the outer width of the chain and t the thickness of a cog.
///
/// Rises with the pitch, falls with both widths.
///
/// # Source
/// Geometry. It gives what the trade knows of mixed chains: `tests/published.rs::chain_clearance_matrix`.
pub fn chain_clearance(pitch: Length, chain_outer: Length, cog_thickness: Length) -> Length {
    pitch - chain_outer * 0.5 - cog_thickness * 0.5
}

/// Gap between cage and spokes after the largest cog has moved inward.
///
/// `gap − inward`. Rises with the gap, falls with the move; negative is contact.
pub fn overhang_gap(gap_now: Length, inward: Length) -> Length {
    gap_now - inward
}

/// Room between a chain on the smallest cog and the dropout; negative is contact.
///
/// `g + t/2 − w/2`, with g from the dropout face to the outer face of the cog, t the thickness of the cog and w
/// the outer width of the chain.
///
/// Rises with the distance and the thickness, falls with the width of the chain.
pub fn dropout_gap(dropout_to_cog_face: Length, cog_thickness: Length, chain_outer: Length) -> Length {
    dropout_to_cog_face + cog_thickness * 0.5 - chain_outer * 0.5
}
