//! Does the frame lead the new cables or hoses?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::brake_line::{Line, line, spoken_of};
use catalog::{CableStops, Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "cable-stops",
    title: "does the frame lead the new cables or hoses?",
    coupling: Coupling::Hands,
    hazard: Hazard::Function,
    touches: &[Slot::Levers],
    cured_by: &[Slot::Levers],
    heals: None,
    silent_without: &[Dimension::StopKind],
    sentence: "cables want stops or guides, hoses want guides for their full length or a way inside; bosses take stops, everything else takes clamp-on guides",
    long: "A cable stop ends the housing and lets the bare inner through: a hose does not go through a closed one and \
           is not pressed into a slotted one. Bosses that carried shifters take stops with a barrel; a tube without \
           anything takes clamp-on guides, with housing in full length. A frame that led cables to levers before \
           leads them again, so with cable levers the stops are asked only where they were spoken of or where \
           separate shifters go.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(line) = line(ask) else { return Checked::CannotTell };
    // Shifters that leave the frame for the bar: whether stops come in their place is the question.
    let shifters_go = ask.build.before.has(Slot::Shifters) && ask.build.shifting_slot(After) == Slot::Levers;
    if line == Line::Cable && !shifters_go && !spoken_of(ask, Before, Dimension::StopKind) {
        return Checked::NotTouched;
    }
    let Some(stops) = ask.word::<CableStops>(Before, Dimension::StopKind) else { return Checked::CannotTell };
    let works = |step| Judgement::new(Verdict::Works).says(step).done();
    let with = |part, step| {
        Judgement::new(Verdict::Works)
            .says(step)
            .remedy(Verdict::Fails, Cure::by(Act::Small(part), Verdict::Works))
            .done()
    };
    match (line, stops) {
        (Line::Cable, CableStops::Slotted | CableStops::Closed) => {
            works("the stops take the housing of the new cables")
        }
        (_, CableStops::Internal) => works("the lines run inside the frame: ports and a follower first"),
        (_, CableStops::Guides) => works("the guides take housing or hose in full length"),
        (Line::Cable, CableStops::Bosses) => {
            with("stop-with-barrel", "the bosses carry no stops: stops with a barrel go on them")
        }
        (Line::Cable, CableStops::None) => {
            with("guides-clamp-on", "nothing leads the cables: clamp-on guides, with housing in full length")
        }
        (Line::Hose, CableStops::Slotted | CableStops::Closed) => with(
            "guides-clamp-on",
            "a hose does not go through a stop and is not pressed into one: clamp-on guides lead it",
        ),
        (Line::Hose, CableStops::Bosses | CableStops::None) => {
            with("guides-clamp-on", "nothing leads a hose in full length: clamp-on guides lead it")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, word};

    fn bench(fluid: &'static str, stops: &'static str) -> Bench {
        Bench::of(&RULE).chosen(Dimension::LeverFluid, word(fluid)).found(Dimension::StopKind, word(stops))
    }

    fn part(bench: Bench) -> Vec<Act> {
        bench.gives(Verdict::Remedy).cures[0].acts.clone()
    }

    #[test]
    fn cables_run_in_stops_guides_and_frames() {
        for stops in ["slotted", "closed", "guides", "internal"] {
            bench("cable", stops).gives(Verdict::Works);
        }
    }

    #[test]
    fn a_hose_runs_in_guides_or_inside_and_nowhere_else() {
        bench("mineral", "guides").gives(Verdict::Works);
        bench("glycol", "internal").gives(Verdict::Works);
        for stops in ["slotted", "closed", "bosses", "none"] {
            assert_eq!(part(bench("mineral", stops)), [Act::Small("guides-clamp-on")]);
        }
    }

    #[test]
    fn bosses_take_stops_with_a_barrel() {
        assert_eq!(part(bench("cable", "bosses")), [Act::Small("stop-with-barrel")]);
        assert_eq!(part(bench("cable", "none")), [Act::Small("guides-clamp-on")]);
    }

    #[test]
    fn shifters_that_leave_the_frame_raise_the_question() {
        let shifters = Bench::of(&RULE)
            .chosen(Dimension::LeverFluid, word("cable"))
            .chosen_in(Slot::Levers, Dimension::ShiftPositions, count(11))
            .found_in(Slot::Shifters, Dimension::ShiftPositions, count(7));
        let finding = shifters.gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::StopKind);
    }

    #[test]
    fn cable_levers_on_a_frame_that_nobody_doubted_are_not_asked() {
        assert!(bench("cable", "slotted").without(Dimension::StopKind).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::LeverFluid, Dimension::StopKind] {
            let finding = bench("mineral", "guides").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
