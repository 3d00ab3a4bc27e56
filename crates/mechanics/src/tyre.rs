//! Room for the tyre in the frame, and which tyre a rim takes. Begin with [`gap_each_side`].
//!
//! A tyre is as wide as it is measured, inflated, on the rim it will run on; the label is a hope.

use quantity::Length;

/// Least and greatest width of a tyre for one of inner rim width: a workshop guide. The leaflets of rim and tyre
/// win, and where both speak, the narrower of them.
pub const WIDTH_PER_RIM: (f64, f64) = (1.45, 2.0);

/// Room beside the tyre on either side; negative is contact.
///
/// `(b − w)/2`, with b the room between stays, fork blades or bridge and w the width of the inflated tyre,
/// measured at the same height.
///
/// Rises with the room, falls with the tyre. It takes the wheel as standing in the middle and true: subtract what
/// it runs out.
///
/// # Source
/// Symmetry.
pub fn gap_each_side(room: Length, tyre_width: Length) -> Length {
    (room - tyre_width) * 0.5
}

/// Room over the tyre, toward bridge or crown; negative is contact.
///
/// `h − r`, with h from the axle to the underside of the bridge and r from the axle to the top of the tyre.
///
/// Rises with the height, falls with the tyre.
pub fn gap_above(axle_to_bridge: Length, tyre_radius: Length) -> Length {
    axle_to_bridge - tyre_radius
}

/// The narrowest and the widest tyre by the guide for a rim.
///
/// `1.45 · c` to `2.0 · c`, with c the width between the hooks: [`WIDTH_PER_RIM`].
///
/// Both proportional to the rim.
///
/// # Source
/// A workshop crib sheet. Checked on its rows from 13 to 30 mm, which are the rule rounded:
/// `tests/cases.rs::tyres_for_a_rim`.
pub fn width_range(inner_rim_width: Length) -> (Length, Length) {
    (inner_rim_width * WIDTH_PER_RIM.0, inner_rim_width * WIDTH_PER_RIM.1)
}
