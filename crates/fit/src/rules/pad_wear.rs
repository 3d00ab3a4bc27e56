//! May the brake pads stay?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use catalog::{Dimension, Slot};
use quantity::Span;

/// Lining that lasts a while.
const GOOD_MM: f64 = 1.0;
/// Below this the holder is near the rotor or the rim.
const LEAST_MM: f64 = 0.5;

/// The rule.
pub static RULE: Rule = Rule {
    id: "pad-wear",
    title: "may the brake pads stay?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::Rotors, Slot::RearWheel, Slot::FrontWheel, Slot::Cables],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[Dimension::PadLining],
    sentence: "pads that stay have 1.0 mm of lining or groove left; below 0.5 mm they are exchanged",
    long: "The lining of a disc pad, or the depth of the groove of a rim pad, is what is left to brake with. When it is \
           gone metal meets rotor or rim, and the piston of a disc brake comes out too far. Pads also stay with the \
           track that they are worn to: a new rotor or rim wants new or refaced ones. The mark on the pad and the \
           leaflet win over the figures here. The rule speaks once somebody has looked; pads of new brakes are new.",
    source: "0.5 and 1.0 mm: common practice, with no published source; the mark on the pad wins",
    caution: Some(Warning::Each {
        technician: "new pads bite late until they are bedded in: short firm stops, and the rider is told",
        customer: "new pads bite late until they are bedded in: some twenty firm stops from riding speed, never to a locked wheel",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if ask.build.changes(Slot::Calipers) || !spoken_of(ask, After, Dimension::PadLining) {
        return Checked::NotTouched;
    }
    let Some(lining) = ask.number(After, Dimension::PadLining) else { return Checked::CannotTell };
    let margin = lining - Span::exact(GOOD_MM);
    let bands = [(0.0, Verdict::Works), (LEAST_MM - GOOD_MM, Verdict::Marginal)];
    let verdict = ask.bands(margin, &bands);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 1)
        .number(Number::new("lining", lining, "mm", 1))
        .says("the thinnest pad has {lining} left");
    match verdict {
        Verdict::Marginal => {
            judged.says("it brakes today and not for long: offer new ones while the bike is apart").done()
        }
        Verdict::Fails => {
            judged.remedy(Verdict::Fails, Cure::by(Act::Work("exchange the pads"), Verdict::Works)).done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};
    use quantity::Reading;

    fn bench(lining_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::PadLining, mm(lining_mm, 0.1))
            .chosen(Dimension::LeverFluid, word("mineral"))
    }

    #[test]
    fn thick_pads_stay() {
        bench(2.0).gives(Verdict::Works);
    }

    #[test]
    fn thin_pads_are_marginal_and_worn_ones_are_exchanged() {
        bench(0.7).gives(Verdict::Marginal);
        let finding = bench(0.2).gives(Verdict::Remedy);
        assert_eq!(finding.without, Some(Verdict::Fails));
    }

    #[test]
    fn pads_at_a_limit_or_only_called_fine_are_measured() {
        bench(1.05).gives(Verdict::Measure);
        bench(0.45).gives(Verdict::Measure);
        bench(2.0).answered(Dimension::PadLining, Reading::Fine).gives(Verdict::Measure);
    }

    #[test]
    fn pads_that_nobody_looked_at_and_pads_of_new_brakes_are_passed_over() {
        assert!(bench(0.2).without(Dimension::PadLining).finding().is_none());
        assert!(bench(0.2).chosen(Dimension::CaliperFluid, word("mineral")).finding().is_none());
    }
}
