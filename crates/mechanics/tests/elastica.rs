//! Free housing loops against a general numerical library, and the laws of a thin rod.
//!
//! `data/elastica.json` was written by `data/elastica_reference.py` (numpy and scipy): collocation from several
//! starts, then shooting; the branch of least energy. The first 15 cases are loops as bicycles have them, then a
//! quarter and a half of a circle, then drawn geometries: 230 as bicycles have them and 300 with ends that point
//! anywhere. The few that the library did not solve are left out.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot have its input fails there")]

use mechanics::Point;
use mechanics::housing_loop::{
    End, FreeLoop, LENGTH_EXACT, LoopError, Steering, Wanted, free_loop, lock_to_lock, shortest_housing,
};
use proptest::prelude::*;
use quantity::{Angle, Length};
use serde_json::Value;
use std::f64::consts::PI;

const TABLE: &str = include_str!("data/elastica.json");

fn rows() -> Vec<Value> {
    let table: Value = serde_json::from_str(TABLE).unwrap();
    table["cases"].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn end(x_mm: f64, y_mm: f64, deg: f64) -> End {
    End { at: Point { x_mm, y_mm }, tangent: Angle::deg(deg) }
}

fn solved(row: &Value) -> FreeLoop {
    let from = end(0.0, 0.0, number(row, "from_deg"));
    let to = end(number(row, "x_mm"), number(row, "y_mm"), number(row, "to_deg"));
    free_loop(from, to, Length::mm(number(row, "length_mm"))).unwrap_or_else(|error| panic!("{error}: {row}"))
}

/// Ends that point the same way have two shapes of one energy, each the other turned by half a turn.
fn is_twin(row: &Value) -> bool {
    (number(row, "from_deg") - number(row, "to_deg")).abs() < 1e-9
}

#[track_caller]
fn close(found: f64, wanted: f64, scale: f64, relative: f64, row: &Value) {
    assert!((found - wanted).abs() <= relative * scale, "found {found}, wanted {wanted}: {row}");
}

#[test]
fn the_table_is_large() {
    assert!(rows().len() >= 530);
}

#[test]
fn energy_and_radius_agree_with_collocation_and_shooting() {
    let mut worst = [0.0_f64; 2];
    for row in rows() {
        let found = solved(&row);
        let energy = found.energy() / number(&row, "energy") - 1.0;
        let radius = found.least_radius().to_mm() * number(&row, "curvature_most") - 1.0;
        println!("{energy:+.1e} {radius:+.1e} {row}");
        worst = [worst[0].max(energy.abs()), worst[1].max(radius.abs())];
    }
    println!("worst energy {:.1e}, radius {:.1e}", worst[0], worst[1]);
    assert!(worst[0] < 1e-6 && worst[1] < 1e-6, "{worst:?}");
}

#[test]
fn end_forces_end_curvatures_and_middles_agree() {
    for row in rows().iter().filter(|row| !is_twin(row)) {
        let found = solved(row);
        let most = number(row, "curvature_most");
        close(found.curvature_per_mm(0.0), number(row, "curvature_from"), most, 1e-6, row);
        close(found.curvature_per_mm(1.0), number(row, "curvature_to"), most, 1e-6, row);
        let [x, y] = found.end_force();
        let scale = x.hypot(y).max(most * most);
        close(x, number(row, "force_x"), scale, 1e-6, row);
        close(y, number(row, "force_y"), scale, 1e-6, row);
        let middle = found.at(0.5).at;
        let length = number(row, "length_mm");
        close(middle.x_mm, number(row, "middle_x_mm"), length, 1e-6, row);
        close(middle.y_mm, number(row, "middle_y_mm"), length, 1e-6, row);
    }
}

#[test]
fn a_quarter_and_a_half_of_a_circle_are_found() {
    let quarter = free_loop(end(0.0, 0.0, 0.0), end(100.0, 100.0, 90.0), Length::mm(50.0 * PI)).unwrap();
    let half = free_loop(end(0.0, 0.0, 0.0), end(0.0, 200.0, 180.0), Length::mm(100.0 * PI)).unwrap();
    for (circle, turned) in [(quarter, PI / 2.0), (half, PI)] {
        assert!((circle.least_radius().to_mm() - 100.0).abs() < 1e-9);
        assert!((circle.energy() / (0.5 * turned / 100.0) - 1.0).abs() < 1e-12);
        assert!(circle.end_force().iter().all(|force| force.abs() < 1e-12));
        let middle = circle.at(0.5);
        let wanted = (100.0 * (turned / 2.0).sin(), 100.0 * (1.0 - (turned / 2.0).cos()));
        assert!((middle.at.x_mm - wanted.0).abs() < 1e-9 && (middle.at.y_mm - wanted.1).abs() < 1e-9);
    }
}

#[test]
fn euler_buckling_force_is_met_at_the_start() {
    // Both ends clamped and in line: a strut just longer than its gap is held with 4π² EI/L². Textbook value.
    let strut = free_loop(end(0.0, 0.0, 0.0), end(100.0, 0.0, 0.0), Length::mm(100.1)).unwrap();
    let [along, across] = strut.end_force();
    assert!((along * 100.1 * 100.1 / (-4.0 * PI * PI) - 1.0).abs() < 1e-3, "{along}");
    assert!(across.abs() < 1e-9);
}

#[test]
fn what_is_out_of_range_says_why() {
    let (from, to) = (end(0.0, 0.0, 0.0), end(100.0, 0.0, 30.0));
    let error = |length: f64| free_loop(from, to, Length::mm(length)).unwrap_err();
    assert!(matches!(error(99.0), LoopError::TooShort { .. }));
    assert!(matches!(error(100.0), LoopError::TooShort { .. }));
    assert!(matches!(error(f64::NAN), LoopError::NotFinite { .. }));
    assert!(matches!(error(f64::INFINITY), LoopError::NotFinite { .. }));
    assert!(matches!(error(100.0 + 1e-7), LoopError::NotSettled { .. }));
    assert_eq!(
        error(99.0).to_string(),
        "a housing of 99.0 mm does not reach across 100.0 mm with anything to spare"
    );
    let nowhere = free_loop(end(0.0, f64::NAN, 0.0), to, Length::mm(150.0));
    assert!(matches!(nowhere, Err(LoopError::NotFinite { .. })));
}

/// Ends and lengths of loops that a bicycle may have, without ends that point the same way.
fn geometry() -> impl Strategy<Value = (End, End, Length)> {
    (60.0..300.0, -180.0..180.0, -75.0..75.0, -110.0..110.0, 1.04..1.7)
        .prop_filter("two shapes of one energy", |(_, _, from, to, _): &(f64, f64, f64, f64, f64)| {
            (from - to).abs() > 5.0 && (from + to).abs() > 5.0
        })
        .prop_map(|(gap, along, from, to, share)| {
            let radians: f64 = f64::to_radians(along);
            let far = end(gap * radians.cos(), gap * radians.sin(), along + to);
            (end(0.0, 0.0, along + from), far, Length::mm(gap * share))
        })
}

fn agrees(found: f64, wanted: f64, relative: f64) -> bool {
    (found - wanted).abs() <= relative * wanted.abs().max(1e-12)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_mirror_changes_nothing_but_the_sign((from, to, length) in geometry()) {
        let flip = |e: End| end(e.at.x_mm, -e.at.y_mm, -e.tangent.to_deg());
        let plain = free_loop(from, to, length);
        let mirrored = free_loop(flip(from), flip(to), length);
        prop_assume!(plain.is_ok());
        let (plain, mirrored) = (plain.unwrap(), mirrored.unwrap());
        prop_assert!(agrees(mirrored.energy(), plain.energy(), 1e-9));
        prop_assert!(agrees(mirrored.least_radius().to_mm(), plain.least_radius().to_mm(), 1e-7));
        prop_assert!((mirrored.curvature_per_mm(0.3) + plain.curvature_per_mm(0.3)).abs() < 1e-8);
    }

    #[test]
    fn lengths_times_k_give_curvature_over_k_and_energy_over_k(
        (from, to, length) in geometry(), k in 0.2..8.0,
    ) {
        let grown = |e: End| end(e.at.x_mm * k, e.at.y_mm * k, e.tangent.to_deg());
        let plain = free_loop(from, to, length);
        prop_assume!(plain.is_ok());
        let (plain, large) = (plain.unwrap(), free_loop(grown(from), grown(to), length * k).unwrap());
        prop_assert!(agrees(large.energy() * k, plain.energy(), 1e-9));
        prop_assert!(agrees(large.least_radius().to_mm(), plain.least_radius().to_mm() * k, 1e-7));
        prop_assert!(agrees(large.end_force()[0] * k * k, plain.end_force()[0], 1e-5));
    }

    #[test]
    fn a_swap_of_the_ends_walks_the_same_curve_backward((from, to, length) in geometry()) {
        let turned = |e: End| end(e.at.x_mm, e.at.y_mm, e.tangent.to_deg() + 180.0);
        let plain = free_loop(from, to, length);
        prop_assume!(plain.is_ok());
        let (plain, back) = (plain.unwrap(), free_loop(turned(to), turned(from), length).unwrap());
        prop_assert!(agrees(back.energy(), plain.energy(), 1e-9));
        prop_assert!(agrees(back.least_radius().to_mm(), plain.least_radius().to_mm(), 1e-7));
        let (one, other) = (plain.at(0.3).at, back.at(0.7).at);
        prop_assert!((one.x_mm - other.x_mm).hypot(one.y_mm - other.y_mm) < 1e-5);
    }

    #[test]
    fn a_turn_of_the_whole_bike_changes_nothing((from, to, length) in geometry(), by in -180.0..180.0) {
        let (sine, cosine) = f64::to_radians(by).sin_cos();
        let turned = |e: End| {
            let Point { x_mm: x, y_mm: y } = e.at;
            end(x * cosine - y * sine, x * sine + y * cosine, e.tangent.to_deg() + by)
        };
        let plain = free_loop(from, to, length);
        prop_assume!(plain.is_ok());
        let (plain, other) = (plain.unwrap(), free_loop(turned(from), turned(to), length).unwrap());
        prop_assert!(agrees(other.energy(), plain.energy(), 1e-9));
        prop_assert!(agrees(other.least_radius().to_mm(), plain.least_radius().to_mm(), 1e-7));
    }

    #[test]
    fn the_end_force_is_the_slope_of_the_energy((from, to, length) in geometry()) {
        let step = 1e-3;
        let Ok(rest) = free_loop(from, to, length) else { return Ok(()) };
        let at = |x: f64, y: f64| {
            free_loop(from, end(to.at.x_mm + x, to.at.y_mm + y, to.tangent.to_deg()), length).map(|l| l.energy())
        };
        let slopes = [(at(step, 0.0), at(-step, 0.0)), (at(0.0, step), at(0.0, -step))];
        let [x, y] = rest.end_force();
        for (found, (more, less)) in [x, y].into_iter().zip(slopes) {
            let (Ok(more), Ok(less)) = (more, less) else { continue };
            let slope = (more - less) / (2.0 * step);
            // A step across to a branch of less energy is no slope.
            if (more - less).abs() < 1e-2 * rest.energy() {
                prop_assert!((found - slope).abs() <= 1e-4 * x.hypot(y) + 1e-9, "{found} {slope}");
            }
        }
    }

    #[test]
    fn the_curve_ends_where_it_is_held_and_is_as_long_as_it_is((from, to, length) in geometry()) {
        let rest = free_loop(from, to, length);
        prop_assume!(rest.is_ok());
        let mut along = [from; 401];
        rest.unwrap().trace(&mut along);
        let miss = (along[400].at.x_mm - to.at.x_mm).hypot(along[400].at.y_mm - to.at.y_mm);
        prop_assert!(miss < 1e-6, "{miss}");
        prop_assert!((along[400].tangent.to_deg() - to.tangent.to_deg()).abs() < 1e-9);
        let walked: f64 = along
            .windows(2)
            .map(|pair| (pair[1].at.x_mm - pair[0].at.x_mm).hypot(pair[1].at.y_mm - pair[0].at.y_mm))
            .sum();
        prop_assert!(walked <= length.to_mm() + 1e-6 && walked > length.to_mm() * 0.998, "{walked}");
    }
}

/// A lever loop seen from above: x forward, y to the left, the axis at 0.
fn bar() -> Steering {
    Steering {
        axis: Point { x_mm: 0.0, y_mm: 0.0 },
        bar_end: end(60.0, 90.0, 180.0),
        frame_end: end(-110.0, 25.0, 200.0),
        lock: Angle::deg(60.0),
    }
}

#[test]
fn the_search_finds_what_a_plain_scan_finds() {
    for (radius, slack) in [(35.0, 5.0), (40.0, 5.0), (20.0, 15.0)] {
        let wanted = Wanted { least_radius: Length::mm(radius), least_slack: Length::mm(slack) };
        let found = shortest_housing(&bar(), &wanted, Length::mm(700.0)).unwrap();
        assert!(found.tightest >= Length::mm(radius), "{found:?}");
        assert!(found.slack >= Length::mm(slack - 1e-9));
        let mut length = bar().widest_gap().to_mm() + slack;
        while lock_to_lock(&bar(), Length::mm(length)).is_ok_and(|l| l.tightest < Length::mm(radius)) {
            length += 0.5;
        }
        println!("{found:?}, scan {length}");
        assert!(found.length.to_mm() <= length + 0.1 && found.length.to_mm() > length - 0.6, "scan {length}");
    }
}

#[test]
fn a_radius_that_no_length_keeps_is_told_with_the_nearest() {
    let wanted = Wanted { least_radius: Length::mm(150.0), least_slack: Length::mm(5.0) };
    let Err(LoopError::NoLength { nearest, radius, .. }) =
        shortest_housing(&bar(), &wanted, Length::mm(600.0))
    else {
        panic!("found a housing")
    };
    assert!(radius < Length::mm(150.0) && nearest <= Length::mm(600.0));
}

#[test]
fn a_mirrored_bike_swaps_the_locks() {
    let flip = |e: End| end(e.at.x_mm, -e.at.y_mm, -e.tangent.to_deg());
    let other = Steering { bar_end: flip(bar().bar_end), frame_end: flip(bar().frame_end), ..bar() };
    let length = Length::mm(420.0);
    let (plain, mirrored) = (lock_to_lock(&bar(), length).unwrap(), lock_to_lock(&other, length).unwrap());
    for (one, two) in [
        (plain.radius_one_lock, mirrored.radius_other_lock),
        (plain.radius_ahead, mirrored.radius_ahead),
        (plain.radius_other_lock, mirrored.radius_one_lock),
        (plain.tightest, mirrored.tightest),
        (plain.slack, mirrored.slack),
    ] {
        assert!((one - two).abs() < Length::mm(1e-5), "{plain:?} {mirrored:?}");
    }
}

#[test]
fn the_steering_axis_does_not_move() {
    let turned = bar().bar_end_at(Angle::deg(90.0));
    assert!((turned.at.x_mm + 90.0).abs() < 1e-12 && (turned.at.y_mm - 60.0).abs() < 1e-12);
    assert!((turned.tangent.to_deg() - 270.0).abs() < 1e-12);
}

proptest! {
    // A search is a thousand loops, so a few bikes have to do.
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_larger_radius_never_takes_a_shorter_housing(
        (x, y, deg) in (30.0..90.0, 40.0..130.0, 120.0..240.0),
        (frame_y, frame_deg, lock) in (0.0..60.0, 150.0..230.0, 30.0..70.0),
        (radius, more) in (15.0..40.0, 0.5..15.0),
    ) {
        let steering = Steering {
            axis: Point { x_mm: 0.0, y_mm: 0.0 },
            bar_end: end(x, y, deg),
            frame_end: end(-110.0, frame_y, frame_deg),
            lock: Angle::deg(lock),
        };
        let search = |radius: f64| {
            let wanted = Wanted { least_radius: Length::mm(radius), least_slack: Length::mm(4.0) };
            shortest_housing(&steering, &wanted, Length::mm(600.0))
        };
        match (search(radius), search(radius + more)) {
            (Ok(small), Ok(large)) => {
                prop_assert!(large.length >= small.length - LENGTH_EXACT);
                prop_assert!(small.tightest >= Length::mm(radius), "{small:?} for {radius}");
                prop_assert!(small.slack >= Length::mm(4.0 - 1e-9), "{small:?}");
                prop_assert!(small.radius_ahead >= small.tightest && small.radius_one_lock >= small.tightest);
            }
            (Err(_), Ok(large)) => prop_assert!(false, "{large:?} keeps more than was found to be kept"),
            (_, Err(error)) => prop_assert!(
                matches!(error, LoopError::NoLength { .. } | LoopError::TooShort { .. }), "{error}"
            ),
        }
    }
}
