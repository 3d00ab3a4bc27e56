//! Are the brake studs at the height of the rim?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{BrakeMount, Dimension, Slot};
use quantity::Span;

/// Bead seat, and axle to stud that belongs to it.
const HEIGHTS_MM: &[(f64, f64)] = &[(622.0, 283.0), (584.0, 265.0), (559.0, 254.0)];
/// Travel of the pad in the slot of the arm, either way.
const TRAVEL_MM: f64 = 8.0;
/// Two bead seats closer than this are the same.
const SAME_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "stud-height",
    title: "are the brake studs at the height of the rim?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Calipers],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[],
    sentence: "from axle to stud 283 mm belong to a rim of 622, 265 mm to 584 and 254 mm to 559, with 8 mm either way in the slot of the arm",
    long: "A stud is brazed on for one rim size. The pad moves in the slot of its arm by about 8 mm either way; what \
           is beyond touches the tyre or dives under the rim. For other rim sizes no height is known here.",
    source: "heights: a frame builder's page; 8 mm: common practice, from memory",
    caution: Some(Warning::Technician(
        "a pad on the tyre or under the rim can throw the rider: look at every pad with the brake pulled hard",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    match ask.word::<BrakeMount>(After, Dimension::CaliperMount) {
        Some(BrakeMount::Studs) => {}
        Some(_) => return Checked::NotTouched,
        None => return Checked::CannotTell,
    }
    let bead_seat = ask.number(After, Dimension::BeadSeat);
    let front = ask.number(After, Dimension::StudHeightFront);
    let rear = ask.number(After, Dimension::StudHeightRear);
    let (Some(bead_seat), Some(front), Some(rear)) = (bead_seat, front, rear) else {
        return Checked::CannotTell;
    };
    let Some(wanted_mm) = height_for(ask, bead_seat) else {
        ask.recount(After, Dimension::BeadSeat);
        return Judgement::new(Verdict::Measure)
            .says("no height of studs is known for this rim: hold an arm with its pad to the rim, front and rear")
            .done();
    };
    let rooms = [either_way(front - wanted_mm, TRAVEL_MM), either_way(rear - wanted_mm, TRAVEL_MM)].concat();
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("front", front, "mm", 0))
        .number(Number::new("rear", rear, "mm", 0))
        .number(Number::new("wanted", Span::exact(wanted_mm), "mm", 0))
        .says("the studs sit {front} and {rear} from the axles; the rim asks for {wanted}");
    match verdict {
        Verdict::Fails => judged.says("the pads do not reach the rim in their slots").done(),
        _ => judged.done(),
    }
}

/// The height that belongs to a rim; none where the bead seat is another one or is not clear.
fn height_for(ask: &mut Ask<'_>, bead_seat: Span) -> Option<f64> {
    HEIGHTS_MM.iter().find_map(|(bead_mm, height_mm)| {
        let same = judge(ask, &either_way(bead_seat - *bead_mm, SAME_MM), &[(0.0, Verdict::Works)]);
        (same == Verdict::Works).then_some(*height_mm)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(bead_mm: f64, height_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CaliperMount, word("studs"))
            .found(Dimension::BeadSeat, mm(bead_mm, 0.0))
            .found(Dimension::StudHeightFront, mm(height_mm, 1.0))
            .found(Dimension::StudHeightRear, mm(height_mm, 1.0))
    }

    #[test]
    fn studs_of_the_rim_size_work() {
        bench(622.0, 283.0).gives(Verdict::Works);
        bench(584.0, 266.0).gives(Verdict::Works);
        bench(559.0, 254.0).gives(Verdict::Works);
    }

    #[test]
    fn studs_of_another_rim_size_fail() {
        let finding = bench(584.0, 283.0).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 10.0).abs() < 1e-9);
        bench(622.0, 283.0).found(Dimension::StudHeightRear, mm(265.0, 1.0)).gives(Verdict::Fails);
    }

    #[test]
    fn a_rim_without_a_known_height_is_tried_by_hand() {
        let finding = bench(571.0, 260.0).gives(Verdict::Measure);
        assert!(!finding.missing.is_empty());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [
            Dimension::CaliperMount,
            Dimension::BeadSeat,
            Dimension::StudHeightFront,
            Dimension::StudHeightRear,
        ] {
            bench(622.0, 283.0).without(dimension).gives(Verdict::Measure);
        }
        assert!(bench(622.0, 283.0).chosen(Dimension::CaliperMount, word("rim-bolt")).finding().is_none());
    }
}
