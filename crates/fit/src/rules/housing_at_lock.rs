//! Does the brake housing or hose reach its stop at both full locks?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::geometry::cut_list::loops::{BRAKE_LOOP, LEAST_SLACK, is_looked_at, steering};
use crate::geometry::cut_list::{grown, growth};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::brake_line::is_known_hydraulic;
use catalog::{Dimension, Slot};
use quantity::Span;

/// The rule.
pub static RULE: Rule = Rule {
    id: "housing-at-lock",
    title: "does the brake housing or hose reach its stop at both full locks?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Bar, Slot::Stem, Slot::Levers, Slot::Cables],
    cured_by: &[],
    heals: None,
    silent_without: &BRAKE_LOOP,
    sentence: "the loop from the bar to the frame must be longer than the widest way between its ends at either full lock, by 5 mm at least",
    long: "The end at the bar turns about the steering axis, and at one of the two full locks it stands furthest from \
           the stop. A loop shorter than that way pulls the brake, or steers the bike, before the bar meets its stop: \
           that fails. Up to 5 mm longer it lies straight, and bends sharply at its ends: that is marginal. The loop \
           of a housing is the piece to be cut less its way along the bar; the loop of a hose is the string along the \
           whole way less what lies fast. How tight it bends is told in the cut list. The rule speaks only where the \
           ends of the loop were measured from the steering axis.",
    source: "cosine rule about the steering axis; 5 mm: common practice, with no published source",
    caution: Some(
        "turn the bar to both full locks before housing or hose is cut and after it is in: nothing may pull, and no brake may bite",
    ),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !is_looked_at(ask, BRAKE_LOOP) {
        return Checked::NotTouched;
    }
    if is_known_hydraulic(ask.build) {
        let whole = ask.number(Before, Dimension::RearBrakeHousing);
        let fixed = ask.number(Before, Dimension::RearHoseFixed);
        let loop_length = whole.zip(fixed).map(|(whole, fixed)| whole - fixed);
        return at_locks(
            ask,
            BRAKE_LOOP,
            loop_length,
            "the brake hose has a loop of {loop} by the string; at full lock its ends stand {gap} apart",
        );
    }
    let loop_length = loop_of_piece(ask, Dimension::OldBrakePiece);
    at_locks(
        ask,
        BRAKE_LOOP,
        loop_length,
        "the brake housing has a loop of {loop}; at full lock its ends stand {gap} apart",
    )
}

/// What of the piece to be cut lies between bar and frame; asked for.
pub(crate) fn loop_of_piece(ask: &mut Ask<'_>, old: Dimension) -> Option<Span> {
    // A way inside a new bar has to be known here: left out, it would be a silent nothing.
    let is_detour_known = !ask.build.changes(Slot::Bar) || ask.number(After, Dimension::BarDetour).is_some();
    let grows = growth(ask).filter(|_| is_detour_known);
    let piece = grown(ask, old, grows);
    let along = ask.number(After, Dimension::HousingAlong);
    Some(piece? - along?)
}

