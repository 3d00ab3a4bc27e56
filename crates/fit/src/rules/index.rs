//! Does a click of the shifter move the derailleur by one cog?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::indexing::{ADJUSTER_DETENT, clicks_to_cross, end_error, landings, per_adjuster_click};
use quantity::{Length, Span, digits};

/// Error at the ends that matched sets show: pulls and ratios are rounded in the trade.
const MATCHED_MM: f64 = 0.6;
/// Beyond this error nothing can be promised or hidden.
const TRIAL_MM: f64 = 1.2;

/// The rule.
pub static RULE: Rule = Rule {
    id: "index",
    title: "does a click of the shifter move the chain by one cog?",
    coupling: Coupling::Indexing,
    hazard: Hazard::Function,
    touches: &[Slot::Levers, Slot::Shifters, Slot::RearDerailleur, Slot::Cassette],
    cured_by: &[Slot::Shifters, Slot::Levers, Slot::RearDerailleur, Slot::Cassette],
    heals: None,
    silent_without: &[],
    sentence: "cable pull times derailleur ratio must be the cog pitch; what is left adds up toward the ends of the cassette",
    long: "With the error shared out evenly it is worst at both ends: half the error of a click times the number of \
           clicks. Published pulls and ratios are rounded, so sets made for each other show up to 0.6 mm; to 1.2 mm it \
           works sometimes and is promised only after a trial; beyond that the error grows from cog to cog and no \
           adjuster hides it.",
    source: "shift equation: open textbook on gear-changing dimensions; 0.6 and 1.2 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cogs = ask.teeth(After, Dimension::Cogs);
    // One cog, or a shifter with one position: there is no click to index.
    if cogs.as_ref().is_some_and(|cogs| cogs.len() < 2)
        || ask.count(After, Dimension::ShiftPositions) == Some(1)
    {
        return Checked::NotTouched;
    }
    let pulls = ask.shift_pulls(After);
    let ratio = ask.number(After, Dimension::ShiftRatio);
    let pitches = ask.cog_pitches(After, cogs.as_ref().map_or(2, Vec::len));
    let (Some(cogs), Some(pulls), Some(ratio), Some(pitches)) = (cogs, pulls, ratio, pitches) else {
        return Checked::CannotTell;
    };
    let clicks = pulls.len().min(pitches.len());
    if clicks == 0 || cogs.len() < 2 {
        return Checked::NotTouched;
    }
    let middle = |spans: &[Span]| spans.iter().map(|span| Length::mm(span.middle())).collect::<Vec<_>>();
    let (pulls_mm, pitches_mm, ratio_mid) = (middle(&pulls), middle(&pitches), ratio.middle());
    let error_mm = end_error(&pulls_mm, ratio_mid, &pitches_mm).to_mm();
    // Every click may be off in the same direction, so the tolerances add up; half of them fall on each end.
    let spread: f64 = pulls
        .iter()
        .zip(&pitches)
        .map(|(pull, pitch)| {
            (pull.half_width() * ratio.most().abs()
                + pull.middle().abs() * ratio.half_width()
                + pitch.half_width())
                / 2.0
        })
        .sum();
    let error = Span::around(error_mm, spread);
    let size = if error.holds(0.0) {
        Span::new(0.0, error.least().abs().max(error.most().abs()))
    } else {
        Span::new(error.least().abs(), error.most().abs())
    };
    let verdict =
        ask.bands(-size + MATCHED_MM, &[(0.0, Verdict::Works), (MATCHED_MM - TRIAL_MM, Verdict::Marginal)]);
    let adjuster_mm = per_adjuster_click(ADJUSTER_DETENT, ratio_mid).to_mm();
    let mean = |values: &[Length]| values.iter().map(|v| v.to_mm()).sum::<f64>() / values.len().max(1) as f64;
    let step_mm = mean(&pulls_mm[..clicks]) * ratio_mid;
    let pitch_mm = mean(&pitches_mm[..clicks]);
    let judged = Judgement::new(verdict)
        .margin(-size + MATCHED_MM, "mm", 2)
        .in_shop_units((MATCHED_MM - size.middle()) / adjuster_mm, "adjuster clicks")
        .number(Number::new("step", Span::exact(step_mm), "mm", 2))
        .number(Number::new("pitch", Span::exact(pitch_mm), "mm", 2))
        .number(Number::difference("per_click", Span::exact(step_mm - pitch_mm), "mm", 2))
        .number(Number::difference("end_error", error, "mm", 2))
        .number(Number::new("adjuster", Span::exact(adjuster_mm), "mm", 2))
        .says("a click moves the pulley {step} and the next cog is {pitch} away: {per_click} a click, {end_error} at the ends");
    match verdict {
        Verdict::Works => judged.says("an adjuster click is worth {adjuster} here").done(),
        Verdict::Marginal => {
            judged.says("it works in practice sometimes: promise it only after a trial on this bike").done()
        }
        Verdict::Measure => {
            judged.says("the tolerances of the clicks add up to more than the limit allows").done()
        }
        _ => landing_pattern(judged, &pulls_mm, ratio_mid, &pitches_mm).done(),
    }
}

