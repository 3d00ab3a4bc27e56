//! Laws of the cage that need no source: order, round trips, limits, and random input of any kind.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::cage::{
    BackLimit, Between, CageError, Change, Derailleur, Dimension, Drivetrain, Family, Frame, Gear, Hold,
    LONG, LevelReading, MEDIUM, Pulley, Readings, SHORT, Stand, WIDE, cage_angle, calibrate, capacity,
    effect, largest_cog, pair_window, path_length, place_rules, solve, solve_pair, spring_pull, tip_radius,
    window, window_over,
};
use mechanics::chain;
use proptest::prelude::*;
use quantity::{Angle, Length, Pitches, Teeth, Torque};

fn teeth(count: i64) -> Teeth {
    Teeth::new(count).unwrap()
}

fn all(counts: &[i64]) -> Vec<Teeth> {
    counts.iter().map(|count| teeth(*count)).collect()
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

const COGS_28: [i64; 11] = [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28];

/// The usual compact drivetrain, handed to a check.
fn on_compact(chainstay_mm: f64, check: impl FnOnce(&Drivetrain<'_>)) {
    let (rings, cogs) = (all(&[50, 34]), all(&COGS_28));
    let frame = Frame::usual(mm(chainstay_mm));
    check(&Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) });
}

/// A family whose dimensions are anywhere within their tolerances.
fn any_body() -> impl Strategy<Value = Derailleur> {
    let family = prop::sample::select(vec![SHORT, MEDIUM, LONG, WIDE]);
    (family, prop::array::uniform9(-1.0..1.0_f64)).prop_map(|(family, shares)| family.moved(&shares))
}

fn any_frame() -> impl Strategy<Value = Frame> {
    (395.0..470.0_f64, -25.0..85.0_f64, 25.0..33.0_f64, 5.0..13.0_f64).prop_map(
        |(chainstay, drop, hanger_drop, behind)| Frame {
            chainstay: mm(chainstay),
            bracket_drop: mm(drop),
            hanger_drop: mm(hanger_drop),
            hanger_behind: mm(behind),
        },
    )
}

/// A gear on which the body clears the cog, and how far inward it stands.
fn any_gear() -> impl Strategy<Value = Gear> {
    (22..56_i64, 11..25_i64, 0.0..40.0_f64).prop_map(|(ring, cog, in_mm)| Gear {
        ring: teeth(ring),
        cog: teeth(cog),
        inward: mm(in_mm),
    })
}

/// Both ends of the working range in pitches, read from a gear with a chain of 110.
fn range(body: &Derailleur, frame: &Frame, gear: Gear) -> Option<(f64, f64)> {
    let state = solve_pair(body, frame, gear, Pitches::new(110.0)).ok()?;
    Some((110.0 - state.give_left.to_f64(), 110.0 + state.take_up_left.to_f64()))
}

