//! How long do the new pieces of housing from the levers become?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{is_known_hydraulic, spoken_of};
use catalog::{Dimension, Slot};
use mechanics::housing::new_length;
use quantity::{Length, Span};

/// The rule.
pub static RULE: Rule = Rule {
    id: "housing-length",
    title: "how long do the new pieces of housing from the levers become?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Cables],
    cured_by: &[],
    heals: None,
    silent_without: &[Dimension::OldBrakePiece, Dimension::OldShiftPiece],
    sentence: "the new piece is the old one, longer by what bar reach and stem grow and by half of what the bar grows in width",
    long: "The old pieces, laid straight on a board, say how long the new ones must be. A new bar changes them by its \
           reach and by half its width, a new stem by its length. Where the housing leaves a new lever, and detours \
           inside a bar, are not in it: a string along the new path has the last word, and the bar turned to both \
           locks before anything is cut. The rule speaks only where an old piece was laid on the board.",
    source: "geometry of the path; how close it comes was not found in print",
    caution: Some(Warning::Technician(
        "a piece that is too short steers the bike or pulls the brake: turn the bar to both full locks, at least 60° each way, before it is cut and after",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // A hose has no old piece of housing: its length is the string's and the cut list's.
    let hoses = is_known_hydraulic(ask.build);
    let (brake, shift) = (Dimension::OldBrakePiece, Dimension::OldShiftPiece);
    if !spoken_of(ask, Before, shift) && (hoses || !spoken_of(ask, Before, brake)) {
        return Checked::NotTouched;
    }
    let brake = if hoses { None } else { Some(ask.number(Before, brake)) };
    let shift = ask.number(Before, shift);
    let (bar, stem) = (ask.build.changes(Slot::Bar), ask.build.changes(Slot::Stem));
    let reach = change(ask, bar, Dimension::BarReach);
    let width = change(ask, bar, Dimension::BarWidth);
    let stem = change(ask, stem, Dimension::StemLength);
    let (Some(shift), Some(reach), Some(width), Some(stem)) = (shift, reach, width, stem) else {
        return Checked::CannotTell;
    };
    let new = |old: Span| {
        Span::hull(&[old, reach, stem, width], |x| match x {
            [old_mm, reach_mm, stem_mm, width_mm] => {
                let mm = Length::mm;
                new_length(mm(*old_mm), mm(*reach_mm), mm(*stem_mm), mm(*width_mm)).to_mm()
            }
            _ => f64::NAN,
        })
    };
    let new_shift = new(shift);
    let judged = Judgement::new(Verdict::Works).number(Number::new("shift", new_shift, "mm", 0)).number(
        Number::difference("change", new_shift - shift, "mm", 0).at(new_shift.middle() - shift.middle()),
    );
    let judged = match brake {
        Some(None) => return Checked::CannotTell,
        Some(Some(brake)) => judged
            .number(Number::new("brake", new(brake), "mm", 0))
            .says("from the levers: brake housing {brake}, shift housing {shift}, that is {change}"),
        None => judged.says("from the levers: shift housing {shift}, that is {change}; hoses by the string"),
    };
    if ask.build.changes(Slot::Levers) {
        return judged
            .says("where the housing leaves the new lever is not in it: string first, both locks, then cut")
            .done();
    }
    judged.says("string first, both locks, then cut").done()
}

/// What a dimension of a part grows by; nothing where the part stays.
pub(crate) fn change(ask: &mut Ask<'_>, changes: bool, dimension: Dimension) -> Option<Span> {
    if !changes {
        return Some(Span::exact(0.0));
    }
    let old = ask.number(Before, dimension);
    let new = ask.number(After, dimension);
    Some(new? - old?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench() -> Bench {
        Bench::of(&RULE)
            .found(Dimension::OldBrakePiece, mm(620.0, 5.0))
            .found(Dimension::OldShiftPiece, mm(560.0, 5.0))
            .found(Dimension::BarReach, mm(92.0, 2.0))
            .chosen(Dimension::BarReach, mm(78.0, 0.0))
            .found(Dimension::BarWidth, mm(420.0, 2.0))
            .chosen(Dimension::BarWidth, mm(400.0, 0.0))
    }

    #[test]
    fn a_bar_with_14_less_reach_and_20_less_width_takes_24_less_housing() {
        let finding = bench().gives(Verdict::Works);
        assert!((finding.number("change").unwrap().value + 24.0).abs() < 1e-9);
        assert!((finding.number("brake").unwrap().value - 596.0).abs() < 1e-9);
    }

    #[test]
    fn a_longer_stem_takes_as_much_more() {
        let finding = Bench::of(&RULE)
            .found(Dimension::OldBrakePiece, mm(620.0, 5.0))
            .found(Dimension::OldShiftPiece, mm(560.0, 5.0))
            .found(Dimension::StemLength, mm(100.0, 2.0))
            .chosen(Dimension::StemLength, mm(120.0, 0.0))
            .gives(Verdict::Works);
        assert!((finding.number("shift").unwrap().value - 580.0).abs() < 1e-9);
    }

    #[test]
    fn a_hose_asks_for_no_old_piece_of_housing() {
        let hoses = bench().chosen(Dimension::LeverFluid, crate::bench::word("mineral"));
        let finding = hoses.clone().without(Dimension::OldBrakePiece).gives(Verdict::Works);
        assert!(finding.number("brake").is_none());
        assert!(hoses.without(Dimension::OldShiftPiece).finding().is_none());
    }

    #[test]
    fn nothing_is_said_where_no_piece_was_laid_on_the_board() {
        let bike = bench().without(Dimension::OldBrakePiece);
        bike.clone().gives(Verdict::Measure);
        assert!(bike.without(Dimension::OldShiftPiece).finding().is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::BarReach, Dimension::BarWidth, Dimension::OldShiftPiece] {
            bench().without(dimension).gives(Verdict::Measure);
        }
    }
}
