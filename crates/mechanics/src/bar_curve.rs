//! A drop bar seen from the side, a lever on it, and the stem, spacers and turn of the bar that bring the hands
//! back to where they were. Begin with [`BarCurve::new`]; for the search, with [`bring_back`].
//!
//! x is forward and y is up. The curve begins at the middle of the clamp, runs down the ramp, and bends in one
//! arc until it points backward.

use crate::cockpit::{Point, stem_reach};
use quantity::{Angle, Length, SLACK};
use std::cmp::Ordering;
use std::f64::consts::PI;
use std::fmt;

/// Why a bar cannot be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BarError {
    /// Reach and drop allow no ramp of this slope with one arc.
    NoSuchBar {
        /// Reach of the bar.
        reach: Length,
        /// Drop of the bar.
        drop: Length,
        /// Slope of the ramp.
        ramp: Angle,
    },
    /// A number that is none.
    NotFinite {
        /// What was found.
        found: f64,
    },
    /// A place along the bar where there is none.
    OffTheBar {
        /// Distance from the clamp along the bar.
        found: Length,
        /// Length of the curve.
        length: Length,
    },
}

impl fmt::Display for BarError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchBar { reach, drop, ramp } => write!(
                f,
                "no bar with a reach of {reach:.0} and a drop of {drop:.0} has a ramp of {ramp:.1} and one arc"
            ),
            Self::NotFinite { found } => write!(f, "found {found} where a finite number was wanted"),
            Self::OffTheBar { found, length } => {
                write!(f, "{found:.1} along the bar lies beyond its curve of {length:.1}")
            }
        }
    }
}

impl std::error::Error for BarError {}

/// The side view of a drop bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarCurve {
    /// Slope of the ramp below level, radians.
    ramp: f64,
    ramp_mm: f64,
    radius_mm: f64,
}

/// A place on a bar or lever and the direction there, from level, up positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Where it is.
    pub at: Point,
    /// Which way the bar, or the top of the hood, points there.
    pub slope: Angle,
}

/// A lever body, as it sits on a bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeverBody {
    /// Clamp band from the middle of the bar clamp, along the curve.
    pub along_bar: Length,
    /// Trough of the hood in front of the clamp band, along the bar's direction there.
    pub trough_ahead: Length,
    /// Trough of the hood above the bar's line there.
    pub trough_above: Length,
    /// Slope of the hood against the bar's direction at the clamp band, up positive.
    pub hood_slope: Angle,
}

impl BarCurve {
    /// A bar with the ramp's slope below level, in the position in which reach and drop are measured.
    ///
    /// With α the slope, the ramp t and the radius r solve `t cos α + r (1 − sin α) = reach` and
    /// `t sin α + r (1 + cos α) = drop`: the arc's foremost point is the reach, its lowest the drop.
    ///
    /// Bars of several radii are drawn as one of a single radius; at the hoods that shifts the curve by a few
    /// millimetres, the same before and after a lever is moved.
    ///
    /// # Errors
    /// [`BarError::NoSuchBar`] if ramp or radius would be below 0; [`BarError::NotFinite`].
    pub fn new(reach: Length, drop: Length, ramp: Angle) -> Result<Self, BarError> {
        for found in [reach.to_mm(), drop.to_mm(), ramp.to_deg()] {
            if !found.is_finite() {
                return Err(BarError::NotFinite { found });
            }
        }
        let (sine, cosine) = ramp.to_rad().sin_cos();
        let (forward, down) = (1.0 - sine, 1.0 + cosine);
        let determinant = cosine * down - sine * forward;
        let ramp_mm = (reach.to_mm() * down - drop.to_mm() * forward) / determinant;
        let radius_mm = (drop.to_mm() * cosine - reach.to_mm() * sine) / determinant;
        let is_bar = ramp.abs() < Angle::deg(90.0) && ramp_mm >= 0.0 && radius_mm > 0.0;
        if !is_bar {
            return Err(BarError::NoSuchBar { reach, drop, ramp });
        }
        Ok(Self { ramp: ramp.to_rad(), ramp_mm, radius_mm })
    }

    /// Length of the curve from the clamp to where it points backward.
    pub fn length(&self) -> Length {
        Length::mm(self.ramp_mm + self.radius_mm * (PI - self.ramp))
    }

    /// Radius of the arc.
    pub fn radius(&self) -> Length {
        Length::mm(self.radius_mm)
    }

