//! Do the rear dropouts hold the axle of the new wheel?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{AxleKind, Dimension, Dropout, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "rear-axle",
    title: "do the rear dropouts hold the axle of the new wheel?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel],
    cured_by: &[Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "slotted dropouts take a quick release or nuts; a through axle takes a hub and dropouts of its own diameter",
    long: "A quick release or a nutted axle rests in slots. A through axle joins the dropouts and is screwed into one \
           of them: its diameter, thread and length belong to the frame, and nothing bridges slots and holes but end \
           caps where the maker of the hub sells them. Thread pitch and length of a through axle are read from the \
           frame, not from the wheel.",
    source: "axle table of the trade: workshop crib sheets and leaflets, agreeing",
    caution: Some(Warning::Technician(
        "an axle end that stands proud of the dropout lets the lever clamp the axle and not the frame: the wheel is loose",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let axle = ask.word_in::<AxleKind>(Slot::RearWheel, After, Dimension::Axle);
    let dropout = ask.word::<Dropout>(After, Dimension::RearDropout);
    let (Some(axle), Some(dropout)) = (axle, dropout) else { return Checked::CannotTell };
    let verdict = seat(axle, dropout);
    let judged = Judgement::new(verdict);
    match verdict {
        Verdict::Works => judged.says("the dropouts are made for this axle").done(),
        _ => judged.says("the dropouts are not made for this axle").cure(end_caps()).done(),
    }
}

/// Whether dropouts hold an axle.
pub(crate) fn seat(axle: AxleKind, dropout: Dropout) -> Verdict {
    let own = match axle {
        AxleKind::QuickRelease | AxleKind::Bolted => Dropout::Slotted,
        AxleKind::Through12 => Dropout::Through12,
        AxleKind::Through15 => Dropout::Through15,
        AxleKind::Through20 => Dropout::Through20,
    };
    if own == dropout { Verdict::Works } else { Verdict::Fails }
}

/// What may make another axle fit.
pub(crate) fn end_caps() -> Cure {
    Cure::by(
        Act::Work("exchange the end caps of the hub, if its maker sells caps for these dropouts"),
        Verdict::Works,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(axle: &'static str, dropout: &'static str) -> Bench {
        Bench::of(&RULE).chosen(Dimension::Axle, word(axle)).found(Dimension::RearDropout, word(dropout))
    }

    #[test]
    fn axle_and_dropouts_of_a_kind_go_together() {
        bench("quick-release", "slotted").gives(Verdict::Works);
        bench("bolted", "slotted").gives(Verdict::Works);
        bench("through-12", "through-12").gives(Verdict::Works);
    }

    #[test]
    fn a_quick_release_does_not_hold_in_holes_nor_a_through_axle_in_slots() {
        bench("quick-release", "through-12").gives(Verdict::Fails);
        bench("through-12", "slotted").gives(Verdict::Fails);
        bench("through-12", "through-15").gives(Verdict::Fails);
    }

    #[test]
    fn without_axle_or_dropouts_nothing_can_be_told() {
        for dimension in [Dimension::Axle, Dimension::RearDropout] {
            let finding = bench("bolted", "slotted").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
