//! Do the splines of cassette and body match?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot, Spline};

/// The rule.
pub static RULE: Rule = Rule {
    id: "body-spline",
    title: "do the splines of cassette and body match?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Damage,
    touches: &[Slot::Cassette, Slot::RearWheel],
    cured_by: &[Slot::Cassette, Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "a cassette slides only on a body with its own spline pattern",
    long: "Spline patterns are a set: nothing bridges two of them but another body, if the maker of the hub sells \
           one, or another wheel. A hub with a thread for a screw-on freewheel takes no cassette at all, and a freewheel \
           goes on no body: whether their threads are the same is asked by `freewheel-thread`.",
    source: "spline families: hub tables of the trade",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let body = ask.word::<Spline>(After, Dimension::BodySpline);
    let cassette = ask.word::<Spline>(After, Dimension::CassetteSpline);
    let (Some(body), Some(cassette)) = (body, cassette) else { return Checked::CannotTell };
    match (body, cassette) {
        (Spline::ScrewOn, Spline::ScrewOn) => Judgement::new(Verdict::Works)
            .says("the hub has a thread and the cogs are a freewheel: both screw together")
            .done(),
        (_, Spline::ScrewOn) => Judgement::new(Verdict::Fails)
            .says("a freewheel screws onto a thread, and the hub has a body")
            .done(),
        (Spline::ScrewOn, _) => Judgement::new(Verdict::Fails)
            .says("the hub has a thread for a freewheel and no body for a cassette")
            .done(),
        (body, cassette) if body == cassette => {
            Judgement::new(Verdict::Works).says("both have the same splines").done()
        }
        _ => Judgement::new(Verdict::Fails).says("the cassette does not slide on this body").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(body: &'static str, cassette: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BodySpline, word(body))
            .chosen(Dimension::CassetteSpline, word(cassette))
    }

    #[test]
    fn the_same_splines_match() {
        bench("9-shallow", "9-shallow").gives(Verdict::Works);
    }

    #[test]
    fn other_splines_do_not() {
        bench("9-deep", "9-shallow").gives(Verdict::Fails);
        bench("screw-on", "9-shallow").gives(Verdict::Fails);
        bench("9-shallow", "screw-on").gives(Verdict::Fails);
    }

    #[test]
    fn a_freewheel_goes_on_a_hub_with_a_thread() {
        bench("screw-on", "screw-on").gives(Verdict::Works);
    }

    #[test]
    fn an_unseen_body_cannot_be_told() {
        bench("9-deep", "9-shallow").without(Dimension::BodySpline).gives(Verdict::Measure);
    }
}