proptest! {
    /// The window of a pair says of every chain what the solved cage says: how much it gives, and how much hangs.
    #[test]
    fn the_window_of_a_pair_agrees_with_the_solved_cage(
        body in any_body(), frame in any_frame(), gear in any_gear(), count in 90..130_u32,
    ) {
        let fitted = Pitches::new(f64::from(count));
        if let (Ok(window), Ok(state)) = (pair_window(&body, &frame, gear), solve_pair(&body, &frame, gear, fitted)) {
            prop_assert!((window.give_left(fitted).to_f64() - state.give_left.to_f64()).abs() < 1e-9);
            let over = match state.hold {
                Hold::Slack { over } | Hold::Touching { over } | Hold::Meshing { over } => Some(over.to_mm()),
                Hold::Taut | Hold::Overstretched { .. } => None,
            };
            let own = window.over(fitted).to_mm();
            prop_assert_eq!(over.is_some(), own > 1e-9);
            prop_assert!(over.is_none_or(|over| (over - own).abs() < 1e-9));
        } else {
            prop_assert!(pair_window(&body, &frame, gear).is_err());
        }
    }

    #[test]
    fn the_chain_grows_with_the_cage_angle_and_the_angle_comes_back(
        body in any_body(), frame in any_frame(), gear in any_gear(), share in 0.0..1.0_f64,
    ) {
        let Some((least, most)) = range(&body, &frame, gear) else { return Ok(()) };
        let angle = |count: f64| cage_angle(&body, &frame, gear, Pitches::new(count));
        let length = |cage| path_length(&body, &frame, gear, cage).unwrap().to_f64();
        let count = least + (most - least) * share;
        let cage = angle(count).unwrap();
        prop_assert!((length(cage) - count).abs() <= 1e-9, "{} for {count}", length(cage));
        // Strictly, over the whole range.
        let (low, high) = (angle(least).unwrap().to_deg(), angle(most).unwrap().to_deg());
        let steps = 200;
        let at = |step: i32| length(Angle::deg(low + (high - low) * f64::from(step) / f64::from(steps)));
        for step in 0..steps {
            prop_assert!(at(step) < at(step + 1), "falls at step {step} from {low} to {high}");
        }
    }

    #[test]
    fn the_arm_is_the_slope_of_the_length(
        body in any_body(), frame in any_frame(), gear in any_gear(), share in 0.05..0.95_f64,
    ) {
        let Some((least, most)) = range(&body, &frame, gear) else { return Ok(()) };
        let count = Pitches::new(least + (most - least) * share);
        let state = solve_pair(&body, &frame, gear, count).unwrap();
        let step = Angle::deg(0.01);
        let length = |cage| path_length(&body, &frame, gear, cage).unwrap().to_mm();
        let slope = (length(state.cage_angle + step) - length(state.cage_angle - step)) / (2.0 * step.to_rad());
        prop_assert!((slope - state.arm.to_mm()).abs() <= 1e-4, "{slope} and {:?}", state.arm);
    }

    #[test]
    fn a_longer_chain_turns_the_cage_back_and_leaves_less_to_take_up(
        body in any_body(), frame in any_frame(), gear in any_gear(), count in 96.0..120.0_f64,
    ) {
        let at = |count| solve_pair(&body, &frame, gear, Pitches::new(count));
        let (Ok(one), Ok(more)) = (at(count), at(count + 0.5)) else { return Ok(()) };
        prop_assert!(one.cage_angle <= more.cage_angle);
        prop_assert!((one.take_up_left.to_f64() - more.take_up_left.to_f64() - 0.5).abs() < 1e-9);
        prop_assert!((more.give_left.to_f64() - one.give_left.to_f64() - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_longer_chainstay_never_shortens_the_chain(
        body in any_body(), frame in any_frame(), longer in 0.1..30.0_f64, ring in 30..54_i64,
    ) {
        let (rings, cogs) = (all(&[ring]), all(&[11, 13, 15, 18, 21, 24]));
        let at = |by| {
            let frame = Frame { chainstay: mm(frame.chainstay.to_mm() + by), ..frame };
            window(&body, &Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.9) })
        };
        let (Ok(one), Ok(more)) = (at(0.0), at(longer)) else { return Ok(()) };
        prop_assert!(one.shortest < more.shortest);
        prop_assert!(one.longest < more.longest);
    }

    #[test]
    fn capacity_grows_with_the_cage(body in any_body(), longer in 1.0..20.0_f64) {
        let long = Derailleur { pulleys_apart: body.pulleys_apart + mm(longer), ..body };
        on_compact(410.0, |compact| {
            if let (Ok(one), Ok(more)) = (capacity(&body, compact), capacity(&long, compact)) {
                assert!(one.teeth < more.teeth, "{one:?} and {more:?}");
            }
        });
    }

    #[test]
    fn a_chain_around_the_cage_is_never_shorter_than_around_the_sprockets(
        body in any_body(), frame in any_frame(), gear in any_gear(),
    ) {
        let Some((least, _)) = range(&body, &frame, gear) else { return Ok(()) };
        let around = chain::need(gear.ring, gear.cog, frame.chainstay).unwrap().to_f64();
        prop_assert!(around < least, "{around} and {least}");
    }
}

#[test]
fn the_order_of_the_rings_changes_nothing() {
    let (cogs, frame) = (all(&COGS_28), Frame::usual(mm(410.0)));
    let at = |rings: &[i64]| {
        let rings = all(rings);
        window(&SHORT.derailleur, &Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) })
    };
    assert_eq!(at(&[50, 34]), at(&[34, 50]));
    assert!(at(&[50, 34]).is_ok());
}

