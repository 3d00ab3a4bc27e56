//! The `ride` command: what it says of a hill, of a recorded ride, and of files that are none.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn cogwright(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cogwright"))
        .args(args)
        .current_dir(root())
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn out(run: &Output) -> String {
    String::from_utf8(run.stdout.clone()).unwrap()
}

/// A refit file in a folder of its own, gone with the test.
struct File(std::path::PathBuf);

impl File {
    fn new(name: &str, text: &str) -> Self {
        let path = std::env::temp_dir().join(format!("cogwright-ride-{name}-{}.toml", std::process::id()));
        std::fs::write(&path, text).unwrap();
        Self(path)
    }

    fn path(&self) -> &str {
        self.0.to_str().unwrap()
    }
}

impl Drop for File {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

#[test]
fn a_recorded_ride_says_which_of_three_cassettes_answers_and_by_how_much() {
    let run = cogwright(&["ride", "examples/recorded-ride.toml"]);
    assert_eq!(run.status.code(), Some(0));
    let text = out(&run);
    for words in [
        "19.3 km, 517 m up",
        "the new gears are easier on this ride",
        "of those that go on, cassette-11-road-11-32 answers best",
        "fails largest-cog, capacity",
        "min less than the bike as found",
    ] {
        assert!(text.contains(words), "no `{words}` in\n{text}");
    }
}

#[test]
fn a_hill_by_hand_says_when_two_cassettes_cannot_be_told_apart() {
    let run = cogwright(&["ride", "examples/hill-by-hand.toml"]);
    assert_eq!(run.status.code(), Some(0));
    let text = out(&run);
    for words in [
        "2.6 km, 195 m up",
        "cannot be told from the first",
        "not known well enough to tell it from",
        "the surest is",
    ] {
        assert!(text.contains(words), "no `{words}` in\n{text}");
    }
}

#[test]
fn the_document_has_numbers_with_their_corners_and_the_series_for_a_picture() {
    let run = cogwright(&["ride", "examples/hill-by-hand.toml", "--json"]);
    let document: Value = serde_json::from_slice(&run.stdout).unwrap();
    let below = &document["before"]["below_min"];
    assert!(below["least"].as_f64() <= below["value"].as_f64());
    assert!(below["value"].as_f64() <= below["most"].as_f64());
    let series = &document["series"];
    let count = |key: &str| series[key].as_array().unwrap().len();
    assert_eq!(count("heights_m"), count("cadence_before") + 1);
    assert_eq!(count("cadence_before"), count("cadence_after"));
    assert_eq!(document["compared"].as_array().unwrap().len(), 3);
    let schema: Value = serde_json::from_slice(&cogwright(&["schema", "ride"]).stdout).unwrap();
    let known = schema["properties"].as_object().unwrap();
    for key in document.as_object().unwrap().keys() {
        assert!(known.contains_key(key), "the schema has no `{key}`");
    }
}

/// The cogs that the recording reveals, with what it cannot tell; the file has power, so none is asked for.
#[test]
fn a_fit_file_tells_power_and_cogs_and_that_ring_and_wheel_are_a_product() {
    let ride = root().join("crates/intake/tests/rides/road-20km.fit").canonicalize().unwrap();
    let example = std::fs::read_to_string(root().join("examples/recorded-ride.toml")).unwrap();
    let text: String = example
        .lines()
        .filter(|line| !line.starts_with("power") && !line.starts_with("file") && !line.starts_with("[ride]"))
        .chain(["", "[ride]", &format!("file = '{}'", ride.display())])
        .filter(|line| !line.starts_with("heights") && !line.starts_with("compare"))
        .map(|line| format!("{line}\n"))
        .collect();
    let file = File::new("fit", &text);
    let run = cogwright(&["ride", file.path()]);
    let text = out(&run);
    assert_eq!(run.status.code(), Some(0), "{text}{}", String::from_utf8_lossy(&run.stderr));
    for words in [
        "cogs used: 21-19-17-16-15",
        "ring and wheel are known only as a product, 111.6 m",
        "52 teeth with 2146 mm, 53 teeth with 2105 mm, 54 teeth with 2066 mm fit alike",
        "best 20 minutes of the recorded ride",
    ] {
        assert!(text.contains(words), "no `{words}` in\n{text}");
    }
}

#[test]
fn the_report_of_a_plan_has_a_section_where_the_refit_has_a_ride() {
    let text = out(&cogwright(&["judge", "examples/hill-by-hand.toml"]));
    assert!(text.contains("On the customer's own ride") && text.contains("Which cassette answers the ride"));
    assert!(!out(&cogwright(&["judge", "--example"])).contains("own ride"));
}

#[test]
fn the_plan_as_json_has_the_ride_of_the_ride_command() {
    let json = |args: &[&str]| -> Value { serde_json::from_slice(&cogwright(args).stdout).unwrap() };
    let plan = json(&["judge", "examples/hill-by-hand.toml", "--json"]);
    let ride = json(&["ride", "examples/hill-by-hand.toml", "--json"]);
    for key in ["before", "after", "sentence", "choice", "compared", "series", "wind"] {
        assert!(!ride[key].is_null(), "{key}");
        assert_eq!(plan["ride"][key], ride[key], "{key}");
    }
    assert!(json(&["judge", "--example", "--json"])["ride"].is_null());
    let schema = json(&["schema", "plan"]);
    assert!(schema["properties"]["ride"].is_object() && schema["$defs"]["RideDocument"].is_object());
}

#[cfg(feature = "sheets")]
#[test]
fn the_picture_is_written_where_it_is_asked_for() {
    let path = std::env::temp_dir().join(format!("cogwright-ride-{}.svg", std::process::id()));
    let run = cogwright(&["ride", "examples/hill-by-hand.toml", "--picture", path.to_str().unwrap()]);
    assert_eq!(run.status.code(), Some(0));
    let svg = std::fs::read_to_string(&path).unwrap();
    std::fs::remove_file(&path).unwrap();
    let sentence = out(&run).lines().find(|line| line.contains("the new gears")).unwrap().trim().to_owned();
    assert!(svg.starts_with("<svg") && svg.contains(&sentence[1..]), "no `{sentence}` in the picture");
    let nowhere = cogwright(&["ride", "examples/hill-by-hand.toml", "--picture", "no-such-folder/ride.svg"]);
    assert_eq!(nowhere.status.code(), Some(2));
}

/// Against a wind the same power climbs slower, so the legs turn slower; with it, faster.
#[test]
fn the_wind_of_a_ride_is_said_and_counts() {
    let example = std::fs::read_to_string(root().join("examples/hill-by-hand.toml")).unwrap();
    let time = |wind: &str, words: &str| -> f64 {
        let text = example.replace("[ride]", &format!("[ride]\n{wind}"));
        let file = File::new("wind", &text);
        let run = cogwright(&["ride", file.path(), "--json"]);
        let document: Value = serde_json::from_slice(&run.stdout).unwrap();
        assert_eq!(document["wind"], words);
        document["time_min"].as_f64().unwrap()
    };
    let behind = time("head_wind = \"-3 m/s\"", "3.0 m/s from behind all the way");
    let calm = time("wind = \"0 m/s\"", "no wind");
    let anywhere = time("wind = \"3 m/s\"", "3.0 m/s, direction not known and averaged");
    let ahead = time("head_wind = \"10.8 km/h\"", "3.0 m/s from ahead all the way");
    assert!(behind < calm && calm < anywhere && anywhere < ahead, "{behind} {calm} {anywhere} {ahead}");
}

#[test]
fn what_is_not_known_is_asked_for_and_leaves_the_answer_open() {
    let file = File::new("open", "name = \"x\"\n[ride]\nhill_length = \"2 km\"\nhill_climb = \"90 m\"\n");
    let run = cogwright(&["ride", file.path()]);
    // Kilometres are no unit of a length here; the help names one that is.
    assert_eq!(run.status.code(), Some(2));
    let file = File::new("open2", "name = \"x\"\n[ride]\nhill_length = \"2000 m\"\nhill_climb = \"90 m\"\n");
    let run = cogwright(&["ride", file.path()]);
    assert_eq!(run.status.code(), Some(3));
    assert!(out(&run).contains("cannot tell: the mass is not known"), "{}", out(&run));
    assert_eq!(cogwright(&["ride", "--example"]).status.code(), Some(3));
}

#[test]
fn rides_that_are_none_are_refused_with_what_to_do() {
    for (table, words) in [
        ("file = \"no-such-ride.gpx\"", "there is no such file"),
        ("file = \"a\"\nhill_length = \"200 m\"\nhill_climb = \"9 m\"", "it can only be one of them"),
        ("spacing = \"20 m\"", "has neither a file nor a hill"),
        ("hill_length = \"200 m\"", "a length along the road and a climb"),
        ("hill_length = \"200 m\"\nhill_climb = \"190 m\"", "is steeper than 40 %"),
        (
            "hill_length = \"200 m\"\nhill_climb = \"9 m\"\ncompare = [\"x\"]",
            "is not a cassette of the catalogue",
        ),
        ("hill = 3", "hill"),
        (
            "hill_length = \"200 m\"\nhill_climb = \"9 m\"\nwind = \"2 m/s\"\nhead_wind = \"2 m/s\"",
            "both `wind` and `head_wind`",
        ),
        ("hill_length = \"200 m\"\nhill_climb = \"9 m\"\nwind = \"90 m/s\"", "outside 0 m/s to 15 m/s"),
    ] {
        let file = File::new("refused", &format!("name = \"x\"\n[ride]\n{table}\n"));
        let run = cogwright(&["ride", file.path()]);
        let said = String::from_utf8(run.stderr.clone()).unwrap();
        assert_eq!(run.status.code(), Some(2), "{said}");
        assert!(said.contains(words) && said.contains("help"), "no `{words}` in {said}");
    }
}
