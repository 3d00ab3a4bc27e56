//! Is the hanger made for this mount of derailleur?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{DerailleurMount, Dimension, HangerMount, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "hanger-mount",
    title: "is the hanger made for this mount of derailleur?",
    coupling: Coupling::Reach,
    hazard: Hazard::Damage,
    touches: &[Slot::RearDerailleur],
    cured_by: &[Slot::RearDerailleur],
    heals: None,
    silent_without: &[],
    sentence: "a standard derailleur goes on a standard or claw hanger; one without its link goes on a direct-mount hanger",
    long: "A direct-mount hanger takes the place of the first link of the derailleur: it is longer and reaches behind \
           the axle. A derailleur with its link on such a hanger has that link twice, and its pulley stands wrong; one \
           without its link on a standard hanger gets the link back. A claw hanger is held by the axle in a slotted \
           dropout without thread, and never with a through axle.",
    source: "leaflets of derailleurs and workshop crib sheets, agreeing",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let hanger = ask.word::<HangerMount>(After, Dimension::HangerMount);
    let derailleur = ask.word::<DerailleurMount>(After, Dimension::DerailleurMount);
    let (Some(hanger), Some(derailleur)) = (hanger, derailleur) else { return Checked::CannotTell };
    let fails = Judgement::new(Verdict::Fails);
    match (hanger, derailleur) {
        (HangerMount::Standard | HangerMount::Claw, DerailleurMount::Standard)
        | (HangerMount::DirectMount, DerailleurMount::Direct) => {
            Judgement::new(Verdict::Works).says("the hanger is made for this derailleur").done()
        }
        (HangerMount::Standard, DerailleurMount::Direct) => fails
            .says("on a standard hanger the derailleur lacks its link")
            .remedy(
                Verdict::Fails,
                Cure::by(
                    Act::Work("put the link of the derailleur on; it comes from the same maker"),
                    Verdict::Works,
                ),
            )
            .done(),
        (HangerMount::DirectMount, DerailleurMount::Standard) => fails
            .says("on a direct-mount hanger the derailleur has its link twice")
            .cure(Cure::by(
                Act::Work("take the link off the derailleur, if it is made to come off"),
                Verdict::Works,
            ))
            .done(),
        (HangerMount::Claw, DerailleurMount::Direct) => {
            fails.says("a claw hanger takes a derailleur with its own pivot only").done()
        }
        (HangerMount::Absent, _) => fails
            .says("the frame has no hanger")
            .cure(Cure::by(
                Act::Work("a claw hanger held by the axle, if the dropout is slotted"),
                Verdict::Works,
            ))
            .done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(hanger: &'static str, derailleur: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HangerMount, word(hanger))
            .chosen(Dimension::DerailleurMount, word(derailleur))
    }

    #[test]
    fn a_derailleur_goes_on_the_hanger_it_is_made_for() {
        bench("standard", "standard").gives(Verdict::Works);
        bench("claw", "standard").gives(Verdict::Works);
        bench("direct-mount", "direct").gives(Verdict::Works);
    }

    #[test]
    fn a_link_bridges_one_way_only() {
        bench("standard", "direct").gives(Verdict::Remedy);
        bench("direct-mount", "standard").gives(Verdict::Fails);
        bench("claw", "direct").gives(Verdict::Fails);
        bench("no-hanger", "standard").gives(Verdict::Fails);
    }

    #[test]
    fn an_unseen_hanger_or_derailleur_cannot_be_told() {
        for dimension in [Dimension::HangerMount, Dimension::DerailleurMount] {
            bench("standard", "standard").without(dimension).gives(Verdict::Measure);
        }
    }
}