#[test]
fn a_guide_pulley_on_the_pivot_keeps_its_gap_whatever_the_chain() {
    on_compact(410.0, |compact| {
        let gaps = |count| {
            let found = solve(&SHORT.derailleur, compact, Pitches::new(count)).unwrap();
            found.pairs().map(|state| state.unwrap().gap).collect::<Vec<_>>()
        };
        for (one, other) in gaps(106.0).into_iter().zip(gaps(107.5)) {
            assert!((one - other).abs().to_mm() < 1e-9);
        }
    });
}

#[test]
fn a_guide_pulley_off_the_pivot_comes_nearer_with_a_longer_chain() {
    let (body, frame) = (WIDE.derailleur, Frame::usual(mm(440.0)));
    let gap = |count| {
        let state = solve_pair(
            &body,
            &frame,
            Gear { ring: teeth(32), cog: teeth(51), inward: mm(40.0) },
            Pitches::new(count),
        )
        .unwrap();
        state.gap.to_mm()
    };
    assert!(gap(116.0) < gap(114.0) - 0.5, "{} and {}", gap(116.0), gap(114.0));
    let far_too_long = solve_pair(
        &body,
        &frame,
        Gear { ring: teeth(32), cog: teeth(51), inward: mm(40.0) },
        Pitches::new(140.0),
    )
    .unwrap();
    assert!(matches!(far_too_long.hold, Hold::Meshing { .. }), "{far_too_long:?}");
    assert_eq!(far_too_long.back_limit, BackLimit::Cog);
    assert!(far_too_long.gap.to_mm().abs() < 1e-9, "{:?}", far_too_long.gap);
}

/// Common practice: what the trade prints for short, medium and long cages, within 4 teeth. No source is golden.
#[test]
fn generic_cages_take_up_what_the_trade_prints() {
    let compact = |most| all(&[11, 12, 13, 14, 15, 17, 19, 21, 23, 25, most]);
    for (family, rings, cogs, least, most) in [
        (SHORT, all(&[50, 34]), compact(28), 28.0, 33.0),
        (MEDIUM, all(&[50, 34]), compact(32), 33.0, 37.0),
        (LONG, all(&[44, 32, 22]), compact(34), 39.0, 47.0),
    ] {
        let frame = Frame::usual(mm(415.0));
        let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) };
        let found = capacity(&family.derailleur, &drivetrain).unwrap().teeth;
        assert!(least - 4.0 <= found && found <= most + 4.0, "{}: {found:.1}", family.name);
    }
}

/// Inside the rating, the length of the shop rule before rounding lies in the window.
#[test]
fn big_big_plus_two_lies_in_the_window_inside_the_rating() {
    let mut tried = 0;
    for chainstay_mm in [400.0, 405.0, 410.0, 415.0, 420.0, 430.0] {
        for (family, big, small, largest) in [
            (SHORT, 50, 34, 25),
            (SHORT, 50, 34, 28),
            (SHORT, 52, 36, 28),
            (SHORT, 53, 39, 28),
            (MEDIUM, 50, 34, 32),
            (MEDIUM, 46, 30, 32),
            (MEDIUM, 46, 32, 34),
            (LONG, 48, 26, 32),
            (LONG, 44, 26, 34),
            (LONG, 50, 34, 36),
        ] {
            let (rings, cogs) = (all(&[big, small]), all(&[11, 13, 15, 17, 19, 21, 23, largest]));
            let frame = Frame::usual(mm(chainstay_mm));
            let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(5.34) };
            let found = window(&family.derailleur, &drivetrain).unwrap();
            let plus_two = chain::need(rings[0], teeth(largest), frame.chainstay).unwrap().to_f64() + 2.0;
            assert!(
                found.shortest.to_f64() <= plus_two && plus_two <= found.longest.to_f64(),
                "{} {big}/{small} x {largest}: {plus_two:.2} in {found:?}",
                family.name
            );
            tried += 1;
        }
    }
    assert_eq!(tried, 60);
}

