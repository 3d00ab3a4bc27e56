//! Where every gear of a bike really lands, in both directions, and how many adjuster clicks are left each way.
//! Begin with [`ShiftModel::landing`].
//!
//! It takes in what [`crate::indexing`] leaves out: clicks and cogs that are not even, a derailleur whose ratio
//! changes along its travel, a hanger that leans or turns, play, and the lost motion of the cable
//! ([`crate::cable_run::CableRun::lost_motion`]). Gears are counted from the smallest cog as 0; positive is
//! toward the large cogs.

use crate::cassette::chain_clearance;
use crate::monotone_curve::{CurveError, MonotoneCurve};
use quantity::{Angle, Length};
use std::fmt;

/// From where a gear is shifted to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Toward {
    /// To a larger cog: the lever pulls, and the derailleur lags behind.
    Larger,
    /// To a smaller cog: the spring pulls, and the derailleur stays behind on the other side.
    Smaller,
}

/// A hanger that is not straight, and what hangs on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hanger {
    /// Lean about the line of travel; positive brings the guide pulley inward.
    pub roll: Angle,
    /// Turn about the upright; positive brings what lies behind the hanger bolt inward.
    pub toe: Angle,
    /// Guide pulley below the hanger bolt, on the smallest cog.
    pub drop_at_smallest: Length,
    /// Guide pulley below the hanger bolt, on the largest cog.
    pub drop_at_largest: Length,
    /// Guide pulley behind the hanger bolt; negative when it is in front.
    pub behind: Length,
}

impl Hanger {
    /// A straight one.
    pub const STRAIGHT: Self = Self {
        roll: Angle::deg(0.0),
        toe: Angle::deg(0.0),
        drop_at_smallest: Length::mm(0.0),
        drop_at_largest: Length::mm(0.0),
        behind: Length::mm(0.0),
    };

    /// How far inward it brings the guide pulley, at a share of the way from the smallest cog to the largest.
    ///
    /// `h(u) sin ψ + b sin τ`, with h the drop (even between its ends), ψ the roll, b the distance behind and τ
    /// the toe: a constant that the adjuster takes away and a slope that it does not.
    ///
    /// # Source
    /// Geometry: 25 mm of drop across the cassette and 1° of roll leave 0.44 mm:
    /// `tests/shifts.rs::a_leaning_hanger_leaves_a_slope`.
    pub fn shift(&self, share: f64) -> Length {
        let drop = self.drop_at_smallest + (self.drop_at_largest - self.drop_at_smallest) * share;
        drop * self.roll.to_rad().sin() + self.behind * self.toe.to_rad().sin()
    }
}

/// Everything that decides where the chain lands.
#[derive(Clone, Debug, PartialEq)]
pub struct ShiftParts {
    /// Cable pulled by each click, from the smallest cog.
    pub pulls: Vec<Length>,
    /// Sideways travel of the derailleur against cable, both from rest on the smallest cog, millimetres.
    pub travel: MonotoneCurve,
    /// Distance of each cog to the next, from the smallest.
    pub pitches: Vec<Length>,
    /// Thickness of a cog.
    pub cog_thickness: Length,
    /// Outer width of the chain.
    pub chain_outer: Length,
    /// The hanger.
    pub hanger: Hanger,
    /// Sideways float of guide pulley and chain: the chain gives way by it before it rubs, and a shift has to
    /// cross it first.
    pub float: Length,
    /// Cable by which pulling and returning differ at the derailleur.
    pub lost_motion: Length,
    /// How far from its cog the chain may be led and still change over. Not published; each shop finds its own.
    pub reach: Length,
}

/// Why parts make no shifting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShiftError {
    /// Fewer than two cogs, or no click for a cog.
    NotEnough {
        /// Clicks of the shifter.
        clicks: usize,
        /// Cogs of the cassette.
        cogs: usize,
    },
    /// A length or an angle is no finite number or beyond 100 m or 100 000°, or a pull, a pitch or a width is not above
    /// 0.
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// The travel of the derailleur does not rise with every reading.
    Travel(CurveError),
}

impl fmt::Display for ShiftError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotEnough { clicks, cogs } => {
                write!(f, "found {clicks} clicks for {cogs} cogs, wanted two cogs and a click for each step")
            }
            Self::OutOfRange { what, found } => write!(f, "found {found} for {what}, which is out of range"),
            Self::Travel(error) => write!(f, "travel of the derailleur: {error}"),
        }
    }
}

impl std::error::Error for ShiftError {}

/// Where a gear lands, and what that leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShiftLanding {
    /// The gear, the smallest cog as 0.
    pub gear: usize,
    /// From where it was shifted to.
    pub toward: Toward,
    /// Position of the guide pulley less that of the cog.
    pub error: Length,
    /// Room until the chain touches a neighbour of its cog; negative is contact.
    pub to_rub: Length,
    /// Room until the shift does not happen any more; negative is a shift that fails.
    pub to_failed_shift: Length,
}

