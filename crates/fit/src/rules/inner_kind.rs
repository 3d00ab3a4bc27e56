//! Is each inner as thick as it must be?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::brake_line::{has_brake_inner, has_shift_inner};
use crate::rules::room::inside;
use catalog::{Dimension, Slot};
use quantity::Span;

/// Brake inners of the trade.
const BRAKE_MM: (f64, f64) = (1.5, 1.6);
/// Shift inners of the trade.
const SHIFT_MM: (f64, f64) = (1.1, 1.2);
/// Thickest shift inner of older sets.
const OLD_SHIFT_MM: f64 = 1.3;
/// What a caliper over strands may read off.
const READING_MM: f64 = 0.05;

/// The rule.
pub static RULE: Rule = Rule {
    id: "inner-kind",
    title: "is each inner as thick as it must be?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Cables],
    cured_by: &[Slot::Cables],
    heals: None,
    silent_without: &[],
    sentence: "brake inners are 1.5 to 1.6 mm thick, shift inners 1.1 to 1.2 mm; a shift inner in a brake is refused",
    long: "A shift inner in a brake snaps at a hard stop: it is refused. A brake inner in a shifter does not run in the \
           liner and jams in its seat. Shift inners of 1.3 mm are from older sets and run stiffly in new liners. A \
           reading may be 0.05 mm off.",
    source: "three workshop guides, agreeing; 1.3 mm for older sets: one of them; 0.05 mm: our own choice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let brake = has_brake_inner(ask.build).then(|| ask.number(After, Dimension::BrakeInnerDiameter));
    let shift = has_shift_inner(ask.build).then(|| ask.number(After, Dimension::ShiftInnerDiameter));
    if brake == Some(None) || shift == Some(None) {
        return Checked::CannotTell;
    }
    let (mut verdict, mut unsure) = (Verdict::Works, false);
    let mut judged = Judgement::new(verdict);
    if let Some(brake) = brake.flatten() {
        let [thin, thick] = rooms(brake, BRAKE_MM);
        let strong = match ask.bands(thin, &[(0.0, Verdict::Works)]) {
            Verdict::Fails => Verdict::Refused,
            verdict => verdict,
        };
        if strong == Verdict::Refused {
            judged = judged.says("an inner of {brake} snaps at a hard stop: it does not go into a brake");
        }
        unsure = strong == Verdict::Measure;
        verdict = verdict.max(strong).max(ask.bands(thick, &[(0.0, Verdict::Works)]));
        judged = judged.number(Number::new("brake", brake, "mm", 1)).says("brake inner {brake}");
    }
    if let Some(shift) = shift.flatten() {
        let [thin, thick] = rooms(shift, SHIFT_MM);
        let old = OLD_SHIFT_MM - SHIFT_MM.1;
        verdict = verdict
            .max(ask.bands(thin, &[(0.0, Verdict::Works)]))
            .max(ask.bands(thick, &[(0.0, Verdict::Works), (-old, Verdict::Marginal)]));
        judged = judged.number(Number::new("shift", shift, "mm", 1)).says("shift inner {shift}");
    }
    // A doubt that may end in a refusal is not settled by a lesser failure beside it.
    judged.verdict = if unsure && verdict == Verdict::Fails { Verdict::Measure } else { verdict };
    let verdict = judged.verdict;
    match verdict {
        Verdict::Marginal => judged.says("an inner of an older set runs stiffly in a new liner").done(),
        Verdict::Fails => judged.says("an inner does not run in its liner or jams in its seat").done(),
        _ => judged.done(),
    }
}

fn rooms(diameter: Span, (least_mm, most_mm): (f64, f64)) -> [Span; 2] {
    inside(diameter, Span::exact(least_mm - READING_MM), Span::exact(most_mm + READING_MM))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(brake_mm: f64, shift_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BrakeInnerDiameter, mm(brake_mm, 0.01))
            .chosen(Dimension::ShiftInnerDiameter, mm(shift_mm, 0.01))
    }

    #[test]
    fn inners_of_the_trade_work() {
        bench(1.6, 1.2).gives(Verdict::Works);
        bench(1.5, 1.1).gives(Verdict::Works);
    }

    #[test]
    fn a_shift_inner_in_a_brake_is_refused() {
        bench(1.2, 1.2).gives(Verdict::Refused);
    }

    #[test]
    fn a_brake_inner_in_a_shifter_fails_and_an_old_inner_is_marginal() {
        bench(1.6, 1.6).gives(Verdict::Fails);
        bench(1.6, 1.3).gives(Verdict::Marginal);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::BrakeInnerDiameter, Dimension::ShiftInnerDiameter] {
            let finding = bench(1.6, 1.2).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        bench(1.45, 1.2).gives(Verdict::Measure);
        bench(1.45, 1.6).gives(Verdict::Measure);
    }
}
