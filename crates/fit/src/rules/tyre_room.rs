//! Does the tyre turn free between fork and stays?

use super::room::{judge, tightest};
use super::wheels::new_wheels;
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};

/// Room on each side that the trade wants.
const WANTED_MM: f64 = 4.0;
/// The least that the law of one country allows.
const LEAST_MM: f64 = 1.6;

/// The rule.
pub static RULE: Rule = Rule {
    id: "tyre-room",
    title: "does the tyre turn free between fork and stays?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel, Slot::FrontWheel],
    cured_by: &[Slot::RearWheel, Slot::FrontWheel],
    heals: None,
    silent_without: &[],
    sentence: "beside the inflated tyre 4 mm stay free on each side; 1.6 mm are the least",
    long: "A tyre that touches under load or out of true locks the wheel. Half of what the inside width of fork or \
           stays leaves beside the inflated tyre, on the rim that it will sit on, is the room on each side. Less than \
           4 mm rubs with a little mud or a wheel out of true. Rules for other sorts of bike than racing ask 6 mm.",
    source: "1.6 mm: 16 CFR 1512.11; 4 mm: EN 14781 as quoted in an owner manual, and common practice",
    caution: Some(Warning::Technician(
        "a tyre that touches fork or stays locks the wheel: turn it under load, in full lock, before the first ride",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let wheels = new_wheels(ask.build);
    let mut rooms = Vec::new();
    for wheel in &wheels {
        let inside = ask.number(After, wheel.pick(Dimension::RoomRear, Dimension::RoomFront));
        let tyre = ask.number_in(wheel.slot, After, Dimension::TyreWidth);
        rooms.push(inside.zip(tyre).map(|(inside, tyre)| (inside - tyre) * 0.5));
    }
    let Some(rooms) = rooms.into_iter().collect::<Option<Vec<_>>>() else { return Checked::CannotTell };
    let margins: Vec<_> = rooms.iter().map(|room| *room - WANTED_MM).collect();
    let verdict = judge(ask, &margins, &[(0.0, Verdict::Works), (LEAST_MM - WANTED_MM, Verdict::Marginal)]);
    let mut judged = Judgement::new(verdict).margin(tightest(&margins), "mm", 1);
    for (wheel, room) in wheels.iter().zip(&rooms) {
        judged = judged.number(Number::new(wheel.name, *room, "mm", 1)).says(wheel.pick(
            "beside the rear tyre {rear} stay free on each side",
            "beside the front tyre {front} stay free on each side",
        ));
    }
    match verdict {
        Verdict::Marginal => {
            judged.says("it turns, but little mud or a wheel out of true is enough to rub").done()
        }
        Verdict::Fails => {
            judged.says("less than the least of 1.6 mm: a narrower tyre, or it is not fitted").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(inside_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::RoomRear, mm(inside_mm, 0.5))
            .found(Dimension::TyreWidth, mm(25.0, 0.5))
            .chosen(Dimension::HubWidth, mm(130.0, 0.0))
    }

    #[test]
    fn a_tyre_with_room_works() {
        let finding = bench(36.0).gives(Verdict::Works);
        assert!((finding.number("rear").unwrap().value - 5.5).abs() < 1e-9);
    }

    #[test]
    fn little_room_is_marginal_and_less_than_the_law_fails() {
        bench(30.0).gives(Verdict::Marginal);
        bench(27.0).gives(Verdict::Fails);
    }

    #[test]
    fn the_front_tyre_is_looked_at_in_the_fork() {
        Bench::of(&RULE)
            .found(Dimension::RoomFront, mm(27.0, 0.5))
            .chosen_in(Slot::FrontWheel, Dimension::TyreWidth, mm(25.0, 0.5))
            .gives(Verdict::Fails);
    }

    #[test]
    fn without_tyre_or_frame_nothing_can_be_told() {
        for dimension in [Dimension::RoomRear, Dimension::TyreWidth] {
            let finding = bench(36.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        bench(33.2).gives(Verdict::Measure);
    }
}