#[test]
fn both_parities_are_shown_and_interleave() {
    on_compact(410.0, |compact| {
        let found = window(&LONG.derailleur, compact).unwrap();
        let (even, odd) = (found.even().unwrap(), found.odd().unwrap());
        assert_eq!((even.least % 2, even.most % 2, odd.least % 2, odd.most % 2), (0, 0, 1, 1));
        assert_eq!(even.least.abs_diff(odd.least), 1);
        assert_eq!(even.most.abs_diff(odd.most), 1);
        assert_eq!(found.stand(even.least), Stand::Inside);
        assert_eq!(found.stand(odd.most), Stand::Inside);
        assert!(matches!(found.stand(even.least.min(odd.least) - 1), Stand::TooShort { .. }));
        assert!(matches!(found.stand(even.most.max(odd.most) + 1), Stand::TooLong { .. }));
    });
}

#[test]
fn a_count_is_taut_in_every_gear_if_and_only_if_it_lies_in_the_window() {
    for family in [SHORT, MEDIUM, LONG] {
        on_compact(410.0, |compact| {
            let found = window(&family.derailleur, compact).unwrap();
            let mut inside = 0;
            for count in 98..=122 {
                let gears = solve(&family.derailleur, compact, Pitches::new(f64::from(count))).unwrap();
                assert_eq!(gears.is_taut(), found.stand(count) == Stand::Inside, "{count}");
                inside += u32::from(gears.is_taut());
            }
            assert!(inside >= 1, "{}", family.name);
        });
    }
}

#[test]
fn rules_are_placed_with_what_they_mean_in_every_gear() {
    on_compact(410.0, |compact| {
        let [two, four, small] = place_rules(&SHORT.derailleur, compact).unwrap();
        assert_eq!((two.count, four.count, small.count), (106, 108, 106));
        assert_eq!(two.stand, Stand::Inside);
        assert!(matches!(four.stand, Stand::TooLong { .. }));
        assert!(two.gears.is_taut());
        // Too long shows first on the smallest ring and cog, and nowhere on the large ring.
        let hold = |ring, cog| four.gears.pair(ring, cog).unwrap().unwrap().hold;
        assert!(matches!(hold(1, 0), Hold::Slack { .. }), "{:?}", hold(1, 0));
        assert!((0..11).all(|cog| hold(0, cog) == Hold::Taut));
    });
}

#[test]
fn the_window_over_a_travel_is_that_of_its_two_ends() {
    on_compact(420.0, |compact| {
        let body = &LONG.derailleur;
        let still = window(body, compact).unwrap();
        assert_eq!(window_over(body, compact, (mm(420.0), mm(420.0))).unwrap(), still);
        let moving = window_over(body, compact, (mm(415.0), mm(425.0))).unwrap();
        assert_eq!(window_over(body, compact, (mm(425.0), mm(415.0))).unwrap(), moving);
        assert!(still.shortest < moving.shortest && moving.longest < still.longest);
        // Ten millimetres of growth cost nearly 2 × 10 / 12.7 pitches of window.
        let lost = still.width().to_f64() - moving.width().to_f64();
        assert!((lost - 20.0 / 12.7).abs() < 0.1, "{lost}");
    });
}

#[test]
fn an_extender_and_the_screw_open_the_gap_and_allow_a_larger_cog() {
    on_compact(410.0, |compact| {
        let (body, count) = (&SHORT.derailleur, Pitches::new(106.0));
        for (change, least, most) in [
            (Change::Extender { down: mm(15.0), back: mm(0.0) }, 13.0, 15.0),
            (Change::ScrewTurns(1.0), 0.3, 3.0),
        ] {
            let found = effect(body, compact, count, change, mm(5.0)).unwrap();
            for gained in found.gap_gained.iter().take(11) {
                let gained = gained.unwrap().to_mm();
                assert!(least <= gained && gained <= most, "{change:?}: {gained}");
            }
            assert!(found.gap_gained[11].is_none());
            assert!(found.largest_cog.0 <= found.largest_cog.1, "{:?}", found.largest_cog);
        }
        let none = effect(body, compact, count, Change::ScrewTurns(0.0), mm(5.0)).unwrap();
        assert!(none.gap_gained.iter().flatten().all(|gained| gained.to_mm() == 0.0));
        assert_eq!(none.window.0, none.window.1);
        let link = Change::Extender { down: mm(15.0), back: mm(0.0) };
        let (before, after) = effect(body, compact, count, link, mm(5.0)).unwrap().largest_cog;
        // Common practice: a link of 10 to 20 mm is worth 4 to 6 teeth.
        let gained = after.unwrap().get() - before.unwrap().get();
        assert!((4..=8).contains(&gained), "{gained}");
    });
}

