//! Loops, runs and brakes on random numbers, odd ones among them: a value or an error by name, never a NaN.
//!
//! 1 000 000 inputs each for runs and brakes, 20 000 for a free loop and 300 for the search between both locks,
//! which looks at hundreds of loops each. The seed is fixed.

use mechanics::brake_curve::{BrakeCurve, Stop, hand_force, tyre_force_per_hand_force};
use mechanics::cable_run::{CableRun, InnerSpare, Make, Piece, shortest_stock};
use mechanics::cockpit::Point;
use mechanics::housing_loop::{End, Steering, Wanted, free_loop, lock_to_lock, shortest_housing};
use quantity::{Angle, Force, Length, Mass};

/// A stream of numbers (splitmix64).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Usually between two numbers; one time in sixteen something that no ruler reads.
    fn odd(&mut self, least: f64, most: f64) -> f64 {
        const ODD: [f64; 10] = [
            0.0,
            -0.0,
            -1.0,
            1e-300,
            1e300,
            -1e300,
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::MIN_POSITIVE,
        ];
        if self.next().is_multiple_of(16) {
            return ODD[(self.next() % ODD.len() as u64) as usize];
        }
        least + (most - least) * self.share()
    }

    fn end(&mut self) -> End {
        let at = Point { x_mm: self.odd(-200.0, 200.0), y_mm: self.odd(-200.0, 200.0) };
        End { at, tangent: Angle::deg(self.odd(-360.0, 360.0)) }
    }
}

#[test]
fn a_free_loop_is_a_shape_or_an_error_by_name() {
    let mut chance = Chance(1);
    let (mut shapes, mut errors) = (0, 0);
    for _ in 0..20_000 {
        let (from, to) = (chance.end(), chance.end());
        let length = Length::mm(chance.odd(1.0, 800.0));
        match free_loop(from, to, length) {
            Ok(shape) => {
                shapes += 1;
                let radius = shape.least_radius().to_mm();
                assert!(!radius.is_nan() && radius >= 0.0, "{from:?} {to:?} {length:?}");
                assert!(shape.length().to_mm().is_finite() && shape.turned().to_deg().is_finite());
            }
            Err(error) => {
                errors += 1;
                assert!(!error.to_string().is_empty());
            }
        }
    }
    assert!(shapes > 4_000 && errors > 4_000, "{shapes} shapes, {errors} errors");
}

#[test]
fn a_search_between_both_locks_is_a_length_or_an_error_by_name() {
    let mut chance = Chance(2);
    let (mut lengths, mut errors) = (0, 0);
    for _ in 0..300 {
        let steering = Steering {
            axis: Point { x_mm: 0.0, y_mm: 0.0 },
            bar_end: chance.end(),
            frame_end: chance.end(),
            lock: Angle::deg(chance.odd(0.0, 90.0)),
        };
        let wanted = Wanted {
            least_radius: Length::mm(chance.odd(5.0, 60.0)),
            least_slack: Length::mm(chance.odd(0.0, 30.0)),
        };
        match shortest_housing(&steering, &wanted, Length::mm(chance.odd(200.0, 900.0))) {
            Ok(found) => {
                lengths += 1;
                assert!(found.length.to_mm().is_finite() && found.tightest >= wanted.least_radius);
                assert!(found.slack >= Length::mm(wanted.least_slack.to_mm().max(0.0) - 1e-6));
            }
            Err(error) => {
                errors += 1;
                assert!(!error.to_string().is_empty());
            }
        }
        if let Ok(seen) = lock_to_lock(&steering, Length::mm(chance.odd(50.0, 800.0))) {
            assert!(!seen.tightest.to_mm().is_nan() && !seen.slack.to_mm().is_nan());
        }
    }
    assert!(lengths > 30 && errors > 30, "{lengths} lengths, {errors} errors");
}

#[test]
fn the_widest_gap_is_what_a_fine_scan_of_the_steering_finds() {
    let mut chance = Chance(5);
    for _ in 0..2_000 {
        let mut point =
            || Point { x_mm: 400.0 * chance.share() - 200.0, y_mm: 400.0 * chance.share() - 200.0 };
        let (axis, bar, frame) = (point(), point(), point());
        let end = |at| End { at, tangent: Angle::deg(0.0) };
        let lock = Angle::deg(120.0 * chance.share());
        let steering = Steering { axis, bar_end: end(bar), frame_end: end(frame), lock };
        let scanned = (-2000..=2000)
            .map(|look| {
                let at = steering.bar_end_at(lock * (f64::from(look) / 2000.0)).at;
                (at.x_mm - frame.x_mm).hypot(at.y_mm - frame.y_mm)
            })
            .fold(0.0, f64::max);
        // Between two looks of 0.06° a gap of 500 mm hides less than 0.001 mm.
        let off = steering.widest_gap().to_mm() - scanned;
        assert!((-1e-9..1e-3).contains(&off), "{off}");
    }
}

