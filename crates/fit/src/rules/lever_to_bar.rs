//! Do the pads bite before the lever meets the bar?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::geometry::brakes::free_travel;
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{is_known_hydraulic, spoken_of};
use catalog::{Dimension, Slot};
use quantity::Span;

/// A lever where the finger lies, thick side. From memory.
const LEVER_THICK_MM: f64 = 14.0;
/// What the lever keeps from the bar as the pads bite: what is left is for the pull itself.
const LEFT_MM: f64 = 10.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "lever-to-bar",
    title: "do the pads bite before the lever meets the bar?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::Calipers, Slot::Bar, Slot::Tape],
    cured_by: &[Slot::Calipers, Slot::Levers],
    heals: None,
    silent_without: &[Dimension::PadGap, Dimension::LeverOpening],
    sentence: "the finger's way until the pads bite must be shorter than the lever's way to the bar, by 10 mm at least",
    long: "The pads close their gap, and the housing seats by a millimetre of cable, before anything brakes: \
           (gap × cable for a millimetre of pads + 1 mm) × finger travel for a millimetre of cable. The lever has its \
           opening less bar with tape and less itself, 14 mm. With less than 10 mm left the lever can meet the bar in \
           a hard pull, as pads wear and housing gives: marginal. With nothing left there is no brake: it fails. The \
           gap of the pads comes first among the cures, and costs nothing. The rule speaks only where the gap of the \
           pads and the opening of the lever were measured, and only of brakes with a cable.",
    source: "work in is work out, with even leverages; 10 mm: common practice; 1 mm of seating and 14 mm of lever: from memory",
    caution: Some(Warning::Technician(
        "squeeze both levers hard before the first ride: neither may come near the bar",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let measured =
        [Dimension::PadGap, Dimension::LeverOpening].iter().all(|taken| spoken_of(ask, After, *taken));
    if !measured || is_known_hydraulic(ask.build) {
        return Checked::NotTouched;
    }
    let gap = ask.number(After, Dimension::PadGap);
    let opening = ask.number(After, Dimension::LeverOpening);
    let lever = ask.number(After, Dimension::LeverRatio);
    let caliper = ask.number(After, Dimension::CaliperRatio);
    let bar = ask.number(After, Dimension::TapeWrapped);
    let (Some(gap), Some(opening), Some(lever), Some(caliper), Some(bar)) =
        (gap, opening, lever, caliper, bar)
    else {
        return Checked::CannotTell;
    };
    let free = free_travel(gap, lever, caliper);
    let stroke = opening - bar - Span::exact(LEVER_THICK_MM);
    let margin = stroke - free;
    let verdict = ask.bands(margin, &[(LEFT_MM, Verdict::Works), (0.0, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 0)
        .number(Number::new("free", free, "mm", 0))
        .number(Number::new("stroke", stroke, "mm", 0))
        .says("the finger travels {free} until the pads bite; the lever has {stroke} to the bar");
    match verdict {
        Verdict::Marginal => {
            judged.says("a hard pull can bring it to the bar: set the pads nearer first").done()
        }
        Verdict::Fails => judged.says("the lever meets the bar before the pads bite").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, ratio, word};

    /// Opening 85, bar with tape 31: 85 − 31 − 14 = 40 mm of stroke. Lever 4, caliper 1.5: (gap · 1.5 + 1) · 4.
    fn bench(gap_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::LeverOpening, mm(85.0, 1.0))
            .chosen(Dimension::LeverRatio, ratio(4.0, 0.0))
            .found(Dimension::CaliperRatio, ratio(1.5, 0.0))
            .found(Dimension::TapeWrapped, mm(31.0, 0.0))
            .found(Dimension::PadGap, mm(gap_mm, 0.1))
    }

    #[test]
    fn two_millimetres_of_gap_leave_more_than_half_of_the_stroke() {
        let finding = bench(2.0).gives(Verdict::Works);
        assert!((finding.number("free").unwrap().value - 16.0).abs() < 1e-6);
        assert!((finding.number("stroke").unwrap().value - 40.0).abs() < 1e-6);
    }

    #[test]
    fn five_millimetres_of_gap_come_near_the_bar() {
        // 34 of 40 mm.
        bench(5.0).gives(Verdict::Marginal);
    }

    #[test]
    fn eight_millimetres_of_gap_meet_the_bar() {
        bench(8.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_gap_read_too_coarsely_is_taken_again() {
        let finding = bench(4.3).found(Dimension::PadGap, mm(4.3, 0.6)).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::PadGap);
    }

    #[test]
    fn without_leverages_or_bar_nothing_can_be_told() {
        for dimension in [Dimension::LeverRatio, Dimension::CaliperRatio, Dimension::TapeWrapped] {
            let finding = bench(2.0).without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension));
        }
    }

    #[test]
    fn nothing_is_said_without_gap_or_opening_or_of_a_hose() {
        assert!(bench(2.0).without(Dimension::PadGap).finding().is_none());
        assert!(bench(2.0).without(Dimension::LeverOpening).finding().is_none());
        assert!(bench(2.0).chosen(Dimension::LeverFluid, word("mineral")).finding().is_none());
    }
}
