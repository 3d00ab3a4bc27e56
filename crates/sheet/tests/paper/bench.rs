//! What the tests of sheets share: the documents of the cases, and two readers.

use document::{LaidWork, PlanDocument, WorkDocument};
use hayro_syntax::Pdf;
use sheet::{Job, JobTag, Paper, SheetKind, Typesetter};
use shop::torque::closing;
use shop::{Book, Circumstances, FASTENERS, Fastener};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Mutex, OnceLock};

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

pub(crate) fn documents(name: &str, text: &str) -> (PlanDocument, WorkDocument) {
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name, text }, &catalogue).unwrap();
    let plan = fit::plan_with(&refit, &catalogue, &[]);
    let book = Book::start_values();
    let laid = LaidWork::of(&plan, &book, Circumstances::default()).unwrap();
    let touched = |fastener: &&'static Fastener| {
        laid.order.iter().any(|placed| placed.step.fasteners.contains(&fastener.id))
    };
    let closed = FASTENERS.iter().filter(touched).map(|fastener| closing(fastener, &[], &[], None).unwrap());
    let bolts: Vec<_> = closed.flatten().collect();
    (PlanDocument::of(&plan), WorkDocument::of(&plan, &book, &laid, &bolts))
}

pub(crate) fn example() -> (PlanDocument, WorkDocument) {
    documents("example.toml", &std::fs::read_to_string(root().join("crates/cogwright/example.toml")).unwrap())
}

/// A bike of which everything that is drawn was measured.
pub(crate) fn measured() -> (PlanDocument, WorkDocument) {
    documents("measured.toml", include_str!("measured.toml"))
}

/// Every case, read once.
pub(crate) fn cases() -> &'static [(String, PlanDocument, WorkDocument)] {
    static CASES: OnceLock<Vec<(String, PlanDocument, WorkDocument)>> = OnceLock::new();
    CASES.get_or_init(|| {
        let mut paths: Vec<PathBuf> =
            std::fs::read_dir(root().join("cases")).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        let read = |path: &PathBuf| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let (plan, work) = documents(&name, &std::fs::read_to_string(path).unwrap());
            (name, plan, work)
        };
        paths.iter().map(read).collect()
    })
}

/// A sheet as the program writes it.
pub(crate) fn pdf(
    plan: &PlanDocument,
    work: &WorkDocument,
    tag: &JobTag,
    kind: SheetKind,
    paper: Paper,
) -> Vec<u8> {
    let job = Job { plan, work, tag, estimate: None, pair: None };
    Typesetter::new().pdf(&job.sheet(kind).unwrap(), paper).unwrap()
}

/// A sheet of a case on A4 with nothing filled in: several tests look at it, and it is set once.
pub(crate) fn sheet_of(case: &(String, PlanDocument, WorkDocument), kind: SheetKind) -> Vec<u8> {
    static SET: Mutex<BTreeMap<(String, SheetKind), Vec<u8>>> = Mutex::new(BTreeMap::new());
    let key = (case.0.clone(), kind);
    let mut set = SET.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let made = || pdf(&case.1, &case.2, &JobTag::default(), kind, Paper::A4);
    set.entry(key).or_insert_with(made).clone()
}

/// The first reader, in this process.
pub(crate) fn pages(bytes: &[u8]) -> usize {
    Pdf::new(bytes.to_vec()).unwrap().pages().len()
}

/// Tags for screen readers come with `/Suspects false`, as ISO 32000-1, 14.7.1 has it; older versions of the reader take
/// every value but `true` for a fault there.
const SUSPECTS: &str = "Suspects object is wrong type (boolean)";

/// The second reader: a program of the system, which `check` installs.
pub(crate) fn run(program: &str, name: &str, bytes: &[u8], arguments: &[&str]) -> String {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.pdf"));
    std::fs::write(&file, bytes).unwrap();
    let mut command = Command::new(program);
    let (before, after) = arguments.split_at(arguments.iter().position(|word| *word == "-").unwrap_or(0));
    let output = command.args(before).arg(&file).args(after).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {said}");
    let other: Vec<&str> = said.lines().filter(|line| !line.ends_with(SUSPECTS)).collect();
    assert!(other.is_empty(), "{program}: {other:?}");
    String::from_utf8(output.stdout).unwrap()
}

pub(crate) fn text(name: &str, bytes: &[u8]) -> String {
    run("pdftotext", name, bytes, &["-layout", "-"])
}

pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    quantity::digits::fixed(value, decimals)
}
