//! Chain and belt lengths against a general numerical library, over a grid of drives.
//!
//! `data/open_belt.json` was written by `data/open_belt.py` (numpy and scipy): lengths from the geometry, centres
//! by its bracketing root finder, and the perimeter of the convex hull of both circles as a check that shares no
//! formula with ours.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::{ChainError, chain};
use quantity::{Length, Pitches, Teeth};
use serde_json::Value;

const TABLE: &str = include_str!("data/open_belt.json");

fn rows(key: &str) -> Vec<Value> {
    let table: Value = serde_json::from_str(TABLE).unwrap();
    table[key].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn drive(row: &Value) -> (Teeth, Teeth, Length) {
    let teeth = |key: &str| Teeth::new(row[key].as_i64().unwrap()).unwrap();
    (teeth("ring"), teeth("cog"), Length::mm(number(row, "centres_mm")))
}

#[track_caller]
fn close(found: f64, wanted: f64, relative: f64, row: &Value) {
    assert!((found / wanted - 1.0).abs() <= relative, "found {found}, wanted {wanted}: {row}");
}

#[test]
fn the_table_is_large() {
    assert!(rows("cases").len() >= 300);
    assert!(rows("refused").len() >= 20);
}

#[test]
fn chain_lengths_agree() {
    for row in rows("cases") {
        let (ring, cog, centres) = drive(&row);
        close(chain::need(ring, cog, centres).unwrap().to_f64(), number(&row, "chain_pitches"), 1e-12, &row);
    }
}

#[test]
fn belt_lengths_agree_with_the_formula_and_with_a_convex_hull() {
    for row in rows("cases") {
        let (ring, cog, centres) = drive(&row);
        let belt = chain::open_belt(chain::pitch_radius(ring), chain::pitch_radius(cog), centres).unwrap();
        close(belt.to_mm(), number(&row, "belt_mm"), 1e-12, &row);
        // The circles of the hull have 6000 corners, so it is shorter by up to π²/(6 · 6000²) = 4.6e-8.
        close(belt.to_mm(), number(&row, "hull_mm"), 1e-7, &row);
    }
}

#[test]
fn centres_agree_with_a_root_finder() {
    for row in rows("cases") {
        let (ring, cog, _) = drive(&row);
        let found = chain::centre_distance(ring, cog, Pitches::new(number(&row, "even_pitches"))).unwrap();
        let wanted = number(&row, "centres_for_even_mm");
        assert!((found.to_mm() - wanted).abs() <= 1e-9, "found {found:.12}, wanted {wanted}: {row}");
    }
}

#[test]
fn overlapping_sprockets_are_refused() {
    for row in rows("refused") {
        let (ring, cog, centres) = drive(&row);
        for refused in [chain::need(ring, cog, centres), chain::need_handbook(ring, cog, centres)] {
            assert!(matches!(refused, Err(ChainError::SprocketsOverlap { .. })), "{row}: {refused:?}");
        }
    }
}
