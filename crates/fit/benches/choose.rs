//! How long a catalogue takes against one bike, by its size.

#![expect(clippy::unwrap_used, reason = "a problem that cannot be laid out stops the run")]

#[path = "../tests/choose/stock.rs"]
mod stock;

use divan::Bencher;
use fit::choose::{Labour, choose};
use frontier::Watch;
use intake::{Source, built_in, read_refit};

fn main() {
    divan::main();
}

const WISH: &str = include_str!("../../../examples/choose/eleven-cogs-on-a-short-body.toml");

/// Eleven cogs on a short body, by the number of parts of the catalogue.
#[divan::bench(args = [50, 500, 5000, 20_000], sample_count = 5)]
fn catalogue(bencher: Bencher<'_, '_>, parts: usize) {
    let catalogue = stock::stock(1, parts);
    let refit = read_refit(Source { name: "wish.toml", text: WISH }, &built_in().unwrap()).unwrap();
    bencher.bench(|| choose(&refit, &catalogue, &Labour::default(), Watch::default()).unwrap());
}
