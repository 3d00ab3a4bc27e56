//! Sheets out and in by the command line, and the shop's own figures in the list of parts.

#![expect(clippy::unwrap_used, reason = "a test that cannot run its program has failed")]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

/// A folder of its own for a test.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn run(folder: &PathBuf, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cogwright")).current_dir(folder).args(arguments).output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn a_written_sheet_comes_back_as_a_catalogue_file_that_is_read() {
    let folder = folder("sheet-and-back");
    for file in ["stems.csv", "stems.xlsx"] {
        let written = run(&folder, &["export", file, "--slot", "stem"]);
        assert!(written.status.success() && out(&written).contains("is written: "), "{}", err(&written));
    }
    let text = fs::read_to_string(folder.join("stems.csv")).unwrap();
    let own = text.replace("stem,stem-", "stem,our-stem-");
    let own_stems = own.matches("our-stem-").count();
    fs::write(folder.join("ours.csv"), own).unwrap();
    let dry = run(&folder, &["import", "ours.csv"]);
    assert_eq!(dry.status.code(), Some(0), "{}", err(&dry));
    let stems = text.lines().count() - 1;
    assert!(out(&dry).contains(&format!("{stems} parts are in order; nothing is written")), "{}", out(&dry));
    assert!(out(&dry).contains("our-stem-"), "{}", out(&dry));
    let written = run(&folder, &["import", "ours.csv", "--write", "ours.toml"]);
    assert_eq!(written.status.code(), Some(0), "{}", err(&written));
    let listed = run(&folder, &["parts", "stem", "--catalogue", "ours.toml"]);
    assert_eq!(out(&listed).matches("  our-stem-").count(), own_stems, "{}", out(&listed));
    // Nothing but what was asked for is left in the folder.
    let mut left: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    left.sort();
    assert_eq!(left, ["ours.csv", "ours.toml", "stems.csv", "stems.xlsx"]);
}

#[test]
fn a_bad_sheet_writes_nothing_and_ends_with_2() {
    let folder = folder("bad-sheet");
    fs::write(folder.join("bad.csv"), "id;name;length\ngood;x;110 mm\nbad;y;110\n").unwrap();
    let refused = run(&folder, &["import", "bad.csv", "--slot", "stem", "--write", "bad.toml"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(
        out(&refused).contains("semicolons") && out(&refused).contains("nothing is taken"),
        "{}",
        out(&refused)
    );
    assert!(err(&refused).contains("row 3, column `length`: `110` has no unit"), "{}", err(&refused));
    assert!(!folder.join("bad.toml").exists());
    let refused = run(&folder, &["import", "bad.csv", "--slot", "stam"]);
    assert!(refused.status.code() == Some(2) && err(&refused).contains("`stam` is not a slot"));
    let refused = run(&folder, &["import", "no-such.csv"]);
    assert!(refused.status.code() == Some(2) && err(&refused).contains("there is no such file"));
}

#[test]
fn a_map_is_read_beside_the_sheet() {
    let folder = folder("mapped-sheet");
    fs::write(folder.join("list.csv"), "Article;What;Reach;Colour\na;b;110,5;red\n").unwrap();
    let map = "slot = 'stem'\ndecimal = ','\nignore = ['Colour']\n[columns]\nArticle = 'id'\nWhat = 'name'\n\
        Reach = { field = 'length', unit = 'mm' }\n";
    fs::write(folder.join("map.toml"), map).unwrap();
    let read = run(&folder, &["import", "list.csv", "--map", "map.toml"]);
    assert!(
        read.status.success() && out(&read).contains("length 110.5 ± 2 mm"),
        "{}{}",
        out(&read),
        err(&read)
    );
    fs::write(folder.join("map.toml"), "[columns]\nReach = 'lenght'\n").unwrap();
    let refused = run(&folder, &["import", "list.csv", "--map", "map.toml"]);
    assert!(refused.status.code() == Some(2) && err(&refused).contains("map.toml:2:9"), "{}", err(&refused));
}

#[test]
fn a_file_that_exists_is_left_as_it_is() {
    let folder = folder("existing-file");
    fs::write(folder.join("parts.csv"), "mine").unwrap();
    fs::write(folder.join("list.csv"), "slot,id,name\nstem,a,b\n").unwrap();
    fs::write(folder.join("list.toml"), "mine").unwrap();
    for arguments in [&["export", "parts.csv"][..], &["import", "list.csv", "--write", "list.toml"]] {
        let refused = run(&folder, arguments);
        assert_eq!(refused.status.code(), Some(2));
        assert!(err(&refused).contains("exists already and is left as it is"), "{}", err(&refused));
    }
    for file in ["parts.csv", "list.toml"] {
        assert_eq!(fs::read_to_string(folder.join(file)).unwrap(), "mine");
    }
    let refused = run(&folder, &["export", "parts.ods"]);
    assert!(refused.status.code() == Some(2) && err(&refused).contains("FILE.xlsx"), "{}", err(&refused));
}

#[test]
fn own_figures_stand_beside_the_built_in_ones_in_the_list() {
    let folder = folder("own-figures");
    let own = "[[own]]\npart = 'levers-road-11-pull-2.7'\nfield = 'hood'\nvalue = '50 mm measured'\n\
        by = 'head of the workshop'\non = '2026-11-20'\nwhy = 'three pairs measured'\n";
    fs::write(folder.join("own.toml"), own).unwrap();
    let listed = run(&folder, &["parts", "levers", "--catalogue", "own.toml"]);
    assert!(
        out(&listed).contains(
            "own figure: hood 50 mm measured in place of 52 mm memory, head of the workshop, 2026-11-20: three pairs measured"
        ),
        "{}",
        out(&listed)
    );
    let json = run(&folder, &["parts", "levers", "--json", "--catalogue", "own.toml"]);
    assert!(out(&json).contains("\"built_in\": \"52 mm memory\""), "{}", out(&json));
    fs::write(folder.join("own.toml"), own.replace("by = 'head of the workshop'\n", "")).unwrap();
    let refused = run(&folder, &["parts", "levers", "--catalogue", "own.toml"]);
    assert!(refused.status.code() == Some(2) && err(&refused).contains("this own figure has no `by`"));
}
