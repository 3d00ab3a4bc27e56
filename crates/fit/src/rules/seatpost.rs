//! Does the seatpost fit the seat tube?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::room::{either_way, inside, judge, tightest};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Most by which the post may be smaller than the bore: the step in which posts are made.
const PLAY_MM: f64 = 0.2;

/// Full-depth shims of the trade: bore, post, small part.
const SHIMS: &[(f64, f64, &str)] =
    &[(30.9, 27.2, "post-shim-30.9-27.2"), (31.6, 27.2, "post-shim-31.6-27.2")];

/// The rule.
pub static RULE: Rule = Rule {
    id: "seatpost",
    title: "does the seatpost fit the seat tube?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Seatpost],
    cured_by: &[Slot::Seatpost],
    heals: None,
    silent_without: &[],
    sentence: "the seatpost is as large as the bore or up to 0.2 mm smaller; a full-depth shim of the trade may fill a larger step",
    long: "Posts come in steps of 0.2 mm. One that is larger than the bore splits the tube; one that is more than a \
           step smaller slips, pinches the slot and cracks the frame there. Two shims of the trade bring a 27.2 mm \
           post into bores of 30.9 and 31.6 mm, at full depth only. Carbon is not reamed to fit.",
    source: "workshop crib sheets and frame tables for the steps; 0.2 mm: common practice",
    caution: Some(Warning::Technician(
        "carbon post or tube: paste instead of grease, the printed torque, no reaming; a post that slips is not clamped harder",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let (bore, post) = (ask.number(After, Dimension::PostBore), ask.number(After, Dimension::PostDiameter));
    let (Some(bore), Some(post)) = (bore, post) else { return Checked::CannotTell };
    let play = bore - post;
    let rooms = inside(play, Span::exact(0.0), Span::exact(PLAY_MM));
    let judged = |verdict, room| {
        Judgement::new(verdict)
            .margin(room, "mm", 2)
            .number(Number::new("bore", bore, "mm", 2))
            .number(Number::new("post", post, "mm", 2))
            .number(Number::difference("play", play, "mm", 2))
            .says("the bore is {bore}, the post {post}")
    };
    match judge(ask, &rooms, &[(0.0, Verdict::Works)]) {
        Verdict::Fails => {}
        verdict => return judged(verdict, tightest(&rooms)).done(),
    }
    if play.middle() < 0.0 {
        return judged(Verdict::Fails, tightest(&rooms)).says("the post is larger than the bore").done();
    }
    let mut unsure = false;
    for (shim_bore, shim_post, part) in SHIMS {
        let shim = [either_way(bore - *shim_bore, PLAY_MM), either_way(post - *shim_post, PLAY_MM)].concat();
        match judge(ask, &shim, &[(0.0, Verdict::Works)]) {
            Verdict::Works => {
                return judged(Verdict::Fails, tightest(&shim))
                    .says("a full-depth shim fills the step")
                    .remedy(Verdict::Fails, Cure::by(Act::Small(part), Verdict::Works))
                    .done();
            }
            Verdict::Measure => unsure = true,
            _ => {}
        }
    }
    if unsure {
        return judged(Verdict::Measure, tightest(&rooms)).says("a shim may fill the step").done();
    }
    judged(Verdict::Fails, tightest(&rooms))
        .says("the post is too small by {play}: it slips and pinches the slot")
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(bore_mm: f64, post_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::PostBore, mm(bore_mm, 0.05))
            .chosen(Dimension::PostDiameter, mm(post_mm, 0.0))
    }

    #[test]
    fn a_post_a_little_smaller_than_the_bore_works() {
        bench(27.3, 27.2).gives(Verdict::Works);
    }

    #[test]
    fn a_larger_post_and_one_too_small_fail() {
        bench(27.0, 27.2).gives(Verdict::Fails);
        bench(27.3, 26.8).gives(Verdict::Fails);
    }

    #[test]
    fn a_shim_of_the_trade_fills_its_step() {
        let finding = bench(31.65, 27.2).gives(Verdict::Remedy);
        assert_eq!(finding.cures[0].acts, [Act::Small("post-shim-31.6-27.2")]);
    }

    #[test]
    fn a_bore_at_the_limit_or_unknown_is_measured() {
        bench(27.2, 27.2).gives(Verdict::Measure);
        for dimension in [Dimension::PostBore, Dimension::PostDiameter] {
            let finding = bench(27.3, 27.2).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
