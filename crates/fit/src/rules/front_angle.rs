//! Does the cage of the front derailleur lie along the chain?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot};

/// How far outside the leaflet has been got to work.
const TRIAL_DEG: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-angle",
    title: "does the cage of the front derailleur lie along the chain?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::FrontDerailleur],
    cured_by: &[Slot::FrontDerailleur],
    heals: None,
    silent_without: &[Dimension::FrontAngleLeast, Dimension::FrontAngleMost],
    sentence: "the angle between seat tube and chainstay must lie in the range of the front derailleur, within 1 degree",
    long: "The cage is built for the angle at which the chain comes forward: 61 to 66 degrees for the road, 63 to 66 or \
           66 to 69 off it. Outside, the tail of the cage drags on the chain. A degree more or less has been got to \
           work. Where the leaflet of the derailleur prints no range, nothing can be compared and nothing is asked.",
    source: "leaflets of the trade; the one degree: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let (least, most) = (
        ask.known_number(After, Dimension::FrontAngleLeast),
        ask.known_number(After, Dimension::FrontAngleMost),
    );
    let (Some(least), Some(most)) = (least, most) else { return Checked::NotTouched };
    let Some(angle) = ask.number(After, Dimension::StayAngle) else { return Checked::CannotTell };
    let rooms = inside(angle, least, most);
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works), (-TRIAL_DEG, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&rooms), "°", 1)
        .number(Number::new("angle", angle, "°", 1))
        .number(Number::new("least", least, "°", 0))
        .number(Number::new("most", most, "°", 0))
        .says("seat tube and chainstay stand at {angle}; the cage is made for {least} to {most}");
    match verdict {
        Verdict::Fails => judged.says("the tail of the cage drags on the chain").done(),
        Verdict::Marginal => {
            judged.says("look at the tail of the cage in every gear of the small ring").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg};

    fn bench(angle: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::FrontAngleLeast, deg(61.0, 0.0))
            .chosen(Dimension::FrontAngleMost, deg(66.0, 0.0))
            .found(Dimension::StayAngle, deg(angle, 0.2))
    }

    #[test]
    fn an_angle_of_the_range_works() {
        bench(63.0).gives(Verdict::Works);
    }

    #[test]
    fn a_degree_outside_is_a_trial_and_more_drags() {
        bench(66.5).gives(Verdict::Marginal);
        bench(68.0).gives(Verdict::Fails);
        bench(59.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_the_angle_of_the_frame_nothing_can_be_told() {
        bench(63.0).without(Dimension::StayAngle).gives(Verdict::Measure);
        bench(66.0).gives(Verdict::Measure);
    }

    #[test]
    fn a_leaflet_without_a_range_asks_nothing() {
        assert!(bench(63.0).without(Dimension::FrontAngleMost).finding().is_none());
    }
}
