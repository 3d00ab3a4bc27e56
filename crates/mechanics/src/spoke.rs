//! Spokes: how long, how tight on one side for the other, and what they do to the rim. Begin with [`length`].
//!
//! A wheel carries the rider: what rim and hub allow is what their makers print.

use quantity::{Angle, Force, Length};
use std::f64::consts::PI;

/// The way of a spoke from hub to rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Middle plane of the rim to the middle of the flange.
    pub flange_offset: Length,
    /// Diameter of the circle of holes in the flange.
    pub hole_circle: Length,
    /// Diameter of the circle on which the spokes end in the rim.
    pub rim_diameter: Length,
    /// Diameter of a hole in the flange.
    pub hole: Length,
    /// Spokes on this side of the wheel.
    pub spokes_a_side: u32,
    /// How often a spoke crosses others of its side; 0 is radial.
    pub crossings: u32,
}

impl Run {
    /// Angle about the axle between the hole of a spoke in the flange and its end in the rim.
    ///
    /// `a = 360° · x / m`, with x the crossings and m the spokes of a side; 0 for radial spokes, whatever their
    /// number. `None` without spokes.
    pub fn angle(self) -> Option<Angle> {
        let a_side = f64::from(self.spokes_a_side);
        (self.spokes_a_side > 0).then(|| Angle::deg(360.0 * f64::from(self.crossings) / a_side))
    }

    /// Distance from the middle of the hole in the flange to the end in the rim.
    ///
    /// `√(o² + h² + r² − 2 h r cos a)`, with o the offset of the flange, h and r the radii of both circles and a the
    /// [`angle`](Self::angle).
    ///
    /// Rises with the offset, with the rim where that is larger than the circle of holes, and with the crossings up to
    /// a = 180°; the same for a flange on the other side. `None` without spokes.
    pub fn span(self) -> Option<Length> {
        let offset_mm = self.flange_offset.to_mm();
        let (h, r) = (self.hole_circle.to_mm() / 2.0, self.rim_diameter.to_mm() / 2.0);
        let cos = self.angle()?.to_rad().cos();
        // Below 0 only by rounding, where the square is that of the difference of h and r.
        let in_plane = (h * h + r * r - 2.0 * h * r * cos).max(0.0);
        Some(Length::mm(offset_mm.hypot(in_plane.sqrt())))
    }
}

/// Length of a spoke, from the inside of its bend to the end of its thread.
///
/// `L = √(o² + h² + r² − 2 h r cos a) − s`: the [`span`](Run::span), less the radius s of the hole, in whose edge
/// the bend hangs.
///
/// Moves as the span does; falls with the hole. Exact for straight spokes; a stretch of the spoke and a nipple that
/// ends below the circle are the builder's to add. `None` without spokes.
///
/// # Source
/// A page of a wheel builder, and a book on the bicycle wheel. Checked on its example, 36 spokes crossed three
/// times: `tests/published.rs::a_spoke_of_36`; against distances of points in space: `tests/second_opinion.rs`.
///
/// # Example
/// ```
/// use mechanics::spoke::{Run, length};
/// use quantity::Length;
/// let run = Run {
///     flange_offset: Length::mm(39.0),
///     hole_circle: Length::mm(58.0),
///     rim_diameter: Length::mm(555.0),
///     hole: Length::mm(2.6),
///     spokes_a_side: 18,
///     crossings: 3,
/// };
/// assert_eq!(length(run).map(|spoke| format!("{spoke:.1}")).as_deref(), Some("265.8 mm"));
/// ```
pub fn length(run: Run) -> Option<Length> {
    run.span().map(|span| span - run.hole * 0.5)
}

/// Angle between a spoke and the middle plane of the wheel.
///
/// `b = asin(o / l)`, with o the offset of the flange and l the [`span`](Run::span) of the spoke.
///
/// Rises with the offset, falls with the span; odd in the offset. An offset as large as the span or larger gives
/// 90° with its sign.
pub fn bracing_angle(flange_offset: Length, span: Length) -> Angle {
    let (offset, span) = (flange_offset.to_mm(), span.to_mm());
    if offset.abs() >= span {
        return Angle::deg(90.0_f64.copysign(offset));
    }
    Angle::rad((offset / span).asin())
}

/// Tension of the spokes of one side that keeps the rim in the middle against those of the other.
///
/// `T sin b / sin b′`, with T and b the tension and the [`bracing_angle`] of this side and b′ that of the other; as
/// many spokes on either side.
///
/// Proportional to the tension; rises with this side's angle, falls with the other's, up to 90°. Spokes that stand
/// in the middle plane on the other side give infinity: they can hold nothing sideways.
///
/// # Source
/// Balance of the sideways forces on the rim. Checked on figures of a wheel builder:
/// `tests/cases.rs::a_wheel_with_unequal_flanges`.
pub fn balancing_tension(tension: Force, bracing: Angle, other_bracing: Angle) -> Force {
    tension * (bracing.to_rad().sin() / other_bracing.to_rad().sin())
}

/// Force along the rim with which its spokes press it together.
///
/// `n T / 2π`, with n the spokes of the wheel and T their mean tension.
///
/// Proportional to both. It takes the spokes as spread evenly and in the plane of the rim; their slope to the side
/// takes off its cosine, under 1 % for a usual wheel.
///
/// # Source
/// A ring under even pressure from within or without: the force along it is the pressure for a length times the
/// radius. Checked: `tests/published.rs::a_rim_under_36_spokes`.
pub fn rim_compression(spokes: u32, tension: Force) -> Force {
    tension * (f64::from(spokes) / (2.0 * PI))
}
