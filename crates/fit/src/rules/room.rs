//! Room to limits where an interface has more than one. No rule: rules measure with it.

use crate::ask::Ask;
use crate::finding::Verdict;
use quantity::Span;

/// How far a value lies above the lower limit and below the upper one; negative outside.
pub(crate) fn inside(value: Span, least: Span, most: Span) -> [Span; 2] {
    [value - least, most - value]
}

/// How far a difference stays inside the most that is allowed on either side of nothing.
pub(crate) fn either_way(difference: Span, most: f64) -> [Span; 2] {
    inside(difference, Span::exact(-most), Span::exact(most))
}

/// The smallest of the rooms: what is shown as the margin.
pub(crate) fn tightest(rooms: &[Span]) -> Span {
    rooms.iter().fold(Span::exact(f64::INFINITY), |tight, room| {
        Span::new(tight.least().min(room.least()), tight.most().min(room.most()))
    })
}

/// Judges every room by the same bands; the worst counts.
///
/// One by one and not by the tightest: a room that is exactly nothing passes, and a second room with a wide
/// tolerance must not turn it into a failure.
pub(crate) fn judge(ask: &mut Ask<'_>, rooms: &[Span], bands: &[(f64, Verdict)]) -> Verdict {
    rooms.iter().map(|room| ask.bands(*room, bands)).max().unwrap_or(Verdict::Measure)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::Build;
    use crate::refit::Refit;

    #[test]
    fn the_margin_is_the_room_to_the_nearer_limit() {
        let room =
            |value| tightest(&inside(Span::exact(value), Span::exact(39.0), Span::exact(49.0))).middle();
        assert_eq!((room(40.0), room(47.0), room(51.0)), (1.0, 2.0, -2.0));
    }

    #[test]
    fn the_sign_of_a_difference_does_not_matter() {
        let room = |difference| tightest(&either_way(Span::exact(difference), 0.5));
        assert_eq!(room(0.25), room(-0.25));
    }

    #[test]
    fn a_coarse_room_makes_an_exact_one_uncertain_and_never_a_failure() {
        let build = Build::new(&Refit::default());
        let mut ask = Ask::new(&build);
        let bands = [(0.0, Verdict::Works)];
        assert_eq!(judge(&mut ask, &[Span::exact(0.0), Span::around(5.0, 1.0)], &bands), Verdict::Works);
        assert_eq!(judge(&mut ask, &[Span::exact(0.0), Span::around(5.0, 9.0)], &bands), Verdict::Measure);
        assert_eq!(judge(&mut ask, &[Span::exact(-1.0), Span::around(5.0, 9.0)], &bands), Verdict::Fails);
    }
}
