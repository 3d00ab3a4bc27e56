//! The estimate and the promise as a person or a script meets them: every case, bad shop files, versions, the invoice.

#![expect(clippy::unwrap_used, reason = "a program that cannot be started stops the test")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const TODAY: [&str; 2] = ["--today", "2026-11-25"];

fn run(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cogwright"));
    command.args(args).args(TODAY).stdin(Stdio::null()).output().unwrap()
}

fn text(args: &[&str]) -> String {
    let run = run(args);
    assert!(run.stderr.is_empty(), "{args:?}: {}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8(run.stdout).unwrap()
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&text(args)).unwrap()
}

fn cases() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases");
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

fn named(case: &str) -> String {
    let file = cases().into_iter().find(|file| file.file_stem().unwrap() == case).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn every_case_has_an_estimate_an_order_and_a_day_or_says_why_not() {
    for file in cases() {
        let document = json(&["estimate", file.to_str().unwrap(), "--json"]);
        let (estimate, none) = (&document["estimate"], &document["none"]);
        assert!(estimate.is_null() != none.is_null(), "{file:?}");
        assert!(document["promise"].is_null() != document["no_day"].is_null(), "{file:?}");
        let verdict = document["verdict"].as_str().unwrap();
        assert_eq!(none.is_null(), !matches!(verdict, "fails" | "refused"), "{file:?}");
        assert_eq!(document["order"].as_array().unwrap().is_empty(), estimate.is_null(), "{file:?}");
        if estimate.is_null() {
            assert!(none["why"].as_str().unwrap().starts_with("no estimate: "), "{file:?}");
            continue;
        }
        let minor = |path: &str| estimate.pointer(path).unwrap().as_i64().unwrap();
        let lines: i64 = estimate["lines"]
            .as_array()
            .unwrap()
            .iter()
            .map(|l| l["amount"]["minor"].as_i64().unwrap())
            .sum();
        assert_eq!(lines, minor("/totals/net/minor"), "{file:?}: prices of this shop are net");
        assert_eq!(minor("/totals/net/minor") + minor("/totals/tax/minor"), minor("/totals/gross/minor"));
        let percentile = |name: &str| estimate["price"][name].as_f64().unwrap();
        assert!(percentile("p50") <= percentile("p80") && percentile("p80") <= percentile("p95"), "{file:?}");
        let signable = estimate["signable"].as_str().unwrap();
        assert_eq!(document["promise"].is_null(), signable.starts_with("not to be signed"), "{file:?}");
    }
}

#[test]
fn what_can_be_cured_has_an_estimate_with_its_cures() {
    for case in ["case-2-short-body", "case-9-largest-cog"] {
        let file = named(case);
        let cured = json(&["estimate", &file, "--cured", "--json"]);
        assert!(!cured["estimate"].is_null(), "{case}: {}", cured["none"]);
        let options = json(&["estimate", &file, "--json"]);
        let way = options["options"].as_array().unwrap().last().unwrap().clone();
        assert_eq!(way["price"], cured["estimate"]["totals"]["payable"], "{case}");
    }
    let cracked = json(&["estimate", &named("case-15-send-home"), "--cured", "--json"]);
    assert!(cracked["estimate"].is_null() && cracked["options"].as_array().unwrap().is_empty());
}

#[test]
fn every_estimate_reads_as_it_was_accepted() {
    for file in cases() {
        let name = format!("estimate-{}", file.file_stem().unwrap().to_str().unwrap());
        insta::assert_snapshot!(name, text(&["estimate", file.to_str().unwrap()]));
    }
    insta::assert_snapshot!("estimate-example", text(&["estimate", "--example"]));
    insta::assert_snapshot!("promise", text(&["promise"]));
    // What is over its ceiling is not agreed on: this one is below.
    let agreed =
        std::fs::read_to_string(named("case-1-control")).unwrap().replace("1100.00 EUR", "1500.00 EUR");
    let agreed = Kept::new("agreed.toml", &agreed);
    let invoice = ["estimate", agreed.path(), "--invoice", "2026-17", "--buyer", "a customer"];
    insta::assert_snapshot!("invoice", text(&invoice));
}

#[test]
fn an_estimate_over_its_ceiling_is_no_invoice_and_its_day_no_promise() {
    let over = named("case-1-control");
    let run = run(&["estimate", &over, "--invoice", "2026-17", "--buyer", "a customer"]);
    let message = String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(2));
    assert!(message.contains("no invoice: not to be signed as it stands"), "{message}");
    let document = json(&["estimate", &over, "--json"]);
    assert!(document["promise"].is_null() && document["provisional"]["promised"].is_string(), "{document}");
    let within = within_its_ceiling("day.toml");
    let document = json(&["estimate", within.path(), "--json"]);
    assert!(document["promise"]["promised"].is_string() && document["provisional"].is_null(), "{document}");
}

