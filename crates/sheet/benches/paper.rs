//! Speed of a drawing (wanted: under 1 ms), of a leaf of two pages (under 60 ms warm) and of all sheets of a job
//! (under 1 s).

#![expect(clippy::unwrap_used, reason = "a bench without its input measures nothing")]

use document::{LaidWork, PlanDocument, WorkDocument};
use sheet::{Job, JobTag, Paper, SheetKind, Typesetter, drawings};
use shop::torque::closing;
use shop::{Book, Circumstances, FASTENERS};

fn main() {
    divan::main();
}

fn documents() -> (PlanDocument, WorkDocument) {
    let text = include_str!("../../cogwright/example.toml");
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name: "example.toml", text }, &catalogue).unwrap();
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

#[divan::bench]
fn the_drivetrain_from_the_drive_side(bencher: divan::Bencher<'_, '_>) {
    let (plan, _) = documents();
    bencher.bench_local(|| drawings::drivetrain(&plan, None).svg().unwrap());
}

#[divan::bench]
fn the_build_sheet_of_two_pages(bencher: divan::Bencher<'_, '_>) {
    let (plan, work) = documents();
    let tag = JobTag::default();
    let typesetter = Typesetter::new();
    let mut hook = 0;
    bencher.bench_local(|| {
        // Another hook each time: a sheet that is the same as the last is remembered and costs nothing.
        hook += 1;
        let tag = JobTag { hook: Some(hook.to_string()), ..tag.clone() };
        let job = Job { plan: &plan, work: &work, tag: &tag, estimate: None, pair: None };
        typesetter.pdf(&job.sheet(SheetKind::Build).unwrap(), Paper::A4).unwrap()
    });
}

#[divan::bench(sample_count = 5)]
fn all_sheets_of_a_job(bencher: divan::Bencher<'_, '_>) {
    let (plan, work) = documents();
    let mut hook = 0;
    bencher.bench_local(|| {
        hook += 1;
        let typesetter = Typesetter::new();
        let tag = JobTag { hook: Some(hook.to_string()), ..JobTag::default() };
        let job = Job { plan: &plan, work: &work, tag: &tag, estimate: None, pair: None };
        for kind in SheetKind::ALL {
            typesetter.pdf(&job.sheet(kind).unwrap(), Paper::A4).unwrap();
        }
    });
}
