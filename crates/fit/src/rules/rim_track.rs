//! Can the new wheel be braked on its rim?

use super::wheels::{brakes_on_rims, new_wheels, track};
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, RimTrack, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "rim-track",
    title: "can the new wheel be braked on its rim?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel, Slot::FrontWheel],
    cured_by: &[Slot::RearWheel, Slot::FrontWheel],
    heals: None,
    silent_without: &[],
    sentence: "with rim brakes the rim has a machined brake track",
    long: "A rim made for disc brakes has thin walls, a curve where the pad would sit and paint under it: pads wear \
           through it. Where the bike has calipers on the rims the new wheel needs a track. Where nobody said which \
           brakes the bike has, a wheel without track waits for that answer.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let on_rims = brakes_on_rims(ask.build);
    if on_rims == Some(false) {
        return Checked::NotTouched;
    }
    let tracks: Vec<_> = new_wheels(ask.build).into_iter().map(|wheel| track(ask, wheel)).collect();
    if tracks.contains(&None) {
        return Checked::CannotTell;
    }
    if tracks.contains(&Some(RimTrack::Absent)) {
        if on_rims.is_none() {
            // A rotor on the bike would answer it.
            ask.number(After, Dimension::RotorRear);
            return Checked::CannotTell;
        }
        return Judgement::new(Verdict::Fails).says("the rim has no track for the pads").done();
    }
    Judgement::new(Verdict::Works).says("the rim has a brake track").done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(track: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::SlotLeast, mm(39.0, 0.0)).chosen(Dimension::RimTrack, word(track))
    }

    #[test]
    fn a_machined_track_is_braked_on() {
        bench("machined").gives(Verdict::Works);
    }

    #[test]
    fn a_rim_without_track_is_not() {
        bench("no-track").gives(Verdict::Fails);
    }

    #[test]
    fn an_unseen_rim_or_brake_cannot_be_told() {
        bench("machined").without(Dimension::RimTrack).gives(Verdict::Measure);
        let finding = Bench::of(&RULE).chosen(Dimension::RimTrack, word("no-track")).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::RotorRear);
    }

    #[test]
    fn a_bike_with_rotors_needs_no_track() {
        let disc = Bench::of(&RULE)
            .found(Dimension::RotorRear, mm(160.0, 0.0))
            .chosen(Dimension::RimTrack, word("no-track"));
        assert!(disc.finding().is_none());
    }
}
