//! The front derailleur map and the landing of the gears as a mechanic reads them, on a bike measured throughout.

#![expect(clippy::unwrap_used, reason = "a test that cannot run its program has failed")]

use serde_json::Value;
use std::path::PathBuf;
use std::process::Command;

/// An invented bike whose front cage is too narrow and whose shifting was counted on the stand.
const BIKE: &str = r#"
name = "a narrow cage and a hanger that leans"

[wish]
words = "eleven cogs"

[bike.frame]
chainstay = "405 mm"
hanger_roll = "10.5 mm"
hanger_toe = "0 mm"
rear_shift_bends = "360 °"
rear_shift_housing = "1500 mm"
tab_low = "140 mm"
tab_high = "160 mm"
tab_now = "152 mm"

[bike.rear_wheel]
hub_width = "135 mm"
small_cog_gap = "3.2 mm"

[bike.crankset]
rings = [50, 34]
chainline = "43.5 mm"
ring_gap = "7.3 mm"
ring_thickness = "2.0 mm"

[bike.levers]
positions = 11
pull = "2.7 mm"
front_positions = 3
front_throw = "9.0 mm"

[bike.front_derailleur]
plates = "double"
cage_nose = "6.4 mm"
cage_tail = "8.0 mm"
cage_length = "95 mm"
tail_behind = "85 mm"
inner_depth = "14 mm"
bridge = "12 mm"
ratio = "1.2"

[bike.rear_derailleur]
travel = ["7.2 mm", "14.3 mm", "21.3 mm", "28.2 mm", "35.0 mm"]
play = "0.4 mm"
adjuster_clicks = 4
window_low_added = 5
window_low_taken = 0
window_high_added = 4
window_high_taken = 1

[choice]
cassette = "cassette-11-road-11-32"
chain = "chain-11"
"#;

fn judged(name: &str, arguments: &[&str]) -> String {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.toml"));
    std::fs::write(&file, BIKE).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_cogwright"))
        .arg("judge")
        .args(arguments)
        .arg(&file)
        .output()
        .unwrap();
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// The lines of the report from one heading to the blank line behind it.
fn part(report: &str, heading: &str) -> String {
    let from = report.find(heading).unwrap();
    let rest = &report[from..];
    rest[..rest.find("\n\n").unwrap_or(rest.len())].to_owned() + "\n"
}

#[test]
fn both_sections_read_as_they_were_accepted() {
    let report = judged("front-and-landing", &[]);
    let (front, landing) = (part(&report, "Front derailleur: "), part(&report, "Shifting: "));
    for line in front.lines().chain(landing.lines()) {
        assert!(line.chars().count() <= 112, "{line}");
    }
    insta::assert_snapshot!("front", front);
    insta::assert_snapshot!("landing", landing);
}

#[test]
fn both_sections_leave_as_numbers() {
    let document: Value = serde_json::from_str(&judged("front-and-landing-json", &["--json"])).unwrap();
    let geometry = &document["geometry"];
    assert_eq!(geometry["front"]["state"], "known");
    let rings = geometry["front"]["value"]["rings"].as_array().unwrap();
    assert_eq!(rings.len(), 2);
    // The tightest pairs of so narrow a cage rub in every trim, and they are those that the rule names.
    let rubs: Vec<String> = rings
        .iter()
        .flat_map(|ring| {
            let gears = ring["gears"].as_array().unwrap().iter();
            gears
                .filter(|gear| gear["trim"].is_null())
                .map(|gear| format!("{}x{}", ring["ring"], gear["cog"]))
        })
        .collect();
    assert!(!rubs.is_empty());
    let rule =
        document["findings"].as_array().unwrap().iter().find(|one| one["rule"] == "front-cage-rub").unwrap();
    assert!(rubs.iter().all(|pair| rule.to_string().contains(pair)), "{rubs:?} {rule}");
    let landing = &geometry["landing"]["value"];
    assert_eq!(landing["gears"].as_array().unwrap().len(), 11);
    assert!(landing["gears"][0]["to_larger"].is_null() && landing["gears"][10]["clicks"]["add"].is_null());
    assert_eq!(landing["counted"]["centre"], 2.0);
    assert!((landing["hanger"]["roll_deg"].as_f64().unwrap() - 1.003).abs() < 0.001);
}