/// Adjuster clicks until a shift fails, from how the bike stands. Negative: it fails already, by so many.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClickRoom {
    /// Clicks of more cable until a shift to the smaller cog fails.
    pub add: f64,
    /// Clicks of less cable until a shift to the larger cog fails.
    pub take_off: f64,
}

impl ClickRoom {
    /// Clicks to add for the middle of the window.
    pub fn centre(self) -> f64 {
        (self.add - self.take_off) / 2.0
    }

    /// Clicks from failure to failure.
    pub fn width(self) -> f64 {
        self.add + self.take_off
    }

    /// Whole clicks that can be added and taken off with every shift still working.
    pub fn whole_clicks(self) -> (i64, i64) {
        // A float that does not fit is held at the largest whole number, NaN at 0.
        (self.add.floor() as i64, self.take_off.floor() as i64)
    }
}

/// Shifting parts that were found to go together.
#[derive(Clone, Debug, PartialEq)]
pub struct ShiftModel {
    parts: ShiftParts,
    /// Cable pulled at each gear, millimetres.
    cable_mm: Vec<f64>,
    /// Position of each cog, millimetres.
    cog_mm: Vec<f64>,
}

impl ShiftModel {
    /// Checks the parts and sums up clicks and pitches. Clicks beyond the last cog do not count.
    ///
    /// # Errors
    /// [`ShiftError`].
    pub fn new(parts: ShiftParts) -> Result<Self, ShiftError> {
        let (clicks, cogs) = (parts.pulls.len(), parts.pitches.len() + 1);
        if cogs < 2 || clicks + 1 < cogs {
            return Err(ShiftError::NotEnough { clicks, cogs });
        }
        let hanger = &parts.hanger;
        let above_0 = parts.pulls.iter().map(|pull| ("a pull", pull.to_mm()));
        let above_0 = above_0.chain(parts.pitches.iter().map(|pitch| ("a pitch", pitch.to_mm())));
        let above_0 = above_0.chain([("the width of the chain", parts.chain_outer.to_mm())]);
        for (what, found) in above_0 {
            if !is_sane(found) || found <= 0.0 {
                return Err(ShiftError::OutOfRange { what, found });
            }
        }
        for (what, found) in [
            ("the thickness of a cog", parts.cog_thickness.to_mm()),
            ("the float", parts.float.to_mm()),
            ("the lost motion", parts.lost_motion.to_mm()),
            ("the reach of a shift", parts.reach.to_mm()),
        ] {
            if !is_sane(found) || found < 0.0 {
                return Err(ShiftError::OutOfRange { what, found });
            }
        }
        for (what, found) in [
            ("the lean of the hanger", hanger.roll.to_deg()),
            ("the turn of the hanger", hanger.toe.to_deg()),
            ("the drop of the pulley", hanger.drop_at_smallest.to_mm()),
            ("the drop of the pulley", hanger.drop_at_largest.to_mm()),
            ("the pulley behind the hanger", hanger.behind.to_mm()),
        ] {
            if !is_sane(found) {
                return Err(ShiftError::OutOfRange { what, found });
            }
        }
        for (cable, travel) in parts.travel.readings() {
            for (what, found) in [("cable of a reading", *cable), ("travel of a reading", *travel)] {
                if !is_sane(found) {
                    return Err(ShiftError::OutOfRange { what, found });
                }
            }
        }
        MonotoneCurve::rising(parts.travel.readings()).map_err(ShiftError::Travel)?;
        let cable_mm = sums(&parts.pulls[..cogs - 1]);
        let cog_mm = sums(&parts.pitches);
        Ok(Self { parts, cable_mm, cog_mm })
    }

    /// The parts.
    pub fn parts(&self) -> &ShiftParts {
        &self.parts
    }

    /// Gears.
    pub fn gears(&self) -> usize {
        self.cog_mm.len()
    }

    /// Where a gear lands with so much cable taken up by the adjuster; `None` for a gear that is not there or is
    /// not reached from that side.
    ///
    /// `e = f(a + Σ pull ∓ s/2) + hanger − Σ pitch`, with f the travel curve, a the adjuster and s the lost
    /// motion: minus toward larger cogs, plus toward smaller ones.
    ///
    /// Rises with the adjuster, with every pull before it and with an inward hanger. To rub: clearance of the
    /// neighbour on the side of the error, plus float, less the error. To a failed shift: reach less float,
    /// less how far it stops short.
    ///
    /// # Source
    /// Sums as [`crate::indexing::landings`], which it equals for an even ratio and nothing else:
    /// `tests/shifts.rs::without_the_extras_it_is_the_simple_sum`.
    pub fn landing(&self, gear: usize, toward: Toward, adjuster: Length) -> Option<ShiftLanding> {
        if !self.is_reached(gear, toward) {
            return None;
        }
        let cable_mm = adjuster.to_mm() + self.cable_mm[gear] - self.lag_mm(toward);
        let error_mm = self.parts.travel.value(cable_mm) - self.wanted_mm(gear);
        let short_mm = match toward {
            Toward::Larger => -error_mm,
            Toward::Smaller => error_mm,
        };
        let float = self.parts.float;
        Some(ShiftLanding {
            gear,
            toward,
            error: Length::mm(error_mm),
            to_rub: self.room_beside(gear, error_mm) + float,
            to_failed_shift: self.parts.reach - float - Length::mm(short_mm),
        })
    }

