//! Does the new wheel go between the dropouts?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Two widths closer than this are the same: locknut wear and paint.
const SAME_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "hub-width",
    title: "does the new rear wheel go between the dropouts?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel],
    cured_by: &[Slot::RearWheel],
    heals: None,
    sentence: "the over-locknut width of the new hub must be that of the hub it replaces, to within 1 mm",
    long: "The hub on the bike shows what the frame was made for. A hub that is wider has to be forced in, which \
           bends dropouts and axle; only steel may be spread, by a specialist, with the customer's word.",
    source: "common practice",
    caution: Some(
        "a wheel that does not sit square in the dropouts can come out: check its seat and its closing force before the first ride",
    ),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let (old, new) = (ask.number(Before, Dimension::HubWidth), ask.number(After, Dimension::HubWidth));
    let (Some(old), Some(new)) = (old, new) else { return Checked::CannotTell };
    let difference = new - old;
    let size = Span::new(0.0, difference.least().abs().max(difference.most().abs()));
    let nearest =
        if difference.holds(0.0) { 0.0 } else { difference.least().abs().min(difference.most().abs()) };
    let margin = -Span::new(nearest, size.most()) + SAME_MM;
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict).margin(margin, "mm", 1);
    match verdict {
        Verdict::Works => judged.says("the new hub is as wide as the old one").done(),
        _ => judged.says("the new hub is not as wide as the dropouts").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(old_mm: f64, new_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HubWidth, mm(old_mm, 0.5))
            .chosen(Dimension::HubWidth, mm(new_mm, 0.0))
    }

    #[test]
    fn the_same_width_goes_in() {
        bench(130.2, 130.0).gives(Verdict::Works);
    }

    #[test]
    fn a_wider_hub_does_not() {
        bench(130.0, 135.0).gives(Verdict::Fails);
        bench(126.3, 130.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_the_old_width_nothing_can_be_told() {
        Bench::of(&RULE).chosen(Dimension::HubWidth, mm(130.0, 0.0)).gives(Verdict::Measure);
        bench(128.9, 130.0).gives(Verdict::Measure);
    }
}
