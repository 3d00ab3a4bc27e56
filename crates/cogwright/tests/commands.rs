//! The program as a person or a script meets it: exit status, streams, files that are not what they should be.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

fn cogwright(args: &[&str]) -> Output {
    command(args).output().unwrap()
}

fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cogwright"));
    command.args(args).stdin(Stdio::null());
    command
}

fn json(run: &Output) -> Value {
    serde_json::from_slice(&run.stdout).unwrap()
}

fn said(run: &Output) -> String {
    String::from_utf8(run.stderr.clone()).unwrap()
}

/// A folder of its own for each test, gone when the test is done.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("cogwright-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn file(&self, name: &str, bytes: &[u8]) -> String {
        let path = self.0.join(name);
        fs::write(&path, bytes).unwrap();
        path.to_string_lossy().into_owned()
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).to_string_lossy().into_owned()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// Refused as input: status 2, nothing on standard output, a message without panic on the other stream.
fn refused(run: &Output, says: &[&str]) {
    let message = said(run);
    assert_eq!(run.status.code(), Some(2), "{message}");
    assert!(run.stdout.is_empty());
    assert!(!message.contains("panicked"), "{message}");
    for says in says {
        assert!(message.contains(says), "`{says}` is not in: {message}");
    }
}

#[test]
fn the_exit_status_says_the_verdict() {
    let folder = Folder::new("status");
    let works = folder.file("works.toml", b"name = 'nothing to do'\n");
    let fails = folder.file(
        "fails.toml",
        b"name = 'splines'\n[bike.rear_wheel]\nspline = '9-shallow'\n[choice.cassette]\nspline = '8-deep'\n",
    );
    let open = folder.file("open.toml", b"name = 'splines'\n[choice.cassette]\nspline = '8-deep'\n");
    let bad = folder.file("bad.toml", b"name = 'a'\n[bike.frame]\nchainstay = 410\n");
    for (file, status) in [(&works, 0), (&fails, 1), (&bad, 2), (&open, 3)] {
        assert_eq!(cogwright(&["judge", file]).status.code(), Some(status), "{file}");
        assert_eq!(cogwright(&["judge", "--json", file]).status.code(), Some(status), "{file}");
    }
    assert_eq!(cogwright(&["judge"]).status.code(), Some(2));
    assert_eq!(cogwright(&["paint"]).status.code(), Some(2));
    assert_eq!(cogwright(&["--help"]).status.code(), Some(0));
    assert_eq!(cogwright(&["--version"]).status.code(), Some(0));
}

#[test]
fn a_new_stem_of_the_same_size_works() {
    let folder = Folder::new("stem");
    let stem = "clamp = '26.0 mm'\nsteerer = '28.6 mm'\nlength = '100 mm'\nangle = '-6 deg'\n";
    let text = format!(
        "name = 'a stem like the old one'\n[bike.frame]\nsteerer = '28.6 mm'\nhead_angle = '73 deg'\n\
         [bike.bar]\nclamp = '26.0 mm'\nreach = '80 mm'\n[bike.levers]\nhood = '50 mm'\n\
         [bike.stem]\n{stem}[choice.stem]\n{stem}"
    );
    let run = cogwright(&["judge", "--json", &folder.file("stem.toml", text.as_bytes())]);
    let document = json(&run);
    let verdicts: Vec<String> = document["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| {
            format!("{} {}", finding["rule"].as_str().unwrap(), finding["verdict"].as_str().unwrap())
        })
        .collect();
    assert!(verdicts.contains(&"stem-on-steerer works".to_owned()), "{verdicts:?}");
    assert!(verdicts.contains(&"hand-position works".to_owned()), "{verdicts:?}");
}