#[test]
fn a_run_is_a_run_or_an_error_by_name() {
    let mut chance = Chance(3);
    let mut runs = 0;
    for _ in 0..1_000_000 {
        let pieces = (0..1 + chance.next() % 4)
            .map(|_| {
                let length = Length::mm(chance.odd(0.0, 1500.0));
                match chance.next() % 3 {
                    0 => Piece::Bare { length },
                    1 => Piece::Straight { length },
                    _ => Piece::Bend { length, turned: Angle::deg(chance.odd(0.0, 400.0)) },
                }
            })
            .collect();
        let Ok(run) = CableRun::new(pieces) else { continue };
        runs += 1;
        // A rule or a section asks with sound numbers; the run itself may hold any that `new` lets through.
        let forces = run.lever_forces(0.2 * chance.share(), Force::newtons(100.0 * chance.share()));
        assert!(!forces.pulling.to_newtons().is_nan() && !forces.returning.to_newtons().is_nan());
        let list = run.cut_list(InnerSpare { lever: Length::mm(100.0), tail: Length::mm(60.0) }, 2);
        assert!(!list.inner.to_mm().is_nan() && !list.housing_total.to_mm().is_nan());
        if let Some((stock, left)) = shortest_stock(list.inner, &[Length::mm(2000.0), Length::mm(3000.0)]) {
            assert!(stock >= list.inner && left.to_mm() >= 0.0);
        }
        if run.length().to_mm() < 1e6 && run.total_bend().to_deg() < 1e4 {
            let lost = run.lost_motion(&Make {
                friction: 0.2 * chance.share(),
                strand_stiffness: Force::newtons(1e5),
                housing_stiffness: Force::newtons(1e4 + 1e6 * chance.share()),
                tension: Force::newtons(100.0 * chance.share()),
                spring_n_per_mm: 5.0 * chance.share(),
                seating: Length::mm(chance.share()),
            });
            assert!(lost.to_mm() >= 0.0, "{run:?}");
        }
    }
    assert!(runs > 300_000, "{runs}");
}

#[test]
fn a_brake_is_a_bite_or_an_error_by_name() {
    let mut chance = Chance(4);
    let (mut bites, mut errors) = (0, 0);
    for _ in 0..1_000_000 {
        // Rising more often than not; odd numbers fall where they like.
        let mut rising = |step_mm: f64, places: [f64; 3]| {
            let mut read = 0.0;
            places.map(|place| {
                read += chance.odd(-0.02 * step_mm, step_mm);
                (Length::mm(place), Length::mm(read))
            })
        };
        let (lever, caliper) = (rising(6.0, [10.0, 20.0, 30.0]), rising(4.0, [3.0, 6.0, 9.0]));
        let brake = match BrakeCurve::new(&lever, &caliper) {
            Ok(brake) => brake,
            Err(error) => {
                errors += 1;
                assert!(!error.to_string().is_empty());
                continue;
            }
        };
        let (gap, seating) = (Length::mm(chance.odd(0.0, 8.0)), Length::mm(chance.odd(0.0, 2.0)));
        let Ok(bite) = brake.bite(gap, seating) else {
            errors += 1;
            continue;
        };
        bites += 1;
        assert!(bite.finger.to_mm().is_finite() && bite.finger_left.to_mm() >= -1e-9, "{brake:?}");
        assert!(!bite.gain().is_nan(), "{brake:?} {gap:?}");
        let stop = Stop {
            mass: Mass::grams(chance.odd(5e4, 2e5)),
            deceleration_m_s2: chance.odd(0.5, 8.0),
            friction: chance.odd(0.1, 0.8),
            pad_radius: Length::mm(chance.odd(60.0, 320.0)),
            tyre_radius: Length::mm(chance.odd(200.0, 360.0)),
            passed_on: chance.odd(0.3, 1.0),
        };
        if let Ok(force) = hand_force(bite.gain(), stop) {
            assert!(!force.to_newtons().is_nan() && force.to_newtons() >= 0.0, "{stop:?}");
        }
        if let Ok(figure) = tyre_force_per_hand_force(bite.gain(), stop) {
            assert!(!figure.is_nan(), "{stop:?} {}", bite.gain());
        }
    }
    assert!(bites > 50_000 && errors > 50_000, "{bites} bites, {errors} errors");
}