/// A case without any day would leave the manager with nothing: either the day, or the one that it would be, or an option
/// with one, or a job that stops.
#[test]
fn every_case_leads_to_a_day_that_can_be_told() {
    for file in cases() {
        let document = json(&["estimate", file.to_str().unwrap(), "--json"]);
        let dated = |value: &Value| !value["promise"].is_null() || !value["provisional"].is_null();
        let stopped = document["options"].as_array().unwrap().is_empty();
        let options = document["options"].as_array().unwrap().iter().any(dated);
        let no_part = document["no_options"].as_array().unwrap().iter().any(|no| no["name"] == "better");
        assert!(dated(&document) || options || stopped || no_part, "{file:?}: {}", document["no_day"]);
        assert!(stopped || document["options"][0]["name"] == "leave it", "{file:?}");
    }
}

#[test]
fn the_json_of_an_estimate_has_its_schema() {
    let schema = |flag: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_cogwright")).args(["schema", flag]).output().unwrap();
        serde_json::from_slice::<Value>(&output.stdout).unwrap()
    };
    let keys = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(
        keys(&schema("estimate")["properties"]),
        keys(&json(&["estimate", &named("case-1-control"), "--json"]))
    );
    assert_eq!(keys(&schema("promises")["properties"]), keys(&json(&["promise", "--json"])));
    let change = json(&["change-order", &named("case-1-control"), &change("bent-hanger"), "--json"]);
    assert_eq!(keys(&schema("change-order")["properties"]), keys(&change));
    let file = std::fs::read_to_string(change_path("bent-hanger")).unwrap();
    let known = keys(&schema("change")["properties"]);
    let (top, _) = file.split_once("[[choice]]").unwrap();
    for (key, _) in
        top.lines().filter(|line| !line.starts_with('#')).filter_map(|line| line.split_once(" = "))
    {
        assert!(known.iter().any(|known| known == key), "{key}: {known:?}");
    }
}

fn change_path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/change/{name}.toml"))
}

fn change(name: &str) -> String {
    change_path(name).to_str().unwrap().to_owned()
}

#[test]
fn a_change_order_reads_as_it_was_accepted() {
    let told =
        text(&["change-order", &named("case-1-control"), &change("bent-hanger"), "--promised", "2026-11-27"]);
    insta::assert_snapshot!("change-order", told);
    let status = run(&["change-order", &named("case-1-control"), &change("bent-hanger")]).status;
    assert_eq!(status.code(), Some(3), "the customer has to answer");
}

#[test]
fn what_we_missed_is_listed_and_not_charged_and_a_small_thing_needs_no_call() {
    let file = std::fs::read_to_string(change_path("bent-hanger")).unwrap();
    let order = |name: &str, edit: &dyn Fn(&str) -> String| {
        let change = Kept::new(name, &edit(&file));
        json(&["change-order", &named("case-1-control"), change.path(), "--json"])
    };
    let hidden = order("hidden.toml", &str::to_owned);
    let missed = order("missed.toml", &|text| text.replace("\"not-visible\"", "\"missed-by-us\""));
    let labour = |order: &Value| {
        let line = &order["choices"][1]["lines"][0];
        assert_eq!(line["minutes"], 25);
        line["amount"]["minor"].as_i64().unwrap()
    };
    // 25 minutes at 66.00 an hour.
    assert_eq!((labour(&hidden), labour(&missed)), (2750, 0));
    assert!(hidden["declined"]["text"].as_str().unwrap().contains("This concerns your safety"));
    let small = order("small.toml", &|text| {
        let (head, _) = text.split_once("[[choice]]").unwrap();
        format!(
            "{}[[choice]]\nwords = 'two ferrules'\nmeans = 'the housing sits'\nparts = [{{ part = 'ferrule-4', pieces = 2, \
             days = 0 }}]\n[[choice]]\nwords = 'leave it'\nmeans = 'it creaks'\n[[small]]\nwords = 'two tips'\nprice = \
             '0.48 EUR'\n",
            head.replace("\"safety\"", "\"use\"")
        )
    });
    assert_eq!((&small["call"], small["small"].as_array().unwrap().len()), (&Value::from("not-needed"), 1));
    assert!(small["declined"].is_null());
}

