//! Are lever and brake worked by the same thing?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{BrakeFluid, Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "brake-fluid",
    title: "are levers and brakes worked by the same cable or fluid?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::Calipers],
    cured_by: &[Slot::Calipers, Slot::Levers],
    heals: None,
    silent_without: &[],
    sentence: "lever and brake must both be worked by cable, both by mineral oil or both by glycol fluid",
    long: "A lever that pulls a cable moves no fluid, and the reverse. Two fluids are worse: mineral oil in seals made \
           for glycol, or glycol in seals made for oil, swells them, and the brake fails later, on the road. That \
           pair is refused, whatever anybody signs. Levers and calipers of one fluid still belong together only \
           where their makers say so.",
    source: "common practice",
    caution: Some(Warning::Each {
        technician: "only the fluid printed on the cap goes in; new olives and barbs of the maker's own kind at every cut hose; bleed, squeeze hard and look at every joint before the first ride; new pads bite late until they are bedded in: some twenty firm stops from walking to riding speed, never to a locked wheel, and the rider is told",
        customer: "new pads or rotors bite late until they are bedded in: some twenty firm stops from riding speed, never to a locked wheel",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let lever = ask.word::<BrakeFluid>(After, Dimension::LeverFluid);
    let caliper = ask.word::<BrakeFluid>(After, Dimension::CaliperFluid);
    let (Some(lever), Some(caliper)) = (lever, caliper) else { return Checked::CannotTell };
    if lever == caliper {
        return match lever {
            BrakeFluid::Cable => Judgement::new(Verdict::Works).says("both are worked by cable").done(),
            _ => Judgement::new(Verdict::Works)
                .says("both take the same fluid: the makers' leaflets say whether the two are a pair")
                .done(),
        };
    }
    if lever == BrakeFluid::Cable || caliper == BrakeFluid::Cable {
        return Judgement::new(Verdict::Fails)
            .says("a cable moves no fluid, and a fluid pulls no cable")
            .done();
    }
    Judgement::new(Verdict::Refused)
        .says("the wrong fluid swells the seals: the brake fails on the road, not in the workshop")
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(lever: &'static str, caliper: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::LeverFluid, word(lever))
            .found(Dimension::CaliperFluid, word(caliper))
    }

    #[test]
    fn the_same_at_both_ends_works() {
        for fluid in ["cable", "mineral", "glycol"] {
            bench(fluid, fluid).gives(Verdict::Works);
        }
    }

    #[test]
    fn a_cable_and_a_fluid_fail() {
        bench("mineral", "cable").gives(Verdict::Fails);
        bench("cable", "glycol").gives(Verdict::Fails);
    }

    #[test]
    fn two_fluids_are_refused() {
        bench("mineral", "glycol").gives(Verdict::Refused);
        bench("glycol", "mineral").gives(Verdict::Refused);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::LeverFluid, Dimension::CaliperFluid] {
            let finding = bench("cable", "cable").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
