//! Front derailleur and brakes by their symptoms: which setting, part or fault each points to. Begin with
//! [`rank_front`] and [`rank_brake`].
//!
//! A symptom is given by its tables; how much likelier it is with a cause than without is a guess of practice. The
//! causes stand in the order in which they are set right, since each later setting is moved by the earlier ones.

mod next;

use super::naive::update;
use quantity::Length;

pub use next::{Next, next_brake, next_front};

/// What a front derailleur does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FrontSymptom {
    /// Slow or not at all to the larger ring; the cage does not travel far enough.
    SlowUp,
    /// Up, and then over the outside.
    OverOutside,
    /// The chain rubs the inner plate on the small ring and large cogs.
    RubsInner,
    /// The chain rubs the outer plate on the large ring and small cogs.
    RubsOuter,
    /// It rubs at the tail of the cage alone.
    RubsTail,
    /// It rubs once a turn of the crank.
    RubsOnceATurn,
    /// The chain drops inward.
    DropsInward,
    /// The lever is very heavy.
    HeavyLever,
    /// It serves one ring or the other, not both.
    NotBothRings,
    /// The cage touches tyre or crank arm.
    Touches,
}

impl FrontSymptom {
    /// Every symptom, in the order of the enum.
    pub const ALL: [Self; 10] = [
        Self::SlowUp,
        Self::OverOutside,
        Self::RubsInner,
        Self::RubsOuter,
        Self::RubsTail,
        Self::RubsOnceATurn,
        Self::DropsInward,
        Self::HeavyLever,
        Self::NotBothRings,
        Self::Touches,
    ];

    /// Whether the bike is not ridden before it is mended: what may lock the crank or throw the chain under a foot.
    pub fn stops_riding(self) -> bool {
        matches!(self, Self::OverOutside | Self::Touches)
    }
}

/// What is wrong with it, in the order of setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FrontCause {
    /// Crank not seated, ring or spider bent.
    RingRunOut,
    /// Chainline too far in or out for this frame, or too little room behind the cage.
    Chainline,
    /// Rings, curve or lever pull of another family.
    Family,
    /// Height of the cage over the ring.
    Height,
    /// Cage not parallel to the rings.
    Yaw,
    /// Inner limit too tight.
    LowTight,
    /// Inner limit open.
    LowOpen,
    /// Tension too low.
    Slack,
    /// Tension too high when at rest.
    Tight,
    /// Cable on the wrong side of the arm, or a guide that brakes it.
    CablePath,
    /// Outer limit too tight.
    HighTight,
    /// Outer limit open.
    HighOpen,
    /// Trim click of the lever not used.
    Trim,
    /// Shifted under load, without a catcher.
    Load,
}

impl FrontCause {
    /// Every cause, in the order of setting.
    pub const ALL: [Self; 14] = [
        Self::RingRunOut,
        Self::Chainline,
        Self::Family,
        Self::Height,
        Self::Yaw,
        Self::LowTight,
        Self::LowOpen,
        Self::Slack,
        Self::Tight,
        Self::CablePath,
        Self::HighTight,
        Self::HighOpen,
        Self::Trim,
        Self::Load,
    ];

    /// Whether no screw and no barrel cures it: something is straightened, moved or replaced.
    pub fn is_beyond_setting(self) -> bool {
        matches!(self, Self::RingRunOut | Self::Chainline | Self::Family)
    }

    /// How common, before anything is known; guesses.
    fn usual(self) -> f64 {
        match self {
            Self::Slack => 0.2,
            Self::Height | Self::Yaw => 0.12,
            Self::LowTight | Self::LowOpen | Self::HighTight | Self::HighOpen | Self::Trim => 0.08,
            Self::Tight | Self::CablePath => 0.05,
            Self::RingRunOut | Self::Chainline | Self::Family | Self::Load => 0.04,
        }
    }

    /// How often a symptom shows with this cause; guesses, by what the trade's tables name for each.
    fn shows(self, symptom: FrontSymptom) -> f64 {
        use FrontSymptom as S;
        let listed: &[(S, f64)] = match self {
            Self::RingRunOut => &[(S::RubsOnceATurn, 0.9)],
            Self::Chainline => {
                &[(S::RubsInner, 0.4), (S::RubsOuter, 0.3), (S::DropsInward, 0.4), (S::Touches, 0.4)]
            }
            Self::Family => {
                &[(S::SlowUp, 0.5), (S::RubsTail, 0.4), (S::HeavyLever, 0.4), (S::NotBothRings, 0.8)]
            }
            Self::Height => &[
                (S::OverOutside, 0.3),
                (S::RubsTail, 0.4),
                (S::DropsInward, 0.3),
                (S::SlowUp, 0.2),
                (S::Touches, 0.2),
            ],
            Self::Yaw => &[(S::RubsTail, 0.6), (S::OverOutside, 0.3), (S::DropsInward, 0.2)],
            Self::LowTight => &[(S::RubsInner, 0.8)],
            Self::LowOpen => &[(S::DropsInward, 0.8)],
            Self::Slack => &[(S::SlowUp, 0.85), (S::RubsOuter, 0.5)],
            Self::Tight => &[(S::RubsInner, 0.7)],
            Self::CablePath => &[(S::HeavyLever, 0.8), (S::SlowUp, 0.4)],
            Self::HighTight => &[(S::SlowUp, 0.5), (S::RubsOuter, 0.8)],
            Self::HighOpen => &[(S::OverOutside, 0.85), (S::Touches, 0.2)],
            Self::Trim => &[(S::RubsOuter, 0.6), (S::RubsInner, 0.3)],
            Self::Load => &[(S::DropsInward, 0.6)],
        };
        share(listed, symptom)
    }
}

