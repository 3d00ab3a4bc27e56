//! Do the rotors go on the hubs?

use super::wheels::WHEELS;
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, HubRotor, RotorMount, Slot};

/// The small part that puts a six-bolt rotor on a splined hub.
const ADAPTER: &str = "rotor-adapter-six-bolt";

/// The rule.
pub static RULE: Rule = Rule {
    id: "rotor-mount",
    title: "do the rotors go on the hubs?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Rotors, Slot::RearWheel, Slot::FrontWheel],
    cured_by: &[Slot::Rotors, Slot::RearWheel, Slot::FrontWheel],
    heals: None,
    silent_without: &[],
    sentence: "six-bolt rotors go on six-bolt hubs and, with an adapter, on splined ones; splined rotors go on splined hubs only",
    long: "A six-bolt rotor is screwed to a flange with six M5 bolts; a splined one slides on and is held by a \
           lockring. An adapter carries a six-bolt rotor on a splined hub. The reverse does not exist: a flange has no \
           splines. The rule looks at the hubs on which a rotor is put anew, where the bike has rotors.",
    source: "leaflets of rotors and hubs, several agreeing",
    caution: Some(Warning::Technician(
        "rotor bolts and lockring are tightened to the printed torque: a loose rotor locks or leaves the wheel",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !ask.build.has(Slot::Rotors, After) {
        return Checked::NotTouched;
    }
    let all = ask.build.changes(Slot::Rotors);
    let wheels: Vec<_> = WHEELS.into_iter().filter(|wheel| all || ask.build.changes(wheel.slot)).collect();
    let rotor = ask.word::<RotorMount>(After, Dimension::RotorMount);
    let hubs: Vec<_> =
        wheels.iter().map(|wheel| ask.word_in::<HubRotor>(wheel.slot, After, Dimension::HubRotor)).collect();
    let hubs = hubs.into_iter().collect::<Option<Vec<_>>>();
    let (Some(rotor), Some(hubs)) = (rotor, hubs) else { return Checked::CannotTell };
    let mut worst = Judgement::new(Verdict::Works);
    let mut adapters = 0;
    for (wheel, hub) in wheels.iter().zip(hubs) {
        match (rotor, hub) {
            (RotorMount::SixBolt, HubRotor::SixBolt) | (RotorMount::Splined, HubRotor::Splined) => {
                worst = worst
                    .says(wheel.pick("the rear rotor goes on its hub", "the front rotor goes on its hub"));
            }
            (RotorMount::SixBolt, HubRotor::Splined) => {
                adapters += 1;
                worst = worst.says(wheel.pick(
                    "the rear hub is splined: the six-bolt rotor takes an adapter",
                    "the front hub is splined: the six-bolt rotor takes an adapter",
                ));
            }
            (RotorMount::Splined, HubRotor::SixBolt) => {
                worst.verdict = Verdict::Fails;
                worst = worst.says(wheel.pick(
                    "the rear hub has a flange for six bolts: a splined rotor does not go on",
                    "the front hub has a flange for six bolts: a splined rotor does not go on",
                ));
            }
            (_, HubRotor::Absent) => {
                worst.verdict = Verdict::Fails;
                worst = worst.says(wheel.pick("the rear hub holds no rotor", "the front hub holds no rotor"));
            }
        }
    }
    if worst.verdict == Verdict::Fails || adapters == 0 {
        return worst.done();
    }
    let mut cure = Cure::by(Act::Small(ADAPTER), Verdict::Works);
    cure.acts.extend((1..adapters).map(|_| Act::Small(ADAPTER)));
    worst.remedy(Verdict::Fails, cure).done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(rotor: &'static str, rear: &'static str, front: &'static str) -> Bench {
        Bench::of(&RULE)
            .found_in(Slot::RearWheel, Dimension::HubRotor, word(rear))
            .found_in(Slot::FrontWheel, Dimension::HubRotor, word(front))
            .chosen(Dimension::RotorMount, word(rotor))
    }

    #[test]
    fn rotors_go_on_hubs_of_their_kind() {
        bench("six-bolt", "six-bolt", "six-bolt").gives(Verdict::Works);
        bench("splined", "splined", "splined").gives(Verdict::Works);
    }

    #[test]
    fn an_adapter_carries_six_bolts_on_splines() {
        let finding = bench("six-bolt", "splined", "splined").gives(Verdict::Remedy);
        assert_eq!(finding.cures[0].acts.len(), 2);
    }

    #[test]
    fn splines_do_not_go_on_a_flange_nor_anything_on_nothing() {
        bench("splined", "splined", "six-bolt").gives(Verdict::Fails);
        bench("six-bolt", "no-rotor", "six-bolt").gives(Verdict::Fails);
    }

    #[test]
    fn an_unseen_hub_or_rotor_cannot_be_told() {
        for dimension in [Dimension::HubRotor, Dimension::RotorMount] {
            bench("six-bolt", "six-bolt", "six-bolt").without(dimension).gives(Verdict::Measure);
        }
    }

    #[test]
    fn a_bike_without_rotors_is_not_looked_at() {
        let rim = Bench::of(&RULE).chosen_in(Slot::RearWheel, Dimension::HubRotor, word("no-rotor"));
        assert!(rim.finding().is_none());
    }
}
