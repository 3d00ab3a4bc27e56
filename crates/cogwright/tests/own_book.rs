//! The shop's own book as a person meets it: both figures in sight, a rule with its name and day, mistakes with places.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn cogwright(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cogwright")).args(args).stdin(Stdio::null()).output().unwrap()
}

/// The example of the page on own books, in a file.
fn page_example(name: &str) -> (PathBuf, String) {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/own-book.md");
    let text = std::fs::read_to_string(page).unwrap();
    let book = text.split("```toml\n").nth(1).unwrap().split("```").next().unwrap().to_owned();
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, &book).unwrap();
    (path, book)
}

#[test]
fn the_work_sheet_shows_the_own_torque_beside_the_built_in_one() {
    let (path, _) = page_example("work.toml");
    let out = cogwright(&["work", "--example", "--own", path.to_str().unwrap(), "--json"]);
    let sheet: Value = serde_json::from_slice(&out.stdout).unwrap();
    let torques = sheet["bolts"].as_array().unwrap();
    let text =
        String::from_utf8(cogwright(&["work", "--example", "--own", path.to_str().unwrap()]).stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Bolts"));
    // The pedals are turned only where the job turns them; what is not turned has no line.
    for torque in torques {
        assert!(text.contains(torque["title"].as_str().unwrap()), "{torque}");
        if torque["fastener"] == "pedals" {
            assert_eq!(torque["newton_metres"]["least"], 38.0);
            assert_eq!(torque["built_in_newton_metres"]["least"], 35.0);
            assert!(
                text.contains(
                    "head of the workshop, 2026-11-20: two came loose at 35; built in: 35 to 43 N·m"
                )
            );
        }
    }
    assert!(torques.iter().any(|torque| torque["fastener"] == "pedals"), "{torques:?}");
}

#[test]
fn the_report_and_the_document_hold_the_own_rules() {
    let (path, _) = page_example("judge.toml");
    let file = path.to_str().unwrap();
    let text = String::from_utf8(cogwright(&["judge", "--example", "--own", file]).stdout).unwrap();
    let plan: Value =
        serde_json::from_slice(&cogwright(&["judge", "--example", "--own", file, "--json"]).stdout).unwrap();
    let rules = plan["own_rules"].as_array().unwrap();
    assert!(!rules.is_empty());
    assert!(text.contains("The shop's own rules"));
    assert!(text.contains("the shop's own rule, head of the workshop, 2026-11-20"));
    for rule in rules {
        assert!(text.contains(&format!("[{}]", rule["rule"].as_str().unwrap())));
        assert_eq!(
            (rule["by"].as_str(), rule["on"].as_str()),
            (Some("head of the workshop"), Some("2026-11-20"))
        );
    }
}

#[test]
fn a_mistake_in_the_book_is_shown_with_its_line_and_status_2() {
    let (path, book) = page_example("mistake.toml");
    std::fs::write(&path, book.replace("above = 32", "abve = 32")).unwrap();
    let out = cogwright(&["judge", "--example", "--own", path.to_str().unwrap()]);
    assert_eq!(out.status.code(), Some(2));
    let shown = String::from_utf8(out.stderr).unwrap();
    let line = book.lines().position(|line| line.contains("above = 32")).unwrap() + 1;
    assert!(
        shown.contains(&format!("mistake.toml:{line}:")) && shown.contains("did you mean `above`?"),
        "{shown}"
    );
}

#[test]
fn the_schema_of_the_book_names_every_key_that_the_page_uses() {
    let schema: Value = serde_json::from_slice(&cogwright(&["schema", "own-book"]).stdout).unwrap();
    let rule = &schema["properties"]["rule"]["items"]["properties"];
    for key in
        ["id", "by", "on", "says", "touches", "all", "any", "verdict", "measure", "overrides", "part", "why"]
    {
        assert!(rule[key].is_object(), "{key}");
    }
    assert!(
        schema["properties"]["torque"]["items"]["properties"]["fastener"]["enum"].as_array().unwrap().len()
            > 20
    );
}
