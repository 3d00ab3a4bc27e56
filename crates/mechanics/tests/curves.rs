//! The monotone cubic curve against a general numerical library.
//!
//! `data/monotone.json` was written by `data/monotone_reference.py` with scipy's PchipInterpolator.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::monotone_curve::{CurveError, MonotoneCurve};
use proptest::prelude::*;
use serde_json::Value;

const TABLE: &str = include_str!("data/monotone.json");

fn rows() -> Vec<Value> {
    let table: Value = serde_json::from_str(TABLE).unwrap();
    table["curves"].as_array().unwrap().clone()
}

fn numbers(row: &Value, key: &str) -> Vec<f64> {
    row[key].as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

fn curve(row: &Value) -> MonotoneCurve {
    let readings: Vec<(f64, f64)> = numbers(row, "x").into_iter().zip(numbers(row, "y")).collect();
    MonotoneCurve::new(&readings).unwrap()
}

/// Largest difference as a share of the largest number of the row.
fn worst(found: impl Iterator<Item = f64>, wanted: &[f64]) -> f64 {
    let scale = wanted.iter().fold(1e-9_f64, |most, number| most.max(number.abs()));
    found.zip(wanted).map(|(one, other)| (one - other).abs() / scale).fold(0.0, f64::max)
}

#[test]
fn values_slopes_and_places_agree_to_1e_12() {
    let mut all: f64 = 0.0;
    assert!(rows().len() >= 46);
    for row in rows() {
        let curve = curve(&row);
        let at = numbers(&row, "at");
        let found = worst(curve.slopes().iter().copied(), &numbers(&row, "slopes"))
            .max(worst(at.iter().map(|x| curve.value(*x)), &numbers(&row, "value")))
            .max(worst(at.iter().map(|x| curve.slope(*x)), &numbers(&row, "slope")));
        assert!(found < 1e-12, "{found}: {row}");
        all = all.max(found);
        if let Some(middle) = row["middle"].as_f64() {
            let place = curve.place_of(middle).unwrap();
            let wanted = row["middle_at"].as_f64().unwrap();
            assert!((place - wanted).abs() < 1e-10 * at[40], "{place} {wanted}: {row}");
        }
    }
    println!("worst {all:.1e}");
}

#[test]
fn readings_that_make_no_curve_are_named() {
    let error = |readings: &[(f64, f64)]| MonotoneCurve::rising(readings).unwrap_err();
    assert_eq!(error(&[(0.0, 0.0)]), CurveError::TooFew { found: 1 });
    assert_eq!(error(&[(0.0, 0.0), (1.0, f64::NAN)]), CurveError::NotFinite { place: 1 });
    assert_eq!(error(&[(0.0, 0.0), (0.0, 1.0)]), CurveError::OutOfOrder { place: 1 });
    assert_eq!(error(&[(0.0, 0.0), (1.0, 1.0), (2.0, 1.0)]), CurveError::NotRising { place: 2 });
    assert_eq!(error(&[(0.0, 2.0), (1.0, 1.0)]).to_string(), "reading 2 does not rise above the one before");
}

#[test]
fn beyond_the_readings_it_goes_on_straight() {
    let curve = MonotoneCurve::rising(&[(0.0, 0.0), (10.0, 14.0)]).unwrap();
    assert_eq!((curve.value(-1.0), curve.value(11.0)), (-1.4, 15.4));
    assert_eq!(curve.place_of(15.4), Some(11.0));
    assert_eq!(curve.place_of(-1.4), Some(-1.0));
    let falling = MonotoneCurve::new(&[(0.0, 1.0), (1.0, 0.0)]).unwrap();
    assert_eq!(falling.place_of(0.5), None);
}

fn rising() -> impl Strategy<Value = Vec<(f64, f64)>> {
    proptest::collection::vec((0.1_f64..5.0, 0.01_f64..8.0), 2..12).prop_map(|steps| {
        let mut at = (0.0_f64, 0.0_f64);
        steps
            .into_iter()
            .map(|(x, y)| {
                at = (at.0 + x, at.1 + y);
                at
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_rising_curve_rises_and_meets_its_readings(readings in rising()) {
        let curve = MonotoneCurve::rising(&readings).unwrap();
        for (x, y) in &readings {
            prop_assert!((curve.value(*x) - y).abs() < 1e-12 * y.abs().max(1.0));
        }
        let (first, last) = curve.range();
        let mut before = f64::NEG_INFINITY;
        for step in 0..=300 {
            let value = curve.value(first + (last - first) * f64::from(step) / 300.0);
            prop_assert!(value >= before - 1e-12, "{value} after {before}");
            before = value;
        }
    }

    #[test]
    fn a_rising_curve_can_be_read_backward(readings in rising(), share in 0.0..1.0) {
        let curve = MonotoneCurve::rising(&readings).unwrap();
        let (first, last) = curve.range();
        let value = curve.value(first + share * (last - first));
        let again = curve.value(curve.place_of(value).unwrap());
        prop_assert!((again - value).abs() < 1e-11 * value.abs().max(1.0), "{again} {value}");
    }

    #[test]
    fn a_straight_line_stays_one(
        slope in 0.1_f64..5.0,
        widths in proptest::collection::vec(0.2..5.0, 2..8),
        x in 0.0_f64..8.0,
    ) {
        let mut at = 0.0;
        let readings: Vec<(f64, f64)> = widths.iter().map(|width| { at += width; (at, slope * at) }).collect();
        let curve = MonotoneCurve::rising(&readings).unwrap();
        prop_assert!((curve.value(x) - slope * x).abs() < 1e-10);
        prop_assert!((curve.slope(x) - slope).abs() < 1e-10);
    }
}
