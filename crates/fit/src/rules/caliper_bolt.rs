//! Does the bolt of the caliper go through crown and bridge?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{BrakeMount, CaliperBolt, CaliperHole, Dimension, FrameMaterial, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "caliper-bolt",
    title: "does the bolt of the caliper go through crown and bridge?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Calipers],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[],
    sentence: "a sleeve nut needs a hole of 8 mm at the back, an outside nut a hole of 6 mm right through",
    long: "Older forks and bridges have a hole of 6 mm right through, and the nut of the caliper bears outside. Newer \
           ones are widened to 8 mm at the back, where a sleeve nut goes in. The back wall of a steel crown or \
           bridge may be drilled to 8 mm by a specialist, the back wall only; aluminium and carbon never. An outside \
           nut has nothing to bear on over a hole of 8 mm. A hole in the front wall only takes neither.",
    source: "bolts and holes: crib sheets of two workshops, agreeing; that only steel is drilled: common practice",
    caution: Some(Warning::Technician(
        "a caliper that comes loose falls into the wheel: torque of the leaflet, and at least six full turns in the nut, front and rear, before the first squeeze",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    match ask.word::<BrakeMount>(After, Dimension::CaliperMount) {
        Some(BrakeMount::RimBolt) => {}
        Some(_) => return Checked::NotTouched,
        None => return Checked::CannotTell,
    }
    let bolt = ask.word::<CaliperBolt>(After, Dimension::CaliperBolt);
    let front = ask.word::<CaliperHole>(After, Dimension::HoleFront);
    let rear = ask.word::<CaliperHole>(After, Dimension::HoleRear);
    let (Some(bolt), Some(front), Some(rear)) = (bolt, front, rear) else { return Checked::CannotTell };
    let ends = [(front, Dimension::ForkMaterial), (rear, Dimension::FrameMaterial)];
    let (mut drill, mut unsure) = (Vec::new(), false);
    let mut judged = Judgement::new(Verdict::Works);
    for (i, (hole, material)) in ends.into_iter().enumerate() {
        let front = i == 0;
        match (bolt, hole) {
            (CaliperBolt::Recessed, CaliperHole::Recessed8)
            | (CaliperBolt::Nutted, CaliperHole::Through6) => {}
            (CaliperBolt::Recessed, CaliperHole::Through6) => {
                match ask.word::<FrameMaterial>(After, material) {
                    Some(FrameMaterial::Steel) => drill.push(Act::Work(if front {
                        "a specialist drills the back wall of the crown from 6 to 8 mm, the back wall only"
                    } else {
                        "a specialist drills the back wall of the bridge from 6 to 8 mm, the back wall only"
                    })),
                    Some(_) => {
                        judged.verdict = Verdict::Fails;
                        judged = judged.says(if front {
                            "the sleeve nut does not go into the crown, and only steel may be drilled"
                        } else {
                            "the sleeve nut does not go into the bridge, and only steel may be drilled"
                        });
                    }
                    None => unsure = true,
                }
            }
            (CaliperBolt::Nutted, CaliperHole::Recessed8) => {
                judged.verdict = Verdict::Fails;
                judged = judged.says("an outside nut has nothing to bear on over a hole of 8 mm");
            }
            (_, CaliperHole::FrontOnly) => {
                judged.verdict = Verdict::Fails;
                judged = judged.says("there is no hole at the back: no bolt of a caliper is held there");
            }
        }
    }
    if unsure {
        return Checked::CannotTell;
    }
    if judged.verdict == Verdict::Fails {
        return judged.done();
    }
    if drill.is_empty() {
        return judged.says("bolt and holes belong together, front and rear").done();
    }
    let cure = Cure { acts: drill, ..Cure::by(Act::Work("drill the back wall"), Verdict::Works) };
    judged.says("the sleeve nut does not go through a hole of 6 mm").remedy(Verdict::Fails, cure).done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(bolt: &'static str, front: &'static str, rear: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CaliperMount, word("rim-bolt"))
            .chosen(Dimension::CaliperBolt, word(bolt))
            .found(Dimension::HoleFront, word(front))
            .found(Dimension::HoleRear, word(rear))
    }

    #[test]
    fn a_sleeve_nut_in_widened_holes_works() {
        bench("recessed", "recessed-8", "recessed-8").gives(Verdict::Works);
        bench("nutted", "through-6", "through-6").gives(Verdict::Works);
    }

    #[test]
    fn a_steel_crown_is_drilled_by_a_specialist() {
        let bike = bench("recessed", "through-6", "recessed-8").found(Dimension::ForkMaterial, word("steel"));
        assert_eq!(bike.gives(Verdict::Remedy).without, Some(Verdict::Fails));
        let both = bench("recessed", "through-6", "through-6")
            .found(Dimension::ForkMaterial, word("steel"))
            .found(Dimension::FrameMaterial, word("steel"));
        assert_eq!(both.gives(Verdict::Remedy).cures[0].acts.len(), 2);
    }

    #[test]
    fn aluminium_and_carbon_are_never_drilled() {
        for material in ["aluminium", "carbon", "titanium"] {
            bench("recessed", "through-6", "recessed-8")
                .found(Dimension::ForkMaterial, word(material))
                .gives(Verdict::Fails);
        }
    }

    #[test]
    fn a_hole_in_front_only_and_an_outside_nut_on_a_wide_hole_fail() {
        bench("recessed", "front-only", "recessed-8").gives(Verdict::Fails);
        bench("nutted", "recessed-8", "through-6").gives(Verdict::Fails);
    }

    #[test]
    fn a_brake_on_other_mounts_is_not_asked() {
        let other =
            bench("recessed", "through-6", "through-6").chosen(Dimension::CaliperMount, word("studs"));
        assert!(other.finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in
            [Dimension::CaliperMount, Dimension::CaliperBolt, Dimension::HoleFront, Dimension::HoleRear]
        {
            let finding =
                bench("recessed", "recessed-8", "recessed-8").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        let finding = bench("recessed", "through-6", "recessed-8").gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::ForkMaterial);
    }
}
