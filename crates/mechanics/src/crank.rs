//! What another crank length changes. Begin with [`equivalent_ring`].

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
