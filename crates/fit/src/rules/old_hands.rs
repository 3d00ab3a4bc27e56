//! Does the recorded place of the hands agree with the old parts?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::hand_position::{Stem, level};
use catalog::Dimension;
use quantity::{Span, Stand};

/// The lever does not sit at the very reach of the bar: up to here record and sum of the parts agree.
const SAME_MM: f64 = 15.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-hands",
    title: "does the recorded place of the hands agree with the old parts?",
    coupling: Coupling::Record,
    hazard: Hazard::Comfort,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "stem, bar and lever add up to the recorded way from the steerer to the hood, within 15 mm",
    long: "The new cockpit is built to the record, and it cannot be taken again once the bar is off. A stem read from \
           its print, a reach of another bar or a tape held at the wrong end show here, while the bike still \
           stands whole. The lever sits a little before or behind the reach of the bar, hence the 15 mm. A doubt is \
           raised only where no value inside the tolerances agrees, so a coarser reading can silence it but never \
           raise it.",
    source: "geometry of stem and head angle; 15 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let facts = [
        Dimension::HandForward,
        Dimension::HeadAngle,
        Dimension::StemLength,
        Dimension::StemAngle,
        Dimension::StemHeight,
        Dimension::Spacers,
        Dimension::BarReach,
        Dimension::HoodReach,
    ]
    .map(|dimension| ask.known_number(Before, dimension));
    let [
        Some(record),
        Some(head),
        Some(length),
        Some(angle),
        Some(height),
        Some(spacers),
        Some(reach),
        Some(hood),
    ] = facts
    else {
        return Checked::NotTouched;
    };
    let (stack, _) = level(Span::exact(0.0), spacers + height * Span::exact(0.5), head);
    let added = Stem { length, angle }.place(head).0 + stack + reach + hood;
    let off = record - added;
    let doubted = off.against(-SAME_MM) == Stand::Below || (-off).against(-SAME_MM) == Stand::Below;
    if doubted {
        ask.all_again();
    }
    let judged = Judgement::new(if doubted { Verdict::Measure } else { Verdict::Works })
        .number(Number::new("record", record, "mm", 0))
        .number(Number::new("added", added, "mm", 0))
        .number(Number::difference("off", off, "mm", 0))
        .says("the record says {record} forward, the parts add up to {added}: {off}");
    if doubted {
        judged
            .says("one of the readings is of something else; they must agree before the bar comes off")
            .done()
    } else {
        judged.done()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm};

    /// 110/−17 at 73° on a middle of the stem 30 mm up the steerer: 110.0 − 8.8 + 92 + 38 = 231.2.
    fn bench(record_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HandForward, mm(record_mm, 3.0))
            .found(Dimension::HeadAngle, deg(73.0, 0.5))
            .found(Dimension::StemLength, mm(110.0, 1.0))
            .found(Dimension::StemAngle, deg(-17.0, 0.5))
            .found(Dimension::StemHeight, mm(40.0, 0.2))
            .found(Dimension::Spacers, mm(10.0, 1.0))
            .found(Dimension::BarReach, mm(92.0, 2.0))
            .found(Dimension::HoodReach, mm(38.0, 2.0))
    }

    #[test]
    fn a_record_that_the_parts_add_up_to_is_believed() {
        let finding = bench(231.0).gives(Verdict::Works);
        assert!((finding.number("added").unwrap().span.middle() - 231.2).abs() < 0.1);
    }

    #[test]
    fn a_stem_read_wrong_by_three_sizes_is_looked_for() {
        let finding = bench(265.0).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::HandForward));
    }

    #[test]
    fn a_bike_without_a_record_checks_nothing() {
        assert!(bench(231.0).without(Dimension::HandForward).finding().is_none());
    }
}
