//! Does the headset turn freely and without play?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::brake_line::spoken_of;
use catalog::{Dimension, Play, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "headset-play",
    title: "does the headset turn freely and without play?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Bar, Slot::Stem, Slot::Headset],
    cured_by: &[Slot::Headset],
    heals: None,
    silent_without: &[Dimension::HeadsetPlay],
    sentence: "a headset that knocks is set before the bar is clamped; one that catches is a line of its own",
    long: "The preload is set while the stem is loose, so a headset that knocks costs nothing extra in a job that opens \
           the stem. Notches are worn races: they steer the bike by themselves, and a new bar makes them felt. They are \
           cured by other bearings, not by a looser setting. The rule speaks once somebody has rocked and turned it.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, After, Dimension::HeadsetPlay) {
        return Checked::NotTouched;
    }
    match ask.word::<Play>(After, Dimension::HeadsetPlay) {
        None => Checked::CannotTell,
        Some(Play::None) => Judgement::new(Verdict::Works).says("rocked and turned: no play, no notch").done(),
        Some(Play::Loose) => Judgement::new(Verdict::Works)
            .says("it knocks")
            .remedy(Verdict::Fails, Cure::by(Act::Work("set the preload of the headset before the stem is clamped"), Verdict::Works))
            .done(),
        Some(Play::Notched) => Judgement::new(Verdict::Marginal)
            .says("it catches: worn races steer by themselves, and a new bar makes it felt; bearings are a line of their own")
            .done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};
    use quantity::Reading;

    fn bench() -> Bench {
        Bench::of(&RULE).chosen(Dimension::BarClamp, mm(31.8, 0.1))
    }

    #[test]
    fn a_sound_headset_works() {
        bench().found(Dimension::HeadsetPlay, word("none")).gives(Verdict::Works);
    }

    #[test]
    fn a_loose_one_works_with_the_preload_set() {
        let finding = bench().found(Dimension::HeadsetPlay, word("loose")).gives(Verdict::Remedy);
        assert_eq!(finding.without, Some(Verdict::Fails));
    }

    #[test]
    fn a_notched_one_is_marginal() {
        bench().found(Dimension::HeadsetPlay, word("notched")).gives(Verdict::Marginal);
    }

    #[test]
    fn a_headset_that_could_not_be_turned_is_asked_for() {
        let finding = bench().answered(Dimension::HeadsetPlay, Reading::NotReachable).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::HeadsetPlay);
    }

    #[test]
    fn nothing_is_said_where_nobody_turned_it() {
        assert!(bench().finding().is_none());
    }
}
