//! Does the brake housing or hose reach its stop at both full locks?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::geometry::cut_list::loops::{BRAKE_LOOP, LEAST_RADIUS, LEAST_SLACK, is_looked_at, radii, seen};
use crate::geometry::cut_list::{grown, growth};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::is_known_hydraulic;
use catalog::{Dimension, Slot};
use quantity::{Length, Span};

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
    sentence: "the loop from the bar to the frame must be longer than the widest way between its ends at either full lock, by 5 mm at least, and should keep a radius of 50 mm",
    long: "The end at the bar turns about the steering axis, and at one of the two full locks it stands furthest from \
           the stop. A loop shorter than that way pulls the brake, or steers the bike, before the bar meets its stop: \
           that fails. Up to 5 mm longer it lies straight, and bends sharply at its ends: that is marginal. The loop \
           of a housing is the piece to be cut less its way along the bar; the loop of a hose is the string along the \
           whole way less what lies fast. One that is long enough has to keep a radius of 50 mm from lock to lock, \
           reckoned as a thin rod in one plane at the ends of all readings; tighter is marginal, for it drags and \
           kinks. The rule speaks only where the \
           ends of the loop were measured from the steering axis.",
    source: "cosine rule about the steering axis, free loop as an elastica; 5 and 50 mm: common practice, with no published source",
    caution: Some(Warning::Technician(
        "turn the bar to both full locks before housing or hose is cut and after it is in: nothing may pull, and no brake may bite",
    )),
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
            LEAST_RADIUS[0],
            "the brake hose has a loop of {loop} by the string; at full lock its ends stand {gap} apart",
        );
    }
    let loop_length = loop_of_piece(ask, Dimension::OldBrakePiece);
    at_locks(
        ask,
        BRAKE_LOOP,
        loop_length,
        LEAST_RADIUS[0],
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
    least_radius: Length,
    step: &'static str,
) -> Checked {
    let lock = ask.number(Before, Dimension::SteeringLock);
    let (Some(seen), Some(loop_length)) = (seen(ask, places, lock), loop_length) else {
        return Checked::CannotTell;
    };
    let gap = seen.gap();
    let margin = loop_length - gap;
    let reaches = ask.bands(margin, &[(LEAST_SLACK.to_mm(), Verdict::Works), (0.0, Verdict::Marginal)]);
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(margin, "mm", 0)
            .number(Number::new("loop", loop_length, "mm", 0))
            .number(Number::new("gap", gap, "mm", 0))
            .says(step)
    };
    match reaches {
        Verdict::Works => {}
        Verdict::Marginal => {
            return judged(reaches)
                .says("it lies straight there and bends sharply at its ends")
                .cure(longer())
                .done();
        }
        Verdict::Fails => {
            return judged(reaches).says("it pulls before the bar is at its stop").cure(longer()).done();
        }
        _ => return judged(reaches).done(),
    }
    // Long enough: what is left is how tight it bends on the way from lock to lock.
    let radius = radii(&seen, loop_length);
    let least = Span::exact(least_radius.to_mm());
    let verdict = ask.bands(radius - least, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let judged = judged(verdict)
        .number(Number::new("radius", radius, "mm", 0))
        .number(Number::new("least", least, "mm", 0))
        .margin(if verdict == Verdict::Works { margin } else { radius - least }, "mm", 0)
        .says("between both locks it bends to {radius}; it should keep {least}");
    match verdict {
        Verdict::Marginal => judged.says("bent too tight, it drags and kinks").cure(longer()).done(),
        _ => judged.done(),
    }
}

fn longer() -> Cure {
    Cure::by(Act::Work("cut it longer, to the loop that the cut list gives for both locks"), Verdict::Works)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm, word, xy};

    /// From the axis √(60² + 150²) = 161.6 mm to the bar end and √(80² + 20²) = 82.5 mm to the stop; straight ahead
    /// 126° lie between the two, so before full lock the axis comes to lie between the ends: 244.0 mm, worked by
    /// hand.
    fn bench(loop_mm: f64, tolerance: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::BrakeInner, mm(1700.0, 0.0))
            .found(Dimension::OldBrakePiece, mm(250.0 + loop_mm, tolerance))
            .found(Dimension::HousingAlong, mm(250.0, 0.0))
            .found(Dimension::SteeringLock, deg(60.0, 0.0))
            .found(Dimension::BrakeLoopLever, xy(60.0, 150.0, 0.0))
            .found(Dimension::BrakeLoopLeverAngle, deg(-30.0, 3.0))
            .found(Dimension::BrakeLoopStop, xy(-80.0, -20.0, 0.0))
            .found(Dimension::BrakeLoopStopAngle, deg(-180.0, 3.0))
    }

    #[test]
    fn a_loop_longer_than_the_widest_way_works() {
        let finding = bench(350.0, 5.0).gives(Verdict::Works);
        assert!((finding.number("gap").unwrap().value - 244.0).abs() < 0.05);
        assert!((finding.margin.unwrap().span.middle() - 106.0).abs() < 0.05);
    }

    #[test]
    fn a_loop_that_lies_straight_at_a_lock_is_marginal() {
        let finding = bench(247.0, 1.0).gives(Verdict::Marginal);
        assert!(finding.steps.iter().any(|step| step.contains("straight")));
    }

    #[test]
    fn a_loop_that_bends_too_tight_is_marginal_and_its_margin_is_the_radius() {
        let finding = bench(262.0, 1.0).gives(Verdict::Marginal);
        assert!(finding.number("radius").unwrap().span.most() < 50.0);
        assert!(finding.margin.unwrap().span.most() < 0.0);
    }

    #[test]
    fn a_loop_shorter_than_the_widest_way_fails() {
        bench(230.0, 5.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_tolerance_across_the_limit_is_measured_again() {
        let finding = bench(250.0, 5.0).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::OldBrakePiece));
    }

    #[test]
    fn ends_that_were_read_coarsely_widen_the_way() {
        let sharp = bench(256.0, 1.0).gives(Verdict::Marginal);
        assert!(sharp.number("gap").unwrap().span.is_exact());
        bench(256.0, 1.0).found(Dimension::BrakeLoopStop, xy(-80.0, -20.0, 10.0)).gives(Verdict::Measure);
    }

    #[test]
    fn a_hose_goes_by_the_string_and_never_by_the_old_piece() {
        let hose = |whole_mm| {
            bench(2000.0, 5.0)
                .chosen(Dimension::LeverFluid, word("mineral"))
                .found(Dimension::RearBrakeHousing, mm(whole_mm, 3.0))
                .found(Dimension::RearHoseFixed, mm(1100.0, 3.0))
        };
        hose(1450.0).gives(Verdict::Works);
        hose(1330.0).gives(Verdict::Fails);
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
            let finding = bench(350.0, 5.0).without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
        }
    }

    #[test]
    fn a_new_bar_asks_for_the_way_inside_it() {
        let bar = bench(350.0, 5.0)
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
        let mut bike = bench(350.0, 5.0);
        for dimension in BRAKE_LOOP {
            bike = bike.without(dimension);
        }
        assert!(bike.finding().is_none());
    }
}
