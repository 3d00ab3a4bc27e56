//! To which torque is the bar clamped?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use catalog::{BarMaterial, Dimension, Slot, Value, Word};

/// The rule.
pub static RULE: Rule = Rule {
    id: "bar-torque",
    title: "to which torque is the bar clamped?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Bar, Slot::Stem],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::BarMaterial, Dimension::BarTorque, Dimension::StemTorque],
    sentence: "where bar and stem name different torques the lower one counts; a carbon bar is not clamped without both",
    long: "A faceplate is shared by two makers. Each names the torque that his own part bears: the stem's may crush the \
           bar, the bar's may strip the bolts of the stem. So the lower of the two counts, for every bolt of the \
           faceplate, closed in turn with an even gap. A carbon bar waits for both figures; \
           of a bar of metal the rule speaks where both were read.",
    source: "common practice; the printed figures are the makers' own",
    caution: Some(Warning::Technician(
        "faceplate: crosswise in small steps, even gap above and below, the lower of the two printed torques",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // What the bar is made of decides only who has to be asked; it is no ground of the figure.
    let carbon = match ask.build.reading(Slot::Bar, After, Dimension::BarMaterial).taken() {
        Some(Value::Word(noted)) => BarMaterial::read(noted.value) == Some(BarMaterial::Carbon),
        _ => false,
    };
    let both = [Dimension::BarTorque, Dimension::StemTorque].iter().all(|d| spoken_of(ask, After, *d));
    if !carbon && !both {
        return Checked::NotTouched;
    }
    let bar = ask.number(After, Dimension::BarTorque);
    let stem = ask.number(After, Dimension::StemTorque);
    let (Some(bar), Some(stem)) = (bar, stem) else { return Checked::CannotTell };
    let lower = bar.map2_monotone(stem, f64::min);
    Judgement::new(Verdict::Works)
        .number(Number::new("torque", lower, "N m", 0))
        .number(Number::new("bar", bar, "N m", 0))
        .number(Number::new("stem", stem, "N m", 0))
        .says(
            "the bar names {bar}, the stem {stem}: the faceplate is closed to {torque}, the lower of the two",
        )
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, word};

    fn bench(material: &'static str) -> Bench {
        Bench::of(&RULE).chosen(Dimension::BarMaterial, word(material))
    }

    #[test]
    fn the_lower_of_the_two_counts_whichever_it_is() {
        for (bar, stem) in [(5, 6), (6, 5), (5, 5)] {
            let finding = bench("carbon")
                .chosen(Dimension::BarTorque, count(bar))
                .found(Dimension::StemTorque, count(stem))
                .gives(Verdict::Works);
            assert!((finding.number("torque").unwrap().value - 5.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_carbon_bar_is_not_clamped_by_one_figure_alone() {
        let with =
            bench("carbon").chosen(Dimension::BarTorque, count(5)).found(Dimension::StemTorque, count(6));
        with.clone().gives(Verdict::Works);
        for dimension in [Dimension::BarTorque, Dimension::StemTorque] {
            let finding = with.clone().without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }

    #[test]
    fn a_bar_of_metal_is_asked_for_nothing() {
        assert!(bench("aluminium").finding().is_none());
        assert!(bench("aluminium").found(Dimension::StemTorque, count(6)).finding().is_none());
        bench("aluminium")
            .chosen(Dimension::BarTorque, count(8))
            .found(Dimension::StemTorque, count(6))
            .gives(Verdict::Works);
    }
}
