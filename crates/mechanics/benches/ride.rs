//! Promise: a thousand drivetrains on 20,000 stretches, each with its own efficiency, in a tenth of a second at most;
//! with a shifting habit in 150 ms on two cores; time linear in drivetrains and all but free of the number of stretches.

use divan::{Bencher, black_box};
use mechanics::ride::nearest_cadence::RoadSums;
use mechanics::ride::parameters::usual_load;
use mechanics::ride::shifting::{Course, Gear, USUAL_HABIT, gears_along, ridden};
use mechanics::ride::{Load, steady_speed_m_s};

fn main() {
    divan::main();
}

fn load() -> Load {
    Load { drag_area_m2: 0.32, rolling: 0.004, efficiency: 0.976, wind_m_s: 0.0, ..usual_load(85.0) }
}

/// 100 km for 20,000 stretches; more stretches are a longer road.
fn road(stretches: usize) -> Vec<f64> {
    (0..stretches)
        .map(|k| {
            let s = (k as f64 + 0.5) * 5.0;
            let wave = |height: f64, length: f64, phase: f64| {
                height * (std::f64::consts::TAU * s / length + phase).sin()
            };
            wave(0.03, 9300.0, 0.0) + wave(0.025, 2750.0, 1.0) + wave(0.015, 610.0, 2.0) + 0.002
        })
        .collect()
}

fn ratios(k: usize) -> Vec<f64> {
    let outer = (46 + (k * 7) % 9) as f64;
    let inner = outer - 16.0 + ((k * 3) % 3) as f64;
    let big = (25 + (k * 5) % 12) as f64;
    let cogs: Vec<f64> = (0..11).map(|c| (11.0 * (big / 11.0).powf(f64::from(c) / 10.0)).round()).collect();
    cogs.iter().map(|cog| outer / cog).chain(cogs.iter().map(|cog| inner / cog)).collect()
}

fn gears(k: usize) -> Vec<Gear> {
    let ratios = ratios(k);
    let place = |at: usize| Gear { ring: at / 11, cog: at % 11, development_m: ratios[at] * 2.105 };
    (0..22).map(place).collect()
}

fn course(stretches: usize) -> Course {
    let speeds: Vec<f64> =
        road(stretches).iter().map(|g| steady_speed_m_s(&load(), 200.0, *g, 0.0)).collect();
    let times: Vec<f64> = speeds.iter().map(|v| 5.0 / v).collect();
    Course::of(&speeds, &times, &times)
}

/// Everything anew: speeds at all efficiencies, sums, and every drivetrain with its own efficiency.
#[divan::bench(args = [1, 100, 1000], sample_count = 10)]
fn own_efficiency_and_nearest_cadence(bencher: Bencher, drivetrains: usize) {
    let (grades, sets) = (road(20_000), (0..drivetrains).map(ratios).collect::<Vec<_>>());
    bencher.bench(|| {
        let Ok(road) = RoadSums::new(&load(), 200.0, black_box(&grades), (0.96, 0.985)) else { return 0.0 };
        let step = 0.025 / drivetrains.saturating_sub(1).max(1) as f64;
        let own =
            |(k, set): (usize, &Vec<f64>)| road.deviation(set, 2.105, 88.0, 0.96 + step * k as f64).sum_rpm;
        sets.iter().enumerate().map(own).sum::<f64>()
    });
}

/// One efficiency, the road prepared: what a binary search for the gear is compared with.
#[divan::bench(args = [1, 100, 1000], sample_count = 10)]
fn shared_speed_and_nearest_cadence(bencher: Bencher, drivetrains: usize) {
    let sets = (0..drivetrains).map(ratios).collect::<Vec<_>>();
    let Ok(road) = RoadSums::new(&load(), 200.0, &road(20_000), (0.96, 0.985)) else { return };
    bencher.bench(|| {
        sets.iter().map(|set| road.deviation(black_box(set), 2.105, 88.0, 0.976).sum_rpm).sum::<f64>()
    });
}

