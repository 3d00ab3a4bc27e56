//! The ride against numpy and scipy: `data/ride_reference.json`, written by `data/ride_reference.py`.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::ride::nearest_cadence::RoadSums;
use mechanics::ride::power_balance::crank_power_w;
use mechanics::ride::travel::{Pace, travel};
use mechanics::ride::{Load, Profile, State, steady_speed_m_s};
use serde_json::Value;
use std::sync::LazyLock;

static TABLE: LazyLock<Value> =
    LazyLock::new(|| serde_json::from_str(include_str!("data/ride_reference.json")).unwrap());

fn rows(key: &str) -> &'static [Value] {
    TABLE[key].as_array().unwrap()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn load(row: &Value) -> Load {
    Load {
        mass_kg: number(row, "m"),
        drag_area_m2: number(row, "cda"),
        wheel_drag_area_m2: number(row, "fw"),
        rolling: number(row, "crr"),
        efficiency: number(row, "eta"),
        wheel_inertia_kg: row["inertia"].as_f64().unwrap_or(1.45),
        air_density: number(row, "rho"),
        wind_m_s: row["around"].as_f64().unwrap_or(0.0),
    }
}

/// The largest share by which a speed differs from that of the table.
fn worst(rows: &[Value]) -> f64 {
    let mut worst: f64 = 0.0;
    for row in rows {
        let (power, grade, wind) = (number(row, "p"), number(row, "grade"), number(row, "wind"));
        let found = steady_speed_m_s(&load(row), power, grade, wind);
        let off = (found / number(row, "v") - 1.0).abs();
        assert!(off < 1e-9, "found {found}: {row}");
        let state = State { speed_m_s: found, grade, headwind_m_s: wind, acceleration: 0.0 };
        let back = crank_power_w(&load(row), state);
        assert!((back - power).abs() < 1e-9 * power.max(1.0), "{back} W come back: {row}");
        worst = worst.max(off);
    }
    worst
}

#[test]
fn seventy_states_on_a_grid_have_the_speed_that_brentq_finds() {
    assert_eq!(rows("grid").len(), 70);
    assert!(worst(rows("grid")) < 1e-13);
}

#[test]
fn twelve_hundred_random_states_have_the_speed_that_brentq_finds() {
    assert_eq!(rows("states").len(), 1200);
    assert!(worst(rows("states")) < 1e-11);
}

/// The end speed and the time converge with the square of the stretch; the rides have stretches of 10 and 20 m.
#[test]
fn rides_take_as_long_as_the_integrated_ones() {
    for row in rows("rides") {
        let grades: Vec<f64> =
            row["grades"].as_array().unwrap().iter().map(|g| g.as_f64().unwrap()).collect();
        let profile = Profile::from_grades(number(row, "spacing"), grades, 0.0).unwrap();
        let pace = Pace {
            power_w: number(row, "p"),
            start_m_s: number(row, "start"),
            most_m_s: 100.0,
            headwind_m_s: 0.0,
        };
        let found = travel(&load(row), pace, &profile).unwrap();
        let time = found.time_s() / number(row, "time") - 1.0;
        assert!(time.abs() < 2e-4, "time off by {time}: {}", row["name"]);
        for (what, ours) in [
            ("air", found.work.air),
            ("rolling", found.work.rolling),
            ("bearings", found.work.bearings),
            ("climbing", found.work.climbing),
            ("rider", found.work.rider),
        ] {
            let all = number(row, "rider");
            let off = (ours - number(row, what)) / all;
            assert!(off.abs() < 5e-4, "{what} off by {off} of the work: {}", row["name"]);
        }
        assert!(found.work.imbalance().abs() < 1e-12);
    }
}

fn waves() -> Vec<f64> {
    (0..20_000)
        .map(|k| {
            let s = (f64::from(k) + 0.5) * 5.0;
            let wave = |height: f64, length: f64, phase: f64| {
                height * (std::f64::consts::TAU * s / length + phase).sin()
            };
            wave(0.03, 9300.0, 0.0) + wave(0.025, 2750.0, 1.0) + wave(0.015, 610.0, 2.0) + 0.002
        })
        .collect()
}

fn ratios(k: u32) -> Vec<f64> {
    let outer = f64::from(46 + (k * 7) % 9);
    let inner = outer - 16.0 + f64::from((k * 3) % 3);
    let big = f64::from(25 + (k * 5) % 12);
    let cogs: Vec<f64> = (0..11).map(|c| (11.0 * (big / 11.0).powf(f64::from(c) / 10.0)).round()).collect();
    cogs.iter().map(|cog| outer / cog).chain(cogs.iter().map(|cog| inner / cog)).collect()
}

#[test]
fn many_drivetrains_sum_as_numpy_does() {
    let mass = serde_json::json!({
        "m": 85.0, "cda": 0.32, "fw": 0.0044, "crr": 0.004, "eta": 0.976, "rho": 1.2
    });
    let road = RoadSums::new(&load(&mass), 200.0, &waves(), (0.96, 0.985)).unwrap();
    let hours = |slowness: f64| slowness * 5.0 / 3600.0;
    let table = |key: &str| -> Vec<f64> {
        TABLE["sums"][key].as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
    };
    let (shared, own, own_hours) = (table("shared"), table("own"), table("own_hours"));
    let mut sum = 0.0;
    for k in 0..100_u32 {
        let place = k as usize;
        let one = road.deviation(&ratios(k), 2.105, 88.0, 0.976);
        assert!((one.sum_rpm / shared[place] - 1.0).abs() < 1e-10, "{k}: {}", one.sum_rpm);
        assert_eq!(one.stretches.iter().sum::<usize>(), 20_000);
        assert!((hours(one.slowness) / number(&TABLE["sums"], "hours") - 1.0).abs() < 1e-12);
        sum += one.sum_rpm;
        let efficiency = 0.96 + 0.025 * f64::from(k) / 99.0;
        let own_one = road.deviation(&ratios(k), 2.105, 88.0, efficiency);
        assert!((own_one.sum_rpm / own[place] - 1.0).abs() < 1e-10, "{k}: {}", own_one.sum_rpm);
        assert!((hours(own_one.slowness) / own_hours[place] - 1.0).abs() < 1e-12);
    }
    // The sums of the numpy version as printed.
    assert!((shared[0] - 79_684.669_104_071_86).abs() < 1e-6);
    assert!((sum - 6_212_719.725_009_173).abs() < 1e-3, "{sum}");
}
