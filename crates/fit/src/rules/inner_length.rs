//! Are the inners of the set long enough?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::brake_line::spoken_of;
use crate::rules::room::{judge, tightest};
use catalog::{Dimension, Slot};
use mechanics::housing::inner_needed;
use quantity::{Length, Span};

/// A route: housing, bare runs, stock length, and the words for what it needs.
type Route = (Dimension, Dimension, Dimension, [&'static str; 2], &'static str);

const ROUTES: [Route; 2] = [
    (
        Dimension::RearShiftHousing,
        Dimension::RearShiftBare,
        Dimension::ShiftInner,
        ["shift_needed", "shift_stock"],
        "the rear shift inner must be {shift_needed} long; the set has {shift_stock}",
    ),
    (
        Dimension::RearBrakeHousing,
        Dimension::RearBrakeBare,
        Dimension::BrakeInner,
        ["brake_needed", "brake_stock"],
        "the rear brake inner must be {brake_needed} long; the set has {brake_stock}",
    ),
];

/// The rule.
pub static RULE: Rule = Rule {
    id: "inner-length",
    title: "are the inners of the set long enough?",
    coupling: Coupling::Hands,
    hazard: Hazard::Function,
    touches: &[Slot::Cables],
    cured_by: &[Slot::Cables],
    heals: None,
    sentence: "an inner must be as long as all its housing and bare runs, 100 mm at the lever and 60 mm behind the pinch bolt",
    long: "The inners to the rear are the long ones. A string along the new path gives housing and bare runs; 100 mm \
           stay in the lever and 60 mm behind the bolt, so that it can be pulled and capped. Long frames, tandems \
           and folding bikes outrun a stock inner. The rule speaks only of routes that somebody laid a string along.",
    source: "geometry of the path; 100 and 60 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let spoken: Vec<&Route> = ROUTES
        .iter()
        .filter(|route| spoken_of(ask, Before, route.0) || spoken_of(ask, Before, route.1))
        .collect();
    if spoken.is_empty() {
        return Checked::NotTouched;
    }
    let (mut rooms, mut unsure) = (Vec::new(), false);
    let mut judged = Judgement::new(Verdict::Works);
    for (housing, bare, stock, names, step) in spoken {
        let housing = ask.number(Before, *housing);
        let bare = ask.number(Before, *bare);
        let stock = ask.number(After, *stock);
        let (Some(housing), Some(bare), Some(stock)) = (housing, bare, stock) else {
            unsure = true;
            continue;
        };
        let needed: Span = housing.map2_monotone(bare, |housing_mm, bare_mm| {
            inner_needed(Length::mm(housing_mm), Length::mm(bare_mm)).to_mm()
        });
        rooms.push(stock - needed);
        judged = judged
            .number(Number::new(names[0], needed, "mm", 0))
            .number(Number::new(names[1], stock, "mm", 0))
            .says(step);
    }
    if unsure {
        return Checked::CannotTell;
    }
    judged.verdict = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let judged = judged.margin(tightest(&rooms), "mm", 0);
    match judged.verdict {
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
        assert!((finding.number("shift_needed").unwrap().value - 1910.0).abs() < 1e-9);
    }

    #[test]
    fn a_long_route_outruns_it() {
        bench(1400.0, 2100.0).gives(Verdict::Fails);
        bench(1400.0, 3100.0).gives(Verdict::Works);
    }

    #[test]
    fn the_brake_counts_where_it_was_strung_too() {
        let both = bench(900.0, 2100.0)
            .found(Dimension::RearBrakeHousing, mm(900.0, 5.0))
            .found(Dimension::RearBrakeBare, mm(700.0, 5.0))
            .chosen(Dimension::BrakeInner, mm(1700.0, 0.0));
        assert_eq!(both.gives(Verdict::Fails).steps.len(), 3);
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
