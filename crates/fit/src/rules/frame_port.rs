//! Does the brake line go through the ports of the frame?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{line_diameter, spoken_of};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Room that a line wants in a port.
const ROOM_MM: f64 = 0.3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "frame-port",
    title: "does the brake line go through the ports of the frame?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Function,
    touches: &[Slot::Levers, Slot::Calipers],
    cured_by: &[Slot::Levers],
    heals: None,
    silent_without: &[Dimension::FramePort],
    sentence: "the narrowest port must be 0.3 mm wider than hose or brake housing",
    long: "A hose of 5 mm in a port of 5.2 mm may go in and may not: ports have paint in them and edges. With 0.3 mm \
           of room it goes through; with less it is tried with a piece of hose, or the port is reamed where the \
           maker of the frame allows it; without room it does not. The old inner is never pulled out bare: a \
           follower goes through with it. The rule speaks only where somebody put a pin in the port.",
    source: "0.3 mm: common practice",
    caution: Some(Warning::Technician(
        "a carbon frame is neither drilled nor reamed; in any other the maker's word comes first",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, After, Dimension::FramePort) {
        return Checked::NotTouched;
    }
    let port = ask.number(After, Dimension::FramePort);
    let line = line_diameter(ask);
    let (Some(port), Some(line)) = (port, line) else { return Checked::CannotTell };
    let room = port - line;
    let margin = room - Span::exact(ROOM_MM);
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works), (-ROOM_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 1)
        .number(Number::new("port", port, "mm", 1))
        .number(Number::new("line", line, "mm", 1))
        .number(Number::difference("room", room, "mm", 1))
        .says("port {port} less brake line {line}: {room} of room");
    match verdict {
        Verdict::Works => judged.says("pull a follower through with the old inner").done(),
        Verdict::Marginal => judged
            .says("try it with a piece of the line, or ream the port where the maker allows it; pull a follower through with the old inner")
            .done(),
        Verdict::Fails => judged.says("the line does not go in: it runs outside, in guides").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(port_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::FramePort, mm(port_mm, 0.1))
            .chosen(Dimension::LeverFluid, word("mineral"))
            .chosen(Dimension::HoseDiameter, mm(5.0, 0.0))
    }

    #[test]
    fn a_wide_port_works() {
        bench(6.0).gives(Verdict::Works);
    }

    #[test]
    fn a_port_of_5_2_with_a_hose_of_5_0_is_marginal() {
        let finding = bench(5.2).gives(Verdict::Marginal);
        assert!((finding.number("room").unwrap().value - 0.2).abs() < 1e-9);
    }

    #[test]
    fn a_port_for_a_shift_housing_takes_no_hose() {
        bench(4.2).gives(Verdict::Fails);
    }

    #[test]
    fn a_pin_that_cannot_tell_is_tried_again() {
        bench(5.3).gives(Verdict::Measure);
        bench(5.0).gives(Verdict::Measure);
    }

    #[test]
    fn nothing_is_said_where_nobody_put_a_pin_in() {
        assert!(bench(6.0).without(Dimension::FramePort).finding().is_none());
    }

    #[test]
    fn without_the_rest_nothing_can_be_told() {
        for dimension in [Dimension::LeverFluid, Dimension::HoseDiameter] {
            let finding = bench(6.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
