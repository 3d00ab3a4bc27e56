//! Is each housing made for what it does?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{has_brake_inner, has_shift_inner};
use catalog::{Dimension, HousingKind, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "housing-kind",
    title: "is each housing made for what it does?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Cables],
    cured_by: &[Slot::Cables],
    heals: None,
    silent_without: &[],
    sentence: "a brake wants coiled housing or housing printed for brakes, index shifting wants parallel strands; index housing is refused on a brake",
    long: "In index housing the strands run along it and only the plastic holds them together: under a hard stop they \
           splay, the housing bursts and the brake is gone. It is refused on any brake. Housing without a coil that \
           is meant for brakes says so in print; without the print it is index housing. Coiled housing changes its \
           length when it bends, and an index does not hold with it.",
    source: "five workshop guides, agreeing",
    caution: Some(Warning::Technician(
        "brakes: never the housing of index shifting, not for one short piece either",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let brake =
        has_brake_inner(ask.build).then(|| ask.word::<HousingKind>(After, Dimension::BrakeHousingKind));
    let shift =
        has_shift_inner(ask.build).then(|| ask.word::<HousingKind>(After, Dimension::ShiftHousingKind));
    if brake == Some(None) || shift == Some(None) {
        return Checked::CannotTell;
    }
    if brake.flatten() == Some(HousingKind::Strands) {
        return Judgement::new(Verdict::Refused)
            .says("index housing bursts under a hard stop: it does not go on a brake, whatever anybody signs")
            .done();
    }
    if shift.flatten().is_some_and(|kind| kind != HousingKind::Strands) {
        return Judgement::new(Verdict::Fails)
            .says("an index does not hold with this housing: it gives way when it bends")
            .done();
    }
    Judgement::new(Verdict::Works).says("each housing is made for what it does").done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(brake: &'static str, shift: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BrakeHousingKind, word(brake))
            .chosen(Dimension::ShiftHousingKind, word(shift))
    }

    #[test]
    fn coil_on_the_brake_and_strands_on_the_index_work() {
        bench("coil", "strands").gives(Verdict::Works);
        bench("compressionless-brake", "strands").gives(Verdict::Works);
    }

    #[test]
    fn index_housing_on_a_brake_is_refused() {
        bench("strands", "strands").gives(Verdict::Refused);
    }

    #[test]
    fn coil_on_an_index_fails() {
        bench("coil", "coil").gives(Verdict::Fails);
    }

    #[test]
    fn a_set_for_shifting_has_no_brake_housing_to_ask_for() {
        let set = Bench::of(&RULE).chosen(Dimension::ShiftInner, mm(2100.0, 0.0));
        set.clone().gives(Verdict::Measure);
        set.chosen(Dimension::ShiftHousingKind, word("strands")).gives(Verdict::Works);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::BrakeHousingKind, Dimension::ShiftHousingKind] {
            let finding = bench("coil", "strands").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
