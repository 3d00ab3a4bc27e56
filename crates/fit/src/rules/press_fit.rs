//! Does the pressed bottom bracket hold in the shell?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, ShellThread, Slot};
use quantity::Span;

/// Most interference that leaves the bearing free.
const MOST_MM: f64 = 0.05;
/// Most that the shell may be out of round.
const OVAL_MM: f64 = 0.05;
/// A reading as coarse as this identifies a bore and judges nothing.
const COARSE_MM: f64 = 0.05;

/// The rule.
pub static RULE: Rule = Rule {
    id: "press-fit",
    title: "does the pressed bottom bracket hold in the shell?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::BottomBracket],
    cured_by: &[Slot::BottomBracket],
    heals: None,
    silent_without: &[],
    sentence: "the cups must be larger than the bore by 0 to 0.05 mm all round, and the bore round to 0.05 mm",
    long: "A bore that is too large or out of round creaks after three weeks and is pressed again for nothing; one \
           that is too tight binds the bearing. About 0.012 mm is usual, 0.05 mm has bound a bearing. So the bore is \
           taken with a bore gauge in three directions at both ends and the cups with a micrometer. A slide caliper \
           tells which bore it is and nothing more. A window printed on the leaflet wins. Carbon bores are never \
           reamed.",
    source: "builders' and riders' measurements for the 0.012 and 0.05 mm; out of round: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cups = ask.word::<ShellThread>(After, Dimension::CupThread);
    if cups.is_some_and(|cups| cups != ShellThread::Pressed) {
        return Checked::NotTouched;
    }
    let most = ask.number(After, Dimension::BoreMost);
    let least = ask.number(After, Dimension::BoreLeast);
    let cup = ask.number(After, Dimension::CupDiameter);
    let (Some(_), Some(most), Some(least), Some(cup)) = (cups, most, least, cup) else {
        return Checked::CannotTell;
    };
    let (loosest, tightest_fit, oval) = (cup - most, cup - least, most - least);
    let judged = |verdict, room| {
        Judgement::new(verdict)
            .margin(room, "mm", 3)
            .number(Number::difference("loosest", loosest, "mm", 3))
            .number(Number::difference("tightest", tightest_fit, "mm", 3))
            .number(Number::new("oval", oval, "mm", 3))
            .says("the cups are larger than the bore by {loosest} to {tightest}; the bore is out of round by {oval}")
    };
    let fit = [
        inside(loosest, Span::exact(0.0), Span::exact(MOST_MM)),
        inside(tightest_fit, Span::exact(0.0), Span::exact(MOST_MM)),
    ]
    .concat();
    let rooms = [fit.clone(), vec![-oval + OVAL_MM]].concat();
    let room = tightest(&rooms);
    if [most, least, cup].iter().any(|reading| reading.half_width() >= COARSE_MM - 1e-9) {
        ask.again();
        return judged(Verdict::Measure, room)
            .says("a slide caliper tells which bore it is; the fit is told by bore gauge and micrometer")
            .done();
    }
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = judged(verdict, room);
    match verdict {
        Verdict::Fails if loosest.middle() < 0.0 => {
            judged.says("it is loose at the widest place and will creak").done()
        }
        Verdict::Fails if tightest_fit.middle() > MOST_MM => {
            judged.says("it is so tight that the bearing binds").done()
        }
        Verdict::Fails => judged.says("the shell is out of round").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(most_mm: f64, least_mm: f64, cup_mm: f64, tolerance_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CupThread, word("pressed"))
            .found(Dimension::BoreMost, mm(most_mm, tolerance_mm))
            .found(Dimension::BoreLeast, mm(least_mm, tolerance_mm))
            .chosen(Dimension::CupDiameter, mm(cup_mm, 0.003))
    }

    #[test]
    fn a_fit_inside_the_window_works() {
        bench(41.0, 40.99, 41.02, 0.005).gives(Verdict::Works);
    }

    #[test]
    fn a_loose_a_tight_and_an_oval_shell_fail() {
        bench(41.08, 41.06, 41.02, 0.01).gives(Verdict::Fails);
        bench(40.95, 40.93, 41.02, 0.01).gives(Verdict::Fails);
        bench(41.06, 40.96, 41.02, 0.01).gives(Verdict::Fails);
    }

    #[test]
    fn a_slide_caliper_only_identifies() {
        bench(41.0, 41.0, 41.02, 0.1).gives(Verdict::Measure);
        bench(41.5, 41.5, 41.02, 0.1).gives(Verdict::Measure);
    }

    #[test]
    fn a_threaded_shell_is_not_asked() {
        assert!(
            bench(41.0, 41.0, 41.0, 0.01).chosen(Dimension::CupThread, word("1.37x24")).finding().is_none()
        );
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        let facts = [Dimension::CupThread, Dimension::BoreMost, Dimension::BoreLeast, Dimension::CupDiameter];
        for dimension in facts {
            let finding = bench(41.0, 40.99, 41.02, 0.005).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
