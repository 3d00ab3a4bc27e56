//! Promise: a chain length costs well under a microsecond and a landing pattern a few, so a search over
//! thousands of parts stays within one keystroke.

use divan::{Bencher, black_box};
use mechanics::{chain, indexing};
use quantity::{Length, Pitches, Teeth};

fn main() {
    divan::main();
}

#[divan::bench]
fn chain_need(bencher: Bencher) {
    let (Ok(ring), Ok(cog)) = (Teeth::new(50), Teeth::new(34)) else { return };
    bencher.bench(|| chain::need(black_box(ring), black_box(cog), black_box(Length::mm(410.0))));
}

#[divan::bench]
fn chain_centre_distance(bencher: Bencher) {
    let (Ok(ring), Ok(cog)) = (Teeth::new(44), Teeth::new(18)) else { return };
    bencher.bench(|| chain::centre_distance(black_box(ring), black_box(cog), black_box(Pitches::new(98.0))));
}

#[divan::bench(args = [8, 10, 11, 13])]
fn landings(bencher: Bencher, cogs: usize) {
    let pulls = vec![Length::mm(2.7); cogs - 1];
    let pitches = vec![Length::mm(3.74); cogs - 1];
    bencher.bench(|| indexing::landings(black_box(&pulls), black_box(1.4), black_box(&pitches)));
}
