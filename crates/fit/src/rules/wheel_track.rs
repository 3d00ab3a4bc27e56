//! Do both wheels run in one line?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::Dimension;

/// Difference that leaves the frame in line.
const GOOD_MM: f64 = 2.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "wheel-track",
    title: "is the rear of the frame in line with the front?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Function,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::StringDifference],
    sentence: "in the string test left and right differ by 2 mm at most",
    long: "A string from one dropout round the head tube to the other passes the seat tube at the same distance on both \
           sides of a frame that is in line. Up to 2 mm is straight; 2 to 3 mm is argued about. Out of line, chainline \
           and front derailleur are blamed for what the frame does: it is written down before the work.",
    source: "string test of the workshop crib sheets; 2 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(difference) = ask.known_number(Before, Dimension::StringDifference) else {
        return Checked::NotTouched;
    };
    let room = -difference + GOOD_MM;
    let verdict = ask.bands(room, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 1)
        .number(Number::new("difference", difference, "mm", 1))
        .says("in the string test left and right differ by {difference}");
    match verdict {
        Verdict::Marginal => judged
            .says("the rear of the frame is out of line: chainline and shifting suffer, and the new parts are not to blame")
            .done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(difference_mm: f64) -> Bench {
        Bench::of(&RULE).found(Dimension::StringDifference, mm(difference_mm, 0.5))
    }

    #[test]
    fn a_frame_in_line_is_in_line() {
        bench(1.0).gives(Verdict::Works);
    }

    #[test]
    fn one_that_is_not_is_said() {
        bench(5.0).gives(Verdict::Marginal);
    }

    #[test]
    fn near_the_limit_it_is_measured_again_and_unmeasured_it_is_silent() {
        bench(2.0).gives(Verdict::Measure);
        assert!(bench(1.0).without(Dimension::StringDifference).finding().is_none());
    }
}
