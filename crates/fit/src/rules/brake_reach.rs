//! Do the pads of the calipers come to lie on the rim?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::is_known_without_reach;
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot};
use mechanics::brakes::reach_after_rim_change;
use quantity::{Length, Span};

/// What a pad must have to spare at either end of its slot.
const SPARE_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "brake-reach",
    title: "do the pads of the calipers come to lie on the rim?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Calipers],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[],
    sentence: "the way from the bolt to the middle of the rim track must lie inside the pad slot, front and rear, with 1 mm to spare",
    long: "A pad that touches the tyre cuts it open, a pad that hangs below the track dives into the spokes. The \
           reach of the frame is measured front and rear, bolt to middle of the track, and must lie inside the \
           slot of the caliper. A millimetre to spare at either end lets the pad be set square and low as it \
           wears; without it the pad sits at the end of its slot and must be looked at on the bike. If the rear \
           wheel changes its rim size too, the reach follows by half the difference of the bead seats.",
    source: "slot: leaflet of the caliper; bead seat law: geometry; 1 mm to spare: common practice",
    caution: Some(Warning::Technician(
        "a pad on the tyre or under the rim can throw the rider: look at every pad with the brake pulled hard, and the leaflet of the caliper wins",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // Arms on studs and disc calipers have no slot that counts from a bolt.
    if is_known_without_reach(ask.build) {
        return Checked::NotTouched;
    }
    let front = ask.number(After, Dimension::ReachFront);
    let rear = ask.number(After, Dimension::ReachRear);
    let least = ask.number(After, Dimension::SlotLeast);
    let most = ask.number(After, Dimension::SlotMost);
    let sinks = sinks(ask);
    let (Some(front), Some(rear), Some(least), Some(most), Some(sinks)) = (front, rear, least, most, sinks)
    else {
        return Checked::CannotTell;
    };
    let rear = rear + sinks;
    let (front_rooms, rear_rooms) = (inside(front, least, most), inside(rear, least, most));
    let rooms = [front_rooms, rear_rooms].concat();
    let verdict = judge(ask, &rooms, &[(SPARE_MM, Verdict::Works), (0.0, Verdict::Marginal)]);
    let mut judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("front", front, "mm", 0))
        .number(Number::new("rear", rear, "mm", 0))
        .number(Number::new("least", least, "mm", 0))
        .number(Number::new("most", most, "mm", 0))
        .says("the rim asks for {front} in front and {rear} in the rear; the pads go from {least} to {most}");
    if verdict == Verdict::Marginal {
        judged =
            judged.says("the pad sits at the end of its slot: look at it on the bike before anything is cut");
    }
    if verdict == Verdict::Fails {
        for (rooms, step) in [
            (front_rooms, "the front pads do not reach the track"),
            (rear_rooms, "the rear pads do not reach the track"),
        ] {
            if tightest(&rooms).middle() < 0.0 {
                judged = judged.says(step);
            }
        }
    }
    judged.done()
}

/// How far the rear track sinks with a new rear wheel; 0 where the wheel stays.
fn sinks(ask: &mut Ask<'_>) -> Option<Span> {
    if !ask.build.changes(Slot::RearWheel) {
        return Some(Span::exact(0.0));
    }
    let old = ask.number(Before, Dimension::BeadSeat);
    let new = ask.number(After, Dimension::BeadSeat);
    let (old, new) = (old?, new?);
    Some(old.map2_monotone(new, |old_mm, new_mm| {
        reach_after_rim_change(Length::mm(0.0), Length::mm(old_mm), Length::mm(new_mm)).to_mm()
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(front_mm: f64, rear_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::ReachFront, mm(front_mm, 1.0))
            .found(Dimension::ReachRear, mm(rear_mm, 1.0))
            .chosen(Dimension::SlotLeast, mm(39.0, 0.0))
            .chosen(Dimension::SlotMost, mm(49.0, 0.0))
    }

    #[test]
    fn pads_in_the_middle_of_the_slot_work() {
        let finding = bench(45.0, 46.0).gives(Verdict::Works);
        assert!((finding.margin.unwrap().span.middle() - 3.0).abs() < 1e-9);
    }

    #[test]
    fn a_rim_beyond_the_slot_fails_for_either_wheel() {
        bench(45.0, 53.0).gives(Verdict::Fails);
        let finding = bench(36.0, 45.0).gives(Verdict::Fails);
        assert!(finding.steps.contains(&"the front pads do not reach the track"));
    }

    #[test]
    fn a_pad_at_the_end_of_its_slot_is_marginal() {
        bench(45.0, 45.0).found(Dimension::ReachRear, mm(48.5, 0.25)).gives(Verdict::Marginal);
    }

    #[test]
    fn a_tape_that_cannot_tell_is_read_again() {
        let finding = bench(45.0, 48.5).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::ReachRear));
    }

    #[test]
    fn a_new_rim_size_moves_the_rear_pads() {
        // From 630 to 622 mm the track sinks 4 mm: half the difference of the bead seats.
        let finding = bench(45.0, 46.0)
            .found(Dimension::BeadSeat, mm(630.0, 0.0))
            .chosen(Dimension::BeadSeat, mm(622.0, 0.0))
            .gives(Verdict::Fails);
        assert!((finding.number("rear").unwrap().span.middle() - 50.0).abs() < 1e-9);
        bench(45.0, 46.0).chosen(Dimension::BeadSeat, mm(622.0, 0.0)).gives(Verdict::Measure);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in
            [Dimension::ReachFront, Dimension::ReachRear, Dimension::SlotLeast, Dimension::SlotMost]
        {
            let finding = bench(45.0, 46.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
