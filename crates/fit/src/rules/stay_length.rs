//! Are the chainstays long enough for a large jump between the rings?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Jump from which short stays cost gears.
const JUMP_TEETH: f64 = 16.0;
/// Stays shorter than this lose two gears.
const SHORT_MM: f64 = 405.0;
/// Stays that many parts ask for.
const ASKED_MM: f64 = 410.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "stay-length",
    title: "are the chainstays long enough for the jump between the rings?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Chainrings, Slot::Cassette],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "a double with a jump of 16 teeth or more wants chainstays of 410 mm",
    long: "On the small ring and the small cogs the chain runs outward past the large ring, the steeper the shorter \
           the stays and the larger the jump. With 16 teeth and more, stays under 410 mm cost a gear or two before the \
           bike is built, which is told before the order and not after. Many leaflets print 410 to 415 mm as the \
           least, one prints 405 mm. Which gears rub is computed by the rub of the chain. The tape reads to 3 mm, the \
           limits are as soft as that, and the value as read is judged.",
    source: "leaflets of the trade, not agreeing: 405, 410, 415 mm; the jump of 16: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.as_ref().is_some_and(|rings| rings.len() != 2) {
        return Checked::NotTouched;
    }
    let stay = ask.number(After, Dimension::Chainstay);
    let (Some(rings), Some(stay)) = (rings, stay) else { return Checked::CannotTell };
    let (Some(outer), Some(inner)) = (rings.iter().max(), rings.iter().min()) else {
        return Checked::CannotTell;
    };
    let jump = outer.to_f64() - inner.to_f64();
    let large = jump >= JUMP_TEETH;
    let room = Span::exact(stay.middle() - ASKED_MM);
    let short = ask.bands(room, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let verdict = if large { short } else { Verdict::Works };
    let mut judged = Judgement::new(verdict);
    // With a small jump the limit is not asked for, so there is no distance to it.
    if large {
        judged = judged.margin(room, "mm", 0);
    }
    let judged = judged
        .number(Number::new("stay", stay, "mm", 0))
        .number(Number::new("jump", Span::exact(jump), "teeth", 0))
        .says("the chainstays measure {stay}, the rings jump by {jump}");
    match (short, large) {
        (Verdict::Works, _) => judged.done(),
        (_, true) if stay.middle() < SHORT_MM => judged
            .says("two gears are lost before the bike is built: the small ring with the two smallest cogs")
            .done(),
        (_, true) => judged.says("many parts ask for 410 mm: one or two gears of the small ring rub").done(),
        (_, false) => {
            judged.says("that is under the 410 mm that many parts ask for; with this jump it works").done()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    fn bench(stay_mm: f64, rings: &[i64]) -> Bench {
        Bench::of(&RULE).found(Dimension::Chainstay, mm(stay_mm, 3.0)).chosen(Dimension::Rings, teeth(rings))
    }

    #[test]
    fn long_stays_take_any_double() {
        bench(410.0, &[50, 34]).gives(Verdict::Works);
    }

    #[test]
    fn short_stays_lose_gears_with_a_large_jump() {
        let finding = bench(404.0, &[50, 34]).gives(Verdict::Marginal);
        assert!(finding.steps.iter().any(|step| step.contains("two gears are lost")));
        bench(408.0, &[50, 34]).gives(Verdict::Marginal);
    }

    #[test]
    fn a_small_jump_works_and_is_told_to_be_under_what_parts_ask() {
        let finding = bench(405.0, &[46, 36]).gives(Verdict::Works);
        assert!(finding.steps.iter().any(|step| step.contains("under the 410 mm")));
    }

    #[test]
    fn a_single_ring_and_a_triple_are_not_asked() {
        assert!(bench(400.0, &[42]).finding().is_none());
        assert!(bench(400.0, &[52, 42, 30]).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::Chainstay, Dimension::Rings] {
            let finding = bench(410.0, &[50, 34]).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
