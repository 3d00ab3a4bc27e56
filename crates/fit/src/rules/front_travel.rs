//! Does the lever move the front cage from ring to ring?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::geometry::front::OVERSHIFT_MM;
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use quantity::Span;

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-travel",
    title: "does the lever move the front cage from ring to ring?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Chainrings, Slot::FrontDerailleur, Slot::Levers, Slot::Shifters],
    cured_by: &[Slot::FrontDerailleur, Slot::Levers, Slot::Shifters],
    heals: None,
    silent_without: &[Dimension::FrontThrow, Dimension::FrontRatio],
    sentence: "cable of a throw times derailleur ratio must be the gap of the rings and what the cage goes past them",
    long: "A cage that stops short of the large ring by a millimetre does not lift the chain, and no limit screw gives \
           what the lever does not pull. Wanted are the gaps of all rings and about 1.5 mm beyond. Levers and front \
           derailleurs of the road and off it pull differently, and so do old and new ones: the travel is measured \
           free of charge on the bike, with both screws open.",
    source: "geometry; 1.5 mm: common practice, a guess",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let throw = ask.known_number(After, Dimension::FrontThrow);
    let ratio = ask.known_number(After, Dimension::FrontRatio);
    let (Some(throw), Some(ratio)) = (throw, ratio) else { return Checked::NotTouched };
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.as_ref().is_some_and(|rings| rings.len() == 1) {
        return Checked::NotTouched;
    }
    let gap = ask.number(After, Dimension::RingGap);
    let (Some(rings), Some(gap)) = (rings, gap) else { return Checked::CannotTell };
    let gaps = rings.len().saturating_sub(1) as f64;
    let wanted = gap.map_monotone(|gap| gap * gaps + OVERSHIFT_MM);
    let travel = throw.map2_monotone(ratio, |throw, ratio| throw * ratio);
    let room = travel - wanted;
    let verdict = ask.bands(room, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 1)
        .number(Number::new("travel", travel, "mm", 1).at(throw.middle() * ratio.middle()))
        .number(Number::new("wanted", wanted, "mm", 1))
        .number(Number::new("overshift", Span::exact(OVERSHIFT_MM), "mm", 1))
        .says("a throw of the lever moves the cage by {travel}; the rings ask for {wanted}, {overshift} of it to go past them");
    match verdict {
        Verdict::Fails => {
            judged.says("the cage stops short of the large ring, and no limit screw can help it").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, ratio, teeth};

    fn bench(throw_mm: f64, times: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::Rings, teeth(&[50, 34]))
            .chosen(Dimension::RingGap, mm(7.3, 0.2))
            .found(Dimension::FrontThrow, mm(throw_mm, 0.3))
            .found(Dimension::FrontRatio, ratio(times, 0.05))
    }

    #[test]
    fn a_matched_pair_reaches_the_large_ring() {
        let finding = bench(9.0, 1.2).gives(Verdict::Works);
        assert!((finding.number("travel").unwrap().value - 10.8).abs() < 1e-9);
        assert!((finding.number("wanted").unwrap().value - 8.8).abs() < 1e-9);
    }

    #[test]
    fn a_lever_that_pulls_too_little_stops_short() {
        bench(9.0, 0.75).gives(Verdict::Fails);
        bench(9.0, 1.2).chosen(Dimension::Rings, teeth(&[52, 42, 30])).gives(Verdict::Fails);
    }

    #[test]
    fn a_travel_at_the_limit_is_measured_again_and_a_gap_is_asked_for() {
        bench(9.0, 0.98).gives(Verdict::Measure);
        bench(9.0, 1.2).without(Dimension::RingGap).gives(Verdict::Measure);
        bench(9.0, 1.2).without(Dimension::Rings).gives(Verdict::Measure);
    }

    #[test]
    fn a_throw_that_nobody_measured_is_not_judged() {
        assert!(bench(9.0, 1.2).without(Dimension::FrontThrow).finding().is_none());
        assert!(bench(9.0, 1.2).without(Dimension::FrontRatio).finding().is_none());
        assert!(bench(9.0, 1.2).chosen(Dimension::Rings, teeth(&[42])).finding().is_none());
    }
}
