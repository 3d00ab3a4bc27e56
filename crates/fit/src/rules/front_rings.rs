//! Does the front derailleur serve these rings?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::pairs::teeth;
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::tightest;
use catalog::{Dimension, Slot};
use mechanics::derailleur::bolt_height_change;
use quantity::Span;

/// Teeth of difference beyond the leaflet that have been got to work.
const TRIAL_TEETH: f64 = 1.0;

/// Teeth by which an outer ring may be smaller than the curve of the cage without harm.
const CURVE_TEETH: f64 = 4.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-rings",
    title: "does the front derailleur serve these rings?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Chainrings, Slot::FrontDerailleur],
    cured_by: &[Slot::Crankset, Slot::FrontDerailleur],
    heals: None,
    silent_without: &[],
    sentence: "the rings may differ by what the leaflet of the front derailleur allows, and the outer ring must suit the curve of its cage",
    long: "On the small ring the chain must still run clear of the tail of the cage: that limits the difference of \
           the rings. A tooth beyond the leaflet has been got to work, more has not. An outer ring larger than the \
           leaflet allows touches the cage. An outer ring smaller than the cage is curved for leaves a gap at the \
           tail: four teeth less are known to shift well, beyond that it is a trial. \
           An outer ring within four teeth of the largest is always near enough, and then the smallest is not asked.",
    source: "limits of the leaflet; one tooth over and four teeth under: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.as_ref().is_some_and(|rings| rings.len() == 1) {
        return Checked::NotTouched;
    }
    let allowed = ask.number(After, Dimension::RingDifference);
    let largest = ask.number(After, Dimension::LargestRing);
    let (Some(rings), Some(allowed), Some(largest)) = (rings, allowed, largest) else {
        return Checked::CannotTell;
    };
    let (Some(outer), Some(inner)) = (rings.iter().max(), rings.iter().min()) else {
        return Checked::CannotTell;
    };
    let outer = Span::exact(outer.to_f64());
    let difference = outer - Span::exact(inner.to_f64());
    let difference_room = allowed - difference;
    let outer_room = largest - outer;
    let mut rooms = vec![difference_room, outer_room];
    // No leaflet names a smallest outer ring above its largest one, so close to the largest the curve cannot
    // decide and is not asked.
    let near_largest = outer_room.most() <= CURVE_TEETH;
    let curve = if near_largest { None } else { ask.number(After, Dimension::SmallestOuterRing) };
    if !near_largest && curve.is_none() {
        return Checked::CannotTell;
    }
    let by_difference =
        ask.bands(difference_room, &[(0.0, Verdict::Works), (-TRIAL_TEETH, Verdict::Marginal)]);
    let by_outer = ask.bands(outer_room, &[(0.0, Verdict::Works)]);
    let mut by_curve = Verdict::Works;
    if let Some(smallest) = curve {
        let curve_room = outer - smallest + CURVE_TEETH;
        by_curve = ask.bands(curve_room, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
        rooms.push(curve_room);
    }
    let mut judged = Judgement::new(by_difference.max(by_outer).max(by_curve))
        .margin(tightest(&rooms), "teeth", 0)
        .number(Number::new("difference", difference, "teeth", 0))
        .number(Number::new("allowed", allowed, "teeth", 0))
        .number(Number::new("outer", outer, "teeth", 0))
        .number(Number::new("largest", largest, "teeth", 0))
        .says("the rings differ by {difference}; the front derailleur allows {allowed}");
    // Where the derailleur goes is a number for the stand; it decides nothing here.
    let now = teeth(ask.build, Before, Dimension::Rings).into_iter().max();
    if let Some((now, new)) = now.zip(rings.iter().max().copied()).filter(|(now, new)| now != new) {
        let change_mm = bolt_height_change(now, new).to_mm();
        judged = judged.number(Number::new("height", Span::exact(change_mm.abs()), "mm", 1)).says(
            if change_mm < 0.0 {
                "for the smaller ring the front derailleur sits {height} lower"
            } else {
                "for the larger ring the front derailleur sits {height} higher"
            },
        );
    }
    if by_difference == Verdict::Marginal {
        judged = judged.says("a tooth more than allowed: look at the tail of the cage on the small ring");
    }
    if by_outer == Verdict::Fails {
        judged = judged.says("the cage is made for {largest} at most and touches an outer ring of {outer}");
    }
    if let Some(smallest) = curve.filter(|smallest| (outer - *smallest).middle() < 0.0) {
        judged = judged
            .number(Number::new("smallest", smallest, "teeth", 0))
            .says("the cage is curved for {smallest} or more: its tail stands off an outer ring of {outer}");
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, teeth};

    fn bench(rings: &[i64]) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::Rings, teeth(rings))
            .found(Dimension::RingDifference, count(16))
            .found(Dimension::LargestRing, count(53))
    }

    #[test]
    fn a_compact_pair_inside_the_leaflet_works() {
        let finding = bench(&[50, 34]).gives(Verdict::Works);
        assert_eq!(finding.margin.unwrap().span, Span::exact(0.0));
    }

    #[test]
    fn a_tooth_over_is_a_trial_and_two_are_not() {
        bench(&[50, 33]).gives(Verdict::Marginal);
        bench(&[50, 32]).gives(Verdict::Fails);
    }

    #[test]
    fn an_outer_ring_over_the_leaflet_fails() {
        bench(&[54, 42]).gives(Verdict::Fails);
    }

    #[test]
    fn four_teeth_under_the_curve_work_and_five_are_a_trial() {
        let curved = |rings| bench(rings).found(Dimension::SmallestOuterRing, count(50));
        curved(&[46, 34]).gives(Verdict::Works);
        curved(&[45, 34]).gives(Verdict::Marginal);
    }

    #[test]
    fn the_curve_is_asked_only_where_it_can_decide() {
        bench(&[49, 34]).gives(Verdict::Works);
        let finding = bench(&[48, 34]).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::SmallestOuterRing);
    }

    #[test]
    fn a_single_ring_has_nothing_to_shift() {
        assert!(bench(&[42]).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::Rings, Dimension::RingDifference, Dimension::LargestRing] {
            let finding = bench(&[50, 34]).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
