//! The brakes: gain, free travel and hand force before and after, and the rotors on their mounts.

use super::middle_and_tolerance;
use fit::geometry::Brakes;
use fit::geometry::brakes::{Pair, Rotor};
use schemars::JsonSchema;
use serde::Serialize;

/// The brakes before and after; figures to compare, they release no brake.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BrakesDocument {
    /// As found.
    pub before: Option<PairDocument>,
    /// After the refit.
    pub after: Option<PairDocument>,
    /// Change of the gain and its tolerance, percent.
    pub change_percent: Option<[f64; 2]>,
    /// What the front tyre gives in the stop that they are compared at, newtons.
    pub tyre_force_n: f64,
    /// Rotors on their mounts.
    pub rotors: Vec<RotorDocument>,
}

/// Lever and caliper together; each number with its tolerance.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PairDocument {
    /// Force gain from the finger to the pads.
    pub gain: [f64; 2],
    /// Whether it comes from three readings each.
    pub from_curve: bool,
    /// Finger travel until the pads bite, millimetres.
    pub free_travel_mm: Option<[f64; 2]>,
    /// Hand force of the stop, newtons.
    pub hand_n: Option<[f64; 2]>,
    /// Tyre force for one at the hand, by the model.
    pub figure: Option<[f64; 2]>,
    /// The same by two scales.
    pub figure_read: Option<[f64; 2]>,
}

/// A rotor on its mount.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RotorDocument {
    /// Which wheel.
    pub wheel: &'static str,
    /// Diameter, millimetres.
    pub diameter_mm: f64,
    /// How far the caliper moves outward, millimetres.
    pub caliper_outward_mm: f64,
}

impl BrakesDocument {
    /// The document of the brakes.
    pub fn of(brakes: &Brakes) -> Self {
        Self {
            before: brakes.before.as_ref().map(pair),
            after: brakes.after.as_ref().map(pair),
            change_percent: brakes.change_percent.map(middle_and_tolerance),
            tyre_force_n: brakes.tyre_force_n,
            rotors: brakes.rotors.iter().map(rotor).collect(),
        }
    }
}

fn pair(pair: &Pair) -> PairDocument {
    PairDocument {
        gain: middle_and_tolerance(pair.gain),
        from_curve: pair.from_curve,
        free_travel_mm: pair.free_travel.map(middle_and_tolerance),
        hand_n: pair.hand.map(middle_and_tolerance),
        figure: pair.figure.map(middle_and_tolerance),
        figure_read: pair.figure_read.map(middle_and_tolerance),
    }
}

fn rotor(rotor: &Rotor) -> RotorDocument {
    RotorDocument {
        wheel: rotor.wheel,
        diameter_mm: rotor.diameter.middle(),
        caliper_outward_mm: rotor.outward.middle(),
    }
}