    /// Every gear in both directions, the smallest first.
    pub fn landings(&self, adjuster: Length) -> impl Iterator<Item = ShiftLanding> + '_ {
        (0..self.gears())
            .flat_map(|gear| [(gear, Toward::Larger), (gear, Toward::Smaller)])
            .filter_map(move |(gear, toward)| self.landing(gear, toward, adjuster))
    }

    /// How many clicks of the adjuster a gear stands from failing, each way; infinity on the side that no shift
    /// into this gear tries. `None` for a gear that is not there.
    ///
    /// Adding clicks fails when a shift to the smaller cog stops `reach − float` too far inward; taking off when
    /// a shift to the larger cog stops as much too far outward. The travel curve is read backward there, so an
    /// uneven ratio is taken in. The width falls by `lost motion / detent` and by `2 · float` over a click.
    ///
    /// # Source
    /// Common practice, worked backward; figures of practice in `tests/shifts.rs::click_windows_of_practice`.
    pub fn click_room(&self, gear: usize, adjuster: Length, detent: Length) -> Option<ClickRoom> {
        if gear >= self.gears() {
            return None;
        }
        let reach_mm = (self.parts.reach - self.parts.float).to_mm();
        let room = |toward: Toward, sign: f64| {
            if !self.is_reached(gear, toward) {
                return f64::INFINITY;
            }
            let fails_at = self.parts.travel.place_of(self.wanted_mm(gear) + sign * reach_mm);
            let stands_at = adjuster.to_mm() + self.cable_mm[gear] - self.lag_mm(toward);
            fails_at.map_or(f64::INFINITY, |cable_mm| sign * (cable_mm - stands_at) / detent.to_mm())
        };
        Some(ClickRoom { add: room(Toward::Smaller, 1.0), take_off: room(Toward::Larger, -1.0) })
    }

    /// The same over all gears: the clicks that every shift bears. With its centre added the bike stands as far
    /// as it can from failing on either side.
    pub fn click_room_of_all(&self, adjuster: Length, detent: Length) -> ClickRoom {
        let all = ClickRoom { add: f64::INFINITY, take_off: f64::INFINITY };
        (0..self.gears()).filter_map(|gear| self.click_room(gear, adjuster, detent)).fold(all, |all, one| {
            ClickRoom { add: all.add.min(one.add), take_off: all.take_off.min(one.take_off) }
        })
    }

    /// Cable the adjuster has to take up so that the gear that fails first fails as late as it can.
    ///
    /// Exact whatever the ratio does, since it is found in cable; it does not depend on the detent. 0 where no
    /// shift fails either way.
    pub fn best_adjuster(&self) -> Length {
        let centre = self.click_room_of_all(Length::mm(0.0), Length::mm(1.0)).centre();
        Length::mm(if centre.is_finite() { centre } else { 0.0 })
    }

    fn is_reached(&self, gear: usize, toward: Toward) -> bool {
        match toward {
            Toward::Larger => gear >= 1 && gear < self.gears(),
            Toward::Smaller => gear + 1 < self.gears(),
        }
    }

    fn lag_mm(&self, toward: Toward) -> f64 {
        let half_mm = self.parts.lost_motion.to_mm() / 2.0;
        match toward {
            Toward::Larger => half_mm,
            Toward::Smaller => -half_mm,
        }
    }

    /// Travel of the derailleur that would be right: the cog, less what the hanger does by itself.
    fn wanted_mm(&self, gear: usize) -> f64 {
        let last_mm = self.cog_mm[self.gears() - 1];
        self.cog_mm[gear] - self.parts.hanger.shift(self.cog_mm[gear] / last_mm).to_mm()
    }

    /// Room to the neighbour on either side, the lesser; the end cogs have one neighbour.
    fn room_beside(&self, gear: usize, error_mm: f64) -> Length {
        let ShiftParts { pitches, chain_outer, cog_thickness, .. } = &self.parts;
        let room = |pitch: Option<&Length>, toward_mm: f64| {
            pitch.map_or(f64::INFINITY, |pitch| {
                chain_clearance(*pitch, *chain_outer, *cog_thickness).to_mm() - toward_mm
            })
        };
        let smaller = gear.checked_sub(1).and_then(|before| pitches.get(before));
        Length::mm(room(pitches.get(gear), error_mm).min(room(smaller, -error_mm)))
    }
}

/// Whether a number may be a length or an angle of a bike; beyond it sums lose their digits and then their meaning.
fn is_sane(found: f64) -> bool {
    found.is_finite() && found.abs() <= 1e5
}

/// Running sums, millimetres, beginning with 0.
fn sums(parts: &[Length]) -> Vec<f64> {
    let mut sum_mm = 0.0;
    let mut sums = vec![sum_mm];
    for part in parts {
        sum_mm += part.to_mm();
        sums.push(sum_mm);
    }
    sums
}
