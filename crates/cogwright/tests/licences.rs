//! Licences of everything that is built in: each must satisfy the list in `deny.toml`. The list stands only there, so
//! this test and cargo-deny cannot disagree; this one needs neither a tool nor the network.

#![expect(clippy::unwrap_used, reason = "a test that cannot read what it checks has failed")]

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// The strings of `allow` in the table `[licenses]`.
fn allowed() -> BTreeSet<String> {
    let text = std::fs::read_to_string(root().join("deny.toml")).unwrap();
    let table = text.split("\n[licenses]").nth(1).unwrap();
    let list = table.split("\nallow = [").nth(1).unwrap().split(']').next().unwrap();
    list.lines()
        .filter_map(|line| line.trim().trim_end_matches(',').strip_prefix('"')?.strip_suffix('"'))
        .fold(BTreeSet::new(), |mut all, licence| {
            assert!(all.insert(licence.to_owned()), "{licence} stands twice in deny.toml");
            all
        })
}

/// The packages of `exceptions` with the licence that each is let in with, in tests alone.
fn tests_only() -> BTreeMap<String, String> {
    let text = std::fs::read_to_string(root().join("deny.toml")).unwrap();
    let list = text.split("\nexceptions = [\n").nth(1).unwrap().split("\n]").next().unwrap();
    list.lines()
        .map(|line| {
            let mut quoted = line.split('"').skip(1).step_by(2).map(str::to_owned);
            (quoted.next().unwrap(), quoted.next().unwrap())
        })
        .collect()
}

/// Whether a licence expression can be met with allowed licences only. `AND` binds tighter than `OR`; the slash of old
/// manifests means `OR`; a licence with an exception is a licence of its own, as in SPDX.
fn satisfied(expression: &str, allowed: &BTreeSet<String>) -> Result<bool, String> {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let mut words = spaced.split_whitespace().peekable();
    let met = either(&mut words, allowed)?;
    match words.next() {
        None => Ok(met),
        Some(word) => Err(format!("`{word}` stands where the expression should end")),
    }
}

type Words<'a> = std::iter::Peekable<std::str::SplitWhitespace<'a>>;

fn either(words: &mut Words<'_>, allowed: &BTreeSet<String>) -> Result<bool, String> {
    let mut met = both(words, allowed)?;
    while words.next_if_eq(&"OR").is_some() {
        met |= both(words, allowed)?;
    }
    Ok(met)
}

fn both(words: &mut Words<'_>, allowed: &BTreeSet<String>) -> Result<bool, String> {
    let mut met = one(words, allowed)?;
    while words.next_if_eq(&"AND").is_some() {
        met &= one(words, allowed)?;
    }
    Ok(met)
}

fn one(words: &mut Words<'_>, allowed: &BTreeSet<String>) -> Result<bool, String> {
    match words.next() {
        Some("(") => {
            let met = either(words, allowed)?;
            words.next_if_eq(&")").map(|_| met).ok_or_else(|| "a bracket is not closed".to_owned())
        }
        None | Some(")" | "AND" | "OR" | "WITH") => Err("a licence is missing".to_owned()),
        Some(licence) if words.next_if_eq(&"WITH").is_some() => {
            let exception = words.next().ok_or("the exception after WITH is missing")?;
            Ok(allowed.contains(&format!("{licence} WITH {exception}")))
        }
        Some(licence) => Ok(allowed.contains(licence)),
    }
}

