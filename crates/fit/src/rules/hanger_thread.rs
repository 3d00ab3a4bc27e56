//! Does the thread of the hanger hold the new derailleur?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, HangerThread, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "hanger-thread",
    title: "does the thread of the hanger hold the new derailleur?",
    coupling: Coupling::Reach,
    hazard: Hazard::Rider,
    touches: &[Slot::RearDerailleur],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "the bolt of a derailleur is M10 x 1: it goes into the hanger by finger for three turns",
    long: "Old frames have 10 mm with 26 threads to the inch, a pitch of 0.977 mm: near enough that a bolt starts and \
           jams. It is cut to M10 x 1 before the derailleur goes on. A worn thread takes an insert, a bolted hanger is \
           exchanged. A derailleur that comes loose from its hanger swings into the spokes.",
    source: "M10 x 1: workshop crib sheets, agreeing; 26 threads to the inch: memory, the pitch is arithmetic",
    caution: Some(Warning::Technician(
        "a derailleur bolt forced across the thread lets go under load: start it by finger",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(thread) = ask.word::<HangerThread>(After, Dimension::HangerThread) else {
        return Checked::CannotTell;
    };
    let judged = Judgement::new(Verdict::Fails);
    match thread {
        HangerThread::Metric => {
            Judgement::new(Verdict::Works).says("the bolt of the derailleur goes into the hanger by finger").done()
        }
        HangerThread::Inch26 => judged
            .says("the thread has 26 turns to the inch: a bolt of M10 x 1 starts and jams")
            .remedy(
                Verdict::Fails,
                Cure::by(Act::Work("cut the thread of the hanger to M10 x 1 before the derailleur goes on"), Verdict::Works),
            )
            .done(),
        HangerThread::Worn => judged
            .says("the thread is worn: the bolt would pull out under load")
            .remedy(
                Verdict::Fails,
                Cure::by(
                    Act::Work(
                        "exchange a bolted hanger; else a specialist fits a thread insert, and the customer signs",
                    ),
                    Verdict::Works,
                ),
            )
            .done(),
        HangerThread::Absent => judged
            .says("there is no thread for the bolt of the derailleur")
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
    use crate::bench::{Bench, count, word};

    fn bench(thread: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::HangerThread, word(thread)).chosen(Dimension::RatedCog, count(30))
    }

    #[test]
    fn a_sound_metric_thread_holds() {
        bench("M10x1").gives(Verdict::Works);
    }

    #[test]
    fn an_old_or_worn_thread_is_put_right_first() {
        bench("10x26").gives(Verdict::Remedy);
        bench("worn").gives(Verdict::Remedy);
    }

    #[test]
    fn without_a_thread_nothing_holds() {
        bench("no-thread").gives(Verdict::Fails);
    }

    #[test]
    fn an_untried_thread_cannot_be_told() {
        bench("M10x1").without(Dimension::HangerThread).gives(Verdict::Measure);
    }
}