    /// A place along the curve from the middle of the clamp, with the bar as it is measured.
    ///
    /// # Errors
    /// [`BarError::OffTheBar`] before the clamp or beyond the curve.
    pub fn spot(&self, along: Length) -> Result<Spot, BarError> {
        let length_mm = self.length().to_mm();
        if !(-SLACK..=length_mm + SLACK).contains(&along.to_mm()) {
            return Err(BarError::OffTheBar { found: along, length: self.length() });
        }
        let along_mm = along.to_mm().clamp(0.0, length_mm);
        let straight_mm = along_mm.min(self.ramp_mm);
        let turned = (along_mm - straight_mm) / self.radius_mm;
        let (sine, cosine) = self.ramp.sin_cos();
        let (sine_there, cosine_there) = (self.ramp + turned).sin_cos();
        // Along the arc dx = r cos, dy = −r sin of the slope below level.
        let at = Point {
            x_mm: straight_mm * cosine + self.radius_mm * (sine_there - sine),
            y_mm: -straight_mm * sine - self.radius_mm * (cosine - cosine_there),
        };
        Ok(Spot { at, slope: Angle::rad(-(self.ramp + turned)) })
    }

    /// The trough of a lever's hood and its slope, with the bar turned up by so much; from the middle of the
    /// clamp.
    ///
    /// # Errors
    /// As [`BarCurve::spot`].
    pub fn hood(&self, lever: LeverBody, turned_up: Angle) -> Result<Spot, BarError> {
        let band = self.spot(lever.along_bar)?;
        let (sine, cosine) = band.slope.to_rad().sin_cos();
        let (ahead, above) = (lever.trough_ahead.to_mm(), lever.trough_above.to_mm());
        let trough = Point {
            x_mm: band.at.x_mm + ahead * cosine - above * sine,
            y_mm: band.at.y_mm + ahead * sine + above * cosine,
        };
        Ok(Spot { at: turned(trough, turned_up), slope: band.slope + lever.hood_slope + turned_up })
    }
}

/// Parts that may be tried to bring the hands back.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Stems at hand: length and angle, as [`stem_reach`] takes them.
    pub stems: Vec<(Length, Angle)>,
    /// Heights of spacers under the stem.
    pub spacers: Vec<Length>,
    /// Turns of the bar, up positive.
    pub turns: Vec<Angle>,
}

/// Where the hands have to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hands {
    /// Trough of the hood from the top of the steerer, with the slope of the hood to the floor.
    pub hood: Spot,
    /// Head angle from level.
    pub head_angle: Angle,
    /// Degrees of hood slope that weigh as much as a millimetre of place; infinity leaves the slope out.
    pub deg_per_mm: f64,
}

/// One way of bringing the hands back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Its stem in the list.
    pub stem: usize,
    /// Its spacers in the list.
    pub spacers: usize,
    /// Its turn in the list.
    pub turn: usize,
    /// Where the hood comes to lie, from the top of the steerer.
    pub hood: Spot,
    /// How far that is from where it was.
    pub off: Length,
    /// By how much the slope of the hood to the floor differs, up positive.
    pub slope_off: Angle,
    /// `√(off² + (slope/weight)²)`, what the order goes by, millimetres.
    pub score_mm: f64,
}

/// Every stem, spacer height and turn that can be tried, the nearest first; at most `most` of them.
///
/// All are tried: `score² = dx² + dy² + (slope/weight)²`. Of two with one score the one with the lower stack of
/// spacers comes first, then the one that stands first in the lists; so the order of a list of equal parts
/// decides and nothing else.
///
/// The residual of the best never grows when a choice is added.
///
/// # Errors
/// As [`BarCurve::hood`]; [`BarError::NotFinite`] for a choice that is no number.
///
/// # Source
/// Geometry; a hood recorded from known parts is found again: `tests/bars.rs`.
pub fn bring_back(
    bar: &BarCurve,
    lever: LeverBody,
    hands: Hands,
    choice: &Choice,
    most: usize,
) -> Result<Vec<Setting>, BarError> {
    bring_hood_back(bar.hood(lever, Angle::deg(0.0))?, hands, choice, most)
}

