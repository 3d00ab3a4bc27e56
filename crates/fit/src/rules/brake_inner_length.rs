//! Is the brake inner of the set long enough for the way to the rear?

use crate::ask::Ask;
use crate::finding::Hazard;
use crate::rule::{Checked, Coupling, Rule};
use crate::rules::inner_length::along;
use catalog::{Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "brake-inner-length",
    title: "is the brake inner of the set long enough?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Function,
    touches: &[Slot::Cables],
    cured_by: &[Slot::Cables],
    heals: None,
    silent_without: &[Dimension::RearBrakeHousing, Dimension::RearBrakeBare],
    sentence: "the rear brake inner must be as long as all its housing and bare runs, 100 mm at the lever and 60 mm behind the pinch bolt",
    long: "As for the shift inner: a string along the new path gives housing and bare runs, 100 mm stay in the lever \
           and 60 mm behind the bolt. The rule speaks only of a route that somebody laid a string along.",
    source: "geometry of the path; 100 and 60 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    along(
        ask,
        [Dimension::RearBrakeHousing, Dimension::RearBrakeBare, Dimension::BrakeInner],
        "the rear brake inner must be {needed} long; the set has {stock}",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};
    use crate::finding::Verdict;

    fn bench(housing_mm: f64, stock_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::RearBrakeHousing, mm(housing_mm, 5.0))
            .found(Dimension::RearBrakeBare, mm(600.0, 5.0))
            .chosen(Dimension::BrakeInner, mm(stock_mm, 0.0))
    }

    #[test]
    fn a_usual_route_takes_a_stock_inner() {
        let finding = bench(800.0, 1700.0).gives(Verdict::Works);
        assert!((finding.number("needed").unwrap().value - 1560.0).abs() < 1e-9);
    }

    #[test]
    fn housing_in_full_length_outruns_it() {
        bench(1400.0, 1700.0).gives(Verdict::Fails);
        bench(1400.0, 2500.0).gives(Verdict::Works);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::RearBrakeHousing, Dimension::RearBrakeBare, Dimension::BrakeInner] {
            let finding = bench(800.0, 1700.0).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
        let unstrung = bench(800.0, 1700.0).without(Dimension::RearBrakeHousing);
        assert!(unstrung.without(Dimension::RearBrakeBare).finding().is_none());
    }
}
