//! Do the cables follow the fold?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use catalog::{Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "fold-route",
    title: "do the cables follow the fold?",
    coupling: Coupling::Hands,
    hazard: Hazard::Damage,
    touches: &[Slot::Cables, Slot::Levers, Slot::Shifters, Slot::RearDerailleur],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::FoldExtra],
    sentence: "the loops of housing must have to spare what the fold adds to the cable path",
    long: "A hinge makes the path longer by a few centimetres when it opens or closes. The loops give that way, or the \
           housing is torn out of its stops. The number is for the stand: cut with the bike in the longer position, \
           fold and unfold five times, and look at every loop on the hinge side. The rule speaks only of bikes whose \
           fold was measured.",
    source: "common practice",
    caution: Some(Warning::Each {
        technician: "folding bikes: loops looked at folded and unfolded, five times, none pinched at the hinge; guides on the hinge side; chain parked before it folds, pedal at the position that its leaflet names",
        customer: "park the chain before you fold, with the pedal where its leaflet says, and see that nothing is pinched at the hinge",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, Before, Dimension::FoldExtra) {
        return Checked::NotTouched;
    }
    let Some(extra) = ask.number(Before, Dimension::FoldExtra) else { return Checked::CannotTell };
    Judgement::new(Verdict::Works)
        .number(Number::new("extra", extra, "mm", 0))
        .says("the fold adds {extra} to the cable path: the loops must give as much, folded and unfolded")
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};
    use quantity::Reading;

    fn bench() -> Bench {
        Bench::of(&RULE).chosen(Dimension::CableHead, word("both"))
    }

    #[test]
    fn the_fold_adds_its_number_to_the_sheet() {
        let finding = bench().found(Dimension::FoldExtra, mm(35.0, 5.0)).gives(Verdict::Works);
        assert!((finding.number("extra").unwrap().value - 35.0).abs() < 1e-9);
    }

    #[test]
    fn a_fold_that_was_called_fine_is_asked_for_its_number() {
        let finding = bench().answered(Dimension::FoldExtra, Reading::Fine).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::FoldExtra);
    }

    #[test]
    fn nothing_is_said_of_a_bike_that_does_not_fold() {
        assert!(bench().finding().is_none());
    }
}
