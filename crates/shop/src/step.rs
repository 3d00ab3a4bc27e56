//! One step of work: what one person does in one go with one tool, and what has to be done before it.

use crate::fastener::FastenerId;
use jiff::civil::Date;
use std::borrow::Cow;
use std::fmt;
use std::iter::Sum;
use std::ops::Add;

/// The key of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct StepId(pub &'static str);

impl fmt::Display for StepId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its key.
    pub id: StepId,
    /// What is done.
    pub title: &'static str,
    /// Which part of the job it belongs to.
    pub block: Block,
    /// How long it takes one person.
    pub minutes: Minutes,
    /// Who may do it.
    pub skill: Skill,
    /// The tool in the hand.
    pub tool: &'static str,
    /// What has to be done before it, if the job has it at all.
    pub needs: Cow<'static, [Need]>,
    /// Whether it cannot be taken back.
    pub irreversible: bool,
    /// The fasteners that it loosens or closes; each wants its torque on record.
    pub fasteners: Cow<'static, [FastenerId]>,
    /// What else belongs to it.
    pub notes: Notes,
}

/// What belongs to a step beside its work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Notes {
    /// What it uses up: grease, threadlocker, fluid.
    pub consumable: Option<&'static str>,
    /// The value that is written down with it, beside torques.
    pub record: Option<&'static str>,
    /// What can hurt.
    pub caution: Option<&'static str>,
    /// The key of its picture.
    pub picture: Option<&'static str>,
    /// Whose figures these are, if they are the shop's own.
    pub own: Option<Own>,
}

/// Who wrote a figure of the shop, and when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Own {
    /// Who.
    pub by: &'static str,
    /// When.
    pub on: Date,
}

/// A step that has to come before another, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Need {
    /// The step that comes before.
    pub step: StepId,
    /// Why.
    pub because: &'static str,
}

/// The parts of a job, in the order of the walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Block {
    /// Intake, up to the customer's word.
    Intake,
    /// Taking off.
    Strip,
    /// Frame and wheels.
    Frame,
    /// Drivetrain.
    Drivetrain,
    /// Brakes.
    Brakes,
    /// Cockpit and cables.
    Cockpit,
    /// Control and hand-over.
    Control,
}

impl Block {
    /// The block with this letter.
    pub fn read(letter: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|block| letter.len() == 1 && letter.starts_with(block.letter()))
    }

    /// All blocks in their order.
    pub const ALL: &'static [Block] = &[
        Self::Intake,
        Self::Strip,
        Self::Frame,
        Self::Drivetrain,
        Self::Brakes,
        Self::Cockpit,
        Self::Control,
    ];

    /// The letter on the sheet.
    pub fn letter(self) -> char {
        match self {
            Self::Intake => 'A',
            Self::Strip => 'B',
            Self::Frame => 'C',
            Self::Drivetrain => 'D',
            Self::Brakes => 'E',
            Self::Cockpit => 'F',
            Self::Control => 'G',
        }
    }

    /// The heading on the sheet.
    pub fn words(self) -> &'static str {
        match self {
            Self::Intake => "intake",
            Self::Strip => "taking off",
            Self::Frame => "frame and wheels",
            Self::Drivetrain => "drivetrain",
            Self::Brakes => "brakes",
            Self::Cockpit => "cockpit and cables",
            Self::Control => "control and hand-over",
        }
    }
}

/// Who may do a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Skill {
    /// Someone who is learning, with a look from a mechanic.
    Learner,
    /// A mechanic.
    Mechanic,
    /// A mechanic who does this often: frame tools, wheels, hydraulic brakes.
    Specialist,
    /// Whoever speaks with the customer.
    Counter,
    /// A person who touched no step of this job.
    Second,
}

impl Skill {
    /// All skills.
    pub const ALL: &'static [Self] =
        &[Self::Learner, Self::Mechanic, Self::Specialist, Self::Counter, Self::Second];

    /// The word on the sheet.
    pub fn words(self) -> &'static str {
        match self {
            Self::Learner => "learner",
            Self::Mechanic => "mechanic",
            Self::Specialist => "specialist",
            Self::Counter => "counter",
            Self::Second => "second person",
        }
    }
}

/// Minutes: if all goes well, as a rule, and if it does not. Whole minutes; nobody knows them better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Minutes {
    /// If all goes well.
    pub low: u32,
    /// As a rule.
    pub usual: u32,
    /// If it does not.
    pub high: u32,
}

impl Minutes {
    /// The three figures.
    pub const fn new(low: u32, usual: u32, high: u32) -> Self {
        Self { low, usual, high }
    }

    /// Whether the figures stand in their order.
    pub fn is_ordered(self) -> bool {
        self.low <= self.usual && self.usual <= self.high
    }

    /// A share of them in percent, rounded up to whole minutes.
    pub fn percent(self, percent: u32) -> Self {
        let share = |minutes: u32| {
            u32::try_from((u64::from(minutes) * u64::from(percent)).div_ceil(100)).unwrap_or(u32::MAX)
        };
        Self { low: share(self.low), usual: share(self.usual), high: share(self.high) }
    }
}

impl Add for Minutes {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            low: self.low.saturating_add(other.low),
            usual: self.usual.saturating_add(other.usual),
            high: self.high.saturating_add(other.high),
        }
    }
}

impl Sum for Minutes {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Self::add)
    }
}

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} min ({} to {})", self.usual, self.low, self.high)
    }
}
