//! Do levers and calipers brake as the rider is used to?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::is_known_hydraulic;
use crate::rules::room::{either_way, inside, judge, tightest};
use catalog::{Dimension, Slot};
use mechanics::brakes::leverage;
use quantity::Span;

/// Percent of leverage lost that nobody notices.
const UNNOTICED: f64 = -5.0;
/// Percent lost beyond which the brake is not handed over.
const TOO_WEAK: f64 = -25.0;
/// Percent gained beyond which the lever comes near the bar.
const LONG_TRAVEL: f64 = 25.0;
/// Percent gained beyond which the lever meets the bar before the pads bite.
const TOO_LONG: f64 = 60.0;

/// How far pull of the lever and pull that the caliper wants may differ and still be the same class.
const SAME_PULL_MM: f64 = 0.5;
/// How far they differ at most between neighbouring classes.
const NEAR_PULL_MM: f64 = 3.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "brake-leverage",
    title: "do levers and calipers brake as the rider is used to?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::Calipers],
    cured_by: &[Slot::Calipers, Slot::Levers],
    heals: None,
    silent_without: &[],
    sentence: "the leverage of lever and caliper together may drop by 5 % unnoticed and by 25 % at most, and may not rise so far that the lever meets the bar",
    long: "Lever and caliper each trade travel for force, and what counts is the product of the two: finger travel \
           for pad travel. The rider knows the old product. A loss of up to 5 % is not felt; up to 25 % is felt, and \
           told before the bike leaves; more is not handed over. Every gain in force is paid with lever travel in \
           the same share: from a quarter more the lever comes near the bar and must be tried, from 60 % more it \
           meets the bar before the pads bite. Where lever or caliper stays, its own figure and its tolerance fall \
           out of the comparison. Where both change and the old pair is not known, the new pair is judged by its \
           cable: pull of a full stroke against the pull that the caliper wants. Within 0.5 mm they belong together; \
           a lever that pulls up to 3 mm more is hard and marginal; one that pulls up to 3 mm less cannot be told \
           without a stop test; beyond that a short-pull lever meets a long-pull caliper, or the reverse.",
    source: "work in is work out; percentages, pulls and classes: common practice and our own choice on the safe side, with no published source",
    caution: Some(Warning::Each {
        technician: "brakes: stop hard five times front and rear, on the stand and on the road, before the bike leaves; the lever must not reach the bar; where the makers name a pair or forbid one, that wins",
        customer: "the brakes feel different from before and may bite much harder: try both at walking pace before the first ride",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // Hydraulic leverage is bored into a pair; the rule on fluids speaks of it.
    if is_known_hydraulic(ask.build) {
        return Checked::NotTouched;
    }
    let both = ask.build.changes(Slot::Levers) && ask.build.changes(Slot::Calipers);
    let taken = |slot, dimension| ask.build.reading(slot, Before, dimension).taken().is_some();
    let old_known =
        taken(Slot::Levers, Dimension::LeverRatio) && taken(Slot::Calipers, Dimension::CaliperRatio);
    if both && !old_known { by_pull(ask) } else { by_leverage(ask) }
}

fn by_leverage(ask: &mut Ask<'_>) -> Checked {
    let old_lever = ask.number(Before, Dimension::LeverRatio);
    let old_caliper = ask.number(Before, Dimension::CaliperRatio);
    let new_lever = ask.number(After, Dimension::LeverRatio);
    let new_caliper = ask.number(After, Dimension::CaliperRatio);
    let (Some(old_lever), Some(old_caliper), Some(new_lever), Some(new_caliper)) =
        (old_lever, old_caliper, new_lever, new_caliper)
    else {
        return Checked::CannotTell;
    };
    let before = old_lever.map2_monotone(old_caliper, leverage);
    let after = new_lever.map2_monotone(new_caliper, leverage);
    // The part that stays is the same on both sides: it falls out, with its tolerance.
    let (old, new) = match (ask.build.changes(Slot::Levers), ask.build.changes(Slot::Calipers)) {
        (true, false) => (old_lever, new_lever),
        (false, true) => (old_caliper, new_caliper),
        _ => (before, after),
    };
    let (before_read, after_read) = (
        leverage(old_lever.middle(), old_caliper.middle()),
        leverage(new_lever.middle(), new_caliper.middle()),
    );
    let shown = |judged: Judgement| {
        judged
            .number(Number::new("before", before, "", 2).at(before_read))
            .number(Number::new("after", after, "", 2).at(after_read))
    };
    if old.least() <= 0.0 || new.least() <= 0.0 {
        ask.again();
        return shown(Judgement::new(Verdict::Measure)).says("the readings are too coarse to compare").done();
    }
    let change = new.map2_monotone(old, |new, old| 100.0 * (new / old - 1.0));
    let unnoticed = inside(change, Span::exact(UNNOTICED), Span::exact(LONG_TRAVEL));
    let bearable = inside(change, Span::exact(TOO_WEAK), Span::exact(TOO_LONG));
    let verdict = match judge(ask, &unnoticed, &[(0.0, Verdict::Works)]) {
        Verdict::Fails => judge(ask, &bearable, &[(0.0, Verdict::Marginal)]),
        verdict => verdict,
    };
    let room = tightest(if verdict == Verdict::Works { &unnoticed } else { &bearable });
    let judged = shown(Judgement::new(verdict).margin(room, "%", 0))
        .number(Number::difference("change", change, "%", 0).at(100.0 * (after_read / before_read - 1.0)))
        .says("leverage of lever and caliper together: {before} before, {after} after, {change}");
    match (verdict, change.middle() < 0.0) {
        (Verdict::Marginal, true) => judged.says("weaker than the rider is used to: brake test before it leaves").done(),
        (Verdict::Marginal, false) => {
            judged.says("the lever travels further for the same pads: it must not come near the bar in the brake test").done()
        }
        (Verdict::Fails, true) => judged.says("so weak a brake is not handed over").done(),
        (Verdict::Fails, false) => judged.says("the lever meets the bar before the pads bite").done(),
        _ => judged.done(),
    }
}

/// Both change and nobody knows the old pair: the new one is judged by its cable.
fn by_pull(ask: &mut Ask<'_>) -> Checked {
    for dimension in [Dimension::LeverRatio, Dimension::CaliperRatio] {
        let slot = ask.build.slot_of(dimension, Before);
        if ask.build.reading(slot, Before, dimension).taken().is_none() {
            // Noted as a gap: only with the old pair can the rider be told how much changes.
            ask.number(Before, dimension);
        }
    }
    let pulled = ask.number(After, Dimension::LeverPull);
    let wanted = ask.number(After, Dimension::CaliperPull);
    let (Some(pulled), Some(wanted)) = (pulled, wanted) else { return Checked::CannotTell };
    let difference = pulled - wanted;
    let same = either_way(difference, SAME_PULL_MM);
    let near = either_way(difference, NEAR_PULL_MM);
    let judged = |verdict, room| {
        Judgement::new(verdict)
            .margin(room, "mm", 1)
            .number(Number::new("pulled", pulled, "mm", 1))
            .number(Number::new("wanted", wanted, "mm", 1))
            .says("a full stroke of the lever pulls {pulled} of cable; the caliper wants {wanted}")
            .says("the old pair is not known: how much the brake changes for the rider cannot be said")
    };
    match judge(ask, &same, &[(0.0, Verdict::Works)]) {
        Verdict::Fails => {}
        verdict => return judged(verdict, tightest(&same)).done(),
    }
    let pulls_more = difference.middle() > 0.0;
    let verdict = judge(ask, &near, &[(0.0, if pulls_more { Verdict::Marginal } else { Verdict::Measure })]);
    let judged = judged(verdict, tightest(&near));
    match (verdict, pulls_more) {
        (Verdict::Marginal, _) => {
            judged.says("harder and weaker than the caliper is made for: stop test before it leaves").done()
        }
        (Verdict::Fails, true) => {
            judged.says("the lever pulls far too much cable: a wooden lever with very little force").done()
        }
        (Verdict::Fails, false) => {
            judged.says("the lever pulls far too little cable: it meets the bar before the pads bite").done()
        }
        (_, false) => judged.says("soft, with a long way: only the old pair or a stop test can tell").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, ratio};

    fn levers(old: f64, new: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::LeverRatio, ratio(old, 0.05 * old))
            .chosen(Dimension::LeverRatio, ratio(new, 0.0))
            .found(Dimension::CaliperRatio, ratio(1.3, 0.065))
    }

    fn pair(pulled_mm: f64, wanted_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::LeverPull, mm(pulled_mm, 0.0))
            .chosen(Dimension::CaliperPull, mm(wanted_mm, 0.0))
    }

    #[test]
    fn a_new_lever_on_the_old_caliper_is_twelve_percent_weaker() {
        let finding = levers(4.2, 3.7).gives(Verdict::Marginal);
        let middle = |name| finding.number(name).unwrap().span.middle();
        assert!((middle("before") - 5.46).abs() < 0.02 && (middle("after") - 4.81).abs() < 0.02);
        assert!((middle("change") + 11.9).abs() < 0.3);
    }

    #[test]
    fn the_caliper_that_stays_does_not_blur_the_comparison() {
        let sharp = levers(4.2, 3.7).gives(Verdict::Marginal);
        let blurred =
            levers(4.2, 3.7).found(Dimension::CaliperRatio, ratio(1.3, 0.5)).gives(Verdict::Marginal);
        assert_eq!(sharp.number("change"), blurred.number("change"));
    }

    #[test]
    fn an_equal_lever_works_and_a_slightly_stronger_one_too() {
        levers(4.0, 4.1).gives(Verdict::Works);
    }

    #[test]
    fn a_third_less_fails() {
        levers(4.2, 2.8).gives(Verdict::Fails);
    }

    #[test]
    fn more_force_is_more_travel() {
        levers(4.0, 5.5).gives(Verdict::Marginal);
        let finding = levers(3.0, 6.0).gives(Verdict::Fails);
        assert!(finding.steps.iter().any(|step| step.contains("meets the bar")));
    }

    #[test]
    fn a_ruler_that_cannot_tell_is_read_again() {
        let finding = levers(4.0, 3.8).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::LeverRatio));
    }

    #[test]
    fn a_new_caliper_with_the_old_lever_is_compared_alone() {
        Bench::of(&RULE)
            .found(Dimension::LeverRatio, ratio(4.2, 0.21))
            .found(Dimension::CaliperRatio, ratio(1.3, 0.0))
            .chosen(Dimension::CaliperRatio, ratio(1.3, 0.0))
            .gives(Verdict::Works);
    }

    #[test]
    fn a_whole_new_pair_is_compared_as_a_pair() {
        // 3.7 times 1.6 is 5.92 against 5.46: 8 % more.
        let finding = Bench::of(&RULE)
            .found(Dimension::LeverRatio, ratio(4.2, 0.1))
            .found(Dimension::CaliperRatio, ratio(1.3, 0.03))
            .chosen(Dimension::LeverRatio, ratio(3.7, 0.0))
            .chosen(Dimension::CaliperRatio, ratio(1.6, 0.0))
            .gives(Verdict::Works);
        assert!((finding.number("change").unwrap().span.middle() - 8.4).abs() < 0.5);
    }

    #[test]
    fn an_unknown_old_pair_leaves_the_cable_to_judge_by() {
        let finding = pair(8.0, 8.0).gives(Verdict::Works);
        assert!(finding.steps.iter().any(|step| step.contains("not known")));
        pair(8.0, 7.0).gives(Verdict::Marginal);
        pair(7.0, 15.0).gives(Verdict::Fails);
        pair(15.0, 7.0).gives(Verdict::Fails);
    }

    #[test]
    fn an_old_lever_on_a_new_caliper_waits_for_the_old_pair() {
        let finding = pair(7.0, 8.0).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::LeverRatio));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::LeverRatio, Dimension::CaliperRatio] {
            levers(4.2, 3.7).without(dimension).gives(Verdict::Measure);
        }
        for dimension in [Dimension::LeverPull, Dimension::CaliperPull] {
            let finding = pair(8.0, 8.0).without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension));
        }
    }
}
