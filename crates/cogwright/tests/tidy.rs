//! The shape of the source tree: what `ARCHITECTURE.md` and the house rules promise and no type can hold.
//! Begin with `source`, which tells code from comments and text.

#![expect(clippy::unwrap_used, reason = "a test that cannot read what it checks has failed")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs::read_to_string as read;
use std::path::{Path, PathBuf};

/// The crates whose results depend on their arguments only.
const PURE: [&str; 6] = ["quantity", "mechanics", "catalog", "frontier", "fit", "shop"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// Every file below a folder, without what cargo built and what git keeps.
fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut to_visit = vec![folder.to_owned()];
    while let Some(folder) = to_visit.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.ends_with(".git") {
                // A folder, or in a second checkout a file with its place.
            } else if !path.is_dir() {
                found.push(path);
            } else if !path.ends_with("target") && !path.join("CACHEDIR.TAG").exists() {
                to_visit.push(path);
            }
        }
    }
    found.sort();
    found
}

fn rust_files(folder: &str) -> Vec<PathBuf> {
    let found: Vec<PathBuf> = files_below(&root().join(folder))
        .into_iter()
        .filter(|path| path.extension().is_some_and(|end| end == "rs"))
        .collect();
    assert!(!found.is_empty(), "no source in {folder}");
    found
}

/// A path as it is said in a failure.
fn short(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).display().to_string()
}

fn stem(path: &Path) -> &str {
    path.file_stem().unwrap().to_str().unwrap()
}

/// A piece of a source file.
#[derive(Debug, PartialEq)]
enum Piece {
    /// Code, without comments.
    Code(String),
    /// What stands between the quotes of a string.
    Text(String),
}

/// A source file in pieces: comments left out, strings apart, so that a word in either is not taken for code.
fn source(text: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut code = String::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let hashes = rest.strip_prefix('r').map(|raw| raw.len() - raw.trim_start_matches('#').len());
        let in_word = code.ends_with(|c: char| c.is_alphanumeric() || c == '_');
        if rest.starts_with("//") {
            rest = rest.find('\n').map_or("", |end| &rest[end..]);
        } else if rest.starts_with("/*") {
            rest = rest.find("*/").map_or("", |end| &rest[end + 2..]);
        } else if let Some(hashes) = hashes.filter(|n| !in_word && rest[1 + n..].starts_with('"')) {
            let body = &rest[2 + hashes..];
            let close = format!("\"{}", "#".repeat(hashes));
            let end = body.find(&close).unwrap();
            pieces.push(Piece::Code(std::mem::take(&mut code)));
            pieces.push(Piece::Text(body[..end].to_owned()));
            rest = &body[end + close.len()..];
        } else if first == '"' {
            let end = unescaped(&rest[1..], '"').unwrap();
            pieces.push(Piece::Code(std::mem::take(&mut code)));
            pieces.push(Piece::Text(rest[1..=end].to_owned()));
            rest = &rest[end + 2..];
        } else if first == '\'' && (rest.starts_with("'\\") || rest.chars().nth(2) == Some('\'')) {
            // A character, not a lifetime.
            let end = unescaped(&rest[1..], '\'').unwrap();
            code.push_str("' '");
            rest = &rest[end + 2..];
        } else {
            code.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    pieces.push(Piece::Code(code));
    pieces
}

/// Where a string or character ends.
fn unescaped(text: &str, close: char) -> Option<usize> {
    let mut escaped = false;
    text.char_indices().find_map(|(at, c)| {
        let ends = c == close && !escaped;
        escaped = c == '\\' && !escaped;
        ends.then_some(at)
    })
}

/// The code alone.
fn code(text: &str) -> String {
    let pieces = source(text);
    pieces.iter().map(|piece| if let Piece::Code(code) = piece { code } else { "\"\"" }).collect()
}

fn words(code: &str) -> impl Iterator<Item = &str> {
    code.split(|c: char| !c.is_alphanumeric() && c != '_')
}

/// The modules of `std` that code names, alone or in a braced list.
fn std_modules(code: &str) -> BTreeSet<&str> {
    let mut found = BTreeSet::new();
    for after in code.split("std::").skip(1) {
        match after.strip_prefix('{') {
            Some(list) => found.extend(list.split(';').next().into_iter().flat_map(words)),
            None => found.extend(words(after).next()),
        }
    }
    found
}

/// The names that stand in one table of a manifest.
fn dependencies(manifest: &str, table: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut inside = false;
    for line in manifest.lines().map(str::trim) {
        if let Some(title) = line.strip_prefix('[').and_then(|line| line.strip_suffix(']')) {
            inside = title == table;
            found.extend(title.strip_prefix(&format!("{table}.")).map(str::to_owned));
        } else if inside && !line.is_empty() && !line.starts_with('#') {
            found.extend(line.split(['.', '=', ' ']).next().map(|name| name.trim_matches('"').to_owned()));
        }
    }
    found
}

/// The lines of the fenced blocks of this language.
fn fenced<'a>(text: &'a str, language: &str) -> Vec<&'a str> {
    let open = format!("```{language}");
    let mut lines = text.lines().map(str::trim_end);
    let mut found = Vec::new();
    while lines.any(|line| line == open) {
        found.extend(lines.by_ref().take_while(|line| *line != "```"));
    }
    found
}

