//! Are the rims that stay thick enough to be braked on?

use super::room::{judge, tightest};
use super::wheels::{WHEELS, brakes_on_rims};
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};

/// A wall that lasts.
const GOOD_MM: f64 = 1.0;
/// Below this the wheel is not braked on.
const LEAST_MM: f64 = 0.8;

/// The rule.
pub static RULE: Rule = Rule {
    id: "rim-wear",
    title: "are the rims thick enough for the new brakes?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::Calipers],
    cured_by: &[Slot::RearWheel, Slot::FrontWheel],
    heals: None,
    silent_without: &[],
    sentence: "a rim that stays and is braked on has a wall of 1.0 mm; below 0.8 mm the wheel is not braked on",
    long: "Pads grind the wall of a rim away, and the tyre pushes it outward: a thin wall bursts under braking. New \
           brakes on an old rim brake harder than the old ones did. The thinnest place of either track counts; a wear \
           mark that is gone, or a hollow of more than 0.5 mm under a straight edge, says the same. A wheel that is \
           exchanged is not looked at here, nor a bike whose rotors are known; where no brake is known the walls are asked.",
    source: "0.8 to 1.0 mm: common practice of the trade",
    caution: Some(Warning::Technician(
        "a worn rim bursts under braking: no brake is set up on a wall below 0.8 mm",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // Where nobody said which brakes the bike has, the walls are asked.
    if brakes_on_rims(ask.build) == Some(false) {
        return Checked::NotTouched;
    }
    let bands = [(0.0, Verdict::Works), (LEAST_MM - GOOD_MM, Verdict::Marginal)];
    let (mut known, mut unread, mut worn) = (Vec::new(), false, false);
    for wheel in WHEELS.into_iter().filter(|wheel| !ask.build.changes(wheel.slot)) {
        let Some(wall) = ask.number_in(wheel.slot, After, Dimension::RimWall) else {
            unread = true;
            continue;
        };
        known.push((wheel, wall));
        // A worn wall is enough: no other wheel is asked after it.
        worn = !unread && ask.bands(wall - GOOD_MM, &bands) == Verdict::Fails;
        if worn {
            break;
        }
    }
    if unread && !worn {
        return Checked::CannotTell;
    }
    if known.is_empty() {
        return Checked::NotTouched;
    }
    let margins: Vec<_> = known.iter().map(|(_, wall)| *wall - GOOD_MM).collect();
    let verdict = judge(ask, &margins, &bands);
    let verdict = if verdict == Verdict::Fails { Verdict::Refused } else { verdict };
    let mut judged = Judgement::new(verdict).margin(tightest(&margins), "mm", 2);
    for (wheel, wall) in known {
        judged =
            judged.number(Number::new(wheel.name, wall, "mm", 2)).says(wheel.pick(
                "the wall of the rear rim is {rear} thick",
                "the wall of the front rim is {front} thick",
            ));
    }
    match verdict {
        Verdict::Marginal => {
            judged.says("it is near its end: say so, and measure again with every pair of pads").done()
        }
        Verdict::Refused => judged
            .says("the wheel is not braked on")
            .cure(Cure::by(
                Act::Work("another rim or another wheel, chosen before the brakes go on"),
                Verdict::Works,
            ))
            .done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(rear_mm: f64, front_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found_in(Slot::RearWheel, Dimension::RimWall, mm(rear_mm, 0.1))
            .found_in(Slot::FrontWheel, Dimension::RimWall, mm(front_mm, 0.1))
            .chosen(Dimension::SlotLeast, mm(39.0, 0.0))
    }

    #[test]
    fn good_walls_are_braked_on() {
        bench(1.3, 1.2).gives(Verdict::Works);
    }

    #[test]
    fn a_thin_wall_is_marginal_and_a_worn_one_is_refused() {
        bench(1.3, 0.9).gives(Verdict::Marginal);
        bench(0.7, 1.3).gives(Verdict::Refused);
    }

    #[test]
    fn one_worn_wall_is_enough() {
        let finding = Bench::of(&RULE)
            .found_in(Slot::RearWheel, Dimension::RimWall, mm(0.6, 0.1))
            .chosen(Dimension::SlotLeast, mm(39.0, 0.0))
            .gives(Verdict::Refused);
        assert_eq!(finding.facts.len(), 1);
    }

    #[test]
    fn a_coarse_or_missing_reading_cannot_be_told() {
        bench(1.3, 1.05).gives(Verdict::Measure);
        let finding = Bench::of(&RULE)
            .found_in(Slot::RearWheel, Dimension::RimWall, mm(1.3, 0.1))
            .chosen(Dimension::SlotLeast, mm(39.0, 0.0))
            .gives(Verdict::Measure);
        assert_eq!(finding.missing[0].slot, Slot::FrontWheel);
    }

    #[test]
    fn where_no_brake_is_known_the_walls_are_asked() {
        Bench::of(&RULE).chosen(Dimension::LeverPull, mm(7.0, 0.0)).gives(Verdict::Measure);
    }

    #[test]
    fn a_bike_without_rim_brakes_is_not_looked_at() {
        assert!(
            Bench::of(&RULE)
                .found(Dimension::RotorRear, mm(160.0, 0.0))
                .chosen(Dimension::LeverPull, mm(7.0, 0.0))
                .finding()
                .is_none()
        );
    }
}
