//! Typical derailleur bodies, named by their dimensions, for when only the cage can be measured.
//!
//! Begin with [`Family`]. Every dimension here is common practice or from memory: no drawing was seen. The
//! tolerances are wide for that reason, and a verdict that hangs on them asks for [`super::calibrate`].

use super::{Derailleur, Frame, Gear, Pulley, solve_pair};
use quantity::{Angle, Length, Pitches, Span};

/// Slants between which [`Family::clearing`] looks, and halvings: to a hundredth of a degree.
const SLANTS_DEG: (f64, f64) = (15.0, 65.0);
const HALVINGS: usize = 13;

/// A dimension of a derailleur that has a tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// [`Derailleur::pulleys_apart`].
    PulleysApart,
    /// [`Derailleur::guide_offset`].
    GuideOffset,
    /// [`Derailleur::guide_offset_angle`].
    GuideOffsetAngle,
    /// [`Derailleur::reach`].
    Reach,
    /// [`Derailleur::body_angle`].
    BodyAngle,
    /// [`Derailleur::slant`].
    Slant,
    /// [`Derailleur::slant_direction`].
    SlantDirection,
    /// [`Derailleur::stop_forward`].
    StopForward,
    /// [`Derailleur::stop_back`].
    StopBack,
}

impl Dimension {
    /// How many there are.
    pub const COUNT: usize = 9;

    /// All of them, in the order of the fields.
    pub const ALL: [Self; Self::COUNT] = [
        Self::PulleysApart,
        Self::GuideOffset,
        Self::GuideOffsetAngle,
        Self::Reach,
        Self::BodyAngle,
        Self::Slant,
        Self::SlantDirection,
        Self::StopForward,
        Self::StopBack,
    ];
}

/// A typical derailleur with the tolerance of each of its dimensions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Family {
    /// What the family is known by: its pulleys' distance and its usual largest cog.
    pub name: &'static str,
    /// The middle of the family.
    pub derailleur: Derailleur,
    /// How far each of [`Dimension::ALL`] may be off, in millimetres or degrees.
    pub tolerances: [f64; Dimension::COUNT],
}

impl Family {
    /// The derailleur whose dimensions are off by these shares of their tolerances: 0 is the middle, −1 and 1 are
    /// the ends.
    pub fn moved(&self, shares: &[f64; Dimension::COUNT]) -> Derailleur {
        let mut moved = self.derailleur;
        for (idx, dimension) in Dimension::ALL.into_iter().enumerate() {
            let by = shares[idx] * self.tolerances[idx];
            let (mm, deg) = (Length::mm(by), Angle::deg(by));
            match dimension {
                Dimension::PulleysApart => moved.pulleys_apart = moved.pulleys_apart + mm,
                Dimension::GuideOffset => moved.guide_offset = moved.guide_offset + mm,
                Dimension::GuideOffsetAngle => moved.guide_offset_angle = moved.guide_offset_angle + deg,
                Dimension::Reach => moved.reach = moved.reach + mm,
                Dimension::BodyAngle => moved.body_angle = moved.body_angle + deg,
                Dimension::Slant => moved.slant = moved.slant + deg,
                Dimension::SlantDirection => moved.slant_direction = moved.slant_direction + deg,
                Dimension::StopForward => moved.stop_forward = moved.stop_forward + deg,
                Dimension::StopBack => moved.stop_back = moved.stop_back + deg,
            }
        }
        moved
    }

