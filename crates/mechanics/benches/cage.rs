//! Promise: all gears of 2 rings and 12 cogs are solved in 50 µs and the window over all counts in 500 µs, so a page
//! can show them while a number is typed; and a million inputs of any kind give no panic and no NaN.

#[path = "../tests/data/cage_inputs.rs"]
mod cage_inputs;

use divan::{Bencher, black_box};
use mechanics::cage::{
    Derailleur, Drivetrain, Frame, LevelReading, MEDIUM, Readings, SHORT, WIDE, calibrate, capacity,
    largest_cog, place_rules, solve, window,
};
use quantity::{Angle, Length, Pitches, Teeth};

fn main() {
    divan::main();
}

const COGS: [i64; 12] = [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 27, 28];

fn teeth(counts: &[i64]) -> Vec<Teeth> {
    counts.iter().filter_map(|count| Teeth::new(*count).ok()).collect()
}

fn with<T>(check: impl FnOnce(&Drivetrain<'_>) -> T) -> T {
    let (rings, cogs) = (teeth(&[50, 34]), teeth(&COGS));
    let frame = Frame::usual(Length::mm(410.0));
    check(&Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: Length::mm(3.4) })
}

/// 24 gears for one chain.
#[divan::bench]
fn all_gears_2_by_12(bencher: Bencher) {
    with(|it| bencher.bench(|| solve(black_box(&SHORT.derailleur), black_box(it), Pitches::new(106.0))));
}

/// The same with the guide pulley off the pivot: its extreme angles take steps.
#[divan::bench]
fn all_gears_guide_off_the_pivot(bencher: Bencher) {
    with(|it| bencher.bench(|| solve(black_box(&WIDE.derailleur), black_box(it), Pitches::new(106.0))));
}

#[divan::bench]
fn window_of_counts(bencher: Bencher) {
    with(|it| bencher.bench(|| window(black_box(&SHORT.derailleur), black_box(it))));
}

/// The slow way to the window: all gears for each count from 98 to 122.
#[divan::bench]
fn every_count_in_every_gear(bencher: Bencher) {
    with(|it| {
        bencher.bench(|| {
            let taut = |count: &u32| {
                let gears =
                    solve(black_box(&SHORT.derailleur), black_box(it), Pitches::new(f64::from(*count)));
                gears.is_ok_and(|gears| gears.is_taut())
            };
            (98..=122).filter(taut).count()
        });
    });
}

#[divan::bench]
fn rules_of_the_shop(bencher: Bencher) {
    with(|it| bencher.bench(|| place_rules(black_box(&SHORT.derailleur), black_box(it))));
}

#[divan::bench]
fn largest_cog_for_a_hanger(bencher: Bencher) {
    with(|it| bencher.bench(|| largest_cog(black_box(&MEDIUM.derailleur), black_box(it), Length::mm(5.0))));
}

#[divan::bench]
fn capacity_over_a_family(bencher: Bencher) {
    let figure = |it: &Derailleur, on: &Drivetrain<'_>| capacity(it, on).map(|found| found.teeth);
    with(|on| bencher.bench(|| SHORT.interval(|it| figure(black_box(it), black_box(on)))));
}

#[divan::bench]
fn calibration(bencher: Bencher) {
    let level = |ring_idx, cog_idx, deg| LevelReading { ring_idx, cog_idx, angle: Angle::deg(deg) };
    let readings = Readings {
        count: Pitches::new(106.0),
        levels: [level(0, 9, 36.0), level(1, 2, 143.0)],
        level_tolerance: Angle::deg(0.5),
        gap_ring_idx: 0,
        gap_cog_idx: 9,
        gap: Length::mm(10.0),
        gap_tolerance: Length::mm(0.5),
    };
    with(|it| bencher.bench(|| calibrate(black_box(&SHORT), black_box(it), black_box(&readings))));
}

/// A million inputs of any kind, each looked at.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn a_million_inputs(bencher: Bencher) {
    bencher.bench(|| cage_inputs::run(black_box(1_000_000), 11));
}

/// Thirty thousand random bikes through window, rules, effects and calibration.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn thirty_thousand_bikes(bencher: Bencher) {
    bencher.bench(|| cage_inputs::run_whole(black_box(30_000), 13));
}
