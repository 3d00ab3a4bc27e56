//! Does the head of the brake inner sit in the lever?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{Line, has_brake_inner, line};
use catalog::{CableHead, Dimension, LeverSeat, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "cable-head",
    title: "does the head of the brake inner sit in the lever?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Cables],
    cured_by: &[Slot::Cables],
    heals: None,
    silent_without: &[],
    sentence: "a pear-shaped seat wants a pear-shaped head, a round seat a barrel; of an inner with both heads the wrong one is cut off",
    long: "A barrel in a pear-shaped seat, or a pear in a round one, holds on the stand and pulls out at a hard stop. \
           The head must sit below the edge of its seat and turn in it.",
    source: "three workshop guides, agreeing",
    caution: Some(Warning::Technician(
        "pull each brake as hard as you can and look at the head in its seat before the bike leaves",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !has_brake_inner(ask.build) {
        return Checked::NotTouched;
    }
    match line(ask) {
        Some(Line::Cable) => {}
        Some(Line::Hose) => return Checked::NotTouched,
        None => return Checked::CannotTell,
    }
    let seat = ask.word::<LeverSeat>(After, Dimension::LeverSeat);
    let head = ask.word::<CableHead>(After, Dimension::CableHead);
    let (Some(seat), Some(head)) = (seat, head) else { return Checked::CannotTell };
    match (seat, head) {
        (LeverSeat::Pear, CableHead::Pear) | (LeverSeat::Barrel, CableHead::Barrel) => {
            Judgement::new(Verdict::Works).says("head and seat belong together").done()
        }
        (_, CableHead::Both) => Judgement::new(Verdict::Works).says("cut the wrong head off first").done(),
        _ => Judgement::new(Verdict::Fails).says("the head pulls out of the lever at a hard stop").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(seat: &'static str, head: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::LeverFluid, word("cable"))
            .found(Dimension::LeverSeat, word(seat))
            .chosen(Dimension::CableHead, word(head))
    }

    #[test]
    fn the_same_shape_works_and_an_inner_with_both_too() {
        bench("pear", "pear").gives(Verdict::Works);
        bench("barrel", "barrel").gives(Verdict::Works);
        bench("pear", "both").gives(Verdict::Works);
    }

    #[test]
    fn the_other_shape_fails() {
        bench("pear", "barrel").gives(Verdict::Fails);
        bench("barrel", "pear").gives(Verdict::Fails);
    }

    #[test]
    fn a_hose_and_a_set_for_shifting_have_no_head() {
        assert!(bench("pear", "pear").found(Dimension::LeverFluid, word("mineral")).finding().is_none());
        assert!(Bench::of(&RULE).chosen(Dimension::ShiftInner, mm(2100.0, 0.0)).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::LeverFluid, Dimension::LeverSeat, Dimension::CableHead] {
            let finding = bench("pear", "pear").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
