//! The shape that a free piece of housing takes between two ends that hold it. Begin with [`free_loop`]; for a
//! bar that turns, with [`shortest_housing`].
//!
//! The housing is a thin rod that bends and does not stretch: an elastica, in one plane. Its stiffness does not
//! enter the shape; energy, force and moment are given for a stiffness EI of 1 N mm² and grow with it.
//!
//! Of several shapes of rest the one of least energy is taken. It is found as a sum of smooth modes whose
//! energy is least while the far end stays where it is held (`housing_loop/least_energy.rs`).

mod full_lock;
mod least_energy;
mod modes;

pub use full_lock::{
    LENGTH_EXACT, LOOKS_EACH_SIDE, LockToLock, Steering, Wanted, lock_to_lock, shortest_housing,
};

use crate::cockpit::Point;
use least_energy::{Clamps, Rest, settle};
use modes::{EvenLooks, Modes, curvature_at, swung_to};
use quantity::{Angle, Length};
use std::f64::consts::TAU;
use std::fmt;
use std::sync::LazyLock;

/// One end of a piece of housing: where it is, and which way the housing points there, walking from the first
/// end to the last. A full turn more in the angle is another shape: 350° is not −10°.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Where the end is held, millimetres.
    pub at: Point,
    /// Direction of the housing, from the x axis toward the y axis.
    pub tangent: Angle,
}

/// Why a free loop cannot be told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LoopError {
    /// A place, an angle or a length is no finite number.
    NotFinite {
        /// What was found.
        found: f64,
    },
    /// The housing does not reach from end to end with anything to spare.
    TooShort {
        /// Its length.
        length: Length,
        /// The straight way between the ends.
        gap: Length,
    },
    /// No smooth shape of rest was found: the housing is all but taut, or winds more than a loop does.
    NotSettled {
        /// Its length.
        length: Length,
        /// The straight way between the ends.
        gap: Length,
    },
    /// No length up to the longest keeps the radius at every lock.
    NoLength {
        /// The length that came nearest.
        nearest: Length,
        /// Its least radius.
        radius: Length,
        /// The least radius that was wanted.
        wanted: Length,
    },
}

impl fmt::Display for LoopError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { found } => write!(f, "found {found} where a finite number was wanted"),
            Self::TooShort { length, gap } => {
                write!(f, "a housing of {length:.1} does not reach across {gap:.1} with anything to spare")
            }
            Self::NotSettled { length, gap } => {
                write!(f, "no smooth shape of rest found for a housing of {length:.2} across {gap:.2}")
            }
            Self::NoLength { nearest, radius, wanted } => write!(
                f,
                "no housing keeps a radius of {wanted:.1}; the nearest, {nearest:.1} long, bends to {radius:.1}"
            ),
        }
    }
}

impl std::error::Error for LoopError {}

/// Modes of the shape that is given out; a shape they cannot hold is refused.
const FINE: usize = 48;

/// What the last modes may still hold, as a share of all: above it the shape is not resolved.
const TAIL_MOST: f64 = 1e-8;

/// As [`TAIL_MOST`], with all modes in use.
const TAIL_MOST_FINE: f64 = 1e-7;

/// The last Newton step but for its square, see [`settle`].
const CLOSE: f64 = 1e-6;

/// Modes that hold gentle curves.
const USUAL: usize = 20;

/// Modes that hold curves that turn harder at an end.
const MORE: usize = 32;

/// A first look from every start, cheap; only the best goes on.
static COARSE_MODES: LazyLock<Modes<8, 16>> = LazyLock::new(Modes::new);
static USUAL_MODES: LazyLock<Modes<USUAL, 34>> = LazyLock::new(Modes::new);
static MORE_MODES: LazyLock<Modes<MORE, 52>> = LazyLock::new(Modes::new);
static FINE_MODES: LazyLock<Modes<FINE, 76>> = LazyLock::new(Modes::new);

