//! Do the parts that must come off come off?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Loosening, Slot};
use quantity::Reading;

/// What has to be loosened, and the new parts for which it has to be.
const LOOSENED: &[(Dimension, &str, &[Slot])] = &[
    (Dimension::BracketMoves, "bottom bracket", &[Slot::BottomBracket]),
    (Dimension::CrankMoves, "cranks", &[Slot::BottomBracket, Slot::Crankset]),
    (Dimension::PedalsMove, "pedals", &[Slot::Crankset, Slot::Pedals]),
    (Dimension::StemMoves, "stem", &[Slot::Stem, Slot::Bar]),
];

/// The rule.
pub static RULE: Rule = Rule {
    id: "parts-loosen",
    title: "do the parts that must come off come off?",
    coupling: Coupling::Record,
    hazard: Hazard::Damage,
    touches: &[Slot::BottomBracket, Slot::Crankset, Slot::Pedals, Slot::Stem, Slot::Bar],
    cured_by: &[],
    heals: None,
    silent_without: &[
        Dimension::BracketMoves,
        Dimension::CrankMoves,
        Dimension::PedalsMove,
        Dimension::StemMoves,
    ],
    sentence: "every part that has to come off is tried loose before approval; one that does not move is a line of its own",
    long: "A seized pedal, a stripped extractor thread or a bottom bracket that has grown into the shell cost half an \
           hour to two hours, and now and then the frame. A new bottom bracket needs the old one and the cranks off; \
           a new crankset the cranks and the pedals; new pedals the pedals; a new stem or bar the stem. Trying takes \
           minutes. This is advice: where nothing was tried the rule is silent and holds nothing up; once one of \
           the parts has been tried, the others that must come off are asked for as well.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let needed: Vec<_> =
        LOOSENED.iter().filter(|(_, _, slots)| slots.iter().any(|slot| ask.build.changes(*slot))).collect();
    let tried = |dimension| matches!(ask.build.reading(Slot::Frame, Before, dimension), Reading::Taken(_));
    if !needed.iter().any(|(dimension, _, _)| tried(*dimension)) {
        return Checked::NotTouched;
    }
    let (mut moved, mut stuck, mut open) = (Vec::new(), Vec::new(), Vec::new());
    for (dimension, name, _) in needed {
        match ask.word::<Loosening>(Before, *dimension) {
            Some(Loosening::Moved) => moved.push(*name),
            Some(Loosening::NotMoved) => stuck.push(*name),
            Some(Loosening::NotTried) => {
                ask.recount(Before, *dimension);
                open.push(*name);
            }
            None => open.push(*name),
        }
    }
    let verdict = match (open.is_empty(), stuck.is_empty()) {
        (false, _) => Verdict::Measure,
        (true, false) => Verdict::Marginal,
        (true, true) => Verdict::Works,
    };
    let mut judged = Judgement::new(verdict);
    if verdict == Verdict::Works {
        judged = judged.says("everything that must come off has been tried and moves");
    }
    if !stuck.is_empty() {
        judged = judged.says("what does not move is a line of its own on the estimate, before approval");
    }
    if !open.is_empty() {
        judged = judged.says("what nobody has tried may be seized");
    }
    for (what, parts) in [("moves", moved), ("does not move", stuck), ("not tried", open)] {
        if !parts.is_empty() {
            judged = judged.line(format!("{what}: {}", parts.join(", ")));
        }
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, word};

    fn bench(crank: &'static str, pedals: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BoltHoles, count(5))
            .found(Dimension::CrankMoves, word(crank))
            .found(Dimension::PedalsMove, word(pedals))
    }

    #[test]
    fn parts_that_move_work() {
        bench("moved", "moved").gives(Verdict::Works);
    }

    #[test]
    fn a_seized_pedal_is_a_line_of_its_own() {
        let finding = bench("moved", "not-moved").gives(Verdict::Marginal);
        assert!(finding.lines.contains(&"does not move: pedals".to_owned()), "{:?}", finding.lines);
    }

    #[test]
    fn once_one_was_tried_the_others_are_asked_for() {
        bench("moved", "not-tried").gives(Verdict::Measure);
        let finding = bench("moved", "moved").without(Dimension::PedalsMove).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::PedalsMove);
        assert!(finding.lines.contains(&"not tried: pedals".to_owned()));
    }

    #[test]
    fn where_nothing_was_tried_nothing_is_held_up() {
        assert!(Bench::of(&RULE).chosen(Dimension::BoltHoles, count(5)).finding().is_none());
    }

    #[test]
    fn only_what_must_come_off_counts() {
        let stem = Bench::of(&RULE).chosen(Dimension::StemLength, mm(100.0, 0.0));
        assert!(stem.clone().found(Dimension::PedalsMove, word("not-moved")).finding().is_none());
        stem.found(Dimension::StemMoves, word("not-moved")).gives(Verdict::Marginal);
        assert!(Bench::of(&RULE).found(Dimension::StemMoves, word("not-moved")).finding().is_none());
    }
}
