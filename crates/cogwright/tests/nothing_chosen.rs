//! `judge` on a wish without parts: no verdict that cannot be stood behind, and what to measure for the wish.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use std::io::Write;
use std::process::{Command, Stdio};

fn judge(file: &str) -> (Option<i32>, String) {
    judge_as(&["judge", "-"], file)
}

fn judge_as(args: &[&str], file: &str) -> (Option<i32>, String) {
    let mut run = Command::new(env!("CARGO_BIN_EXE_cogwright"))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    run.stdin.take().unwrap().write_all(file.as_bytes()).unwrap();
    let output = run.wait_with_output().unwrap();
    (output.status.code(), String::from_utf8(output.stdout).unwrap())
}

const STEEL: &str = "[bike.frame]\nmaterial = \"steel\"\n[bike.rear_wheel]\nhub_width = \"126 mm\"\n";

#[test]
fn a_steel_frame_with_a_wish_for_eleven_is_told_what_to_measure() {
    let (status, text) =
        judge(&format!("name = \"old steel\"\n[wish]\nwords = \"eleven\"\n[wish.set]\ncogs = 11\n{STEEL}"));
    assert_eq!(status, Some(3), "{text}");
    assert!(text.contains("NOTHING CHOSEN YET") && !text.contains("WORKS:"), "{text}");
    let measure = text.split("Measure first").nth(1).unwrap().split("\nParts").next().unwrap();
    let first = measure.lines().find(|line| line.trim_start().starts_with('1')).unwrap();
    assert!(text.contains("length of the cassette") && text.contains("body-length"), "{text}");
    // The body that the cassette goes on comes before what only other levers or wheels would need.
    assert!(measure.find("body-length").unwrap() < measure.find("brake-leverage").unwrap(), "{first}");
    // Nothing is measured on what goes whatever is chosen.
    assert!(!measure.contains("teeth of every cog"), "{text}");
}

#[test]
fn words_alone_are_not_judged() {
    let (status, text) = judge(&format!("name = \"old steel\"\n[wish]\nwords = \"eleven\"\n{STEEL}"));
    assert_eq!(status, Some(3), "{text}");
    assert!(text.contains("NOTHING CHOSEN YET") && text.contains("cogs = 11 under [wish.set]"), "{text}");
}

#[test]
fn json_says_that_nothing_is_chosen() {
    let wish = format!("name = \"old steel\"\n[wish]\nwords = \"eleven\"\n[wish.set]\ncogs = 11\n{STEEL}");
    let (_, json) = judge_as(&["judge", "-", "--json"], &wish);
    let plan: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert!(plan["nothing_chosen"].as_str().unwrap().contains("choose"), "{plan}");
    let chosen = format!("{wish}[choice]\nchain = \"chain-11\"\n");
    let (_, json) = judge_as(&["judge", "-", "--json"], &chosen);
    let plan: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert!(plan["nothing_chosen"].is_null() && plan["verdict"].is_string(), "{plan}");
}

#[test]
fn a_refusal_on_the_bike_as_it_is_stands_all_the_same() {
    let (status, text) = judge(&format!(
        "name = \"old steel\"\n[wish]\nwords = \"eleven\"\n[wish.set]\ncogs = 11\n{}",
        STEEL.replace("material", "damage = \"crack\"\nmaterial")
    ));
    assert_eq!(status, Some(1), "{text}");
    assert!(!text.contains("NOTHING CHOSEN YET"), "{text}");
}
