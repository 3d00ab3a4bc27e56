//! Does the seatpost move?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Loosening, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "post-moves",
    title: "does the seatpost move?",
    coupling: Coupling::Record,
    hazard: Hazard::Damage,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "a seatpost that does not move is known before the bike goes into the stand, and freeing it is a line of its own",
    long: "The stand clamps the post, and cranks of another length move the saddle. A stuck post makes both \
           impossible: the frame is held another way, the saddle stays where it is, and freeing the post may cost \
           an hour or the post. The rule speaks where somebody tried, and asks where the post is to come out.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let comes_out = ask.build.changes(Slot::Seatpost);
    let word = if comes_out {
        ask.word::<Loosening>(Before, Dimension::PostMoves)
    } else {
        ask.known_word::<Loosening>(Before, Dimension::PostMoves)
    };
    match word {
        None if comes_out => Checked::CannotTell,
        None => Checked::NotTouched,
        Some(Loosening::Moved) => Judgement::new(Verdict::Works).says("the seatpost moves").done(),
        Some(Loosening::NotMoved) => {
            let judged = Judgement::new(Verdict::Marginal).says(
                "the seatpost is stuck: nothing clamps it in the stand, and the saddle stays where it is",
            );
            if comes_out {
                judged.says("freeing it is a line of its own on the estimate, before approval").done()
            } else {
                judged.says("freeing it is a line of its own on the estimate, or declined").done()
            }
        }
        Some(Loosening::NotTried) if comes_out || ask.build.changes(Slot::Crankset) => {
            ask.recount(Before, Dimension::PostMoves);
            Judgement::new(Verdict::Measure).says("nobody has tried the seatpost").done()
        }
        Some(Loosening::NotTried) => Checked::NotTouched,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn tried(word_: &'static str) -> Bench {
        Bench::of(&RULE).found(Dimension::PostMoves, word(word_))
    }

    #[test]
    fn a_post_that_moves_works() {
        tried("moved").gives(Verdict::Works);
    }

    #[test]
    fn a_stuck_post_is_told_even_if_it_stays() {
        tried("not-moved").gives(Verdict::Marginal);
    }

    #[test]
    fn a_post_that_shall_come_out_is_tried() {
        let new = |bench: Bench| bench.chosen(Dimension::PostDiameter, mm(27.2, 0.0));
        new(Bench::of(&RULE)).gives(Verdict::Measure);
        new(tried("not-tried")).gives(Verdict::Measure);
        new(tried("moved")).gives(Verdict::Works);
    }

    #[test]
    fn an_untried_post_that_stays_says_nothing() {
        assert!(tried("not-tried").finding().is_none());
        assert!(Bench::of(&RULE).finding().is_none());
    }
}
