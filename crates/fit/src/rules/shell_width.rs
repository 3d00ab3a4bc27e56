//! Is the shell as wide as the bottom bracket wants it?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot};

/// How far a shell may be off its width: what facing and a preload cap take up.
const SPARE_MM: f64 = 0.5;

/// The rule.
pub static RULE: Rule = Rule {
    id: "shell-width",
    title: "is the shell as wide as the bottom bracket wants it?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::BottomBracket],
    cured_by: &[Slot::BottomBracket],
    heals: None,
    silent_without: &[],
    sentence: "the shell must be as wide as the leaflet of the bottom bracket says, within 0.5 mm",
    long: "Cups, spacers and shell add up to the length that the spindle spans. A shell that is too wide leaves too \
           little of the spindle for the left arm; one that is too narrow leaves play that the preload cannot take \
           up. Half a millimetre is taken up. The widths of the leaflet count its own spacers in.",
    source: "widths: leaflet of the bottom bracket; 0.5 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let width = ask.number(After, Dimension::ShellWidth);
    let least = ask.number(After, Dimension::ShellLeast);
    let most = ask.number(After, Dimension::ShellMost);
    let (Some(width), Some(least), Some(most)) = (width, least, most) else { return Checked::CannotTell };
    let rooms = inside(width, least - SPARE_MM, most + SPARE_MM);
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("width", width, "mm", 1))
        .number(Number::new("least", least, "mm", 1))
        .number(Number::new("most", most, "mm", 1))
        .says("the shell is {width} wide; the bottom bracket suits {least} to {most}");
    match verdict {
        Verdict::Fails if width.middle() > most.middle() => {
            judged.says("the shell is too wide: the left arm gets too little spindle").done()
        }
        Verdict::Fails => judged.says("the shell is too narrow: the bearings keep play").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(width_mm: f64, least_mm: f64, most_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::ShellWidth, mm(width_mm, 0.3))
            .chosen(Dimension::ShellLeast, mm(least_mm, 0.0))
            .chosen(Dimension::ShellMost, mm(most_mm, 0.0))
    }

    #[test]
    fn a_shell_of_68_suits_a_bottom_bracket_for_68() {
        bench(68.1, 68.0, 68.0).gives(Verdict::Works);
        bench(68.0, 68.0, 73.0).gives(Verdict::Works);
    }

    #[test]
    fn a_shell_of_70_is_not_one_of_68() {
        let finding = bench(70.0, 68.0, 68.0).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 1.5).abs() < 1e-9);
        bench(68.0, 70.0, 70.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_shell_that_wants_facing_is_measured_again() {
        let finding = bench(68.4, 68.0, 68.0).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::ShellWidth);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::ShellWidth, Dimension::ShellLeast, Dimension::ShellMost] {
            let finding = bench(68.0, 68.0, 68.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
