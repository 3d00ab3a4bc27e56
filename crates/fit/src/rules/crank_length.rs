//! Do the new cranks have the length that the legs are used to?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{Dimension, Slot};
use mechanics::crank::{pedal_force_factor, saddle_rise};
use quantity::Length;

/// How far two lengths may differ and still be the same size.
const SAME_MM: f64 = 0.6;

/// The rule.
pub static RULE: Rule = Rule {
    id: "crank-length",
    title: "do the new cranks have the length that the legs are used to?",
    coupling: Coupling::Front,
    hazard: Hazard::Comfort,
    touches: &[Slot::Crankset],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "cranks of another length go on, but the saddle moves and every gear feels different",
    long: "A shorter crank leaves the leg less bent at the top and less straight at the bottom: the saddle goes up by \
           the difference. In the same gear the foot presses harder by the same share. A longer crank also brings \
           the pedal nearer to the ground in curves. Cranks come in steps of 2.5 mm, so up to 0.6 mm is the same size. \
           Nothing about another length is wrong; it has to be told.",
    source: "geometry and the law of the lever; 0.6 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let old = ask.number(Before, Dimension::CrankLength);
    let new = ask.number(After, Dimension::CrankLength);
    let (Some(old), Some(new)) = (old, new) else { return Checked::CannotTell };
    let rooms = either_way(new - old, SAME_MM);
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let rise = old.map2_monotone(new, |old, new| saddle_rise(Length::mm(old), Length::mm(new)).to_mm());
    let mut judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("old", old, "mm", 1))
        .number(Number::new("new", new, "mm", 1))
        .number(Number::difference("saddle_rise", rise, "mm", 1))
        .says("the cranks measure {old} before and {new} after");
    if new.least() > 0.0 {
        let force = old.map2_monotone(new, |old, new| pedal_force_factor(Length::mm(old), Length::mm(new)));
        judged = judged.number(Number::new("force", force, "", 3));
        if verdict == Verdict::Marginal {
            judged = judged.says(
                "the saddle moves by {saddle_rise}; in the same gear the foot presses {force} times as hard",
            );
        }
    }
    if verdict == Verdict::Marginal && new.middle() > old.middle() {
        judged = judged.says("the pedals come nearer to the ground in curves");
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(old_mm: f64, new_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::CrankLength, mm(old_mm, 0.0))
            .chosen(Dimension::CrankLength, mm(new_mm, 0.0))
    }

    #[test]
    fn the_same_length_works() {
        bench(172.5, 172.5).gives(Verdict::Works);
    }

    #[test]
    fn five_millimetres_less_lift_the_saddle_by_five() {
        let finding = bench(175.0, 170.0).gives(Verdict::Marginal);
        assert!((finding.number("saddle_rise").unwrap().span.middle() - 5.0).abs() < 1e-9);
        assert!((finding.number("force").unwrap().span.middle() - 175.0 / 170.0).abs() < 1e-9);
    }

    #[test]
    fn longer_cranks_come_nearer_to_the_ground() {
        let finding = bench(170.0, 172.5).gives(Verdict::Marginal);
        assert!(finding.steps.iter().any(|step| step.contains("ground")));
    }

    #[test]
    fn a_length_read_off_coarsely_is_read_again() {
        bench(170.0, 170.0).found(Dimension::CrankLength, mm(170.0, 1.0)).gives(Verdict::Measure);
    }

    #[test]
    fn without_the_lengths_nothing_can_be_told() {
        let finding = bench(170.0, 170.0).without(Dimension::CrankLength).gives(Verdict::Measure);
        assert_eq!(finding.missing.len(), 2);
    }
}
