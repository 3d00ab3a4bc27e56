//! `diagnose` as a mechanic meets it: the example, the refusals, and the plan of the same bike beside it.

#![expect(clippy::unwrap_used, reason = "a test that cannot run its program has failed")]

use serde_json::Value;
use std::io::Write;
use std::process::{Command, Output, Stdio};

fn cogwright(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_cogwright"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

fn out(arguments: &[&str], input: &str) -> String {
    let output = cogwright(arguments, input);
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn refused(input: &str) -> String {
    let output = cogwright(&["diagnose", "-"], input);
    assert_eq!(output.status.code(), Some(2));
    String::from_utf8(output.stderr).unwrap()
}

#[test]
fn the_example_reads_as_it_was_accepted() {
    insta::assert_snapshot!("example", out(&["diagnose", "--example"], ""));
}

#[test]
fn the_document_has_the_keys_of_its_schema() {
    let document: Value = serde_json::from_str(&out(&["diagnose", "--example", "--json"], "")).unwrap();
    let schema: Value = serde_json::from_str(&out(&["schema", "diagnosis"], "")).unwrap();
    let keys = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&document), keys(&schema["properties"]));
    assert_eq!(document["rear"]["next"]["sort"], "turn");
    assert_eq!(document["noise"]["sources"][0]["source"], "link of the chain");
}

#[test]
fn the_schema_of_the_file_knows_every_key_of_the_example() {
    let schema: Value = serde_json::from_str(&out(&["schema", "complaint"], "")).unwrap();
    for (table, key) in [("rear", "grid"), ("rear", "history"), ("noise", "tick_taps"), ("front", "shows")] {
        assert!(schema["properties"][table]["properties"][key].is_object(), "{table}.{key}");
    }
}

const OPEN: &str = "name = 'over the largest cog'\n[rear]\ncogs = 5\nratio = '1.4'\n[[rear.grid]]\n\
    to_larger = ['-', 'clean', 'clean', 'clean', 'over']\n\
    to_smaller = ['clean', 'clean', 'clean', 'clean', '-']\n";

#[test]
fn a_chain_that_may_leave_the_cassette_stops_the_bike() {
    let output = cogwright(&["diagnose", "-"], OPEN);
    assert_eq!(output.status.code(), Some(1));
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("stop: this bike is not ridden before this is mended"), "{text}");
    assert!(text.contains("push the derailleur by hand to both ends"), "{text}");
}

#[test]
fn all_problems_of_a_file_come_at_once() {
    let text = refused(
        "name = ''\n[rear]\ncogs = 5\nratio = '1.4'\n[[rear.grid]]\nto_larger = ['-', 'slwo', 'slow', 'slow', 'slow']\n\
         to_smaller = ['clean']\nclick = 3\n[rear.seen]\nsmallest_limit = 'right'\nhanger_bent = 'yes'\n\
         [noise]\nchain = 108\nring = 50\ncog = 17\n[fornt]\n",
    );
    for problem in [
        "`name` is empty",
        "did you mean `slow`?",
        "`to_smaller` has 1 words for 5 cogs",
        "did you mean `clicks`?",
        "one limit alone was looked at",
        "`hanger_bent` is text; true or false is wanted",
        "a noise is counted or tapped, and this is neither or both",
        "did you mean `front`?",
    ] {
        assert!(text.contains(problem), "{problem}\n{text}");
    }
}

#[test]
fn nothing_seen_and_nothing_known_are_refused_or_asked_for() {
    assert!(refused("name = 'hook 3'\n").contains("nothing that was seen is written"));
    assert!(refused("[rear]\n").contains("`cogs` is not written here"));
    let text = out(&["diagnose", "-"], "name = 'hook 3'\n[rear]\ncogs = 11\nratio = '1.4'\n");
    assert!(text.contains("try every gear both ways"), "{text}");
}

#[test]
fn the_plan_of_another_bike_is_refused() {
    let refit = concat!(env!("CARGO_MANIFEST_DIR"), "/example.toml");
    let output = cogwright(&["diagnose", "-", "--refit", refit], OPEN);
    assert_eq!(output.status.code(), Some(2));
    let text = String::from_utf8(output.stderr).unwrap();
    assert!(text.contains("the complaint has 5 cogs and the refit 11"), "{text}");
}

/// New housing in the plan speaks for a cable that settled.
#[test]
fn what_the_plan_knows_of_the_bike_moves_the_answer() {
    let complaint = "name = 'hook 12'\n[rear]\ncogs = 11\nratio = '1.4'\n[[rear.grid]]\n\
        to_larger = ['-', 'slow', 'slow', 'clean', 'slow', 'slow', 'clean', 'slow', 'slow', 'slow', 'slow']\n\
        to_smaller = ['clean', 'clean', 'clean', 'clean', 'clean', 'clean', 'clean', 'clean', 'clean', 'clean', '-']\n";
    let refit = concat!(env!("CARGO_MANIFEST_DIR"), "/example.toml");
    let slack = |arguments: &[&str]| {
        let document: Value = serde_json::from_str(&out(arguments, complaint)).unwrap();
        document["rear"].clone()
    };
    let alone = slack(&["diagnose", "-", "--json"]);
    let beside = slack(&["diagnose", "-", "--json", "--refit", refit]);
    assert_ne!(alone["causes"], beside["causes"]);
}
