//! Wrench settings with an extension, preload from torque, and the order in which a clamp is tightened.
//! Begin with [`wrench_setting`].
//!
//! The figure on the component wins over every figure worked out here.

use quantity::{Angle, Force, Length, Torque};
use std::f64::consts::PI;
use std::fmt;

/// Why a bolt cannot be told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BoltError {
    /// An extension that leads back to the hand or behind it: no setting gives the torque.
    NoLeverArm {
        /// From the hand to the square drive.
        wrench: Length,
        /// Reach of the extension along the wrench, negative toward the hand.
        extension_along: Length,
    },
    /// A number that is none, or is not above 0.
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
    },
}

impl fmt::Display for BoltError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoLeverArm { wrench, extension_along } => write!(
                f,
                "a wrench of {wrench:.0} with {extension_along:.0} of extension along it has no arm to the bolt"
            ),
            Self::OutOfRange { what, found } => write!(f, "found {found} for {what}, which is out of range"),
        }
    }
}

impl std::error::Error for BoltError {}

/// What to set on a torque wrench with an extension, to have the torque at the bolt.
///
/// `S = T L/(L + E cos q)`, with L from the middle of the grip to the square drive, E from there to the bolt and
/// q the angle between extension and wrench: 0° straight on, 90° square, 180° back toward the hand.
///
/// Falls with the extension while it points forward, rises while it points back; T for an angle of 90° or no
/// extension; q and −q are alike. The hand has to stay on the middle of the grip.
///
/// # Errors
/// [`BoltError::OutOfRange`] for a torque, a wrench or an extension below 0 or no number;
/// [`BoltError::NoLeverArm`] for an extension that leads back to the hand.
///
/// # Source
/// Lever law; US Army TM 5-3810-305-23 and three more printed examples: `tests/bolts.rs::printed_settings`. Square
/// on, no correction: NAVEDTRA 14008.
///
/// # Example
/// ```
/// use mechanics::bolts::wrench_setting;
/// use quantity::{Angle, Length, Torque};
/// let crowfoot = wrench_setting(Torque::newton_metres(40.0), Length::mm(300.0), Length::mm(50.0), Angle::deg(0.0))?;
/// assert_eq!(format!("{crowfoot:.1}"), "34.3 N·m");
/// # Ok::<(), mechanics::bolts::BoltError>(())
/// ```
pub fn wrench_setting(
    torque: Torque,
    wrench: Length,
    extension: Length,
    angle: Angle,
) -> Result<Torque, BoltError> {
    at_least_0("the torque", torque.to_newton_metres())?;
    above_0("the wrench", wrench.to_mm())?;
    at_least_0("the extension", extension.to_mm())?;
    let along_mm = along_wrench_mm(extension, angle)?;
    let arm_mm = wrench.to_mm() + along_mm;
    if arm_mm <= 0.0 {
        return Err(BoltError::NoLeverArm { wrench, extension_along: Length::mm(along_mm) });
    }
    Ok(torque * (wrench.to_mm() / arm_mm))
}

/// Torque at the bolt for what a wrench with an extension shows: the inverse of [`wrench_setting`].
///
/// # Errors
/// As [`wrench_setting`].
pub fn torque_at_bolt(
    shown: Torque,
    wrench: Length,
    extension: Length,
    angle: Angle,
) -> Result<Torque, BoltError> {
    let for_one = wrench_setting(Torque::newton_metres(1.0), wrench, extension, angle)?;
    at_least_0("the torque", shown.to_newton_metres())?;
    Ok(shown * (1.0 / for_one.to_newton_metres()))
}

/// Condition of a bolt, with its nut factor K.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Condition {
    /// Not plated, black.
    Black,
    /// Zinc on steel.
    ZincPlated,
    /// Oiled or greased.
    Lubricated,
    /// Cadmium on steel.
    CadmiumPlated,
    /// Anti-seize paste of the named kinds.
    AntiSeize,
    /// Special grip nuts.
    SpecialNut,
}

impl Condition {
    /// Every condition, the driest first.
    pub const ALL: [Self; 6] = [
        Self::Black,
        Self::ZincPlated,
        Self::Lubricated,
        Self::CadmiumPlated,
        Self::AntiSeize,
        Self::SpecialNut,
    ];

