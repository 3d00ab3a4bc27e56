//! Do housing and hose go through the port of the bar?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{line_diameter, spoken_of};
use crate::rules::room::{judge, tightest};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Room that a line wants in a port, to be pulled through and to move.
const ROOM_MM: f64 = 0.3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "bar-port",
    title: "do housing and hose go through the port of the bar?",
    coupling: Coupling::Hands,
    hazard: Hazard::Function,
    touches: &[Slot::Bar, Slot::Levers, Slot::Cables],
    cured_by: &[Slot::Bar],
    heals: None,
    silent_without: &[Dimension::BarPortLong, Dimension::BarPortShort],
    sentence: "brake line and shift housing lie side by side in the port: its long way must take both, its short way the thicker one, each with 0.3 mm of room",
    long: "One port on each side takes the brake line and the shift housing of that side. Their diameters and 0.3 mm \
           must go into the long way, the thicker one and 0.3 mm into the short way. With less room than that they \
           go in by force and cannot be changed again: marginal. The caliper reads a port to 0.1 mm, so a port \
           that passes by 0.2 mm passes, and one that passes by less is read again. The rule speaks only where \
           the bar has a port that somebody measured.",
    source: "0.3 mm: common practice",
    caution: Some(Warning::Technician("a bar is never drilled or filed, carbon least of all")),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let ports = [Dimension::BarPortLong, Dimension::BarPortShort];
    if !ports.map(|port| spoken_of(ask, After, port)).contains(&true) {
        return Checked::NotTouched;
    }
    let long = ask.number(After, Dimension::BarPortLong);
    let short = ask.number(After, Dimension::BarPortShort);
    let shift = ask.number(After, Dimension::ShiftHousingDiameter);
    let brake = line_diameter(ask);
    let (Some(long), Some(short), Some(shift), Some(brake)) = (long, short, shift, brake) else {
        return Checked::CannotTell;
    };
    let thicker = Span::new(brake.least().max(shift.least()), brake.most().max(shift.most()));
    let rooms = [long - (brake + shift) - Span::exact(ROOM_MM), short - thicker - Span::exact(ROOM_MM)];
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works), (-ROOM_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("brake", brake, "mm", 1))
        .number(Number::new("shift", shift, "mm", 1))
        .number(Number::new("long", long, "mm", 1))
        .number(Number::new("short", short, "mm", 1))
        .number(Number::new("wanted", brake + shift + Span::exact(ROOM_MM), "mm", 1))
        .number(Number::new("wanted_short", thicker + Span::exact(ROOM_MM), "mm", 1))
        .says("brake line {brake} and shift housing {shift} ask for {wanted} by {wanted_short}; the port is {long} by {short}");
    match verdict {
        Verdict::Marginal => {
            judged.says("they go in by force: pull a piece of each through before anything is cut").done()
        }
        Verdict::Fails => {
            judged.says("they do not go in together: route one of them outside, under the tape").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(long_mm: f64, short_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BarPortLong, mm(long_mm, 0.1))
            .chosen(Dimension::BarPortShort, mm(short_mm, 0.1))
            .chosen(Dimension::LeverFluid, word("mineral"))
            .chosen(Dimension::HoseDiameter, mm(5.0, 0.0))
            .chosen(Dimension::ShiftHousingDiameter, mm(4.0, 0.0))
    }

    #[test]
    fn a_hose_and_a_housing_just_go_through_9_5_by_5_5() {
        let finding = bench(9.5, 5.5).gives(Verdict::Works);
        assert!((finding.number("wanted").unwrap().value - 9.3).abs() < 1e-9);
        assert!((finding.margin.unwrap().span.middle() - 0.2).abs() < 1e-9);
    }

    #[test]
    fn a_port_for_one_housing_does_not_take_two() {
        bench(6.0, 5.5).gives(Verdict::Fails);
        bench(9.5, 4.5).gives(Verdict::Fails);
    }

    #[test]
    fn a_port_with_too_little_room_is_marginal() {
        bench(9.15, 5.5).gives(Verdict::Marginal);
    }

    #[test]
    fn cable_brakes_are_asked_for_their_housing() {
        let bike = bench(9.5, 5.5).chosen(Dimension::LeverFluid, word("cable"));
        let finding = bike.clone().gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::BrakeHousingDiameter);
        bike.chosen(Dimension::BrakeHousingDiameter, mm(5.0, 0.0)).gives(Verdict::Works);
    }

    #[test]
    fn nothing_is_said_of_a_bar_without_a_port() {
        let bike = bench(9.5, 5.5).without(Dimension::BarPortLong).without(Dimension::BarPortShort);
        assert!(bike.finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [
            Dimension::BarPortLong,
            Dimension::BarPortShort,
            Dimension::LeverFluid,
            Dimension::HoseDiameter,
            Dimension::ShiftHousingDiameter,
        ] {
            let finding = bench(9.5, 5.5).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        bench(9.35, 5.5).gives(Verdict::Measure);
    }
}