#[test]
fn an_extender_frees_a_cog_that_the_guide_pulley_stands_in() {
    let (rings, cogs, frame) = (all(&[32]), all(&[10, 14, 20, 28, 39, 58]), Frame::usual(mm(440.0)));
    let wide = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(8.0) };
    let stuck = window(&WIDE.derailleur, &wide);
    let between = Between::GuideAndCog;
    assert!(
        matches!(stuck, Err(CageError::CirclesOverlap { between: found, .. }) if found == between),
        "{stuck:?}"
    );
    let link = Change::Extender { down: mm(20.0), back: mm(0.0) };
    let found = effect(&WIDE.derailleur, &wide, Pitches::new(118.0), link, mm(5.0)).unwrap();
    assert!(found.window.0.is_err() && found.window.1.is_ok(), "{found:?}");
    assert!(found.gap_gained[5].is_none() && found.gap_gained[0].is_some());
}

#[test]
fn a_lower_hanger_takes_a_larger_cog_and_a_wider_gap_a_smaller() {
    on_compact(410.0, |compact| {
        let at = |drop, gap| {
            let frame = Frame { hanger_drop: mm(drop), ..compact.frame };
            largest_cog(&MEDIUM.derailleur, &Drivetrain { frame, ..*compact }, mm(gap)).unwrap().unwrap()
        };
        assert!(at(26.0, 5.0) < at(30.0, 5.0));
        assert!(at(28.0, 10.0) < at(28.0, 5.0));
        // The usual 2.02 mm for a tooth, from the other side.
        let per_tooth = 12.0 / f64::from(at(34.0, 5.0).get() - at(22.0, 5.0).get());
        assert!((1.6..2.6).contains(&per_tooth), "{per_tooth}");
    });
}

/// Members of a family on a fixed walk through its inside.
fn members(n: u32) -> impl Iterator<Item = [f64; Dimension::COUNT]> {
    (1..=n).map(|step| {
        let mut shares = [0.0; Dimension::COUNT];
        // The square root of each prime turns at a pace of its own.
        for (share, prime) in shares.iter_mut().zip([2.0_f64, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0]) {
            let turn = f64::from(step) * prime.sqrt();
            *share = 2.0 * turn.fract() - 1.0;
        }
        shares
    })
}

#[test]
fn readings_narrow_the_family_and_bring_back_the_truth() {
    on_compact(410.0, |compact| {
        let count = Pitches::new(106.0);
        let (mut off_before, mut off_after, mut held, mut narrowed, mut tried) = (0.0, 0.0, 0, 0, 0);
        for shares in members(40) {
            let gears = solve(&SHORT.moved(&shares), compact, count).unwrap();
            let state = |ring, cog| gears.pair(ring, cog).unwrap().unwrap();
            let level = |ring_idx, cog_idx| LevelReading {
                ring_idx,
                cog_idx,
                angle: state(ring_idx, cog_idx).cage_angle,
            };
            let readings = |tolerance| Readings {
                count,
                levels: [level(0, 9), level(1, 3)],
                level_tolerance: Angle::deg(tolerance),
                gap_ring_idx: 0,
                gap_cog_idx: 9,
                gap: state(0, 9).gap,
                gap_tolerance: mm(tolerance),
            };
            let sharp = calibrate(&SHORT, compact, &readings(0.5)).unwrap();
            let blunt = calibrate(&SHORT, compact, &readings(1e6)).unwrap();
            assert!(sharp.misfit < 1.0 && blunt.moved.iter().all(|share| share.abs() < 1e-6));
            for (ring, cog) in [(0, 7), (0, 8), (1, 7), (1, 9)] {
                let gap = |it: &Derailleur| {
                    let found = solve(it, compact, count)?;
                    Ok::<_, CageError>(found.pair(ring, cog).unwrap()?.gap.to_mm())
                };
                let wanted = state(ring, cog).gap.to_mm();
                let (from, to) = (blunt.interval(gap).unwrap(), sharp.interval(gap).unwrap());
                off_before += (from.middle() - wanted).powi(2);
                off_after += (to.middle() - wanted).powi(2);
                held += u32::from(to.holds(wanted));
                narrowed += u32::from(to.half_width() < 0.5 * from.half_width());
                tried += 1;
            }
        }
        println!("{off_before:.1} {off_after:.1} {held} {narrowed} of {tried}");
        assert!(off_after < off_before / 4.0, "{off_before} and {off_after}");
        assert_eq!(narrowed, tried, "narrower by half");
        assert!(10 * held >= 9 * tried, "only {held} of {tried} hold the truth");
    });
}

