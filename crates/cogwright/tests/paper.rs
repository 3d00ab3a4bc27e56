//! `sheet`: files into a folder, whole or not at all, and faults in words.

#![cfg(feature = "sheets")]
#![expect(clippy::unwrap_used, reason = "a test that cannot run its program has failed")]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    folder
}

fn sheet(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cogwright")).arg("sheet").args(arguments).output().unwrap()
}

#[test]
fn one_sheet_is_written_and_written_again_in_its_place() {
    let folder = folder("paper-again");
    let to = folder.to_str().unwrap();
    for paper in ["a4", "letter"] {
        let output = sheet(&["--example", "--to", to, "--only", "hang-tag", "--paper", paper, "--hook", "7"]);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    let names: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names, ["hang-tag.pdf"], "no draft is left behind");
    assert!(fs::read(folder.join("hang-tag.pdf")).unwrap().starts_with(b"%PDF-"));
}

#[test]
fn a_folder_that_cannot_be_made_is_named_in_the_error() {
    let folder = folder("paper-file");
    fs::write(&folder, "a file").unwrap();
    let to = folder.join("below");
    let output = sheet(&["--example", "--to", to.to_str().unwrap(), "--only", "hang-tag"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("paper-file"));
}

#[test]
fn a_file_that_cannot_be_written_is_named_in_the_error_and_no_draft_is_left() {
    let folder = folder("paper-in-the-way");
    fs::create_dir_all(folder.join("hang-tag.pdf").join("something")).unwrap();
    let output = sheet(&["--example", "--to", folder.to_str().unwrap(), "--only", "hang-tag"]);
    assert_eq!(output.status.code(), Some(2));
    let words = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(words.contains("hang-tag.pdf") && !words.contains("panicked"), "{words}");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "no draft is left behind");
}

#[test]
fn a_sheet_that_does_not_exist_is_answered_with_those_that_do() {
    let output = sheet(&["--example", "--to", "x", "--only", "poster"]);
    assert_eq!(output.status.code(), Some(2));
    let words = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(words.contains("build") && words.contains("hand-over"), "{words}");
}

#[test]
fn several_refits_get_a_folder_each() {
    let folder = folder("paper-several");
    let case = |name: &str| format!("{}/../../cases/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let (first, second) = (case("case-1-control"), case("case-3-triple-to-double"));
    let to = folder.to_str().unwrap();
    let output = sheet(&[&first, &second, "--to", to, "--only", "hang-tag"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    for name in ["case-1-control", "case-3-triple-to-double"] {
        assert!(fs::read(folder.join(name).join("hang-tag.pdf")).unwrap().starts_with(b"%PDF-"));
    }
    // Two of one name have no place beside each other, and a hook belongs to one bike.
    for (arguments, words) in [
        (vec![&*first, &*first], "would both be written"),
        (vec![&*first, &*second, "--hook", "7"], "--hook"),
    ] {
        let output = sheet(&[&arguments, &["--to", to, "--only", "hang-tag"][..]].concat());
        assert_eq!(output.status.code(), Some(2));
        assert!(String::from_utf8_lossy(&output.stderr).contains(words), "{words}");
    }
    // One that cannot be read stops it before anything is written.
    let other = folder.join("other");
    let output = sheet(&[&first, "no-such.toml", "--to", other.to_str().unwrap(), "--only", "hang-tag"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(!other.exists() && String::from_utf8_lossy(&output.stderr).contains("no-such.toml"));
}
