//! Lever and caliper measured over their stroke: leverage where the pads bite, travel to get there, and the hand
//! force that a stop asks for. Begin with [`BrakeCurve::new`].
//!
//! These are figures to compare the brake as found with the brake as planned. They release no brake: the makers'
//! word on the pair and a test do.

use crate::monotone_curve::{CurveError, MonotoneCurve};
use quantity::{Force, Length, Mass};
use std::fmt;

/// Why readings make no brake.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BrakeError {
    /// The readings of the lever.
    Lever(CurveError),
    /// The readings of the caliper.
    Caliper(CurveError),
    /// The pads do not meet the rim or rotor within the stroke that was read.
    DoesNotBite {
        /// Cable that it would take.
        cable: Length,
        /// Cable at the last reading of the lever.
        cable_read: Length,
    },
    /// A number that is none, or is not above 0.
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
    },
}

impl fmt::Display for BrakeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Lever(error) => write!(f, "lever: {error}"),
            Self::Caliper(error) => write!(f, "caliper: {error}"),
            Self::DoesNotBite { cable, cable_read } => {
                write!(f, "the pads need {cable:.1} of cable and the lever was read up to {cable_read:.1}")
            }
            Self::OutOfRange { what, found } => write!(f, "found {found} for {what}, which is out of range"),
        }
    }
}

impl std::error::Error for BrakeError {}

/// A lever and a caliper, each read at a few places of its stroke.
#[derive(Clone, Debug, PartialEq)]
pub struct BrakeCurve {
    /// Cable against finger travel, millimetres.
    lever: MonotoneCurve,
    /// Closing of both pads together against cable, millimetres.
    caliper: MonotoneCurve,
}

/// The brake where its pads meet the rim or rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bite {
    /// Finger travel up to there.
    pub finger: Length,
    /// Cable pulled up to there.
    pub cable: Length,
    /// Finger travel left up to the last reading of the lever.
    pub finger_left: Length,
    /// Millimetres of finger for one of cable there.
    pub lever: f64,
    /// Millimetres of cable for one of pad closing there.
    pub caliper: f64,
}

impl Bite {
    /// Force gain from the finger to the pads, `k_l k_c`, as [`crate::brakes::leverage`].
    pub fn gain(self) -> f64 {
        crate::brakes::leverage(self.lever, self.caliper)
    }
}

/// A stop by the front brake alone, and what carries it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Rider, bike and load.
    pub mass: Mass,
    /// Deceleration, m/s².
    pub deceleration_m_s2: f64,
    /// Friction of pad on rim or rotor.
    pub friction: f64,
    /// Radius at which the pads hold: the braking track, or the middle of the rotor's.
    pub pad_radius: Length,
    /// Rolling radius of the tyre.
    pub tyre_radius: Length,
    /// What of the finger's force the cable passes on, 1 for a cable without friction.
    pub passed_on: f64,
}

impl Stop {
    /// Force at the tyre: `m a`. Rises with both.
    pub fn tyre_force(self) -> Force {
        // Grams to kilograms.
        Force::newtons(self.mass.to_grams() * 1e-3 * self.deceleration_m_s2)
    }
}

impl BrakeCurve {
    /// A brake from readings of its lever (finger travel, cable) and of its caliper (cable, closing of both pads
    /// together). Rest is a reading by itself and is not given; three readings each are enough, more are better.
    ///
    /// # Errors
    /// [`BrakeError::Lever`] and [`BrakeError::Caliper`] for readings that do not rise from rest.
    pub fn new(lever: &[(Length, Length)], caliper: &[(Length, Length)]) -> Result<Self, BrakeError> {
        Ok(Self {
            lever: MonotoneCurve::rising(&from_rest(lever)).map_err(BrakeError::Lever)?,
            caliper: MonotoneCurve::rising(&from_rest(caliper)).map_err(BrakeError::Caliper)?,
        })
    }

    /// Finger travel for one of cable at a finger travel.
    ///
    /// `1/f'(x)`: force in the cable for one at the finger, friction left out. Infinity where the lever lies flat.
    pub fn lever_leverage(&self, finger: Length) -> f64 {
        1.0 / self.lever.slope(finger.to_mm())
    }

    /// Cable for one of pad closing at a length of cable.
    pub fn caliper_leverage(&self, cable: Length) -> f64 {
        1.0 / self.caliper.slope(cable.to_mm())
    }

