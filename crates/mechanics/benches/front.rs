//! Promise: the front map of 2 rings and 11 cogs and the landing of 11 gears in 50 µs each, so both can follow a
//! number while it is typed. The same work by numpy and scipy is timed in `tests/data/front_reference.py`.

#[path = "../tests/data/landing_inputs.rs"]
mod landing_inputs;

use divan::{Bencher, black_box};
use mechanics::front_map::{Clean, FrontCage, FrontRun, pass, trims};
use mechanics::monotone_curve::MonotoneCurve;
use mechanics::shift_landing::{Hanger, ShiftModel, ShiftParts};
use quantity::{Angle, Length, Teeth};

fn main() {
    divan::main();
}

const COGS: [i64; 12] = [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28, 32];

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn cage() -> FrontCage {
    FrontCage {
        nose_width: mm(9.5),
        tail_width: mm(12.5),
        length: mm(95.0),
        tail_behind: mm(85.0),
        yaw: Angle::deg(0.0),
        height: mm(2.0),
        inner_depth: mm(14.0),
        bridge_depth: mm(28.0),
    }
}

fn runs(cogs: usize) -> Vec<FrontRun> {
    let teeth = |count| Teeth::new(count).ok();
    let mut all = Vec::new();
    for (ring, ring_at) in [(50, 47.15), (34, 39.85)] {
        for (place, cog) in COGS.iter().take(cogs).enumerate() {
            let (Some(ring), Some(outer_ring), Some(cog)) = (teeth(ring), teeth(50), teeth(*cog)) else {
                continue;
            };
            let cog_at = mm(61.2 - 3.74 * place as f64);
            let (ring_at, chainstay, chain_outer) = (mm(ring_at), mm(410.0), mm(5.6));
            all.push(FrontRun { ring, outer_ring, ring_at, cog, cog_at, chainstay, chain_outer });
        }
    }
    all
}

/// Every pair of 2 rings; grows with the cogs.
#[divan::bench(args = [3, 6, 11, 12])]
fn map(bencher: Bencher, cogs: usize) {
    let (cage, runs) = (cage(), runs(cogs));
    bencher.bench(|| {
        runs.iter()
            .filter_map(|run| pass(black_box(&cage), black_box(run)).ok())
            .fold(0.0, |sum, passed| sum + passed.clean().width().to_mm())
    });
}

/// The fewest trim positions of one ring; grows with the cogs.
#[divan::bench(args = [3, 6, 12])]
fn trim_positions(bencher: Bencher, cogs: usize) {
    let cage = FrontCage { nose_width: mm(7.0), tail_width: mm(8.0), ..cage() };
    let clean: Vec<Clean> =
        runs(cogs).iter().take(cogs).filter_map(|run| pass(&cage, run).ok()).map(|one| one.clean()).collect();
    bencher.bench(|| trims(black_box(&clean)));
}

fn model(gears: usize) -> Option<ShiftModel> {
    let travel: Vec<(f64, f64)> = [-20.0, -8.0, 0.0, 8.0, 16.0, 24.0, 34.0, 50.0, 75.0]
        .map(|cable: f64| (cable, 1.4 * cable * (1.0 + 0.001 * cable)))
        .to_vec();
    let hanger = Hanger {
        roll: Angle::deg(0.5),
        toe: Angle::deg(0.2),
        drop_at_smallest: mm(60.0),
        drop_at_largest: mm(85.0),
        behind: mm(10.0),
    };
    ShiftModel::new(ShiftParts {
        pulls: vec![mm(2.7); gears - 1],
        travel: MonotoneCurve::rising(&travel).ok()?,
        pitches: vec![mm(3.74); gears - 1],
        cog_thickness: mm(1.6),
        chain_outer: mm(5.5),
        hanger,
        float: mm(0.1),
        lost_motion: mm(0.2),
        reach: mm(0.85),
    })
    .ok()
}

/// Every landing and click window; grows with the gears.
#[divan::bench(args = [5, 11, 13])]
fn landings_and_windows(bencher: Bencher, gears: usize) {
    let Some(model) = model(gears) else { return };
    bencher.bench(|| {
        let model = black_box(&model);
        let landed: f64 = model.landings(mm(0.1)).map(|landing| landing.error.to_mm()).sum();
        (0..model.gears())
            .filter_map(|gear| model.click_room(gear, mm(0.1), mm(0.2)))
            .fold(landed, |sum, room| sum + room.add.min(room.take_off))
    });
}

/// A million shiftings of any kind, each looked at.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn a_million_shiftings(bencher: Bencher) {
    bencher.bench(|| landing_inputs::run(black_box(1_000_000), 11));
}