/// The square root of what the readings left open gives back the interval that the matrix itself gives.
#[test]
fn the_ends_of_a_calibrated_family_span_its_intervals() {
    on_compact(410.0, |compact| {
        let level = |ring_idx, cog_idx, deg| LevelReading { ring_idx, cog_idx, angle: Angle::deg(deg) };
        let count = Pitches::new(106.0);
        let at =
            |ring_idx, cog_idx| solve(&SHORT.derailleur, compact, count).unwrap().pair(ring_idx, cog_idx);
        let read = |ring_idx, cog_idx| at(ring_idx, cog_idx).unwrap().unwrap();
        let last = compact.cogs.len() - 1;
        let readings = Readings {
            count,
            levels: [
                level(0, last, read(0, last).cage_angle.to_deg() + 0.5),
                level(0, 0, read(0, 0).cage_angle.to_deg() - 0.5),
            ],
            level_tolerance: Angle::deg(1.0),
            gap_ring_idx: 0,
            gap_cog_idx: last,
            gap: mm(read(0, last).gap.to_mm() + 0.3),
            gap_tolerance: mm(0.5),
        };
        let found = calibrate(&SHORT, compact, &readings).unwrap();
        let figure = |it: &Derailleur| capacity(it, compact).map(|capacity| capacity.teeth);
        let by_matrix = found.interval(figure).unwrap().half_width();
        let squares: f64 = found
            .ends()
            .iter()
            .map(|(one, other)| ((figure(other).unwrap() - figure(one).unwrap()) / 2.0).powi(2))
            .sum();
        assert!((squares.sqrt() / by_matrix - 1.0).abs() < 0.02, "{} and {by_matrix}", squares.sqrt());
    });
}

#[test]
fn a_family_laid_to_clear_a_cog_clears_it_by_just_that_gap() {
    let frame = Frame::usual(mm(410.0));
    for (family, cog) in [(SHORT, 25), (SHORT, 30), (MEDIUM, 36), (LONG, 42), (WIDE, 46), (WIDE, 52)] {
        let gear = Gear { ring: teeth(40), cog: teeth(cog), inward: mm(37.4) };
        let count =
            Pitches::new(f64::from(chain::count(chain::need(gear.ring, gear.cog, frame.chainstay).unwrap())));
        let laid = family.clearing(&frame, gear, count, mm(6.0));
        let gap = solve_pair(&laid.derailleur, &frame, gear, count).unwrap().gap.to_mm();
        assert!((gap - 6.0).abs() < 0.05, "{} and {cog}: {gap}", family.name);
        assert_eq!(laid.tolerances, family.tolerances);
    }
}

#[test]
fn readings_that_contradict_the_family_show_as_a_misfit() {
    on_compact(410.0, |compact| {
        let level = |ring_idx, cog_idx, deg| LevelReading { ring_idx, cog_idx, angle: Angle::deg(deg) };
        let readings = Readings {
            count: Pitches::new(106.0),
            levels: [level(0, 9, 45.0), level(1, 2, 120.0)],
            level_tolerance: Angle::deg(0.5),
            gap_ring_idx: 0,
            gap_cog_idx: 9,
            gap: mm(7.0),
            gap_tolerance: mm(0.5),
        };
        match calibrate(&SHORT, compact, &readings) {
            Ok(found) => assert!(found.misfit > 1.0, "{found:?}"),
            Err(why) => {
                assert!(matches!(why, CageError::TooShort { .. } | CageError::TooLong { .. }), "{why}")
            }
        }
        let blind = Readings { gap_tolerance: mm(0.0), ..readings };
        assert_eq!(calibrate(&SHORT, compact, &blind), Err(CageError::NotFinite { found: 0.0 }));
        let elsewhere = Readings { gap_cog_idx: 11, ..readings };
        assert!(matches!(calibrate(&SHORT, compact, &elsewhere), Err(CageError::Sprockets { .. })));
    });
}

