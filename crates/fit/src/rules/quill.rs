//! Does the stem belong to this kind of steerer, and the quill into its bore?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot, SteererKind};
use quantity::Span;

/// Room between quill and bore: least and most.
const PLAY_MM: (f64, f64) = (-0.05, 0.25);
/// How much a quill may be sanded down.
const SAND_MM: f64 = 0.25;

/// The rule.
pub static RULE: Rule = Rule {
    id: "quill",
    title: "does the stem belong to this kind of steerer?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Stem],
    cured_by: &[Slot::Stem],
    heals: None,
    silent_without: &[Dimension::SteererKind, Dimension::StemQuill, Dimension::StemSteerer],
    sentence: "a quill goes into a threaded steerer of its own bore, with at most 0.25 mm of play; a clamp goes on a steerer without thread",
    long: "Quills are 22.2 mm for steerers of 25.4 mm, 25.4 mm for steerers of 28.6 mm, and 22.0 or 21.1 mm on older \
           bikes. A quill of 22.2 mm is sanded down for a bore of 22.0 mm by somebody who measures; one that is too \
           thin is held by its wedge at one edge only. A clamp never sits on a thread, which notches the steerer; an \
           adapter with a quill carries a clamp stem on a threaded steerer. Clamp stems are judged only where the \
           kind of steerer was noted.",
    source: "diameters, adapter and sanding: workshop pages, agreeing; no thread in the clamp: a traffic bureau's text of ISO 4210-2, 4.7.4; play and 0.25 mm: our own choice",
    caution: Some(Warning::Technician(
        "a quill with its mark showing breaks out of the steerer: the mark must be covered",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, After, Dimension::StemQuill) {
        if !spoken_of(ask, Before, Dimension::SteererKind) {
            return Checked::NotTouched;
        }
        // Only a stem with a clamp diameter is known to be no quill stem.
        if ask.known_number(After, Dimension::StemSteerer).is_none() {
            ask.number(After, Dimension::StemQuill);
            ask.number(After, Dimension::StemSteerer);
            return Checked::CannotTell;
        }
        return match ask.word::<SteererKind>(Before, Dimension::SteererKind) {
            Some(SteererKind::Threadless) => {
                Judgement::new(Verdict::Works).says("the stem clamps a steerer without thread").done()
            }
            Some(SteererKind::Threaded) => Judgement::new(Verdict::Fails)
                .says("the stem would clamp the thread of the steerer, and nothing would hold the headset")
                .says("a quill stem, or a quill adapter that carries this one")
                .done(),
            None => Checked::CannotTell,
        };
    }
    let quill = ask.number(After, Dimension::StemQuill);
    let kind = ask.word::<SteererKind>(Before, Dimension::SteererKind);
    let bore = ask.number(Before, Dimension::SteererBore);
    let (Some(quill), Some(kind), Some(bore)) = (quill, kind, bore) else { return Checked::CannotTell };
    if kind == SteererKind::Threadless {
        return Judgement::new(Verdict::Fails)
            .says("with a quill in it a steerer without thread has nothing that holds the headset")
            .done();
    }
    let play = bore - quill;
    let rooms = inside(play, Span::exact(PLAY_MM.0), Span::exact(PLAY_MM.1));
    let [thin, thick] = rooms;
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(tightest(&rooms), "mm", 2)
            .number(Number::new("quill", quill, "mm", 1))
            .number(Number::new("bore", bore, "mm", 1))
            .says("the quill is {quill}, the bore {bore}")
    };
    match judge(ask, &rooms, &[(0.0, Verdict::Works)]) {
        Verdict::Fails => {}
        verdict => return judged(verdict).done(),
    }
    if ask.bands(thick, &[(0.0, Verdict::Works)]) == Verdict::Fails {
        return judged(Verdict::Fails).says("the wedge would hold it at one edge only").done();
    }
    match ask.bands(thin + Span::exact(SAND_MM), &[(0.0, Verdict::Remedy)]) {
        Verdict::Remedy => judged(Verdict::Works)
            .says("the quill is a hair too thick")
            .remedy(
                Verdict::Fails,
                Cure::by(
                    Act::Work("sand the quill to the bore, even all round, measuring as it goes"),
                    Verdict::Works,
                ),
            )
            .done(),
        Verdict::Measure => judged(Verdict::Measure).done(),
        _ => judged(Verdict::Fails).says("the quill does not go in").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(quill_mm: f64, bore_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::StemQuill, mm(quill_mm, 0.0))
            .found(Dimension::SteererKind, word("threaded"))
            .found(Dimension::SteererBore, mm(bore_mm, 0.05))
    }

    #[test]
    fn a_quill_of_its_own_size_works() {
        bench(22.2, 22.25).gives(Verdict::Works);
        bench(25.4, 25.45).gives(Verdict::Works);
    }

    #[test]
    fn a_quill_of_22_2_is_sanded_for_a_bore_of_22_0() {
        bench(22.2, 22.0).gives(Verdict::Remedy);
    }

    #[test]
    fn other_sizes_and_other_steerers_fail() {
        bench(25.4, 22.2).gives(Verdict::Fails);
        bench(22.2, 25.4).gives(Verdict::Fails);
        bench(22.2, 22.25).found(Dimension::SteererKind, word("threadless")).gives(Verdict::Fails);
    }

    #[test]
    fn a_clamp_does_not_sit_on_a_thread() {
        let clamp = |kind| {
            Bench::of(&RULE)
                .chosen(Dimension::StemSteerer, mm(28.6, 0.0))
                .found(Dimension::SteererKind, word(kind))
        };
        clamp("threadless").gives(Verdict::Works);
        clamp("threaded").gives(Verdict::Fails);
        assert!(clamp("threaded").without(Dimension::SteererKind).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::SteererKind, Dimension::SteererBore] {
            let finding = bench(22.2, 22.25).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        bench(22.2, 22.45).gives(Verdict::Measure);
        let finding = bench(22.2, 22.25).without(Dimension::StemQuill).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::StemQuill);
    }
}
