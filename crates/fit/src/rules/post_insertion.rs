//! Is enough of the seatpost inside the frame?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};

/// Diameters of the post that have to be inside.
const DIAMETERS: f64 = 2.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "post-insertion",
    title: "is enough of the seatpost inside the frame?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[],
    cured_by: &[Slot::Seatpost],
    heals: None,
    silent_without: &[Dimension::PostLength, Dimension::PostExposed, Dimension::PostDiameter],
    sentence: "at the rider's height at least two diameters of the seatpost stay inside the frame",
    long: "Length of the post less what stands out at the rider's height is what is inside. Two diameters is what the \
           mark on a post must at least show; a mark printed deeper wins. It should also end below the underside of \
           the top tube by 20 to 30 mm, which is looked at. Shorter cranks lift the saddle by as much. The rule asks \
           where a new post is chosen; else it speaks where all is known.",
    source: "16 CFR 1512.15 for the two diameters; below the top tube: leaflets of the trade",
    caution: Some(Warning::Each {
        technician: "a seatpost out beyond its mark breaks the frame or comes out under the rider",
        customer: "never raise the seatpost beyond its mark",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let facts = [Dimension::PostLength, Dimension::PostExposed, Dimension::PostDiameter];
    let known = |dimension| {
        let slot = ask.build.slot_of(dimension, After);
        ask.build.reading(slot, After, dimension).taken().is_some()
    };
    if !ask.build.changes(Slot::Seatpost) && !facts.into_iter().all(known) {
        return Checked::NotTouched;
    }
    let [length, exposed, diameter] = facts.map(|dimension| ask.number(After, dimension));
    let (Some(length), Some(exposed), Some(diameter)) = (length, exposed, diameter) else {
        return Checked::CannotTell;
    };
    let inside = length - exposed;
    let needed = diameter * DIAMETERS;
    let room = inside - needed;
    let verdict = ask.bands(room, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 0)
        .number(Number::new("inside", inside, "mm", 0))
        .number(Number::new("needed", needed, "mm", 0))
        .says("{inside} of the post are inside the frame; two diameters are {needed}");
    if verdict == Verdict::Fails {
        judged.says("the post is too short for this rider").done()
    } else {
        judged.done()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(length_mm: f64, exposed_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::PostLength, mm(length_mm, 0.0))
            .chosen(Dimension::PostDiameter, mm(27.2, 0.0))
            .found(Dimension::PostExposed, mm(exposed_mm, 2.0))
    }

    #[test]
    fn a_post_with_two_diameters_inside_works() {
        assert!(
            (bench(350.0, 220.0).gives(Verdict::Works).number("needed").unwrap().value - 54.4).abs() < 1e-9
        );
    }

    #[test]
    fn a_post_that_is_too_short_fails() {
        bench(250.0, 220.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_post_at_its_limit_or_unknown_is_measured() {
        bench(350.0, 296.0).gives(Verdict::Measure);
        for dimension in [Dimension::PostLength, Dimension::PostDiameter, Dimension::PostExposed] {
            let finding = bench(350.0, 220.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }

    #[test]
    fn a_kept_post_is_judged_only_where_all_is_known() {
        let kept = Bench::of(&RULE)
            .found(Dimension::PostLength, mm(250.0, 2.0))
            .found(Dimension::PostExposed, mm(220.0, 2.0));
        assert!(kept.clone().finding().is_none());
        kept.found(Dimension::PostDiameter, mm(27.2, 0.05)).gives(Verdict::Fails);
    }
}