/// Steps along the housing in which its greatest curvature is looked for; a loop has a handful of extremes.
const LOOKS: usize = 48;

static EVEN_LOOKS: LazyLock<EvenLooks<FINE, { LOOKS + 1 }>> = LazyLock::new(EvenLooks::new);

/// A free loop at rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FreeLoop {
    from: End,
    length_mm: f64,
    /// Angle turned from end to end, radians.
    turn: f64,
    modes: [f64; FINE],
    /// Force of the far clamp on the housing, times length² over stiffness.
    force: [f64; 2],
    least_radius_mm: f64,
}

/// The shape of rest of a housing of a given length between two ends.
///
/// `θ'' = h sin θ − v cos θ` with x, y and θ held at both ends: the shape of least `½ ∫ θ'² ds`.
///
/// Lengths times k give curvature over k and energy over k; mirror and swap change nothing else. A length near
/// the gap bends hard at the ends unless they point at each other, a long one bends hard in its belly: between
/// lies the length with the largest radius. Radius and energy agree with a general numerical library to 1e-6
/// for lengths of 1.005 to 2.6 gaps. Of two shapes of one energy (ends that point at each other buckle either
/// way) either may come out. The plane is the only way out that it knows: a housing that can lift out of it
/// bends less.
///
/// # Errors
/// [`LoopError::NotFinite`]; [`LoopError::TooShort`] for a length up to the gap; [`LoopError::NotSettled`] where
/// no shape is found that the modes can hold: with less than about 0.05 % to spare.
///
/// # Source
/// Euler's elastica. Checked against collocation and shooting of a general numerical library over more than 500
/// geometries, and against quarter and half of a circle: `tests/elastica.rs`.
///
/// # Example
/// ```
/// use mechanics::housing_loop::{End, free_loop};
/// use mechanics::Point;
/// use quantity::{Angle, Length};
/// let bar = End { at: Point { x_mm: 0.0, y_mm: 0.0 }, tangent: Angle::deg(0.0) };
/// let frame = End { at: Point { x_mm: 100.0, y_mm: 100.0 }, tangent: Angle::deg(90.0) };
/// // A quarter of a circle of 100 mm.
/// let housing = free_loop(bar, frame, Length::mm(157.07963))?;
/// assert_eq!(format!("{:.3}", housing.least_radius()), "100.000 mm");
/// # Ok::<(), mechanics::housing_loop::LoopError>(())
/// ```
pub fn free_loop(from: End, to: End, length: Length) -> Result<FreeLoop, LoopError> {
    let clamps = clamps(from, to, length)?;
    let unsettled = LoopError::NotSettled { length, gap: gap(from, to) };
    let Some(coarse) = best_start(&clamps) else {
        return Err(unsettled);
    };
    finish(from, length, &clamps, &coarse).ok_or(unsettled)
}

/// The straight way between two ends.
pub fn gap(from: End, to: End) -> Length {
    Length::mm((to.at.x_mm - from.at.x_mm).hypot(to.at.y_mm - from.at.y_mm))
}

impl FreeLoop {
    /// Length of the housing.
    pub fn length(&self) -> Length {
        Length::mm(self.length_mm)
    }

    /// Radius where it bends hardest; infinity when it is straight.
    pub fn least_radius(&self) -> Length {
        Length::mm(self.least_radius_mm)
    }

    /// Bending energy for a stiffness of 1 N mm², in N mm: `½ ∫ κ² ds`.
    pub fn energy(&self) -> f64 {
        let modes: f64 = self.modes.iter().map(|mode| mode * mode).sum();
        0.5 * (self.turn * self.turn + modes) / self.length_mm
    }

    /// Force along x and y with which the far end is held, for a stiffness of 1 N mm², in N. The near end is held
    /// with the opposite. It is the slope of the energy as the far end is moved.
    pub fn end_force(&self) -> [f64; 2] {
        self.force.map(|force| force / (self.length_mm * self.length_mm))
    }

