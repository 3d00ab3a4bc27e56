//! The cage angle at which a given chain is taut, and how far the cage can go either way.
//!
//! Begin with [`Limits::of`]; [`close`] finds the angle between them.

use super::geometry::{Path, Rig};
use super::{ARM_LEAST, CageError, STRAIGHT_KEPT, TOLERANCE};
use quantity::{Length, Pitches};

/// Steps after which the search for a cage angle gives up. Bisection alone needs 50.
const STEPS: usize = 100;

/// What holds the cage from going further back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BackLimit {
    /// The stop of the cage.
    Stop,
    /// The chain would lie on itself under the guide pulley.
    Chain,
    /// The guide pulley, which swings with the cage, would mesh with the cog.
    Cog,
}

/// The two ends of the cage's working range in one gear.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    pub(super) forward: Path,
    pub(super) back: Path,
    pub(super) back_by: BackLimit,
}

impl Limits {
    /// The working range.
    ///
    /// Forward it ends at the stop, or a little before the chain is straight, or where the chain has no arm left
    /// to turn the cage with. Back it ends at the stop, or where the chain lies on itself, or where the guide pulley meets the cog.
    pub(super) fn of(rig: &Rig) -> Result<Self, CageError> {
        let touching = rig.touching_rad()?;
        let (mut back_rad, mut back_by) = (rig.stops.back_rad, BackLimit::Stop);
        if touching < back_rad {
            (back_rad, back_by) = (touching, BackLimit::Chain);
        }
        if let Some(meshing) = rig.meshing_rad().filter(|meshing| *meshing < back_rad) {
            (back_rad, back_by) = (meshing, BackLimit::Cog);
        }
        let forward_rad = rig.stops.forward_rad.max(rig.straight_rad()? + STRAIGHT_KEPT.to_rad());
        if forward_rad >= back_rad {
            return Err(match back_by {
                // The pulley stands in the cog wherever the cage is: that is no matter of chain.
                BackLimit::Cog => rig.meshed(forward_rad),
                BackLimit::Stop | BackLimit::Chain => CageError::NoRoom,
            });
        }
        let back = rig.path(back_rad)?;
        let forward = match rig.path(forward_rad)? {
            taut if taut.arm_mm >= ARM_LEAST.to_mm() => taut,
            _ => where_the_arm_begins(rig, forward_rad, &back)?,
        };
        if forward.length_mm >= back.length_mm {
            return Err(CageError::NoRoom);
        }
        Ok(Self { forward, back, back_by })
    }
}

/// With a guide pulley far off the pivot the path can grow again before the chain is straight: the cage then stops
/// where the chain no longer turns it.
fn where_the_arm_begins(rig: &Rig, forward_rad: f64, back: &Path) -> Result<Path, CageError> {
    if back.arm_mm < ARM_LEAST.to_mm() {
        return Err(CageError::NoRoom);
    }
    let (mut without, mut with) = (forward_rad, back.cage_rad);
    for _ in 0..STEPS {
        let middle = without + (with - without) / 2.0;
        if rig.path(middle)?.arm_mm < ARM_LEAST.to_mm() {
            without = middle;
        } else {
            with = middle;
        }
        if with - without <= TOLERANCE.to_rad() {
            break;
        }
    }
    rig.path(with)
}

/// The path at which a chain of this length is taut.
///
/// Newton steps with the exact arm, kept inside a bracket and halved where they leave it, to [`TOLERANCE`].
pub(super) fn close(rig: &Rig, limits: &Limits, wanted_mm: f64) -> Result<Path, CageError> {
    let (least_mm, most_mm) = (limits.forward.length_mm, limits.back.length_mm);
    if !wanted_mm.is_finite() {
        return Err(CageError::NotFinite { found: wanted_mm });
    }
    let fitted = Pitches::new(wanted_mm / Pitches::MM);
    if wanted_mm < least_mm - ROUNDING_MM {
        return Err(CageError::TooShort { fitted, least: Pitches::new(least_mm / Pitches::MM) });
    }
    if wanted_mm > most_mm + ROUNDING_MM {
        return Err(CageError::TooLong { fitted, most: Pitches::new(most_mm / Pitches::MM) });
    }
    let (mut low, mut high) = (limits.forward.cage_rad, limits.back.cage_rad);
    let share = (wanted_mm - least_mm) / (most_mm - least_mm);
    let mut cage_rad = (low + (high - low) * share).clamp(low, high);
    for _ in 0..STEPS {
        let path = rig.path(cage_rad)?;
        let over_mm = path.length_mm - wanted_mm;
        if over_mm > 0.0 {
            high = cage_rad;
        } else {
            low = cage_rad;
        }
        let newton = cage_rad - over_mm / path.arm_mm;
        // NaN is inside nothing, so an arm of 0 falls back to halving.
        let next = if low <= newton && newton <= high { newton } else { low + (high - low) / 2.0 };
        if (next - cage_rad).abs() <= TOLERANCE.to_rad() {
            // So small a step moves the length along its tangent.
            let length_mm = path.length_mm + path.arm_mm * (next - cage_rad);
            return Ok(Path { cage_rad: next, length_mm, ..path });
        }
        cage_rad = next;
    }
    Err(CageError::NotConverged { steps: STEPS })
}

/// A chain that an end of the range takes exactly must not be refused by the last digit of its length.
const ROUNDING_MM: f64 = Length::mm(1e-9).to_mm();
