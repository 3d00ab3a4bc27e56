//! Are the rotors that stay thick enough?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "rotor-wear",
    title: "are the rotors that stay thick enough?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::RearWheel, Slot::FrontWheel],
    cured_by: &[Slot::Rotors],
    heals: None,
    silent_without: &[],
    sentence: "a rotor that stays is at least as thick as its print",
    long: "A worn rotor bends, heats and lets the pistons come out too far. The print on the rotor is the limit, \
           mostly 1.5 mm of about 1.8 mm when new; it is asked and not assumed. The thinnest place of the thinner \
           rotor counts.",
    source: "print on the rotor; 1.5 mm is common in leaflets",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !ask.build.has(Slot::Rotors, After) || ask.build.changes(Slot::Rotors) {
        return Checked::NotTouched;
    }
    let thickness = ask.number(After, Dimension::RotorThickness);
    let least = ask.number(After, Dimension::RotorLeast);
    let (Some(thickness), Some(least)) = (thickness, least) else { return Checked::CannotTell };
    let room = thickness - least;
    let verdict = ask.bands(room, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 2)
        .number(Number::new("thickness", thickness, "mm", 2))
        .number(Number::new("least", least, "mm", 2))
        .says("the thinner rotor measures {thickness}; its print says {least}");
    match verdict {
        Verdict::Fails => judged.says("it is worn out").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(thickness_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::RotorThickness, mm(thickness_mm, 0.05))
            .found(Dimension::RotorLeast, mm(1.5, 0.0))
            .chosen(Dimension::LeverPull, mm(7.0, 0.0))
    }

    #[test]
    fn a_thick_rotor_stays() {
        bench(1.75).gives(Verdict::Works);
    }

    #[test]
    fn a_thin_one_does_not() {
        bench(1.4).gives(Verdict::Fails);
    }

    #[test]
    fn near_the_limit_or_without_the_print_nothing_can_be_told() {
        bench(1.52).gives(Verdict::Measure);
        for dimension in [Dimension::RotorThickness, Dimension::RotorLeast] {
            bench(1.75).without(dimension).gives(Verdict::Measure);
        }
    }

    #[test]
    fn new_rotors_are_not_worn() {
        assert!(bench(1.4).chosen(Dimension::RotorRear, mm(160.0, 0.0)).finding().is_none());
    }
}