    /// Curvature at a share of the length from the first end, 1/mm; positive turns from x toward y. Times the
    /// stiffness it is the bending moment.
    pub fn curvature_per_mm(&self, share: f64) -> f64 {
        curvature_at(&self.modes, self.turn, share.clamp(0.0, 1.0)) / self.length_mm
    }

    /// All bends together, whichever way they go: what a cable inside feels of them.
    pub fn turned(&self) -> Angle {
        // Between looks the bend is the change of direction, unless it turns back there; then what is lost is
        // below the bend of one look.
        let direction = |look: usize| {
            let (swing, _) = EVEN_LOOKS.at(&self.modes, look);
            self.turn * EvenLooks::<FINE, { LOOKS + 1 }>::share(look) + swing
        };
        Angle::rad((0..LOOKS).map(|look| (direction(look + 1) - direction(look)).abs()).sum())
    }

    /// Place and direction at a share of the length from the first end, 0 to 1; held to that range.
    pub fn at(&self, share: f64) -> End {
        let share = share.clamp(0.0, 1.0);
        let start = self.from.tangent.to_rad();
        let angle_at = |s: f64| start + self.turn * s + swung_to(&self.modes, s);
        let (mut x, mut y) = (0.0, 0.0);
        for (node, weight) in FINE_MODES.rule() {
            let angle = angle_at(node * share);
            x += weight * angle.cos();
            y += weight * angle.sin();
        }
        let reach_mm = self.length_mm * share;
        End {
            at: Point { x_mm: self.from.at.x_mm + reach_mm * x, y_mm: self.from.at.y_mm + reach_mm * y },
            tangent: Angle::rad(angle_at(share)),
        }
    }

    /// Fills the slots with ends spread evenly along the housing, first and last included.
    pub fn trace(&self, along: &mut [End]) {
        let last = along.len().saturating_sub(1).max(1) as f64;
        for (index, end) in along.iter_mut().enumerate() {
            *end = self.at(index as f64 / last);
        }
    }
}

/// The ends as shares of the length, once they are known to be sound.
fn clamps(from: End, to: End, length: Length) -> Result<Clamps, LoopError> {
    let numbers = [
        from.at.x_mm,
        from.at.y_mm,
        from.tangent.to_rad(),
        to.at.x_mm,
        to.at.y_mm,
        to.tangent.to_rad(),
        length.to_mm(),
    ];
    if let Some(&found) = numbers.iter().find(|number| !number.is_finite()) {
        return Err(LoopError::NotFinite { found });
    }
    if length <= gap(from, to) || length.to_mm() <= 0.0 {
        return Err(LoopError::TooShort { length, gap: gap(from, to) });
    }
    Ok(Clamps {
        x: (to.at.x_mm - from.at.x_mm) / length.to_mm(),
        y: (to.at.y_mm - from.at.y_mm) / length.to_mm(),
        start: from.tangent.to_rad(),
        turn: to.tangent.to_rad() - from.tangent.to_rad(),
    })
}

/// Every smooth start, settled coarsely; the one of least energy.
fn best_start(clamps: &Clamps) -> Option<Rest<8>> {
    /// First mode that swings the middle by 1 rad: its swing there is √3/4.
    const ARCH: f64 = 2.31;
    /// Second mode that swings about the quarters by 1 rad, one to each side.
    const WAVE: f64 = 4.65;
    // A swing of a cos shortens the way by a²/4: as far as the length has to spare.
    let swing = 2.0 * (1.0 - clamps.x.hypot(clamps.y)).sqrt();
    let (arch, wave) = (ARCH * swing, WAVE * swing);
    // The middle turned to point along the gap.
    let along = clamps.y.atan2(clamps.x) - clamps.start - 0.5 * clamps.turn;
    let along = along - TAU * (along / TAU).round();
    let starts = [[-along * ARCH, 0.0], [arch, 0.0], [-arch, 0.0], [0.0, wave], [0.0, -wave]];
    let mut best: Option<Rest<8>> = None;
    for [arch, wave] in starts {
        let mut start = Rest { modes: [0.0; 8], pull: [0.0; 2] };
        start.modes[0] = arch;
        start.modes[1] = wave;
        let Some(rest) = settle(&COARSE_MODES, clamps, start, 1e-4) else { continue };
        if best.is_none_or(|best| rest.energy() < best.energy()) {
            best = Some(rest);
        }
    }
    best
}

