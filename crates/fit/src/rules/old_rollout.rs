//! Does the rollout agree with the tyre?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::Dimension;
use mechanics::contradiction::{ROLLOUT_ALLOWED_PERCENT, rollout_difference_percent};
use quantity::{Length, Span, Stand};

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-rollout",
    title: "does the rollout agree with the tyre?",
    coupling: Coupling::Record,
    hazard: Hazard::Comfort,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "the way rolled in one turn is within 2 percent of pi times bead seat plus two tyre widths",
    long: "A tyre sags under the rider and is rarely as wide as its print, so the two differ a little. More than two \
           percent means that the label, the pressure or the rolled way was mis-read. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "ISO 5775 form of the overall diameter; two percent: common practice, the printed charts spread by 1.5",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let [rollout, bead_seat, tyre] = [Dimension::Rollout, Dimension::BeadSeat, Dimension::TyreWidth]
        .map(|dimension| ask.known_number(Before, dimension));
    let (Some(rollout), Some(bead_seat), Some(tyre)) = (rollout, bead_seat, tyre) else {
        return Checked::NotTouched;
    };
    let off = Span::hull(&[rollout, bead_seat, tyre], |at| {
        rollout_difference_percent(Length::mm(at[0]), Length::mm(at[1]), Length::mm(at[2]))
    });
    // Doubted only if no reading inside the tolerances agrees.
    let nearest = if off.holds(0.0) { 0.0 } else { off.least().abs().min(off.most().abs()) };
    let agrees = Span::exact(ROLLOUT_ALLOWED_PERCENT - nearest).against(0.0) == Stand::AtOrAbove;
    if !agrees {
        ask.again();
        ask.recount(Before, Dimension::BeadSeat);
    }
    let judged = Judgement::new(if agrees { Verdict::Works } else { Verdict::Measure })
        .margin(Span::exact(ROLLOUT_ALLOWED_PERCENT - nearest), "%", 1)
        .number(Number::difference("off", off, "%", 1))
        .says("the rollout is {off} off what the tyre says");
    if agrees { judged.done() } else { judged.says("tyre label, pressure or rolled way was mis-read").done() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(rollout_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Rollout, mm(rollout_mm, 10.0))
            .found(Dimension::BeadSeat, mm(622.0, 0.0))
            .found(Dimension::TyreWidth, mm(25.0, 0.5))
    }

    #[test]
    fn a_rollout_near_the_tyre_is_believed() {
        bench(2111.0).gives(Verdict::Works);
    }

    #[test]
    fn a_rollout_of_another_wheel_is_doubted() {
        bench(1960.0).gives(Verdict::Measure);
    }

    #[test]
    fn an_unread_tyre_checks_nothing() {
        assert!(bench(2111.0).without(Dimension::TyreWidth).finding().is_none());
    }
}