#[test]
fn what_is_wrong_with_a_change_file_is_said_all_at_once_and_in_words() {
    let file = std::fs::read_to_string(change_path("bent-hanger")).unwrap();
    let lists: [(&str, &str, &str, &[&str]); 9] = [
        (
            "step",
            "\"hanger-align\"",
            "\"hanger-aline\"",
            &["is no step of the book", "did you mean `hanger-align`?"],
        ),
        ("cause", "\"not-visible\"", "\"nobody\"", &["`nobody` is no word for `cause`"]),
        ("operation", "\"hanger-exchange\"", "\"hanger-swap\"", &["is no operation of the book"]),
        ("hour", "\"2026-11-27 16:00\"", "\"2026-11-27\"", &["is no day with its hour"]),
        ("past", "\"2026-11-27 16:00\"", "\"2026-11-20 16:00\"", &["which has gone by"]),
        ("limit", "limit = \"at least 6 turns\"", "", &["told with the limit that it is held against"]),
        (
            "price",
            "price = \"25.00 EUR\", ",
            "",
            &["the price of hanger for this frame, with its screws is not known"],
        ),
        ("key", "photo =", "phot =", &["`phot` is not a key", "did you mean `photo`?"]),
        ("minutes", "minutes = 25", "minutes = -25", &["`minutes` is outside 0 to 480"]),
    ];
    for (name, from, to, says) in lists {
        assert!(file.contains(from), "{from}");
        let change = Kept::new(&format!("change-{name}.toml"), &file.replacen(from, to, 1));
        let output = run(&["change-order", &named("case-1-control"), change.path()]);
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{name}: {message}");
        assert!(output.stdout.is_empty() && !message.contains("panicked"), "{name}: {message}");
        for says in says {
            assert!(message.contains(says), "`{says}` is not in: {message}");
        }
    }
    let change = Kept::new("change-bare.toml", "found = 'a crack'\n");
    let output = run(&["change-order", &named("case-1-control"), change.path()]);
    let message = String::from_utf8(output.stderr).unwrap();
    for key in ["at", "cause", "concerns", "waits_until"] {
        assert!(message.contains(&format!("the change has no `{key}`")), "{key}: {message}");
    }
}

struct Kept(PathBuf);

impl Kept {
    fn new(name: &str, content: &str) -> Self {
        let path = std::env::temp_dir().join(format!("cogwright-{}-{name}", std::process::id()));
        std::fs::write(&path, content).unwrap();
        Self(path)
    }

    fn path(&self) -> &str {
        self.0.to_str().unwrap()
    }
}

impl Drop for Kept {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

const SHOP: &str = include_str!("../shop.toml");

/// The control with a ceiling that it keeps below, so that a day is promised or the calendar says why not.
fn within_its_ceiling(name: &str) -> Kept {
    let case = std::fs::read_to_string(named("case-1-control")).unwrap();
    assert!(case.contains("1100.00 EUR"));
    Kept::new(&format!("within-{name}"), &case.replace("1100.00 EUR", "1500.00 EUR"))
}

fn with_shop(name: &str, edit: impl Fn(&str) -> String) -> Output {
    let shop = Kept::new(name, &edit(SHOP));
    let case = within_its_ceiling(name);
    run(&["estimate", case.path(), "--shop", shop.path()])
}

#[test]
fn the_shop_file_that_is_written_out_is_the_built_in_shop() {
    let written = Command::new(env!("CARGO_BIN_EXE_cogwright")).args(["start", "--shop"]).output().unwrap();
    assert_eq!(String::from_utf8(written.stdout).unwrap(), SHOP);
    let same = with_shop("same.toml", str::to_owned);
    assert_eq!(same.stdout, run(&["estimate", within_its_ceiling("built-in.toml").path()]).stdout);
}

#[test]
fn what_is_wrong_with_a_shop_file_is_said_all_at_once_and_in_words() {
    let lists: [(&str, &str, &str, &[&str]); 12] = [
        (
            "minutes",
            "minutes = [14, 20, 28]",
            "minutes = [-14, 20, 28]",
            &["a number of `minutes` is outside 0 to 480"],
        ),
        ("rising", "minutes = [14, 20, 28]", "minutes = [14, 2, 28]", &["not three numbers that rise"]),
        (
            "tax",
            "labour = \"10 %\"",
            "labor = \"10 %\"",
            &["`labor` is not a key of `[tax]`", "did you mean `labour`?"],
        ),
        ("rate", "part = \"20 %\"", "part = \"200 %\"", &["0 % to 100 % in hundredths is wanted"]),
        (
            "reason",
            "treatment = \"exempt\", reason = \"margin scheme: used goods\"",
            "treatment = \"exempt\"",
            &["an exemption has no `reason`"],
        ),
        ("hours", "friday = \"09:00-18:00\"", "friday = \"18:00-09:00\"", &["are no hours of a day"]),
        ("skill", "skill = \"specialist\"", "skill = \"wizard\"", &["`wizard` is no word for `skill`"]),
        ("day", "due = \"2026-12-03\"", "due = \"2026-13-03\"", &["is no day of the calendar"]),
        ("money", "hour = \"66.00 EUR\"", "hour = \"66\"", &["`hour`"]),
        ("chance", "chance = \"10 %\"", "chance = \"ten\"", &["`chance`"]),
        ("events", "events = 9", "events = 90", &["90 events in 60 jobs: more events than jobs"]),
        (
            "step",
            "id = \"tape-on\"",
            "id = \"tape-under\"",
            &["the step `tape-under` is new and has no title, block, skill, tool"],
        ),
    ];
    for (name, from, to, says) in lists {
        let output = with_shop(&format!("{name}.toml"), |text| {
            assert!(text.contains(from), "{from}");
            text.replacen(from, to, 1)
        });
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{name}: {message}");
        assert!(output.stdout.is_empty() && !message.contains("panicked"), "{name}: {message}");
        for says in says {
            assert!(message.contains(says), "`{says}` is not in: {message}");
        }
    }
    // Two at once.
    let output = with_shop("two.toml", |text| {
        text.replace("hour = \"66.00 EUR\"\n", "").replace("part = \"20 %\"", "part = 20")
    });
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("`[money]` has no `hour`") && message.contains("`part`"), "{message}");
}