/// What cargo resolves for Linux from the lock file, without the network.
fn metadata() -> Value {
    let platform = format!("{}-unknown-linux-gnu", std::env::consts::ARCH);
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", &platform])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "cargo metadata (run `cargo fetch --locked` first): {}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Which dependencies are followed.
#[derive(Clone, Copy, PartialEq)]
enum Follow {
    /// Normal, build and dev ones.
    All,
    /// What is in the program: without those of tests.
    Program,
}

/// The packages that the workspace reaches, by their id.
fn reached(metadata: &Value, follow: Follow) -> BTreeSet<&str> {
    let nodes: BTreeMap<&str, &Value> = metadata["resolve"]["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|node| (node["id"].as_str().unwrap(), node))
        .collect();
    let members = metadata["workspace_members"].as_array().unwrap();
    let mut to_visit: Vec<&str> = members.iter().map(|id| id.as_str().unwrap()).collect();
    let mut seen = BTreeSet::new();
    while let Some(id) = to_visit.pop() {
        if seen.insert(id) {
            let followed = nodes[id]["deps"].as_array().unwrap().iter().filter(|dep| {
                let kinds = dep["dep_kinds"].as_array().unwrap();
                follow == Follow::All || kinds.iter().any(|kind| kind["kind"] != "dev")
            });
            to_visit.extend(followed.filter_map(|dep| dep["pkg"].as_str()));
        }
    }
    seen
}

#[test]
fn every_package_has_an_allowed_licence() {
    let allowed = allowed();
    let metadata = metadata();
    let (all, program) = (reached(&metadata, Follow::All), reached(&metadata, Follow::Program));
    let (tests_only, reached) = (tests_only(), all);
    let mut wrong = Vec::new();
    let mut seen = 0;
    for package in metadata["packages"].as_array().unwrap() {
        if !reached.contains(package["id"].as_str().unwrap()) {
            continue;
        }
        seen += 1;
        let name = format!("{} {}", package["name"].as_str().unwrap(), package["version"].as_str().unwrap());
        let in_program = program.contains(package["id"].as_str().unwrap());
        let excepted = tests_only.get(package["name"].as_str().unwrap()).filter(|_| !in_program);
        match package["license"].as_str() {
            Some(licence) if excepted.is_some_and(|allowed| allowed == licence) => {}
            None => wrong.push(format!("{name}: no licence expression")),
            Some(licence) => match satisfied(licence, &allowed) {
                Ok(true) => {}
                Ok(false) => wrong.push(format!("{name}: {licence}")),
                Err(why) => wrong.push(format!("{name}: {licence}: {why}")),
            },
        }
    }
    assert!(wrong.is_empty(), "not in the list of deny.toml:\n{}", wrong.join("\n"));
    assert_eq!(seen, reached.len(), "a resolved package is not described");
    assert!(seen > 20, "only {seen} packages were looked at");
}

#[test]
fn every_package_comes_from_the_workspace_or_the_registry() {
    let metadata = metadata();
    for package in metadata["packages"].as_array().unwrap() {
        let ours = package["manifest_path"].as_str().is_some_and(|path| Path::new(path).starts_with(root()));
        let registry = package["source"].as_str().is_some_and(|source| source.starts_with("registry+"));
        assert!(ours != registry, "{} comes from {}", package["name"], package["source"]);
    }
}

#[test]
fn weak_and_strong_copyleft_are_not_in_the_list() {
    let allowed = allowed();
    assert!(allowed.contains("MIT") && allowed.contains("Apache-2.0"), "{allowed:?}");
    for licence in &allowed {
        let copyleft = ["GPL", "LGPL", "AGPL", "MPL", "EPL", "EUPL", "CDDL", "SSPL"];
        assert!(!copyleft.iter().any(|family| licence.starts_with(family)), "{licence}");
    }
}

#[test]
fn a_choice_needs_one_allowed_licence_and_a_sum_needs_all() {
    let allowed: BTreeSet<String> =
        ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].map(str::to_owned).into();
    let met = |expression| satisfied(expression, &allowed).unwrap();
    assert!(met("MIT") && met("MIT OR MPL-2.0") && met("MPL-2.0/MIT"));
    assert!(met("(MIT OR MPL-2.0) AND Zlib") && met("MPL-2.0 AND ISC OR MIT"));
    assert!(met("Apache-2.0 WITH LLVM-exception") && !met("Apache-2.0"));
    assert!(!met("MPL-2.0") && !met("MIT AND MPL-2.0") && !met("MIT AND (ISC OR MPL-2.0)"));
    assert!(!met("MIT WITH some-exception"));
}

#[test]
fn a_broken_expression_is_no_licence() {
    let allowed: BTreeSet<String> = ["MIT".to_owned()].into();
    for broken in ["", "MIT OR", "AND MIT", "(MIT", "MIT)", "MIT MIT", "MIT WITH"] {
        assert!(satisfied(broken, &allowed).is_err(), "{broken:?}");
    }
}
