//! Is the fork sound?

use crate::ask::Ask;
use crate::finding::Hazard;
use crate::rule::{Checked, Coupling, Rule, Warning};
use crate::rules::frame_damage::look;
use catalog::Dimension;

/// The rule.
pub static RULE: Rule = Rule {
    id: "fork-damage",
    title: "is the fork sound?",
    coupling: Coupling::Record,
    hazard: Hazard::Rider,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::ForkDamage],
    sentence: "on a bike with a cracked fork nothing is fitted; a doubt is looked at again before anything is ordered",
    long: "Crown, legs, dropouts and the steerer where it shows. A fork breaks without warning and the rider falls on \
           the face, so the rule is that of the frame: a crack ends the job, a doubt is looked at again. It speaks \
           once somebody has looked.",
    source: "common practice",
    caution: Some(Warning::Technician(
        "a bike with a cracked frame or fork is tagged not to be ridden, photographed, and the customer is told the same day",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    look(ask, Dimension::ForkDamage)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};
    use crate::finding::Verdict;

    fn bench(found: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::ForkDamage, word(found))
    }

    #[test]
    fn a_sound_fork_works() {
        bench("none").gives(Verdict::Works);
    }

    #[test]
    fn a_cracked_fork_is_refused() {
        bench("crack").gives(Verdict::Refused);
    }

    #[test]
    fn a_doubt_is_looked_at_again_and_no_look_says_nothing() {
        bench("doubt").gives(Verdict::Measure);
        assert!(bench("doubt").without(Dimension::ForkDamage).finding().is_none());
    }
}
