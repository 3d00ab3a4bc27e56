//! Is the shift inner of the set long enough for the way to the rear?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::brake_line::spoken_of;
use catalog::{Dimension, Slot};
use mechanics::housing::inner_needed;
use quantity::Length;

/// The rule.
pub static RULE: Rule = Rule {
    id: "inner-length",
    title: "is the shift inner of the set long enough?",
    coupling: Coupling::Hands,
    hazard: Hazard::Function,
    touches: &[Slot::Cables],
    cured_by: &[Slot::Cables],
    heals: None,
    silent_without: &[Dimension::RearShiftHousing, Dimension::RearShiftBare],
    sentence: "an inner must be as long as all its housing and bare runs, 100 mm at the lever and 60 mm behind the pinch bolt",
    long: "The inner to the rear is the long one. A string along the new path gives housing and bare runs; 100 mm \
           stay in the lever and 60 mm behind the bolt, so that it can be pulled and capped. Long frames, tandems \
           and folding bikes outrun a stock inner. The rule speaks only of a route that somebody laid a string along.",
    source: "geometry of the path; 100 and 60 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    along(
        ask,
        [Dimension::RearShiftHousing, Dimension::RearShiftBare, Dimension::ShiftInner],
        "the rear shift inner must be {needed} long; the set has {stock}",
    )
}

/// Judges one route: its housing, its bare runs, and the inner of the set. Silent where nobody laid a string.
pub(crate) fn along(
    ask: &mut Ask<'_>,
    [housing, bare, stock]: [Dimension; 3],
    step: &'static str,
) -> Checked {
    if !spoken_of(ask, Before, housing) && !spoken_of(ask, Before, bare) {
        return Checked::NotTouched;
    }
    let housing = ask.number(Before, housing);
    let bare = ask.number(Before, bare);
    let stock = ask.number(After, stock);
    let (Some(housing), Some(bare), Some(stock)) = (housing, bare, stock) else { return Checked::CannotTell };
    let needed = housing.map2_monotone(bare, |housing_mm, bare_mm| {
        inner_needed(Length::mm(housing_mm), Length::mm(bare_mm)).to_mm()
    });
    let margin = stock - needed;
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "mm", 0)
        .number(Number::new("needed", needed, "mm", 0))
        .number(Number::new("stock", stock, "mm", 0))
        .says(step);
    match verdict {
        Verdict::Fails => judged.says("an inner is never pieced together: a longer set").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(housing_mm: f64, stock_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::RearShiftHousing, mm(housing_mm, 5.0))
            .found(Dimension::RearShiftBare, mm(850.0, 5.0))
            .chosen(Dimension::ShiftInner, mm(stock_mm, 0.0))
    }

    #[test]
    fn a_usual_route_takes_a_stock_inner() {
        let finding = bench(900.0, 2100.0).gives(Verdict::Works);
        assert!((finding.number("needed").unwrap().value - 1910.0).abs() < 1e-9);
    }

    #[test]
    fn a_long_route_outruns_it() {
        bench(1400.0, 2100.0).gives(Verdict::Fails);
        bench(1400.0, 3100.0).gives(Verdict::Works);
    }

    #[test]
    fn nothing_is_said_of_routes_without_a_string() {
        let bike = bench(900.0, 2100.0).without(Dimension::RearShiftHousing);
        bike.clone().gives(Verdict::Measure);
        assert!(bike.without(Dimension::RearShiftBare).finding().is_none());
    }

    #[test]
    fn without_the_rest_nothing_can_be_told() {
        for dimension in [Dimension::RearShiftBare, Dimension::ShiftInner] {
            let finding = bench(900.0, 2100.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        bench(1090.0, 2100.0).gives(Verdict::Measure);
    }
}
