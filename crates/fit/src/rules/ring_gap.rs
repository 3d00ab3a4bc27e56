//! Can the chain drop between the rings?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};

/// Chains for this many cogs and more are narrow.
const NARROW_FROM: u32 = 10;
/// Widest gap, middle to middle, that a narrow chain does not drop into.
const MOST_MM: f64 = 8.5;
/// How much wider has been ridden.
const TRIAL_MM: f64 = 0.5;

/// The rule.
pub static RULE: Rule = Rule {
    id: "ring-gap",
    title: "can the chain drop between the rings?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::Chain, Slot::Crankset, Slot::Chainrings],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "for a chain for ten cogs or more the rings stand at most 8.5 mm apart, middle to middle",
    long: "Each generation of chains is narrower, and rings set apart for a wide chain let a narrow one fall between \
           them, where it jams under load. Pairs in use measure 7 to 8.5 mm from middle to middle; up to 9 mm has \
           been ridden and is a trial. How close they may stand is told by the rub of the chain. The gap of rings \
           bought apart is that of the crankset they go on.",
    source: "riders' measurements of ring pairs; 7 to 8.5 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.as_ref().is_some_and(|rings| rings.len() == 1) {
        return Checked::NotTouched;
    }
    let gap = ask.number(After, Dimension::RingGap);
    let speeds = ask.count(After, Dimension::ChainSpeeds);
    let (Some(_), Some(gap), Some(speeds)) = (rings, gap, speeds) else { return Checked::CannotTell };
    if speeds < NARROW_FROM {
        return Checked::NotTouched;
    }
    let room = -gap + MOST_MM;
    let verdict = ask.bands(room, &[(0.0, Verdict::Works), (-TRIAL_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 1)
        .number(Number::new("gap", gap, "mm", 1))
        .says("the rings stand {gap} apart, middle to middle");
    match verdict {
        Verdict::Fails => judged.says("a narrow chain drops between them and jams").done(),
        Verdict::Marginal => {
            judged.says("a narrow chain may drop between them: shift under load on the stand").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth};

    fn bench(gap_mm: f64, speeds: u32) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Rings, teeth(&[52, 39]))
            .found(Dimension::RingGap, mm(gap_mm, 0.2))
            .chosen(Dimension::ChainSpeeds, count(speeds))
    }

    #[test]
    fn a_usual_pair_works() {
        bench(7.8, 11).gives(Verdict::Works);
    }

    #[test]
    fn rings_far_apart_let_a_narrow_chain_drop() {
        bench(8.75, 11).gives(Verdict::Marginal);
        bench(9.4, 11).gives(Verdict::Fails);
    }

    #[test]
    fn a_wide_chain_and_a_single_ring_are_not_asked() {
        assert!(bench(9.4, 9).finding().is_none());
        assert!(bench(9.4, 11).found(Dimension::Rings, teeth(&[42])).finding().is_none());
    }

    #[test]
    fn a_gap_at_the_limit_or_unknown_is_measured() {
        bench(8.5, 11).gives(Verdict::Measure);
        for dimension in [Dimension::RingGap, Dimension::ChainSpeeds, Dimension::Rings] {
            let finding = bench(9.4, 11).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
