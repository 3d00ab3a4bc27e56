//! The front cage and the landing of gears against a second formulation under a general numerical library.
//!
//! `data/front_reference.json` was written by `data/front_reference.py` (numpy and scipy): tangent points by `fsolve`,
//! crossings and click windows by `brentq`, lines met by `linalg.solve`, the travel curve by `PchipInterpolator`.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::front_map::{FrontCage, FrontRun, pass};
use mechanics::monotone_curve::MonotoneCurve;
use mechanics::shift_landing::{Hanger, ShiftModel, ShiftParts, Toward};
use quantity::{Angle, Length, Teeth};
use serde_json::Value;

const TABLE: &str = include_str!("data/front_reference.json");

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

fn teeth(row: &Value, key: &str) -> Teeth {
    Teeth::new(row[key].as_i64().unwrap()).unwrap()
}

fn deg(row: &Value, key: &str) -> Angle {
    Angle::deg(number(row, key))
}

/// A pair of numbers, either of which may be missing on both sides.
fn differs(found: Option<f64>, wanted: &Value) -> f64 {
    match (found, wanted.as_f64()) {
        (Some(found), Some(wanted)) => (found - wanted).abs(),
        (None, None) => 0.0,
        // One side has a number and the other has none.
        _ => f64::INFINITY,
    }
}

#[test]
fn three_hundred_passages_are_those_of_the_root_finder() {
    let rows = rows("passes");
    assert!(rows.len() >= 300);
    let (mut worst, mut fronts, mut rubs) = (0.0_f64, 0, 0);
    for row in &rows {
        let cage = FrontCage {
            nose_width: mm(row, "nose_mm"),
            tail_width: mm(row, "tail_width_mm"),
            length: mm(row, "length_mm"),
            tail_behind: mm(row, "tail_mm"),
            yaw: deg(row, "yaw_deg"),
            height: mm(row, "height_mm"),
            inner_depth: mm(row, "depth_mm"),
            bridge_depth: mm(row, "bridge_mm"),
        };
        let run = FrontRun {
            ring: teeth(row, "ring"),
            outer_ring: teeth(row, "outer_ring"),
            ring_at: mm(row, "ring_at_mm"),
            cog: teeth(row, "cog"),
            cog_at: mm(row, "cog_at_mm"),
            chainstay: mm(row, "stay_mm"),
            chain_outer: mm(row, "chain_mm"),
        };
        let found = pass(&cage, &run).unwrap();
        let rooms = found.rooms(Length::mm(0.0));
        let known = [
            (Some(found.at_nose), "at_nose_mm"),
            (Some(found.at_tail), "at_tail_mm"),
            (Some(found.leaves_ring), "leaves_mm"),
            (Some(found.over_bridge), "over_bridge_mm"),
            (rooms.inner_front, "inner_front_mm"),
            (rooms.outer_front, "outer_front_mm"),
            (Some(rooms.inner_tail), "inner_tail_mm"),
            (Some(rooms.outer_tail), "outer_tail_mm"),
            (Some(found.clean().least), "least_mm"),
            (Some(found.clean().most), "most_mm"),
        ];
        for (length, key) in known {
            let apart = differs(length.map(Length::to_mm), &row[key]);
            assert!(apart <= 1e-9, "{key}: {apart} in {row}");
            worst = worst.max(apart);
        }
        fronts += usize::from(rooms.inner_front.is_some());
        rubs += usize::from(found.clean().width() < Length::mm(0.0));
    }
    // Both kinds must be among them.
    assert!(fronts > 100 && fronts < 300 && rubs > 10 && rubs < 290, "{fronts} {rubs}");
    println!("passages: worst disagreement {worst:.1e} mm");
}

#[test]
fn two_hundred_shiftings_land_as_the_library_says() {
    let rows = rows("landings");
    assert!(rows.len() >= 200);
    let mut worst = 0.0_f64;
    for row in &rows {
        let list = |key: &str| -> Vec<Length> {
            row[key].as_array().unwrap().iter().map(|one| Length::mm(one.as_f64().unwrap())).collect()
        };
        let travel: Vec<(f64, f64)> = row["travel_mm"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| (pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap()))
            .collect();
        let drop = list("drop_mm");
        let model = ShiftModel::new(ShiftParts {
            pulls: list("pulls_mm"),
            travel: MonotoneCurve::rising(&travel).unwrap(),
            pitches: list("pitches_mm"),
            cog_thickness: Length::mm(1.6),
            chain_outer: Length::mm(5.5),
            hanger: Hanger {
                roll: deg(row, "roll_deg"),
                toe: deg(row, "toe_deg"),
                drop_at_smallest: drop[0],
                drop_at_largest: drop[1],
                behind: mm(row, "behind_mm"),
            },
            float: mm(row, "float_mm"),
            lost_motion: mm(row, "lost_mm"),
            reach: mm(row, "reach_mm"),
        })
        .unwrap();
        let adjuster = mm(row, "adjuster_mm");
        for gear in 0..model.gears() {
            let error = |toward| model.landing(gear, toward, adjuster).map(|landing| landing.error.to_mm());
            let room = model.click_room(gear, adjuster, Length::mm(0.2)).unwrap();
            let clicks = |clicks: f64| clicks.is_finite().then_some(clicks);
            let errors = &row["errors_mm"][gear];
            let windows = &row["clicks"][gear];
            for apart in [
                differs(error(Toward::Larger), &errors[0]),
                differs(error(Toward::Smaller), &errors[1]),
                differs(clicks(room.add), &windows[0]),
                differs(clicks(room.take_off), &windows[1]),
            ] {
                assert!(apart <= 1e-9, "gear {gear}: {apart} in {row}");
                worst = worst.max(apart);
            }
        }
    }
    println!("landings: worst disagreement {worst:.1e}");
}
