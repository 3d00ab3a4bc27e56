//! A free loop from a bar that turns to a frame that does not, between both full locks. Begin with
//! [`shortest_housing`].

use super::least_energy::{Clamps, Rest, settle};
use super::{
    End, FINE, FreeLoop, LoopError, MORE, MORE_MODES, USUAL, USUAL_MODES, best_start, clamps, curvature_most,
    finish, gap,
};
use crate::cockpit::Point;
use quantity::{Angle, Length};

/// A loop seen along the steering axis: where the axis is, the end that turns with the bar, the end that does
/// not, and how far the bar turns to either side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steering {
    /// The steering axis, millimetres.
    pub axis: Point,
    /// The end at the bar with the bar straight ahead.
    pub bar_end: End,
    /// The end at the frame.
    pub frame_end: End,
    /// Full lock, the same to both sides.
    pub lock: Angle,
}

/// What a housing has to keep between both locks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// The least radius it may bend to.
    pub least_radius: Length,
    /// What it has to be longer than the straight way between its ends, at every lock.
    pub least_slack: Length,
}

/// A housing between both locks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LockToLock {
    /// Its length.
    pub length: Length,
    /// Least radius with the bar turned fully from y toward x (clockwise when x is right and y is up).
    pub radius_one_lock: Length,
    /// Least radius straight ahead.
    pub radius_ahead: Length,
    /// Least radius with the bar turned fully from x toward y.
    pub radius_other_lock: Length,
    /// The least of all radii looked at.
    pub tightest: Length,
    /// The steering angle of it.
    pub tightest_at: Angle,
    /// What is left of the length over the straight way, where that is least.
    pub slack: Length,
}

/// Steering angles looked at to each side of straight ahead.
pub const LOOKS_EACH_SIDE: usize = 10;

/// How exactly the shortest length is found; a housing is cut to half a millimetre.
pub const LENGTH_EXACT: Length = Length::mm(0.05);

/// Share by which the search lengthens the housing from look to look.
const STRIDE: f64 = 0.02;

impl Steering {
    /// The end at the bar at a steering angle, positive from x toward y.
    pub fn bar_end_at(&self, steering: Angle) -> End {
        let (sine, cosine) = steering.to_rad().sin_cos();
        let x = self.bar_end.at.x_mm - self.axis.x_mm;
        let y = self.bar_end.at.y_mm - self.axis.y_mm;
        End {
            at: Point {
                x_mm: self.axis.x_mm + x * cosine - y * sine,
                y_mm: self.axis.y_mm + x * sine + y * cosine,
            },
            tangent: self.bar_end.tangent + steering,
        }
    }

    /// The widest straight way between the ends, over all steering angles between both locks.
    ///
    /// `√(r² + s² − 2 r s cos min(δ + lock, π))`, with r and s the ways from the axis to either end and δ the angle
    /// between them straight ahead: cosine rule. Rises with the lock, up to r + s.
    pub fn widest_gap(&self) -> Length {
        let from_axis = |end: End| (end.at.x_mm - self.axis.x_mm, end.at.y_mm - self.axis.y_mm);
        let ((bar_x, bar_y), (stop_x, stop_y)) = (from_axis(self.bar_end), from_axis(self.frame_end));
        let (bar, stop) = (bar_x.hypot(bar_y), stop_x.hypot(stop_y));
        let apart = (bar_x * stop_y - bar_y * stop_x).atan2(bar_x * stop_x + bar_y * stop_y).abs();
        let widest = (apart + self.lock.to_rad().abs()).min(std::f64::consts::PI);
        // As (r − s)² + 4 r s sin²(δ/2), which keeps its digits where the ends all but meet.
        let half_sine = (widest / 2.0).sin();
        let square = (bar - stop).powi(2) + 4.0 * bar * stop * half_sine * half_sine;
        Length::mm(square.max(0.0).sqrt())
    }

    fn angle(&self, look: i32) -> Angle {
        self.lock * (f64::from(look) / LOOKS_EACH_SIDE as f64)
    }
}