#[test]
fn the_answer_as_json_has_its_parts() {
    let run = cogwright(&["judge", "--example", "--json"]);
    let document = json(&run);
    let keys: Vec<&str> = document.as_object().unwrap().keys().map(String::as_str).collect();
    let mut wanted = [
        "name",
        "verdict",
        "flags",
        "flags_for_customer",
        "findings",
        "own_rules",
        "gears",
        "geometry",
        "added",
        "parts",
        "to_measure",
        "cautions",
        "nothing_chosen",
        "stopped",
        "cautions_for_customer",
        "pulls",
        "ride",
    ]
    .to_vec();
    wanted.sort_unstable();
    let mut keys = keys;
    keys.sort_unstable();
    assert_eq!(keys, wanted);
    let schema = json(&cogwright(&["schema", "plan"]));
    let mut described: Vec<&str> =
        schema["properties"].as_object().unwrap().keys().map(String::as_str).collect();
    described.sort_unstable();
    assert_eq!(described, wanted);
    assert_eq!(cogwright(&["judge", "--example", "--json"]).stdout, run.stdout, "twice the same bytes");
}

#[test]
fn whatever_is_piped_has_no_colour() {
    let lists: [&[&str]; 7] = [
        &["judge", "--example"],
        &["gears", "--example"],
        &["measure", "--example"],
        &["parts"],
        &["rules"],
        &["start"],
        &["judge", "no-such-file.toml"],
    ];
    for args in lists {
        for setting in [None, Some("NO_COLOR")] {
            let mut command = command(args);
            command.env_remove("CLICOLOR_FORCE").env_remove("NO_COLOR");
            if let Some(name) = setting {
                command.env(name, "1");
            }
            let run = command.output().unwrap();
            assert!(!run.stdout.contains(&0x1b) && !run.stderr.contains(&0x1b), "{args:?} {setting:?}");
        }
    }
}

#[test]
fn colour_can_be_forced_and_changes_no_word() {
    let mut forced = command(&["judge", "--example"]);
    let coloured = forced.env("CLICOLOR_FORCE", "1").env_remove("NO_COLOR").output().unwrap().stdout;
    assert!(coloured.contains(&0x1b));
    let plain = cogwright(&["judge", "--example"]).stdout;
    let text = String::from_utf8(coloured).unwrap();
    let stripped: String = text
        .split('\u{1b}')
        .enumerate()
        .map(|(i, piece)| if i == 0 { piece } else { piece.split_once('m').map_or(piece, |(_, rest)| rest) })
        .collect();
    assert_eq!(stripped.as_bytes(), plain);
}

#[test]
fn a_file_that_exists_is_left_as_it_is() {
    let folder = Folder::new("start");
    let kept = folder.file("kept.toml", b"mine");
    refused(&cogwright(&["start", &kept]), &["exists already"]);
    refused(&cogwright(&["start", "--example", &kept]), &["exists already"]);
    assert_eq!(fs::read(&kept).unwrap(), b"mine");
    let fresh = folder.path("fresh.toml");
    assert_eq!(cogwright(&["start", &fresh]).status.code(), Some(0));
    let judged = cogwright(&["judge", &fresh]);
    assert_ne!(judged.status.code(), Some(2), "the starter file can be read: {}", said(&judged));
    let example = folder.path("example.toml");
    assert_eq!(cogwright(&["start", "--example", &example]).status.code(), Some(0));
    let from_file = cogwright(&["judge", "--json", &example]);
    assert_eq!(from_file.stdout, cogwright(&["judge", "--json", "--example"]).stdout);
    refused(&cogwright(&["start", &folder.path("no-such-folder/a.toml")]), &["cannot write"]);
}