/// As [`bring_back`] for a hood whose place on the bar is measured: the trough from the middle of the clamp with the
/// bar as it is measured, forward and up, and its slope there.
///
/// A turn of the bar carries the trough round the clamp and adds to its slope. A trough whose height over the clamp
/// nobody took may be put level with it: each 20 mm that it truly stands above or below moves it by 0.35 mm along the
/// level for each degree of turn, and nothing else.
///
/// # Errors
/// [`BarError::NotFinite`], also for a score whose square is beyond every number.
///
/// # Source
/// Geometry; against matrices of rotation and a plain search: `tests/cockpit_reference.rs`.
pub fn bring_hood_back(
    hood: Spot,
    hands: Hands,
    choice: &Choice,
    most: usize,
) -> Result<Vec<Setting>, BarError> {
    let hoods: Vec<Spot> = choice
        .turns
        .iter()
        .map(|turn| Spot { at: turned(hood.at, *turn), slope: hood.slope + *turn })
        .collect();
    let none = Length::mm(0.0);
    let clamps: Vec<Point> = (choice.stems.iter())
        .map(|(length, angle)| stem_reach(*length, *angle, none, hands.head_angle))
        .collect();
    let stacks: Vec<Point> = (choice.spacers.iter())
        .map(|height| stem_reach(none, Angle::deg(0.0), *height, hands.head_angle))
        .collect();
    // A square is enough to rank by; roots are drawn and places kept for the few that are shown.
    let mut ranked: Vec<Ranked> = Vec::with_capacity(clamps.len() * stacks.len() * hoods.len());
    for (stem, clamp) in clamps.iter().enumerate() {
        for (spacers, stack) in stacks.iter().enumerate() {
            let (x_mm, y_mm) = (clamp.x_mm + stack.x_mm, clamp.y_mm + stack.y_mm);
            for (turn, hood) in hoods.iter().enumerate() {
                let dx = x_mm + hood.at.x_mm - hands.hood.at.x_mm;
                let dy = y_mm + hood.at.y_mm - hands.hood.at.y_mm;
                let slope = (hood.slope - hands.hood.slope).to_deg() / hands.deg_per_mm;
                let square = dx * dx + dy * dy + slope * slope;
                if !square.is_finite() {
                    return Err(BarError::NotFinite { found: square });
                }
                ranked.push(Ranked { square, stem, spacers, turn });
            }
        }
    }
    let stack_mm = |ranked: &Ranked| choice.spacers[ranked.spacers].to_mm();
    let order = |one: &Ranked, other: &Ranked| {
        let by_score = one.square.total_cmp(&other.square);
        let by_stack = stack_mm(one).total_cmp(&stack_mm(other));
        let by_list = (one.stem, one.spacers, one.turn).cmp(&(other.stem, other.spacers, other.turn));
        [by_score, by_stack, by_list].into_iter().find(|order| order.is_ne()).unwrap_or(Ordering::Equal)
    };
    if let Some(last) = most.checked_sub(1).filter(|last| *last < ranked.len()) {
        ranked.select_nth_unstable_by(last, order);
    }
    ranked.truncate(most);
    ranked.sort_unstable_by(order);
    let setting = |ranked: &Ranked| {
        let (clamp, stack, hood) = (clamps[ranked.stem], stacks[ranked.spacers], hoods[ranked.turn]);
        let at = Point {
            x_mm: clamp.x_mm + stack.x_mm + hood.at.x_mm,
            y_mm: clamp.y_mm + stack.y_mm + hood.at.y_mm,
        };
        Setting {
            stem: ranked.stem,
            spacers: ranked.spacers,
            turn: ranked.turn,
            hood: Spot { at, slope: hood.slope },
            off: Length::mm((at.x_mm - hands.hood.at.x_mm).hypot(at.y_mm - hands.hood.at.y_mm)),
            slope_off: hood.slope - hands.hood.slope,
            score_mm: ranked.square.sqrt(),
        }
    };
    Ok(ranked.iter().map(setting).collect())
}

/// One setting with the square of its score.
#[derive(Clone, Copy)]
struct Ranked {
    square: f64,
    stem: usize,
    spacers: usize,
    turn: usize,
}

/// A point turned about the middle of the clamp, up positive.
fn turned(point: Point, by: Angle) -> Point {
    let (sine, cosine) = by.to_rad().sin_cos();
    Point { x_mm: point.x_mm * cosine - point.y_mm * sine, y_mm: point.x_mm * sine + point.y_mm * cosine }
}
