//! The diagnosis beside a second one, made with numpy and scipy by `data/diagnosis_reference.py`: one hundred drawn
//! bikes, every probability within one in a hundred.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a reference that cannot be read has failed")]

use mechanics::click_window::Window;
use mechanics::diagnosis::{
    Cause, Evidence, Gap, GearRow, Grid, History, LimitSeen, Seen, Shift, Sound, posterior,
};
use quantity::Length;
use serde_json::Value;

fn named<T: Copy + std::fmt::Debug>(all: &[T], value: &Value) -> Option<T> {
    let name = value.as_str()?;
    Some(*all.iter().find(|one| format!("{one:?}") == name).unwrap_or_else(|| panic!("{name}")))
}

fn grid(value: &Value) -> Grid {
    let row = |row: &Value| GearRow {
        to_larger: named(&Shift::ALL, &row["to_larger"]),
        to_smaller: named(&Shift::ALL, &row["to_smaller"]),
        sound: named(&Sound::ALL, &row["sound"]),
    };
    Grid {
        clicks: value["clicks"].as_i64().unwrap() as i32,
        rows: value["rows"].as_array().unwrap().iter().map(row).collect(),
        high_set: value["high_set"].as_bool().unwrap(),
        low_set: value["low_set"].as_bool().unwrap(),
    }
}

fn seen(value: &Value) -> Seen {
    let said = &value[1];
    let yes = || said.as_bool().unwrap();
    let limit = |at: usize| named(&[LimitSeen::Tight, LimitSeen::Right, LimitSeen::Open], &said[at]).unwrap();
    match value[0].as_str().unwrap() {
        "limits" => Seen::Limits { high: limit(0), low: limit(1) },
        "anchor" => Seen::Anchor(yes()),
        "hanger" => Seen::Hanger(yes()),
        "drag" => Seen::Drag(yes()),
        "pull" => Seen::Pull(yes()),
        "stack" => Seen::Stack(said.as_u64().map(|gear| gear as u32)),
        "gap" => Seen::Gap(named(&[Gap::Small, Gap::Right, Gap::Large], said).unwrap()),
        "teeth" => Seen::Teeth(yes()),
        "play" => Seen::Play(yes()),
        "link" => Seen::Link(yes()),
        "windows" => Seen::Windows(
            said.as_array()
                .unwrap()
                .iter()
                .map(|one| {
                    let window = Window { centre: one[1].as_f64().unwrap(), width: one[2].as_f64().unwrap() };
                    (one[0].as_u64().unwrap() as u32, window)
                })
                .collect(),
        ),
        other => panic!("{other}"),
    }
}

#[test]
fn a_second_inference_agrees_to_one_in_a_hundred() {
    let text = include_str!("data/diagnosis_reference.json");
    let reference: Value = serde_json::from_str(text).unwrap();
    let cases = reference["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 100);
    let mut furthest = 0.0_f64;
    let mut undecided = 0;
    for (at, case) in cases.iter().enumerate() {
        let mut evidence = Evidence::of(
            case["gears"].as_u64().unwrap() as u32,
            case["ratio"].as_f64().unwrap(),
            Length::mm(case["detent_mm"].as_f64().unwrap()),
        );
        let mark = |name: &str| case["history"][name].as_bool();
        evidence.history = History {
            new_housing: mark("new_housing"),
            fall: mark("fall"),
            new_wheel: mark("new_wheel"),
            used_derailleur: mark("used_derailleur"),
            new_chain: mark("new_chain"),
            marginal_index: mark("marginal_index"),
            dragging_run: mark("dragging_run"),
            drifted: mark("drifted"),
            worse_on_road: mark("worse_on_road"),
            changes_with_bars: mark("changes_with_bars"),
            since_wet: mark("since_wet"),
        };
        evidence.grids = case["grids"].as_array().unwrap().iter().map(grid).collect();
        evidence.seen = case["checks"].as_array().unwrap().iter().map(seen).collect();
        let found = posterior(&evidence).unwrap();
        for (cause, wanted) in Cause::ALL.into_iter().zip(case["probabilities"].as_array().unwrap()) {
            let (mine, theirs) = (found.probability(cause), wanted.as_f64().unwrap());
            assert!((mine - theirs).abs() < 0.01, "case {at}, {cause:?}: {mine:.4} and {theirs:.4}");
            furthest = furthest.max((mine - theirs).abs());
            undecided += usize::from((0.05..0.95).contains(&theirs));
        }
        let (mine, theirs) = (found.two_at_once(), case["two_at_once"].as_f64().unwrap());
        assert!((mine - theirs).abs() < 0.01, "case {at}, two at once: {mine:.4} and {theirs:.4}");
    }
    println!("furthest apart {furthest:.5}, {undecided} undecided");
    // The cases are such that something is at stake.
    assert!(undecided > 100, "{undecided}");
}
