//! Promise: an answer for a full grid of 12 gears in 20 ms, causes, setting and next step together, so that it can
//! follow the taps at the stand.

use divan::{Bencher, black_box};
use mechanics::diagnosis::{Evidence, GearRow, Grid, Seen, Shift, Sound, diagnose};
use quantity::Length;

fn main() {
    divan::main();
}

fn evidence(grids: usize) -> Evidence {
    let mut evidence = Evidence::of(12, 1.1, Length::mm(0.2));
    for grid in 0..grids {
        let rows = (1..=12)
            .map(|gear| GearRow {
                to_larger: Some(if gear > 3 { Shift::Slow } else { Shift::Clean }),
                to_smaller: Some(if gear > 9 { Shift::Slow } else { Shift::Clean }),
                sound: Some(if gear == 12 { Sound::Growl } else { Sound::Quiet }),
            })
            .collect();
        evidence.grids.push(Grid { clicks: grid as i32, rows, high_set: false, low_set: false });
    }
    evidence
}

#[divan::bench(args = [1, 3])]
fn full_grids_of_12_gears(bencher: Bencher<'_, '_>, grids: usize) {
    let mut evidence = evidence(grids);
    evidence.seen.push(Seen::Hanger(false));
    bencher.bench_local(|| diagnose(black_box(&evidence)));
}
