//! Does the bar go into the stem?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{Dimension, Slot};
use mechanics::cockpit::{ClampMatch, clamp_match};
use quantity::{Length, Span};

/// How far bar and clamp may differ and still be the same size.
const SAME_MM: f64 = 0.15;

/// The full-length shim of the trade: clamp, bar, small part.
const SHIM: (f64, f64, &str) = (31.8, 26.0, "bar-shim-31.8-26.0");

/// The rule.
pub static RULE: Rule = Rule {
    id: "bar-in-stem",
    title: "does the bar go into the stem?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Bar, Slot::Stem],
    cured_by: &[Slot::Stem, Slot::Bar],
    heals: Some(Slot::Stem),
    silent_without: &[],
    sentence: "bar and stem clamp must have the same diameter; a smaller bar goes in with a full-length shim of the trade, a larger one never",
    long: "A bar in a clamp that is a few tenths too wide turns under the hands; a clamp spread over a bar that is too \
           thick cracks. Sizes of the trade lie as close as 25.4, 25.8 and 26.0 mm, so the caliper goes on the bar \
           beside the clamp, in three directions. Differences up to 0.15 mm are the same size. For a bar of 26.0 mm in \
           a clamp of 31.8 mm there is a shim over the full width of the clamp; for other pairs there is none here.",
    source: "0.15 mm, sizes and shim: common practice",
    caution: Some(Warning::Technician(
        "a bar that turns or breaks throws the rider: the torque printed on bar and stem counts, the lower of the two where they differ; a stem is never spread over a thicker bar",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let bar = ask.number(After, Dimension::BarClamp);
    let clamp = ask.number(After, Dimension::StemClamp);
    let (Some(bar), Some(clamp)) = (bar, clamp) else { return Checked::CannotTell };
    let rooms = either_way(bar - clamp, SAME_MM);
    let room = tightest(&rooms);
    let judged = |verdict, room: Span| {
        Judgement::new(verdict)
            .margin(room, "mm", 2)
            .number(Number::new("bar", bar, "mm", 1))
            .number(Number::new("clamp", clamp, "mm", 1))
            .says("the bar is {bar} where the stem clamps, the stem {clamp}")
    };
    match judge(ask, &rooms, &[(0.0, Verdict::Works)]) {
        Verdict::Fails => {}
        verdict => return judged(verdict, room).done(),
    }
    let middle = clamp_match(Length::mm(bar.middle()), Length::mm(clamp.middle()), Length::mm(SAME_MM));
    let ClampMatch::Shim { thickness } = middle else {
        return judged(Verdict::Fails, room)
            .says("the bar is larger than the clamp: nothing cures that but another stem or another bar")
            .done();
    };
    let thickness = Number::new("shim", Span::exact(thickness.to_mm()), "mm", 1);
    let (shim_clamp, shim_bar, part) = SHIM;
    let shim_rooms = [either_way(bar - shim_bar, SAME_MM), either_way(clamp - shim_clamp, SAME_MM)].concat();
    let shim_room = tightest(&shim_rooms);
    match judge(ask, &shim_rooms, &[(0.0, Verdict::Works)]) {
        Verdict::Works => judged(Verdict::Remedy, shim_room)
            .number(thickness)
            .says("a shim of {shim} over the full width of the clamp fills the step")
            .remedy(Verdict::Fails, Cure::by(Act::Small(part), Verdict::Works))
            .done(),
        Verdict::Measure => {
            judged(Verdict::Measure, shim_room).says("a shim of the trade may fill the step").done()
        }
        _ => judged(Verdict::Fails, room)
            .says("the bar turns in the clamp, and no full-length shim fills the step")
            .done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(bar_mm: f64, clamp_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BarClamp, mm(bar_mm, 0.0))
            .found(Dimension::StemClamp, mm(clamp_mm, 0.1))
    }

    #[test]
    fn the_same_size_works() {
        bench(31.8, 31.8).gives(Verdict::Works);
    }

    #[test]
    fn a_larger_bar_never_goes_in() {
        let finding = bench(31.8, 26.0).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 5.65).abs() < 1e-9);
        assert!(finding.cures.is_empty());
        bench(26.4, 26.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_bar_of_26_0_goes_into_31_8_with_a_shim() {
        let finding = bench(26.0, 31.8).gives(Verdict::Remedy);
        assert_eq!(finding.cures[0].acts, [Act::Small("bar-shim-31.8-26.0")]);
        assert!((finding.number("shim").unwrap().span.middle() - 2.9).abs() < 1e-9);
    }

    #[test]
    fn other_smaller_bars_have_no_shim() {
        bench(25.4, 31.8).gives(Verdict::Fails);
        bench(25.4, 26.0).gives(Verdict::Fails);
    }

    #[test]
    fn two_neighbouring_sizes_are_not_told_apart_by_a_coarse_caliper() {
        let finding = bench(25.8, 26.0).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::StemClamp);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::BarClamp, Dimension::StemClamp] {
            let finding = bench(31.8, 31.8).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
