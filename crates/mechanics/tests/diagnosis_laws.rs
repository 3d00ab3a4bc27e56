//! Laws of finding faults that need no source, on random inputs: click windows, noises, wear, settling, brakes.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::click_window::{Shape, Shifting, hanger_error, shape, window};
use mechanics::noise::{Drive, Source, rank, turns_between_ticks};
use mechanics::*;
use proptest::prelude::*;
use quantity::{Angle, Force, Length, Mass, Teeth};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn any_shifting() -> impl Strategy<Value = Shifting> {
    (1.0..2.0f64, 0.0..1.2f64, 1u32..13, -2.0..2.0f64, -0.3..0.3f64, -0.5..0.5f64, 1u32..13).prop_map(
        |(ratio, drag, middle_gear, offset, slope, step, step_from)| Shifting {
            drag: mm(drag),
            offset: mm(offset),
            slope: mm(slope),
            step: mm(step),
            step_from,
            ..Shifting::healthy(ratio, middle_gear)
        },
    )
}

fn any_drive() -> impl Strategy<Value = Drive> {
    (80u32..130, 20i64..60, 9i64..52, 10i64..16).prop_map(|(pitches, ring, cog, pulley)| {
        let teeth = |count| Teeth::new(count).unwrap();
        Drive { pitches, ring: teeth(ring), cog: teeth(cog), pulley: teeth(pulley) }
    })
}