#[test]
fn a_ring_of_steps_and_a_step_that_is_missing_are_told_by_name() {
    let own = |step: &str, before: &str| {
        format!(
            "\n[[step]]\nid = \"{step}\"\nafter = [{{ step = \"{before}\", because = \"it must\" }}]\nby = \"the head\"\non = \"2026-11-20\"\n"
        )
    };
    let ring = with_shop("ring.toml", |text| format!("{text}{}", own("clean-and-clamp", "hand-over")));
    let message = String::from_utf8(ring.stderr).unwrap();
    assert!(
        message.contains("each of these steps waits for the one before it, so none can be first"),
        "{message}"
    );
    assert!(message.contains("`hand-over`") && message.contains("`clean-and-clamp`"), "{message}");
    let missing = with_shop("missing.toml", |text| format!("{text}{}", own("tape-off", "tape-warmed")));
    let message = String::from_utf8(missing.stderr).unwrap();
    assert!(
        message.contains("the step `tape-off` comes after `tape-warmed`, which is not in the book"),
        "{message}"
    );
}

#[test]
fn a_tax_that_is_not_stated_and_nobody_with_the_skill_are_words() {
    let output = with_shop("no-tax.toml", |text| {
        text.replace(
            "
part = \"20 %\"
",
            "
",
        )
    });
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("the shop states no tax for parts"), "{message}");
    let output = with_shop("no-skill.toml", |text| {
        text.replace("skill = \"specialist\"", "skill = \"learner\"")
            .replace("skill = \"mechanic\"\nchecks", "skill = \"learner\"\nchecks")
    });
    let sheet = String::from_utf8(output.stdout).unwrap();
    assert!(sheet.contains("no day: ") && sheet.contains("nobody who works here is a"), "{sheet}");
}

#[test]
fn a_part_due_on_a_day_gone_by_breaks_its_promise_in_words() {
    let shop = Kept::new("past.toml", &SHOP.replace("due = \"2026-12-03\"", "due = \"2026-11-20\""));
    let output = run(&["promise", "--shop", shop.path()]);
    let told = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(told.contains("rear wheel was due on 2026-11-20, which has gone by"), "{told}");
    assert!(told.contains("tell the customer of hook 5"), "{told}");
}

#[test]
fn the_difference_to_the_version_before_is_said_first() {
    let file = named("case-1-control");
    let before = std::fs::read_to_string(&file).unwrap();
    let later = Kept::new("later.toml", &before.replace("tape = \"tape-2100\"\n", ""));
    let told = text(&["estimate", later.path(), "--earlier", &file]);
    assert!(told.starts_with("Changed since the version before\n"), "{told}");
    assert!(told.contains("out: bar tape") && told.contains("Estimate, version 2"), "{told}");
    assert!(text(&["estimate", &file, "--earlier", &file]).contains(" nothing\n"));
}
