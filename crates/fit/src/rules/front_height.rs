//! Does the tab reach the height that the new outer ring asks for?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, FrontMount, Slot, Value, Word};
use mechanics::derailleur::bolt_height_change;
use quantity::{Reading, Span};

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-height",
    title: "does the tab reach the height of the new outer ring?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Chainrings, Slot::FrontDerailleur],
    cured_by: &[Slot::Crankset, Slot::FrontDerailleur],
    heals: None,
    silent_without: &[],
    sentence: "the bolt moves with the radius of the outer ring and must stay inside the slot of the tab",
    long: "The cage stands a set height over the outer ring, so the bolt in the tab goes down by as much as the \
           radius of the ring gets smaller: 2.02 mm for a tooth. The slot of a tab is some 20 mm long and was put \
           where the first crankset needed it. A cage that stays too high shifts slowly and drops the chain. A \
           band can be set at any height, and a derailleur on a pair of holes or on a plate at none: it is made for \
           its rings, which is judged by its leaflet. So the rule speaks of tabs only; it takes the new derailleur to sit over \
           its bolt as the old one does.",
    source: "2.02 mm per tooth: geometry of the half-inch pitch; slot ends are measured on the frame",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let new_rings = ask.build.changes(Slot::Crankset) || ask.build.changes(Slot::Chainrings);
    if !new_rings || is_band(ask) {
        return Checked::NotTouched;
    }
    let mount = ask.word::<FrontMount>(After, Dimension::FrameFrontMount);
    let new = ask.teeth(After, Dimension::Rings);
    if mount.is_some_and(|mount| mount != FrontMount::Tab)
        || new.as_ref().is_some_and(|rings| rings.len() == 1)
    {
        return Checked::NotTouched;
    }
    let old = ask.teeth(Before, Dimension::Rings);
    if mount.is_none() {
        return Checked::CannotTell;
    }
    let low = ask.number(After, Dimension::TabLow);
    let high = ask.number(After, Dimension::TabHigh);
    let now = ask.number(After, Dimension::TabNow);
    let (Some(new), Some(old), Some(low), Some(high), Some(now)) = (new, old, low, high, now) else {
        return Checked::CannotTell;
    };
    let (Some(new), Some(old)) = (new.iter().max(), old.iter().max()) else { return Checked::CannotTell };
    let change = Span::exact(bolt_height_change(*old, *new).to_mm());
    let height = now + change;
    let rooms = inside(height, low, high);
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("height", height, "mm", 1))
        .number(Number::difference("change", change, "mm", 1))
        .number(Number::new("lowest", low, "mm", 0))
        .number(Number::new("highest", high, "mm", 0))
        .says("the new outer ring moves the bolt by {change}, to {height} over the bottom bracket")
        .says("the slot of the tab goes from {lowest} to {highest}");
    match verdict {
        Verdict::Fails if height.middle() < low.middle() => {
            judged.says("the tab is too high: the cage stays over the ring").done()
        }
        Verdict::Fails => judged.says("the tab is too low: the cage would touch the ring").done(),
        _ => judged.done(),
    }
}

/// Whether the derailleur after the refit is known to have a band: then no tab holds it.
fn is_band(ask: &Ask<'_>) -> bool {
    let mount = ask.build.reading(Slot::FrontDerailleur, After, Dimension::FrontMount);
    matches!(mount, Reading::Taken(Value::Word(noted)) if noted.value == FrontMount::Band.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth, word};

    fn bench(old: i64, new: i64, now_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Rings, teeth(&[old, 39]))
            .chosen(Dimension::Rings, teeth(&[new, 30]))
            .found(Dimension::FrameFrontMount, word("tab"))
            .found(Dimension::TabLow, mm(140.0, 1.0))
            .found(Dimension::TabHigh, mm(160.0, 1.0))
            .found(Dimension::TabNow, mm(now_mm, 1.0))
    }

    #[test]
    fn three_teeth_less_stay_inside_the_slot() {
        let finding = bench(53, 50, 152.0).gives(Verdict::Works);
        assert!((finding.number("change").unwrap().span.middle() + 6.06).abs() < 0.02);
    }

    #[test]
    fn seven_teeth_less_leave_the_slot_below() {
        // 14.1 mm of radius for 53 to 46: seven times 12.7 mm / 2π.
        let finding = bench(53, 46, 150.0).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 4.1).abs() < 0.1);
    }

    #[test]
    fn a_larger_ring_leaves_the_slot_above() {
        bench(46, 53, 156.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_bolt_at_the_end_of_the_slot_is_measured_again() {
        let finding = bench(53, 50, 146.5).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::TabNow));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        let facts = [
            Dimension::FrameFrontMount,
            Dimension::Rings,
            Dimension::TabLow,
            Dimension::TabHigh,
            Dimension::TabNow,
        ];
        for dimension in facts {
            let finding = bench(53, 50, 152.0).without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().all(|missing| missing.dimension == dimension));
        }
    }

    #[test]
    fn a_band_a_single_ring_and_a_kept_crankset_are_not_asked() {
        assert!(bench(53, 46, 150.0).found(Dimension::FrontMount, word("band")).finding().is_none());
        assert!(bench(53, 46, 150.0).found(Dimension::FrameFrontMount, word("band")).finding().is_none());
        assert!(
            bench(53, 46, 150.0).found(Dimension::FrameFrontMount, word("direct-22.1")).finding().is_none()
        );
        assert!(bench(53, 46, 150.0).chosen(Dimension::Rings, teeth(&[42])).finding().is_none());
        assert!(Bench::of(&RULE).chosen(Dimension::FrontMount, word("tab")).finding().is_none());
    }
}
