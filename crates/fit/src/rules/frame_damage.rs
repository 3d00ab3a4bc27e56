//! Is the frame sound?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Damage, Dimension};

/// The rule.
pub static RULE: Rule = Rule {
    id: "frame-damage",
    title: "is the frame sound?",
    coupling: Coupling::Record,
    hazard: Hazard::Rider,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::FrameDamage],
    sentence: "on a frame with a crack nothing is fitted; a doubt is looked at again before anything is ordered",
    long: "Cracks begin at the bottom bracket, the head tube, the dropouts, the seat cluster, the post slot and at \
           cable holes. A line that a cloth wipes off is dirt or lacquer; one that stays is a crack until shown \
           otherwise. No part, no torque and no signature cures a crack, so the refit gets no estimate and nothing \
           further is measured. The rule speaks once somebody has looked.",
    source: "common practice",
    caution: Some(Warning::Technician(
        "a bike with a cracked frame or fork is tagged not to be ridden, photographed, and the customer is told the same day",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    look(ask, Dimension::FrameDamage)
}

/// What follows from a look at frame or fork.
pub(crate) fn look(ask: &mut Ask<'_>, dimension: Dimension) -> Checked {
    match ask.known_word::<Damage>(Before, dimension) {
        None => Checked::NotTouched,
        Some(Damage::None) => {
            Judgement::new(Verdict::Works).says("looked at with light and cloth: nothing found").done()
        }
        Some(Damage::Doubt) => {
            ask.recount(Before, dimension);
            Judgement::new(Verdict::Measure)
                .says("something may be a crack: look again with light and cloth, and let a second person look")
                .done()
        }
        Some(Damage::Crack) => Judgement::new(Verdict::Refused)
            .says("there is a crack: the job stops here, with no estimate for the refit and nothing more measured")
            .says("the bike is tagged not to be ridden")
            .says("what is left: move the usable parts to another frame, or another bike")
            .done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(found: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::FrameDamage, word(found))
    }

    #[test]
    fn a_sound_frame_works() {
        bench("none").gives(Verdict::Works);
    }

    #[test]
    fn a_crack_is_refused_and_nothing_is_asked() {
        let finding = bench("crack").gives(Verdict::Refused);
        assert!(finding.missing.is_empty() && finding.steps[0].contains("stops here"));
    }

    #[test]
    fn a_doubt_is_looked_at_again() {
        let finding = bench("doubt").gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::FrameDamage);
    }

    #[test]
    fn nobody_looked_and_nothing_is_said() {
        assert!(bench("none").without(Dimension::FrameDamage).finding().is_none());
    }
}
