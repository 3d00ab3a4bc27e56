//! A cable from lever to derailleur or brake: bends, forces out and back, lost motion, and what to cut.
//! Begin with [`CableRun::new`].
//!
//! Letters: μ the friction of strand on liner, θ bend, T tension, EA the stiffness of strand or housing, the
//! force that would change its length by its length.

use crate::cable::{ferrules, tension_ratio};
use crate::housing_loop::FreeLoop;
use quantity::{Angle, Force, Length};
use std::fmt;

/// A stretch of the run, in order from the lever.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// Strand without housing, straight.
    Bare {
        /// Its length.
        length: Length,
    },
    /// Housing that lies straight.
    Straight {
        /// Its length.
        length: Length,
    },
    /// Housing that bends.
    Bend {
        /// Its length along the bend.
        length: Length,
        /// By how much it bends, whichever way.
        turned: Angle,
    },
}

impl Piece {
    /// A free loop as a bend: its length and all its bends together.
    pub fn from_loop(shape: &FreeLoop) -> Self {
        Self::Bend { length: shape.length(), turned: shape.turned() }
    }

    /// Its length.
    pub fn length(self) -> Length {
        match self {
            Self::Bare { length } | Self::Straight { length } | Self::Bend { length, .. } => length,
        }
    }

    /// Its bend; 0 for what lies straight.
    pub fn turned(self) -> Angle {
        match self {
            Self::Bend { turned, .. } => turned,
            Self::Bare { .. } | Self::Straight { .. } => Angle::deg(0.0),
        }
    }
}

/// Why a run cannot be told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RunError {
    /// A length or a bend that is no finite number or is below 0.
    NotAPiece {
        /// Its place in the run, the lever's as 0.
        place: usize,
        /// The number.
        found: f64,
    },
}

impl fmt::Display for RunError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self::NotAPiece { place, found } = self;
        write!(f, "piece {} of the run has {found}; wanted a length and a bend of 0 or more", place + 1)
    }
}

impl std::error::Error for RunError {}

/// A run, from the lever to the far end.
#[derive(Clone, Debug, PartialEq)]
pub struct CableRun {
    pieces: Vec<Piece>,
}

/// Tension at the lever for a tension at the far end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeverForces {
    /// While the lever pulls.
    pub pulling: Force,
    /// While the spring at the far end takes the cable back.
    pub returning: Force,
}

impl LeverForces {
    /// `e^(2μθ)`: how far the two directions are apart.
    pub fn hysteresis(self) -> f64 {
        self.pulling.to_newtons() / self.returning.to_newtons()
    }
}

/// What a run is made of and what pulls at its far end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Make {
    /// Friction of strand on liner.
    pub friction: f64,
    /// EA of the strand, as [`crate::cable::STRAND_STIFFNESS_N`].
    pub strand_stiffness: Force,
    /// EA of the housing when it is pressed together; infinity for one that does not give.
    pub housing_stiffness: Force,
    /// Tension at the far end while the lever pulls.
    pub tension: Force,
    /// By how much that tension rises for each millimetre of cable, newtons.
    pub spring_n_per_mm: f64,
    /// Free play of ferrules and ends, which both directions pass through.
    pub seating: Length,
}

/// Lengths to cut and small parts for a run.
#[derive(Clone, Debug, PartialEq)]
pub struct CutList {
    /// Each piece of housing, from the lever.
    pub housing: Vec<Length>,
    /// All housing together.
    pub housing_total: Length,
    /// The inner cable.
    pub inner: Length,
    /// Ferrules.
    pub ferrules: u32,
    /// End tips: one for an inner cable.
    pub tips: u32,
}

/// What the inner cable needs beyond the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InnerSpare {
    /// Inside the lever, to its anchor; common practice counts 100 mm.
    pub lever: Length,
    /// Beyond the anchor of the far end; common practice counts 40 to 60 mm.
    pub tail: Length,
}

impl CableRun {
    /// A run of pieces in order from the lever.
    ///
    /// # Errors
    /// [`RunError::NotAPiece`] for a length or a bend that is below 0 or no finite number.
    pub fn new(pieces: Vec<Piece>) -> Result<Self, RunError> {
        for (place, piece) in pieces.iter().enumerate() {
            for found in [piece.length().to_mm(), piece.turned().to_deg()] {
                if !found.is_finite() || found < 0.0 {
                    return Err(RunError::NotAPiece { place, found });
                }
            }
        }
        Ok(Self { pieces })
    }

    /// The pieces, from the lever.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// All bends together. Their order and where they are does not matter to the force, only to the stretch.
    pub fn total_bend(&self) -> Angle {
        Angle::deg(self.pieces.iter().map(|piece| piece.turned().to_deg()).sum())
    }

