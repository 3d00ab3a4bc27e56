//! Is the cage of the front derailleur made for this number of rings?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{CagePlates, Dimension, Slot};
use quantity::Span;

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-cage",
    title: "is the cage of the front derailleur made for this number of rings?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Chainrings, Slot::FrontDerailleur],
    cured_by: &[Slot::FrontDerailleur, Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "two rings want a shallow cage, three a deep one",
    long: "The inner plate of a cage for three rings reaches deep, to lift the chain from the small to the middle \
           ring. Over two rings that plate meets the small ring before the outer plate is at its height. The \
           shallow plate of a cage for two rings does not reach the chain on the smallest of three.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.as_ref().is_some_and(|rings| rings.len() == 1) {
        return Checked::NotTouched;
    }
    let plates = ask.word::<CagePlates>(After, Dimension::CagePlates);
    let (Some(rings), Some(plates)) = (rings, plates) else { return Checked::CannotTell };
    let judged = |verdict| {
        Judgement::new(verdict).number(Number::new("rings", Span::exact(rings.len() as f64), "rings", 0))
    };
    match (plates, rings.len()) {
        (CagePlates::Double, 2) => judged(Verdict::Works).says("the cage is made for {rings}").done(),
        (CagePlates::Triple, 3) => judged(Verdict::Works).says("the cage is made for {rings}").done(),
        (CagePlates::Triple, 2) => judged(Verdict::Fails)
            .says("the cage is made for three rings: its deep inner plate meets the small ring of two")
            .done(),
        (CagePlates::Double, 3) => judged(Verdict::Fails)
            .says("the cage is made for two rings: its shallow plate does not reach the smallest of three")
            .done(),
        _ => judged(Verdict::Fails).says("no cage is made for {rings}").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, teeth, word};

    fn bench(rings: &[i64], plates: &'static str) -> Bench {
        Bench::of(&RULE).chosen(Dimension::Rings, teeth(rings)).found(Dimension::CagePlates, word(plates))
    }

    #[test]
    fn each_cage_serves_its_own_number_of_rings() {
        bench(&[50, 34], "double").gives(Verdict::Works);
        bench(&[52, 42, 30], "triple").gives(Verdict::Works);
    }

    #[test]
    fn neither_cage_serves_the_other_number() {
        let finding = bench(&[50, 34], "triple").gives(Verdict::Fails);
        assert!(finding.steps.iter().any(|step| step.contains("deep inner plate")));
        bench(&[52, 42, 30], "double").gives(Verdict::Fails);
    }

    #[test]
    fn a_single_ring_needs_no_cage() {
        assert!(bench(&[42], "double").finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::Rings, Dimension::CagePlates] {
            let finding = bench(&[50, 34], "double").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
