//! The screen and the data say the same: every number of a finding in `--json` stands in the report.
#![expect(clippy::unwrap_used, reason = "a test that cannot run its program has failed")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_cogwright")).args(arguments).output().unwrap();
    String::from_utf8(output.stdout).unwrap()
}

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_report_holds_each_sentence_and_margin_of_the_data() {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases");
    let files: Vec<PathBuf> = std::fs::read_dir(cases).unwrap().map(|entry| entry.unwrap().path()).collect();
    let mut compared = 0;
    for file in files {
        let file = file.to_str().unwrap();
        let report = squeezed(&printed(&["judge", file]));
        let data: Value = serde_json::from_str(&printed(&["judge", file, "--json"])).unwrap();
        for finding in data["findings"].as_array().unwrap() {
            let record = finding["rule"].as_str().unwrap().starts_with("old-");
            let margin = finding["margin"]["text"].as_str().filter(|_| !record);
            let because = finding["because"].as_array().unwrap().iter().map(|step| step.as_str().unwrap());
            for text in because.chain(margin) {
                assert!(report.contains(&squeezed(text)), "{file}: the report does not hold `{text}`");
                compared += 1;
            }
        }
        for wanted in data["to_measure"].as_array().unwrap() {
            let waits = wanted["waits"].as_array().unwrap();
            assert!(waits.iter().all(|rule| report.contains(rule.as_str().unwrap())));
        }
    }
    assert!(compared > 150, "only {compared} sentences were compared");
}