    /// The family with the slant that leaves a given gap, tooth tip to tooth tip, on a cog.
    ///
    /// A leaflet that names a largest cog says how steep the path of the body is; the tolerances stay. The gap grows
    /// with the slant, so one slant answers, found to 0.01° between 15° and 65°; beyond that the nearer end is taken.
    pub fn clearing(&self, frame: &Frame, gear: Gear, count: Pitches, gap: Length) -> Self {
        let with = |slant_deg: f64| Derailleur { slant: Angle::deg(slant_deg), ..self.derailleur };
        let (mut low, mut high) = SLANTS_DEG;
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            match solve_pair(&with(middle), frame, gear, count) {
                Ok(state) if state.gap >= gap => high = middle,
                // A pulley that stands in the cog leaves no gap at all.
                Ok(_) | Err(_) => low = middle,
            }
        }
        Self { derailleur: with(f64::midpoint(low, high)), ..*self }
    }

    /// The interval of a figure over the family.
    ///
    /// Each dimension alone is taken to both its ends; what it adds on either side is summed. So all dimensions
    /// may be at their worst together, as long as they do not strengthen each other.
    ///
    /// Widens with every tolerance.
    ///
    /// # Errors
    /// The first error of the figure.
    ///
    /// # Example
    /// ```
    /// use mechanics::cage::{CageError, SHORT};
    /// let apart = SHORT.interval(|it| Ok::<_, CageError>(it.pulleys_apart.to_mm()))?;
    /// assert_eq!((apart.least(), apart.most()), (54.0, 58.0));
    /// # Ok::<(), CageError>(())
    /// ```
    pub fn interval<E>(&self, figure: impl Fn(&Derailleur) -> Result<f64, E>) -> Result<Span, E> {
        let middle = figure(&self.derailleur)?;
        let (mut below, mut above) = (0.0, 0.0);
        for idx in 0..Dimension::COUNT {
            if self.tolerances[idx] == 0.0 {
                continue;
            }
            let mut shares = [0.0; Dimension::COUNT];
            let mut worst = (0.0_f64, 0.0_f64);
            for end in [-1.0, 1.0] {
                shares[idx] = end;
                let change = figure(&self.moved(&shares))? - middle;
                worst = (worst.0.min(change), worst.1.max(change));
            }
            below += worst.0;
            above += worst.1;
        }
        Ok(Span::new(middle + below, middle + above))
    }
}

/// What all families share; each says what is its own.
const COMMON: Derailleur = Derailleur {
    guide: Pulley::ELEVEN,
    tension: Pulley::ELEVEN,
    pulleys_apart: Length::mm(56.0),
    guide_offset: Length::mm(0.0),
    guide_offset_angle: Angle::deg(0.0),
    reach: Length::mm(45.0),
    body_angle: Angle::deg(50.0),
    slant: Angle::deg(34.0),
    slant_direction: Angle::deg(80.0),
    // A screw of 0.7 mm pitch, 12 mm from the bolt.
    screw_per_turn: Angle::deg(3.3),
    screw_turns: 2.0,
    screw_turns_most: 8.0,
    stop_forward: Angle::deg(3.0),
    stop_back: Angle::deg(148.0),
};

/// Short cage, usual largest cog 28.
pub const SHORT: Family = Family {
    name: "pulleys 56 mm apart, largest cog 28",
    derailleur: COMMON,
    tolerances: [2.0, 0.0, 0.0, 3.0, 4.0, 2.0, 8.0, 8.0, 8.0],
};

/// Medium cage, usual largest cog 34.
pub const MEDIUM: Family = Family {
    name: "pulleys 73 mm apart, largest cog 34",
    derailleur: Derailleur {
        pulleys_apart: Length::mm(73.0),
        reach: Length::mm(52.0),
        body_angle: Angle::deg(48.0),
        slant: Angle::deg(39.0),
        ..COMMON
    },
    tolerances: [2.0, 0.0, 0.0, 3.0, 4.0, 2.0, 8.0, 8.0, 8.0],
};

/// Long cage, usual largest cog 36.
pub const LONG: Family = Family {
    name: "pulleys 87 mm apart, largest cog 36",
    derailleur: Derailleur {
        pulleys_apart: Length::mm(87.0),
        reach: Length::mm(53.0),
        body_angle: Angle::deg(48.0),
        slant: Angle::deg(42.5),
        stop_back: Angle::deg(154.0),
        ..COMMON
    },
    tolerances: [3.0, 0.0, 0.0, 3.0, 4.0, 2.0, 8.0, 8.0, 8.0],
};

/// Long cage with the guide pulley off the pivot, for one ring and a largest cog of about 50.
pub const WIDE: Family = Family {
    name: "pulleys 92 mm apart, guide pulley off the pivot, largest cog 50",
    derailleur: Derailleur {
        guide: Pulley::THIRTEEN,
        tension: Pulley::THIRTEEN,
        pulleys_apart: Length::mm(92.0),
        guide_offset: Length::mm(18.0),
        guide_offset_angle: Angle::deg(70.0),
        reach: Length::mm(60.0),
        body_angle: Angle::deg(50.0),
        slant: Angle::deg(49.5),
        ..COMMON
    },
    tolerances: [3.0, 3.0, 10.0, 3.0, 4.0, 2.0, 8.0, 8.0, 8.0],
};
