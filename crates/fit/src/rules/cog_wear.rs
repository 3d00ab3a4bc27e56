//! Does a new chain run on the old cogs?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{CogWear, Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "cog-wear",
    title: "does a new chain run on the old cogs?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::Chain],
    cured_by: &[Slot::Cassette],
    heals: None,
    silent_without: &[],
    sentence: "cogs that stay under a new chain have no hooks; a new chain skips on worn ones",
    long: "Teeth that an old chain has worn to its own pitch hold a new one badly: under load it climbs and skips, and \
           the rider's foot goes through. A piece of new chain laid on the cogs used most shows it in a minute. Hooked \
           flanks may still hold and are tried under load; a cog on which the new chain skips is exchanged.",
    source: "common practice",
    caution: Some(Warning::Technician(
        "a chain that skips under load throws the rider forward: try every cog that stays under full load",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if ask.build.changes(Slot::Cassette) {
        return Checked::NotTouched;
    }
    match ask.word::<CogWear>(After, Dimension::CogWear) {
        None => Checked::CannotTell,
        Some(CogWear::NoHook) => {
            Judgement::new(Verdict::Works).says("the teeth of the cogs are not hooked").done()
        }
        Some(CogWear::Hooked) => Judgement::new(Verdict::Marginal)
            .says("the teeth are hooked: a new chain may skip under load")
            .done(),
        Some(CogWear::Skips) => Judgement::new(Verdict::Fails).says("a new chain skips on these cogs").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, teeth, word};

    fn bench(wear: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::CogWear, word(wear)).chosen(Dimension::ChainSpeeds, count(9))
    }

    #[test]
    fn sound_cogs_take_a_new_chain() {
        bench("no-hook").gives(Verdict::Works);
    }

    #[test]
    fn hooked_cogs_are_a_trial_and_skipping_ones_are_not() {
        bench("hooked").gives(Verdict::Marginal);
        bench("skips").gives(Verdict::Fails);
    }

    #[test]
    fn unseen_cogs_cannot_be_told() {
        bench("no-hook").without(Dimension::CogWear).gives(Verdict::Measure);
    }

    #[test]
    fn a_new_cassette_is_not_worn() {
        assert!(bench("skips").chosen(Dimension::Cogs, teeth(&[11, 12])).finding().is_none());
    }
}
