//! Do rings and cassette stand in one line?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use quantity::Span;

/// How far front and rear may differ for two rings and more: works, and at most.
const SEVERAL_MM: (f64, f64) = (2.0, 3.0);
/// The same for a single ring.
const SINGLE_MM: (f64, f64) = (3.0, 5.0);

/// The rule.
pub static RULE: Rule = Rule {
    id: "chainline",
    title: "do rings and cassette stand in one line?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Cassette, Slot::RearWheel],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "the middle of the rings stands within 2 mm of the middle of the cassette, a single ring within 3 mm",
    long: "The rear chainline is half the hub width, less the gap at the smallest cog, half a cog and half the stack. \
           The front one is measured to the middle of the rings. Up to 2 mm of difference is in use everywhere, 3 mm \
           is noisy in the far gears and more wears and drops the chain; a single ring runs with 3 mm and is a trial \
           to 5 mm. The readings behind it add up to a tolerance of a millimetre or so, which is as much as the \
           limits differ, so the middle values are judged, as for the rub of the chain.",
    source: "leaflets and workshop crib sheets for the 2 mm; 3 and 5 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    let front = ask.number(After, Dimension::FrontChainline);
    let hub = ask.number(After, Dimension::HubWidth);
    let gap = ask.number(After, Dimension::SmallCogGap);
    let thickness = ask.number(After, Dimension::CogThickness);
    let cogs = ask.teeth(After, Dimension::Cogs);
    let pitches = ask.cog_pitches(After, cogs.as_ref().map_or(2, Vec::len));
    let (Some(rings), Some(front), Some(hub), Some(gap), Some(thickness), Some(_), Some(pitches)) =
        (rings, front, hub, gap, thickness, cogs, pitches)
    else {
        return Checked::CannotTell;
    };
    let stack = pitches.into_iter().fold(Span::exact(0.0), |sum, pitch| sum + pitch);
    let rear = hub * 0.5 - gap - thickness * 0.5 - stack * 0.5;
    let difference = front - rear;
    let (works, most) = if rings.len() == 1 { SINGLE_MM } else { SEVERAL_MM };
    let room = Span::exact(works - difference.middle().abs());
    let verdict = ask.bands(room, &[(0.0, Verdict::Works), (works - most, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 1)
        .number(Number::new("front", front, "mm", 1))
        .number(Number::new("rear", rear, "mm", 1))
        .number(Number::difference("difference", difference, "mm", 1))
        .says("the rings stand {front} from the middle, the cassette {rear}: {difference}");
    match verdict {
        Verdict::Works => judged.done(),
        _ if difference.middle() > 0.0 => {
            judged.says("the rings stand too far out: the large cogs are noisy and the chain wears").done()
        }
        _ => judged.says("the rings stand too far in: the small cogs are noisy and the chain rubs").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    /// Eleven cogs on a 130 mm hub with a gap of 2.5 mm: the middle stands 43.0 mm out.
    fn bench(rings: &[i64], front_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::Rings, teeth(rings))
            .chosen(Dimension::FrontChainline, mm(front_mm, 0.5))
            .found(Dimension::HubWidth, mm(130.0, 0.5))
            .found(Dimension::SmallCogGap, mm(2.5, 0.3))
            .found(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::CogPitch, mm(3.74, 0.0))
            .found(Dimension::Cogs, teeth(&[11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28]))
    }

    #[test]
    fn a_road_double_on_its_own_hub_works() {
        let finding = bench(&[50, 34], 43.5).gives(Verdict::Works);
        // 65 − 2.5 − 0.8 − 18.7 mm.
        assert!((finding.number("rear").unwrap().value - 43.0).abs() < 1e-6);
    }

    #[test]
    fn the_limits_for_several_rings() {
        bench(&[46, 36], 45.5).gives(Verdict::Marginal);
        bench(&[46, 36], 47.5).gives(Verdict::Fails);
        bench(&[46, 36], 39.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_single_ring_is_allowed_more() {
        bench(&[42], 45.9).gives(Verdict::Works);
        bench(&[42], 47.5).gives(Verdict::Marginal);
        bench(&[42], 49.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [
            Dimension::Rings,
            Dimension::FrontChainline,
            Dimension::HubWidth,
            Dimension::SmallCogGap,
            Dimension::CogThickness,
            Dimension::Cogs,
            Dimension::CogPitch,
        ] {
            let finding = bench(&[50, 34], 43.5).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
