//! Is the front derailleur pulled from the side the cable comes from?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{CablePull, Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-pull",
    title: "is the front derailleur pulled from the side the cable comes from?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::FrontDerailleur],
    cured_by: &[Slot::FrontDerailleur],
    heals: None,
    silent_without: &[Dimension::FrontPull],
    sentence: "the front derailleur must be pulled from where the frame leads its cable: below, above or the front",
    long: "Road frames lead the cable round the shell and pull from below; many others lead it down the seat tube or \
           along the down tube. A derailleur for both takes the cable from above or from below. Small pulleys that \
           turn a cable round exist for single frames and are looked for only when nothing else is to be had. \
           Where it is not known how the derailleur is pulled, nothing is compared and nothing is asked.",
    source: "leaflets of the trade",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(derailleur) = ask.known_word::<CablePull>(After, Dimension::FrontPull) else {
        return Checked::NotTouched;
    };
    let Some(frame) = ask.word::<CablePull>(After, Dimension::FrameCable) else { return Checked::CannotTell };
    let upright = |pull| matches!(pull, CablePull::Bottom | CablePull::Top | CablePull::Dual);
    let either = derailleur == CablePull::Dual || frame == CablePull::Dual;
    if derailleur == frame || (either && upright(derailleur) && upright(frame)) {
        return Judgement::new(Verdict::Works).says("the cable comes from the side it is pulled from").done();
    }
    Judgement::new(Verdict::Fails).says("the cable comes from another side than it is pulled from").done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(derailleur: &'static str, frame: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::FrontPull, word(derailleur))
            .found(Dimension::FrameCable, word(frame))
    }

    #[test]
    fn the_same_side_and_both_sides_work() {
        bench("bottom", "bottom").gives(Verdict::Works);
        bench("dual", "top").gives(Verdict::Works);
        bench("dual", "bottom").gives(Verdict::Works);
        bench("front", "front").gives(Verdict::Works);
    }

    #[test]
    fn another_side_fails() {
        bench("bottom", "top").gives(Verdict::Fails);
        bench("dual", "front").gives(Verdict::Fails);
    }

    #[test]
    fn without_the_side_of_the_frame_nothing_can_be_told() {
        bench("bottom", "bottom").without(Dimension::FrameCable).gives(Verdict::Measure);
        assert!(bench("bottom", "top").without(Dimension::FrontPull).finding().is_none());
    }
}
