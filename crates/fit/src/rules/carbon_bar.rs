//! May this bar be ridden on?

use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::flags::word;
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use catalog::{BarHistory, BarMaterial, Dimension, Slot};
use quantity::Span;

/// Deepest mark that stays in the clear coat of a carbon bar.
const MARK_MM: f64 = 0.2;

/// The rule.
pub static RULE: Rule = Rule {
    id: "carbon-bar",
    title: "may this bar be ridden on?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Bar, Slot::Stem, Slot::Levers],
    cured_by: &[Slot::Bar],
    heals: None,
    silent_without: &[Dimension::BarMaterial, Dimension::BarMark, Dimension::BarHistory],
    sentence: "a bar that has been in a crash is not fitted, nor a carbon bar with a mark deeper than 0.2 mm; a carbon bar of unknown history is marginal",
    long: "A carbon bar breaks without bending first. A mark deeper than 0.2 mm has gone through the clear coat into \
           the fibres, a ring where a clamp sat most of all, and a crash is not seen from outside. Such a bar goes \
           back to its owner; no signature makes it whole. A bar of metal that has been in a crash is not \
           fitted either. What somebody says who gives a used bar away is no history: it counts as unknown. A bar \
           that stays on the bike is judged where anybody looked at it.",
    source: "0.2 mm: our own choice on the safe side, with no published source; that a crashed bar is replaced: owner manuals and workshop guides",
    caution: Some(Warning::Where {
        concerns: may_be_carbon,
        technician: "carbon bars: paste, the lower of the two printed torques, bolts in turn with an even gap, no clamp with a sharp edge, no clamp outside the marked zones; a second person looks at every bolt; the maker's leaflet wins",
        customer: "a bar of carbon: never tighten its bolts without a torque wrench, and after a crash or a hard knock do not ride on it before it was looked at",
    }),
    check,
};

/// Whether nobody said that the bar is of metal.
fn may_be_carbon(build: &Build) -> bool {
    !matches!(
        word::<BarMaterial>(build, Slot::Bar, After, Dimension::BarMaterial),
        Some(material) if material != BarMaterial::Carbon
    )
}

fn check(ask: &mut Ask<'_>) -> Checked {
    let looked_at =
        [Dimension::BarMaterial, Dimension::BarMark, Dimension::BarHistory].map(|d| spoken_of(ask, After, d));
    if !ask.build.changes(Slot::Bar) && !looked_at.contains(&true) {
        return Checked::NotTouched;
    }
    let material = ask.word::<BarMaterial>(After, Dimension::BarMaterial);
    let history = ask.word::<BarHistory>(After, Dimension::BarHistory);
    let (Some(material), Some(history)) = (material, history) else { return Checked::CannotTell };
    if history == BarHistory::Crashed {
        return refused(
            Judgement::new(Verdict::Refused)
                .says("a bar that has been in a crash may break on the next ride"),
        );
    }
    if material != BarMaterial::Carbon {
        return Judgement::new(Verdict::Works)
            .says("a bar of metal: look for bends, cracks and deep scores at the clamps when the tape is off")
            .done();
    }
    let Some(mark) = ask.number(After, Dimension::BarMark) else { return Checked::CannotTell };
    let margin = Span::exact(MARK_MM) - mark;
    let sound = if history == BarHistory::Known { Verdict::Works } else { Verdict::Marginal };
    let verdict = ask.bands(margin, &[(0.0, sound)]);
    let verdict = if verdict == Verdict::Fails { Verdict::Refused } else { verdict };
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 2)
        .number(Number::new("mark", mark, "mm", 1))
        .number(Number::new("most", Span::exact(MARK_MM), "mm", 1));
    match verdict {
        Verdict::Refused => {
            refused(judged.says("the mark of {mark} goes through the clear coat into the fibres: {most} is the most"))
        }
        Verdict::Marginal => judged
            .says("nobody knows what this bar has been through: light and coin along its whole length, and tell the customer")
            .done(),
        _ => judged.done(),
    }
}

fn refused(judged: Judgement) -> Checked {
    judged
        .says("it goes back tagged: not fitted, with the reason and a photo")
        .says("no approval overrides this; the refit goes on with another bar")
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(material: &'static str, history: &'static str, mark_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BarMaterial, word(material))
            .chosen(Dimension::BarHistory, word(history))
            .chosen(Dimension::BarMark, mm(mark_mm, 0.05))
    }

    #[test]
    fn a_new_bar_works() {
        bench("carbon", "known", 0.0).gives(Verdict::Works);
        bench("aluminium", "known", 0.0).gives(Verdict::Works);
    }

    #[test]
    fn a_ring_of_0_3_mm_is_refused_and_the_bar_goes_back() {
        let finding = bench("carbon", "unknown", 0.3).gives(Verdict::Refused);
        assert!(finding.steps.iter().any(|step| step.contains("goes back tagged")));
        bench("carbon", "known", 0.3).gives(Verdict::Refused);
    }

    #[test]
    fn a_crash_is_refused_in_every_material() {
        for material in ["carbon", "aluminium", "steel", "titanium"] {
            bench(material, "crashed", 0.0).gives(Verdict::Refused);
        }
    }

    #[test]
    fn a_smooth_carbon_bar_of_unknown_history_is_marginal() {
        bench("carbon", "unknown", 0.0).gives(Verdict::Marginal);
        bench("aluminium", "unknown", 0.0).gives(Verdict::Works);
    }

    #[test]
    fn a_mark_at_the_limit_is_measured_again() {
        let finding = bench("carbon", "known", 0.2).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::BarMark);
    }

    #[test]
    fn a_bar_that_stays_is_judged_where_somebody_looked_at_it() {
        let kept = |history| {
            Bench::of(&RULE)
                .chosen(Dimension::StemClamp, mm(31.8, 0.0))
                .found(Dimension::BarMaterial, word("carbon"))
                .found(Dimension::BarMark, mm(0.0, 0.05))
                .found(Dimension::BarHistory, word(history))
        };
        kept("crashed").gives(Verdict::Refused);
        kept("known").gives(Verdict::Works);
        assert!(Bench::of(&RULE).chosen(Dimension::StemClamp, mm(31.8, 0.0)).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::BarMaterial, Dimension::BarHistory, Dimension::BarMark] {
            let finding = bench("carbon", "known", 0.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
