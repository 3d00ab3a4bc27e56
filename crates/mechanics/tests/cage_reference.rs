//! The cage against a second formulation under the root finders of a general numerical library.
//!
//! `data/cage_reference.json` was written by `data/cage_reference.py` (numpy and scipy): tangent points by `fsolve`,
//! arcs between them, the closure by `brentq`, the calibration by `least_squares`. It shares no formula with ours.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::cage::{
    Derailleur, Dimension, Drivetrain, Frame, Gear, Hold, LevelReading, Pulley, Readings, SHORT, cage_angle,
    calibrate, path_length, solve_pair,
};
use quantity::{Angle, Length, Pitches, Teeth};
use serde_json::Value;

const TABLE: &str = include_str!("data/cage_reference.json");

fn rows(key: &str) -> Vec<Value> {
    let table: Value = serde_json::from_str(TABLE).unwrap();
    table[key].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn teeth(row: &Value, key: &str) -> Teeth {
    Teeth::new(row[key].as_i64().unwrap()).unwrap()
}

fn pulley(row: &Value, key: &str) -> Pulley {
    Pulley::new(u8::try_from(row[key].as_u64().unwrap()).unwrap()).unwrap()
}

/// Stops as wide as the model takes them: the other formulation knows none.
fn derailleur(row: &Value) -> Derailleur {
    let mm = |key| Length::mm(number(row, key));
    let deg = |key| Angle::deg(number(row, key));
    Derailleur {
        guide: pulley(row, "guide"),
        tension: pulley(row, "tension"),
        pulleys_apart: mm("apart_mm"),
        guide_offset: mm("guide_offset_mm"),
        guide_offset_angle: deg("guide_offset_deg"),
        reach: mm("reach_mm"),
        body_angle: deg("body_deg"),
        slant: deg("slant_deg"),
        slant_direction: deg("slant_direction_deg"),
        screw_per_turn: deg("screw_deg"),
        screw_turns: 1.0,
        screw_turns_most: 1.0,
        stop_forward: Angle::deg(-80.0),
        stop_back: Angle::deg(200.0),
    }
}

fn frame(row: &Value) -> Frame {
    let mm = |key| Length::mm(number(row, key));
    Frame {
        chainstay: mm("chainstay_mm"),
        bracket_drop: mm("bracket_drop_mm"),
        hanger_drop: mm("hanger_drop_mm"),
        hanger_behind: mm("hanger_behind_mm"),
    }
}

fn gear(row: &Value) -> Gear {
    let inward = Length::mm(number(row, "inward_mm"));
    Gear { ring: teeth(row, "ring"), cog: teeth(row, "cog"), inward }
}

/// The largest relative difference, after looking that it is within bounds.
fn worst(of: impl Iterator<Item = (f64, f64)>, within: f64) -> f64 {
    let worst = of.fold(0.0_f64, |worst, (found, wanted)| {
        let off = (found / wanted - 1.0).abs();
        assert!(off <= within, "found {found}, wanted {wanted}");
        worst.max(off)
    });
    assert!(worst.is_finite());
    worst
}

#[test]
fn the_table_is_large() {
    let cases = rows("cases");
    assert!(cases.len() >= 300);
    let offset = cases.iter().filter(|row| number(row, "guide_offset_mm") > 0.0).count();
    assert!(offset >= 80, "only {offset} have the guide pulley off the pivot");
}

#[test]
fn chain_lengths_agree() {
    let cases = rows("cases");
    let pairs = cases.iter().map(|row| {
        let cage = Angle::deg(number(row, "cage_deg"));
        let found = path_length(&derailleur(row), &frame(row), gear(row), cage);
        (found.unwrap().to_f64(), number(row, "length_pitches"))
    });
    println!("worst length: {:e}", worst(pairs, 1e-12));
}

#[test]
fn cage_angles_agree_with_a_root_finder() {
    let cases = rows("cases");
    let pairs = cases.iter().map(|row| {
        let count = Pitches::new(number(row, "count"));
        let found = cage_angle(&derailleur(row), &frame(row), gear(row), count);
        (found.unwrap_or_else(|why| panic!("{why}: {row}")).to_deg(), number(row, "angle_deg"))
    });
    println!("worst angle: {:e}", worst(pairs, 1e-9));
}

#[test]
fn pulleys_and_gap_stand_where_the_other_formulation_puts_them() {
    for row in rows("cases") {
        let count = Pitches::new(number(&row, "count"));
        let found = solve_pair(&derailleur(&row), &frame(&row), gear(&row), count).unwrap();
        let wanted = |key: &str, idx: usize| row[key][idx].as_f64().unwrap();
        for (found, wanted) in [
            (found.guide.forward, wanted("guide_mm", 0)),
            (found.guide.below, wanted("guide_mm", 1)),
            (found.tension.forward, wanted("tension_mm", 0)),
            (found.tension.below, wanted("tension_mm", 1)),
            (found.gap, number(&row, "gap_mm")),
        ] {
            assert!((found.to_mm() - wanted).abs() <= 1e-8, "found {found:.9}, wanted {wanted}: {row}");
        }
    }
}

#[test]
fn the_limits_of_the_cage_stand_where_a_scan_finds_them() {
    let (mut by_chain, mut by_cog, mut straight, mut by_arm) = (0, 0, 0, 0);
    for row in rows("cases") {
        let with = |count| solve_pair(&derailleur(&row), &frame(&row), gear(&row), Pitches::new(count));
        let far_too_long = with(300.0).unwrap();
        let back = far_too_long.cage_angle.to_deg();
        let wanted = match far_too_long.hold {
            Hold::Touching { .. } => {
                by_chain += 1;
                number(&row, "touching_deg")
            }
            Hold::Meshing { .. } => {
                by_cog += 1;
                number(&row, "meshing_deg")
            }
            other => panic!("{other:?}: {row}"),
        };
        assert!((back - wanted).abs() <= 1e-8, "found {back}, wanted {wanted}: {row}");
        let far_too_short = with(10.0).unwrap();
        let forward = far_too_short.cage_angle.to_deg();
        // Where the scan left the range of the stops, the limit is the stop.
        let least = row["straight_deg"].as_f64().map_or(-80.0 + number(&row, "screw_deg"), |deg| deg + 1.0);
        if (forward - least).abs() <= 1e-8 {
            straight += 1;
        } else {
            // The arm grows from nothing, slowly where the pulleys nearly touch; a guide pulley off the pivot can make it vanish much earlier.
            let on_the_pivot = number(&row, "guide_offset_mm") == 0.0;
            let latest = if on_the_pivot { least + 8.0 } else { 90.0 };
            assert!(least < forward && forward < latest, "{forward} and {least}: {row}");
            assert!((far_too_short.arm.to_mm() - 1.0).abs() <= 1e-6, "{:?}: {row}", far_too_short.arm);
            by_arm += 1;
        }
    }
    println!("{by_chain} by the chain, {by_cog} by the cog, {straight} straight, {by_arm} by the arm");
    assert!(by_chain >= 100 && by_cog >= 20 && straight >= 100 && by_arm >= 100);
}

#[test]
fn calibration_agrees_with_least_squares() {
    let counts = |counts: &[i64]| counts.iter().map(|n| Teeth::new(*n).unwrap()).collect::<Vec<_>>();
    let (rings, cogs) = (counts(&[50, 34]), counts(&[11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28]));
    let frame = Frame::usual(Length::mm(410.0));
    let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: Length::mm(3.74) };
    let fits = rows("fits");
    assert!(fits.len() >= 12);
    for row in fits {
        let level = |idx: usize, ring_idx, cog_idx| LevelReading {
            ring_idx,
            cog_idx,
            angle: Angle::deg(row["angles_deg"][idx].as_f64().unwrap()),
        };
        let readings = Readings {
            count: Pitches::new(106.0),
            levels: [level(0, 0, 9), level(1, 1, 2)],
            level_tolerance: Angle::deg(0.5),
            gap_ring_idx: 0,
            gap_cog_idx: 9,
            gap: Length::mm(number(&row, "gap_mm")),
            gap_tolerance: Length::mm(0.5),
        };
        let found = calibrate(&SHORT, &drivetrain, &readings).unwrap();
        let fitted = [
            Dimension::PulleysApart,
            Dimension::Reach,
            Dimension::BodyAngle,
            Dimension::Slant,
            Dimension::SlantDirection,
        ];
        for (idx, dimension) in fitted.into_iter().enumerate() {
            let place = Dimension::ALL.iter().position(|it| *it == dimension).unwrap();
            let wanted = row["shares"][idx].as_f64().unwrap();
            assert!((found.moved[place] - wanted).abs() <= 1e-6, "{dimension:?}: {:?}: {row}", found.moved);
        }
        assert!(found.misfit < 1.0, "{row}");
    }
}
