//! Promise: a list of 10,000 parts is imported in under a second, and the time grows with the rows.

use catalog::{Catalogue, Part, Slot};
use divan::Bencher;
use divan::counter::ItemsCount;
use intake::spreadsheet::{Format, HeaderMap, Settings, export, import};
use std::fmt::Write;

fn main() {
    divan::main();
}

/// A list of stems with three dimensions each.
fn csv(rows: usize) -> String {
    let mut text = String::from("id,name,price,length [mm],angle,clamp\n");
    for row in 0..rows {
        let _ = writeln!(text, "stem-{row},stem number {row},34.00 EUR,110,-17 deg practice,31.8 mm printed");
    }
    text
}

fn parts(rows: usize) -> Vec<Part> {
    read(csv(rows).as_bytes())
}

fn read(bytes: &[u8]) -> Vec<Part> {
    let (map, catalogue) = (HeaderMap::default(), Catalogue::default());
    import("stems", bytes, &Settings { slot: Some(Slot::Stem), map: &map, catalogue: &catalogue }).parts
}

#[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 10)]
fn csv_rows(bencher: Bencher<'_, '_>, rows: usize) {
    let text = csv(rows);
    bencher.counter(ItemsCount::new(rows)).bench_local(|| read(text.as_bytes()).len());
}

#[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 10)]
fn xlsx_rows(bencher: Bencher<'_, '_>, rows: usize) {
    let Ok(bytes) = export(&parts(rows), Format::Xlsx) else { return };
    bencher.counter(ItemsCount::new(rows)).bench_local(|| read(&bytes).len());
}

#[divan::bench(args = [1_000, 10_000], sample_count = 10)]
fn write_a_catalogue_file(bencher: Bencher<'_, '_>, rows: usize) {
    let parts = parts(rows);
    bencher.counter(ItemsCount::new(rows)).bench_local(|| intake::catalogue_text(&parts).len());
}
