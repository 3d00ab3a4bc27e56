//! `choose` as a person or a script meets it: offers, reasons, other states of a file, clear refusals.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use serde_json::Value;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

fn example(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/choose").join(name);
    path.to_string_lossy().into_owned()
}

fn choose(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cogwright"))
        .arg("choose")
        .args(args)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn text(run: &Output) -> String {
    String::from_utf8(run.stdout.clone()).unwrap()
}

#[test]
fn the_offers_are_named_with_what_they_pull_and_leave() {
    let run = choose(&[&example("eleven-cogs-on-a-short-body.toml")]);
    let text = text(&run);
    assert_eq!(run.status.code(), Some(3), "{text}");
    for said in [
        "Leave it",
        "Good",
        "good pulls the fewest chains of dependence",
        "% easier",
        "leaves alone",
        "in stock",
        "min of labour",
        "Measure first",
        "marginal verdicts only",
    ] {
        assert!(text.contains(said), "no `{said}` in\n{text}");
    }
    insta::assert_snapshot!("short_body", text);
}

#[test]
fn where_nothing_fits_the_reasons_have_numbers_and_the_ways_a_price() {
    let run = choose(&[&example("mountains-keep-everything.toml")]);
    let text = text(&run);
    assert_eq!(run.status.code(), Some(1), "{text}");
    for said in [
        "cannot hold together",
        "it locks and tears the derailleur off",
        "Ways out",
        "from 126.00 EUR",
        "sets",
    ] {
        assert!(text.contains(said), "no `{said}` in\n{text}");
    }
    insta::assert_snapshot!("keep_everything", text);
}

#[test]
fn the_other_wishes_are_answered() {
    insta::assert_snapshot!("triple", text(&choose(&[&example("triple-to-double.toml")])));
    insta::assert_snapshot!("single_ring", text(&choose(&[&example("old-steel-frame-single-ring.toml")])));
}

#[test]
fn json_holds_every_set_and_names_the_offers() {
    let run = choose(&[&example("triple-to-double.toml"), "--json"]);
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    let sets = answer["sets"].as_array().unwrap();
    assert!(answer["complete"].as_bool().unwrap() && !sets.is_empty());
    for offer in answer["offers"].as_array().unwrap() {
        assert!((offer["set"].as_u64().unwrap() as usize) < sets.len());
    }
    let prices: Vec<i64> = sets.iter().map(|set| set["price_minor"].as_i64().unwrap()).collect();
    assert!(prices.is_sorted(), "{prices:?}");
    let schema = Command::new(env!("CARGO_BIN_EXE_cogwright")).args(["schema", "sets"]).output().unwrap();
    let schema: Value = serde_json::from_slice(&schema.stdout).unwrap();
    let named = schema["properties"].as_object().unwrap();
    for key in answer.as_object().unwrap().keys() {
        assert!(named.contains_key(key), "`{key}` is not in the schema");
    }
}

#[test]
fn a_wish_with_another_ceiling_says_what_changes() {
    let (one, two) = (example("eleven-cogs-on-a-short-body.toml"), example("triple-to-double.toml"));
    let said = text(&choose(&[&one, "--against", &one]));
    assert!(said.contains("0 sets fall out, 0 come in"), "{said}");
    let said = text(&choose(&[&one, "--against", &two, "--all"]));
    assert!(said.contains("becomes") && said.contains("Every set that nothing beats"), "{said}");
}
