//! The cage of the rear derailleur in the plane: where it stands in every gear for a chain of a given count.
//!
//! Begin with [`solve`]: for each ring and cog the cage angle, both pulleys, the gap, and whether the chain is
//! taut. [`window`] says which counts work, [`capacity`] what the cage truly takes up, [`largest_cog`] what this
//! hanger clears; [`Family`] stands in for the body dimensions nobody can measure, and [`calibrate`] narrows it by
//! three readings on the bike.
//!
//! Seen from the drive side: the axle is the origin, x forward, y down, and angles turn the way the chain runs. A
//! cage angle is the direction from the guide pulley to the tension pulley: 0° points forward, 90° straight
//! down, 180° back. The spring turns the cage to larger angles. The chapter is `docs/mechanics.md`.

mod calibration;
mod closure;
mod error;
mod families;
mod geometry;
mod solution;
mod window;

pub use calibration::{Calibrated, LevelReading, Readings, calibrate};
pub use closure::BackLimit;
pub use error::{Between, CageError};
pub use families::{Dimension, Family, LONG, MEDIUM, SHORT, WIDE};
pub use solution::{Hold, PairState, Place, Solution, cage_angle, path_length, solve, solve_pair};
pub use window::{
    Capacity, Change, Counts, Effect, PairWindow, Rule, RulePlaced, Stand, Window, capacity, effect,
    largest_cog, pair_window, place_rules, window, window_over,
};

use quantity::{Angle, Force, Length, Pitches, Teeth, Torque};
use std::f64::consts::PI;

/// Most rings that a [`Drivetrain`] may have.
pub const MOST_RINGS: usize = 3;

/// Most cogs that a [`Drivetrain`] may have.
pub const MOST_COGS: usize = 13;

/// A cage angle is within this of the true root, or to the last digits of the chain length where the arm is small.
pub const TOLERANCE: Angle = Angle::deg(1e-9);

/// Height of the side plates of a chain: two runs whose pins are nearer than this touch. From memory, 8.2 to 8.8.
pub const CHAIN_HEIGHT: Length = Length::mm(8.5);

/// The cage keeps this much from the angle at which the chain is straight: there the length stands still, and
/// within a third of a degree the polygon form even turns back by microns.
pub const STRAIGHT_KEPT: Angle = Angle::deg(1.0);

/// The least arm of the chain at the cage that still counts as turning it.
pub const ARM_LEAST: Length = Length::mm(1.0);

/// How far the cage reaches beyond the pins that lie on the tension pulley: half a chain and the edge of the
/// plate. From memory.
pub const CAGE_EDGE: Length = Length::mm(5.0);

/// What the frame gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Bottom bracket centre to axle.
    pub chainstay: Length,
    /// How far the bottom bracket lies below the axle.
    pub bracket_drop: Length,
    /// How far the hanger bolt lies below the axle.
    pub hanger_drop: Length,
    /// How far the hanger bolt lies behind the axle.
    pub hanger_behind: Length,
}

/// Rings and cogs on a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drivetrain<'a> {
    /// The frame.
    pub frame: Frame,
    /// The rings, in any order; at most [`MOST_RINGS`].
    pub rings: &'a [Teeth],
    /// The cogs as they stand on the hub, smallest first; at most [`MOST_COGS`].
    pub cogs: &'a [Teeth],
    /// Middle of a cog to the middle of the next.
    pub cog_pitch: Length,
}

/// One ring and one cog.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gear {
    /// The ring.
    pub ring: Teeth,
    /// The cog.
    pub cog: Teeth,
    /// How far the cog stands inward of the smallest one.
    pub inward: Length,
}

/// The teeth of a pulley: 9 to 20.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pulley(u8);

impl Pulley {
    /// 11 teeth, as most pulleys have.
    pub const ELEVEN: Self = Self(11);
    /// 13 teeth.
    pub const THIRTEEN: Self = Self(13);

    /// A pulley; `None` outside 9 to 20 teeth.
    pub const fn new(teeth: u8) -> Option<Self> {
        if 9 <= teeth && teeth <= 20 { Some(Self(teeth)) } else { None }
    }

    /// Its teeth, as a number to calculate with.
    pub fn to_f64(self) -> f64 {
        f64::from(self.0)
    }
}

