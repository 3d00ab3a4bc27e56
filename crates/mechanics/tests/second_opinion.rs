//! Spokes, threads and press fits against points in space.
//!
//! `data/second_opinion.json` was written by `data/second_opinion.py` (numpy): vectors, straight lines and drawn
//! crossings in place of our closed forms.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::ShellThread;
use mechanics::press_fit::{Bore, hold, hold_of_both};
use mechanics::spoke::{Run, bracing_angle, length};
use quantity::{Length, Thread};
use serde_json::Value;

const TABLE: &str = include_str!("data/second_opinion.json");

fn rows(key: &str) -> Vec<Value> {
    let table: Value = serde_json::from_str(TABLE).unwrap();
    table[key].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn mm(row: &Value, key: &str) -> Length {
    Length::mm(number(row, key))
}

fn run(row: &Value) -> Run {
    let count = |key: &str| u32::try_from(row[key].as_u64().unwrap()).unwrap();
    Run {
        flange_offset: mm(row, "offset_mm"),
        hole_circle: mm(row, "circle_mm"),
        rim_diameter: mm(row, "diameter_mm"),
        hole: mm(row, "hole_mm"),
        spokes_a_side: count("a_side"),
        crossings: count("crossings"),
    }
}

#[track_caller]
fn close(found: f64, wanted: f64, within: f64, row: &Value) {
    assert!((found - wanted).abs() <= within, "found {found}, wanted {wanted}: {row}");
}

#[test]
fn the_tables_are_large() {
    assert!(rows("spokes").len() >= 140);
    assert!(rows("threads").len() >= 7);
    assert!(rows("fits").len() >= 7);
}

#[test]
fn spokes_are_the_distance_of_their_ends() {
    for row in rows("spokes") {
        close(length(run(&row)).unwrap().to_mm(), number(&row, "length_mm"), 1e-9, &row);
    }
}

#[test]
fn spokes_lean_as_their_vector_does() {
    for row in rows("spokes") {
        let run = run(&row);
        let found = bracing_angle(run.flange_offset, run.span().unwrap()).to_deg();
        close(found, number(&row, "bracing_deg"), 1e-9, &row);
    }
}

#[test]
fn bores_lie_where_the_flanks_of_the_thread_say() {
    let rows = rows("threads");
    for row in &rows {
        let thread = Thread::metric(number(row, "major_mm"), number(row, "pitch_mm"));
        close(thread.minor_mm(), number(row, "minor_mm"), 1e-9, row);
    }
    for (thread, row) in ShellThread::ALL.into_iter().zip(&rows) {
        close(thread.basic_minor_bore().to_mm(), number(row, "minor_mm"), 1e-9, row);
    }
}

#[test]
fn cups_hold_as_the_points_of_the_bore_say() {
    for row in rows("fits") {
        let readings: Vec<Length> = row["readings_mm"]
            .as_array()
            .unwrap()
            .iter()
            .map(|reading| Length::mm(reading.as_f64().unwrap()))
            .collect();
        let bore = Bore::from_readings(&readings).unwrap();
        let found = hold(mm(&row, "cup_mm"), bore);
        close(found.least.to_mm(), number(&row, "least_mm"), 1e-6, &row);
        close(found.most.to_mm(), number(&row, "most_mm"), 1e-6, &row);
        close(bore.ovality().to_mm(), number(&row, "ovality_mm"), 1e-6, &row);
        let pair = hold_of_both(mm(&row, "cup_mm"), bore, mm(&row, "cup_mm"), bore);
        assert_eq!(pair, found);
    }
}
