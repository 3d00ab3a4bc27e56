//! Promise: a refit is judged in under 200 microseconds, and planned with all its cures within the 25 milliseconds
//! that the whole command may take.

use divan::Bencher;
use fit::{Build, judge, plan};
use intake::{Source, built_in, read_refit};

fn main() {
    divan::main();
}

const CASES: &[(&str, &str)] = &[
    ("control", include_str!("../../../cases/case-1-control.toml")),
    ("short-body", include_str!("../../../cases/case-2-short-body.toml")),
    ("triple", include_str!("../../../cases/case-3-triple-to-double.toml")),
    ("pull-trap", include_str!("../../../cases/case-5-pull-trap.toml")),
    ("largest-cog", include_str!("../../../cases/case-9-largest-cog.toml")),
];

fn text(name: &str) -> &'static str {
    CASES.iter().find(|case| case.0 == name).map_or("", |case| case.1)
}

const NAMES: &[&str] = &["control", "short-body", "triple", "pull-trap", "largest-cog"];

/// Every rule over a build that is laid out already.
#[divan::bench(args = NAMES)]
fn judge_a_refit(bencher: Bencher<'_, '_>, name: &str) {
    let Ok(catalogue) = built_in() else { return };
    let Ok(refit) = read_refit(Source { name, text: text(name) }, &catalogue) else { return };
    let build = Build::new(&refit);
    bencher.bench_local(|| judge::judge(&build));
}

/// The whole plan: cures searched in the catalogue, answers that would change a verdict, parts list.
#[divan::bench(args = NAMES)]
fn plan_a_refit(bencher: Bencher<'_, '_>, name: &str) {
    let Ok(catalogue) = built_in() else { return };
    let Ok(refit) = read_refit(Source { name, text: text(name) }, &catalogue) else { return };
    bencher.bench_local(|| plan::plan(&refit, &catalogue));
}

/// A refit that changes everything on a bike of which nothing is known: the most there can be to measure.
#[divan::bench]
fn plan_with_nothing_measured(bencher: Bencher<'_, '_>) {
    let Ok(catalogue) = built_in() else { return };
    let Ok(refit) = read_refit(Source { name: "unknown", text: NOTHING_MEASURED }, &catalogue) else {
        return;
    };
    bencher.bench_local(|| plan::plan(&refit, &catalogue).to_measure.len());
}

const NOTHING_MEASURED: &str = r#"
name = "everything new, nothing measured"
[wish]
lowest_gear = "easier"
[choice]
cassette = "cassette-11-road-11-30"
chain = "chain-11"
crankset = "crankset-50-34-24-through"
bottom_bracket = "bb-1.37x24-68-24-through"
levers = "levers-road-11-pull-2.7"
rear_derailleur = "rd-road-11-ratio-1.4-short"
front_derailleur = "fd-double-11-band-31.8"
calipers = "caliper-rim-39-49"
bar = "bar-drop-31.8-reach-80"
stem = "stem-31.8-110-minus-6"
"#;

/// Reading the built-in catalogue, which every command does.
#[divan::bench]
fn read_the_catalogue() -> usize {
    built_in().map_or(0, |catalogue| catalogue.parts.len())
}

/// Reading a refit file.
#[divan::bench(args = NAMES)]
fn read_a_refit(bencher: Bencher<'_, '_>, name: &str) {
    let Ok(catalogue) = built_in() else { return };
    bencher.bench_local(|| read_refit(Source { name, text: text(name) }, &catalogue).is_ok());
}
