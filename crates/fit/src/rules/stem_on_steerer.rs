//! Does the stem go on the steerer?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use crate::rules::room::{either_way, judge, tightest};
use catalog::{Dimension, Slot};

/// How far steerer and stem may differ and still be the same size.
const SAME_MM: f64 = 0.15;

/// The rule.
pub static RULE: Rule = Rule {
    id: "stem-on-steerer",
    title: "does the stem go on the steerer?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Stem],
    cured_by: &[Slot::Stem],
    heals: None,
    silent_without: &[],
    sentence: "stem and steerer must have the same diameter",
    long: "The stem holds the steerer by friction over its whole clamp. A stem that is too wide turns on the steerer \
           while the wheel goes straight on; one that is too narrow is spread and cracks. Sizes lie millimetres \
           apart, so 0.15 mm is the same size read with a caliper.",
    source: "0.15 mm and sizes: common practice",
    caution: Some(Warning::Technician(
        "a stem that slips leaves the rider without steering: the torque on its leaflet counts, and on a carbon steerer that of the fork wins where it is lower",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // A quill goes inside: its own rule speaks of it.
    if spoken_of(ask, After, Dimension::StemQuill) {
        return Checked::NotTouched;
    }
    let steerer = ask.number(After, Dimension::SteererDiameter);
    let stem = ask.number(After, Dimension::StemSteerer);
    let (Some(steerer), Some(stem)) = (steerer, stem) else { return Checked::CannotTell };
    let rooms = either_way(stem - steerer, SAME_MM);
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 2)
        .number(Number::new("steerer", steerer, "mm", 1))
        .number(Number::new("stem", stem, "mm", 1))
        .says("the steerer is {steerer}, the stem {stem}");
    match verdict {
        Verdict::Fails if stem.middle() > steerer.middle() => {
            judged.says("the stem turns on the steerer").done()
        }
        Verdict::Fails => judged.says("the stem does not go over the steerer").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(steerer_mm: f64, stem_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::SteererDiameter, mm(steerer_mm, 0.1))
            .chosen(Dimension::StemSteerer, mm(stem_mm, 0.0))
    }

    #[test]
    fn the_same_size_works() {
        bench(28.6, 28.6).gives(Verdict::Works);
    }

    #[test]
    fn a_wider_and_a_narrower_stem_fail() {
        bench(25.4, 28.6).gives(Verdict::Fails);
        let finding = bench(28.6, 25.4).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 3.05).abs() < 1e-9);
    }

    #[test]
    fn a_steerer_at_the_limit_is_measured_again() {
        bench(28.5, 28.6).gives(Verdict::Measure);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::SteererDiameter, Dimension::StemSteerer] {
            let finding = bench(28.6, 28.6).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
