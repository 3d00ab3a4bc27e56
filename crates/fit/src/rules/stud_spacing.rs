//! Are the brake studs as far apart as the arms are made for?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::room::{inside, judge, tightest};
use catalog::{BrakeMount, Dimension, Slot};
use quantity::Span;

/// Spacing of the trade.
const USUAL_MM: (f64, f64) = (73.0, 85.0);
/// How far outside of it arms may still be set, by washers and long or short pad posts.
const BESIDE_MM: f64 = 8.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "stud-spacing",
    title: "are the brake studs as far apart as the arms are made for?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Damage,
    touches: &[Slot::Calipers],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[],
    sentence: "studs stand 73 to 85 mm apart; up to 8 mm beside that the arms must be tried",
    long: "Arms are made for studs about 80 mm apart. On closer ones the pads meet the rim at the end of their posts \
           or the arms stand out; on wider ones the posts are too short. Studs that sit above the rim belong to \
           other brakes. The narrower pair of fork and frame counts.",
    source: "73 to 85 mm: a frame builder's page and an industrial standard as quoted there; the 8 mm beside: our own choice",
    caution: Some(Warning::Technician(
        "cantilevers: a catch over the tyre stops the straddle cable if the main cable fails; without one the wheel locks",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    match ask.word::<BrakeMount>(After, Dimension::CaliperMount) {
        Some(BrakeMount::Studs) => {}
        Some(_) => return Checked::NotTouched,
        None => return Checked::CannotTell,
    }
    let Some(spacing) = ask.number(After, Dimension::StudSpacing) else { return Checked::CannotTell };
    let rooms = inside(spacing, Span::exact(USUAL_MM.0), Span::exact(USUAL_MM.1));
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works), (-BESIDE_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 1)
        .number(Number::new("spacing", spacing, "mm", 0))
        .says("the studs stand {spacing} apart");
    match verdict {
        Verdict::Marginal => {
            judged.says("try the arms on the bike: the pads must meet the rim square").done()
        }
        Verdict::Fails => judged.says("the pads do not meet the rim square").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(spacing_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CaliperMount, word("studs"))
            .found(Dimension::StudSpacing, mm(spacing_mm, 0.5))
    }

    #[test]
    fn usual_studs_work() {
        bench(80.0).gives(Verdict::Works);
    }

    #[test]
    fn close_studs_are_tried_and_very_close_ones_fail() {
        bench(70.0).gives(Verdict::Marginal);
        bench(60.0).gives(Verdict::Fails);
        bench(95.0).gives(Verdict::Fails);
    }

    #[test]
    fn other_brakes_are_not_asked() {
        assert!(bench(80.0).chosen(Dimension::CaliperMount, word("disc-post")).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::CaliperMount, Dimension::StudSpacing] {
            let finding = bench(80.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        bench(73.2).gives(Verdict::Measure);
    }
}
