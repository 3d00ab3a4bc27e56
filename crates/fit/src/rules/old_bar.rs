//! Does the old bar agree with the old stem?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::Dimension;
use quantity::Stand;

/// A bar and stem that have been ridden together agree to this.
const SAME_MM: f64 = 0.3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-bar",
    title: "does the old bar agree with the old stem?",
    coupling: Coupling::Record,
    hazard: Hazard::Rider,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "a bar and a stem that have been ridden together have the same clamp diameter",
    long: "A stem that reads 26.0 on a bar that reads 25.4 hides a shim, or has clamped a bar that is too thin. Either \
           has to be looked for before anything is clamped there again. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let bar = ask.known_number(Before, Dimension::BarClamp);
    let stem = ask.known_number(Before, Dimension::StemClamp);
    let (Some(bar), Some(stem)) = (bar, stem) else { return Checked::NotTouched };
    let off = bar - stem;
    let doubted = off.against(-SAME_MM) == Stand::Below || (-off).against(-SAME_MM) == Stand::Below;
    if doubted {
        ask.again();
        ask.recount(Before, Dimension::BarClamp);
        ask.recount(Before, Dimension::StemClamp);
    }
    let judged = Judgement::new(if doubted { Verdict::Measure } else { Verdict::Works })
        .number(Number::difference("off", off, "mm", 1))
        .says("bar less stem reads {off}");
    if doubted {
        judged.says("look for a shim, or for a clamp that was closed on too thin a bar").done()
    } else {
        judged.done()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(bar_mm: f64, stem_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BarClamp, mm(bar_mm, 0.1))
            .found(Dimension::StemClamp, mm(stem_mm, 0.1))
    }

    #[test]
    fn equal_diameters_are_believed() {
        bench(26.0, 26.0).gives(Verdict::Works);
    }

    #[test]
    fn a_hidden_shim_is_looked_for() {
        bench(25.4, 26.0).gives(Verdict::Measure);
    }

    #[test]
    fn an_unmeasured_bar_checks_nothing() {
        assert!(bench(26.0, 26.0).without(Dimension::BarClamp).finding().is_none());
    }
}
