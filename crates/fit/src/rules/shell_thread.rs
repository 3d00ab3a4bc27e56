//! Do the cups of the bottom bracket go into the thread of the shell?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{CupHand, Dimension, ShellThread, Slot};
use mechanics::shell::{self, candidates};
use quantity::{Length, Span};

/// How far outside the bores of the standards a shell in practice may be read.
const READ_MM: f64 = 0.25;

/// The rule.
pub static RULE: Rule = Rule {
    id: "shell-thread",
    title: "do the cups of the bottom bracket go into the thread of the shell?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::BottomBracket],
    cured_by: &[Slot::BottomBracket],
    heals: None,
    silent_without: &[],
    sentence: "thread of the cups and thread of the shell must be the same; the bore and the hand of the drive-side cup tell which it is",
    long: "A cup of another thread drops in loose or cuts the shell. The bore tells 36x24 and 47x1 from the rest, but \
           1.37x24 and 35x1 have bores 0.27 mm apart while taps run 0.3 mm over: no caliper tells them apart. The \
           hand of the drive-side cup does: 1.37x24 is left-hand, 35x1 and 36x24 are right-hand. So both are asked, \
           always. For 47x1 two hands are told of and the bore alone decides. Bores are believed from 0.25 mm below \
           the smallest to 0.25 mm above the largest that the thread allows, as tables of real shells have them. \
           Old threads that look like these are found with a thread gauge only: turn the first two turns by hand.",
    source: "basic profile of ISO 68-1 for the bores; hands of thread and the 0.25 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cups = ask.word::<ShellThread>(After, Dimension::CupThread);
    if cups == Some(ShellThread::Pressed) {
        // A unit to press in has no thread; `shell-press` and `press-fit` judge it.
        return Checked::NotTouched;
    }
    let bore = ask.number(After, Dimension::ShellBore);
    let hand = ask.word::<CupHand>(After, Dimension::DriveCup);
    let (Some(cups), Some(bore), Some(hand)) = (cups, bore, hand) else { return Checked::CannotTell };
    let judged = |verdict| Judgement::new(verdict).number(Number::new("bore", bore, "mm", 2));
    let Some(by_bore) = threads_of(bore) else {
        ask.again();
        return judged(Verdict::Measure).says("a bore of {bore} may belong to more than one thread").done();
    };
    if by_bore.is_empty() {
        return judged(Verdict::Fails)
            .says("a bore of {bore} is that of none of the threads that cups are made for")
            .done();
    }
    let both: Vec<ShellThread> = by_bore.into_iter().filter(|thread| goes_with(*thread, hand)).collect();
    if both.is_empty() {
        // One of the two readings is wrong, and neither of them says which.
        ask.again();
        return judged(Verdict::Measure)
            .says(
                "a bore of {bore} and the hand of the drive-side cup contradict each other: take both again",
            )
            .done();
    }
    if !both.contains(&cups) {
        return judged(Verdict::Fails)
            .says("bore {bore} and hand of the drive-side cup belong to another thread")
            .done();
    }
    if both.len() > 1 {
        return judged(Verdict::Measure).says("a thread gauge has to tell which of the threads it is").done();
    }
    judged(Verdict::Works).says("bore {bore} and hand of the drive-side cup are those of the cups").done()
}

/// The threads that every bore of the interval allows; `None` if different ends of it allow different threads.
fn threads_of(bore: Span) -> Option<Vec<ShellThread>> {
    let at =
        |bore_mm: f64, tolerance_mm: f64| candidates(Length::mm(bore_mm), Length::mm(tolerance_mm + READ_MM));
    let (least, most) = (at(bore.least(), 0.0), at(bore.most(), 0.0));
    // The bores of a thread are one stretch: where both ends allow it, all between do. What only the middle
    // allows is in the third list.
    let all = at(bore.middle(), bore.half_width());
    (least == most && least == all).then(|| all.into_iter().map(word).collect())
}

fn word(thread: shell::ShellThread) -> ShellThread {
    match thread {
        shell::ShellThread::Inch137x24 => ShellThread::Inch137,
        shell::ShellThread::Metric35x1 => ShellThread::Mm35,
        shell::ShellThread::Mixed36x24 => ShellThread::Mm36,
        shell::ShellThread::Metric47x1 => ShellThread::Mm47,
    }
}

fn goes_with(thread: ShellThread, hand: CupHand) -> bool {
    match thread {
        ShellThread::Inch137 => hand == CupHand::Left,
        ShellThread::Mm36 | ShellThread::Mm35 => hand == CupHand::Right,
        ShellThread::Mm47 => true,
        ShellThread::Pressed => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(cups: &'static str, bore_mm: f64, hand: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CupThread, word(cups))
            .found(Dimension::ShellBore, mm(bore_mm, 0.1))
            .found(Dimension::DriveCup, word(hand))
    }

    #[test]
    fn each_thread_goes_into_its_own_shell() {
        bench("1.37x24", 33.7, "left-hand").gives(Verdict::Works);
        bench("35x1", 33.9, "right-hand").gives(Verdict::Works);
        bench("36x24", 34.9, "right-hand").gives(Verdict::Works);
        bench("47x1", 46.0, "left-hand").gives(Verdict::Works);
        bench("47x1", 46.0, "right-hand").gives(Verdict::Works);
    }

    #[test]
    fn the_hand_tells_what_the_bore_cannot() {
        bench("1.37x24", 33.7, "right-hand").gives(Verdict::Fails);
        bench("35x1", 33.7, "left-hand").gives(Verdict::Fails);
    }

    #[test]
    fn a_small_cup_drops_into_the_larger_shell_and_fails() {
        bench("35x1", 34.9, "right-hand").gives(Verdict::Fails);
        bench("36x24", 33.8, "right-hand").gives(Verdict::Fails);
    }

    #[test]
    fn a_bore_that_the_hand_contradicts_is_taken_again() {
        let finding = bench("1.37x24", 34.9, "left-hand").gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::ShellBore);
    }

    #[test]
    fn a_bore_between_two_threads_is_taken_again() {
        bench("36x24", 34.5, "right-hand").gives(Verdict::Measure);
    }

    #[test]
    fn a_unit_to_press_in_has_no_thread_to_judge() {
        assert!(bench("pressed", 46.0, "left-hand").finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::CupThread, Dimension::ShellBore, Dimension::DriveCup] {
            let finding = bench("1.37x24", 33.7, "left-hand").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
