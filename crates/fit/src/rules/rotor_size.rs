//! Are the rotors of a size that frame and fork allow?

use super::room::{inside, tightest};
use super::wheels::WHEELS;
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};

/// Rotors nearer than this are of one size; the nearest sizes of the trade, 200 and 203 mm, are further apart.
const SAME_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "rotor-size",
    title: "are the rotors of a size that frame and fork allow?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Rotors],
    cured_by: &[Slot::Rotors],
    heals: None,
    silent_without: &[],
    sentence: "a rotor is no smaller than the mount is made for and no larger than frame or fork allow; above the mount it takes an adapter",
    long: "The mount sets the smallest rotor: nothing moves a caliper inward. An adapter moves it outward for a larger \
           rotor, which brakes harder and loads fork and stay more: the maker of frame and fork prints the largest. \
           Within 1 mm two sizes are the same; 200 and 203 mm are not.",
    source: "mount and adapter tables of the trade and leaflets, agreeing",
    caution: Some(Warning::Technician("a rotor larger than the fork allows overloads the fork")),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let mut rooms = Vec::new();
    let mut verdicts = Vec::new();
    let mut unread = false;
    let mut judged = Judgement::new(Verdict::Works);
    let mut larger = false;
    for wheel in WHEELS {
        let size = ask.number(After, wheel.pick(Dimension::RotorRear, Dimension::RotorFront));
        let native = ask.number(After, wheel.pick(Dimension::RotorNativeRear, Dimension::RotorNativeFront));
        let most = ask.number(After, wheel.pick(Dimension::RotorMostRear, Dimension::RotorMostFront));
        let (Some(size), Some(native), Some(most)) = (size, native, most) else {
            unread = true;
            continue;
        };
        let both = inside(size, native, most);
        for room in both {
            verdicts.push(ask.bands(room, &[(-SAME_MM, Verdict::Works)]));
        }
        rooms.extend(both);
        larger |= (size - native).middle() > SAME_MM;
        judged = judged
            .number(Number::new(wheel.name, size, "mm", 0))
            .number(Number::new(wheel.pick("rear_native", "front_native"), native, "mm", 0))
            .number(Number::new(wheel.pick("rear_most", "front_most"), most, "mm", 0))
            .says(wheel.pick(
                "the rear rotor is {rear}; the frame takes {rear_native} to {rear_most}",
                "the front rotor is {front}; the fork takes {front_native} to {front_most}",
            ));
    }
    let verdict = verdicts.into_iter().max().unwrap_or(Verdict::Measure);
    if unread {
        return Checked::CannotTell;
    }
    judged.verdict = verdict;
    let judged = judged.margin(tightest(&rooms), "mm", 0);
    if verdict == Verdict::Works && larger {
        let adapter = Act::Work("the caliper adapter for this rotor size, unless it is on the bike already");
        return judged.remedy(Verdict::Fails, Cure::by(adapter, Verdict::Works)).done();
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(rear_mm: f64, front_mm: f64) -> Bench {
        let size = |value| mm(value, 0.0);
        Bench::of(&RULE)
            .found(Dimension::RotorNativeRear, size(160.0))
            .found(Dimension::RotorMostRear, size(180.0))
            .found(Dimension::RotorNativeFront, size(160.0))
            .found(Dimension::RotorMostFront, size(203.0))
            .chosen(Dimension::RotorRear, size(rear_mm))
            .chosen(Dimension::RotorFront, size(front_mm))
    }

    #[test]
    fn the_size_of_the_mount_works() {
        bench(160.0, 160.0).gives(Verdict::Works);
        bench(160.0, 160.0).chosen(Dimension::RotorRear, mm(160.0, 1.0)).gives(Verdict::Works);
    }

    #[test]
    fn a_larger_one_takes_an_adapter() {
        bench(160.0, 203.0).gives(Verdict::Remedy);
        bench(160.0, 160.0).found(Dimension::RotorNativeFront, mm(157.0, 0.0)).gives(Verdict::Remedy);
    }

    #[test]
    fn smaller_than_the_mount_or_larger_than_allowed_fails() {
        bench(140.0, 160.0).gives(Verdict::Fails);
        bench(203.0, 203.0).gives(Verdict::Fails);
    }

    #[test]
    fn an_unread_limit_cannot_be_told() {
        for dimension in [Dimension::RotorMostFront, Dimension::RotorNativeRear, Dimension::RotorRear] {
            let finding = bench(160.0, 160.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