/// A coarse shape made exact, with as many modes as it takes.
fn finish<const N: usize>(from: End, length: Length, clamps: &Clamps, coarse: &Rest<N>) -> Option<FreeLoop> {
    let fine = match settle(&USUAL_MODES, clamps, coarse.widened::<USUAL>(), CLOSE) {
        Some(rest) if rest.tail() <= TAIL_MOST => rest.widened::<FINE>(),
        Some(rest) => match settle(&MORE_MODES, clamps, rest.widened::<MORE>(), CLOSE) {
            Some(rest) if rest.tail() <= TAIL_MOST => rest.widened::<FINE>(),
            Some(rest) => settle(&FINE_MODES, clamps, rest.widened(), CLOSE)?,
            None => return None,
        },
        None => settle(&FINE_MODES, clamps, coarse.widened(), CLOSE)?,
    };
    if fine.tail() > TAIL_MOST_FINE {
        return None;
    }
    let most = curvature_most(&fine, clamps);
    Some(FreeLoop {
        from,
        length_mm: length.to_mm(),
        turn: clamps.turn,
        modes: fine.modes,
        force: fine.pull.map(|pull| -pull),
        least_radius_mm: length.to_mm() / most,
    })
}

/// The greatest curvature anywhere, for a length of 1: at an end, or where `κ' = h sin θ − v cos θ` is 0.
fn curvature_most<const N: usize>(rest: &Rest<N>, clamps: &Clamps) -> f64 {
    let used = rest.used();
    let slope_at = |share: f64, swing: f64| {
        let (sine, cosine) = (clamps.start + clamps.turn * share + swing).sin_cos();
        rest.pull[1] * cosine - rest.pull[0] * sine
    };
    let mut looks = [(0.0, 0.0); LOOKS + 1];
    for (index, look) in looks.iter_mut().enumerate() {
        let (swing, curvature) = EVEN_LOOKS.at(used, index);
        let share = EvenLooks::<FINE, { LOOKS + 1 }>::share(index);
        *look = ((clamps.turn + curvature).abs(), slope_at(share, swing));
    }
    let seen = looks.iter().fold(0.0, |most: f64, look| most.max(look.0));
    let mut most = seen;
    for (index, pair) in looks.windows(2).enumerate() {
        let [(low_curvature, low_slope), (high_curvature, high_slope)] = [pair[0], pair[1]];
        // A top stands less than a tenth above the two looks beside it; two tops may be nearly as high.
        if low_slope * high_slope < 0.0 && low_curvature.max(high_curvature) > 0.9 * seen {
            let low = index as f64 / LOOKS as f64;
            let slope = |share: f64| slope_at(share, swung_to(used, share));
            let top = zero_between(slope, (low, low_slope), (low + 1.0 / LOOKS as f64, high_slope));
            most = most.max(curvature_at(used, clamps.turn, top).abs());
        }
    }
    most
}

/// Where a function is 0 between two places at which its signs differ: the chord, with the value of an end that
/// stays put halved (rule of Illinois). Near a top nothing more than six steps shows in the curvature.
fn zero_between(of: impl Fn(f64) -> f64, mut low: (f64, f64), mut high: (f64, f64)) -> f64 {
    let mut share = 0.5 * (low.0 + high.0);
    for _ in 0..6 {
        share = (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1);
        let found = of(share);
        if found * high.1 < 0.0 {
            low = high;
        } else {
            low.1 *= 0.5;
        }
        high = (share, found);
        if found == 0.0 {
            break;
        }
    }
    share
}
