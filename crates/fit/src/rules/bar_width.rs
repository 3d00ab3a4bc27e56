//! Is the bar of a width that a bicycle may have?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Narrowest and widest bar.
const WIDTH_MM: (f64, f64) = (350.0, 1000.0);

/// The rule.
pub static RULE: Rule = Rule {
    id: "bar-width",
    title: "is the bar of a width that a bicycle may have?",
    coupling: Coupling::Hands,
    hazard: Hazard::Comfort,
    touches: &[Slot::Bar],
    cured_by: &[Slot::Bar],
    heals: None,
    silent_without: &[],
    sentence: "a bar is 350 to 1000 mm wide",
    long: "The limits are those of the safety standard; whether the width suits the rider is another question. Note \
           whether a width was taken middle to middle or over the outside: drop bars are sold both ways.",
    source: "a traffic bureau's text that mirrors ISO 4210-2, 4.7.1",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(width) = ask.number(After, Dimension::BarWidth) else { return Checked::CannotTell };
    let rooms = inside(width, Span::exact(WIDTH_MM.0), Span::exact(WIDTH_MM.1));
    let verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    Judgement::new(verdict)
        .margin(tightest(&rooms), "mm", 0)
        .number(Number::new("width", width, "mm", 0))
        .says("the bar is {width} wide")
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(width_mm: f64) -> Bench {
        Bench::of(&RULE).chosen(Dimension::BarWidth, mm(width_mm, 2.0))
    }

    // The standard as mirrored: 350 to 1000 mm.
    #[test]
    fn usual_bars_work() {
        bench(420.0).gives(Verdict::Works);
        bench(780.0).gives(Verdict::Works);
    }

    #[test]
    fn a_bar_cut_too_narrow_fails() {
        bench(330.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_the_width_nothing_can_be_told() {
        let finding = bench(420.0).without(Dimension::BarWidth).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::BarWidth);
        bench(351.0).gives(Verdict::Measure);
    }
}
