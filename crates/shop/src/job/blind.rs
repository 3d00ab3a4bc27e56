//! The points that a second person measures without having seen the first values.
//!
//! Who sees a number writes that number; so the first values are kept from the second person until both are there.
//! How far two looks may differ is common practice: what two careful hands with the usual tool differ by.

use crate::check::Person;
use catalog::Slot;
use fit::Plan;

/// A point that is measured twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BlindPoint {
    /// Pitches of the chain.
    ChainPitches,
    /// Gap between guide pulley and largest cog.
    PulleyGap,
    /// Both pads of the front brake to rim or rotor, together.
    PadGapFront,
    /// Both pads of the rear brake to rim or rotor, together.
    PadGapRear,
    /// Left hood to the floor.
    HoodLeft,
    /// Right hood to the floor.
    HoodRight,
    /// Saddle to the middle of the bottom bracket.
    SaddleHeight,
    /// Clicks of the adjuster between two failed shifts, in a middle gear.
    ClickWindow,
}

/// First or second look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Look {
    /// By who did the work.
    First,
    /// By the second person.
    Second,
}

/// One look at a point.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The value in the unit of the point.
    pub value: f64,
    /// Who took it.
    pub by: Person,
}

impl BlindPoint {
    /// All points.
    pub const ALL: [Self; 8] = [
        Self::ChainPitches,
        Self::PulleyGap,
        Self::PadGapFront,
        Self::PadGapRear,
        Self::HoodLeft,
        Self::HoodRight,
        Self::SaddleHeight,
        Self::ClickWindow,
    ];

    /// The key in files.
    pub fn key(self) -> &'static str {
        match self {
            Self::ChainPitches => "chain-pitches",
            Self::PulleyGap => "pulley-gap",
            Self::PadGapFront => "pad-gap-front",
            Self::PadGapRear => "pad-gap-rear",
            Self::HoodLeft => "hood-left",
            Self::HoodRight => "hood-right",
            Self::SaddleHeight => "saddle-height",
            Self::ClickWindow => "click-window",
        }
    }

    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::ChainPitches => "pitches of the chain",
            Self::PulleyGap => "gap from guide pulley to largest cog",
            Self::PadGapFront => "pads of the front brake, both gaps together",
            Self::PadGapRear => "pads of the rear brake, both gaps together",
            Self::HoodLeft => "left hood to the floor",
            Self::HoodRight => "right hood to the floor",
            Self::SaddleHeight => "saddle to bottom bracket",
            Self::ClickWindow => "clicks between two failed shifts, middle gear",
        }
    }

    /// The unit of its values.
    pub fn unit(self) -> &'static str {
        match self {
            Self::ChainPitches => "pitches",
            Self::ClickWindow => "clicks",
            _ => "mm",
        }
    }

    /// How far two looks may differ; common practice.
    pub fn may_differ_by(self) -> f64 {
        match self {
            Self::ChainPitches => 0.0,
            Self::PulleyGap => 1.0,
            Self::PadGapFront | Self::PadGapRear => 0.5,
            Self::HoodLeft | Self::HoodRight => 3.0,
            Self::SaddleHeight => 2.0,
            Self::ClickWindow => 1.0,
        }
    }

    /// The least and the most that a hand can have read.
    pub fn plausible(self) -> (f64, f64) {
        match self {
            Self::ChainPitches => (40.0, 300.0),
            Self::PulleyGap => (0.0, 40.0),
            Self::PadGapFront | Self::PadGapRear => (0.0, 15.0),
            Self::HoodLeft | Self::HoodRight => (500.0, 1400.0),
            Self::SaddleHeight => (250.0, 1000.0),
            Self::ClickWindow => (0.0, 20.0),
        }
    }

    /// The points of a refit: those that it can have moved.
    pub fn of(plan: &Plan) -> Vec<Self> {
        let changes = |slots: &[Slot]| slots.iter().any(|slot| plan.build.choice.has(*slot));
        let drive = changes(&[
            Slot::Chain,
            Slot::Cassette,
            Slot::RearDerailleur,
            Slot::Crankset,
            Slot::Chainrings,
            Slot::Levers,
            Slot::Shifters,
        ]);
        let pads = changes(&[Slot::Levers, Slot::Calipers, Slot::Rotors, Slot::RearWheel, Slot::FrontWheel]);
        let hands = changes(&[Slot::Bar, Slot::Stem, Slot::Levers]);
        let saddle = changes(&[Slot::Seatpost, Slot::Crankset]);
        Self::ALL
            .into_iter()
            .filter(|point| match point {
                Self::ChainPitches => changes(&[Slot::Chain]),
                Self::PulleyGap | Self::ClickWindow => drive,
                Self::PadGapFront | Self::PadGapRear => pads,
                Self::HoodLeft | Self::HoodRight => hands,
                Self::SaddleHeight => saddle,
            })
            .collect()
    }
}