#[test]
fn crates_have_the_arrows_of_the_map_and_no_others() {
    let map = read(root().join("ARCHITECTURE.md")).unwrap();
    let mut drawn: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for line in fenced(&map, "arrows").into_iter().filter(|line| !line.is_empty()) {
        let (from, to) = line.split_once(" -> ").unwrap_or_else(|| panic!("no arrow in `{line}`"));
        let to = to.split(", ").map(str::to_owned).collect();
        assert!(drawn.insert(from.to_owned(), to).is_none(), "`{from}` is drawn twice");
    }
    let mut crates = BTreeMap::new();
    for folder in std::fs::read_dir(root().join("crates")).unwrap() {
        let folder = folder.unwrap().path();
        let manifest = read(folder.join("Cargo.toml")).unwrap();
        assert!(
            manifest.contains(&format!("name = \"{}\"", stem(&folder))),
            "{} is named otherwise",
            stem(&folder)
        );
        crates.insert(stem(&folder).to_owned(), manifest);
    }
    let ours = |names: BTreeSet<String>| -> BTreeSet<String> {
        names.into_iter().filter(|name| crates.contains_key(name)).collect()
    };
    let mut found = BTreeMap::new();
    for (name, manifest) in &crates {
        let arrows = ours(dependencies(manifest, "dependencies"));
        // Tests may look at a crate from above ([dev-dependencies]); what is built may not.
        assert_eq!(
            ours(dependencies(manifest, "build-dependencies")),
            BTreeSet::new(),
            "{name} builds with ours"
        );
        if !arrows.is_empty() {
            found.insert(name.clone(), arrows);
        }
    }
    assert_eq!(found, drawn, "left: the manifests; right: ARCHITECTURE.md");
}

#[test]
fn every_source_file_says_first_what_it_is_for() {
    for path in rust_files("crates") {
        let text = read(&path).unwrap();
        let first = text.lines().next().unwrap_or("").strip_prefix("//! ");
        assert!(first.is_some_and(|first| first.len() > 10), "{} does not begin with `//!`", short(&path));
    }
}

#[test]
fn a_file_is_named_by_the_one_thing_in_it() {
    for path in rust_files("crates") {
        let heap = ["mod", "util", "utils", "common", "helper", "helpers", "misc", "types"];
        assert!(!heap.contains(&stem(&path)), "{} names no thing", short(&path));
    }
}

#[test]
fn nothing_is_left_for_later_and_nothing_is_unsafe() {
    for path in rust_files("crates") {
        let text = read(&path).unwrap();
        let tight: String = code(&text).split_whitespace().collect();
        for left in ["#[ignore", "todo!(", "unimplemented!(", "dbg!("] {
            assert!(!tight.contains(left), "{}: `{left}`", short(&path));
        }
        assert!(!words(&code(&text)).any(|word| word == "unsafe"), "{}: `unsafe`", short(&path));
        for note in [concat!("FIX", "ME"), concat!("TO", "DO"), concat!("X", "XX")] {
            assert!(!words(&text).any(|word| word == note), "{}: `{note}`", short(&path));
        }
    }
}

#[test]
fn the_pure_crates_depend_on_their_arguments_only() {
    for path in PURE.iter().flat_map(|name| rust_files(&format!("crates/{name}/src"))) {
        let code = code(&read(&path).unwrap());
        for hashed in ["HashMap", "HashSet"] {
            assert!(!words(&code).any(|word| word == hashed), "{}: `{hashed}`", short(&path));
        }
        // Threads that end before the function returns, in one file: the answers stand in the order of the list.
        let is_scope = short(&path).ends_with("fit/src/choose/shares.rs");
        let scopes = code.matches("thread::scope(").count();
        assert!(!is_scope || code.matches("thread::").count() == scopes, "{}: a scope alone", short(&path));
        for world in ["time", "env", "fs", "net", "process", "thread"] {
            let is_let = world == "thread" && is_scope;
            assert!(is_let || !std_modules(&code).contains(world), "{}: `std::{world}`", short(&path));
        }
    }
}

#[test]
fn every_rule_is_filled_in_and_stands_in_the_file_of_its_name() {
    let mut ids = BTreeSet::new();
    for rule in fit::RULES {
        assert!(ids.insert(rule.id.replace('-', "_")), "`{}` stands twice", rule.id);
        let kebab = |part: &str| {
            !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
        };
        assert!(rule.id.split('-').all(kebab), "`{}` is not kebab-case", rule.id);
        for (field, text) in
            [("title", rule.title), ("sentence", rule.sentence), ("long", rule.long), ("source", rule.source)]
        {
            assert!(text.trim().len() > 10, "{} has no {field}", rule.id);
            assert!(!text.contains("  "), "{}: two blanks in its {field}", rule.id);
        }
    }
    let mut files = BTreeSet::new();
    for path in rust_files("crates/fit/src/rules") {
        if let Some(id) = rule_id(&source(&read(&path).unwrap())) {
            assert_eq!(id.replace('-', "_"), stem(&path), "{}", short(&path));
            files.insert(stem(&path).to_owned());
        }
    }
    assert_eq!(files, ids, "left: the files with a rule; right: the table");
}

