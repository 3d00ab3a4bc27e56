//! What a person reads, whole: the report of every case and of the example, as it is printed into a pipe.

#![expect(clippy::unwrap_used, reason = "a test that cannot run its program has failed")]

use std::path::{Path, PathBuf};
use std::process::Command;

fn cases() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases")
}

fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_cogwright")).args(arguments).output().unwrap();
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn every_case_reads_as_it_was_accepted() {
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(cases()).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(files.len() >= 6, "only {} cases are left", files.len());
    for file in files {
        let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
        insta::assert_snapshot!(name, printed(&["judge", file.to_str().unwrap()]));
    }
}

#[test]
fn the_example_reads_as_it_was_accepted() {
    insta::assert_snapshot!("example", printed(&["judge", "--example"]));
    insta::assert_snapshot!("example-measure", printed(&["measure", "--example"]));
    insta::assert_snapshot!("example-gears", printed(&["gears", "--example"]));
}

#[test]
fn the_handbook_reads_as_it_was_accepted() {
    insta::assert_snapshot!("rules", printed(&["rules"]));
}

#[test]
fn the_handbook_page_is_the_one_in_the_docs() {
    let page = printed(&["rules", "--page"]);
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/handbook.md");
    if std::env::var_os("INSTA_UPDATE").is_some_and(|update| update == "always") {
        std::fs::write(&file, &page).unwrap();
    }
    assert!(
        std::fs::read_to_string(&file).unwrap() == page,
        "docs/handbook.md is not what the rules say now: cogwright rules --page > docs/handbook.md"
    );
}