    /// Nut factor.
    ///
    /// # Source
    /// *Shigley's Mechanical Engineering Design*, 9th ed., Table 8-15, p. 439.
    pub fn nut_factor(self) -> f64 {
        match self {
            Self::Black => 0.30,
            Self::ZincPlated => 0.20,
            Self::Lubricated => 0.18,
            Self::CadmiumPlated => 0.16,
            Self::AntiSeize => 0.12,
            Self::SpecialNut => 0.09,
        }
    }
}

/// Scatter of the preload with a torque wrench, as a share to each side; articles on fasteners give 30 %. Ten
/// lubricated bolts in a handbook table scattered by 8 % (one standard deviation).
pub const PRELOAD_SCATTER: f64 = 0.30;

/// A preload with what it may come out at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Preload {
    /// The least to expect.
    pub least: Force,
    /// By the formula.
    pub likely: Force,
    /// The most to expect.
    pub most: Force,
}

/// Clamping force of a bolt tightened to a torque.
///
/// `F = T/(K d)`, and the scatter to each side of it.
///
/// Rises with the torque, falls with nut factor and diameter. Grease on a bolt whose torque is given dry
/// raises the force by the ratio of the factors: 0.30 to 0.18 is two thirds more.
///
/// # Errors
/// [`BoltError::OutOfRange`] for a torque below 0, a factor or a diameter that is not above 0, or a scatter outside
/// 0 to 1.
///
/// # Source
/// *Shigley's Mechanical Engineering Design*, 9th ed., eq. 8-27; examples in `tests/bolts.rs`.
pub fn preload(
    torque: Torque,
    nut_factor: f64,
    diameter: Length,
    scatter: f64,
) -> Result<Preload, BoltError> {
    at_least_0("the torque", torque.to_newton_metres())?;
    above_0("the nut factor", nut_factor)?;
    above_0("the diameter", diameter.to_mm())?;
    if !(0.0..1.0).contains(&scatter) {
        return Err(BoltError::OutOfRange { what: "the scatter", found: scatter });
    }
    let likely = Force::newtons(torque.to_newton_metres() * 1000.0 / (nut_factor * diameter.to_mm()));
    Ok(Preload { least: likely * (1.0 - scatter), likely, most: likely * (1.0 + scatter) })
}

/// Torque for a clamping force: `T = K F d`, the inverse of [`preload`].
///
/// # Errors
/// As [`preload`].
pub fn torque_for(preload: Force, nut_factor: f64, diameter: Length) -> Result<Torque, BoltError> {
    at_least_0("the preload", preload.to_newtons())?;
    above_0("the nut factor", nut_factor)?;
    above_0("the diameter", diameter.to_mm())?;
    Ok(Torque::newton_metres(nut_factor * preload.to_newtons() * diameter.to_mm() / 1000.0))
}

/// Thread and friction of a bolt, for the nut factor from its parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreadFriction {
    /// Nominal diameter.
    pub diameter: Length,
    /// Mean diameter of the thread, between nominal and root.
    pub mean_diameter: Length,
    /// Distance of the threads.
    pub pitch: Length,
    /// Friction in the thread.
    pub thread: f64,
    /// Friction under the head.
    pub head: f64,
}