/// The `id` of the rule in a file; none where a file has no rule.
fn rule_id(pieces: &[Piece]) -> Option<&str> {
    pieces.windows(2).find_map(|pair| match pair {
        [Piece::Code(code), Piece::Text(id)] if code.ends_with("Rule {\n    id: ") => Some(id.as_str()),
        _ => None,
    })
}

#[test]
fn every_rule_has_a_case_that_works_one_that_does_not_and_one_that_cannot_tell() {
    for path in rust_files("crates/fit/src/rules") {
        let text = read(&path).unwrap();
        if rule_id(&source(&text)).is_none() {
            continue;
        }
        let (check, tests) = text.split_once("#[cfg(test)]").unwrap_or((&text, ""));
        let (check, tests) = (code(check), code(tests));
        let count = tests.matches("#[test]").count();
        assert!(count >= 3, "{} has {count} tests", short(&path));
        let said = |code: &str, verdicts: &[&str]| words(code).any(|word| verdicts.contains(&word));
        assert!(said(&tests, &["Works"]), "{}: no test says Works", short(&path));
        assert!(said(&tests, &["Measure"]), "{}: no test says Measure", short(&path));
        // A rule that compares measurements with each other says Works or Measure and nothing else.
        let others = ["Remedy", "Marginal", "Fails", "Refused"];
        assert!(!said(&check, &others) || said(&tests, &others), "{}: no test refuses", short(&path));
    }
}

#[test]
fn the_readme_has_two_commands_and_the_gate_runs_the_second() {
    let readme = read(root().join("README.md")).unwrap();
    let commands = fenced(&readme, "sh");
    assert_eq!(commands.len(), 2, "{commands:?}");
    let gate = read(root().join(".ci/run")).unwrap();
    let runs: Vec<&str> =
        gate.lines().filter(|line| line.starts_with("./") || line.starts_with("cargo")).collect();
    assert_eq!(runs, [commands[1]], "what .ci/run runs");
    let script = commands[1].strip_prefix("./").unwrap();
    for script in [script, ".ci/run"] {
        let text = read(root().join(script)).unwrap();
        assert!(text.contains("\nset -euo pipefail\n"), "{script} goes on after a failure");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = std::fs::metadata(root().join(script)).unwrap().permissions().mode();
            assert!(mode & 0o111 != 0, "{script} cannot be run");
        }
    }
}

#[test]
fn what_a_reader_looks_for_first_is_there() {
    for name in
        ["README.md", "CHANGELOG.md", "ARCHITECTURE.md", "LICENSE-MIT", "LICENSE-APACHE", "Cargo.lock"]
    {
        assert!(read(root().join(name)).is_ok_and(|text| text.len() > 100), "{name} is missing or empty");
    }
    for name in ["README.md", "ARCHITECTURE.md"] {
        let text = read(root().join(name)).unwrap();
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            assert!(
                link.contains("://") || root().join(link).exists(),
                "{name} points to {link}, which is not there"
            );
        }
    }
}

#[test]
fn no_file_names_a_place_of_one_machine() {
    let places = ["work", "root", "tmp", "home"].map(|top| format!("/{top}/"));
    for path in files_below(&root()) {
        // Pictures and the like are no text.
        let Ok(text) = read(&path) else { continue };
        for place in &places {
            for (at, _) in text.match_indices(place.as_str()) {
                let inside = text[..at].ends_with(|c: char| c.is_alphanumeric() || "._-~)}".contains(c));
                assert!(inside, "{}: `{place}`", short(&path));
            }
        }
    }
}

#[test]
fn every_case_says_why_it_exists() {
    let cases = files_below(&root().join("cases"));
    assert!(!cases.is_empty());
    for path in cases {
        let text = read(&path).unwrap();
        let why = text.lines().find_map(|line| line.strip_prefix("why = \"")).unwrap_or("");
        assert!(why.len() > 20, "{} does not say why", short(&path));
    }
}

#[test]
fn words_in_comments_and_strings_are_no_code() {
    let text = "let a = \"b \\\" c\"; // d\nlet e = '\"'; /* f */ fn g<'h>() { r#\"i \" j\"# }";
    let code: &str = &code(text);
    assert_eq!(code, "let a = \"\"; \nlet e = ' ';  fn g<'h>() { \"\" }");
    let texts: Vec<Piece> =
        source(text).into_iter().filter(|piece| matches!(piece, Piece::Text(_))).collect();
    assert_eq!(texts, [Piece::Text("b \\\" c".to_owned()), Piece::Text("i \" j".to_owned())]);
    let modules = std_modules("use std::{fmt, net::IpAddr}; use std::fs as disk;");
    assert!(["fmt", "net", "fs"].iter().all(|name| modules.contains(name)) && !modules.contains("disk"));
}
