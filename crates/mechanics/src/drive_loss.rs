//! What a chain drive loses, for comparing one gear with another. Begin with [`loss_share`].
//!
//! The numbers come from published rigs that differ by more than a point among themselves. They rank gears; they
//! are no promise of watts, and the chain's care matters more than its teeth.

use quantity::{Angle, Force, Power, Teeth};
use std::fmt;

/// Least tension of the measurements, newtons. Below it nothing is said.
pub const TENSION_LEAST: Force = Force::newtons(76.2);

/// Greatest tension of the measurements, newtons. Beyond it the line would cross to a gain.
pub const TENSION_MOST: Force = Force::newtons(305.0);

/// Share lost at [`TENSION_LEAST`], the worst of the published range.
///
/// # Source
/// J. B. Spicer and others, *Effects of frictional loss on bicycle chain drive efficiency*, Journal of Mechanical
/// Design 123(4), 2001: 80.9 to 98.6 %; that the ends belong to these tensions is from memory.
pub const LOSS_AT_LEAST_TENSION: f64 = 0.191;

/// Share lost at [`TENSION_MOST`], the best of the published range. Source as [`LOSS_AT_LEAST_TENSION`].
pub const LOSS_AT_MOST_TENSION: f64 = 0.014;

/// Ring and cog that the line is taken for: a middle drive of the measurements. Assumed.
pub const LINE_RING_AND_COG: (f64, f64) = (52.0, 15.0);

/// Share lost for each degree that the chain runs askew. Assumed small: one rig found none, another found that it
/// rises with the angle and stays below the bends.
pub const LOSS_PER_DEGREE: f64 = 0.001;

/// How far off a share may be, as a share of the power: published losses at 200 to 250 W lie within 0.016 of ours.
/// At low tension there is one source only, so the error there is not known and may be larger.
pub const UNCERTAINTY: f64 = 0.020;

/// A gear as it is pedalled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drive {
    /// Teeth of the ring.
    pub ring: Teeth,
    /// Teeth of the cog.
    pub cog: Teeth,
    /// Power at the crank.
    pub power: Power,
    /// Turns of the crank in a minute.
    pub cadence_rpm: f64,
    /// How far the chain runs askew, either way.
    pub askew: Angle,
}

/// What a drive loses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DriveLoss {
    /// Tension of the upper run.
    pub tension: Force,
    /// Share of the power that is lost; off by [`UNCERTAINTY`] either way.
    pub share: f64,
    /// The same in watts.
    pub lost: Power,
}

/// Why a loss is not told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LossError {
    /// A tension that was not measured.
    BeyondTheMeasurements {
        /// Tension of the chain.
        tension: Force,
    },
    /// A number that is none or is not above 0.
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
    },
}

impl fmt::Display for LossError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BeyondTheMeasurements { tension } => write!(
                f,
                "a chain tension of {tension:.0} was not measured; wanted {TENSION_LEAST:.0} to {TENSION_MOST:.0}"
            ),
            Self::OutOfRange { what, found } => write!(f, "found {found} for {what}, which is out of range"),
        }
    }
}

impl std::error::Error for LossError {}

/// Tension of the upper run: `P/(N p n)`, with N the teeth of the ring, p the pitch and n the turns in a second.
///
/// Rises with the power, falls with ring and cadence; the cog does not enter.
///
/// # Errors
/// [`LossError::OutOfRange`] for a power or a cadence that is not above 0.
///
/// # Source
/// Work over way; 302.8 N for 200 W, 60 rpm and 52 teeth: `tests/losses.rs::tensions_by_hand`.
pub fn chain_tension(power: Power, ring: Teeth, cadence_rpm: f64) -> Result<Force, LossError> {
    for (what, found) in [("the power", power.to_watts()), ("the cadence", cadence_rpm)] {
        if !found.is_finite() || found <= 0.0 {
            return Err(LossError::OutOfRange { what, found });
        }
    }
    let metres_a_second = ring.to_f64() * quantity::Pitches::MM / 1000.0 * cadence_rpm / 60.0;
    Ok(Force::newtons(power.to_watts() / metres_a_second))
}

/// Share of the power that a chain drive loses, for comparison only.
///
/// `(a/T + b) · (1/N + 1/n)/(1/52 + 1/15) + c |φ|`: the line through both ends of the published range in 1/T, scaled
/// by how sharply ring and cog bend the chain, and a small term for a chain that runs askew.
///
/// Falls with tension and with either tooth count at one tension; rises with the angle. At one power it rises with
/// cadence; a larger ring at one ratio loses less by its bends and more by its lower tension. Wear, dirt and
/// grease are not in it.
///
/// # Errors
/// [`LossError::BeyondTheMeasurements`] outside [`TENSION_LEAST`] to [`TENSION_MOST`]; [`LossError::OutOfRange`].
///
/// # Source
/// The range and its shape: Spicer and others as above. The form in 1/N is from a published discussion of it.
/// Compared with three more rigs in `tests/losses.rs::other_rigs_lie_within_the_uncertainty`.
pub fn loss_share(drive: &Drive) -> Result<DriveLoss, LossError> {
    let tension = chain_tension(drive.power, drive.ring, drive.cadence_rpm)?;
    if tension < TENSION_LEAST || tension > TENSION_MOST {
        return Err(LossError::BeyondTheMeasurements { tension });
    }
    if !drive.askew.to_deg().is_finite() {
        return Err(LossError::OutOfRange { what: "the angle of the chain", found: drive.askew.to_deg() });
    }
    let (one_least, one_most) = (1.0 / TENSION_LEAST.to_newtons(), 1.0 / TENSION_MOST.to_newtons());
    let along = (1.0 / tension.to_newtons() - one_most) / (one_least - one_most);
    let line = LOSS_AT_MOST_TENSION + along * (LOSS_AT_LEAST_TENSION - LOSS_AT_MOST_TENSION);
    let (line_ring, line_cog) = LINE_RING_AND_COG;
    let bends = 1.0 / drive.ring.to_f64() + 1.0 / drive.cog.to_f64();
    let share =
        line * bends / (1.0 / line_ring + 1.0 / line_cog) + LOSS_PER_DEGREE * drive.askew.to_deg().abs();
    Ok(DriveLoss { tension, share, lost: drive.power * share })
}

/// Whether one drive loses less than another by more than the model can be wrong between them.
///
/// Both shares move together when the line is off, so what counts is the difference against half of
/// [`UNCERTAINTY`]; within it nothing is said.
///
/// # Source
/// Our judgement; no rig reports how its errors go together.
pub fn loses_less(one: &DriveLoss, other: &DriveLoss) -> Option<bool> {
    let difference = one.share - other.share;
    (difference.abs() > UNCERTAINTY / 2.0).then_some(difference < 0.0)
}
