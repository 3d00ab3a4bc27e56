//! What another crank length changes. Begin with [`equivalent_ring`].

use crate::chain::pitch_radius;
use quantity::{Length, Teeth};

/// The ring, in teeth with a fraction, that with the new crank feels as the old ring did with the old crank.
///
/// `F · L_new / L_old`: pedal travel per metre of road stays the same.
///
/// Rises with the ring and the new length, falls with the old length; F when the lengths are equal.
pub fn equivalent_ring(ring: Teeth, old: Length, new: Length) -> f64 {
    ring.to_f64() * new.to_mm() / old.to_mm()
}

/// Force on the pedal with the new crank for one unit with the old, in the same gear at the same torque.
///
/// `L_old / L_new`. Rises with the old length, falls with the new; 1 when they are equal.
pub fn pedal_force_factor(old: Length, new: Length) -> f64 {
    old.to_mm() / new.to_mm()
}

/// How much higher over the ground the pedal passes at the bottom of its stroke; negative is lower.
///
/// `L_old − L_new`. Rises with the old length, falls with the new.
pub fn pedal_clearance_gain(old: Length, new: Length) -> Length {
    old - new
}

/// How far the saddle must rise to keep the leg as straight at the bottom of the stroke; negative is down.
///
/// `L_old − L_new`. Rises with the old length, falls with the new.
pub fn saddle_rise(old: Length, new: Length) -> Length {
    old - new
}

/// Room for the bolts inside a ring: how far its pitch circle lies outside the bolt circle.
///
/// `r − D/2`, r the pitch radius and D the bolt circle.
///
/// Rises with the teeth, falls with the circle; negative when the bolts would stand in the chain. For the
/// smallest rings in use it lies between 10.6 and 15.9 mm: `catalog/tests/standards.rs`.
pub fn bolt_room(ring: Teeth, bolt_circle: Length) -> Length {
    pitch_radius(ring) - bolt_circle * 0.5
}

/// Length of the crank as a share of the inside length of the leg.
///
/// `L / l`. Rises with the crank, falls with the leg. A leg of length 0 gives infinity.
///
/// # Example
/// ```
/// use mechanics::crank::share_of_leg;
/// use quantity::Length;
/// assert_eq!(share_of_leg(Length::mm(170.0), Length::mm(850.0)), 0.2);
/// ```
pub fn share_of_leg(crank: Length, inseam: Length) -> f64 {
    crank.to_mm() / inseam.to_mm()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 38 teeth on 130 mm: 12.7 / (2 sin(π/38)) = 76.896 mm less 65 mm, worked out by hand.
    #[test]
    fn the_smallest_ring_of_the_130_circle_leaves_its_bolts_room() {
        assert!((bolt_room(Teeth::new(38).unwrap(), Length::mm(130.0)).to_mm() - 11.9).abs() < 0.01);
    }

    #[test]
    fn a_larger_circle_leaves_less_room() {
        let room = |mm| bolt_room(Teeth::new(38).unwrap(), Length::mm(mm));
        assert!(room(130.0) < room(110.0));
    }
}
