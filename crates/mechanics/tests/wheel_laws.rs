//! Laws of wheels, frames and pressed cups that need no source, on random inputs.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::press_fit::{Bore, hold, hold_of_both};
use mechanics::spoke::{Run, balancing_tension, bracing_angle, length, rim_compression};
use mechanics::*;
use proptest::prelude::*;
use quantity::{Angle, Force, Length, Teeth};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn any_teeth() -> impl Strategy<Value = Teeth> {
    (Teeth::LEAST..=Teeth::MOST).prop_map(|count| Teeth::new(count).unwrap())
}

/// Sizes of real hubs and rims; the circle of holes is always inside the rim.
fn any_run() -> impl Strategy<Value = Run> {
    (0.0..60.0f64, 30.0..110.0f64, 300.0..640.0f64, 2.0..3.0f64, 8u32..25, 0u32..5).prop_map(
        |(offset, circle, diameter, hole, spokes_a_side, crossings)| Run {
            flange_offset: mm(offset),
            hole_circle: mm(circle),
            rim_diameter: mm(diameter),
            hole: mm(hole),
            spokes_a_side,
            crossings: crossings.min(spokes_a_side / 2 - 1),
        },
    )
}

fn long(run: Run) -> f64 {
    length(run).unwrap().to_mm()
}

