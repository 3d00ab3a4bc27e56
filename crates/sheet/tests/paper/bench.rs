//! What the tests of sheets share: the documents of the cases, and two readers.

use document::{EstimateDocument, LaidWork, PlanDocument, WorkDocument};
use hayro_syntax::Pdf;
use serde_json::Value;
use sheet::{Job, JobTag, Paper, SheetKind, Typesetter};
use shop::torque::closing;
use shop::{Book, Circumstances, FASTENERS, Workshop};
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
    let closed = FASTENERS
        .iter()
        .filter(|fastener| laid.closes(fastener.id))
        .map(|fastener| closing(fastener, &[], &[], None).unwrap());
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

/// What the built-in shop asks for a refit.
pub(crate) fn estimate(name: &str, text: &str) -> Value {
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name, text }, &catalogue).unwrap();
    let plan = fit::plan_with(&refit, &catalogue, &[]);
    let today = "2026-11-25".parse().unwrap();
    let desk = shop::desk(&plan, &catalogue, workshop(), Circumstances::default(), today).unwrap();
    serde_json::to_value(EstimateDocument::of(&desk)).unwrap()
}

/// The shop file that comes with the program.
pub(crate) fn workshop() -> &'static Workshop {
    static SHOP: OnceLock<Workshop> = OnceLock::new();
    SHOP.get_or_init(|| {
        let text = std::fs::read_to_string(root().join("crates/cogwright/shop.toml")).unwrap();
        intake::read_shop(intake::Source { name: "shop.toml", text: &text }).unwrap()
    })
}

/// The estimates of the cases by name.
pub(crate) fn estimates() -> &'static BTreeMap<String, Value> {
    static ESTIMATES: OnceLock<BTreeMap<String, Value>> = OnceLock::new();
    ESTIMATES.get_or_init(|| {
        let of = |path: PathBuf| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let estimate = estimate(&name, &std::fs::read_to_string(path).unwrap());
            (name, estimate)
        };
        case_files().into_iter().map(of).collect()
    })
}

fn case_files() -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(root().join("cases")).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
}

/// Every case, read once.
pub(crate) fn cases() -> &'static [(String, PlanDocument, WorkDocument)] {
    static CASES: OnceLock<Vec<(String, PlanDocument, WorkDocument)>> = OnceLock::new();
    CASES.get_or_init(|| {
        let read = |path: &PathBuf| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let (plan, work) = documents(&name, &std::fs::read_to_string(path).unwrap());
            (name, plan, work)
        };
        case_files().iter().map(read).collect()
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

/// A sheet of a case on A4 with its estimate and nothing else filled in: several tests look at it, and it is set once.
pub(crate) fn sheet_of(case: &(String, PlanDocument, WorkDocument), kind: SheetKind) -> Vec<u8> {
    static SET: Mutex<BTreeMap<(String, SheetKind), Vec<u8>>> = Mutex::new(BTreeMap::new());
    let key = (case.0.clone(), kind);
    let mut set = SET.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let made = || {
        let (plan, work, tag) = (&case.1, &case.2, &JobTag::default());
        let job = Job { plan, work, tag, estimate: estimates().get(&case.0), pair: None };
        Typesetter::new().pdf(&job.sheet(kind).unwrap(), Paper::A4).unwrap()
    };
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
