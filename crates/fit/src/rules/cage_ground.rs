//! Does the cage stay clear of the ground on a small wheel?

use crate::ask::Ask;
use crate::build::{Build, When::After};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{CageSize, Dimension, Slot, Value, Word};
use quantity::Span;
use std::f64::consts::PI;

/// Wheels that roll less than this in a turn are small: 451 mm with any tyre rolls less, 507 mm more.
const SMALL_MM: f64 = 1700.0;
/// The largest bead seat of a small wheel.
const SMALL_SEAT_MM: f64 = 452.0;
/// How far the bike sinks further when rider and load hit a bump.
const SAG_MM: f64 = 8.0;
/// Lean at which the cage may touch.
const GOOD_DEG: f64 = 25.0;
/// Lean below which any kerb is enough.
const LEAST_DEG: f64 = 15.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "cage-ground",
    title: "does the cage stay clear of the ground?",
    coupling: Coupling::Reach,
    hazard: Hazard::Rider,
    touches: &[Slot::RearDerailleur, Slot::RearWheel],
    cured_by: &[Slot::RearDerailleur],
    heals: None,
    silent_without: &[Dimension::Rollout, Dimension::BeadSeat],
    sentence: "on a small wheel the bike may lean 25 degrees before the cage touches the ground, 15 at the least",
    long: "Radius from the rollout, less 8 mm of sag, less how far the cage hangs below the axle, is its height over \
           the ground; with the distance outboard it gives the lean at which it touches: atan(height / outboard). On a \
           small wheel, one that rolls less than 1700 mm in a turn (bead seats of 451 mm and less), the shortest cage \
           with enough capacity is the best one. On larger wheels no cage comes near the ground.",
    source: "geometry; 8 mm of sag and 15 degrees: common practice; 25 degrees as 16 CFR 1512.17 asks of a pedal",
    caution: Some(Warning::Each {
        technician: "a cage that strikes a kerb goes into the spokes: tell the rider on which side it hangs",
        customer: "the cage of the rear derailleur hangs low on the drive side: keep it away from kerbs",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // Print or rollout may say that the wheel is large; how small it is only the rollout says.
    let [seat, rollout] = sizes(ask.build);
    let large = seat.is_some_and(|seat| seat.least() > SMALL_SEAT_MM)
        || rollout.is_some_and(|rollout| rollout.least() >= SMALL_MM);
    if large {
        return Checked::NotTouched;
    }
    let rollout = ask.number(After, Dimension::Rollout);
    let drop = ask.number(After, Dimension::CageDrop);
    let out = ask.number(After, Dimension::CageOut);
    let (Some(rollout), Some(drop), Some(out)) = (rollout, drop, out) else { return Checked::CannotTell };
    let radius = rollout * (0.5 / PI);
    let height = radius - SAG_MM - drop;
    let lean = Span::hull(&[height, out], |at| at[0].atan2(at[1]).to_degrees());
    let verdict =
        ask.bands(lean - GOOD_DEG, &[(0.0, Verdict::Works), (LEAST_DEG - GOOD_DEG, Verdict::Marginal)]);
    let at_read = height.middle().atan2(out.middle()).to_degrees();
    let judged = Judgement::new(verdict)
        .margin(lean - GOOD_DEG, "°", 1)
        .number(Number::new("radius", radius, "mm", 0))
        .number(Number::new("height", height, "mm", 0))
        .number(Number::new("lean", lean, "°", 1).at(at_read))
        .says("the cage hangs {height} over the ground and touches it at a lean of {lean}");
    match verdict {
        Verdict::Marginal => judged.says("any kerb is enough: a shorter cage, if it has the capacity").done(),
        Verdict::Fails => judged.says("it strikes the ground in the first bend").done(),
        _ => judged.done(),
    }
}

/// Bead seat and rollout, as far as they are known.
fn sizes(build: &Build) -> [Option<Span>; 2] {
    [Dimension::BeadSeat, Dimension::Rollout].map(|dimension| {
        let slot = build.slot_of(dimension, After);
        build.reading(slot, After, dimension).taken().and_then(catalog::Value::span)
    })
}

/// The place of a cage in the order of choice: on a wheel known to be small the shortest comes first, since it hangs
/// highest over the ground; on any other wheel all are alike.
pub(crate) fn cage_order(build: &Build) -> u8 {
    let [seat, rollout] = sizes(build);
    let small = seat.is_some_and(|seat| seat.most() <= SMALL_SEAT_MM)
        || rollout.is_some_and(|rollout| rollout.most() < SMALL_MM);
    if !small {
        return 0;
    }
    match build.reading(Slot::RearDerailleur, After, Dimension::CageSize).taken() {
        Some(Value::Word(noted)) => match CageSize::read(noted.value) {
            Some(CageSize::Short) => 0,
            Some(CageSize::Medium) => 1,
            Some(CageSize::Long) => 2,
            None => 3,
        },
        _ => 3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(drop_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Rollout, mm(1527.0, 5.0))
            .chosen(Dimension::CageDrop, mm(drop_mm, 2.0))
            .chosen(Dimension::CageOut, mm(78.0, 2.0))
    }

    /// The worked figures of a trade example for a wheel of 406 mm: radius 243, sag 8, 78 mm outboard.
    #[test]
    fn three_cages_on_a_small_wheel_touch_where_the_worked_example_says() {
        for (drop_mm, height_mm, lean_deg, verdict) in [
            (165.0, 70.0, 41.9, Verdict::Works),
            (185.0, 50.0, 32.7, Verdict::Works),
            (205.0, 30.0, 21.0, Verdict::Marginal),
        ] {
            let finding = bench(drop_mm).gives(verdict);
            assert!((finding.number("height").unwrap().value - height_mm).abs() < 0.5);
            assert!((finding.number("lean").unwrap().value - lean_deg).abs() < 0.1);
        }
    }

    #[test]
    fn a_cage_nearly_on_the_ground_fails() {
        bench(225.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_cage_or_wheel_nothing_can_be_told() {
        for dimension in [Dimension::CageDrop, Dimension::CageOut, Dimension::Rollout] {
            let finding = bench(165.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }

    #[test]
    fn a_large_wheel_is_not_asked() {
        assert!(bench(165.0).found(Dimension::Rollout, mm(2111.0, 10.0)).finding().is_none());
        let printed = |bead_seat_mm| {
            bench(165.0).without(Dimension::Rollout).found(Dimension::BeadSeat, mm(bead_seat_mm, 0.0))
        };
        assert!(printed(622.0).finding().is_none());
        printed(406.0).gives(Verdict::Measure);
    }
}
