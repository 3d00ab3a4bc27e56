//! Brakes over their stroke: figures in print and of practice, and laws.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::brake_curve::{
    BrakeCurve, BrakeError, Stop, gain_change_percent, hand_force, tyre_force_per_hand_force,
};
use mechanics::brakes::free_lever_travel;
use mechanics::monotone_curve::CurveError;
use proptest::prelude::*;
use quantity::{Length, Mass};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn readings(pairs: &[(f64, f64)]) -> Vec<(Length, Length)> {
    pairs.iter().map(|(one, other)| (mm(*one), mm(*other))).collect()
}

/// An even lever and caliper: millimetres of finger for one of cable, of cable for one of closing.
fn even(lever: f64, caliper: f64) -> BrakeCurve {
    let lever_readings = [10.0, 25.0, 60.0].map(|finger| (finger, finger / lever));
    let caliper_readings = [2.0, 5.0, 14.0].map(|cable| (cable, cable / caliper));
    BrakeCurve::new(&readings(&lever_readings), &readings(&caliper_readings)).unwrap()
}

fn stop() -> Stop {
    Stop {
        mass: Mass::grams(90_000.0),
        deceleration_m_s2: 0.5 * 9.80665,
        friction: 0.45,
        pad_radius: mm(311.0),
        tyre_radius: mm(336.0),
        passed_on: 0.85,
    }
}

/// Pivot to finger over pivot to cable, measured on levers: a question-and-answer page, its products recomputed.
#[test]
fn lever_advantages_of_measured_levers() {
    let levers =
        [(72.0, 14.0, 5.14), (63.0, 14.0, 4.50), (75.0, 29.0, 2.59), (72.0, 33.0, 2.18), (60.0, 38.0, 1.58)];
    for (finger, cable, advantage) in levers {
        // Three readings of an arc that small lie on a line: finger and cable turn about one pivot.
        let arc = [0.1_f64, 0.2, 0.3].map(|turn| (finger * turn, cable * turn));
        let brake = BrakeCurve::new(&readings(&arc), &readings(&[(1.0, 1.0), (3.0, 3.0)])).unwrap();
        assert!((brake.lever_leverage(mm(finger * 0.17)) - advantage).abs() <= 0.005);
    }
}

#[test]
fn mixing_generations_of_practice() {
    // Worked beforehand by another program from assumed leverages.
    let gain = |lever: f64, caliper: f64| even(lever, caliper).bite(mm(2.5), mm(0.0)).unwrap().gain();
    let (old, new) = (gain(4.2, 1.3), gain(3.7, 1.6));
    assert!((old - 5.46).abs() < 1e-9 && (new - 5.92).abs() < 1e-9);
    let (weaker, stronger) = (gain(3.7, 1.3), gain(4.2, 1.6));
    assert!((weaker - 4.81).abs() < 1e-9 && (gain_change_percent(old, weaker) + 12.0).abs() <= 0.5);
    assert!((stronger - 6.72).abs() < 1e-9 && (gain_change_percent(1.3, 1.6) - 23.0).abs() <= 0.5);
}

#[test]
fn ninety_kilograms_at_half_of_gravity() {
    // 441 N at the tyre; with 120 to 150 N at the lever that asks for 3.7 to 3. Figures of practice.
    let force = stop().tyre_force().to_newtons();
    assert!((force - 441.0).abs() <= 0.5);
    assert!((force / 120.0 - 3.7).abs() <= 0.05 && (force / 150.0 - 3.0).abs() <= 0.1);
    let hand = hand_force(5.46, stop()).unwrap().to_newtons();
    assert!((tyre_force_per_hand_force(5.46, stop()).unwrap() * hand - force).abs() < 1e-9);
    // Worked by hand: 441.3 · 336 / (2 · 0.45 · 0.85 · 5.46 · 311) = 114.1 N.
    assert!((hand - 114.1).abs() <= 0.05, "{hand}");
    // A hot rim, 0.40 for 0.45 (Norton, Machine Design, Case Study 4A), takes an eighth more.
    let hot = hand_force(5.46, Stop { friction: 0.40, ..stop() }).unwrap().to_newtons();
    assert!((hot / hand - 1.125).abs() < 1e-12);
}

