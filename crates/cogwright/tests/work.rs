//! `work` as a person or a script meets it: the order, the reasons, the minutes.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use serde_json::Value;
use std::process::{Command, Output, Stdio};

fn work(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cogwright"));
    command.arg("work").args(args).stdin(Stdio::null()).output().unwrap()
}

fn text(args: &[&str]) -> String {
    String::from_utf8(work(args).stdout).unwrap()
}

fn json(args: &[&str]) -> Value {
    serde_json::from_slice(&work(&[args, &["--json"]].concat()).stdout).unwrap()
}

fn minutes(document: &Value, key: &str) -> u64 {
    document[key]["usual"].as_u64().unwrap()
}

#[test]
fn the_order_begins_with_the_talk_and_ends_with_the_look_after_some_weeks() {
    let document = json(&["--example"]);
    let order = document["order"].as_array().unwrap();
    assert_eq!(order.first().unwrap()["step"], "talk");
    assert_eq!(order.last().unwrap()["step"], "follow-up");
    let place = |id: &str| order.iter().position(|step| step["step"] == id).unwrap();
    assert!(place("rear-limits") < place("rear-inner") && place("first-ride") < place("tape-on"));
    let sum: u64 = order.iter().map(|step| minutes(step, "minutes")).sum();
    assert_eq!(sum, minutes(&document, "minutes"));
}

#[test]
fn steps_counted_once_are_fewer_minutes_than_line_by_line() {
    let document = json(&["--example"]);
    let of = |key| minutes(&document, key);
    assert!(of("minutes") < of("sum_in_one_visit") && of("sum_in_one_visit") < of("sum_of_lines"));
    for line in document["operations"].as_array().unwrap() {
        assert!(minutes(line, "in_this_job") < minutes(line, "alone"), "{line}");
    }
}

/// Brakes that are worked by oil have no inner to anchor: whoever works by the list would look for one. What is opened is bled.
#[test]
fn brakes_worked_by_oil_are_routed_and_bled_and_have_no_inners() {
    let case = |name: &str| format!("{}/../../cases/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    for name in ["case-7-disc", "case-7b-hoses"] {
        let document = json(&[case(name).as_str()]);
        let has = |key: &str, list: &str, id: &str| {
            document[list].as_array().unwrap().iter().any(|row| row[key] == id)
        };
        for step in ["hoses-route", "bleed-front", "bleed-rear", "disc-calipers-centre", "brakes-set"] {
            assert!(has("step", "order", step), "{name} {step}");
        }
        for step in ["brake-inners", "brake-housings", "calipers-fit"] {
            assert!(!has("step", "order", step), "{name} {step}");
        }
        assert!(
            !has("fastener", "bolts", "brake-anchor-front") && !has("operation", "operations", "calipers")
        );
    }
    // By cable on a rim nothing of this comes.
    let document = json(&["--example"]);
    let steps = document["order"].as_array().unwrap();
    assert!(!steps.iter().any(|step| step["step"] == "bleed-front" || step["step"] == "hoses-route"));
}

#[test]
fn reasons_are_shown_on_request() {
    let why = "limits come before the tension";
    assert!(!text(&["--example"]).contains(why));
    assert!(text(&["--example", "--why"]).contains(why));
}

#[test]
fn what_the_bike_adds_is_shown_by_name() {
    let plain = json(&["--example"]);
    let old = json(&["--example", "--age", "corroded", "--internal-routing", "--customer-parts"]);
    assert_eq!(minutes(&old, "minutes"), minutes(&plain, "minutes") + 30 + 15);
    assert!(minutes(&old, "total") > minutes(&old, "minutes"));
    let text = text(&["--example", "--age", "corroded", "--internal-routing"]);
    for words in ["corroded parts: 30 %", "cables through the frame"] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn the_status_is_that_of_the_plan_and_an_open_measurement_is_said_first() {
    let run = work(&["--example"]);
    assert_eq!(run.status.code(), Some(3));
    assert!(text(&["--example"]).contains("before the strip: what is open has to be measured"));
    assert_eq!(work(&["--example", "--age", "ancient"]).status.code(), Some(2));
}
