//! Does the crankset go with the spindle that the bottom bracket carries?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot, Spindle};

/// The rule.
pub static RULE: Rule = Rule {
    id: "spindle",
    title: "does the crankset go with the bottom bracket?",
    coupling: Coupling::Front,
    hazard: Hazard::Rider,
    touches: &[Slot::BottomBracket, Slot::Crankset],
    cured_by: &[Slot::BottomBracket, Slot::Crankset],
    heals: Some(Slot::BottomBracket),
    silent_without: &[],
    sentence: "crankset and bottom bracket must be made for the same spindle",
    long: "An arm on a spindle of another kind does not seat, or seats part of the way and works loose under load. \
           The two square tapers are the trap: they look alike, but on the larger end the arm stops early and on \
           the smaller end it runs through to the stop without being tight. A through spindle needs bearings of \
           its own diameter.",
    source: "common practice",
    caution: Some(Warning::Each {
        technician: "a crank arm that works loose comes off under the foot: the torque on its leaflet counts, and it is checked after the first ride",
        customer: "the crank is looked at again after the first ride: come at once if an arm creaks or moves",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let crank = ask.word::<Spindle>(After, Dimension::CrankSpindle);
    let bearing = ask.word::<Spindle>(After, Dimension::BearingSpindle);
    let (Some(crank), Some(bearing)) = (crank, bearing) else { return Checked::CannotTell };
    if crank == bearing {
        return Judgement::new(Verdict::Works)
            .says("crankset and bottom bracket are made for the same spindle")
            .done();
    }
    let judged =
        Judgement::new(Verdict::Fails).says("crankset and bottom bracket are made for different spindles");
    if is_taper(crank) && is_taper(bearing) {
        return judged
            .says("the two square tapers look alike, but the arm does not seat on the other one")
            .done();
    }
    judged.done()
}

fn is_taper(spindle: Spindle) -> bool {
    matches!(spindle, Spindle::SquareTaperJis | Spindle::SquareTaperIso)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(crank: &'static str, bearing: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CrankSpindle, word(crank))
            .found(Dimension::BearingSpindle, word(bearing))
    }

    #[test]
    fn the_same_spindle_works() {
        bench("24-through", "24-through").gives(Verdict::Works);
    }

    #[test]
    fn another_spindle_fails() {
        bench("24-through", "square-taper-jis").gives(Verdict::Fails);
    }

    #[test]
    fn the_two_square_tapers_are_not_the_same() {
        let finding = bench("square-taper-iso", "square-taper-jis").gives(Verdict::Fails);
        assert!(finding.steps.iter().any(|step| step.contains("look alike")));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::CrankSpindle, Dimension::BearingSpindle] {
            let finding = bench("24-through", "24-through").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
