//! Do the pedals go into the crank arms?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, PedalThread, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "pedal-thread",
    title: "do the pedals go into the crank arms?",
    coupling: Coupling::Front,
    hazard: Hazard::Rider,
    touches: &[Slot::Pedals, Slot::Crankset],
    cured_by: &[Slot::Pedals],
    heals: None,
    silent_without: &[],
    sentence: "pedals and crank arms must have the same thread",
    long: "Nearly all arms are 9/16 in x 20; one-piece and children's cranks are 1/2 in x 20, old arms of one country \
           14 mm x 1.25. The last is so near to 9/16 in that the pedal starts, cuts the arm and pulls out later; a \
           specialist can tap such arms to 9/16 in, which cannot be undone. Nothing goes between 9/16 and 1/2 in.",
    source: "cycle threads of JIS B 0225; workshop crib sheets",
    caution: Some(Warning::Each {
        technician: "the left pedal has a left-hand thread: three turns by fingers on each side before any tool, or the pedal pulls out under the foot",
        customer: "if pedals or cleats are new to you: practise getting out of them standing still",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let arms = ask.word::<PedalThread>(After, Dimension::ArmThread);
    let pedals = ask.word::<PedalThread>(After, Dimension::PedalThread);
    let (Some(arms), Some(pedals)) = (arms, pedals) else { return Checked::CannotTell };
    if arms == pedals {
        return Judgement::new(Verdict::Works).says("pedals and arms have the same thread").done();
    }
    let judged = Judgement::new(Verdict::Fails).says("pedals and arms have different threads");
    if (arms, pedals) == (PedalThread::Mm14, PedalThread::Inch916) {
        let tap = Act::Work(
            "have a specialist tap both arms from 14 mm x 1.25 to 9/16 in, with the customer's word: it cannot be undone",
        );
        return judged.remedy(Verdict::Fails, Cure::by(tap, Verdict::Works)).done();
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(arms: &'static str, pedals: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::ArmThread, word(arms)).chosen(Dimension::PedalThread, word(pedals))
    }

    #[test]
    fn the_same_thread_works() {
        bench("9/16", "9/16").gives(Verdict::Works);
        bench("1/2", "1/2").gives(Verdict::Works);
    }

    #[test]
    fn another_thread_fails() {
        bench("1/2", "9/16").gives(Verdict::Fails);
        bench("9/16", "14x1.25").gives(Verdict::Fails);
    }

    #[test]
    fn old_arms_can_be_tapped() {
        let finding = bench("14x1.25", "9/16").gives(Verdict::Remedy);
        assert_eq!(finding.without, Some(Verdict::Fails));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::ArmThread, Dimension::PedalThread] {
            let finding = bench("9/16", "9/16").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
