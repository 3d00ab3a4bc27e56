//! Does the cage of the rear derailleur clear the spokes in the lowest gear?

use super::body_length::spacer_span;
use super::freewheel_thread::both_screw_on;
use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Room that leaves the cage clear of the spokes.
const CLEAR_MM: f64 = 3.0;
/// Below this the cog itself is too near.
const LEAST_MM: f64 = 2.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "spoke-gap",
    title: "does the cage clear the spokes in the lowest gear?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::Cassette, Slot::RearWheel],
    cured_by: &[Slot::Cassette, Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "behind the largest cog 3 mm must stay free to the spokes; from 2 mm on it is tried with the cage in hand",
    long: "An overhung cassette, or a spacer left out, moves the largest cog toward the spokes by just that much. The \
           cage hangs behind the cog. If it touches a spoke under load it is pulled into the wheel.",
    source: "3 mm and 2 mm: common practice",
    caution: Some(Warning::Technician(
        "a derailleur cage in the spokes stops the wheel: push the cage inward by hand in the lowest gear, and set the inner limit, before the first ride",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let new_wheel = ask.build.changes(Slot::RearWheel);
    let gap_now = ask.number(if new_wheel { After } else { Before }, Dimension::SpokeGap);
    let overhang = ask.number(After, Dimension::Overhang);
    // A freewheel screws onto the hub: there is no body, and no spacer on it.
    let spacer = if both_screw_on(ask) {
        Some(Span::exact(0.0))
    } else {
        let body = ask.number(After, Dimension::BodyLength);
        let needed = ask.number(After, Dimension::BodyNeeded);
        body.zip(needed).zip(overhang).map(|((body, needed), overhang)| spacer_span(body - needed + overhang))
    };
    // A gap stated for a new wheel is that of a cassette seated against the flange.
    let old = if new_wheel {
        Some((Span::exact(0.0), Span::exact(0.0)))
    } else {
        let overhang_old = ask.number(Before, Dimension::Overhang);
        let spacer_old = ask.number(Before, Dimension::SpacerBehind);
        overhang_old.zip(spacer_old)
    };
    let (Some(gap_now), Some(overhang), Some(spacer)) = (gap_now, overhang, spacer) else {
        return Checked::CannotTell;
    };
    let Some((overhang_old, spacer_old)) = old else { return Checked::CannotTell };
    let inward = overhang - overhang_old + spacer_old - spacer;
    let gap = gap_now - inward;
    let verdict =
        ask.bands(gap - CLEAR_MM, &[(0.0, Verdict::Works), (LEAST_MM - CLEAR_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(gap - CLEAR_MM, "mm", 2)
        .number(Number::new("gap", gap, "mm", 2))
        .number(Number::difference("inward", inward, "mm", 2))
        .says("the largest cog moves inward by {inward}; {gap} stay free to the spokes");
    match verdict {
        Verdict::Marginal => {
            judged.says("less than the 3 mm that the cage wants: check it by hand on the new cassette").done()
        }
        Verdict::Fails => judged.says("the cage would run into the spokes").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(gap_mm: f64, overhang_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::SpokeGap, mm(gap_mm, 0.25))
            .found(Dimension::BodyLength, mm(34.9, 0.3))
            .found(Dimension::Overhang, mm(0.0, 0.0))
            .found(Dimension::SpacerBehind, mm(0.0, 0.0))
            .chosen(Dimension::BodyNeeded, mm(36.75, 0.0))
            .chosen(Dimension::Overhang, mm(overhang_mm, 0.0))
    }

    #[test]
    fn a_wide_gap_works() {
        bench(6.0, 1.85).gives(Verdict::Works);
    }

    #[test]
    fn an_overhung_cassette_uses_up_the_gap() {
        let finding = bench(4.5, 1.85).gives(Verdict::Marginal);
        assert!((finding.number("gap").unwrap().span.middle() - 2.65).abs() < 1e-9);
        bench(3.0, 1.85).gives(Verdict::Fails);
    }

    /// A margin of about 1.4 mm is a spacer of 1.0 or of 1.85 mm: the gap is judged for both.
    #[test]
    fn an_unclear_spacer_is_no_missing_spacer() {
        let finding = bench(1.5, 0.0).found(Dimension::BodyLength, mm(38.15, 0.3)).gives(Verdict::Measure);
        let gap = finding.number("gap").unwrap().span;
        assert!((gap.least() - 2.25).abs() < 1e-9 && (gap.most() - 3.6).abs() < 1e-9, "{gap:?}");
    }

    #[test]
    fn without_the_gap_nothing_can_be_told() {
        bench(4.5, 1.85).without(Dimension::SpokeGap).gives(Verdict::Measure);
    }
}