#[test]
fn an_even_brake_is_the_simple_one() {
    let bite = even(3.7, 1.6).bite(mm(2.5), mm(0.4)).unwrap();
    let simple = free_lever_travel(mm(2.5), mm(0.4), 3.7, 1.6);
    assert!((bite.finger - simple).abs() < mm(1e-9), "{bite:?} {simple}");
    assert!((bite.finger + bite.finger_left - mm(60.0)).abs() < mm(1e-9));
}

#[test]
fn a_progressive_lever_is_read_where_the_pads_bite() {
    // More cable at first, more force later.
    let lever = readings(&[(10.0, 4.0), (25.0, 8.0), (50.0, 13.0)]);
    let brake = BrakeCurve::new(&lever, &readings(&[(3.0, 2.0), (7.0, 4.6), (12.0, 7.8)])).unwrap();
    let (near, far) = (brake.bite(mm(1.5), mm(0.3)).unwrap(), brake.bite(mm(4.0), mm(0.3)).unwrap());
    assert!(far.lever > near.lever && far.finger > near.finger);
    assert!(near.lever > 2.0 && far.lever < 5.0, "{near:?} {far:?}");
}

#[test]
fn what_does_not_bite_or_is_no_brake_says_so() {
    let short = even(8.0, 1.6).bite(mm(5.0), mm(0.0)).unwrap_err();
    assert_eq!(short.to_string(), "the pads need 8.0 mm of cable and the lever was read up to 7.5 mm");
    // The caliper was read up to 8.75 mm of closing only.
    assert!(matches!(even(2.0, 1.6).bite(mm(9.0), mm(0.0)), Err(BrakeError::DoesNotBite { .. })));
    let back = BrakeCurve::new(&readings(&[(10.0, 3.0), (20.0, 2.0)]), &readings(&[(1.0, 1.0)]));
    assert_eq!(back, Err(BrakeError::Lever(CurveError::NotRising { place: 2 })));
    assert_eq!(
        BrakeCurve::new(&readings(&[(10.0, 3.0)]), &[]),
        Err(BrakeError::Caliper(CurveError::TooFew { found: 1 }))
    );
    let none = hand_force(0.0, stop()).unwrap_err();
    assert_eq!(none.to_string(), "found 0 for the gain, which is out of range");
    assert!(even(3.7, 1.6).bite(mm(-1.0), mm(0.0)).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn travel_rises_with_gap_and_seating(gap in 0.2..3.0, more in 0.01..0.5, lever in 2.0..4.5, caliper in 1.0..2.0) {
        let brake = even(lever, caliper);
        let finger = |gap: f64, seating: f64| brake.bite(mm(gap), mm(seating)).unwrap().finger;
        prop_assert!(finger(gap + more, 0.1) > finger(gap, 0.1));
        prop_assert!(finger(gap, 0.1 + more) > finger(gap, 0.1));
    }

    #[test]
    fn the_work_of_the_finger_is_the_work_of_the_pads(
        steps in proptest::collection::vec((5.0..20.0, 1.0..5.0, 0.8..4.0), 3..6), share in 0.1..0.9,
    ) {
        let (mut lever, mut caliper) = (Vec::new(), Vec::new());
        let (mut finger, mut cable, mut pads) = (0.0, 0.0, 0.0);
        for (along, pulled, closed) in steps {
            finger += along;
            cable += pulled;
            pads += closed;
            lever.push((mm(finger), mm(cable)));
            caliper.push((mm(cable), mm(pads)));
        }
        let brake = BrakeCurve::new(&lever, &caliper).unwrap();
        let gap: f64 = pads * share;
        let bite = brake.bite(mm(gap), mm(0.0)).unwrap();
        let finger_at = |gap: f64| brake.bite(mm(gap), mm(0.0)).unwrap().finger.to_mm();
        let step = 1e-5 * pads;
        let slope = (finger_at(gap + step) - finger_at(gap - step)) / (2.0 * step);
        prop_assert!((slope / bite.gain() - 1.0).abs() < 1e-2, "{slope} {}", bite.gain());
    }
}
