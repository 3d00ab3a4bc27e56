//! Does the spacer behind the old cassette agree with the body?

use super::body_length::{Fill, spacer_for};
use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::Dimension;
use quantity::Span;

/// Two spacer stacks closer than this are the same to a caliper.
const SAME_MM: f64 = 0.3;
/// A 10-speed stack of the older kind takes a thin spacer on any body.
const OLD_TEN_SPEED_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-spacer",
    title: "do the old spacers agree with the length of the body?",
    coupling: Coupling::Record,
    hazard: Hazard::Function,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "what lies behind the old cassette must fill the body that was measured",
    long: "A short stack on a long body needs 1.85 mm behind it, whoever built the wheel. If no spacer is there, the \
           body is short or was mis-read; an older 10-speed stack has another 1.0 mm. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "spacer matrix: hub tables of the trade, `standards::body`",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let [body, needed, overhang, spacer] =
        [Dimension::BodyLength, Dimension::BodyNeeded, Dimension::Overhang, Dimension::SpacerBehind]
            .map(|dimension| ask.known_number(Before, dimension));
    let (Some(body), Some(needed), Some(overhang), Some(spacer)) = (body, needed, overhang, spacer) else {
        return Checked::NotTouched;
    };
    let margin = body - needed + overhang;
    let expected = match spacer_for(margin) {
        Fill::Nothing => 0.0,
        Fill::Spacer(spacer_mm, _) => spacer_mm,
        Fill::Unclear => return Checked::NotTouched,
    };
    let off = (spacer.middle() - expected).abs();
    let agrees = off <= SAME_MM || (spacer.middle() - expected - OLD_TEN_SPEED_MM).abs() <= SAME_MM;
    if !agrees {
        ask.again();
        ask.recount(Before, Dimension::SpacerBehind);
    }
    let judged = Judgement::new(if agrees { Verdict::Works } else { Verdict::Measure })
        .number(Number::new("expected", Span::exact(expected), "mm", 2))
        .number(Number::new("spacer", spacer, "mm", 2))
        .says("the body wants {expected} behind the old cassette; {spacer} was found");
    match (agrees, off > SAME_MM) {
        (true, true) => judged.says("an older 10-speed stack takes another 1.0 mm").done(),
        (true, false) => judged.done(),
        (false, _) => judged.says("the body length or the spacer was mis-read").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(body_mm: f64, spacer_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BodyLength, mm(body_mm, 0.3))
            .found(Dimension::BodyNeeded, mm(34.95, 0.0))
            .found(Dimension::Overhang, mm(0.0, 0.0))
            .found(Dimension::SpacerBehind, mm(spacer_mm, 0.1))
    }

    #[test]
    fn the_spacers_of_the_trade_agree() {
        bench(36.8, 1.85).gives(Verdict::Works);
        bench(36.8, 2.85).gives(Verdict::Works);
        bench(34.9, 0.0).gives(Verdict::Works);
    }

    #[test]
    fn a_long_body_without_a_spacer_is_doubted() {
        bench(36.75, 0.0).gives(Verdict::Measure);
    }

    #[test]
    fn an_unseen_spacer_checks_nothing() {
        assert!(bench(36.8, 1.85).without(Dimension::SpacerBehind).finding().is_none());
    }
}
