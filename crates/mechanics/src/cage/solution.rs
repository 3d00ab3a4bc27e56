//! Every gear of a drivetrain for one chain. Begin with [`solve`].

use super::closure::{BackLimit, Limits, close};
use super::geometry::{Path, Rig, Vector};
use super::{CAGE_EDGE, CageError, Derailleur, Drivetrain, Frame, Gear, MOST_COGS, MOST_RINGS};
use crate::chain;
use quantity::{Angle, Length, Pitches, Teeth};

/// A place in the plane of the drivetrain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// In front of the axle; negative is behind.
    pub forward: Length,
    /// Below the axle; negative is above.
    pub below: Length,
}

/// How the chain is held in a gear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// Taut, with the cage between its limits.
    Taut,
    /// The lower run lies on the chain around the guide pulley before the cage has taken all up.
    Touching {
        /// What is left over where it begins to touch.
        over: Length,
    },
    /// The cage rests at its back stop and chain hangs.
    Slack {
        /// What hangs.
        over: Length,
    },
    /// The guide pulley meshes with the cog before the cage has taken all up: its axis is off the pivot, and a
    /// long chain swings it there.
    Meshing {
        /// What is left over where the teeth meet.
        over: Length,
    },
    /// The chain does not reach: it locks the drivetrain and tears the derailleur.
    Overstretched {
        /// What is missing through the cage.
        short: Length,
        /// What is missing around ring and cog alone, with no derailleur at all; 0 where that would reach.
        short_around_sprockets: Length,
    },
}

/// One gear. A gear whose chain is not taut is shown with the cage at the limit it has reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairState {
    /// The ring.
    pub ring: Teeth,
    /// The cog.
    pub cog: Teeth,
    /// How the chain is held.
    pub hold: Hold,
    /// Direction from the guide pulley to the tension pulley.
    pub cage_angle: Angle,
    /// Centre of the guide pulley.
    pub guide: Place,
    /// Centre of the tension pulley.
    pub tension: Place,
    /// Tooth tip of the guide pulley to tooth tip of the cog; negative where they mesh.
    pub gap: Length,
    /// How far the lowest edge of the cage lies below the axle.
    pub lowest: Length,
    /// Arm with which the chain turns the cage: its length for a radian of cage.
    pub arm: Length,
    /// Chain that the cage could still take up before its back limit; negative when it hangs.
    pub take_up_left: Pitches,
    /// Chain that the cage could still give before its forward limit; negative when it is too short.
    pub give_left: Pitches,
    /// What ends the taking up.
    pub back_limit: BackLimit,
}

/// All gears for one chain: a state, or why there is none, for each ring and cog.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solution {
    pairs: [[Result<PairState, CageError>; MOST_COGS]; MOST_RINGS],
    rings: usize,
    cogs: usize,
}

impl Solution {
    /// The gear of a ring and a cog, counted from 0 in the order of the [`Drivetrain`]; `None` outside it.
    pub fn pair(&self, ring_idx: usize, cog_idx: usize) -> Option<Result<PairState, CageError>> {
        (ring_idx < self.rings && cog_idx < self.cogs).then(|| self.pairs[ring_idx][cog_idx])
    }

    /// All gears, ring by ring.
    pub fn pairs(&self) -> impl Iterator<Item = Result<PairState, CageError>> + '_ {
        self.pairs[..self.rings].iter().flat_map(|row| row[..self.cogs].iter().copied())
    }

    /// How far the lowest edge of the cage lies below the axle in the gear where it lies lowest; `None` unless
    /// every gear has a state.
    pub fn lowest(&self) -> Option<Length> {
        let all = self.pairs().map(|pair| pair.map(|state| state.lowest.to_mm()));
        all.reduce(|a, b| Ok(a?.max(b?))).and_then(Result::ok).map(Length::mm)
    }

    /// Whether the chain is taut in every gear.
    pub fn is_taut(&self) -> bool {
        self.pairs().all(|pair| matches!(pair, Ok(state) if state.hold == Hold::Taut))
    }
}