/// Nut factor from thread and friction.
///
/// `K = (d_m/2d) (tan λ + f sec α)/(1 − f tan λ sec α) + 0.625 f_c`, with `tan λ = p/(π d_m)` and α = 30°.
///
/// Rises with both frictions. Near 0.2 for a friction of 0.15 whatever the size: that is why a table of factors
/// without sizes is of use.
///
/// # Errors
/// [`BoltError::OutOfRange`] for a length or a friction that is none or below 0.
///
/// # Source
/// *Shigley's Mechanical Engineering Design*, 9th ed., eq. 8-26 (form from memory; its Example 8-3 recomputed:
/// `tests/bolts.rs::shigley_example_8_3`).
pub fn nut_factor(bolt: ThreadFriction) -> Result<f64, BoltError> {
    above_0("the diameter", bolt.diameter.to_mm())?;
    above_0("the mean diameter", bolt.mean_diameter.to_mm())?;
    above_0("the pitch", bolt.pitch.to_mm())?;
    at_least_0("the friction in the thread", bolt.thread)?;
    at_least_0("the friction under the head", bolt.head)?;
    let mean_mm = bolt.mean_diameter.to_mm();
    let lead = bolt.pitch.to_mm() / (PI * mean_mm);
    let steeper = bolt.thread / Angle::deg(30.0).to_rad().cos();
    let grip = 1.0 - lead * steeper;
    above_0("what the thread leaves to turn", grip)?;
    Ok(mean_mm / (2.0 * bolt.diameter.to_mm()) * (lead + steeper) / grip + 0.625 * bolt.head)
}

/// Share of a bolt's proof load that a preload takes: `F/(A_t S_p)`.
///
/// Handbooks aim at 0.75 for joints that are opened again and 0.90 for others. Rises with the preload.
///
/// # Errors
/// [`BoltError::OutOfRange`] for an area or a strength that is not above 0.
///
/// # Source
/// *Shigley's Mechanical Engineering Design*, 9th ed., §8-9.
pub fn proof_share(preload: Force, stress_area_mm2: f64, proof_mpa: f64) -> Result<f64, BoltError> {
    at_least_0("the preload", preload.to_newtons())?;
    above_0("the stress area", stress_area_mm2)?;
    above_0("the proof strength", proof_mpa)?;
    Ok(preload.to_newtons() / (stress_area_mm2 * proof_mpa))
}

/// Bolts of a clamp, numbered as they sit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clamp {
    /// Two bolts: 1 and 2.
    Two,
    /// Four bolts around a face plate: 1 and 2 on top from left to right, 3 and 4 below them.
    Four,
}

impl Clamp {
    /// The bolts in the order of one round: across, so that the plate closes evenly.
    pub fn round(self) -> &'static [u8] {
        match self {
            Self::Two => &[1, 2],
            Self::Four => &[1, 4, 2, 3],
        }
    }
}

/// One turn of the wrench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrenchTurn {
    /// The bolt, see [`Clamp`].
    pub bolt: u8,
    /// To what it is tightened.
    pub torque: Torque,
    /// Whether this round is repeated until no bolt moves any more.
    pub until_still: bool,
}

/// The turns that close a clamp evenly: a round at a quarter, one at half and one at the full torque, the last
/// repeated until no bolt moves: tightening one bolt lets the others off.
///
/// # Errors
/// [`BoltError::OutOfRange`] for a torque that is not above 0.
///
/// # Source
/// Common practice.
pub fn even_tightening(clamp: Clamp, torque: Torque) -> Result<impl Iterator<Item = WrenchTurn>, BoltError> {
    above_0("the torque", torque.to_newton_metres())?;
    let rounds = [0.25, 0.5, 1.0];
    Ok(rounds.into_iter().flat_map(move |share| {
        clamp.round().iter().map(move |bolt| WrenchTurn {
            bolt: *bolt,
            torque: torque * share,
            until_still: share == 1.0,
        })
    }))
}

/// Reach of an extension along its wrench; exactly 0 when it is square on, so that no correction is none.
fn along_wrench_mm(extension: Length, angle: Angle) -> Result<f64, BoltError> {
    if !angle.to_deg().is_finite() {
        return Err(BoltError::OutOfRange { what: "the angle", found: angle.to_deg() });
    }
    let is_square = (angle.to_deg() / 90.0).rem_euclid(2.0) == 1.0;
    Ok(if is_square { 0.0 } else { extension.to_mm() * angle.to_rad().cos() })
}

fn at_least_0(what: &'static str, found: f64) -> Result<(), BoltError> {
    if found.is_finite() && found >= 0.0 { Ok(()) } else { Err(BoltError::OutOfRange { what, found }) }
}

fn above_0(what: &'static str, found: f64) -> Result<(), BoltError> {
    if found.is_finite() && found > 0.0 { Ok(()) } else { Err(BoltError::OutOfRange { what, found }) }
}
