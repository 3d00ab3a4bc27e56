//! Loops between the bar and the frame: the shortest that holds at both full locks, and what the piece to be cut does.

use super::Run;
use crate::ask::Ask;
use crate::build::When::Before;
use crate::rules::brake_line::{is_known_hydraulic, spoken_of};
use catalog::Dimension;
use mechanics::cockpit::Point;
use mechanics::housing_loop::{End, LockToLock, LoopError, Steering, Wanted, lock_to_lock, shortest_housing};
use quantity::{Angle, Length, Span};

/// Least radius of brake housing, 50 mm, and of shift housing, 40 mm: common practice, no citable figure.
pub(crate) const LEAST_RADIUS: [Length; 2] = [Length::mm(50.0), Length::mm(40.0)];
/// What a loop keeps over the straight way at every lock: common practice.
pub(crate) const LEAST_SLACK: Length = Length::mm(5.0);
/// The longest loop that is looked for.
const LONGEST: Length = Length::mm(1200.0);

/// The dimensions of the brake loop: lever end, its direction, frame end, its direction.
pub(crate) const BRAKE_LOOP: [Dimension; 4] = [
    Dimension::BrakeLoopLever,
    Dimension::BrakeLoopLeverAngle,
    Dimension::BrakeLoopStop,
    Dimension::BrakeLoopStopAngle,
];
/// The dimensions of the shift loop, in the same order.
pub(crate) const SHIFT_LOOP: [Dimension; 4] = [
    Dimension::ShiftLoopLever,
    Dimension::ShiftLoopLeverAngle,
    Dimension::ShiftLoopStop,
    Dimension::ShiftLoopStopAngle,
];

/// A loop between the bar and the frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// Its run.
    pub run: Run,
    /// The shortest housing that keeps slack and radius at every lock, in the middle of the readings, or why there is
    /// none.
    pub shortest: Result<LockToLock, String>,
    /// The longest of the shortest ones at the ends of the readings: what holds wherever the ends are inside their
    /// tolerances; or why there is none.
    pub shortest_at_ends: Result<Length, String>,
    /// The piece to be cut, millimetres, what it does in the middle of the readings, or why it has no shape; none
    /// where no piece is known.
    pub as_cut: Option<Result<LockToLock, String>>,
    /// Its least radius over the ends of all readings, millimetres; 0 where it does not reach.
    pub radius: Option<Span>,
    /// What it has to spare over the widest way, over all readings, millimetres.
    pub slack: Option<Span>,
    /// The widest way between the ends, millimetres.
    pub gap: Span,
    /// Whether it is a hose: then the piece is the string along the path, and what is cut comes from the loop.
    pub run_is_hose: bool,
    /// The least radius that was asked of it.
    pub least_radius: Length,
}

impl Loop {
    /// What to cut where the loop decides: what holds at the ends of the readings.
    pub fn to_cut(&self) -> Option<Length> {
        self.shortest_at_ends.as_ref().ok().copied()
    }
}

/// The steering of a loop in the middle of its readings, by how much its widest gap may be off, and how coarse its
/// two directions are.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seen {
    steering: Steering,
    off_mm: f64,
    coarse: [Angle; 2],
}

impl Seen {
    /// The widest way between the ends at full lock, millimetres.
    pub(crate) fn gap(&self) -> Span {
        Span::around(self.steering.widest_gap().to_mm(), self.off_mm)
    }
}

/// Whether anybody took an end of the loop.
pub(crate) fn is_looked_at(ask: &Ask<'_>, places: [Dimension; 4]) -> bool {
    places.iter().any(|place| spoken_of(ask, Before, *place))
}

/// The ends of a loop as they were read; asked for.
pub(crate) fn seen(ask: &mut Ask<'_>, places: [Dimension; 4], lock: Option<Span>) -> Option<Seen> {
    let [lever, lever_angle, stop, stop_angle] = places;
    let lever = place(ask, lever);
    let lever_angle = ask.number(Before, lever_angle);
    let stop = place(ask, stop);
    let stop_angle = ask.number(Before, stop_angle);
    let ([lever_x, lever_y], [stop_x, stop_y], lock) = (lever?, stop?, lock?);
    let (lever_angle, stop_angle) = (lever_angle?, stop_angle?);
    let at = |x: Span, y: Span, angle: Span| End {
        at: Point { x_mm: x.middle(), y_mm: y.middle() },
        tangent: Angle::deg(angle.middle()),
    };
    let lever_off_mm = lever_x.half_width().hypot(lever_y.half_width());
    // The end moves with the bar on the longest arm that the readings leave it.
    let arm_mm = lever_x.middle().hypot(lever_y.middle()) + lever_off_mm;
    let off_mm = lever_off_mm
        + stop_x.half_width().hypot(stop_y.half_width())
        + arm_mm * lock.half_width().to_radians();
    let steering = Steering {
        axis: Point { x_mm: 0.0, y_mm: 0.0 },
        bar_end: at(lever_x, lever_y, lever_angle),
        frame_end: at(stop_x, stop_y, stop_angle),
        lock: Angle::deg(lock.middle()),
    };
    let coarse = [lever_angle, stop_angle].map(|angle| Angle::deg(angle.half_width()));
    Some(Seen { steering, off_mm, coarse })
}