fn bore_of(readings: &[f64]) -> Bore {
    let readings: Vec<Length> = readings.iter().map(|reading| mm(*reading)).collect();
    Bore::from_readings(&readings).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_spoke_moves_as_it_says(run in any_run(), more in 0.01..10.0f64) {
        let now = long(run);
        let offset = Run { flange_offset: run.flange_offset + mm(more), ..run };
        let rim = Run { rim_diameter: run.rim_diameter + mm(more), ..run };
        let crossed = Run { crossings: run.crossings + 1, ..run };
        let hole = Run { hole: run.hole + mm(more), ..run };
        for longer in [offset, rim, crossed] {
            prop_assert!(long(longer) > now, "{longer:?}");
        }
        prop_assert!(long(hole) < now);
        prop_assert_eq!(long(Run { flange_offset: -run.flange_offset, ..run }), now);
    }

    #[test]
    fn a_radial_spoke_is_the_straight_way_out(run in any_run()) {
        let radial = long(Run { crossings: 0, ..run });
        let out_mm = (run.rim_diameter - run.hole_circle).to_mm() / 2.0;
        let wanted = run.flange_offset.to_mm().hypot(out_mm) - run.hole.to_mm() / 2.0;
        prop_assert!((radial - wanted).abs() < 1e-9);
    }

    #[test]
    fn a_flat_spoke_at_a_right_angle_is_the_hypotenuse(run in any_run(), quarter in 2u32..6) {
        let right = Run { spokes_a_side: 4 * quarter, crossings: quarter, flange_offset: mm(0.0), ..run };
        let (h, r) = (run.hole_circle.to_mm() / 2.0, run.rim_diameter.to_mm() / 2.0);
        prop_assert!((right.span().unwrap().to_mm() - h.hypot(r)).abs() < 1e-9);
    }

    #[test]
    fn the_two_sides_of_a_wheel_hold_each_other(tension in 100.0..1500.0f64, left in any_run(), right in any_run()) {
        let lean = |run: Run| bracing_angle(run.flange_offset + mm(1.0), run.span().unwrap() + mm(1.0));
        let (left, right) = (lean(left), lean(right));
        let other = balancing_tension(Force::newtons(tension), left, right);
        let sideways = |force: Force, angle: Angle| force.to_newtons() * angle.to_rad().sin();
        prop_assert!((sideways(Force::newtons(tension), left) - sideways(other, right)).abs() < 1e-9);
        let back = balancing_tension(other, right, left);
        prop_assert!((back.to_newtons() - tension).abs() < 1e-9);
        prop_assert_eq!(other.to_newtons() > tension, left.to_deg() > right.to_deg());
    }

    /// Half of the spokes pull their half of the rim across the wheel; the rim carries that at both ends.
    #[test]
    fn half_a_rim_stands_against_half_of_its_spokes(half in 50u32..200, tension in 100.0..1500.0f64) {
        let step = std::f64::consts::PI / f64::from(half);
        let across: f64 = (0..half).map(|spoke| ((f64::from(spoke) + 0.5) * step).sin() * tension).sum();
        let found = rim_compression(2 * half, Force::newtons(tension)).to_newtons();
        prop_assert!((across / 2.0 / found - 1.0).abs() < 1e-3);
    }

    #[test]
    fn a_bore_is_known_by_its_extremes(readings in prop::collection::vec(36.0..47.0f64, 1..9), more in 36.0..47.0f64) {
        let bore = bore_of(&readings);
        let mut turned = readings.clone();
        turned.reverse();
        prop_assert_eq!(bore_of(&turned), bore);
        prop_assert!(readings.iter().all(|one| bore.narrowest <= mm(*one) && mm(*one) <= bore.widest));
        turned.push(more);
        prop_assert!(bore_of(&turned).ovality() >= bore.ovality());
        prop_assert!(bore.ovality() >= mm(0.0));
    }

    #[test]
    fn a_pair_of_cups_holds_as_its_worse_bore_does(
        cup in 36.0..47.0f64, one in 36.0..47.0f64, two in 36.0..47.0f64, ovality in 0.0..0.2f64,
    ) {
        let (left, right) = (bore_of(&[one, one + ovality]), bore_of(&[two]));
        let pair = hold_of_both(mm(cup), left, mm(cup), right);
        prop_assert_eq!(hold_of_both(mm(cup), right, mm(cup), left), pair);
        for side in [hold(mm(cup), left), hold(mm(cup), right)] {
            prop_assert!(pair.least <= side.least && side.most <= pair.most);
            prop_assert!(side.least <= side.most);
        }
        let larger = hold(mm(cup + 0.01), left);
        prop_assert!(larger.least > hold(mm(cup), left).least && larger.most > hold(mm(cup), left).most);
        prop_assert!(((hold(mm(cup), left).most - hold(mm(cup), left).least).to_mm() - ovality).abs() < 1e-9);
    }

    #[test]
    fn both_sides_together_make_the_wider_hub(old in 100.0..200.0f64, new in 100.0..200.0f64, stay in 300.0..500.0f64) {
        let side = spreading::side_move(mm(old), mm(new));
        prop_assert!((old + 2.0 * side.to_mm() - new).abs() < 1e-9);
        let tilt = spreading::dropout_tilt(side, mm(stay));
        prop_assert!((tilt.to_rad().tan() * stay - side.to_mm()).abs() < 1e-9);
        prop_assert_eq!(spreading::dropout_tilt(-side, mm(stay)).to_deg(), -tilt.to_deg());
        prop_assert!(spreading::dropout_tilt(side, mm(stay + 1.0)).abs() <= tilt.abs());
    }

    #[test]
    fn a_tyre_in_the_middle_fills_the_room(room in 20.0..80.0f64, width in 18.0..80.0f64, rim in 10.0..50.0f64) {
        prop_assert!((width + 2.0 * tyre::gap_each_side(mm(room), mm(width)).to_mm() - room).abs() < 1e-9);
        prop_assert_eq!(tyre::gap_above(mm(room), mm(width)) < mm(0.0), width > room);
        let (least, most) = tyre::width_range(mm(rim));
        prop_assert!(mm(rim) < least && least < most);
    }

    #[test]
    fn a_leaning_bike_touches_where_it_says(wheel in 150.0..360.0f64, sag in 0.0..15.0f64, cage in 100.0..250.0f64, out in 20.0..120.0f64) {
        let height = ground::height(mm(wheel), mm(sag), mm(cage));
        let lean = ground::lean_to_touch(height, mm(out)).to_rad();
        // The point of the cage, turned about the line on the ground, lies on the ground.
        let over_ground = height.to_mm() * lean.cos() - out * lean.sin();
        prop_assert!(over_ground.abs() < 1e-9);
        prop_assert!(ground::lean_to_touch(height + mm(1.0), mm(out)).to_rad() > lean);
        if height > mm(0.0) {
            prop_assert!(ground::lean_to_touch(height, mm(out + 1.0)).to_rad() < lean);
        }
        prop_assert_eq!(lean < 0.0, height < mm(0.0));
    }

    #[test]
    fn equal_rings_need_the_exact_chain(ring in any_teeth(), apart in 0.0..1500.0f64) {
        let centres = chain::pitch_radius(ring) * 2.0 + mm(apart);
        let exact = chain::need(ring, ring, centres).unwrap();
        prop_assert!((timing::need(ring, centres).to_f64() - exact.to_f64()).abs() < 1e-9);
    }

    #[test]
    fn every_chain_on_an_eccentric_is_even_and_taut_within_it(ring in 20i64..60, least in 500.0..900.0f64, throw in 0.0..60.0f64) {
        let ring = Teeth::new(ring).unwrap();
        let found = timing::chains_in_range(ring, mm(least), mm(least + throw));
        for one in &found {
            prop_assert_eq!(one.count % 2, 0);
            prop_assert!(least - 1e-6 <= one.centres.to_mm() && one.centres.to_mm() <= least + throw + 1e-6);
            prop_assert!((one.centres.to_mm() + one.room_to_grow.to_mm() - least - throw).abs() < 1e-6);
            let exact = chain::centre_distance(ring, ring, timing::need(ring, one.centres)).unwrap();
            prop_assert!((exact - one.centres).abs().to_mm() < 1e-6);
            // Worn by a percent, it is taut a percent of half its length further on.
            prop_assert!((timing::growth(one.count, 1.0).to_mm() - f64::from(one.count) * 0.0635).abs() < 1e-9);
        }
        prop_assert!(found.len() >= (throw / 12.7 - 1e-6).floor() as usize);
        prop_assert!(found.len() <= (throw / 12.7 + 1e-6).floor() as usize + 1);
        prop_assert!(found.windows(2).all(|pair| pair[1].count == pair[0].count + 2));
        prop_assert!(timing::chains_in_range(ring, mm(least - 1.0), mm(least + throw + 1.0)).len() >= found.len());
    }

    #[test]
    fn no_number_makes_a_panic_on_a_wheel(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), count in any::<u32>(), ring in any_teeth()) {
        let run = Run {
            flange_offset: mm(a), hole_circle: mm(b), rim_diameter: mm(c), hole: mm(a), spokes_a_side: count, crossings: count / 3,
        };
        let _ = (length(run), bracing_angle(mm(a), mm(b)), rim_compression(count, Force::newtons(a)));
        let _ = (ground::lean_to_touch(mm(a), mm(b)), spreading::dropout_tilt(mm(a), mm(b)));
        let _ = (timing::centres(ring, count), timing::growth(count, a), Bore::from_readings(&[mm(a), mm(b)]));
        let all = timing::chains_in_range(ring, mm(a), mm(b));
        prop_assert!(all.len() < 8000, "{}", all.len());
    }
}