/// Where the cage stands in every gear for a chain of so many pitches.
///
/// The path is ring, tension pulley, guide pulley, cog: four straight spans `√(D² − q²)`, `q = s₂ r₂ − s₁ r₁`, and
/// on each wheel its teeth times the share of the turn that is wrapped. Its length grows with the cage angle
/// between the limits, so each gear has one angle at which it equals the chain; it is found to [`super::TOLERANCE`].
///
/// A longer chain turns every cage angle up; the gears do not depend on each other.
///
/// # Errors
/// [`CageError::Sprockets`] for no ring or cog or too many. A gear that has no geometry holds its own error.
///
/// # Source
/// Plane geometry. Checked against a second formulation under the root finders of a general numerical library:
/// `tests/cage_reference.rs`.
///
/// # Example
/// ```
/// use mechanics::cage::{Drivetrain, Frame, Hold, SHORT, solve};
/// use quantity::{Length, Pitches, Teeth};
/// let teeth = |counts: &[i64]| counts.iter().map(|n| Teeth::new(*n)).collect::<Result<Vec<_>, _>>();
/// let (rings, cogs) = (teeth(&[53, 39])?, teeth(&[11, 12, 13, 14, 15, 17, 19, 22, 25, 29, 34])?);
/// let frame = Frame::usual(Length::mm(405.0));
/// let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: Length::mm(3.74) };
/// let with_106 = solve(&SHORT.derailleur, &drivetrain, Pitches::new(106.0))?;
/// let Some(Ok(big_big)) = with_106.pair(0, 10) else { unreachable!() };
/// let Hold::Overstretched { short_around_sprockets, .. } = big_big.hold else { unreachable!() };
/// assert_eq!(format!("{short_around_sprockets:.0}"), "20 mm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn solve(
    derailleur: &Derailleur,
    drivetrain: &Drivetrain<'_>,
    count: Pitches,
) -> Result<Solution, CageError> {
    let (rings, cogs) = drivetrain.counted()?;
    let mut pairs = [[Err(CageError::NoRoom); MOST_COGS]; MOST_RINGS];
    for (ring_idx, row) in pairs.iter_mut().enumerate() {
        for (cog_idx, pair) in row.iter_mut().enumerate() {
            if let Some(gear) = drivetrain.gear(ring_idx, cog_idx) {
                *pair = solve_pair(derailleur, &drivetrain.frame, gear, count);
            }
        }
    }
    Ok(Solution { pairs, rings, cogs })
}

/// One gear of [`solve`].
///
/// # Errors
/// [`CageError`], but never `TooShort` or `TooLong`: such a gear has a state that says so.
pub fn solve_pair(
    derailleur: &Derailleur,
    frame: &Frame,
    gear: Gear,
    count: Pitches,
) -> Result<PairState, CageError> {
    let rig = Rig::new(derailleur, frame, gear)?;
    let limits = Limits::of(&rig)?;
    let wanted_mm = count.to_mm();
    let (path, hold) = match close(&rig, &limits, wanted_mm) {
        Ok(path) => (path, Hold::Taut),
        Err(CageError::TooShort { .. }) => {
            let around = chain::need(gear.ring, gear.cog, frame.chainstay).map_or(0.0, Pitches::to_mm);
            let short = Length::mm(limits.forward.length_mm - wanted_mm);
            let short_around_sprockets = Length::mm((around - wanted_mm).max(0.0));
            (limits.forward, Hold::Overstretched { short, short_around_sprockets })
        }
        Err(CageError::TooLong { .. }) => {
            let over = Length::mm(wanted_mm - limits.back.length_mm);
            let hold = match limits.back_by {
                BackLimit::Stop => Hold::Slack { over },
                BackLimit::Chain => Hold::Touching { over },
                BackLimit::Cog => Hold::Meshing { over },
            };
            (limits.back, hold)
        }
        Err(other) => return Err(other),
    };
    Ok(state(&rig, &limits, path, hold, gear, wanted_mm))
}

/// The chain that reaches through the cage at a given cage angle, whatever the limits.
///
/// Grows with the angle within the working range, the faster the longer the cage.
///
/// # Errors
/// [`CageError`] where the circles leave no path.
pub fn path_length(
    derailleur: &Derailleur,
    frame: &Frame,
    gear: Gear,
    cage_angle: Angle,
) -> Result<Pitches, CageError> {
    let path = Rig::new(derailleur, frame, gear)?.path(cage_angle.to_rad())?;
    Ok(Pitches::new(path.length_mm / Pitches::MM))
}

/// The cage angle at which a chain is taut in one gear.
///
/// The inverse of [`path_length`] within the working range.
///
/// # Errors
/// [`CageError::TooShort`] and [`CageError::TooLong`] beyond the limits of the cage; the others as for
/// [`solve_pair`].
pub fn cage_angle(
    derailleur: &Derailleur,
    frame: &Frame,
    gear: Gear,
    count: Pitches,
) -> Result<Angle, CageError> {
    let rig = Rig::new(derailleur, frame, gear)?;
    Ok(Angle::rad(close(&rig, &Limits::of(&rig)?, count.to_mm())?.cage_rad))
}

fn state(rig: &Rig, limits: &Limits, path: Path, hold: Hold, gear: Gear, wanted_mm: f64) -> PairState {
    let place = |at: Vector| Place { forward: Length::mm(at.x), below: Length::mm(at.y) };
    PairState {
        ring: gear.ring,
        cog: gear.cog,
        hold,
        cage_angle: Angle::rad(path.cage_rad),
        guide: place(path.guide),
        tension: place(path.tension),
        gap: Length::mm(rig.gap_mm(path.guide)),
        lowest: Length::mm(path.tension.y + rig.tension_radius_mm() + CAGE_EDGE.to_mm()),
        arm: Length::mm(path.arm_mm),
        take_up_left: Pitches::new((limits.back.length_mm - wanted_mm) / Pitches::MM),
        give_left: Pitches::new((wanted_mm - limits.forward.length_mm) / Pitches::MM),
        back_limit: limits.back_by,
    }
}
