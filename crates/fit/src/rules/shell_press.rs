//! Is the shell one that this bottom bracket is pressed into?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{Dimension, ShellInside, ShellThread, Slot};

/// How far a bore may be off its family.
const SAME_MM: f64 = 0.3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "shell-press",
    title: "is the shell one that this bottom bracket is pressed into?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::BottomBracket],
    cured_by: &[Slot::BottomBracket],
    heals: None,
    silent_without: &[Dimension::ShellInside],
    sentence: "a unit to press in wants a smooth shell of its own bore: 37, 41, 41.96 or 46 mm",
    long: "Pressed shells come with bores of 37, 41, 41.96 and 46 mm, and a unit for one of them drops through or \
           bursts the next. Within 0.3 mm it is the same family; whether it holds is another question. A bore of 46 mm \
           is also that of a 47x1 thread, so the eye decides: smooth or threaded. What is pressed into a thread \
           ruins it, and cups to screw in have nothing to hold on in a smooth shell.",
    source: "measuring pages and builders' tables of pressed shells, agreeing; 0.3 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(cups) = ask.word::<ShellThread>(After, Dimension::CupThread) else { return Checked::CannotTell };
    if cups != ShellThread::Pressed {
        return match ask.known_word::<ShellInside>(After, Dimension::ShellInside) {
            Some(ShellInside::Smooth) => Judgement::new(Verdict::Fails)
                .says("the shell is smooth: cups to screw in have nothing to hold on")
                .done(),
            _ => Checked::NotTouched,
        };
    }
    let made_for = ask.number(After, Dimension::PressBore);
    let bore = ask.number(After, Dimension::ShellBore);
    let shell = ask.word::<ShellInside>(After, Dimension::ShellInside);
    let (Some(made_for), Some(bore), Some(shell)) = (made_for, bore, shell) else {
        return Checked::CannotTell;
    };
    let rooms = either_way(bore - made_for, SAME_MM);
    let by_bore = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = |verdict| {
        Judgement::new(verdict)
            .number(Number::new("bore", bore, "mm", 1))
            .number(Number::new("made_for", made_for, "mm", 2))
            .says("the shell has a bore of {bore}; the unit is made for {made_for}")
    };
    if shell == ShellInside::Threaded {
        return judged(Verdict::Fails).says("the shell has a thread: nothing is pressed into it").done();
    }
    match by_bore {
        Verdict::Fails => {
            judged(Verdict::Fails).margin(tightest(&rooms), "mm", 1).says("that is another bore").done()
        }
        verdict => judged(verdict).margin(tightest(&rooms), "mm", 1).done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(bore_mm: f64, made_for_mm: f64, inside: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CupThread, word("pressed"))
            .chosen(Dimension::PressBore, mm(made_for_mm, 0.0))
            .found(Dimension::ShellBore, mm(bore_mm, 0.1))
            .found(Dimension::ShellInside, word(inside))
    }

    #[test]
    fn each_family_takes_its_own_unit() {
        for bore_mm in [37.0, 41.0, 41.96, 46.0] {
            bench(bore_mm, bore_mm, "smooth").gives(Verdict::Works);
        }
    }

    #[test]
    fn a_unit_of_another_family_fails() {
        bench(41.0, 41.96, "smooth").gives(Verdict::Fails);
        bench(46.0, 41.0, "smooth").gives(Verdict::Fails);
    }

    #[test]
    fn a_thread_and_a_pressed_unit_do_not_go_together() {
        bench(46.0, 46.0, "threaded").gives(Verdict::Fails);
        let screwed = bench(46.0, 46.0, "smooth").chosen(Dimension::CupThread, word("47x1"));
        screwed.clone().gives(Verdict::Fails);
        assert!(screwed.found(Dimension::ShellInside, word("threaded")).finding().is_none());
    }

    #[test]
    fn a_bore_between_two_families_is_taken_again() {
        bench(41.3, 41.0, "smooth").gives(Verdict::Measure);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::PressBore, Dimension::ShellBore, Dimension::ShellInside] {
            let finding = bench(41.0, 41.0, "smooth").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
