//! Does the chain on the bike agree with the chainstay and the teeth?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Value};
use mechanics::chain::{SPARE, need};
use mechanics::contradiction::CHAIN_COUNT_ALLOWED;
use quantity::{Length, Pitches, Span};

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-chain",
    title: "does the old chain agree with the chainstay and the teeth?",
    coupling: Coupling::Record,
    hazard: Hazard::Damage,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "the count that the old gears need and the count on the bike may differ by one pair of pitches",
    long: "The bike checks the ruler for nothing: the length worked out for the old rings and cogs must be what was \
           counted. If it is not, the chainstay or a tooth count is wrong, or the chain was wrong all along; either is \
           better known before parts are ordered. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "length: as `chain-length`; two pitches: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let chainstay = ask.known_number(Before, Dimension::Chainstay);
    let rings = ask.known(Before, Dimension::Rings);
    let cogs = ask.known(Before, Dimension::Cogs);
    let counted = ask.known_number(Before, Dimension::ChainCount);
    let (Some(chainstay), Some(Value::Teeth(rings)), Some(Value::Teeth(cogs)), Some(counted)) =
        (chainstay, rings, cogs, counted)
    else {
        return Checked::NotTouched;
    };
    let (Some(ring), Some(cog)) = (rings.value.iter().max().copied(), cogs.value.iter().max().copied())
    else {
        return Checked::NotTouched;
    };
    let at = |mm: f64| need(ring, cog, Length::mm(mm)).map_or(f64::NAN, Pitches::to_f64);
    if at(chainstay.least()).is_nan() {
        // Sprockets that overlap: the count says nothing of such a chainstay.
        ask.again();
        return Judgement::new(Verdict::Measure).says("the sprockets do not fit on this chainstay").done();
    }
    let needed = chainstay.map_monotone(at);
    let with_spare = needed + SPARE.to_f64();
    let even = |x: f64| f64::from(Pitches::new(x).next_even());
    let predicted = Span::new(even(with_spare.least()), even(with_spare.most()));
    let counted = counted.middle();
    let off = (predicted.least() - counted).max(counted - predicted.most()).max(0.0);
    let agrees = needed.middle().is_finite() && off <= f64::from(CHAIN_COUNT_ALLOWED);
    if !agrees {
        ask.again();
        ask.recount(Before, Dimension::ChainCount);
        ask.recount(Before, Dimension::Rings);
        ask.recount(Before, Dimension::Cogs);
    }
    let judged = Judgement::new(if agrees { Verdict::Works } else { Verdict::Measure })
        .margin(Span::exact(f64::from(CHAIN_COUNT_ALLOWED) - off), "pitches", 0)
        .number(Number::new("needed", needed, "pitches", 2))
        .number(Number::new("with_spare", with_spare, "pitches", 2))
        .number(Number::new("predicted", Span::exact(even(with_spare.middle())), "pitches", 0))
        .number(Number::new("counted", Span::exact(counted), "pitches", 0))
        .says("the old gears need {needed}, {with_spare} with the spare: {predicted}; counted {counted}");
    if agrees {
        judged.done()
    } else {
        judged.says("one of them is wrong, or the chain is: was it ever shortened?").done()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth};

    fn bench(chainstay_mm: f64, counted: u32) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(chainstay_mm, 3.0))
            .found(Dimension::Rings, teeth(&[50, 34]))
            .found(Dimension::Cogs, teeth(&[12, 27]))
            .found(Dimension::ChainCount, count(counted))
    }

    #[test]
    fn measurements_that_agree_are_believed() {
        let finding = bench(410.0, 106).gives(Verdict::Works);
        assert!((finding.number("with_spare").unwrap().span.middle() - 105.48).abs() < 0.005);
        bench(410.0, 108).gives(Verdict::Works);
    }

    #[test]
    fn a_chainstay_taken_to_the_wrong_point_is_found() {
        bench(440.0, 106).gives(Verdict::Measure);
    }

    #[test]
    fn an_uncounted_chain_checks_nothing() {
        assert!(bench(410.0, 106).without(Dimension::ChainCount).finding().is_none());
    }
}
