//! Laws of the ride on generated riders and roads: order, balance, and a second count of the shifts.

use mechanics::ride::nearest_cadence::RoadSums;
use mechanics::ride::parameters::usual_load;
use mechanics::ride::shifting::{Course, Gear, Habit, Ridden, USUAL_HABIT, gears_along, ridden};
use mechanics::ride::travel::{Pace, travel};
use mechanics::ride::{Load, Profile, steady_speed_m_s};
use proptest::prelude::*;

fn loads() -> impl Strategy<Value = Load> {
    (30.0..300.0, 0.15..0.9, 0.001..0.02, 0.85..1.0, 0.7..1.35, 0.0..6.0).prop_map(
        |(mass_kg, drag_area_m2, rolling, efficiency, air_density, wind_m_s)| Load {
            mass_kg,
            drag_area_m2,
            rolling,
            efficiency,
            air_density,
            wind_m_s,
            ..usual_load(mass_kg)
        },
    )
}

fn gear_sets() -> impl Strategy<Value = Vec<Gear>> {
    let rings = prop::collection::btree_set(22_u32..56, 1..4);
    let cogs = prop::collection::btree_set(9_u32..40, 1..13);
    (rings, cogs).prop_map(|(rings, cogs)| {
        let mut gears = Vec::new();
        for (ring, teeth) in rings.iter().rev().enumerate() {
            for (cog, behind) in cogs.iter().enumerate() {
                gears.push(Gear { ring, cog, development_m: f64::from(*teeth) / f64::from(*behind) * 2.1 });
            }
        }
        gears
    })
}

/// Speeds that wander, with stretches of a few seconds, some of them coasted.
fn courses() -> impl Strategy<Value = Course> {
    prop::collection::vec((-0.9..0.9_f64, 0.2..6.0_f64, 0_u8..5), 1..700).prop_map(|steps| {
        let mut speed = 6.0;
        let (mut speeds, mut times, mut pedalled) = (Vec::new(), Vec::new(), Vec::new());
        for (change, time, coasts) in steps {
            speed = f64::clamp(speed + change, 0.8, 19.0);
            speeds.push(speed);
            times.push(time);
            pedalled.push(if coasts == 0 { 0.0 } else { time });
        }
        Course::of(&speeds, &times, &pedalled)
    })
}

fn habits() -> impl Strategy<Value = Habit> {
    (40.0..70.0_f64, 0.0..25.0_f64, 4.0..30.0_f64, 0.0..30.0_f64, 0.0..15.0_f64, 0.0..20.0_f64).prop_map(
        |(grinding_rpm, low, high, spun, front_gain_rpm, rest_s)| Habit {
            grinding_rpm,
            low_rpm: grinding_rpm + low,
            high_rpm: grinding_rpm + low + high,
            spun_out_rpm: grinding_rpm + low + high + spun,
            front_gain_rpm,
            rest_s,
        },
    )
}

