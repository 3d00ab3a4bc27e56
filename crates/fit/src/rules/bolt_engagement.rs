//! Is enough thread of the caliper bolt in its sleeve nut?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use catalog::{CaliperBolt, Dimension, Slot};
use mechanics::thread_engagement::{ThreadIn, engagement, needed, turns};
use quantity::{Length, Span};

/// Diameter and pitch of the bolt of a caliper, M6.
const BOLT_MM: (f64, f64) = (6.0, 1.0);

/// The rule.
pub static RULE: Rule = Rule {
    id: "bolt-engagement",
    title: "is enough thread of the front caliper bolt in its sleeve nut?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Calipers],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[Dimension::CrownDepth],
    sentence: "bolt and sleeve nut must share at least 6 mm of thread in the crown: six turns of M6",
    long: "The bolt reaches into the crown from the front, the sleeve nut from its seat at the back. What they share \
           is bolt and nut less the way from the front face to that seat, which is the depth of the crown less its \
           counterbore; more than the whole nut is never shared. A steel thread wants one diameter, 6 mm. Sleeve nuts \
           come in steps, and a longer one cures what is missing. The rule speaks only where somebody looked at the \
           depth of the crown, which is a thick one then; everywhere else, and at the thin rear bridge, the turns \
           are counted when the bolt goes in.",
    source: "geometry; 5.5 to 6 turns measured and 6 mm asked for on two workshop pages; one diameter in steel: rule of thumb from memory",
    caution: Some(Warning::Technician(
        "count the turns of both caliper bolts as they go in: fewer than six, and the brake is not used",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, After, Dimension::CrownDepth) {
        return Checked::NotTouched;
    }
    match ask.word::<CaliperBolt>(After, Dimension::CaliperBolt) {
        Some(CaliperBolt::Recessed) => {}
        Some(CaliperBolt::Nutted) => return Checked::NotTouched,
        None => return Checked::CannotTell,
    }
    let depth = ask.number(After, Dimension::CrownDepth);
    let counterbore = ask.number(After, Dimension::Counterbore);
    let nut = ask.number(After, Dimension::NutLength);
    let bolt = ask.number(After, Dimension::BoltReach);
    let (Some(depth), Some(counterbore), Some(nut), Some(bolt)) = (depth, counterbore, nut, bolt) else {
        return Checked::CannotTell;
    };
    let law = |bolt_mm: f64, nut_mm: f64, depth_mm: f64, bore_mm: f64| {
        let mm = Length::mm;
        engagement(mm(bolt_mm), mm(nut_mm), mm(depth_mm), mm(bore_mm)).to_mm()
    };
    let shared = Span::hull(&[bolt, nut, depth, counterbore], |x| match x {
        [bolt_mm, nut_mm, depth_mm, bore_mm] => law(*bolt_mm, *nut_mm, *depth_mm, *bore_mm),
        _ => f64::NAN,
    });
    let (bolt_mm, pitch_mm) = BOLT_MM;
    let least_mm = needed(Length::mm(bolt_mm), ThreadIn::Steel).to_mm();
    let margin = shared - Span::exact(least_mm);
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works)]);
    let in_turns = shared.map_monotone(|mm| turns(Length::mm(mm), Length::mm(pitch_mm)));
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 1)
        .number(Number::new("shared", shared, "mm", 1))
        .number(Number::new("turns", in_turns, "", 1))
        .says("bolt and sleeve nut share {shared} of thread: {turns} turns");
    if verdict == Verdict::Fails {
        return judged
            .says("the bolt pulls out under the brake")
            .cure(Cure::by(Act::Work("fit a longer sleeve nut and measure again"), Verdict::Works))
            .done();
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(depth_mm: f64, nut_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CaliperBolt, word("recessed"))
            .chosen(Dimension::BoltReach, mm(18.0, 0.2))
            .chosen(Dimension::NutLength, mm(nut_mm, 0.2))
            .found(Dimension::CrownDepth, mm(depth_mm, 0.5))
            .found(Dimension::Counterbore, mm(4.0, 0.5))
    }

    #[test]
    fn a_nut_that_meets_the_bolt_over_eight_turns_works() {
        let finding = bench(32.0, 18.0).gives(Verdict::Works);
        assert!((finding.number("turns").unwrap().value - 8.0).abs() < 1e-9);
    }

    #[test]
    fn a_thick_crown_needs_a_longer_nut() {
        let finding = bench(38.0, 18.0).gives(Verdict::Fails);
        assert_eq!(finding.cures.len(), 1);
        bench(38.0, 25.0).gives(Verdict::Works);
    }

    #[test]
    fn a_depth_rod_that_cannot_tell_is_used_again() {
        bench(34.0, 18.0).gives(Verdict::Measure);
    }

    #[test]
    fn nothing_is_said_of_a_crown_that_nobody_doubted_or_of_an_outside_nut() {
        assert!(bench(32.0, 18.0).without(Dimension::CrownDepth).finding().is_none());
        assert!(bench(32.0, 18.0).chosen(Dimension::CaliperBolt, word("nutted")).finding().is_none());
    }

    #[test]
    fn without_the_rest_nothing_can_be_told() {
        for dimension in
            [Dimension::CaliperBolt, Dimension::Counterbore, Dimension::NutLength, Dimension::BoltReach]
        {
            let finding = bench(32.0, 18.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
