//! Laws that need no source, on random inputs: symmetry, order, limits, round trips.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::indexing::{clicks_to_cross, end_error, landings};
use mechanics::*;
use proptest::prelude::*;
use quantity::{Angle, Force, Length, Pitches, Teeth};
use std::f64::consts::PI;

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn any_teeth() -> impl Strategy<Value = Teeth> {
    (Teeth::LEAST..=Teeth::MOST).prop_map(|count| Teeth::new(count).unwrap())
}

/// Sprockets and centres of bicycles, never overlapping: 56 teeth have a pitch radius of 113.3 mm.
fn drive() -> impl Strategy<Value = (Teeth, Teeth, Length)> {
    let teeth = || (9i64..=56).prop_map(|count| Teeth::new(count).unwrap());
    (teeth(), teeth(), 230.0..1500.0f64).prop_map(|(ring, cog, centres)| (ring, cog, mm(centres)))
}

fn need(ring: Teeth, cog: Teeth, centres: Length) -> f64 {
    chain::need(ring, cog, centres).unwrap().to_f64()
}

fn one_more(teeth: Teeth) -> Teeth {
    Teeth::new(i64::from(teeth.get()) + 1).unwrap()
}

fn lengths(range: std::ops::Range<f64>, count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Length>> {
    prop::collection::vec(range.prop_map(mm), count)
}

/// Any number a caller could pass, sizes far out of range, zero and no numbers included.
fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![any::<f64>(), -1e3..1e3f64, Just(0.0), Just(f64::NAN), Just(f64::INFINITY)]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn swapping_the_sprockets_changes_nothing((ring, cog, centres) in drive()) {
        prop_assert_eq!(need(ring, cog, centres), need(cog, ring, centres));
        prop_assert_eq!(chain::need_handbook(ring, cog, centres), chain::need_handbook(cog, ring, centres));
        let (r, s) = (chain::pitch_radius(ring), chain::pitch_radius(cog));
        let (one, other) = (chain::open_belt(r, s, centres).unwrap(), chain::open_belt(s, r, centres).unwrap());
        prop_assert!((one - other).abs().to_mm() < 1e-9);
    }

    #[test]
    fn equal_sprockets_need_twice_the_centres_and_one_sprocket((ring, _, centres) in drive()) {
        let wanted = 2.0 * centres.to_mm() / 12.7 + ring.to_f64();
        prop_assert!((need(ring, ring, centres) - wanted).abs() < 1e-10);
        let handbook = chain::need_handbook(ring, ring, centres).unwrap().to_f64();
        prop_assert!((handbook - wanted).abs() < 1e-10);
    }

    #[test]
    fn a_chain_grows_with_every_input((ring, cog, centres) in drive(), more in 0.01..50.0f64) {
        let now = need(ring, cog, centres);
        prop_assert!(need(one_more(ring), cog, centres) > now);
        prop_assert!(need(ring, one_more(cog), centres) > now);
        prop_assert!(need(ring, cog, centres + mm(more)) > now);
    }

    #[test]
    fn far_apart_a_pitch_of_centres_is_two_pitches_of_chain((ring, cog, _) in drive()) {
        let (near, far) = (mm(1e5), mm(1e5 + 12.7));
        prop_assert!((need(ring, cog, far) - need(ring, cog, near) - 2.0).abs() < 1e-4);
    }

    #[test]
    fn the_handbook_form_is_within_a_hundredth_of_a_pitch((ring, cog, _) in drive(), pitches in 30.0..120.0f64) {
        let centres = mm(Pitches::new(pitches).to_mm());
        let over = need(ring, cog, centres) - chain::need_handbook(ring, cog, centres).unwrap().to_f64();
        prop_assert!((-0.00001..=0.010).contains(&over), "{over}");
    }

    #[test]
    fn the_handbook_centres_undo_the_handbook_length((ring, cog, centres) in drive()) {
        let length = chain::need_handbook(ring, cog, centres).unwrap();
        let back = chain::handbook_centres(ring.to_f64(), cog.to_f64(), length).unwrap();
        prop_assert!((back.to_mm() - centres.to_mm()).abs() < 1e-9);
    }

    #[test]
    fn centres_undo_the_length(ring in any_teeth(), cog in any_teeth(), share in 0.0..1.0f64) {
        let least = chain::pitch_radius(ring) + chain::pitch_radius(cog);
        let centres = least + mm(share * 1500.0);
        let back = chain::centre_distance(ring, cog, chain::need(ring, cog, centres).unwrap()).unwrap();
        prop_assert!((back - centres).abs().to_mm() < 1e-9, "{back:.12} {centres:.12}");
    }

    #[test]
    fn a_chain_that_is_too_short_is_refused(ring in any_teeth(), cog in any_teeth(), missing in 0.001..50.0f64) {
        let least = chain::need(ring, cog, chain::pitch_radius(ring) + chain::pitch_radius(cog)).unwrap();
        let refused = chain::centre_distance(ring, cog, Pitches::new(least.to_f64() - missing));
        let is_too_short = matches!(refused, Err(ChainError::TooShort { .. }));
        prop_assert!(is_too_short, "{refused:?}");
    }

    #[test]
    fn overlapping_sprockets_are_refused(ring in any_teeth(), cog in any_teeth(), share in 0.0..0.999f64) {
        let least = chain::pitch_radius(ring) + chain::pitch_radius(cog);
        let refused = chain::need(ring, cog, least * share);
        let overlaps = matches!(refused, Err(ChainError::SprocketsOverlap { .. }));
        prop_assert!(overlaps, "{refused:?}");
    }

    #[test]
    fn the_fitted_chain_is_even_and_never_short(pitches in 0.0..300.0f64) {
        let count = chain::count(Pitches::new(pitches));
        prop_assert_eq!(count % 2, 0);
        let spare = f64::from(count) - pitches;
        prop_assert!((2.0 - 1e-9..4.0 + 1e-9).contains(&spare), "{spare}");
    }

    #[test]
    fn a_tooth_on_every_ring_or_cog_changes_no_capacity(
        rings in prop::collection::vec(20i64..60, 1..4),
        cogs in prop::collection::vec(9i64..52, 1..14),
        more in 1i64..20,
    ) {
        let all = |counts: &[i64], more: i64| -> Vec<Teeth> {
            counts.iter().map(|count| Teeth::new(count + more).unwrap()).collect()
        };
        let now = chain::capacity_needed(&all(&rings, 0), &all(&cogs, 0));
        prop_assert_eq!(chain::capacity_needed(&all(&rings, more), &all(&cogs, 0)), now);
        prop_assert_eq!(chain::capacity_needed(&all(&rings, 0), &all(&cogs, more)), now);
        let mut turned = all(&cogs, 0);
        turned.reverse();
        prop_assert_eq!(chain::capacity_needed(&all(&rings, 0), &turned), now);
        let mut larger = all(&cogs, 0);
        larger.push(Teeth::new(60).unwrap());
        prop_assert!(chain::capacity_needed(&all(&rings, 0), &larger) > now);
    }

    #[test]
    fn a_tooth_of_capacity_is_half_a_pitch_of_slack(count in 80u32..130, need in 70.0..120.0f64, capacity in 0u32..60) {
        let less = chain::slack(count, Pitches::new(need), capacity + 1);
        let now = chain::slack(count, Pitches::new(need), capacity);
        prop_assert!((now.to_mm() - less.to_mm() - chain::SLACK_PER_TOOTH.to_mm()).abs() < 1e-9);
        prop_assert!(chain::slack(count + 2, Pitches::new(need), capacity) > now);
        prop_assert!(chain::slack(count, Pitches::new(need + 0.1), capacity) < now);
    }

    #[test]
    fn a_tooth_adds_two_millimetres_of_radius(teeth in 9i64..79) {
        let teeth = Teeth::new(teeth).unwrap();
        let added = chain::pitch_radius(one_more(teeth)) - chain::pitch_radius(teeth);
        prop_assert!((added - chain::radius_per_tooth()).abs().to_mm() < 0.04);
    }

    #[test]
    fn the_measures_of_a_gear_agree(ring in any_teeth(), cog in any_teeth(), wheel in 300.0..800.0f64, crank in 120.0..200.0f64) {
        let development = gears::development_m(ring, cog, mm(wheel) * PI);
        let from_inches = gears::gear_inches(ring, cog, mm(wheel)) * PI * 0.0254;
        let from_gain = gears::gain_ratio(ring, cog, mm(wheel / 2.0), mm(crank)) * 2.0 * PI * crank / 1000.0;
        prop_assert!((from_inches / development - 1.0).abs() < 1e-12);
        prop_assert!((from_gain / development - 1.0).abs() < 1e-12);
        prop_assert!((gears::ratio(ring, cog) * gears::ratio(cog, ring) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn gears_rise_with_the_ring_and_fall_with_the_cog(ring in 6i64..80, cog in 6i64..80, rollout in 900.0..2400.0f64) {
        let (ring, cog, u) = (Teeth::new(ring).unwrap(), Teeth::new(cog).unwrap(), mm(rollout));
        let now = gears::development_m(ring, cog, u);
        prop_assert!(gears::development_m(one_more(ring), cog, u) > now);
        prop_assert!(gears::development_m(ring, one_more(cog), u) < now);
        prop_assert!(gears::development_m(ring, cog, u + mm(1.0)) > now);
    }

    #[test]
    fn a_step_up_and_the_easing_back_belong_together(from in 1.0..10.0f64, to in 1.0..10.0f64) {
        let up = 1.0 + gears::step_percent(from, to) / 100.0;
        let back = 1.0 - gears::easier_percent(to, from) / 100.0;
        prop_assert!((up * back - 1.0).abs() < 1e-12);
        prop_assert_eq!(gears::easier_percent(from, to) > 0.0, to < from);
    }

    #[test]
    fn a_hill_slows_the_legs(power in 50.0..400.0f64, mass in 50.0..150.0f64, grade in 0.02..0.2f64, metres in 1.0..9.0f64) {
        let now = gears::cadence_on_hill_rpm(power, mass, grade, metres);
        prop_assert!(gears::cadence_on_hill_rpm(power * 1.01, mass, grade, metres) > now);
        for slower in [(mass * 1.01, grade, metres), (mass, grade * 1.01, metres), (mass, grade, metres * 1.01)] {
            prop_assert!(gears::cadence_on_hill_rpm(power, slower.0, slower.1, slower.2) < now);
        }
        // Power is mass, gravity, grade and speed; the speed is that of the wheel.
        let speed_m_s = gears::speed_km_h(metres, now) / 3.6;
        prop_assert!((mass * 9.80665 * grade * speed_m_s / power - 1.0).abs() < 1e-12);
    }

    #[test]
    fn bends_in_series_multiply(friction in 0.0..0.4f64, one in 0.0..720.0f64, other in 0.0..720.0f64) {
        let ratio = |bend| cable::tension_ratio(friction, Angle::deg(bend));
        prop_assert!((ratio(one) * ratio(other) / ratio(one + other) - 1.0).abs() < 1e-12);
        prop_assert!(ratio(one) >= 1.0);
        prop_assert_eq!(ratio(0.0), 1.0);
        prop_assert_eq!(cable::tension_ratio(0.0, Angle::deg(one)), 1.0);
        prop_assert!(cable::tension_ratio(friction + 0.01, Angle::deg(one + 1.0)) > ratio(one + 1.0));
    }

    #[test]
    fn strands_in_series_stretch_together(force in 0.0..500.0f64, one in 10.0..3000.0f64, other in 10.0..3000.0f64) {
        let stretch = |length| cable::stretch(Force::newtons(force), mm(length), cable::STRAND_STIFFNESS_N).to_mm();
        prop_assert!((stretch(one) + stretch(other) - stretch(one + other)).abs() < 1e-9);
    }

    #[test]
    fn an_equal_error_at_every_click_adds_up_to_half_at_the_ends(
        pull in 1.0..5.0f64, ratio in 1.0..2.0f64, pitch in 3.0..6.0f64, clicks in 1usize..13,
    ) {
        let wanted = (pull * ratio - pitch) * clicks as f64 / 2.0;
        let found = end_error(&vec![mm(pull); clicks], ratio, &vec![mm(pitch); clicks]);
        prop_assert!((found.to_mm() - wanted).abs() < 1e-9);
    }

    #[test]
    fn no_setting_of_the_adjuster_beats_the_end_error(
        pulls in lengths(1.0..5.0, 1..13), pitches in lengths(3.0..6.0, 1..13), ratio in 1.0..2.0f64, turned in -20.0..20.0f64,
    ) {
        let clicks = pulls.len().min(pitches.len());
        let (mut error, mut worst) = (0.0, turned.abs());
        for (pull, pitch) in pulls.iter().zip(&pitches) {
            error += pull.to_mm() * ratio - pitch.to_mm();
            worst = worst.max((error + turned).abs());
        }
        let best = end_error(&pulls, ratio, &pitches).to_mm();
        prop_assert!(worst >= best.abs() - 1e-9);
        // A click beyond the last cog, or a cog beyond the last click, does not count.
        prop_assert_eq!(end_error(&pulls[..clicks], ratio, &pitches[..clicks]).to_mm(), best);
    }

    #[test]
    fn the_error_after_some_clicks_is_pulls_less_pitches(
        pulls in lengths(1.0..5.0, 0..13), pitches in lengths(3.0..6.0, 0..13), ratio in 1.0..2.0f64,
    ) {
        let landed = landings(&pulls, ratio, &pitches);
        prop_assert_eq!(landed.len(), pulls.len() + 1);
        prop_assert_eq!((landed[0].position_mm, landed[0].nearest_cog, landed[0].error_mm), (0.0, 0, 0.0));
        for landing in landed {
            let pulled: f64 = pulls[..landing.click].iter().map(|pull| pull.to_mm() * ratio).sum();
            let cog_mm = |cog: usize| pitches[..cog].iter().map(|pitch| pitch.to_mm()).sum::<f64>();
            prop_assert!((landing.position_mm - pulled).abs() < 1e-9);
            prop_assert!((landing.error_mm - (pulled - cog_mm(landing.nearest_cog))).abs() < 1e-9);
            for cog in 0..=pitches.len() {
                prop_assert!((pulled - cog_mm(cog)).abs() >= landing.error_mm.abs() - 1e-9);
            }
        }
    }

    #[test]
    fn crossing_in_clicks_is_the_inverse_of_the_sum(pull in 1.0..5.0f64, ratio in 1.0..2.0f64, pitches in lengths(3.0..6.0, 1..13)) {
        let width: f64 = pitches.iter().map(|pitch| pitch.to_mm()).sum();
        for clicks in [1, 4, 12] {
            let crossed = clicks_to_cross(&vec![mm(pull); clicks], ratio, &pitches);
            prop_assert!((crossed * pull * ratio - width).abs() < 1e-9);
        }
    }

    #[test]
    fn tape_by_area_is_the_helix_turn_by_turn(side in 200.0..900.0f64, around in 24.0..40.0f64, width in 20.0..40.0f64, overlap in 0.0..0.6f64) {
        let (side, around, width) = (mm(side), mm(around), mm(width));
        let turns = tape::turns(side, around, width, overlap);
        let round_mm = PI * around.to_mm();
        let advance_mm = side.to_mm() / turns;
        let by_area = tape::length_by_area(side, around, width, overlap).to_mm();
        prop_assert!((turns * round_mm.hypot(advance_mm) / by_area - 1.0).abs() < 1e-9);
        // New cover across the tape is the width less the overlap.
        let slope = (advance_mm / round_mm).atan();
        prop_assert!((advance_mm * slope.cos() / (width.to_mm() * (1.0 - overlap)) - 1.0).abs() < 1e-9);
        prop_assert!(tape::length_used(side, around, width, overlap).to_mm() >= by_area);
    }

    #[test]
    fn more_bar_or_overlap_takes_more_tape(side in 200.0..900.0f64, around in 24.0..40.0f64, width in 20.0..40.0f64, overlap in 0.0..0.6f64) {
        for law in [tape::length_used, tape::length_by_area] {
            let now = law(mm(side), mm(around), mm(width), overlap);
            prop_assert!(law(mm(side + 1.0), mm(around), mm(width), overlap) > now);
            prop_assert!(law(mm(side), mm(around + 0.1), mm(width), overlap) > now);
            prop_assert!(law(mm(side), mm(around), mm(width + 0.1), overlap) < now);
            prop_assert!(law(mm(side), mm(around), mm(width), overlap + 0.01) > now);
        }
    }

    #[test]
    fn a_longer_hanger_clears_a_larger_cog(rated in any_teeth(), drop in 20.0..40.0f64, more in 0.1..5.0f64) {
        let reference = derailleur::REFERENCE_HANGER_DROP;
        let now = derailleur::largest_cog_allowed(rated, mm(drop), reference);
        let longer = derailleur::largest_cog_allowed(rated, mm(drop + more), reference);
        prop_assert!((longer - now - more / chain::radius_per_tooth().to_mm()).abs() < 1e-9);
        prop_assert_eq!(derailleur::largest_cog_allowed(rated, reference, reference), rated.to_f64());
    }

    #[test]
    fn hanger_angle_is_odd_and_rises(difference in 0.0..590.0f64, more in 0.01..5.0f64) {
        let angle = |d| derailleur::hanger_angle(mm(d), mm(600.0)).to_deg();
        prop_assert_eq!(angle(-difference), -angle(difference));
        prop_assert!(angle(difference + more) > angle(difference));
        prop_assert_eq!(angle(600.0 + more), 90.0);
    }

    #[test]
    fn front_derailleur_moves_add_up(one in any_teeth(), two in any_teeth(), three in any_teeth()) {
        let moved = |from, to| derailleur::bolt_height_change(from, to).to_mm();
        prop_assert!((moved(one, two) + moved(two, three) - moved(one, three)).abs() < 1e-9);
        prop_assert_eq!(moved(one, two) < 0.0, two < one);
    }

    #[test]
    fn cogs_step_inward_and_rings_lie_about_the_chainline(
        hub in 100.0..200.0f64, pitches in lengths(3.0..6.0, 0..13), chainline in 35.0..60.0f64, gap in 5.0..9.0f64, rings in 0usize..4,
    ) {
        let cogs = chainline::cog_positions(mm(hub), mm(3.0), mm(1.6), &pitches);
        prop_assert_eq!(cogs.len(), pitches.len() + 1);
        for (pair, pitch) in cogs.windows(2).zip(&pitches) {
            prop_assert!(((pair[0] - pair[1]) - *pitch).abs().to_mm() < 1e-9);
        }
        let placed = chainline::ring_positions(mm(chainline), mm(gap), rings);
        prop_assert_eq!(placed.len(), rings);
        let sum: f64 = placed.iter().map(|ring| ring.to_mm()).sum();
        prop_assert!((sum - chainline * rings as f64).abs() < 1e-9);
        for pair in placed.windows(2) {
            prop_assert!((pair[0] - pair[1] - mm(gap)).abs().to_mm() < 1e-9);
        }
    }

    #[test]
    fn the_rub_gap_moves_as_it_says(
        outer in 40i64..60, jump in 6i64..18, ring in 35.0..45.0f64, out in 1.0..30.0f64, stay in 380.0..480.0f64,
    ) {
        let gap = |outer: i64, inner: i64, ring: f64, cog: f64, stay: f64, s: f64, w: f64, t: f64| {
            let (outer, inner) = (Teeth::new(outer).unwrap(), Teeth::new(inner).unwrap());
            chainline::rub_gap(mm(s), mm(w), mm(t), outer, inner, mm(ring), mm(cog), mm(stay)).to_mm()
        };
        let (inner, cog) = (outer - jump, ring + out);
        let now = gap(outer, inner, ring, cog, stay, 7.3, 5.6, 2.0);
        prop_assert!(gap(outer, inner, ring, cog, stay, 7.4, 5.6, 2.0) > now);
        prop_assert!(gap(outer, inner, ring, cog, stay, 7.3, 5.7, 2.0) < now);
        prop_assert!(gap(outer, inner, ring, cog, stay, 7.3, 5.6, 2.1) < now);
        prop_assert!(gap(outer + 1, inner, ring, cog, stay, 7.3, 5.6, 2.0) < now);
        prop_assert!(gap(outer, inner + 1, ring, cog, stay, 7.3, 5.6, 2.0) > now);
        prop_assert!(gap(outer, inner, ring + 0.1, cog, stay, 7.3, 5.6, 2.0) > now);
        prop_assert!(gap(outer, inner, ring, cog + 0.1, stay, 7.3, 5.6, 2.0) < now);
        prop_assert!(gap(outer, inner, ring, cog, stay + 1.0, 7.3, 5.6, 2.0) > now);
        // In line nothing is lost to the angle.
        prop_assert!((gap(outer, inner, ring, ring, stay, 7.3, 5.6, 2.0) - 3.5).abs() < 1e-9);
    }

    #[test]
    fn a_stem_without_spacers_is_as_long_as_it_says(length in 30.0..150.0f64, angle in -45.0..45.0f64, head in 65.0..80.0f64) {
        let found = cockpit::stem_reach(mm(length), Angle::deg(angle), mm(0.0), Angle::deg(head));
        prop_assert!((found.x_mm.hypot(found.y_mm) - length).abs() < 1e-9);
        // Square to the steerer: no part of the stem lies along it.
        let square = cockpit::stem_reach(mm(length), Angle::deg(0.0), mm(0.0), Angle::deg(head));
        let head_rad = head.to_radians();
        prop_assert!((square.y_mm * head_rad.sin() - square.x_mm * head_rad.cos()).abs() < 1e-9);
        let spaced = cockpit::stem_reach(mm(length), Angle::deg(angle), mm(10.0), Angle::deg(head));
        prop_assert!(spaced.x_mm < found.x_mm && spaced.y_mm > found.y_mm);
    }

    #[test]
    fn a_larger_bar_never_fits(stem in 22.0..35.0f64, over in 0.11..20.0f64) {
        let larger = cockpit::clamp_match(mm(stem + over), mm(stem), mm(0.1));
        let smaller = cockpit::clamp_match(mm(stem - over), mm(stem), mm(0.1));
        let is_refused = matches!(larger, ClampMatch::BarTooLarge { .. });
        let is_shimmed = matches!(smaller, ClampMatch::Shim { thickness } if (thickness.to_mm() * 2.0 - over).abs() < 1e-9);
        prop_assert!(is_refused && is_shimmed);
        prop_assert_eq!(cockpit::clamp_match(mm(stem), mm(stem), mm(0.0)), ClampMatch::Same);
    }

    #[test]
    fn a_rim_and_back_leaves_the_reach_alone(reach in 35.0..80.0f64, one in 400.0..700.0f64, other in 400.0..700.0f64) {
        let there = brakes::reach_after_rim_change(mm(reach), mm(one), mm(other));
        let back = brakes::reach_after_rim_change(there, mm(other), mm(one));
        prop_assert!((back.to_mm() - reach).abs() < 1e-9);
        prop_assert_eq!(there.to_mm() > reach, other < one);
    }

    #[test]
    fn lever_and_caliper_trade_force_for_travel(gap in 0.5..5.0f64, lever in 1.0..8.0f64, caliper in 0.5..3.0f64, seating in 0.0..3.0f64) {
        let travel = brakes::free_lever_travel(mm(gap), mm(0.0), lever, caliper).to_mm();
        prop_assert!((travel - gap * brakes::leverage(lever, caliper)).abs() < 1e-9);
        let seated = brakes::free_lever_travel(mm(gap), mm(seating), lever, caliper).to_mm();
        prop_assert!((seated - travel - seating * lever).abs() < 1e-9);
    }

    #[test]
    fn another_crank_keeps_the_work(ring in any_teeth(), old in 120.0..200.0f64, new in 120.0..200.0f64) {
        let force = crank::pedal_force_factor(mm(old), mm(new));
        let equivalent = crank::equivalent_ring(ring, mm(old), mm(new));
        prop_assert!((force * equivalent / ring.to_f64() - 1.0).abs() < 1e-12);
        prop_assert!((crank::saddle_rise(mm(old), mm(new)).to_mm() + new - old).abs() < 1e-9);
    }

    #[test]
    fn a_bore_never_tells_the_two_small_threads_apart(bore in 30.0..50.0f64, tolerance in 0.0..1.0f64) {
        let found = shell::candidates(mm(bore), mm(tolerance));
        let has = |thread| found.contains(&thread);
        prop_assert_eq!(has(ShellThread::Inch137x24), has(ShellThread::Metric35x1));
        if tolerance <= 0.3 {
            prop_assert!(!(has(ShellThread::Mixed36x24) && has(ShellThread::Metric35x1)));
            prop_assert!(!(has(ShellThread::Metric47x1) && found.len() > 1));
        }
        for thread in &found {
            prop_assert!(shell::candidates(mm(bore), mm(tolerance + 0.1)).contains(thread));
        }
    }

    #[test]
    fn a_real_tapped_shell_is_always_recognised(which in 0usize..4, over in 0.0..=0.3f64, read in -0.1..=0.1f64) {
        let thread = ShellThread::ALL[which];
        let bore = thread.basic_minor_bore() + mm(over + read);
        prop_assert!(shell::candidates(bore, mm(0.1 + 1e-9)).contains(&thread));
    }

    #[test]
    fn a_stack_is_its_cogs_and_its_gaps(pitch in 3.0..6.0f64, thickness in 1.0..2.5f64, cogs in 1u32..14) {
        let width = |cogs| cassette::stack_width(mm(pitch), mm(thickness), cogs).to_mm();
        prop_assert!((width(cogs + 1) - width(cogs) - pitch).abs() < 1e-9);
        prop_assert_eq!(width(1), thickness);
        prop_assert_eq!(width(0), 0.0);
    }

    #[test]
    fn finite_bicycle_sizes_give_finite_answers(
        (ring, cog, centres) in drive(), a in 0.1..1e3f64, b in 0.1..1e3f64, share in 0.0..0.9f64,
        some in lengths(0.1..10.0, 0..14), others in lengths(0.1..10.0, 0..14),
    ) {
        let (la, lb) = (mm(a), mm(b));
        let answers = [
            gears::gain_ratio(ring, cog, la, lb), gears::step_percent(a, b), gears::easier_percent(a, b),
            gears::cadence_on_hill_rpm(a, b, share + 0.01, a), gears::rollout(la, lb).to_mm(),
            need(ring, cog, centres), chain::workshop_rule_inches(ring, cog, centres), chain::elongation_percent(la),
            derailleur::largest_cog_allowed(ring, la, lb), derailleur::gap_with_cog(la, lb, share).to_mm(),
            derailleur::hanger_slope(derailleur::hanger_angle(la, lb)).to_mm(),
            end_error(&some, share, &others).to_mm(), clicks_to_cross(&[la], 1.0, &others),
            chainline::angle(la, lb, centres).to_deg(),
            chainline::rub_gap(la, lb, la, ring, cog, la, lb, centres).to_mm(),
            tape::length_used(la, lb, la, share).to_mm(), tape::length_by_area(la, lb, la, share).to_mm(),
            tape::turns(la, lb, la, share), crank::equivalent_ring(ring, la, lb),
            contradiction::rollout_difference_percent(la, lb, la),
        ];
        for (law, answer) in answers.into_iter().enumerate() {
            prop_assert!(answer.is_finite(), "answer {law}: {answer}");
        }
    }

    #[test]
    fn no_number_makes_a_panic(
        ring in any_teeth(), cog in any_teeth(), a in anything(), b in anything(), c in anything(), count in any::<u32>(),
    ) {
        let (la, lb, lc) = (mm(a), mm(b), mm(c));
        for result in [chain::need(ring, cog, la), chain::need_handbook(ring, cog, la)] {
            prop_assert!(result.is_err() || result.is_ok_and(|pitches| !pitches.to_f64().is_nan()));
        }
        for result in [chain::open_belt(la, lb, lc), chain::centre_distance(ring, cog, Pitches::new(a))] {
            prop_assert!(result.is_err() || result.is_ok_and(|length| !length.to_mm().is_nan()));
        }
        let _ = chain::handbook_centres(a, b, Pitches::new(c));
        let _ = (chain::count(Pitches::new(a)), chain::slack(count, Pitches::new(a), count));
        let _ = chain::elongation_percent_over(la, count);
        let _ = (derailleur::hanger_angle(la, lb), cassette::stack_width(la, lb, count));
        prop_assert_eq!(landings(&[la, lb], c, &[lb]).len(), 3);
        let _ = (end_error(&[la, lb], c, &[lb, la]), clicks_to_cross(&[la, lb], c, &[lb, lc]));
        let _ = chainline::rub_gap(la, lb, lc, ring, cog, la, lb, lc);
        let _ = (shell::candidates(la, lb), cockpit::clamp_match(la, lb, lc), tape::turns(la, lb, lc, a));
        let _ = contradiction::chain_count_difference(count, u32::MAX);
        let _ = contradiction::rollout_is_contradicted(la, lb, lc);
        let _ = cable::ferrules(count, 3);
    }
}

#[test]
fn no_sprockets_need_no_capacity() {
    assert_eq!(chain::capacity_needed(&[], &[]), 0);
    let cogs = [11, 34].map(|count| Teeth::new(count).unwrap());
    assert_eq!(chain::capacity_needed(&[], &cogs), 23);
}

#[test]
fn unequal_clicks_take_half_of_their_spread_with_the_sign_of_the_trend() {
    // Errors 0, −0.3, +0.5: the spread is 0.8.
    let (pulls, pitches) = ([mm(3.7), mm(4.8)], [mm(4.0), mm(4.0)]);
    assert!((end_error(&pulls, 1.0, &pitches).to_mm() - 0.4).abs() < 1e-12);
    // Errors 0, +0.3, −0.5.
    let pulls = [mm(4.3), mm(3.2)];
    assert!((end_error(&pulls, 1.0, &pitches).to_mm() + 0.4).abs() < 1e-12);
    assert_eq!(end_error(&[], 1.0, &pitches).to_mm(), 0.0);
}

#[test]
fn a_crossing_within_a_long_click_counts_its_share() {
    // 8 mm to cross: 4 mm with the first click, then half of the second.
    assert_eq!(clicks_to_cross(&[mm(4.0), mm(8.0), mm(1.0)], 1.0, &[mm(4.0), mm(4.0)]), 1.5);
}

#[test]
fn clicks_that_never_cross_are_infinite() {
    assert_eq!(clicks_to_cross(&[], 1.0, &[mm(4.0)]), f64::INFINITY);
    assert_eq!(clicks_to_cross(&[mm(0.0); 9], 1.0, &[mm(4.0)]), f64::INFINITY);
    assert_eq!(clicks_to_cross(&[mm(2.0)], 1.0, &[]), 0.0);
}

#[test]
fn what_is_refused_is_told_with_both_numbers() {
    let teeth = |count| Teeth::new(count).unwrap();
    let overlap = chain::need(teeth(53), teeth(34), mm(150.0)).unwrap_err();
    assert_eq!(overlap.to_string(), "the sprockets overlap: centres are 150.0 mm apart, they need 176.0 mm");
    let short = chain::centre_distance(teeth(53), teeth(34), Pitches::new(70.0)).unwrap_err();
    assert_eq!(short.to_string(), "the chain is too short: 70.0 pitches found, 71.9 pitches needed");
    let odd = chain::need(teeth(53), teeth(34), mm(f64::NAN)).unwrap_err();
    assert_eq!(odd.to_string(), "a length of `NaN` found, a finite number wanted");
}
