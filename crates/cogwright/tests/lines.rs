//! What a line of a file is worth: each line of each case is taken out in turn.
//!
//! The cases are the outside: refits with the verdicts that were worked out by hand. A line less may make the file
//! unreadable or the plan less certain; it never makes a bike fit that did not fit before.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a case that cannot be read stops the test")]

use catalog::Catalogue;
use fit::{Finding, Plan, Verdict};
use intake::{Source, case::read_case};
use std::path::{Path, PathBuf};

fn cases() -> Vec<(PathBuf, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases");
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort();
    assert!(!paths.is_empty());
    paths.into_iter().map(|path| (path.clone(), std::fs::read_to_string(&path).unwrap())).collect()
}

/// A line that was taken out: its number from 1 on, what it said, and the table that it stood in.
struct Cut<'a> {
    number: usize,
    line: &'a str,
    table: &'a str,
    rest: String,
}

fn cuts(text: &str) -> Vec<Cut<'_>> {
    let mut table = "";
    let mut cuts = Vec::new();
    for (i, line) in text.lines().enumerate() {
        if line.starts_with('[') {
            table = line;
        }
        let rest: Vec<&str> =
            text.lines().enumerate().filter(|(j, _)| *j != i).map(|(_, line)| line).collect();
        cuts.push(Cut { number: i + 1, line, table, rest: rest.join("\n") + "\n" });
    }
    cuts
}

/// The plan of a case; `None` if the text was refused, with at least one place to look at.
fn plan_of(text: &str, catalogue: &Catalogue) -> Option<Plan> {
    match read_case(Source { name: "case.toml", text }, catalogue) {
        Ok(case) => Some(fit::plan(&case.refit, catalogue)),
        Err(problems) => {
            assert!(problems.count() >= 1 && problems.iter().next().is_some());
            assert!(problems.render(false).contains("case.toml"), "{}", problems.render(false));
            None
        }
    }
}

/// Everything that a finding gives as its reasons.
fn reasons(finding: &Finding) -> String {
    let steps = fit::words::steps(finding);
    format!("{:?} {:?} {:?} {:?}", finding.facts, finding.missing, steps, finding.without)
}

/// Calls back with the case, the cut, and each finding before and after.
fn each_change(mut look: impl FnMut(&str, &Cut<'_>, &Finding, Option<&Finding>)) {
    let catalogue = intake::built_in().unwrap();
    for (path, text) in cases() {
        let case = path.file_name().unwrap().to_string_lossy().into_owned();
        let whole = plan_of(&text, &catalogue).unwrap_or_else(|| panic!("{case} is refused"));
        for cut in cuts(&text) {
            let Some(plan) = plan_of(&cut.rest, &catalogue) else { continue };
            for old in &whole.findings {
                look(&case, &cut, old, plan.findings.iter().find(|new| new.rule == old.rule));
            }
        }
    }
}

#[test]
fn a_verdict_never_changes_without_its_reasons() {
    let mut changed = 0;
    each_change(|case, cut, old, new| {
        let Some(new) = new.filter(|new| new.verdict != old.verdict) else { return };
        changed += 1;
        assert_ne!(reasons(old), reasons(new), "{case}:{} `{}`: {}", cut.number, cut.line, old.rule.id);
    });
    assert!(changed > 0, "no line of any case matters");
}

#[test]
fn a_line_less_about_the_bike_settles_nothing() {
    let mut wrong = Vec::new();
    each_change(|case, cut, old, new| {
        // A table heading moves all its lines into the table before it: that is another bike, not a line less.
        if !cut.table.starts_with("[bike.") || cut.line.starts_with('[') {
            return;
        }
        let Some(new) = new else { return };
        let settled = old.verdict >= Verdict::Measure && new.verdict == Verdict::Works;
        let condemned = old.verdict == Verdict::Works && new.verdict >= Verdict::Fails;
        if settled || condemned {
            let (was, is) = (old.verdict.word(), new.verdict.word());
            wrong.push(format!("{case}:{} `{}`: {} {was} -> {is}", cut.number, cut.line, old.rule.id));
        }
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_program_says_the_same_of_a_shortened_file() {
    let catalogue = intake::built_in().unwrap();
    let folder = std::env::temp_dir().join(format!("cogwright-lines-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("case.toml");
    for (path, text) in cases() {
        for cut in cuts(&text).into_iter().step_by(9) {
            std::fs::write(&file, &cut.rest).unwrap();
            let run = std::process::Command::new(env!("CARGO_BIN_EXE_cogwright"))
                .args(["judge", "--json"])
                .arg(&file)
                .output()
                .unwrap();
            let place = format!("{}:{} `{}`", path.display(), cut.number, cut.line);
            // `judge` passes over what only a case needs.
            match intake::read_refit(Source { name: "case.toml", text: &cut.rest }, &catalogue) {
                Ok(refit) => {
                    let document: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
                    let verdict = fit::plan(&refit, &catalogue).verdict.word();
                    assert_eq!(document["verdict"], verdict, "{place}");
                }
                Err(_) => {
                    assert_eq!(run.status.code(), Some(2), "{place}");
                    let said = String::from_utf8(run.stderr).unwrap();
                    assert!(said.contains("error") && said.contains("case.toml"), "{place}: {said}");
                }
            }
        }
    }
    std::fs::remove_dir_all(&folder).unwrap();
}