/// Which clicks land on a cog: the pattern that makes people spend an hour on the adjuster.
fn landing_pattern(judged: Judgement, pulls: &[Length], ratio: f64, pitches: &[Length]) -> Judgement {
    let cross = clicks_to_cross(pulls, ratio, pitches);
    let clicks = pulls.len().min(pitches.len());
    let mut judged = judged
        .says("the error grows from cog to cog: no adjuster setting cures it, so the adjuster is left alone")
        .says("nothing is fitted until a part is exchanged: only this check is charged");
    // A shifter that pulls too little never crosses the cassette.
    if cross.is_finite() && cross < clicks as f64 - quantity::SLACK {
        judged = judged
            .number(Number::new("cross", Span::exact(cross), "", 2))
            .number(Number::new("clicks", Span::exact(clicks as f64), "", 0))
            .says("the whole cassette is crossed after {cross} of {clicks} clicks");
    }
    let positions = landings(pulls, ratio, pitches);
    let width: f64 = pitches.iter().map(|p| p.to_mm()).sum();
    let (mut on_clicks, mut errors, mut on_cogs) = (Vec::new(), Vec::new(), Vec::new());
    for landing in
        positions.iter().filter(|l| l.error_mm.abs() <= TRIAL_MM && l.position_mm <= width + TRIAL_MM)
    {
        on_clicks.push(landing.click.to_string());
        errors.push(digits::signed(landing.error_mm, 2));
        on_cogs.push((landing.nearest_cog + 1).to_string());
    }
    let all: Vec<String> = positions.iter().map(|l| digits::fixed(l.position_mm, 2)).collect();
    judged.line(format!("pulley positions, mm: {}", all.join(", "))).line(format!(
        "on a cog only at clicks {} (errors {} mm): cogs {}",
        on_clicks.join(", "),
        errors.join(", "),
        on_cogs.join(", ")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, ratio, teeth};

    fn bench(pull_mm: f64, ratio_value: f64, pitch_mm: f64, cogs: usize) -> Bench {
        let cogs: Vec<i64> = (11..).take(cogs).collect();
        Bench::of(&RULE)
            .chosen(Dimension::ShiftPull, mm(pull_mm, 0.0))
            .chosen(Dimension::ShiftPositions, count(cogs.len() as u32))
            .found(Dimension::ShiftRatio, ratio(ratio_value, 0.0))
            .found(Dimension::Cogs, teeth(&cogs))
            .found(Dimension::CogPitch, mm(pitch_mm, 0.0))
    }

    /// Family values of common practice; the arithmetic is checked, and the verdicts that the trade gives.
    #[test]
    fn families_of_the_trade_come_out_as_the_trade_knows_them() {
        for (pull, ratio_value, pitch, cogs, end_mm, verdict) in [
            (2.5, 1.7, 4.35, 9, -0.40, Verdict::Works),
            (2.3, 1.7, 3.95, 10, -0.18, Verdict::Works),
            (2.7, 1.4, 3.74, 11, 0.20, Verdict::Works),
            (3.4, 1.2, 3.95, 10, 0.58, Verdict::Works),
            (3.6, 1.1, 3.90, 11, 0.30, Verdict::Works),
            (3.4, 1.7, 3.95, 10, 8.23, Verdict::Fails),
            (2.3, 1.2, 3.95, 10, -5.36, Verdict::Fails),
            (2.7, 1.7, 3.74, 11, 4.25, Verdict::Fails),
            (2.5, 1.4, 4.35, 9, -3.40, Verdict::Fails),
            (2.5, 1.7, 3.95, 10, 1.35, Verdict::Fails),
            (2.7, 1.4, 3.95, 10, -0.77, Verdict::Marginal),
        ] {
            let finding = bench(pull, ratio_value, pitch, cogs).gives(verdict);
            let end = finding.number("end_error").unwrap().span.middle();
            assert!((end - end_mm).abs() < 0.0051, "{pull} x {ratio_value} on {pitch}: {end}");
        }
    }

    #[test]
    fn a_mismatch_shows_which_clicks_land_on_a_cog() {
        let finding = bench(3.4, 1.7, 3.95, 10).gives(Verdict::Fails);
        assert!(
            finding.lines[1]
                .contains("clicks 0, 2, 4, 6 (errors 0.00, −0.29, −0.58, −0.87 mm): cogs 1, 4, 7, 10")
        );
        assert!((finding.number("cross").unwrap().span.middle() - 6.15).abs() < 0.005);
    }

    #[test]
    fn an_unmeasured_pull_cannot_be_told() {
        bench(2.3, 1.7, 3.95, 10).without(Dimension::ShiftPull).gives(Verdict::Measure);
    }

    #[test]
    fn a_coarse_reading_is_taken_again() {
        let finding =
            bench(2.3, 1.7, 3.95, 10).chosen(Dimension::ShiftPull, mm(2.3, 0.1)).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::ShiftPull);
    }
}
