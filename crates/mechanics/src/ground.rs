//! Room of the rear derailleur over the ground: what small wheels leave. Begin with [`height`].

use quantity::{Angle, Length};

/// Height of the lowest point of the cage over level ground; negative is in it.
///
/// `r − s − d`, with r the radius of the wheel over the tyre, s by how much the tyre sags under the rider and d
/// how far the cage reaches below the axle.
///
/// Rises with the wheel, falls with sag and cage.
///
/// # Source
/// Counting; figures worked by hand: `tests/cases.rs::a_cage_over_the_ground`.
pub fn height(wheel_radius: Length, sag: Length, below_axle: Length) -> Length {
    wheel_radius - sag - below_axle
}

/// Angle by which the bike can lean before the cage touches level ground.
///
/// `atan(h / y)`, with h the [`height`] of the lowest point and y how far it stands outside the middle plane, as
/// if the bike leaned about the line where the middle plane meets the ground. A round tyre rolls onto its side and
/// clears 1° to 3° more (40 mm tyre, figures of the test below), so this is on the safe side; a kerb or a bump
/// takes that away again.
///
/// Rises with the height, falls with the distance while the height is positive; 90° for a cage in the middle
/// plane; negative when the cage is in the ground.
///
/// # Source
/// Geometry; figures worked by hand: `tests/cases.rs::a_cage_over_the_ground`.
///
/// # Example
/// ```
/// use mechanics::ground::{height, lean_to_touch};
/// use quantity::Length;
/// let over_ground = height(Length::mm(243.0), Length::mm(8.0), Length::mm(185.0));
/// assert_eq!(over_ground.to_string(), "50.00 mm");
/// assert_eq!(format!("{:.1}", lean_to_touch(over_ground, Length::mm(78.0))), "32.7°");
/// ```
pub fn lean_to_touch(height: Length, outboard: Length) -> Angle {
    Angle::rad(height.to_mm().atan2(outboard.to_mm()))
}
