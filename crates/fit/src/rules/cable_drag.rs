//! Does the rear shift cable run round too many bends?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::cable::tension_ratio;
use quantity::{Angle, Span};

/// Friction of a new strand in new lined housing.
const FRICTION: f64 = 0.10;
/// The sum of bends up to which shifting is as usual.
const BENDS_DEG: f64 = 540.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "cable-drag",
    title: "does the rear shift cable run round too many bends?",
    coupling: Coupling::Indexing,
    hazard: Hazard::Function,
    touches: &[Slot::Levers, Slot::Shifters, Slot::Cables, Slot::RearDerailleur],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::RearShiftBends],
    sentence: "up to 540° of bends in all the spring still brings the cable back; beyond that the shifting gets slow",
    long: "Friction in the housing grows with the sum of all bends and with nothing else: at a friction of 0.10 the \
           hand pulls 2.6 times what arrives after 540°. The spring of the derailleur has to overcome the same on the \
           way back, and the cogs that it should reach by itself come late. Beyond 540° a smoother route, new lined \
           housing or a sealed set is worth its money. The rule speaks only where somebody counted the bends.",
    source: "belt friction formula of Euler and Eytelwein; friction 0.10: from memory; 540°: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(bends) = ask.known_number(After, Dimension::RearShiftBends) else { return Checked::NotTouched };
    let margin = Span::exact(BENDS_DEG) - bends;
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let ratio = bends.map_monotone(|bends| tension_ratio(FRICTION, Angle::deg(bends)));
    let judged = Judgement::new(verdict)
        .margin(margin, "°", 0)
        .number(Number::new("bends", bends, "°", 0))
        .number(Number::new("ratio", ratio, "", 1))
        .says("over {bends} of bends the hand pulls {ratio} times what arrives at the derailleur");
    if verdict == Verdict::Marginal {
        return judged
            .says("slow to the small cogs: lay the housing in wider bends and fewer of them")
            .done();
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm};

    fn bench(bends_deg: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::ShiftInner, mm(2000.0, 0.0))
            .found(Dimension::RearShiftBends, deg(bends_deg, 45.0))
    }

    #[test]
    fn a_turn_and_a_quarter_works() {
        bench(450.0).gives(Verdict::Works);
    }

    #[test]
    fn two_turns_are_marginal() {
        // exp(0.10 · 4π) = 3.51.
        let finding = bench(720.0).gives(Verdict::Marginal);
        let ratio = finding.number("ratio").unwrap().span;
        assert!(ratio.holds(3.51) && finding.margin.unwrap().span.middle() < 0.0);
    }

    #[test]
    fn a_turn_and_a_half_cannot_be_told_by_quarter_turns() {
        let finding = bench(540.0).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::RearShiftBends);
    }

    #[test]
    fn nothing_is_said_where_nobody_counted() {
        assert!(bench(450.0).without(Dimension::RearShiftBends).finding().is_none());
    }
}
