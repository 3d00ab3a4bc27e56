//! Does the width of the shell agree with the hand of its thread?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{CupHand, Dimension, Value, Word};
use quantity::Span;

/// A shell this near to 70 mm is one of 70 mm.
const NEAR_MM: f64 = 0.8;

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-shell",
    title: "does the shell width agree with the hand of the drive-side cup?",
    coupling: Coupling::Record,
    hazard: Hazard::Damage,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "a 70 mm shell has right-hand threads on both sides; a 68 mm shell with a right-hand drive side is 35 x 1, not 1.37 x 24",
    long: "Bore cannot tell 1.37 in x 24 from 35 mm x 1; the way the drive-side cup turns and a thread gauge can. \
           A width and a hand that do not go together mean that one of them was mis-read, and a wrong cup that is \
           forced costs the frame. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "shell table of the trade, `standards::shell_thread`",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let width = ask.known_number(Before, Dimension::ShellWidth);
    let hand = match ask.known(Before, Dimension::DriveCup) {
        Some(Value::Word(noted)) => CupHand::read(noted.value),
        _ => None,
    };
    let (Some(width), Some(hand)) = (width, hand) else { return Checked::NotTouched };
    let near = |mm: f64| (width.middle() - mm).abs() <= NEAR_MM;
    let doubt = match hand {
        CupHand::Left if near(70.0) => {
            Some("a 70 mm shell has right-hand threads on both sides: width or hand was mis-read")
        }
        CupHand::Right if near(68.0) => Some(
            "68 mm with a right-hand drive side is 35 x 1 and not 1.37 x 24: use the thread gauge, 1.00 against 1.06 mm",
        ),
        _ => None,
    };
    if doubt.is_some() {
        ask.recount(Before, Dimension::ShellWidth);
        ask.recount(Before, Dimension::DriveCup);
    }
    let judged = Judgement::new(if doubt.is_some() { Verdict::Measure } else { Verdict::Works })
        .number(Number::new("width", Span::exact(width.middle()), "mm", 1))
        .says("the shell is {width} wide");
    match doubt {
        Some(doubt) => judged.says(doubt).done(),
        None => judged.says("width and hand go together").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(width_mm: f64, hand: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::ShellWidth, mm(width_mm, 0.3))
            .found(Dimension::DriveCup, word(hand))
    }

    #[test]
    fn width_and_hand_that_go_together_are_believed() {
        bench(68.1, "left-hand").gives(Verdict::Works);
        bench(70.0, "right-hand").gives(Verdict::Works);
    }

    #[test]
    fn width_and_hand_that_do_not_are_doubted() {
        bench(70.1, "left-hand").gives(Verdict::Measure);
        bench(68.0, "right-hand").gives(Verdict::Measure);
    }

    #[test]
    fn an_untried_cup_checks_nothing() {
        assert!(bench(68.1, "left-hand").without(Dimension::DriveCup).finding().is_none());
    }
}
