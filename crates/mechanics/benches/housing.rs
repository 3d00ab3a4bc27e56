//! Promise: one free loop costs less than 200 µs and a search from lock to lock less than 30 ms, so a cut list is
//! there while the length is typed. No shape allocates.

use divan::{AllocProfiler, Bencher, black_box};
use mechanics::Point;
use mechanics::housing_loop::{End, Steering, Wanted, free_loop, lock_to_lock, shortest_housing};
use quantity::{Angle, Length};

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

fn end(x_mm: f64, y_mm: f64, deg: f64) -> End {
    End { at: Point { x_mm, y_mm }, tangent: Angle::deg(deg) }
}

fn bar() -> Steering {
    Steering {
        axis: Point { x_mm: 0.0, y_mm: 0.0 },
        bar_end: end(60.0, 90.0, 180.0),
        frame_end: end(-110.0, 25.0, 200.0),
        lock: Angle::deg(60.0),
    }
}

#[divan::bench(args = [1.05, 1.15, 1.35])]
fn one_loop(bencher: Bencher, share: f64) {
    let (from, to) = (end(0.0, 0.0, 0.0), end(150.0, -60.0, -60.0));
    let length = Length::mm(150.0_f64.hypot(60.0) * share);
    bencher.bench(|| free_loop(black_box(from), black_box(to), black_box(length)));
}

#[divan::bench]
fn one_loop_that_turns_hard_at_its_end(bencher: Bencher) {
    let (from, to) = (end(0.0, 0.0, 90.0), end(120.0, 120.0, 0.0));
    bencher.bench(|| free_loop(black_box(from), black_box(to), black_box(Length::mm(174.8))));
}

#[divan::bench]
fn one_length_lock_to_lock(bencher: Bencher) {
    bencher.bench(|| lock_to_lock(black_box(&bar()), black_box(Length::mm(420.0))));
}

#[divan::bench(args = [20.0, 35.0, 40.0])]
fn search_lock_to_lock(bencher: Bencher, radius_mm: f64) {
    let wanted = Wanted { least_radius: Length::mm(radius_mm), least_slack: Length::mm(5.0) };
    bencher.bench(|| shortest_housing(black_box(&bar()), black_box(&wanted), black_box(Length::mm(700.0))));
}

#[divan::bench]
fn search_lock_to_lock_in_vain(bencher: Bencher) {
    let wanted = Wanted { least_radius: Length::mm(150.0), least_slack: Length::mm(5.0) };
    bencher.bench(|| shortest_housing(black_box(&bar()), black_box(&wanted), black_box(Length::mm(700.0))));
}
