//! The causes, how common each is, and the grid of hidden numbers behind it.

use super::checks::Limit;
use super::evidence::History;
use crate::click_window::hanger_error;
use quantity::Angle;

/// What can be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// Too little tension.
    Slack,
    /// Too much tension.
    Tight,
    /// The cable drags.
    Drag,
    /// Clicks and cogs do not match, or the cable is clamped on the wrong side.
    Mismatch,
    /// The hanger is bent.
    Hanger,
    /// A spacer is wrong, or a cog.
    Spacer,
    /// The limit at the smallest cog stops too early.
    HighLimitTight,
    /// The limit at the smallest cog stops too late.
    HighLimitOpen,
    /// The limit at the largest cog stops too early.
    LowLimitTight,
    /// The limit at the largest cog stops too late.
    LowLimitOpen,
    /// The upper pulley touches the largest cog.
    GapSmall,
    /// The upper pulley is too far from the cogs.
    GapLarge,
    /// A cog is worn.
    WornCog,
    /// Something has play.
    Play,
    /// A link of the chain is stiff.
    StiffLink,
}

impl Cause {
    /// Every cause, in the order of the enum.
    pub const ALL: [Self; 15] = [
        Self::Slack,
        Self::Tight,
        Self::Drag,
        Self::Mismatch,
        Self::Hanger,
        Self::Spacer,
        Self::HighLimitTight,
        Self::HighLimitOpen,
        Self::LowLimitTight,
        Self::LowLimitOpen,
        Self::GapSmall,
        Self::GapLarge,
        Self::WornCog,
        Self::Play,
        Self::StiffLink,
    ];

    /// Whether the adjuster cures it.
    pub fn is_tension(self) -> bool {
        matches!(self, Self::Slack | Self::Tight)
    }

    /// Whether curing it undoes the setting of the cable, so that the tension is set anew and needs no name.
    pub fn sets_tension_anew(self) -> bool {
        matches!(self, Self::Drag | Self::Mismatch | Self::Hanger | Self::Spacer | Self::Play)
    }

    /// The limit screw that cures it.
    pub fn limit(self) -> Option<Limit> {
        match self {
            Self::HighLimitTight | Self::HighLimitOpen => Some(Limit::High),
            Self::LowLimitTight | Self::LowLimitOpen => Some(Limit::Low),
            _ => None,
        }
    }

    /// Whether the chain can leave the cassette, into the spokes or between cog and frame.
    pub fn is_danger(self) -> bool {
        matches!(self, Self::HighLimitOpen | Self::LowLimitOpen)
    }

    /// Minutes of its cure: common practice.
    pub fn cure_minutes(self) -> f64 {
        match self {
            Self::Slack | Self::Tight => 2.0,
            Self::HighLimitTight | Self::HighLimitOpen | Self::LowLimitTight | Self::LowLimitOpen => 2.0,
            Self::GapSmall | Self::GapLarge => 2.0,
            Self::StiffLink => 3.0,
            Self::Hanger => 10.0,
            Self::Drag | Self::Spacer => 15.0,
            Self::WornCog | Self::Play => 12.0,
            Self::Mismatch => 20.0,
        }
    }

    /// Causes of one kind exclude each other.
    pub(super) fn kind(self) -> usize {
        match self {
            Self::Slack | Self::Tight => 0,
            Self::HighLimitTight | Self::HighLimitOpen => 1,
            Self::LowLimitTight | Self::LowLimitOpen => 2,
            Self::GapSmall | Self::GapLarge => 3,
            other => 4 + other as usize,
        }
    }

    /// How often it is the one that is wrong, before anything is known: a guess of practice.
    pub(super) fn usual(self) -> f64 {
        match self {
            Self::Slack => 0.22,
            Self::Drag => 0.15,
            Self::Tight | Self::Hanger => 0.10,
            Self::WornCog => 0.06,
            Self::Mismatch | Self::Spacer => 0.05,
            Self::HighLimitTight | Self::LowLimitTight | Self::GapSmall | Self::GapLarge | Self::Play => 0.04,
            Self::HighLimitOpen | Self::LowLimitOpen | Self::StiffLink => 0.03,
        }
    }

