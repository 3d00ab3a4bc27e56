//! Can the hanger drop be believed?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::Dimension;
use quantity::Stand;

/// Hangers of the trade lie between these.
const LEAST_MM: f64 = 22.0;
const MOST_MM: f64 = 34.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-hanger",
    title: "can the hanger drop be believed?",
    coupling: Coupling::Record,
    hazard: Hazard::Function,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "hangers measure 22 to 34 mm from axle centre to bolt centre",
    long: "A reading outside that range was taken to the wrong bolt, or a hanger extender is fitted already; either \
           changes what the largest cog may be. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(drop) = ask.known_number(Before, Dimension::HangerDrop) else { return Checked::NotTouched };
    // Doubted only if the whole tolerance lies outside.
    let doubted = drop.against(LEAST_MM) == Stand::Below || (-drop).against(-MOST_MM) == Stand::Below;
    if doubted {
        ask.again();
        ask.recount(Before, Dimension::HangerDrop);
    }
    let judged = Judgement::new(if doubted { Verdict::Measure } else { Verdict::Works })
        .number(Number::new("drop", drop, "mm", 1))
        .says("the hanger drop reads {drop}");
    if doubted {
        judged.says("measured to the wrong bolt, or an extender is fitted already").done()
    } else {
        judged.says("hangers of the trade lie between 22 and 34 mm").done()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(drop_mm: f64) -> Bench {
        Bench::of(&RULE).found(Dimension::HangerDrop, mm(drop_mm, 1.0))
    }

    #[test]
    fn a_usual_hanger_is_believed() {
        bench(28.0).gives(Verdict::Works);
    }

    #[test]
    fn a_reading_to_the_wrong_bolt_is_doubted() {
        bench(45.0).gives(Verdict::Measure);
        bench(18.0).gives(Verdict::Measure);
    }

    #[test]
    fn an_unmeasured_hanger_checks_nothing() {
        assert!(bench(28.0).without(Dimension::HangerDrop).finding().is_none());
    }
}
