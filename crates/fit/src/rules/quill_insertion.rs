//! Is the quill deep enough in the steerer?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use catalog::{Dimension, Slot};
use quantity::Span;

/// Diameters of quill that must be inside.
const DIAMETERS: f64 = 2.5;

/// The rule.
pub static RULE: Rule = Rule {
    id: "quill-insertion",
    title: "is the quill deep enough in the steerer?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Stem],
    cured_by: &[Slot::Stem],
    heals: None,
    silent_without: &[Dimension::StemQuill],
    sentence: "a quill must sit 2.5 of its diameters deep in the steerer, with its mark covered",
    long: "The higher the bar, the less of the quill is inside. At 2.5 diameters the wedge sits below the thread of the \
           steerer and the quill is held over enough of its length. The mark on the quill, where there is one, says \
           the same and wins where it asks for more.",
    source: "2.5 diameters: remembered from a consumer rule on stems, not seen in print",
    caution: Some(Warning::Technician("the mark on the quill must be covered, whatever the tape says")),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, After, Dimension::StemQuill) {
        return Checked::NotTouched;
    }
    let quill = ask.number(After, Dimension::StemQuill);
    let inside = ask.number(After, Dimension::QuillInsertion);
    let (Some(quill), Some(inside)) = (quill, inside) else { return Checked::CannotTell };
    let needed = quill * Span::exact(DIAMETERS);
    let margin = inside - needed;
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 0)
        .number(Number::new("inside", inside, "mm", 0))
        .number(Number::new("needed", needed, "mm", 1))
        .says("{inside} of the quill are inside; {needed} must be");
    match verdict {
        Verdict::Fails => {
            judged.says("set so high it breaks out of the steerer: lower, or a longer quill").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(inside_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::StemQuill, mm(22.2, 0.0))
            .chosen(Dimension::QuillInsertion, mm(inside_mm, 1.0))
    }

    #[test]
    fn a_deep_quill_works() {
        let finding = bench(65.0).gives(Verdict::Works);
        assert!((finding.number("needed").unwrap().value - 55.5).abs() < 1e-9);
    }

    #[test]
    fn a_high_stem_fails() {
        bench(45.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_the_depth_nothing_can_be_told_and_a_clamp_has_none() {
        let finding = bench(65.0).without(Dimension::QuillInsertion).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::QuillInsertion);
        bench(55.0).gives(Verdict::Measure);
        assert!(bench(65.0).without(Dimension::StemQuill).finding().is_none());
    }
}
