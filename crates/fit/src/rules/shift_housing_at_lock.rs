//! Does the shift housing reach its stop at both full locks?

use crate::ask::Ask;
use crate::finding::Hazard;
use crate::geometry::cut_list::loops::{LEAST_RADIUS, SHIFT_LOOP, is_looked_at};
use crate::rule::{Checked, Coupling, Rule};
use crate::rules::housing_at_lock::{at_locks, loop_of_piece};
use catalog::{Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "shift-housing-at-lock",
    title: "does the shift housing reach its stop at both full locks?",
    coupling: Coupling::Hands,
    hazard: Hazard::Damage,
    touches: &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Shifters, Slot::Cables],
    cured_by: &[],
    heals: None,
    silent_without: &SHIFT_LOOP,
    sentence: "the loop from the bar to the frame must be longer than the widest way between its ends at either full lock, by 5 mm at least, and should keep a radius of 40 mm",
    long: "As with the brake housing: at one of the two full locks the end at the bar stands furthest from the stop. A \
           loop shorter than that way shifts by itself in a tight turn, or tears its stop: that fails. Up to 5 mm \
           longer it lies straight and bends sharply at its ends, and one that bends tighter than 40 mm drags: both are \
           marginal. The loop is the piece to be cut \
           less its way along the bar. The rule speaks only where the ends of the loop were measured from the \
           steering axis.",
    source: "cosine rule about the steering axis, free loop as an elastica; 5 and 40 mm: common practice, with no published source",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !is_looked_at(ask, SHIFT_LOOP) {
        return Checked::NotTouched;
    }
    let loop_length = loop_of_piece(ask, Dimension::OldShiftPiece);
    at_locks(
        ask,
        SHIFT_LOOP,
        loop_length,
        LEAST_RADIUS[1],
        "the shift housing has a loop of {loop}; at full lock its ends stand {gap} apart",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm, xy};
    use crate::finding::Verdict;

    fn bench(loop_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::ShiftInner, mm(2100.0, 0.0))
            .found(Dimension::OldShiftPiece, mm(200.0 + loop_mm, 2.0))
            .found(Dimension::HousingAlong, mm(200.0, 0.0))
            .found(Dimension::SteeringLock, deg(60.0, 2.0))
            .found(Dimension::ShiftLoopLever, xy(60.0, 150.0, 0.0))
            .found(Dimension::ShiftLoopLeverAngle, deg(-30.0, 3.0))
            .found(Dimension::ShiftLoopStop, xy(-80.0, -20.0, 0.0))
            .found(Dimension::ShiftLoopStopAngle, deg(-180.0, 3.0))
    }

    #[test]
    fn a_long_loop_works_and_a_short_one_fails() {
        let finding = bench(350.0).gives(Verdict::Works);
        assert!((finding.number("gap").unwrap().value - 244.0).abs() < 0.05);
        bench(230.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_place_with_one_number_only_is_taken_again() {
        let one = catalog::Value::Lengths(vec![quantity::Measured {
            value: quantity::Length::mm(80.0),
            tolerance: quantity::Length::mm(1.0),
            basis: quantity::Basis::Measured,
        }]);
        let finding = bench(350.0).found(Dimension::ShiftLoopLever, one).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::ShiftLoopLever));
    }

    #[test]
    fn without_the_old_piece_nothing_can_be_told() {
        bench(350.0).without(Dimension::OldShiftPiece).gives(Verdict::Measure);
    }
}