/// What a brake does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BrakeSymptom {
    /// The lever comes to the bar, the pads move little.
    LeverToBar,
    /// Short travel, and weak.
    Wooden,
    /// Soft, better after pumping.
    Soft,
    /// It returns slowly.
    ReturnsSlowly,
    /// One pad touches.
    OnePadTouches,
    /// It squeals.
    Squeals,
    /// It pulses once a turn of the wheel.
    Pulses,
    /// It judders at the fork.
    Judders,
    /// It is different after the release was closed.
    ChangesWithRelease,
    /// It drags when the bars are turned.
    DragsWhenTurned,
}

impl BrakeSymptom {
    /// Every symptom, in the order of the enum.
    pub const ALL: [Self; 10] = [
        Self::LeverToBar,
        Self::Wooden,
        Self::Soft,
        Self::ReturnsSlowly,
        Self::OnePadTouches,
        Self::Squeals,
        Self::Pulses,
        Self::Judders,
        Self::ChangesWithRelease,
        Self::DragsWhenTurned,
    ];

    /// Whether this kind of brake can show it.
    pub fn is_of(self, kind: BrakeKind) -> bool {
        match self {
            Self::Soft => kind == BrakeKind::FluidDisc,
            Self::ChangesWithRelease => kind == BrakeKind::Rim,
            _ => true,
        }
    }

    /// Whether the bike is not ridden before it is mended: what may not stop it, or may lock a wheel.
    pub fn stops_riding(self) -> bool {
        matches!(
            self,
            Self::LeverToBar
                | Self::Wooden
                | Self::Soft
                | Self::Judders
                | Self::ChangesWithRelease
                | Self::DragsWhenTurned
        )
    }
}

/// Which brake.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BrakeKind {
    /// On the rim, by cable.
    Rim,
    /// On a rotor, by cable.
    CableDisc,
    /// On a rotor, by fluid.
    FluidDisc,
}

/// What is wrong with it, in the order of setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BrakeCause {
    /// Wheel not seated in the dropouts.
    WheelSeat,
    /// Rim seam or dent, or a rotor that runs out.
    RunOut,
    /// Play of fork, headset or hub, or a stop that gives way.
    ForkPlay,
    /// Pads, surface or rotor glazed or soiled.
    Surface,
    /// Toe of the pads.
    Toe,
    /// Arms or caliper off centre, unequal springs, a bent arm.
    Centring,
    /// Pads too far from the surface, or worn.
    Gap,
    /// Housing not seated, cable slack.
    Slack,
    /// Lever and brake of different families: pull too great for the travel.
    TooStrong,
    /// Lever and brake of different families: too little leverage.
    TooWeak,
    /// Drag in the cable, a dry pivot, a weak spring.
    Drag,
    /// Air in the fluid.
    Air,
    /// Release or its barrel not as it was.
    Release,
    /// Housing too short.
    ShortHousing,
}

impl BrakeCause {
    /// Every cause, in the order of setting.
    pub const ALL: [Self; 14] = [
        Self::WheelSeat,
        Self::RunOut,
        Self::ForkPlay,
        Self::Surface,
        Self::Toe,
        Self::Centring,
        Self::Gap,
        Self::Slack,
        Self::TooStrong,
        Self::TooWeak,
        Self::Drag,
        Self::Air,
        Self::Release,
        Self::ShortHousing,
    ];

    /// Whether this kind of brake can have it.
    pub fn is_of(self, kind: BrakeKind) -> bool {
        match self {
            Self::Air => kind == BrakeKind::FluidDisc,
            Self::Slack | Self::TooStrong | Self::TooWeak => kind != BrakeKind::FluidDisc,
            Self::Toe | Self::Release => kind == BrakeKind::Rim,
            _ => true,
        }
    }

    /// Whether no screw and no barrel cures it: something is bled, trued, cleaned or replaced.
    pub fn is_beyond_setting(self) -> bool {
        matches!(
            self,
            Self::RunOut
                | Self::ForkPlay
                | Self::Surface
                | Self::TooStrong
                | Self::TooWeak
                | Self::Air
                | Self::ShortHousing
        )
    }

