//! Does the headset fit steerer, crown and head tube?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{Dimension, Slot};

/// How far a size may be off and still be the size.
const SAME_MM: f64 = 0.1;
/// Crown seat and race that a mill brings together.
const MILL_MM: (f64, f64) = (27.0, 26.4);
/// Bore and cup that a reamer brings together.
const REAM_MM: (f64, f64) = (30.0, 30.2);

/// A joint: on the frame, on the headset, names of the numbers, sentence, what can be cut, and how.
struct Joint {
    frame: Dimension,
    headset: Dimension,
    names: [&'static str; 2],
    step: &'static str,
    cut: Option<((f64, f64), &'static str)>,
}

const JOINTS: [Joint; 4] = [
    Joint {
        frame: Dimension::SteererDiameter,
        headset: Dimension::HeadsetSteerer,
        names: ["steerer", "for_steerer"],
        step: "the steerer is {steerer}; the headset is for {for_steerer}",
        cut: None,
    },
    Joint {
        frame: Dimension::CrownSeat,
        headset: Dimension::CrownRace,
        names: ["seat", "race"],
        step: "the crown seat is {seat}; the race is for {race}",
        cut: Some((MILL_MM, "a specialist mills the crown seat from 27.0 to 26.4 mm")),
    },
    Joint {
        frame: Dimension::HeadBoreUpper,
        headset: Dimension::CupUpper,
        names: ["upper_bore", "upper_cup"],
        step: "the upper bore is {upper_bore}; the cup is for {upper_cup}",
        cut: Some((REAM_MM, "a specialist reams the upper bore from 30.0 to 30.2 mm")),
    },
    Joint {
        frame: Dimension::HeadBoreLower,
        headset: Dimension::CupLower,
        names: ["lower_bore", "lower_cup"],
        step: "the lower bore is {lower_bore}; the cup is for {lower_cup}",
        cut: Some((REAM_MM, "a specialist reams the lower bore from 30.0 to 30.2 mm")),
    },
];

/// The rule.
pub static RULE: Rule = Rule {
    id: "headset",
    title: "does the headset fit steerer, crown and head tube?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Headset],
    cured_by: &[Slot::Headset],
    heals: None,
    silent_without: &[],
    sentence: "steerer, crown seat and both bores must be of the sizes that the headset is made for, to within 0.1 mm",
    long: "A headset is named by four sizes, and neighbours look alike: crown seats of 26.4 and 27.0 mm, bores of 30.0 \
           and 30.2 mm. A race that is forced onto a larger seat splits, one on a smaller seat walks; a cup that is \
           too large cracks the head tube. A seat of 27.0 mm is milled to 26.4 and a bore of 30.0 mm reamed to 30.2 \
           by a specialist with the tool for it; nothing else is cut.",
    source: "sizes, mill and reamer: two workshop pages and a frame builder's page, agreeing; 0.1 mm: common practice",
    caution: Some(Warning::Each {
        technician: "a headset that works loose takes the steering with it: no play and no binding from lock to lock, and the adjustment looked at again after the first ride",
        customer: "the headset is looked at again after the first ride: come at once if the steering knocks or binds",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let read = JOINTS.map(|joint| (ask.number(After, joint.frame), ask.number(After, joint.headset)));
    let mut judged = Judgement::new(Verdict::Works);
    let (mut rooms, mut acts, mut verdict) = (Vec::new(), Vec::new(), Verdict::Works);
    for (joint, (frame, headset)) in JOINTS.iter().zip(read) {
        let (Some(frame), Some(headset)) = (frame, headset) else { return Checked::CannotTell };
        let joint_rooms = either_way(frame - headset, SAME_MM);
        let mut of_joint = judge(ask, &joint_rooms, &[(0.0, Verdict::Works)]);
        if of_joint == Verdict::Fails
            && let Some(((from_mm, to_mm), work)) = joint.cut
        {
            let cut_rooms =
                [either_way(frame - from_mm, SAME_MM), either_way(headset - to_mm, SAME_MM)].concat();
            of_joint = judge(ask, &cut_rooms, &[(0.0, Verdict::Remedy)]);
            if of_joint == Verdict::Remedy {
                acts.push(Act::Work(work));
            }
        }
        rooms.push(tightest(&joint_rooms));
        verdict = verdict.max(of_joint);
        judged = judged
            .number(Number::new(joint.names[0], frame, "mm", 1))
            .number(Number::new(joint.names[1], headset, "mm", 1))
            .says(joint.step);
    }
    judged.verdict = verdict;
    let judged = judged.margin(tightest(&rooms), "mm", 2);
    match verdict {
        Verdict::Remedy => {
            let cure = Cure { acts, ..Cure::by(Act::Work("cut to size"), Verdict::Works) };
            judged.remedy(Verdict::Fails, cure).done()
        }
        Verdict::Fails => {
            judged.says("another headset: nothing here is forced and nothing more is cut").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(seat_mm: f64, bore_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::SteererDiameter, mm(25.4, 0.1))
            .found(Dimension::CrownSeat, mm(seat_mm, 0.05))
            .found(Dimension::HeadBoreUpper, mm(bore_mm, 0.05))
            .found(Dimension::HeadBoreLower, mm(bore_mm, 0.05))
            .chosen(Dimension::HeadsetSteerer, mm(25.4, 0.0))
            .chosen(Dimension::CrownRace, mm(26.4, 0.0))
            .chosen(Dimension::CupUpper, mm(30.2, 0.0))
            .chosen(Dimension::CupLower, mm(30.2, 0.0))
    }

    #[test]
    fn a_headset_of_its_own_sizes_works() {
        bench(26.4, 30.2).gives(Verdict::Works);
    }

    #[test]
    fn a_larger_seat_is_milled_and_a_smaller_bore_is_reamed() {
        assert_eq!(bench(27.0, 30.2).gives(Verdict::Remedy).cures[0].acts.len(), 1);
        assert_eq!(bench(27.0, 30.0).gives(Verdict::Remedy).cures[0].acts.len(), 3);
    }

    #[test]
    fn a_race_for_27_0_walks_on_a_seat_of_26_4() {
        bench(26.4, 30.2).chosen(Dimension::CrownRace, mm(27.0, 0.0)).gives(Verdict::Fails);
        bench(26.4, 34.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_bore_between_two_sizes_is_measured_again() {
        let finding = bench(26.4, 30.1).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::HeadBoreUpper));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for joint in &JOINTS {
            for dimension in [joint.frame, joint.headset] {
                let finding = bench(26.4, 30.2).without(dimension).gives(Verdict::Measure);
                assert_eq!(finding.missing[0].dimension, dimension);
            }
        }
    }
}
