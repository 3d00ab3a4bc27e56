//! Promise: every stem, spacer height and turn of the bar is tried in a fifth of a millisecond, and the laws of bolts,
//! spokes, tape and losses cost less than a microsecond each: what a page shows while a number is typed.

use divan::{Bencher, black_box};
use mechanics::Point;
use mechanics::bar_curve::{BarCurve, Choice, Hands, Spot, bring_hood_back};
use mechanics::bolts::{preload, wrench_setting};
use mechanics::drive_loss::{Drive, loss_share};
use mechanics::spoke::{Run, length};
use mechanics::tape::length_used;
use quantity::{Angle, Length, Power, Teeth, Torque};

fn main() {
    divan::main();
}

const ANGLES: [f64; 4] = [-17.0, -6.0, 6.0, 17.0];

fn choice(stems: u32) -> Choice {
    let length = |n: u32| 70.0 + 10.0 * f64::from(n / 4);
    Choice {
        stems: (0..stems).map(|n| (Length::mm(length(n)), Angle::deg(ANGLES[(n % 4) as usize]))).collect(),
        spacers: [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0].map(Length::mm).to_vec(),
        turns: (-6..=6).map(|turn| Angle::deg(f64::from(turn))).collect(),
    }
}

/// 28 stems, 7 heights and 13 turns are 2548 settings, the same as the numpy script times.
#[divan::bench(args = [7, 14, 28, 56])]
fn hands_brought_back(bencher: Bencher, stems: u32) {
    let choice = choice(stems);
    let spot = |x_mm, y_mm| Spot { at: Point { x_mm, y_mm }, slope: Angle::deg(0.0) };
    let hands = Hands { hood: spot(240.0, 0.0), head_angle: Angle::deg(73.0), deg_per_mm: 0.5 };
    bencher.bench(|| bring_hood_back(black_box(spot(132.0, 0.0)), black_box(hands), &choice, 5));
}

#[divan::bench]
fn bar_drawn_and_walked(bencher: Bencher) {
    let bar = || BarCurve::new(black_box(Length::mm(80.0)), Length::mm(125.0), Angle::deg(8.0));
    bencher.bench(|| bar().and_then(|bar| bar.spot(black_box(Length::mm(70.0)))));
}

#[divan::bench]
fn wrench_with_extension(bencher: Bencher) {
    let torque = Torque::newton_metres(40.0);
    bencher
        .bench(|| wrench_setting(black_box(torque), Length::mm(300.0), Length::mm(50.0), Angle::deg(45.0)));
}

#[divan::bench]
fn bolt_preload(bencher: Bencher) {
    bencher.bench(|| preload(black_box(Torque::newton_metres(5.0)), 0.18, Length::mm(5.0), 0.3));
}

#[divan::bench]
fn spoke_length(bencher: Bencher) {
    let run = Run {
        flange_offset: Length::mm(39.0),
        hole_circle: Length::mm(58.0),
        rim_diameter: Length::mm(555.0),
        hole: Length::mm(2.6),
        spokes_a_side: 18,
        crossings: 3,
    };
    bencher.bench(|| length(black_box(run)));
}

#[divan::bench]
fn tape_of_a_side(bencher: Bencher) {
    bencher.bench(|| length_used(black_box(Length::mm(480.0)), Length::mm(27.0), Length::mm(30.0), 0.25));
}

#[divan::bench]
fn loss_of_a_gear(bencher: Bencher) {
    let (Ok(ring), Ok(cog)) = (Teeth::new(50), Teeth::new(17)) else { return };
    let drive = Drive { ring, cog, power: Power::watts(150.0), cadence_rpm: 80.0, askew: Angle::deg(1.0) };
    bencher.bench(|| loss_share(black_box(&drive)));
}
