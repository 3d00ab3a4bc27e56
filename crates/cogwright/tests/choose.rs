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
        "m is reached",
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

#[test]
fn with_the_file_of_the_shop_the_offers_have_prices_and_the_ceiling_counts_the_work() {
    let file = example("eleven-cogs-on-a-short-body.toml");
    let shop = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shop.toml");
    let shop = ["--shop", &shop.to_string_lossy(), "--today", "2026-11-25"].map(str::to_owned);
    let shop: Vec<&str> = shop.iter().map(String::as_str).collect();
    let without = text(&choose(&[&file]));
    assert!(!without.contains("eight of ten up to") && without.contains("not included:"), "{without}");
    let with = text(&choose(&[&[&file[..]], &shop[..]].concat()));
    for said in
        ["half of all such jobs up to", "eight of ten up to", "gears", "leaves alone", "not included:"]
    {
        assert!(with.contains(said), "no `{said}` in\n{with}");
    }
    let run = choose(&[&[&file[..], "--json"], &shop[..]].concat());
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    for offer in answer["offers"].as_array().unwrap() {
        let price = |key: &str| offer[key].as_i64().unwrap();
        assert!(price("price_p50_minor") <= price("price_p80_minor"), "{offer}");
        let parts = answer["sets"][offer["set"].as_u64().unwrap() as usize]["price_minor"].as_i64().unwrap();
        assert!(price("price_p50_minor") > parts, "the work costs something: {offer}");
    }
    // A ceiling between the parts and the whole job leaves no offer below it.
    let low = wish_with(&file, "words =", "ceiling = \"700.00 EUR\"\nwords =", "ceiling.toml");
    let said = text(&choose(&[&[&low[..]], &shop[..]].concat()));
    assert!(said.contains("pass the ceiling of 700.00 EUR"), "{said}");
    let unpriced = text(&choose(&[&low]));
    assert!(unpriced.contains("held against the parts alone"), "{unpriced}");
}

/// A copy of a file with one text in place of another.
fn wish_with(file: &str, old: &str, new: &str, name: &str) -> String {
    let text = std::fs::read_to_string(file).unwrap();
    assert!(text.contains(old));
    let copy = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&copy, text.replacen(old, new, 1)).unwrap();
    copy.to_string_lossy().into_owned()
}

#[test]
fn another_value_says_what_changes() {
    let file = example("eleven-cogs-on-a-short-body.toml");
    let said = |what: &str| text(&choose(&[&file, "--if", what]));
    let body = said("bike.rear_wheel.body_length=36.8 mm");
    assert!(body.contains("What changes") && !body.contains("0 sets fall out, 0 come in"), "{body}");
    let form = choose(&[&file, "--if", "levers-road-11-pull-2.7=0"]);
    assert!(form.status.code() == Some(2), "neither price nor days");
    let run = choose(&[&file, "--if", "nothing-of-this-name.price=1.00 EUR"]);
    let told = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.code() == Some(2) && told.contains("nothing-of-this-name"), "{told}");
    let run = choose(&[&file, "--if", "bike.rear_wheel.body_length=36.8"]);
    assert!(run.status.code() == Some(2), "a number without a unit is refused");
    let json = choose(&[&file, "--json", "--if", "bike.rear_wheel.body_length=36.8 mm"]);
    let answer: Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(!answer["change"]["come_in"].as_array().unwrap().is_empty());
}

#[test]
fn why_not_is_in_json_with_its_numbers_and_ways() {
    let run = choose(&[&example("mountains-keep-everything.toml"), "--json"]);
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    let why = &answer["why_not"];
    let because = |blame: &Value| blame["because"].as_array().is_some_and(|because| !because.is_empty());
    assert!(why["conflict"].as_array().unwrap().iter().any(because), "{why}");
    let ways = why["ways"].as_array().unwrap();
    assert!(ways.iter().all(|way| !way["parts"].as_array().unwrap().is_empty()) && !ways.is_empty(), "{why}");
}