/// Clicks from a good position, in thousandths, until `fails` is first true.
fn turn_until(fails: impl Fn(f64) -> bool) -> f64 {
    (0u32..100_000).map(|thousandths| f64::from(thousandths) / 1000.0).find(|clicks| fails(*clicks)).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    /// The stand itself: turn the adjuster in small steps until a shift fails, and count.
    #[test]
    fn a_predicted_window_is_what_turning_the_adjuster_finds(fault in any_shifting(), gear in 1u32..13) {
        prop_assume!(fault.drag.to_mm() < 0.8);
        let click_mm = fault.detent.to_mm() * fault.ratio;
        // First set well, as on the stand; what that took is added to the count.
        let set = -fault.error(gear).to_mm() / click_mm;
        let stands_mm = |clicks: f64| fault.error(gear).to_mm() + (set + clicks) * click_mm;
        let added = turn_until(|clicks| stands_mm(clicks) + fault.drag.to_mm() > fault.tolerance.to_mm());
        let taken_off = turn_until(|clicks| stands_mm(-clicks) - fault.drag.to_mm() < -fault.tolerance.to_mm());
        let stand = window(added + set, taken_off - set);
        let found = fault.predict(gear);
        prop_assert!((found.centre - stand.centre).abs() < 0.002, "{found:?} {stand:?}");
        prop_assert!((found.width - stand.width).abs() < 0.003, "{found:?} {stand:?}");
    }

    #[test]
    fn the_tension_moves_all_centres_and_no_width(fault in any_shifting(), more in -1.0..1.0f64) {
        let other = Shifting { offset: fault.offset + mm(more), ..fault };
        for gear in 1..13 {
            let (now, then) = (fault.predict(gear), other.predict(gear));
            let clicks = more / (fault.detent.to_mm() * fault.ratio);
            prop_assert!((now.centre - then.centre - clicks).abs() < 1e-9);
            prop_assert!((now.width - then.width).abs() < 1e-9);
        }
    }

    #[test]
    fn drag_narrows_the_window_and_moves_no_centre(fault in any_shifting(), more in 0.01..1.0f64, gear in 1u32..13) {
        let dragging = Shifting { drag: fault.drag + mm(more), ..fault }.predict(gear);
        let now = fault.predict(gear);
        prop_assert!(dragging.width < now.width);
        prop_assert!((dragging.centre - now.centre).abs() < 1e-9);
        // No width is left where drag reaches the tolerance.
        let stuck = Shifting { drag: fault.tolerance + mm(more), ..fault }.predict(gear);
        prop_assert!(stuck.width < 0.0);
    }

    #[test]
    fn the_shape_gives_back_tension_slope_and_drag(fault in any_shifting(), cogs in 2u32..13) {
        let straight = Shifting { step: mm(0.0), ..fault };
        let mut windows: Vec<_> = (1..=cogs).map(|gear| (gear, straight.predict(gear))).collect();
        let found = shape(&windows).unwrap();
        let click_mm = fault.detent.to_mm() * fault.ratio;
        prop_assert!((found.slope_per_gear + fault.slope.to_mm() / click_mm).abs() < 1e-9);
        prop_assert!((found.width - straight.predict(1).width).abs() < 1e-9);
        let middle = (f64::from(cogs) + 1.0) / 2.0 - f64::from(fault.middle_gear);
        let wanted = -(fault.offset.to_mm() + fault.slope.to_mm() * middle) / click_mm;
        prop_assert!((found.centre - wanted).abs() < 1e-9);
        windows.reverse();
        let turned = shape(&windows).unwrap();
        prop_assert!((turned.slope_per_gear - found.slope_per_gear).abs() < 1e-9);
    }

    #[test]
    fn a_bent_hanger_leaves_its_slope_from_end_to_end(angle in -10.0..10.0f64, cogs in 2u32..14) {
        let error = |gear| hanger_error(Angle::deg(angle), gear, cogs);
        let left = (error(cogs) - error(1)).to_mm();
        prop_assert!((left - derailleur::hanger_slope(Angle::deg(angle)).to_mm()).abs() < 1e-9);
        prop_assert!((hanger_error(Angle::deg(-angle), 1, cogs) + error(1)).abs().to_mm() < 1e-12);
        prop_assert_eq!(error(cogs + 5), error(cogs));
        prop_assert_eq!(error(0), error(1));
        for gear in 1..cogs {
            prop_assert!(error(gear + 1).abs() >= error(gear).abs());
        }
    }

    #[test]
    fn every_source_is_found_by_its_own_period(drive in any_drive(), which in 0usize..5) {
        let source = Source::ALL[which];
        let turns = turns_between_ticks(source, drive);
        let found = rank(turns, 1e-9, drive);
        let own = found.iter().find(|suspect| suspect.source == source).unwrap();
        prop_assert_eq!((own.difference, own.turns), (0.0, turns));
        // Whatever else is found with no tolerance to speak of ticks at the same pace, and says so.
        prop_assert_eq!(own.ties.len(), found.len() - 1);
    }

    #[test]
    fn suspects_stand_in_order_and_a_wider_tolerance_keeps_them(drive in any_drive(), turns in 0.1..5.0f64, tolerance in 0.0..0.5f64, more in 0.0..0.5f64) {
        let found = rank(turns, tolerance, drive);
        prop_assert!(found.windows(2).all(|pair| pair[0].difference.abs() <= pair[1].difference.abs()));
        let wider = rank(turns, tolerance + more, drive);
        for suspect in &found {
            prop_assert!(suspect.difference.abs() <= tolerance);
            prop_assert!(wider.iter().any(|other| other.source == suspect.source));
            for tie in &suspect.ties {
                let other = found.iter().find(|other| other.source == *tie).unwrap();
                prop_assert!(other.ties.contains(&suspect.source) && *tie != suspect.source);
            }
        }
    }

    /// Teeth counted one by one: when the chain has moved so far that the marked link is back, whole turns of crank and
    /// chain meet.
    #[test]
    fn a_marked_link_comes_back_after_its_pitches(drive in any_drive()) {
        let turns = turns_between_ticks(Source::ChainLink, drive);
        prop_assert!((turns * drive.ring.to_f64() - f64::from(drive.pitches)).abs() < 1e-9);
        let wheel = turns_between_ticks(Source::Wheel, drive);
        prop_assert!((wheel * gears::ratio(drive.ring, drive.cog) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn wear_never_gives_back(cogs in 1u32..20, new in 1.6..3.0f64, worn in 0.0..0.5f64, more in 0.01..0.5f64) {
        prop_assert!(wear::chain_limit_percent(cogs + 1) <= wear::chain_limit_percent(cogs));
        let found = mm(new - worn);
        let share = wear::share_worn(mm(new), found, wear::ROTOR);
        prop_assert!(wear::share_worn(mm(new), found - mm(more), wear::ROTOR) > share);
        prop_assert_eq!(share > 1.0, wear::left(found, wear::ROTOR) < mm(0.0));
        prop_assert_eq!(wear::share_worn(mm(new), mm(new), wear::ROTOR), 0.0);
        prop_assert!((wear::share_worn(mm(new), wear::ROTOR, wear::ROTOR) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_usual_has_as_many_on_either_side(clicks in prop::collection::vec(-10i32..30, 1..12)) {
        let all: Vec<Length> = clicks.iter().map(|clicks| settling::settled(*clicks, mm(0.2))).collect();
        let usual = settling::usual(&all).unwrap();
        let below = all.iter().filter(|one| **one < usual).count();
        let above = all.iter().filter(|one| **one > usual).count();
        prop_assert!(below <= all.len() / 2 && above <= all.len() / 2);
        let mut turned = all.clone();
        turned.reverse();
        prop_assert_eq!(settling::usual(&turned).unwrap(), usual);
        // One odd bike more stays among the others, as soon as there are two of them.
        let most = *clicks.iter().max().unwrap();
        turned.push(mm(1e6));
        prop_assert!(all.len() == 1 || settling::usual(&turned).unwrap() <= settling::settled(most, mm(0.2)));
    }

    #[test]
    fn a_brake_that_is_needed_is_the_one_that_stops(mass in 40.0..160.0f64, speed in 5.0..60.0f64, way in 1.0..60.0f64, hand in 20.0..200.0f64) {
        let share = brakes::deceleration_of_stop(speed, way);
        let wanted = brakes::tyre_force(Mass::grams(mass * 1000.0), share);
        // The work of the force over the way is the energy of the bike.
        let energy_j = mass * (speed / 3.6).powi(2) / 2.0;
        prop_assert!((wanted.to_newtons() * way / energy_j - 1.0).abs() < 1e-12);
        let figure = brakes::figure(wanted, Force::newtons(hand));
        prop_assert!((figure * hand / wanted.to_newtons() - 1.0).abs() < 1e-12);
        prop_assert!((brakes::deceleration_of_stop(2.0 * speed, 4.0 * way) / share - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_cadence_undoes_a_speed(metres in 0.5..12.0f64, cadence in 1.0..150.0f64) {
        let back = gears::cadence_rpm(metres, gears::speed_km_h(metres, cadence));
        prop_assert!((back / cadence - 1.0).abs() < 1e-12);
    }

    #[test]
    fn no_number_makes_a_panic_in_a_diagnosis(a in any::<f64>(), b in any::<f64>(), gear in any::<u32>(), clicks in any::<i32>(), drive in any_drive()) {
        let odd = Shifting { offset: mm(a), slope: mm(b), detent: mm(b), step_from: gear, ..Shifting::healthy(a, gear) };
        let found = shape(&[(gear, odd.predict(gear)), (3, window(a, b))]);
        prop_assert!(found.is_some());
        let _ = (hanger_error(Angle::deg(a), gear, gear), rank(a, b, drive), rank(a, b, Drive { pitches: gear, ..drive }));
        let _ = (wear::share_worn(mm(a), mm(b), mm(a)), settling::settled(clicks, mm(a)), wear::chain_limit_percent(gear));
    }
}

#[test]
fn windows_of_one_gear_have_no_slope() {
    let found = shape(&[(5, window(3.0, 1.0)), (5, window(4.0, 2.0))]).unwrap();
    assert_eq!(found, Shape { centre: 1.0, slope_per_gear: 0.0, width: 5.0 });
    assert_eq!(shape(&[]), None);
}

#[test]
fn nothing_measured_is_nothing_usual() {
    assert_eq!(settling::usual(&[]), None);
    assert_eq!(settling::usual(&[mm(0.2), mm(f64::NAN)]), None);
    assert_eq!(settling::usual(&[mm(0.2), mm(0.6)]), Some(mm(0.4)));
}

#[test]
fn a_count_that_is_no_number_accuses_nobody() {
    let teeth = |count| Teeth::new(count).unwrap();
    let drive = Drive { pitches: 108, ring: teeth(34), cog: teeth(34), pulley: teeth(11) };
    assert_eq!(rank(f64::NAN, 1.0, drive), []);
    assert_eq!(rank(1.0, f64::NAN, drive), []);
    assert_eq!(rank(1.0, f64::INFINITY, drive).len(), 5);
}
