//! What a manager waits for: union, order and price under 100 µs; percentiles under 2 ms; promises for 40 open jobs
//! under 200 ms. The whole desk with its options is measured beside them: it searches the catalogue for the smaller set.

#![expect(clippy::unwrap_used, reason = "a bench that cannot read its input stops")]

use divan::Bencher;
use jiff::civil::date;
use shop::{
    Age, Blow, Book, Carries, Circumstances, HowMuch, LineKind, OpenJob, OperationId, PriceLine, Range,
    Skill, WorkPiece, desk, outlook, promises, totals,
};

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const CASE: &str = include_str!("../../../cases/case-3-triple-to-double.toml");

fn main() {
    divan::main();
}

/// Everything that a whole refit asks for.
const REFIT: &[OperationId] = &[
    OperationId("job"),
    OperationId("cassette"),
    OperationId("chain"),
    OperationId("crankset"),
    OperationId("bottom-bracket"),
    OperationId("levers"),
    OperationId("bar"),
    OperationId("tape"),
    OperationId("calipers"),
    OperationId("rear-derailleur"),
    OperationId("front-derailleur"),
    OperationId("rear-shift-cable"),
    OperationId("front-shift-cable"),
    OperationId("brake-cables"),
];

#[divan::bench]
fn union_order_and_price(bencher: Bencher<'_, '_>) {
    let book = Book::start_values();
    let shop = intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap();
    let hour = shop.terms.hour;
    let parts: Vec<PriceLine> = (0..20)
        .map(|at| PriceLine {
            kind: if at % 2 == 0 { LineKind::Part } else { LineKind::SmallPart },
            part: None,
            words: "a part".to_owned(),
            how_much: HowMuch::Pieces(1),
            unit: None,
            amount: hour.with_minor(1000 + at * 37),
            why: String::new(),
            priced_on: None,
            assumed: false,
        })
        .collect();
    bencher.bench_local(|| {
        let minutes = book.labour(divan::black_box(REFIT), Age::Sound).unwrap().total;
        let order = book.order(divan::black_box(REFIT)).unwrap();
        let labour = hour.share(minutes.usual, 60).unwrap();
        let sums = totals(&parts, &shop.terms.taxes, Carries::Net, labour, 1).unwrap();
        (order.len(), sums.payable.plus(labour))
    });
}

#[divan::bench]
fn percentiles_of_twelve_risks(bencher: Bencher<'_, '_>) {
    let blows: Vec<Blow> =
        (0..12).map(|at| Blow { chance: 0.03 * f64::from(at), by: 900.0 * f64::from(at) }).collect();
    bencher.bench_local(|| outlook(divan::black_box(130_000.0), 9_000.0, &blows));
}

#[divan::bench(sample_count = 10)]
fn promises_of_forty_jobs(bencher: Bencher<'_, '_>) {
    let shop = intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap();
    let range = |usual: u32| {
        let usual = f64::from(usual);
        Range { p50: usual, p80: usual * 1.15, p95: usual * 1.3 }
    };
    let skills = [Skill::Mechanic, Skill::Mechanic, Skill::Specialist, Skill::Learner];
    let jobs: Vec<OpenJob> = (0..40u32)
        .map(|at| OpenJob {
            name: format!("hook {at}"),
            tell: String::new(),
            pieces: (0..1 + at % 3)
                .map(|piece| WorkPiece {
                    words: String::new(),
                    skill: skills[(at + piece) as usize % skills.len()],
                    minutes: range(30 + (at * 37 + piece * 61) % 150),
                })
                .collect(),
            check: Some(range(20)),
            awaits: Vec::new(),
            promised: (at % 2 == 0).then_some(date(2026, 12, 10)),
        })
        .collect();
    bencher.bench_local(|| promises(&shop, divan::black_box(&jobs), date(2026, 11, 25)));
}

#[divan::bench(sample_count = 10)]
fn the_whole_desk_with_its_options(bencher: Bencher<'_, '_>) {
    let shop = intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap();
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name: "case.toml", text: CASE }, &catalogue).unwrap();
    let plan = fit::plan(&refit, &catalogue);
    bencher.bench_local(|| {
        let plan = divan::black_box(&plan);
        let desk = desk(plan, &catalogue, &shop, Circumstances::default(), date(2026, 11, 25)).unwrap();
        desk.ways.len()
    });
}
