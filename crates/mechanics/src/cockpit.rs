//! Where the hands come to lie, and whether a bar goes into a stem. Begin with [`stem_reach`].
//!
//! x is forward and y is up, from the middle of the top of the steerer.

use quantity::{Angle, Length};

/// A place in the plane of the bike, from the top of the steerer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Forward, millimetres.
    pub x_mm: f64,
    /// Upward, millimetres.
    pub y_mm: f64,
}

/// Where a stem puts the middle of the bar clamp.
///
/// `x = L cos(a + 90° − θ) − s cos θ`, `y = L sin(a + 90° − θ) + s sin θ`, with L the length of the stem, a its
/// angle (0 is square to the steerer, negative points down), s the spacers under it and θ the head angle from
/// the horizontal.
///
/// While the stem points forward within 90° of level: x rises with the length and falls with the spacers; y
/// rises with the angle and the spacers. x falls with the angle above level and rises below it. Exact.
///
/// # Source
/// Geometry; figures worked by hand: `tests/cases.rs::stem_points`.
pub fn stem_reach(length: Length, angle: Angle, spacers: Length, head_angle: Angle) -> Point {
    let rise = (angle + Angle::deg(90.0) - head_angle).to_rad();
    let head = head_angle.to_rad();
    Point {
        x_mm: length.to_mm() * rise.cos() - spacers.to_mm() * head.cos(),
        y_mm: length.to_mm() * rise.sin() + spacers.to_mm() * head.sin(),
    }
}

/// Where the hand rests in the trough of the hood.
///
/// `x + bar reach + hood`, with the hood from the bar clamp of the lever to the trough; the height stays that
/// of the stem, so that two cockpits can be compared when bar shape and lever rotation are alike.
///
/// Rises with every argument.
pub fn hood_point(stem: Point, bar_reach: Length, hood: Length) -> Point {
    Point { x_mm: stem.x_mm + bar_reach.to_mm() + hood.to_mm(), y_mm: stem.y_mm }
}

/// How a bar sits in the clamp of a stem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ClampMatch {
    /// The same diameter.
    Same,
    /// The bar is smaller: a shim of this thickness over the full length of the clamp is needed.
    Shim {
        /// Thickness of the shim, half of the difference of the diameters.
        thickness: Length,
    },
    /// The bar is larger than the clamp. Nothing cures that but another stem or another bar.
    BarTooLarge {
        /// By how much the diameters differ.
        by: Length,
    },
}

/// How a bar sits in the clamp of a stem, both measured where they meet.
///
/// Diameters within `same_within` of each other are the same. It judges point values: for intervals evaluate
/// at their ends and join the answers. A diameter that is no number counts as too large.
///
/// # Source
/// Common practice: equal, or smaller with a full-length shim, never larger.
pub fn clamp_match(bar: Length, stem: Length, same_within: Length) -> ClampMatch {
    let over = bar - stem;
    if over.abs() <= same_within.abs() {
        ClampMatch::Same
    } else if over < Length::mm(0.0) {
        ClampMatch::Shim { thickness: over.abs() * 0.5 }
    } else {
        ClampMatch::BarTooLarge { by: over }
    }
}