/// Judges a loop against the widest way between its ends.
pub(crate) fn at_locks(
    ask: &mut Ask<'_>,
    places: [Dimension; 4],
    loop_length: Option<Span>,
    step: &'static str,
) -> Checked {
    let lock = ask.number(Before, Dimension::SteeringLock);
    let steering = steering(ask, places, lock);
    let (Some((steering, off_mm)), Some(loop_length)) = (steering, loop_length) else {
        return Checked::CannotTell;
    };
    let gap = Span::around(steering.widest_gap().to_mm(), off_mm);
    let margin = loop_length - gap;
    let verdict = ask.bands(margin, &[(LEAST_SLACK.to_mm(), Verdict::Works), (0.0, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 0)
        .number(Number::new("loop", loop_length, "mm", 0))
        .number(Number::new("gap", gap, "mm", 0))
        .says(step);
    match verdict {
        Verdict::Marginal => {
            judged.says("it lies straight there and bends sharply at its ends: cut it longer").done()
        }
        Verdict::Fails => {
            judged.says("it pulls before the bar is at its stop: cut it as the cut list says").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm, word, xy};

    /// Bar end 90 mm to the left, stop 120 mm behind: at 60° the ends stand at 150° and √(90² + 120² +
    /// 2·90·120·cos 30°) = 203.0 mm apart, worked by hand.
    fn bench(old_mm: f64, tolerance: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BrakeInner, mm(1700.0, 0.0))
            .found(Dimension::OldBrakePiece, mm(old_mm, tolerance))
            .found(Dimension::HousingAlong, mm(250.0, 0.0))
            .found(Dimension::SteeringLock, deg(60.0, 0.0))
            .found(Dimension::BrakeLoopLever, xy(0.0, 90.0, 0.0))
            .found(Dimension::BrakeLoopLeverAngle, deg(90.0, 5.0))
            .found(Dimension::BrakeLoopStop, xy(-120.0, 0.0, 0.0))
            .found(Dimension::BrakeLoopStopAngle, deg(180.0, 5.0))
    }

    #[test]
    fn a_loop_longer_than_the_widest_way_works() {
        let finding = bench(250.0 + 230.0, 5.0).gives(Verdict::Works);
        assert!((finding.number("gap").unwrap().value - 203.0).abs() < 0.05);
        assert!((finding.margin.unwrap().span.middle() - 27.0).abs() < 0.05);
    }

    #[test]
    fn a_loop_that_lies_straight_at_a_lock_is_marginal() {
        bench(250.0 + 206.0, 1.0).gives(Verdict::Marginal);
    }

    #[test]
    fn a_loop_shorter_than_the_widest_way_fails() {
        bench(250.0 + 190.0, 5.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_tolerance_across_the_limit_is_measured_again() {
        let finding = bench(250.0 + 210.0, 5.0).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::OldBrakePiece));
    }

    #[test]
    fn ends_that_were_read_coarsely_widen_the_way() {
        let coarse = bench(250.0 + 213.0, 1.0).gives(Verdict::Works);
        assert!(coarse.number("gap").unwrap().span.is_exact());
        bench(250.0 + 213.0, 1.0)
            .found(Dimension::BrakeLoopStop, xy(-120.0, 0.0, 5.0))
            .gives(Verdict::Measure);
    }

    #[test]
    fn a_hose_goes_by_the_string_and_never_by_the_old_piece() {
        let hose = |whole_mm| {
            bench(2000.0, 5.0)
                .chosen(Dimension::LeverFluid, word("mineral"))
                .found(Dimension::RearBrakeHousing, mm(whole_mm, 3.0))
                .found(Dimension::RearHoseFixed, mm(1100.0, 3.0))
        };
        hose(1330.0).gives(Verdict::Works);
        hose(1290.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [
            Dimension::OldBrakePiece,
            Dimension::HousingAlong,
            Dimension::SteeringLock,
            Dimension::BrakeLoopLever,
            Dimension::BrakeLoopLeverAngle,
            Dimension::BrakeLoopStop,
            Dimension::BrakeLoopStopAngle,
        ] {
            let finding = bench(480.0, 5.0).without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
        }
    }

    #[test]
    fn a_new_bar_asks_for_the_way_inside_it() {
        let bar = bench(480.0, 5.0)
            .found(Dimension::BarReach, mm(80.0, 0.0))
            .chosen(Dimension::BarReach, mm(80.0, 0.0))
            .found(Dimension::BarWidth, mm(420.0, 0.0))
            .chosen(Dimension::BarWidth, mm(420.0, 0.0))
            .chosen(Dimension::HousingAlong, mm(250.0, 0.0));
        let finding = bar.clone().gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::BarDetour));
        bar.chosen(Dimension::BarDetour, mm(0.0, 1.0)).gives(Verdict::Works);
    }

    #[test]
    fn nothing_is_said_where_no_end_was_measured() {
        let mut bike = bench(480.0, 5.0);
        for dimension in BRAKE_LOOP {
            bike = bike.without(dimension);
        }
        assert!(bike.finding().is_none());
    }
}
