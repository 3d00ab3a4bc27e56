//! Is a roll of tape long enough for a side of the bar?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::tape::length_used;
use quantity::Length;

/// Share of its width by which a turn lies on the turn before.
const OVERLAP: f64 = 0.25;

/// The rule.
pub static RULE: Rule = Rule {
    id: "tape-length",
    title: "is a roll of tape long enough for a side of the bar?",
    coupling: Coupling::Hands,
    hazard: Hazard::Comfort,
    touches: &[Slot::Tape],
    cured_by: &[Slot::Tape],
    heals: None,
    silent_without: &[Dimension::TapeSide],
    sentence: "a roll must cover the wrapped part of a side at a quarter overlap",
    long: "Each turn lays three quarters of the width of the tape as new cover, and goes once round the bar with the \
           tape on it. A roll that ends before the stem is torn off and thrown away. The length is worked out a few \
           percent on the long side. The rule speaks only where somebody laid a string along the bar.",
    source: "geometry of the wrap; a quarter overlap: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(side) = ask.known_number(After, Dimension::TapeSide) else { return Checked::NotTouched };
    let roll = ask.number(After, Dimension::TapeRoll);
    let width = ask.number(After, Dimension::TapeWidth);
    let wrapped = ask.number(After, Dimension::TapeWrapped);
    let (Some(roll), Some(width), Some(wrapped)) = (roll, width, wrapped) else { return Checked::CannotTell };
    if width.least() <= 0.0 || wrapped.least() <= 0.0 {
        // The law of the wrap holds for real tapes on real bars only.
        ask.again();
        return Judgement::new(Verdict::Measure).says("the readings are too coarse to work with").done();
    }
    // Proportional to the side; falls with the width and rises with the diameter.
    let per_millimetre = wrapped.map2_monotone(width, |wrapped_mm, width_mm| {
        length_used(Length::mm(1.0), Length::mm(wrapped_mm), Length::mm(width_mm), OVERLAP).to_mm()
    });
    let used = side * per_millimetre;
    let margin = roll - used;
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 0)
        .number(Number::new("used", used, "mm", 0))
        .number(Number::new("roll", roll, "mm", 0))
        .says("a side takes {used} of tape at a quarter overlap; the roll has {roll}");
    if verdict == Verdict::Fails {
        return judged
            .says("the roll ends before the stem")
            .cure(Cure::by(
                Act::Work("lay the tape with less overlap, or let it end further from the stem"),
                Verdict::Marginal,
            ))
            .done();
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(side_mm: f64, roll_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::TapeSide, mm(side_mm, 5.0))
            .chosen(Dimension::TapeWrapped, mm(27.0, 0.5))
            .chosen(Dimension::TapeWidth, mm(30.0, 0.0))
            .chosen(Dimension::TapeRoll, mm(roll_mm, 0.0))
    }

    #[test]
    fn a_usual_side_takes_1_87_metres() {
        let finding = bench(480.0, 2000.0).gives(Verdict::Works);
        assert!((finding.number("used").unwrap().span.middle() - 1872.0).abs() < 2.0);
    }

    #[test]
    fn a_long_side_outruns_a_short_roll() {
        let finding = bench(560.0, 2000.0).gives(Verdict::Fails);
        assert!(finding.margin.unwrap().span.most() < 0.0 && finding.cures.len() == 1);
    }

    #[test]
    fn a_roll_that_just_does_cannot_be_told() {
        let finding = bench(480.0, 1880.0).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::TapeWrapped));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::TapeRoll, Dimension::TapeWidth, Dimension::TapeWrapped] {
            let finding = bench(480.0, 2000.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }

    #[test]
    fn nothing_is_said_where_nobody_laid_a_string() {
        assert!(bench(480.0, 2000.0).without(Dimension::TapeSide).finding().is_none());
    }
}