/// A longer road, a hundred drivetrains with their own efficiency: linear but for the logarithm of the sorting.
#[divan::bench(args = [20_000, 80_000, 320_000], sample_count = 10)]
fn own_efficiency_on_a_longer_road(bencher: Bencher, stretches: usize) {
    let (grades, sets) = (road(stretches), (0..100).map(ratios).collect::<Vec<_>>());
    bencher.bench(|| {
        let Ok(road) = RoadSums::new(&load(), 200.0, black_box(&grades), (0.96, 0.985)) else { return 0.0 };
        let own = |(k, set): (usize, &Vec<f64>)| {
            road.deviation(set, 2.105, 88.0, 0.96 + 0.025 * k as f64 / 99.0).sum_rpm
        };
        sets.iter().enumerate().map(own).sum::<f64>()
    });
}

/// The habit on one core.
#[divan::bench(args = [1, 100, 1000], sample_count = 10)]
fn habit_one_core(bencher: Bencher, drivetrains: usize) {
    let (course, sets) = (course(20_000), (0..drivetrains).map(gears).collect::<Vec<_>>());
    bencher.bench(|| {
        sets.iter().map(|set| ridden(black_box(&course), set, USUAL_HABIT).strain_rpm_s).sum::<f64>()
    });
}

/// The habit on two cores.
#[divan::bench(args = [1000], sample_count = 10)]
fn habit_two_cores(bencher: Bencher, drivetrains: usize) {
    let (course, sets) = (course(20_000), (0..drivetrains).map(gears).collect::<Vec<_>>());
    bencher.bench(|| {
        std::thread::scope(|scope| {
            let halves: Vec<_> = sets
                .chunks(drivetrains.div_ceil(2))
                .map(|half| {
                    let course = &course;
                    scope.spawn(move || {
                        half.iter().map(|set| ridden(course, set, USUAL_HABIT).strain_rpm_s).sum::<f64>()
                    })
                })
                .collect();
            halves.into_iter().filter_map(|half| half.join().ok()).sum::<f64>()
        })
    });
}

/// The habit stretch by stretch, for comparison.
#[divan::bench(args = [100], sample_count = 10)]
fn habit_without_skips(bencher: Bencher, drivetrains: usize) {
    let (course, sets) = (course(20_000), (0..drivetrains).map(gears).collect::<Vec<_>>());
    bencher.bench(|| {
        sets.iter().map(|set| gears_along(black_box(&course), set, USUAL_HABIT).1.strain_rpm_s).sum::<f64>()
    });
}

/// A longer road has more shifts: linear.
#[divan::bench(args = [20_000, 80_000, 320_000], sample_count = 10)]
fn habit_on_a_longer_road(bencher: Bencher, stretches: usize) {
    let (course, set) = (course(stretches), gears(0));
    bencher.bench(|| ridden(black_box(&course), &set, USUAL_HABIT).strain_rpm_s);
}

/// The same road in finer stretches has no more shifts.
#[divan::bench(args = [20_000, 80_000, 320_000], sample_count = 10)]
fn habit_on_a_finer_road(bencher: Bencher, stretches: usize) {
    let (course, set) = (finer(stretches), gears(0));
    bencher.bench(|| ridden(black_box(&course), &set, USUAL_HABIT).strain_rpm_s);
}

/// The same without skips.
#[divan::bench(args = [20_000, 80_000, 320_000], sample_count = 10)]
fn walking_a_finer_road(bencher: Bencher, stretches: usize) {
    let (course, set) = (finer(stretches), gears(0));
    bencher.bench(|| gears_along(black_box(&course), &set, USUAL_HABIT).1.strain_rpm_s);
}

/// The 100 km in so many stretches.
fn finer(stretches: usize) -> Course {
    let times_finer = stretches / 20_000;
    let each = |v: f64| std::iter::repeat_n(v, times_finer);
    let speeds: Vec<f64> =
        road(20_000).iter().flat_map(|grade| each(steady_speed_m_s(&load(), 200.0, *grade, 0.0))).collect();
    let times: Vec<f64> = speeds.iter().map(|v| 5.0 / times_finer as f64 / v).collect();
    Course::of(&speeds, &times, &times)
}
