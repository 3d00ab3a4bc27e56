//! Does the freewheel screw onto the hub?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, FreewheelThread, Slot, Spline, Value, Word};

/// The rule.
pub static RULE: Rule = Rule {
    id: "freewheel-thread",
    title: "does the freewheel screw onto the hub?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::Cassette, Slot::RearWheel],
    cured_by: &[Slot::Cassette, Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "freewheel and hub have the same thread; 1.375 x 24, 1.370 x 24 and 35.0 x 24 stand in for each other in light use",
    long: "The threads of 1.375 in, 1.370 in and 35.0 mm with 24 threads to the inch differ by two tenths of a \
           millimetre: a freewheel of one holds on a hub of another under a light rider, never on a tandem. The thread \
           of 34.7 x 1 mm has another pitch: it binds or strips. 30 x 1 mm is another size.",
    source: "freewheel threads and their exchange: workshop crib sheets; the sizes are those of ISO 6698, whose text was not seen",
    caution: None,
    check,
};

/// Whether hub and cogs are both known to be of the screw-on kind, so that there is no body.
pub(crate) fn both_screw_on(ask: &mut Ask<'_>) -> bool {
    [Dimension::BodySpline, Dimension::CassetteSpline].into_iter().all(|dimension| {
        let slot = ask.build.slot_of(dimension, After);
        matches!(ask.build.reading(slot, After, dimension).taken(),
            Some(Value::Word(noted)) if Spline::read(noted.value) == Some(Spline::ScrewOn))
    })
}

fn check(ask: &mut Ask<'_>) -> Checked {
    if !both_screw_on(ask) {
        return Checked::NotTouched;
    }
    let hub = ask.word::<FreewheelThread>(After, Dimension::HubThread);
    let freewheel = ask.word::<FreewheelThread>(After, Dimension::FreewheelThread);
    let (Some(hub), Some(freewheel)) = (hub, freewheel) else { return Checked::CannotTell };
    let near = |thread| {
        matches!(thread, FreewheelThread::Inch1375 | FreewheelThread::Inch137 | FreewheelThread::Mm35)
    };
    if hub == freewheel {
        Judgement::new(Verdict::Works).says("both have the same thread").done()
    } else if near(hub) && near(freewheel) {
        Judgement::new(Verdict::Marginal)
            .says("the threads differ by a tenth or two: it holds in light use, never on a tandem or under a strong rider")
            .done()
    } else {
        Judgement::new(Verdict::Fails).says("the threads do not go together: they bind or strip").done()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(hub: &'static str, freewheel: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BodySpline, word("screw-on"))
            .found(Dimension::HubThread, word(hub))
            .chosen(Dimension::CassetteSpline, word("screw-on"))
            .chosen(Dimension::FreewheelThread, word(freewheel))
    }

    #[test]
    fn the_same_thread_screws_on() {
        bench("1.37x24", "1.37x24").gives(Verdict::Works);
        bench("34.7x1", "34.7x1").gives(Verdict::Works);
    }

    #[test]
    fn near_threads_are_for_light_use() {
        bench("1.37x24", "1.375x24").gives(Verdict::Marginal);
        bench("35x24", "1.37x24").gives(Verdict::Marginal);
    }

    #[test]
    fn another_pitch_binds() {
        bench("34.7x1", "1.37x24").gives(Verdict::Fails);
        bench("1.375x24", "30x1").gives(Verdict::Fails);
    }

    #[test]
    fn an_unread_thread_cannot_be_told() {
        for dimension in [Dimension::HubThread, Dimension::FreewheelThread] {
            bench("1.37x24", "1.37x24").without(dimension).gives(Verdict::Measure);
        }
    }

    #[test]
    fn a_body_has_no_freewheel_thread() {
        assert!(
            bench("1.37x24", "1.37x24").found(Dimension::BodySpline, word("9-shallow")).finding().is_none()
        );
    }
}
