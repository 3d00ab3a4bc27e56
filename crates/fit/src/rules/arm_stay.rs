//! Does the crank arm clear the chainstay?

use crate::ask::Ask;
use crate::build::When::{self, After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::stay::{RADII, arm_gap};
use quantity::{Length, Span};

/// Gap that the arm needs.
const NEEDED_MM: f64 = 3.0;
/// How much less has been ridden.
const TRIAL_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "arm-stay",
    title: "does the crank arm clear the chainstay?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::Crankset],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[Dimension::StayHalfWidths],
    sentence: "the crank arm must pass the chainstay with 3 mm of air",
    long: "Half the width over both arms, less the thickness of the arm, less the half width of the stay at 165 mm \
           from the bottom bracket. The arm bends under the foot, so 2 to 3 mm is a trial and less strikes. It is \
           not asked where the new arms stand no further in than the old ones did, and never for a kept crankset. \
           The left arm and the left stay are alike on most frames: look at both.",
    source: "riders' measurements; 3 mm and 2 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let widths_known = ask.build.reading(Slot::Frame, Before, Dimension::StayHalfWidths).taken().is_some();
    if !widths_known && no_nearer(ask) {
        return Checked::NotTouched;
    }
    let inner = inner_face(ask, After);
    let widths = ask.lengths(After, Dimension::StayHalfWidths);
    let (Some((q, thickness)), Some(widths)) = (inner, widths) else { return Checked::CannotTell };
    let Some(stay) = widths.last().copied().filter(|_| widths.len() == RADII.len()) else {
        ask.recount(After, Dimension::StayHalfWidths);
        return Judgement::new(Verdict::Measure)
            .says("five half widths are wanted, nearest to the shell first")
            .done();
    };
    let gap = Span::hull(&[q, thickness, stay], |x| {
        arm_gap(Length::mm(x[0]), Length::mm(x[1]), Length::mm(x[2])).to_mm()
    });
    let verdict = ask.bands(gap - NEEDED_MM, &[(0.0, Verdict::Works), (-TRIAL_MM, Verdict::Marginal)]);
    if verdict == Verdict::Measure {
        ask.recount(After, Dimension::StayHalfWidths);
    }
    let judged = Judgement::new(verdict)
        .margin(gap - NEEDED_MM, "mm", 1)
        .number(Number::new("gap", gap, "mm", 1))
        .says("the arm passes the chainstay with {gap}");
    match verdict {
        Verdict::Fails => judged.says("under the foot it strikes the stay").done(),
        Verdict::Marginal => judged.says("try it with a weight on the pedal, on both sides").done(),
        _ => judged.done(),
    }
}

fn inner_face(ask: &mut Ask<'_>, when: When) -> Option<(Span, Span)> {
    let (q, thickness) = (ask.number(when, Dimension::QFactor), ask.number(when, Dimension::ArmThickness));
    q.zip(thickness)
}

fn no_nearer(ask: &Ask<'_>) -> bool {
    let mut quiet = Ask::new(ask.build);
    let place = |(q, thickness): (Span, Span)| q * 0.5 - thickness;
    let (old, new) = (inner_face(&mut quiet, Before), inner_face(&mut quiet, After));
    old.zip(new).is_some_and(|(old, new)| place(new).least() >= place(old).most())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};
    use catalog::Value;
    use quantity::{Basis, Measured};

    fn bench(stay_mm: f64) -> Bench {
        let one = |mm| Measured { value: Length::mm(mm), tolerance: Length::mm(0.2), basis: Basis::Measured };
        Bench::of(&RULE)
            .found(
                Dimension::StayHalfWidths,
                Value::Lengths([30.0, 31.0, 33.0, 35.0, stay_mm].map(one).to_vec()),
            )
            .chosen(Dimension::QFactor, mm(146.0, 0.0))
            .chosen(Dimension::ArmThickness, mm(13.0, 0.0))
    }

    #[test]
    fn an_arm_with_air_works() {
        // 73 − 13 − 55 mm.
        assert!((bench(55.0).gives(Verdict::Works).number("gap").unwrap().value - 5.0).abs() < 1e-6);
    }

    #[test]
    fn two_to_three_millimetres_are_a_trial_and_less_strikes() {
        bench(57.5).gives(Verdict::Marginal);
        bench(59.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_gap_at_the_limit_or_unknown_is_measured() {
        bench(57.0).gives(Verdict::Measure);
        for dimension in [Dimension::StayHalfWidths, Dimension::QFactor, Dimension::ArmThickness] {
            let finding = bench(55.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }

    #[test]
    fn arms_that_stand_no_further_in_are_not_asked() {
        let old = |q_mm| {
            bench(55.0)
                .without(Dimension::StayHalfWidths)
                .found(Dimension::QFactor, mm(q_mm, 0.0))
                .found(Dimension::ArmThickness, mm(13.0, 0.0))
        };
        assert!(old(146.0).finding().is_none());
        old(150.0).gives(Verdict::Measure);
    }
}