    /// All lengths together.
    pub fn length(&self) -> Length {
        Length::mm(self.pieces.iter().map(|piece| piece.length().to_mm()).sum())
    }

    /// Tension at the lever, out and back, for a tension at the far end.
    ///
    /// `T e^(μθ)` and `T e^(−μθ)`.
    ///
    /// Pulling rises with friction and bend, returning falls; both are T on a run without either. Length and
    /// radius do not enter.
    ///
    /// # Source
    /// Euler and Eytelwein, as [`tension_ratio`]; bends of gear housing measured on an amateur rig lie on the
    /// curve for μ = 0.06: `tests/cables.rs::measured_bends_of_gear_housing`.
    pub fn lever_forces(&self, friction: f64, far_end: Force) -> LeverForces {
        let ratio = tension_ratio(friction, self.total_bend());
        LeverForces { pulling: far_end * ratio, returning: far_end * (1.0 / ratio) }
    }

    /// Cable by which the far end stands further back after a pull than after a return to the same click.
    ///
    /// With `C± = ∫ e^(±μφ) (1/EA + 1/EA_h) ds`, φ the bend between the far end and the place, the strand is
    /// longer by `T C` in each direction; the far end then stands apart by `T (C₊ − C₋)/(1 + k C₋) + s`, with k
    /// the spring rate and s the seating. Bare strand has no housing to press. Exact for a spring that rises
    /// evenly.
    ///
    /// Rises with friction, bends, tension and seating, falls with both stiffnesses and the spring rate; bends
    /// near the far end cost more than bends near the lever. Without friction the seating alone is left.
    ///
    /// # Source
    /// Belt friction and the law of elasticity. Against a sum over 100 000 elements with the balance solved by
    /// halving: `tests/cables.rs::lost_motion_is_what_a_chain_of_springs_gives`.
    pub fn lost_motion(&self, make: &Make) -> Length {
        let (out, back) = (self.compliance(make, make.friction), self.compliance(make, -make.friction));
        let stretch_mm = make.tension.to_newtons() * (out - back) / (1.0 + make.spring_n_per_mm * back);
        Length::mm(stretch_mm) + make.seating
    }

    /// What to cut. Pieces of housing that follow one another are one; bare strand parts them.
    ///
    /// Inner: all lengths and the spare. `integral_stops` are stops that need no ferrule.
    ///
    /// # Source
    /// Counting. The spare is common practice.
    pub fn cut_list(&self, spare: InnerSpare, integral_stops: u32) -> CutList {
        let mut housing = Vec::new();
        let mut is_open = false;
        for piece in &self.pieces {
            match (piece, housing.last_mut()) {
                (Piece::Bare { .. }, _) => is_open = false,
                (_, Some(last)) if is_open => *last = *last + piece.length(),
                _ => {
                    housing.push(piece.length());
                    is_open = true;
                }
            }
        }
        let housing_total = Length::mm(housing.iter().map(|piece| piece.to_mm()).sum());
        let pieces = u32::try_from(housing.len()).unwrap_or(u32::MAX);
        CutList {
            housing,
            housing_total,
            inner: self.length() + spare.lever + spare.tail,
            ferrules: ferrules(pieces, integral_stops),
            tips: 1,
        }
    }

    /// `∫ e^(μφ) (1/EA + 1/EA_h) ds` from the far end to the lever, millimetres a newton.
    fn compliance(&self, make: &Make, friction: f64) -> f64 {
        let bare = 1.0 / make.strand_stiffness.to_newtons();
        let housed = bare + 1.0 / make.housing_stiffness.to_newtons();
        let mut grown = 1.0;
        let mut sum = 0.0;
        for piece in self.pieces.iter().rev() {
            let exponent = friction * piece.turned().to_rad();
            // The mean of e^x over an even bend; `exp_m1` keeps its digits where the bend is small.
            let mean = if exponent == 0.0 { 1.0 } else { exponent.exp_m1() / exponent };
            let soft = if matches!(piece, Piece::Bare { .. }) { bare } else { housed };
            sum += grown * mean * soft * piece.length().to_mm();
            grown *= exponent.exp();
        }
        sum
    }
}

/// A cable length in clicks of an adjuster: `lost / detent`.
///
/// Rises with the length, falls with the detent.
pub fn in_adjuster_clicks(lost: Length, detent: Length) -> f64 {
    lost.to_mm() / detent.to_mm()
}

/// The shortest stock cable that is long enough, and what is left of it; `None` if none is.
///
/// The order of the stock does not matter.
pub fn shortest_stock(inner: Length, stock: &[Length]) -> Option<(Length, Length)> {
    let long_enough = stock.iter().copied().filter(|length| *length >= inner);
    let shortest = long_enough.min_by(|one, other| one.to_mm().total_cmp(&other.to_mm()))?;
    Some((shortest, shortest - inner))
}