    /// How much likelier the history is with this cause than with another.
    ///
    /// Each line is the share of bikes with the cause that have the mark, against the share of the others: guesses
    /// of practice.
    pub(super) fn by_history(self, history: &History) -> f64 {
        const MARKS: [Mark; 11] = [
            (|had| had.new_housing, 0.15, &[(Cause::Slack, 0.4)]),
            (|had| had.fall, 0.08, &[(Cause::Hanger, 0.6)]),
            (|had| had.new_wheel, 0.10, &[(Cause::Slack, 0.15), (Cause::Tight, 0.2), (Cause::Spacer, 0.6)]),
            (|had| had.used_derailleur, 0.08, &[(Cause::Play, 0.3), (Cause::Mismatch, 0.3)]),
            (|had| had.new_chain, 0.12, &[(Cause::WornCog, 0.6)]),
            (|had| had.marginal_index, 0.06, &[(Cause::Mismatch, 0.6)]),
            (|had| had.dragging_run, 0.10, &[(Cause::Drag, 0.35)]),
            (|had| had.drifted, 0.10, &[(Cause::Slack, 0.45), (Cause::Play, 0.25)]),
            (
                |had| had.worse_on_road,
                0.06,
                &[(Cause::Play, 0.45), (Cause::WornCog, 0.5), (Cause::Hanger, 0.15)],
            ),
            (|had| had.changes_with_bars, 0.04, &[(Cause::Drag, 0.35), (Cause::Slack, 0.12)]),
            (|had| had.since_wet, 0.10, &[(Cause::Drag, 0.3), (Cause::StiffLink, 0.4)]),
        ];
        let mut weight = 1.0;
        for (of, others, shares) in MARKS {
            let share = shares.iter().find(|(cause, _)| *cause == self).map_or(others, |(_, share)| *share);
            match of(history) {
                Some(true) => weight *= share / others,
                Some(false) => weight *= (1.0 - share) / (1.0 - others),
                None => {}
            }
        }
        weight
    }
}

/// What happened before, the share of other bikes that have it, and those of bikes with a cause.
type Mark = (fn(&History) -> Option<bool>, f64, &'static [(Cause, f64)]);

/// The hidden numbers of one cause, or of two together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hidden {
    /// a: error in the middle gear, mm.
    pub offset_mm: f64,
    /// b: what it grows by from gear to gear, mm.
    pub slope_mm: f64,
    /// δ, mm.
    pub step_mm: f64,
    /// m, the first gear beyond; 0 for none.
    pub step_from: u32,
    /// h beyond that of a healthy cable, mm.
    pub drag_mm: f64,
    /// Where the limit stops beside the smallest cog, mm; positive is too early.
    pub high_mm: f64,
    /// Where the limit stops beside the largest cog, mm; negative is too early.
    pub low_mm: f64,
    /// What the reach of a shift loses on the smallest cog, mm; half of it on the largest.
    pub gap_mm: f64,
    /// Whether the pulley touches the largest cog.
    pub touches: bool,
    /// Which of the scatters of [`super::model::PLAY_MM`].
    pub play: usize,
    /// The worn cog; 0 for none.
    pub worn: u32,
    /// Whether a link is stiff.
    pub stiff: bool,
    /// Lean of the hanger, degrees.
    pub hanger_deg: f64,
    /// Whether pull and travel miss the pitch.
    pub mismatched: bool,
}

/// Where a limit that is right stops beside its end cog: it does not bite.
pub(super) const LIMIT_RIGHT_MM: f64 = 0.3;

impl Hidden {
    /// Nothing wrong.
    pub(super) const NOTHING: Self = Self {
        offset_mm: 0.0,
        slope_mm: 0.0,
        step_mm: 0.0,
        step_from: 0,
        drag_mm: 0.0,
        high_mm: -LIMIT_RIGHT_MM,
        low_mm: LIMIT_RIGHT_MM,
        gap_mm: 0.0,
        touches: false,
        play: 0,
        worn: 0,
        stiff: false,
        hanger_deg: 0.0,
        mismatched: false,
    };