    fn usual(self) -> f64 {
        match self {
            Self::Gap | Self::Slack | Self::Surface => 0.14,
            Self::Centring | Self::Drag | Self::Air => 0.1,
            Self::Toe | Self::WheelSeat | Self::RunOut => 0.07,
            Self::TooStrong | Self::TooWeak | Self::ForkPlay | Self::Release | Self::ShortHousing => 0.04,
        }
    }

    fn shows(self, symptom: BrakeSymptom) -> f64 {
        use BrakeSymptom as S;
        let listed: &[(S, f64)] = match self {
            Self::WheelSeat => &[(S::OnePadTouches, 0.7)],
            Self::RunOut => &[(S::Pulses, 0.9), (S::Squeals, 0.3), (S::OnePadTouches, 0.3)],
            Self::ForkPlay => &[(S::Judders, 0.85), (S::Squeals, 0.3)],
            Self::Surface => &[(S::Wooden, 0.6), (S::Squeals, 0.6)],
            Self::Toe => &[(S::Squeals, 0.8), (S::Judders, 0.2)],
            Self::Centring => &[(S::OnePadTouches, 0.85)],
            Self::Gap => &[(S::LeverToBar, 0.8)],
            Self::Slack => &[(S::LeverToBar, 0.8)],
            Self::TooStrong => &[(S::LeverToBar, 0.7)],
            Self::TooWeak => &[(S::Wooden, 0.8)],
            Self::Drag => &[(S::ReturnsSlowly, 0.85), (S::Wooden, 0.3)],
            Self::Air => &[(S::Soft, 0.9), (S::LeverToBar, 0.4)],
            Self::Release => &[(S::ChangesWithRelease, 0.9), (S::LeverToBar, 0.2)],
            Self::ShortHousing => &[(S::DragsWhenTurned, 0.9), (S::ReturnsSlowly, 0.2)],
        };
        share(listed, symptom)
    }
}

/// How often a symptom shows with a cause that does not bring it.
const STRAY: f64 = 0.04;

fn share<S: PartialEq>(listed: &[(S, f64)], symptom: S) -> f64 {
    listed.iter().find(|(listed, _)| *listed == symptom).map_or(STRAY, |(_, share)| *share)
}

/// Causes of a front derailleur's faults, the likeliest first; of causes as likely the one that is set earlier.
///
/// Bayes' rule over the causes, with every symptom that shows and every one that was looked for and does not.
/// The order of symptoms does not matter; without any the causes are as common as they are.
///
/// # Source
/// Common practice; the shares are guesses.
///
/// # Example
/// ```
/// use mechanics::diagnosis::symptoms::{FrontCause, FrontSymptom, rank_front};
/// let ranked = rank_front(&[FrontSymptom::RubsOnceATurn], &[]);
/// assert_eq!(ranked[0].0, FrontCause::RingRunOut);
/// ```
pub fn rank_front(shows: &[FrontSymptom], absent: &[FrontSymptom]) -> Vec<(FrontCause, f64)> {
    rank(&FrontCause::ALL, FrontCause::usual, FrontCause::shows, shows, absent)
}

/// As [`rank_front`], for the causes that a kind of brake can have.
pub fn rank_brake(
    kind: BrakeKind,
    shows: &[BrakeSymptom],
    absent: &[BrakeSymptom],
) -> Vec<(BrakeCause, f64)> {
    let causes: Vec<BrakeCause> = BrakeCause::ALL.into_iter().filter(|cause| cause.is_of(kind)).collect();
    rank(&causes, BrakeCause::usual, BrakeCause::shows, shows, absent)
}

fn rank<C: Copy, S: Copy>(
    causes: &[C],
    usual: fn(C) -> f64,
    of: fn(C, S) -> f64,
    shows: &[S],
    absent: &[S],
) -> Vec<(C, f64)> {
    let total: f64 = causes.iter().map(|cause| usual(*cause)).sum();
    let mut weights: Vec<f64> = causes.iter().map(|cause| usual(*cause) / total).collect();
    for symptom in shows {
        let likelihoods: Vec<f64> = causes.iter().map(|cause| of(*cause, *symptom)).collect();
        weights = update(&weights, &likelihoods);
    }
    for symptom in absent {
        let likelihoods: Vec<f64> = causes.iter().map(|cause| 1.0 - of(*cause, *symptom)).collect();
        weights = update(&weights, &likelihoods);
    }
    let mut ranked: Vec<(C, f64)> = causes.iter().copied().zip(weights).collect();
    // A stable sort keeps the order of setting among equals.
    ranked.sort_by(|one, other| other.1.total_cmp(&one.1));
    ranked
}

/// What the tip of the cage must travel beyond the gap of the rings, so that a screw can help. Common practice.
pub const OVERSHIFT: Length = Length::mm(1.5);

/// What one throw of the lever moves the cage too little; zero or less is enough.
///
/// `gap + 1.5 mm − travel`. Where it is more than 0, no screw helps: lever, cage or cable path are of other families.
///
/// # Source
/// Common practice.
pub fn cage_travel_short(travel: Length, ring_gap: Length) -> Length {
    ring_gap + OVERSHIFT - travel
}