/// A place of two numbers; with another count it is taken again.
fn place(ask: &mut Ask<'_>, dimension: Dimension) -> Option<[Span; 2]> {
    let read = ask.lengths(Before, dimension)?;
    if let [x, y] = read[..] {
        return Some([x, y]);
    }
    ask.recount(Before, dimension);
    None
}

/// Looks at a loop; nothing where nobody took its ends. `piece` asks for the loop's part of the piece to be cut.
pub(super) fn looked<'a>(
    ask: &mut Ask<'a>,
    run: Run,
    places: [Dimension; 4],
    least_radius: Length,
    fold: Option<Span>,
    piece: impl FnOnce(&mut Ask<'a>) -> Option<Span>,
) -> Option<Loop> {
    if !is_looked_at(ask, places) {
        return None;
    }
    let piece = piece(ask);
    let run_is_hose = run == Run::BrakeRear && is_known_hydraulic(ask.build);
    let lock = ask.number(Before, Dimension::SteeringLock);
    let seen = seen(ask, places, lock)?;
    let least_slack = LEAST_SLACK + Length::mm(fold.map_or(0.0, Span::most));
    let wanted = Wanted { least_radius, least_slack };
    let shortest = shortest_housing(&seen.steering, &wanted, LONGEST).map_err(|error| error.to_string());
    let shortest_at_ends = at_ends(&seen, &wanted).map_err(|error| error.to_string());
    let as_cut = piece.map(|piece| {
        lock_to_lock(&seen.steering, Length::mm(piece.middle())).map_err(|error| error.to_string())
    });
    let gap = seen.gap();
    let slack = piece.map(|piece| piece - gap);
    let radius = piece.map(|piece| radii(&seen, piece));
    Some(Loop { run, shortest, shortest_at_ends, as_cut, radius, slack, gap, run_is_hose, least_radius })
}

/// All four corners of the two directions, with the ends moved apart by `apart_mm`.
fn corners(seen: &Seen, apart_mm: f64) -> impl Iterator<Item = Steering> {
    let Seen { steering, coarse: [lever, stop], .. } = *seen;
    let (bar, frame) = (steering.bar_end.at, steering.frame_end.at);
    let (x_mm, y_mm) = (frame.x_mm - bar.x_mm, frame.y_mm - bar.y_mm);
    let share = apart_mm / x_mm.hypot(y_mm).max(1.0);
    let moved = Point { x_mm: frame.x_mm + x_mm * share, y_mm: frame.y_mm + y_mm * share };
    [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)].into_iter().map(move |(one, other)| Steering {
        bar_end: End { tangent: steering.bar_end.tangent + lever * one, ..steering.bar_end },
        frame_end: End { at: moved, tangent: steering.frame_end.tangent + stop * other },
        ..steering
    })
}

/// The longest of the shortest housings at the corners of the directions, with the slack widened by what the gap may
/// be off.
fn at_ends(seen: &Seen, wanted: &Wanted) -> Result<Length, LoopError> {
    let wanted = Wanted { least_slack: wanted.least_slack + Length::mm(seen.off_mm), ..*wanted };
    corners(seen, 0.0).try_fold(Length::mm(0.0), |longest, steering| {
        let found = shortest_housing(&steering, &wanted, LONGEST)?.length;
        Ok(if found > longest { found } else { longest })
    })
}

/// Least radius at the corners of directions, length and gap; 0 where the piece has no shape.
pub(crate) fn radii(seen: &Seen, piece: Span) -> Span {
    let tightest = |steering: &Steering, length_mm: f64| {
        lock_to_lock(steering, Length::mm(length_mm)).map_or(0.0, |found| found.tightest.to_mm())
    };
    let middle = Span::exact(tightest(&seen.steering, piece.middle()));
    let ends = [(piece.least(), seen.off_mm), (piece.most(), -seen.off_mm)];
    ends.into_iter()
        .flat_map(|(length_mm, apart_mm)| corners(seen, apart_mm).map(move |corner| (corner, length_mm)))
        .fold(middle, |all, (corner, length_mm)| all.join(Span::exact(tightest(&corner, length_mm))))
}