/// A rear derailleur: what can be measured on it, and the body dimensions that a [`Family`] fills in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Derailleur {
    /// The guide pulley, the upper one.
    pub guide: Pulley,
    /// The tension pulley, the lower one.
    pub tension: Pulley,
    /// Centre of one pulley to the centre of the other.
    pub pulleys_apart: Length,
    /// Cage pivot to the centre of the guide pulley; 0 where they share an axis.
    pub guide_offset: Length,
    /// Direction of that offset, turned from the direction of the cage.
    pub guide_offset_angle: Angle,
    /// Hanger bolt to cage pivot on the smallest cog, in the plane.
    pub reach: Length,
    /// Direction of that line with the body-angle screw out.
    pub body_angle: Angle,
    /// Steepness of the path: its tangent is the way in the plane for a millimetre inward.
    pub slant: Angle,
    /// Direction in the plane in which the pivot moves as it goes inward, with the body-angle screw out.
    pub slant_direction: Angle,
    /// How far one turn of the body-angle screw turns the body back.
    pub screw_per_turn: Angle,
    /// Turns that the screw stands in.
    pub screw_turns: f64,
    /// Turns that it can stand in at most.
    pub screw_turns_most: f64,
    /// The cage angle at the forward stop, with the screw out.
    pub stop_forward: Angle,
    /// The cage angle at the back stop, where the cage rests without a chain, with the screw out.
    pub stop_back: Angle,
}

impl Derailleur {
    pub(crate) fn screw_angle_rad(&self) -> f64 {
        self.screw_per_turn.to_rad() * self.screw_turns
    }

    /// The stops stand on the body, so the screw turns them too.
    pub(crate) fn stops(&self) -> Stops {
        let screw_rad = self.screw_angle_rad();
        Stops {
            forward_rad: self.stop_forward.to_rad() + screw_rad,
            back_rad: self.stop_back.to_rad() + screw_rad,
        }
    }
}

/// The cage angles of the two stops.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stops {
    pub(crate) forward_rad: f64,
    pub(crate) back_rad: f64,
}

impl Stops {
    fn forward(self) -> Angle {
        Angle::rad(self.forward_rad)
    }

    fn back(self) -> Angle {
        Angle::rad(self.back_rad)
    }
}

/// Pull in the chain that the cage spring gives.
///
/// `T = M / a`, with a the arm of the gear ([`PairState::arm`]). Rises with the torque, falls with the arm.
pub fn spring_pull(torque: Torque, arm: Length) -> Force {
    Force::newtons(torque.to_newton_metres() * 1000.0 / arm.to_mm())
}

/// Tooth tips of a sprocket: `p/2 · (0.6 + cot(π/N))`.
///
/// Rises with the teeth; about 3 mm more than the pitch radius.
///
/// # Source
/// The usual outside diameter of roller-chain sprockets, from memory (ISO 606 gives a range around it).
pub fn tip_radius(teeth: Teeth) -> Length {
    Length::mm(tip_mm(teeth.to_f64()))
}

fn tip_mm(teeth: f64) -> f64 {
    Pitches::MM / 2.0 * (0.6 + 1.0 / (PI / teeth).tan())
}

impl Frame {
    /// A frame of which only the chainstay is known: bottom bracket 70 mm below the axle, hanger bolt 28 mm below
    /// and 9 mm behind it. Common practice, from memory; measure the hanger where a verdict hangs on it.
    pub const fn usual(chainstay: Length) -> Self {
        Self {
            chainstay,
            bracket_drop: Length::mm(70.0),
            hanger_drop: Length::mm(28.0),
            hanger_behind: Length::mm(9.0),
        }
    }
}

impl Drivetrain<'_> {
    /// The gear of a ring and a cog, counted from 0; `None` outside the drivetrain.
    pub fn gear(&self, ring_idx: usize, cog_idx: usize) -> Option<Gear> {
        let (ring, cog) = (*self.rings.get(ring_idx)?, *self.cogs.get(cog_idx)?);
        Some(Gear { ring, cog, inward: self.cog_pitch * cog_idx as f64 })
    }

    pub(crate) fn counted(&self) -> Result<(usize, usize), CageError> {
        let (rings, cogs) = (self.rings.len(), self.cogs.len());
        if (1..=MOST_RINGS).contains(&rings) && (1..=MOST_COGS).contains(&cogs) {
            Ok((rings, cogs))
        } else {
            Err(CageError::Sprockets { rings, cogs })
        }
    }
}