    /// Where the pads bite, for the total gap of both pads and the cable that housing and ferrules take up.
    ///
    /// `cable = c⁻¹(gap) + seating`, `finger = f⁻¹(cable)`, with f and c the curves of lever and caliper. For even
    /// leverages it is [`crate::brakes::free_lever_travel`].
    ///
    /// Travel rises with gap and seating.
    ///
    /// # Errors
    /// [`BrakeError::DoesNotBite`] beyond the readings of either curve, where nothing is known;
    /// [`BrakeError::OutOfRange`] for a gap or a seating below 0.
    pub fn bite(&self, pad_gap: Length, seating: Length) -> Result<Bite, BrakeError> {
        for (what, found) in [("the gap of the pads", pad_gap.to_mm()), ("the seating", seating.to_mm())] {
            if !found.is_finite() || found < 0.0 {
                return Err(BrakeError::OutOfRange { what, found });
            }
        }
        let (_, finger_read) = self.lever.range();
        let (_, caliper_read) = self.caliper.range();
        let cable_read = Length::mm(self.lever.value(finger_read));
        let at_pads_mm = self.caliper.place_of(pad_gap.to_mm()).unwrap_or(f64::INFINITY);
        let cable = Length::mm(at_pads_mm) + seating;
        if cable > cable_read || at_pads_mm > caliper_read {
            return Err(BrakeError::DoesNotBite { cable, cable_read });
        }
        let finger = Length::mm(self.lever.place_of(cable.to_mm()).unwrap_or(f64::INFINITY));
        Ok(Bite {
            finger,
            cable,
            finger_left: Length::mm(finger_read) - finger,
            lever: self.lever_leverage(finger),
            caliper: self.caliper_leverage(Length::mm(at_pads_mm)),
        })
    }
}

/// Force at the finger for a stop with a brake of a given gain.
///
/// `m a r_t / (2 μ η G r_p)`: the work of the finger closes both pads together, so each presses with the finger's
/// force times gain G and what the cable passes on, η; both rub with μ at r_p.
///
/// Rises with mass, deceleration and tyre, falls with friction, gain, pad radius and what is passed on. It knows
/// nothing of wet rims, heat or a rear wheel that lifts.
///
/// # Errors
/// [`BrakeError::OutOfRange`] for a number that is none or is not above 0.
///
/// # Source
/// Work in is work out, and Coulomb friction. Pad on rim 0.45 at room temperature, 0.40 at 150 °F: R. L. Norton,
/// *Machine Design*, Case Study 4A. Checked on figures of practice: `tests/brakes.rs`.
pub fn hand_force(gain: f64, stop: Stop) -> Result<Force, BrakeError> {
    for (what, found) in [
        ("the gain", gain),
        ("the mass", stop.mass.to_grams()),
        ("the deceleration", stop.deceleration_m_s2),
        ("the friction", stop.friction),
        ("the radius at the pads", stop.pad_radius.to_mm()),
        ("the radius of the tyre", stop.tyre_radius.to_mm()),
        ("what the cable passes on", stop.passed_on),
    ] {
        above_nothing(what, found)?;
    }
    let hand = stop.tyre_force() * (1.0 / figure_of(gain, stop));
    above_nothing("the force at the finger", hand.to_newtons())?;
    Ok(hand)
}

/// Force at the tyre for one at the finger: `2 μ η G r_p / r_t`, what two luggage scales read.
///
/// The inverse of [`hand_force`].
///
/// # Errors
/// As [`hand_force`].
pub fn tyre_force_per_hand_force(gain: f64, stop: Stop) -> Result<f64, BrakeError> {
    hand_force(gain, stop)?;
    let figure = figure_of(gain, stop);
    above_nothing("the figure of the brake", figure)?;
    Ok(figure)
}

fn figure_of(gain: f64, stop: Stop) -> f64 {
    2.0 * stop.friction * stop.passed_on * gain * (stop.pad_radius.to_mm() / stop.tyre_radius.to_mm())
}

/// Numbers of a size that no brake has run out of digits on the way; what came out is named then.
fn above_nothing(what: &'static str, found: f64) -> Result<(), BrakeError> {
    if found.is_finite() && found > 0.0 { Ok(()) } else { Err(BrakeError::OutOfRange { what, found }) }
}

/// By how much a brake after the refit gains more than before, percent; negative is weaker.
///
/// `100 (G_after/G_before − 1)`. The hand force changes the other way: by `100 (G_before/G_after − 1)`.
pub fn gain_change_percent(before: f64, after: f64) -> f64 {
    (after / before - 1.0) * 100.0
}

fn from_rest(readings: &[(Length, Length)]) -> Vec<(f64, f64)> {
    let mut from_rest = vec![(0.0, 0.0)];
    from_rest.extend(readings.iter().map(|(one, other)| (one.to_mm(), other.to_mm())));
    from_rest
}
