//! Do the rings go on the spider of the crankset?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{ArmPattern, Dimension, Slot};
use quantity::Span;

/// How far two circles may differ and still be the same.
const SAME_MM: f64 = 0.3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "bolt-circle",
    title: "do the rings go on the spider of the crankset?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::Chainrings],
    cured_by: &[Slot::Chainrings, Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "rings and crankset must have the same number of bolts on the same circle, evenly spaced or not alike",
    long: "The circle is measured as the distance of neighbouring holes times 1.701 for five, 1.414 for four and 1.155 \
           for three bolts. Circles of the trade lie 2 mm apart and more, so 0.3 mm of difference is the same \
           circle; nearly the same does not exist, and a ring that is filed to go on creeps. Uneven arms are not \
           described by a circle: such a ring is held against the arms before it is ordered. The rule is for one \
           circle; an inner ring on a smaller circle of its own is measured like a set of its own.",
    source: "chord of a circle; 0.3 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let (arms, holes) = (ask.count(After, Dimension::BoltHoles), ask.count(After, Dimension::RingHoles));
    let circle = ask.number(After, Dimension::BoltCircle);
    let ring = ask.number(After, Dimension::RingCircle);
    let spider = ask.word::<ArmPattern>(After, Dimension::ArmPattern);
    let pattern = ask.word::<ArmPattern>(After, Dimension::RingPattern);
    let (Some(arms), Some(holes), Some(circle), Some(ring), Some(spider), Some(pattern)) =
        (arms, holes, circle, ring, spider, pattern)
    else {
        return Checked::CannotTell;
    };
    let rooms = either_way(ring - circle, SAME_MM);
    let by_circle = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let whole = |n: u32| Span::exact(f64::from(n));
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(tightest(&rooms), "mm", 1)
            .number(Number::new("arms", whole(arms), "", 0))
            .number(Number::new("holes", whole(holes), "", 0))
            .number(Number::new("circle", circle, "mm", 1))
            .number(Number::new("ring", ring, "mm", 1))
            .says("the crankset has {arms} bolts on {circle}, the rings {holes} on {ring}")
    };
    if arms != holes {
        return judged(Verdict::Fails).says("the number of bolts is another").done();
    }
    if spider != pattern {
        return judged(Verdict::Fails).says("one is evenly spaced and the other is not").done();
    }
    match by_circle {
        Verdict::Works if spider == ArmPattern::Uneven => judged(Verdict::Marginal)
            .says("uneven arms are not told by their circle: hold the ring against the spider before it is ordered")
            .done(),
        Verdict::Fails => judged(Verdict::Fails).says("the bolt circles are not the same").done(),
        verdict => judged(verdict).done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, word};

    fn bench(crank: (u32, f64, &'static str), ring: (u32, f64, &'static str)) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BoltHoles, count(crank.0))
            .found(Dimension::BoltCircle, mm(crank.1, 0.2))
            .found(Dimension::ArmPattern, word(crank.2))
            .chosen(Dimension::RingHoles, count(ring.0))
            .chosen(Dimension::RingCircle, mm(ring.1, 0.0))
            .chosen(Dimension::RingPattern, word(ring.2))
    }

    #[test]
    fn the_same_circle_works() {
        bench((5, 130.0, "even"), (5, 130.0, "even")).gives(Verdict::Works);
    }

    #[test]
    fn nearly_the_same_circle_fails() {
        bench((4, 110.0, "even"), (4, 112.0, "even")).gives(Verdict::Fails);
        bench((5, 130.0, "even"), (5, 128.0, "even")).gives(Verdict::Fails);
    }

    #[test]
    fn another_number_or_spacing_of_bolts_fails() {
        bench((5, 110.0, "even"), (4, 110.0, "even")).gives(Verdict::Fails);
        bench((4, 110.0, "uneven"), (4, 110.0, "even")).gives(Verdict::Fails);
    }

    #[test]
    fn uneven_arms_are_tried_with_the_ring_in_hand() {
        bench((4, 110.0, "uneven"), (4, 110.0, "uneven")).gives(Verdict::Marginal);
    }

    #[test]
    fn a_circle_at_the_limit_is_measured_again() {
        bench((5, 130.3, "even"), (5, 130.0, "even")).gives(Verdict::Measure);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [
            Dimension::BoltHoles,
            Dimension::BoltCircle,
            Dimension::ArmPattern,
            Dimension::RingHoles,
            Dimension::RingCircle,
            Dimension::RingPattern,
        ] {
            let finding =
                bench((5, 130.0, "even"), (5, 130.0, "even")).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