/// What a housing of a given length does between both locks.
///
/// It starts straight ahead with the shape of least energy and follows that shape to either lock, as the
/// housing itself does, at [`LOOKS_EACH_SIDE`] angles to each side. Where the shape stops being one of rest the
/// housing snaps to the next one, and so does this.
///
/// # Errors
/// As [`super::free_loop`], at the first angle where there is no shape.
pub fn lock_to_lock(steering: &Steering, length: Length) -> Result<LockToLock, LoopError> {
    let ahead = super::free_loop(steering.bar_end, steering.frame_end, length)?;
    let mut found = LockToLock {
        length,
        radius_one_lock: ahead.least_radius(),
        radius_ahead: ahead.least_radius(),
        radius_other_lock: ahead.least_radius(),
        tightest: ahead.least_radius(),
        tightest_at: Angle::deg(0.0),
        slack: length - steering.widest_gap(),
    };
    for side in [-1, 1] {
        let mut before = ahead;
        for look in 1..=LOOKS_EACH_SIDE as i32 {
            let angle = steering.angle(side * look);
            let bar_end = steering.bar_end_at(angle);
            let clamps = clamps(bar_end, steering.frame_end, length)?;
            let rest = finish(bar_end, length, &clamps, &as_rest(&before))
                .or_else(|| best_start(&clamps).and_then(|start| finish(bar_end, length, &clamps, &start)));
            let Some(here) = rest else {
                return Err(LoopError::NotSettled { length, gap: gap(bar_end, steering.frame_end) });
            };
            if here.least_radius() < found.tightest {
                (found.tightest, found.tightest_at) = (here.least_radius(), angle);
            }
            before = here;
        }
        if side < 0 {
            found.radius_one_lock = before.least_radius();
        } else {
            found.radius_other_lock = before.least_radius();
        }
    }
    Ok(found)
}

/// The shortest housing that keeps its slack and its radius from lock to lock, up to a longest.
///
/// Lengths are tried from the widest gap and its slack upward by 2 %, then halved down to [`LENGTH_EXACT`]
/// between the last that fails and the first that does not. A window of lengths narrower than one stride may be
/// passed over; then the next one is found, never one that fails.
///
/// Does not fall by more than [`LENGTH_EXACT`] as the wanted radius grows, and never lies below the widest gap and the wanted slack.
///
/// # Errors
/// [`LoopError::NoLength`] with the nearest when none will do; [`LoopError::TooShort`] if the longest does not
/// reach; otherwise as [`super::free_loop`].
///
/// # Source
/// Search over [`lock_to_lock`]; against a plain scan in steps of 0.5 mm:
/// `tests/elastica.rs::the_search_finds_what_a_plain_scan_finds`.
pub fn shortest_housing(
    steering: &Steering,
    wanted: &Wanted,
    longest: Length,
) -> Result<LockToLock, LoopError> {
    for found in [
        steering.axis.x_mm,
        steering.axis.y_mm,
        steering.lock.to_rad(),
        wanted.least_radius.to_mm(),
        wanted.least_slack.to_mm(),
        longest.to_mm(),
    ] {
        if !found.is_finite() {
            return Err(LoopError::NotFinite { found });
        }
    }
    let least = steering.widest_gap() + Length::mm(wanted.least_slack.to_mm().max(LENGTH_EXACT.to_mm()));
    // Ends that are no numbers are named before their gap is.
    clamps(steering.bar_end, steering.frame_end, Length::mm(f64::MAX))?;
    if least > longest {
        return Err(LoopError::TooShort { length: longest, gap: least });
    }
    let mut nearest = (least, Length::mm(0.0));
    let mut fails = None;
    let mut side = 1;
    let mut length = least;
    loop {
        let radius;
        (radius, side) = radius_kept(steering, length, wanted.least_radius, side);
        if radius >= wanted.least_radius {
            break;
        }
        if radius > nearest.1 {
            nearest = (length, radius);
        }
        if length >= longest {
            let (nearest, radius) = nearest;
            return Err(LoopError::NoLength { nearest, radius, wanted: wanted.least_radius });
        }
        fails = Some(length);
        length = Length::mm((length.to_mm() * (1.0 + STRIDE)).min(longest.to_mm()));
    }
    if let Some(mut low) = fails {
        while length - low > LENGTH_EXACT {
            let middle = (low + length) * 0.5;
            let radius;
            (radius, side) = radius_kept(steering, middle, wanted.least_radius, side);
            if radius >= wanted.least_radius {
                length = middle;
            } else {
                low = middle;
            }
        }
    }
    exactly_kept(steering, wanted, length, longest)
}