#[test]
fn what_is_no_refit_is_refused_in_words() {
    let folder = Folder::new("refused");
    let long = folder.path("long.toml");
    // A file of 50 MB without content on the disk.
    fs::File::create(&long).unwrap().set_len(50 << 20).unwrap();
    let filled = folder.file("filled.toml", "# a comment\n".repeat((50 << 20) / 12).as_bytes());
    let missing = folder.path("missing.toml");
    let a_folder = folder.0.to_string_lossy().into_owned();
    let latin = folder.file("latin.toml", b"name = 'Stra\xdfe'\n");
    let empty = folder.file("empty.toml", b"");
    let lists: [(&str, &[&str]); 6] = [
        (&missing, &["missing.toml", "there is no such file"]),
        (&a_folder, &["it is a folder"]),
        (&latin, &["latin.toml", "UTF-8"]),
        (&empty, &["empty.toml", "empty"]),
        (&long, &["long.toml"]),
        (&filled, &["filled.toml"]),
    ];
    for command in [&["judge"][..], &["gears"], &["measure"], &["check"], &["parts", "--catalogue"]] {
        for (file, says) in lists {
            let args: Vec<&str> = command.iter().copied().chain([file]).collect();
            let (run, took) = timed(&args);
            refused(&run, says);
            assert!(took < Duration::from_secs(2), "{args:?} took {took:?}");
        }
    }
}

#[expect(clippy::disallowed_methods, reason = "how long the program takes is what is asked")]
fn timed(args: &[&str]) -> (Output, Duration) {
    let start = Instant::now();
    let run = cogwright(args);
    (run, start.elapsed())
}

#[test]
fn a_word_that_is_none_of_the_accepted_names_them() {
    refused(&cogwright(&["parts", "wing"]), &["`wing`", "slot", "cassette", "rear_wheel"]);
    refused(&cogwright(&["rules", "no-rule"]), &["`no-rule`", "rule", "body-length"]);
}

#[test]
fn every_json_can_be_read() {
    let slots = json(&cogwright(&["parts", "--json"]));
    assert!(slots.as_array().unwrap().len() > 50);
    let cassettes = json(&cogwright(&["parts", "cassette", "--json"]));
    assert!(cassettes.as_array().unwrap().iter().all(|part| part["slot"] == "cassette"));
    let rules = json(&cogwright(&["rules", "--json"]));
    assert_eq!(rules.as_array().unwrap().len(), fit::RULES.len());
    assert_eq!(json(&cogwright(&["rules", "index", "--json"]))[0]["id"], "index");
    let schema = json(&cogwright(&["schema"]));
    assert!(schema["properties"]["bike"].is_object());
    for command in ["gears", "measure"] {
        let run = cogwright(&[command, "--example", "--json"]);
        assert!(!json(&run).is_null(), "{command}");
    }
}

#[test]
fn standard_input_is_read_for_a_dash() {
    let mut child = command(&["judge", "-", "--json"]);
    let example = cogwright(&["start", "--example"]).stdout;
    let mut child = child.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    std::io::Write::write_all(&mut child.stdin.take().unwrap(), &example).unwrap();
    let run = child.wait_with_output().unwrap();
    assert_eq!(run.stdout, cogwright(&["judge", "--example", "--json"]).stdout);
}

#[test]
fn every_case_gives_what_it_says() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases");
    let mut files: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path().to_string_lossy().into_owned())
        .filter(|path| path.ends_with(".toml"))
        .collect();
    files.sort();
    let mut args = vec!["check"];
    args.extend(files.iter().map(String::as_str));
    let run = cogwright(&args);
    let text = String::from_utf8(run.stdout.clone()).unwrap();
    assert_eq!(run.status.code(), Some(0), "{text}{}", said(&run));
    assert!(text.contains(&format!("{} passed, 0 failed", files.len())), "{text}");
}

#[test]
fn a_case_that_differs_fails_the_check() {
    let folder = Folder::new("check");
    let text =
        "name = 'nothing to do'\nwhy = 'the check must be able to fail'\n[expect]\nverdict = 'fails'\n";
    let run = cogwright(&["check", &folder.file("case.toml", text.as_bytes())]);
    assert_eq!(run.status.code(), Some(1));
    let text = String::from_utf8(run.stdout).unwrap();
    assert!(text.contains("DIFFERS") && text.contains("verdict is works, not fails"), "{text}");
}
