//! Do the new cranks suit the legs of the rider?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot};
use mechanics::crank::share_of_leg;
use quantity::{Length, Span};

/// Crank as a share of the inside length of the leg that riders are comfortable with. From memory.
const SHARE: (f64, f64) = (0.19, 0.23);

/// The rule.
pub static RULE: Rule = Rule {
    id: "crank-for-rider",
    title: "do the new cranks suit the legs of the rider?",
    coupling: Coupling::Front,
    hazard: Hazard::Comfort,
    touches: &[Slot::Crankset],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "cranks measure 19 to 23 percent of the inside length of the leg",
    long: "Children and small riders get cranks made for grown ones: the knee comes up to the chest and the pedal near \
           to the ground. Rules of thumb lie between 0.19 and 0.23 of the inside length of the leg; they are from \
           memory, they are wide, and comfort decides. So outside of them it is a thing to try and never a fault. \
           The rule speaks where the leg was measured.",
    source: "rules of thumb from memory; no published table",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(inseam) = ask.build.rider.inseam else { return Checked::NotTouched };
    let Some(crank) = ask.number(After, Dimension::CrankLength) else { return Checked::CannotTell };
    let share = crank.map_monotone(|mm| share_of_leg(Length::mm(mm), inseam));
    let rooms = inside(share, Span::exact(SHARE.0), Span::exact(SHARE.1));
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "", 3)
        .number(Number::new("crank", crank, "mm", 1))
        .number(Number::new("inseam", Span::exact(inseam.to_mm()), "mm", 0))
        .number(Number::new("share", share, "", 3))
        .says("cranks of {crank} are {share} of a leg of {inseam}");
    match verdict {
        Verdict::Marginal if share.middle() > SHARE.1 => {
            judged.says("they are long for this rider: let the rider try the height of the knee").done()
        }
        Verdict::Marginal => judged.says("they are short for this rider").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(crank_mm: f64, inseam_mm: f64) -> Bench {
        Bench::of(&RULE).rider_inseam(inseam_mm).chosen(Dimension::CrankLength, mm(crank_mm, 0.0))
    }

    #[test]
    fn usual_cranks_suit_a_grown_rider() {
        let finding = bench(172.5, 830.0).gives(Verdict::Works);
        assert!((finding.number("share").unwrap().value - 0.2078).abs() < 1e-4);
    }

    #[test]
    fn grown_up_cranks_are_long_for_a_child() {
        bench(170.0, 600.0).gives(Verdict::Marginal);
        bench(130.0, 600.0).gives(Verdict::Works);
    }

    #[test]
    fn without_the_crank_nothing_can_be_told_and_without_the_leg_nothing_is_said() {
        bench(170.0, 800.0).without(Dimension::CrankLength).gives(Verdict::Measure);
        assert!(Bench::of(&RULE).chosen(Dimension::CrankLength, mm(170.0, 0.0)).finding().is_none());
    }
}
