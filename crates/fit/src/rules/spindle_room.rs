//! Is there room for a bearing between spindle and pressed shell?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, ShellThread, Slot, Spindle};
use quantity::Span;

/// Room on each side for a bearing and its cup that last.
const ROOM_MM: f64 = 5.5;
/// How much less is a trial.
const TRIAL_MM: f64 = 0.5;
/// Room under which the bearing is thin all the same.
const THIN_MM: f64 = 6.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "spindle-room",
    title: "is there room for a bearing between spindle and pressed shell?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::BottomBracket, Slot::Crankset],
    cured_by: &[Slot::BottomBracket],
    heals: None,
    silent_without: &[Dimension::CupThread],
    sentence: "bore less spindle leaves 5.5 mm on each side for bearing and cup",
    long: "A small spindle in a large shell can be bridged by cups; a large spindle in a small shell cannot. Half the \
           difference of bore and spindle is what bearing and cup share: 6.5 mm for a 24 mm spindle in 37 mm, 3.5 mm \
           for 30 mm in 37 mm. The bore is that for which the unit is made. A spindle of 30 mm in a bore of 41 mm has \
           5.5 mm: it is sold, and it is reported to be short-lived. Spindles that a cartridge brings with it are \
           not asked.",
    source: "arithmetic on the bores and spindles of the trade; 5.5 mm: builders' tables",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cups = ask.known_word::<ShellThread>(After, Dimension::CupThread);
    if cups != Some(ShellThread::Pressed) {
        return Checked::NotTouched;
    }
    let spindle = ask.word::<Spindle>(After, Dimension::CrankSpindle);
    if spindle.is_some_and(|spindle| diameter_mm(spindle).is_none()) {
        return Checked::NotTouched;
    }
    let bore = ask.number(After, Dimension::PressBore);
    let (Some(spindle), Some(bore)) = (spindle.and_then(diameter_mm), bore) else {
        return Checked::CannotTell;
    };
    let room = (bore - spindle) * 0.5;
    let verdict = ask.bands(room - ROOM_MM, &[(0.0, Verdict::Works), (-TRIAL_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(room - ROOM_MM, "mm", 1)
        .number(Number::new("bore", bore, "mm", 2))
        .number(Number::new("spindle", Span::exact(spindle), "mm", 2))
        .number(Number::new("room", room, "mm", 1))
        .says("a spindle of {spindle} in a bore of {bore} leaves {room} on each side");
    match verdict {
        Verdict::Fails => judged.says("no bearing that lasts goes between them").done(),
        _ if room.middle() < THIN_MM => {
            judged.says("the bearing is thin: such sets are sold and reported short-lived").done()
        }
        _ => judged.done(),
    }
}

/// Diameter of a through spindle; none for those that come with the cartridge.
fn diameter_mm(spindle: Spindle) -> Option<f64> {
    match spindle {
        Spindle::Through24 => Some(24.0),
        Spindle::Through29 => Some(28.99),
        Spindle::Through30 => Some(30.0),
        Spindle::SquareTaperJis | Spindle::SquareTaperIso | Spindle::EightSpline => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(bore_mm: f64, spindle: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CupThread, word("pressed"))
            .chosen(Dimension::PressBore, mm(bore_mm, 0.0))
            .found(Dimension::CrankSpindle, word(spindle))
    }

    /// The table of rooms: bores 37, 41, 41.96, 46 by spindles 24, 28.99, 30 (arithmetic on trade sizes).
    #[test]
    fn the_table_of_rooms() {
        for (bore_mm, spindle, room_mm, verdict) in [
            (37.0, "24-through", 6.5, Verdict::Works),
            (37.0, "29-through", 4.0, Verdict::Fails),
            (37.0, "30-through", 3.5, Verdict::Fails),
            (41.0, "24-through", 8.5, Verdict::Works),
            (41.0, "29-through", 6.0, Verdict::Works),
            (41.0, "30-through", 5.5, Verdict::Works),
            (41.96, "30-through", 6.0, Verdict::Works),
            (46.0, "30-through", 8.0, Verdict::Works),
        ] {
            let finding = bench(bore_mm, spindle).gives(verdict);
            assert!((finding.number("room").unwrap().value - room_mm).abs() < 0.03, "{bore_mm} {spindle}");
        }
    }

    #[test]
    fn a_thin_bearing_is_told() {
        let finding = bench(41.0, "30-through").gives(Verdict::Works);
        assert!(finding.steps.iter().any(|step| step.contains("short-lived")));
        bench(40.4, "30-through").gives(Verdict::Marginal);
    }

    #[test]
    fn threaded_shells_and_cartridges_are_not_asked() {
        assert!(bench(41.0, "square-taper-jis").finding().is_none());
        assert!(bench(41.0, "30-through").chosen(Dimension::CupThread, word("47x1")).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::PressBore, Dimension::CrankSpindle] {
            let finding = bench(41.0, "24-through").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