#[track_caller]
fn same(fast: Ridden, walked: Ridden) {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * (1.0 + b.abs());
    for (what, a, b) in [
        ("pedalled", fast.pedalled_s, walked.pedalled_s),
        ("below", fast.below_s, walked.below_s),
        ("above", fast.above_s, walked.above_s),
        ("grinding", fast.grinding_s, walked.grinding_s),
        ("spun out", fast.spun_out_m, walked.spun_out_m),
        ("strain", fast.strain_rpm_s, walked.strain_rpm_s),
        ("step", fast.largest_step, walked.largest_step),
    ] {
        assert!(near(a, b), "{what}: {a} and {b}");
    }
    assert_eq!(
        (fast.rear_shifts, fast.front_shifts, fast.double_shifts),
        (walked.rear_shifts, walked.front_shifts, walked.double_shifts)
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn skipping_counts_what_walking_counts(course in courses(), gears in gear_sets(), habit in habits()) {
        prop_assume!(habit.is_in_order());
        same(ridden(&course, &gears, habit), gears_along(&course, &gears, habit).1);
    }

    #[test]
    fn shares_of_the_time_are_shares(course in courses(), gears in gear_sets()) {
        let counted = ridden(&course, &gears, USUAL_HABIT);
        prop_assert!(counted.grinding_s <= counted.below_s + 1e-9);
        prop_assert!(counted.below_s + counted.above_s <= counted.pedalled_s + 1e-6);
        prop_assert!(counted.double_shifts <= counted.front_shifts);
        prop_assert!(counted.strain_rpm_s >= -1e-6);
    }

    #[test]
    fn more_power_is_never_slower_and_more_grade_never_faster(
        load in loads(), power in 5.0..1500.0_f64, more in 0.0..300.0_f64, grade in -0.15..0.3_f64, steeper in 0.0..0.1_f64,
        wind in -10.0..10.0_f64,
    ) {
        let speed = steady_speed_m_s(&load, power, grade, wind);
        prop_assert!(speed > 0.0);
        prop_assert!(steady_speed_m_s(&load, power + more, grade, wind) >= speed * (1.0 - 1e-12));
        prop_assert!(steady_speed_m_s(&load, power, grade + steeper, wind) <= speed * (1.0 + 1e-12));
    }

    #[test]
    fn the_work_of_a_ride_balances(
        load in loads(), power in 60.0..600.0_f64, limit in 6.0..25.0_f64, start in 1.0..20.0_f64, wind in -6.0..6.0_f64,
        grades in prop::collection::vec(-0.15..0.15_f64, 1..200), spacing in 2.0..50.0_f64,
    ) {
        let profile = Profile::from_grades(spacing, grades, 100.0).unwrap();
        let pace = Pace { power_w: power, start_m_s: start, most_m_s: limit, headwind_m_s: wind };
        let journey = travel(&load, pace, &profile).unwrap();
        prop_assert!(journey.work.imbalance().abs() < 1e-9, "{}", journey.work.imbalance());
        prop_assert!(journey.speeds_m_s.iter().all(|speed| *speed > 0.0 && *speed <= limit * (1.0 + 1e-9)));
        let lift = load.mass_kg * 9.80665 * profile.rise_m();
        prop_assert!((journey.work.climbing - lift).abs() <= 1e-6 * lift.abs().max(1.0));
        prop_assert!(journey.work.brakes >= 0.0);
    }

    #[test]
    fn a_finer_road_is_the_same_road(
        load in loads(), power in 100.0..400.0_f64, grades in prop::collection::vec(-0.06..0.1_f64, 2..40),
    ) {
        let finer: Vec<f64> = grades.iter().flat_map(|grade| [*grade; 4]).collect();
        let pace = Pace { power_w: power, start_m_s: 6.0, most_m_s: 100.0, headwind_m_s: 0.0 };
        let coarse = travel(&load, pace, &Profile::from_grades(20.0, grades, 0.0).unwrap()).unwrap();
        let fine = travel(&load, pace, &Profile::from_grades(5.0, finer, 0.0).unwrap()).unwrap();
        prop_assert!((coarse.time_s() / fine.time_s() - 1.0).abs() < 2e-3);
    }

    #[test]
    fn sums_over_a_road_are_those_of_its_stretches(
        load in loads(), power in 60.0..600.0_f64, gears in gear_sets(), share in 0.0..1.0_f64,
        grades in prop::collection::vec(-0.15..0.2_f64, 1..300),
    ) {
        let efficiency = 0.94 + 0.05 * share;
        let road = RoadSums::new(&load, power, &grades, (0.94, 0.99)).unwrap();
        let ratios: Vec<f64> = gears.iter().map(|gear| gear.development_m / 2.1).collect();
        let found = road.deviation(&ratios, 2.1, 88.0, efficiency);
        let load = Load { efficiency, ..load };
        let wanted: f64 = grades
            .iter()
            .map(|grade| {
                let wheel_rpm = steady_speed_m_s(&load, power, *grade, 0.0) * 60.0 / 2.1;
                ratios.iter().map(|ratio| (wheel_rpm / ratio - 88.0).abs()).fold(f64::INFINITY, f64::min)
            })
            .sum();
        prop_assert!((found.sum_rpm - wanted).abs() <= 1e-8 * (1.0 + wanted), "{} {wanted}", found.sum_rpm);
        prop_assert_eq!(found.stretches.iter().sum::<usize>(), grades.len());
    }
    /// The quick solve beside a neighbour is the safe one, on every road and at every efficiency asked for.
    #[test]
    fn a_road_at_one_efficiency_takes_as_long_as_its_stretches(
        load in loads(), power in 2.0..2000.0_f64, low in 0.8..0.98_f64, wide in 0.0..0.02_f64, share in 0.0..1.0_f64,
        grades in prop::collection::vec(-1.0..1.0_f64, 1..60),
    ) {
        let road = RoadSums::new(&load, power, &grades, (low, low + wide)).unwrap();
        let efficiency = low + share * wide;
        let load = Load { efficiency, ..load };
        let wanted: f64 = grades.iter().map(|grade| 1.0 / steady_speed_m_s(&load, power, *grade, 0.0)).sum();
        let found = road.deviation(&[2.0], 2.1, 88.0, efficiency).slowness;
        prop_assert!((found / wanted - 1.0).abs() < 1e-10, "{found} {wanted}");
    }
}
