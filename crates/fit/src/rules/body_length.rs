//! Does the cassette go on the body of the hub?

use super::freewheel_thread::both_screw_on;
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::cassette::body_margin;
use quantity::{Length, SLACK, Span, Stand};

/// Spacers that the trade sells for behind a cassette, and their sums, with the small parts that make them.
const SPACERS: &[(f64, &[&str])] = &[
    (0.0, &[]),
    (1.0, &["spacer-1.0"]),
    (1.85, &["spacer-1.85"]),
    (2.85, &["spacer-1.85", "spacer-1.0"]),
    (4.5, &["spacer-4.5"]),
];

/// How far a stack may miss a spacer: the lockring still clamps every cog.
pub const FIT_MM: f64 = 0.3;

/// How far below zero the tolerance of the reading may reach: the fit of the trade and the depth rod, 0.3 mm each.
const READING_MM: f64 = 0.6;

/// The rule.
pub static RULE: Rule = Rule {
    id: "body-length",
    title: "does the cassette go on the cassette body?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::Cassette, Slot::RearWheel],
    cured_by: &[Slot::Cassette, Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "the body must be as long as the stack needs, less what the largest cog overhangs; what is left over is filled with spacers",
    long: "The lockring clamps the stack against the flange of the body. If the body is too short the lockring \
           has no thread left or the last cog hangs free; if it is too long the cogs rattle. The margin is body \
           length less needed length plus overhang. It fits where a spacer of the trade, or none, fills the margin \
           to within 0.3 mm. The body cannot be seen while the cassette is on, and hub width says nothing about it.",
    source: "body lengths: hub tables of the trade, two readings side by side in `standards::body`; 0.3 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    // A freewheel screws onto the hub: there is no body.
    if both_screw_on(ask) {
        return Checked::NotTouched;
    }
    let body = ask.number(After, Dimension::BodyLength);
    let needed = ask.number(After, Dimension::BodyNeeded);
    let overhang = ask.number(After, Dimension::Overhang);
    let (Some(body), Some(needed), Some(overhang)) = (body, needed, overhang) else {
        return Checked::CannotTell;
    };
    // Linear in all three, so the corners give the interval.
    let margin = Span::hull(&[body, needed, overhang], |at| match at {
        [body_mm, needed_mm, overhang_mm] => {
            body_margin(Length::mm(*body_mm), Length::mm(*needed_mm), Length::mm(*overhang_mm)).to_mm()
        }
        _ => f64::NAN,
    });
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(margin, "mm", 2)
            .number(Number::new("margin", margin, "mm", 2))
            .number(Number::new("needed", needed - overhang, "mm", 2))
    };
    if margin.against(-FIT_MM) == Stand::Below && margin.middle() < -FIT_MM {
        let longer = Cure::by(
            Act::Work(
                "exchange the cassette body for a longer one, if the hub has one, and dish the wheel again",
            ),
            Verdict::Works,
        );
        return judged(Verdict::Fails)
            .says("the cassette needs {needed} of body")
            .says("the lockring cannot pull the stack tight: {margin} is missing")
            .cure(longer)
            .done();
    }
    if margin.middle() < -FIT_MM - SLACK || margin.against(-READING_MM) != Stand::AtOrAbove {
        ask.again();
        return judged(Verdict::Measure).says("the stack may be too long for the body: {margin}").done();
    }
    match spacer_for(margin) {
        Fill::Nothing => judged(Verdict::Works).says("the stack fits with no spacer behind it").done(),
        Fill::Spacer(spacer_mm, parts) => {
            let mut cure = Cure::by(Act::Spacer(Length::mm(spacer_mm)), Verdict::Works);
            cure.acts.extend(parts.iter().map(|part| Act::Small(part)));
            judged(Verdict::Fails)
                .number(Number::new("spacer", Span::exact(spacer_mm), "mm", 2))
                .says("the body is longer than the stack by {margin}: a spacer of {spacer} goes behind it")
                .remedy(Verdict::Fails, cure)
                .done()
        }
        Fill::Unclear => {
            ask.again();
            // Two printed lengths that miss every spacer: one of them is of another part.
            if margin.is_exact() {
                ask.recount(After, Dimension::BodyLength);
                ask.recount(After, Dimension::BodyNeeded);
            }
            judged(Verdict::Measure).says("the margin of {margin} does not say which spacer is meant").done()
        }
    }
}

/// What goes behind a cassette.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// No spacer.
    Nothing,
    /// A spacer of so many millimetres, made of these small parts.
    Spacer(f64, &'static [&'static str]),
    /// No spacer of the trade is meant clearly.
    Unclear,
}

/// The spacer that fills a margin. Every value of the interval must be nearest to the same one.
pub fn spacer_for(margin: Span) -> Fill {
    match (nearest(margin.least()), nearest(margin.most())) {
        (Some(low), Some(high)) if low.0 == high.0 && (margin.middle() - low.0).abs() <= FIT_MM + SLACK => {
            if low.1.is_empty() {
                Fill::Nothing
            } else {
                Fill::Spacer(low.0, low.1)
            }
        }
        _ => Fill::Unclear,
    }
}

/// The spacers that may be meant by a margin, from the thinnest to the thickest: other gaps are worked out with it.
pub fn spacer_span(margin: Span) -> Span {
    let thickness = |x| nearest(x).map_or(0.0, |spacer| spacer.0);
    Span::new(thickness(margin.least()), thickness(margin.most()))
}

/// The spacer of the trade nearest to a margin.
fn nearest(x: f64) -> Option<&'static (f64, &'static [&'static str])> {
    SPACERS.iter().min_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(body_mm: f64, needed_mm: f64, overhang_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BodyLength, mm(body_mm, 0.3))
            .chosen(Dimension::BodyNeeded, mm(needed_mm, 0.0))
            .chosen(Dimension::Overhang, mm(overhang_mm, 0.0))
    }

    #[test]
    fn an_eleven_speed_stack_fits_its_own_body() {
        bench(36.8, 36.75, 0.0).gives(Verdict::Works);
    }

    #[test]
    fn an_eleven_speed_stack_does_not_fit_the_short_body() {
        let finding = bench(34.9, 36.75, 0.0).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 1.85).abs() < 1e-9);
    }

    #[test]
    fn a_reading_a_hair_short_is_the_same_body() {
        bench(34.9, 34.95, 0.0).gives(Verdict::Works);
        bench(34.5, 34.95, 0.0).gives(Verdict::Measure);
    }

    #[test]
    fn an_overhung_cassette_fits_the_short_body() {
        bench(34.9, 36.75, 1.85).gives(Verdict::Works);
    }

    #[test]
    fn a_short_stack_takes_a_spacer_on_the_long_body() {
        bench(36.8, 34.95, 0.0).gives(Verdict::Remedy);
    }

    #[test]
    fn printed_lengths_that_miss_every_spacer_are_read_again() {
        let finding =
            bench(35.6, 34.95, 0.0).found(Dimension::BodyLength, mm(35.6, 0.0)).gives(Verdict::Measure);
        assert_eq!(finding.missing.len(), 2);
    }

    #[test]
    fn a_margin_between_two_spacers_may_mean_either() {
        assert_eq!(spacer_span(Span::new(0.9, 1.9)), Span::new(1.0, 1.85));
        assert_eq!(spacer_span(Span::exact(-1.85)), Span::exact(0.0));
    }

    #[test]
    fn without_the_body_nothing_can_be_told() {
        let finding = bench(36.8, 36.75, 0.0).without(Dimension::BodyLength).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::BodyLength);
    }
}
