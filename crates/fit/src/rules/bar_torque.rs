//! To which torque is the bar clamped?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{BarMaterial, Dimension, Slot};
use quantity::Span;

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
    sentence: "where bar and stem name different torques the lower one counts; a carbon bar is not clamped without its figure",
    long: "A faceplate is shared by two makers. Each names the torque that his own part bears: the stem's may crush the \
           bar, the bar's may strip the bolts of the stem. So the lower of the two counts, for every bolt of the \
           faceplate, closed in turn with an even gap. A bar of metal with nothing printed takes the figure of the \
           stem; a carbon bar with nothing printed waits for its leaflet.",
    source: "common practice; the printed figures are the makers' own",
    caution: Some(
        "faceplate: crosswise in small steps, even gap above and below, the lower of the two printed torques",
    ),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let stem = ask.known_number(After, Dimension::StemTorque);
    let carbon = ask.known_word::<BarMaterial>(After, Dimension::BarMaterial) == Some(BarMaterial::Carbon);
    let bar = match carbon {
        true => ask.number(After, Dimension::BarTorque),
        false => ask.known_number(After, Dimension::BarTorque),
    };
    if carbon && bar.is_none() {
        return Checked::CannotTell;
    }
    let Some(lower) = [bar, stem]
        .into_iter()
        .flatten()
        .reduce(|a, b| Span::new(a.least().min(b.least()), a.most().min(b.most())))
    else {
        return Checked::NotTouched;
    };
    let mut judged = Judgement::new(Verdict::Works).number(Number::new("torque", lower, "N m", 0));
    if let Some((bar, stem)) = bar.zip(stem) {
        judged = judged
            .number(Number::new("bar", bar, "N m", 0))
            .number(Number::new("stem", stem, "N m", 0))
            .says("the bar names {bar}, the stem {stem}: the faceplate is closed to {torque}, the lower of the two");
    } else if bar.is_some() {
        judged = judged.says("the bar names {torque}: the figure of the stem is read before the bolts are closed, and the lower counts");
    } else {
        judged = judged.says("the stem names {torque}; on the bar nothing is written down, and a lower figure there would count");
    }
    judged.done()
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
    fn a_carbon_bar_without_its_figure_is_not_clamped_by_that_of_the_stem() {
        let finding = bench("carbon").found(Dimension::StemTorque, count(6)).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::BarTorque);
        // Taken away, the figure turns the verdict to measure.
        let with = bench("carbon").chosen(Dimension::BarTorque, count(5));
        with.clone().gives(Verdict::Works);
        with.without(Dimension::BarTorque).gives(Verdict::Measure);
    }

    #[test]
    fn a_bar_of_metal_takes_the_figure_of_the_stem_and_nothing_is_asked() {
        bench("aluminium").found(Dimension::StemTorque, count(6)).gives(Verdict::Works);
        assert!(bench("aluminium").finding().is_none());
    }
}