    /// Both at once. The two are of different kinds, so that at most one of them has each number but offset and
    /// slope, which add.
    pub(super) fn with(self, other: Self) -> Self {
        let limit = |mine: f64, theirs: f64, right: f64| if mine == right { theirs } else { mine };
        Self {
            offset_mm: self.offset_mm + other.offset_mm,
            slope_mm: self.slope_mm + other.slope_mm,
            step_mm: self.step_mm + other.step_mm,
            step_from: self.step_from.max(other.step_from),
            drag_mm: self.drag_mm + other.drag_mm,
            high_mm: limit(self.high_mm, other.high_mm, -LIMIT_RIGHT_MM),
            low_mm: limit(self.low_mm, other.low_mm, LIMIT_RIGHT_MM),
            gap_mm: self.gap_mm + other.gap_mm,
            touches: self.touches || other.touches,
            play: self.play.max(other.play),
            worn: self.worn.max(other.worn),
            stiff: self.stiff || other.stiff,
            hanger_deg: self.hanger_deg + other.hanger_deg,
            mismatched: self.mismatched || other.mismatched,
        }
    }
}

/// The grid of a cause on so many cogs: all its points weigh alike.
pub(super) fn points(cause: Cause, gears: u32) -> Vec<Hidden> {
    let none = Hidden::NOTHING;
    let tension = [0.55, 0.7, 0.85, 1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.4];
    match cause {
        Cause::Slack => tension.iter().map(|mm| Hidden { offset_mm: -mm, ..none }).collect(),
        Cause::Tight => tension.iter().map(|mm| Hidden { offset_mm: *mm, ..none }).collect(),
        Cause::Drag => {
            [0.5, 0.62, 0.75, 0.9, 1.05, 1.2, 1.35].iter().map(|mm| Hidden { drag_mm: *mm, ..none }).collect()
        }
        Cause::Mismatch => [0.15, 0.2, 0.26, 0.33, 0.4, 0.48, 0.56, 0.65]
            .iter()
            .flat_map(|mm| [-mm, *mm])
            .map(|slope_mm| Hidden { slope_mm, mismatched: true, ..none })
            .collect(),
        Cause::Hanger => [0.9, 1.15, 1.4, 1.65, 1.9, 2.15, 2.4, 2.65]
            .iter()
            .flat_map(|deg| [-deg, *deg])
            .flat_map(|deg| {
                let at = |gear| hanger_error(Angle::deg(deg), gear, gears).to_mm();
                let slope_mm = (at(gears) - at(1)) / f64::from(gears - 1);
                let middle_mm = (at(gears) + at(1)) / 2.0;
                let bent = Hidden { slope_mm, hanger_deg: deg, ..none };
                // Found as it was bent, or with the cable set again by somebody who saw the gears and not the hanger.
                [Hidden { offset_mm: middle_mm, ..bent }, Hidden { offset_mm: 0.4 * middle_mm, ..bent }, bent]
            })
            .collect(),
        Cause::Spacer => (3..=gears - 1)
            .flat_map(|step_from| {
                [-1.6, -1.3, -1.05, -0.8, 0.8, 1.05, 1.3, 1.6].map(|step_mm| {
                    // The cable is set on the gears that are more.
                    let on_larger = 2 * (step_from - 1) < gears;
                    Hidden { step_mm, step_from, offset_mm: if on_larger { -step_mm } else { 0.0 }, ..none }
                })
            })
            .collect(),
        Cause::HighLimitTight => [1.2, 1.6, 2.1].iter().map(|mm| Hidden { high_mm: *mm, ..none }).collect(),
        Cause::HighLimitOpen => [1.6, 2.2].iter().map(|mm| Hidden { high_mm: -mm, ..none }).collect(),
        Cause::LowLimitTight => [1.2, 1.6, 2.1].iter().map(|mm| Hidden { low_mm: -mm, ..none }).collect(),
        Cause::LowLimitOpen => [1.6, 2.2].iter().map(|mm| Hidden { low_mm: *mm, ..none }).collect(),
        Cause::GapSmall => vec![Hidden { touches: true, ..none }],
        Cause::GapLarge => [0.6, 0.8, 1.0].iter().map(|mm| Hidden { gap_mm: *mm, ..none }).collect(),
        Cause::WornCog => (1..=gears).map(|worn| Hidden { worn, ..none }).collect(),
        Cause::Play => [1, 2].iter().map(|play| Hidden { play: *play, ..none }).collect(),
        Cause::StiffLink => vec![Hidden { stiff: true, ..none }],
    }
}