#[test]
fn what_was_not_read_is_no_bore() {
    assert_eq!(Bore::from_readings(&[]), None);
    assert_eq!(Bore::from_readings(&[mm(41.0), mm(f64::NAN)]), None);
}

#[test]
fn a_side_without_spokes_has_no_length() {
    let none = Run {
        flange_offset: mm(30.0),
        hole_circle: mm(45.0),
        rim_diameter: mm(600.0),
        hole: mm(2.5),
        spokes_a_side: 0,
        crossings: 3,
    };
    assert_eq!((none.angle(), none.span(), length(none)), (None, None, None));
}

#[test]
fn a_range_without_end_has_no_chains() {
    let ring = Teeth::new(42).unwrap();
    for (least, most) in
        [(f64::NEG_INFINITY, 700.0), (700.0, f64::INFINITY), (f64::NAN, 700.0), (700.0, f64::NAN)]
    {
        assert_eq!(timing::chains_in_range(ring, mm(least), mm(most)), []);
    }
    // Rings of 42 teeth clear each other from 170 mm on.
    let all = timing::chains_in_range(ring, mm(-1e9), mm(200.0));
    assert!(
        all.iter().all(|one| one.centres >= chain::pitch_radius(ring) * 2.0) && all.len() == 2,
        "{all:?}"
    );
}