#[test]
fn the_interval_of_a_family_holds_its_members() {
    on_compact(410.0, |compact| {
        let figure = |it: &Derailleur| capacity(it, compact).map(|found| found.teeth);
        let interval = SHORT.interval(figure).unwrap();
        for shares in members(200) {
            let found = figure(&SHORT.moved(&shares)).unwrap();
            assert!(interval.holds(found), "{found} in {interval:?}");
        }
        let none = Family { tolerances: [0.0; Dimension::COUNT], ..SHORT };
        assert!(none.interval(figure).unwrap().is_exact());
    });
}

#[test]
fn the_spring_pulls_harder_where_its_arm_is_short() {
    let torque = Torque::newton_metres(1.0);
    assert!((spring_pull(torque, mm(100.0)).to_newtons() - 10.0).abs() < 1e-12);
    assert!(spring_pull(torque, mm(60.0)) > spring_pull(torque, mm(100.0)));
}

#[test]
fn tooth_tips_stand_about_three_millimetres_outside_the_pins() {
    for count in 10..=52 {
        let out = (tip_radius(teeth(count)) - chain::pitch_radius(teeth(count))).to_mm();
        assert!((2.7..4.0).contains(&out), "{count}: {out}");
    }
}

#[test]
fn each_refusal_says_why() {
    let (body, frame) = (SHORT.derailleur, Frame::usual(mm(410.0)));
    let at = |body: &Derailleur, frame: &Frame, ring, cog, count| {
        solve_pair(
            body,
            frame,
            Gear { ring: teeth(ring), cog: teeth(cog), inward: mm(0.0) },
            Pitches::new(count),
        )
        .map(|state| state.hold)
    };
    assert_eq!(at(&body, &frame, 50, 11, 106.0), Ok(Hold::Taut));
    assert!(matches!(at(&body, &frame, 50, 11, f64::NAN), Err(CageError::NotFinite { .. })));
    assert!(matches!(at(&body, &frame, 50, 60, 106.0), Err(CageError::CirclesOverlap { .. })));
    let short = Frame { chainstay: mm(90.0), bracket_drop: mm(0.0), ..frame };
    assert!(matches!(at(&body, &short, 50, 11, 106.0), Err(CageError::CirclesOverlap { .. })));
    let inside = Frame { chainstay: mm(40.0), bracket_drop: mm(0.0), ..frame };
    assert!(matches!(at(&body, &inside, 50, 11, 106.0), Err(CageError::NoTangent { .. })));
    let low = Frame { bracket_drop: mm(500.0), ..frame };
    assert!(matches!(at(&body, &low, 50, 11, 106.0), Err(CageError::BracketTooLow { .. })));
    let crossed = Derailleur { stop_back: Angle::deg(-5.0), ..body };
    assert!(matches!(at(&crossed, &frame, 50, 11, 106.0), Err(CageError::StopsCrossed { .. })));
    let near = Derailleur { pulleys_apart: mm(40.0), ..body };
    assert!(matches!(at(&near, &frame, 50, 11, 106.0), Err(CageError::CirclesOverlap { .. })));
    let angle = |count| {
        cage_angle(
            &body,
            &frame,
            Gear { ring: teeth(50), cog: teeth(11), inward: mm(0.0) },
            Pitches::new(count),
        )
    };
    assert!(matches!(angle(90.0), Err(CageError::TooShort { .. })));
    assert!(matches!(angle(130.0), Err(CageError::TooLong { .. })));
    let none = Drivetrain { frame, rings: &[], cogs: &[], cog_pitch: mm(3.74) };
    assert_eq!(window(&body, &none), Err(CageError::Sprockets { rings: 0, cogs: 0 }));
    assert_eq!(Pulley::new(8), None);
}
