//! The checks that part one cause from another, what each can show, and what each takes.

use super::causes::Cause;
use crate::click_window::Window;

/// A limit screw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// At the smallest cog.
    High,
    /// At the largest cog.
    Low,
}

/// How a limit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitSeen {
    /// It stops the pulley before the end cog.
    Tight,
    /// It stops the pulley at the end cog.
    Right,
    /// It lets the pulley pass the end cog.
    Open,
}

/// How the gap between upper pulley and largest cog stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gap {
    /// The pulley touches.
    Small,
    /// As wanted.
    Right,
    /// The chain hangs free over too far a way.
    Large,
}

/// A check of a few minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Check {
    /// Cable slack, body pushed by hand to both ends.
    Limits,
    /// Look on which side of the bolt the cable is clamped.
    Anchor,
    /// Gauge on the hanger.
    Hanger,
    /// Inner cable off the derailleur and pulled by hand or scale.
    Drag,
    /// Pull of a click and travel of the derailleur measured.
    Pull,
    /// Caliper through the stack of cogs.
    Stack,
    /// Gap at the largest cog measured.
    Gap,
    /// Hook gauge on the teeth, or a new cog against them.
    Teeth,
    /// Cassette, body, pulleys, pivots and wheel seat rocked by hand.
    Play,
    /// Chain turned slowly backwards past the pulleys.
    Link,
    /// Clicks counted both ways in a small, a middle and a large gear.
    Windows,
}

impl Check {
    /// Every check, in the order of the enum.
    pub const ALL: [Self; 11] = [
        Self::Limits,
        Self::Anchor,
        Self::Hanger,
        Self::Drag,
        Self::Pull,
        Self::Stack,
        Self::Gap,
        Self::Teeth,
        Self::Play,
        Self::Link,
        Self::Windows,
    ];

    /// Minutes that it takes: common practice.
    pub fn minutes(self) -> f64 {
        match self {
            Self::Anchor => 0.2,
            Self::Play => 0.5,
            Self::Limits | Self::Gap | Self::Teeth | Self::Link => 1.0,
            Self::Hanger | Self::Drag => 2.0,
            Self::Pull | Self::Stack | Self::Windows => 5.0,
        }
    }

    /// What it looks for; empty for a check that looks for nothing in particular.
    pub fn looks_for(self) -> &'static [Cause] {
        match self {
            Self::Limits => {
                &[Cause::HighLimitTight, Cause::HighLimitOpen, Cause::LowLimitTight, Cause::LowLimitOpen]
            }
            Self::Anchor | Self::Pull => &[Cause::Mismatch],
            Self::Hanger => &[Cause::Hanger],
            Self::Drag => &[Cause::Drag],
            Self::Stack => &[Cause::Spacer],
            Self::Gap => &[Cause::GapSmall, Cause::GapLarge],
            Self::Teeth => &[Cause::WornCog],
            Self::Play => &[Cause::Play],
            Self::Link => &[Cause::StiffLink],
            Self::Windows => &[],
        }
    }
}

/// What a check showed, or that a limit was set.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// Both limits.
    Limits {
        /// At the smallest cog.
        high: LimitSeen,
        /// At the largest cog.
        low: LimitSeen,
    },
    /// A limit was set right; what was wrong with it is gone from here on.
    LimitSet(Limit),
    /// Whether the cable is clamped on the wrong side.
    Anchor(bool),
    /// Whether the hanger is bent.
    Hanger(bool),
    /// Whether the cable drags.
    Drag(bool),
    /// Whether pull and travel miss the pitch of the cogs.
    Pull(bool),
    /// The first gear of the stack that stands wrong.
    Stack(Option<u32>),
    /// The gap.
    Gap(Gap),
    /// Whether a cog is worn.
    Teeth(bool),
    /// Whether something has play.
    Play(bool),
    /// Whether a link is stiff.
    Link(bool),
    /// Counted windows by gear.
    Windows(Vec<(u32, Window)>),
}

impl Seen {
    /// The check that shows this; setting a limit looks at it as well.
    pub fn check(&self) -> Check {
        match self {
            Self::Limits { .. } | Self::LimitSet(_) => Check::Limits,
            Self::Anchor(_) => Check::Anchor,
            Self::Hanger(_) => Check::Hanger,
            Self::Drag(_) => Check::Drag,
            Self::Pull(_) => Check::Pull,
            Self::Stack(_) => Check::Stack,
            Self::Gap(_) => Check::Gap,
            Self::Teeth(_) => Check::Teeth,
            Self::Play(_) => Check::Play,
            Self::Link(_) => Check::Link,
            Self::Windows(_) => Check::Windows,
        }
    }
}