/// The search looks less closely than [`lock_to_lock`]; where the two differ by a hair the housing is cut a little
/// longer, and where they follow different shapes it is refused.
fn exactly_kept(
    steering: &Steering,
    wanted: &Wanted,
    length: Length,
    longest: Length,
) -> Result<LockToLock, LoopError> {
    /// Half a millimetre, as a housing is cut.
    const TRIES: u32 = 10;
    let mut found = lock_to_lock(steering, length)?;
    for _ in 0..TRIES {
        if found.tightest >= wanted.least_radius {
            return Ok(found);
        }
        if found.length + LENGTH_EXACT > longest {
            break;
        }
        found = lock_to_lock(steering, found.length + LENGTH_EXACT)?;
    }
    Err(LoopError::NoLength { nearest: found.length, radius: found.tightest, wanted: wanted.least_radius })
}

/// The least radius between both locks, or the first one found that is below the wanted; 0 without a shape.
///
/// It looks first to the side that failed last, where the next length is likely to fail too, and says which side
/// that was.
fn radius_kept(steering: &Steering, length: Length, wanted: Length, side_first: i32) -> (Length, i32) {
    let none = Length::mm(0.0);
    let clamps_at = |angle: Angle| clamps(steering.bar_end_at(angle), steering.frame_end, length).ok();
    let afresh = |clamps: &Clamps| followed(clamps, &best_start(clamps)?.widened());
    let radius_of =
        |clamps: &Clamps, rest: &Rest<FINE>| Length::mm(length.to_mm() / curvature_most(rest, clamps));
    let Some((ahead, at_ahead)) = clamps_at(Angle::deg(0.0)).and_then(|at| Some((afresh(&at)?, at))) else {
        return (none, side_first);
    };
    let mut tightest = radius_of(&at_ahead, &ahead);
    for side in [side_first, -side_first] {
        let (mut before, mut last) = (ahead, ahead);
        for look in 1..=LOOKS_EACH_SIDE as i32 {
            if tightest < wanted {
                return (tightest, side);
            }
            let Some(at) = clamps_at(steering.angle(side * look)) else {
                return (none, side);
            };
            // As the shape has changed it goes on to change, which saves a step or two.
            let onward = followed(&at, &last.onward(&before)).or_else(|| followed(&at, &last));
            let Some(rest) = onward.or_else(|| afresh(&at)) else {
                return (none, side);
            };
            tightest = Length::mm(tightest.to_mm().min(radius_of(&at, &rest).to_mm()));
            (before, last) = (last, rest);
        }
    }
    (tightest, side_first)
}

/// A shape of rest near another, as exact as a search needs it.
fn followed(clamps: &Clamps, start: &Rest<FINE>) -> Option<Rest<FINE>> {
    /// Newton's last step here; its square is what is left.
    const CLOSE: f64 = 1e-4;
    /// What the last modes may hold: a radius to about 1e-4 of itself.
    const TAIL_MOST: f64 = 1e-5;
    if start.used().len() <= USUAL {
        let usual = settle(&USUAL_MODES, clamps, start.widened::<USUAL>(), CLOSE)?;
        if usual.tail() <= TAIL_MOST {
            return Some(usual.widened());
        }
        return Some(settle(&MORE_MODES, clamps, usual.widened::<MORE>(), CLOSE)?.widened());
    }
    Some(settle(&MORE_MODES, clamps, start.widened::<MORE>(), CLOSE)?.widened())
}

/// A shape as a start for the next one.
fn as_rest(shape: &FreeLoop) -> Rest<FINE> {
    Rest { modes: shape.modes, pull: shape.force.map(|force| -force) }
}
