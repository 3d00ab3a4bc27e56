//! Landing of every gear with all its extras: tables of practice, the simple sum, and laws.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::cassette::chain_clearance;
use mechanics::indexing::landings;
use mechanics::monotone_curve::MonotoneCurve;
use mechanics::shift_landing::{Hanger, ShiftError, ShiftModel, ShiftParts, Toward};
use proptest::prelude::*;
use quantity::{Angle, Length};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn even(ratio: f64) -> MonotoneCurve {
    MonotoneCurve::rising(&[(0.0, 0.0), (20.0, 20.0 * ratio)]).unwrap()
}

/// Eleven cogs, 2.7 mm a click, a ratio of 1.4: shift reach 0.85 mm, drag 0.15 mm at the pulley each way.
fn eleven(pull: f64) -> ShiftParts {
    ShiftParts {
        pulls: vec![mm(pull); 10],
        travel: even(1.4),
        pitches: vec![mm(3.74); 10],
        cog_thickness: mm(1.6),
        chain_outer: mm(5.5),
        hanger: Hanger::STRAIGHT,
        float: mm(0.0),
        lost_motion: mm(2.0 * 0.15 / 1.4),
        reach: mm(0.85),
    }
}

fn model(parts: ShiftParts) -> ShiftModel {
    ShiftModel::new(parts).unwrap()
}

/// The adjuster that puts gear 6 (counted from 1) right between both directions.
fn gear_6_right(model: &ShiftModel) -> Length {
    mm(model.click_room(5, mm(0.0), mm(1.0)).unwrap().centre())
}

/// Rows of the workshop's click window table: centre in gears 3, 6 and 9 and width, 0.2 mm of cable a click. Common
/// practice with assumed reach and drag; the arithmetic was done beforehand by another program.
#[test]
fn click_windows_of_practice() {
    let check = |parts: ShiftParts, slack_mm: f64, centres: [f64; 3], width: f64| {
        let shifting = model(parts);
        let adjuster = gear_6_right(&shifting) - mm(slack_mm / 1.4);
        for (gear, centre) in [2, 5, 8].into_iter().zip(centres) {
            let room = shifting.click_room(gear, adjuster, mm(0.2)).unwrap();
            assert!((room.centre() - centre).abs() <= 0.051, "gear {gear}: {room:?}, wanted {centre}");
            assert!((room.width() - width).abs() <= 0.051, "gear {gear}: {room:?}, wanted {width}");
        }
    };
    check(eleven(2.7), 0.0, [0.4, 0.0, -0.4], 5.0);
    check(eleven(2.7), 0.56, [2.4, 2.0, 1.6], 5.0);
    check(ShiftParts { lost_motion: mm(2.0 * 0.6 / 1.4), ..eleven(2.7) }, 0.0, [0.4, 0.0, -0.4], 1.8);
    check(eleven(2.5), 0.0, [-2.6, 0.0, 2.6], 5.0);
}

/// The row of the same table with cogs that stand 0.3 mm further in from the sixth on, the adjuster left as it was: a
/// step that centre and slope of two gears do not show.
#[test]
fn a_wrong_spacer_steps_the_window_from_its_cog_on() {
    let adjuster = gear_6_right(&model(eleven(2.7)));
    let mut parts = eleven(2.7);
    parts.pitches[4] = parts.pitches[4] + mm(0.3);
    let shifting = model(parts);
    for (gear, centre) in [(2, 0.4), (5, 1.1), (8, 0.6)] {
        let room = shifting.click_room(gear, adjuster, mm(0.2)).unwrap();
        assert!((room.centre() - centre).abs() <= 0.051 && (room.width() - 5.0).abs() <= 0.051, "{room:?}");
    }
}

#[test]
fn a_leaning_hanger_leaves_a_slope() {
    // 60 to 85 mm of drop: 1° leaves 0.44 mm across the cassette, 2° 0.87 mm, beside the constant. Worked by hand.
    for (deg, slope) in [(1.0, 0.44), (2.0, 0.87)] {
        let hanger = Hanger {
            roll: Angle::deg(deg),
            drop_at_smallest: mm(60.0),
            drop_at_largest: mm(85.0),
            ..Hanger::STRAIGHT
        };
        let (bent, straight) = (model(ShiftParts { hanger, ..eleven(2.7) }), model(eleven(2.7)));
        let moved = |gear, toward| {
            let at = |model: &ShiftModel| model.landing(gear, toward, mm(0.0)).unwrap().error;
            at(&bent) - at(&straight)
        };
        let (first, last) = (moved(0, Toward::Smaller), moved(10, Toward::Larger));
        assert!(((last - first).to_mm() - slope).abs() <= 0.005, "{first} {last}");
        assert!((first.to_mm() - 60.0 * deg.to_radians().sin()).abs() < 1e-9);
    }
    let toe = Hanger { toe: Angle::deg(1.0), behind: mm(20.0), ..Hanger::STRAIGHT };
    assert!((toe.shift(0.0).to_mm() - 0.349).abs() < 5e-4 && toe.shift(0.0) == toe.shift(1.0));
}

#[test]
fn without_the_extras_it_is_the_simple_sum() {
    // Click by click, an uneven shifter measured with a dial gauge, and cogs with thicker spacers at the small end.
    let pulls = [4.0, 2.8, 2.5, 2.7, 2.7, 2.7, 2.7, 3.0, 3.4, 3.4].map(mm);
    let pitches = [4.0, 4.0, 3.74, 3.74, 3.74, 3.74, 3.74, 3.74, 3.74, 3.74].map(mm);
    let parts =
        ShiftParts { pulls: pulls.to_vec(), pitches: pitches.to_vec(), lost_motion: mm(0.0), ..eleven(2.7) };
    let full = model(parts);
    for simple in landings(&pulls, 1.4, &pitches) {
        let gear = simple.click;
        let toward = if gear == 0 { Toward::Smaller } else { Toward::Larger };
        let found = full.landing(gear, toward, mm(0.0)).unwrap().error.to_mm();
        let cog_mm: f64 = pitches[..gear].iter().map(|pitch| pitch.to_mm()).sum();
        assert!((found - (simple.position_mm - cog_mm)).abs() < 1e-12, "gear {gear}");
    }
}

#[test]
fn room_to_rub_is_the_clearance_less_the_error() {
    let parts = ShiftParts { lost_motion: mm(0.0), float: mm(0.3), ..eleven(3.74 / 1.4) };
    let clearance = chain_clearance(mm(3.74), mm(5.5), mm(1.6));
    let right = model(parts.clone()).landing(4, Toward::Larger, mm(0.0)).unwrap();
    assert!((right.to_rub - clearance - mm(0.3)).abs() < mm(1e-9), "{right:?}");
    assert!((right.to_failed_shift - mm(0.85 - 0.3)).abs() < mm(1e-9));
    let off = model(parts).landing(4, Toward::Larger, mm(0.1)).unwrap();
    assert!((off.error - mm(0.14)).abs() < mm(1e-9));
    assert!((off.to_rub - (right.to_rub - mm(0.14))).abs() < mm(1e-9));
    assert!((off.to_failed_shift - (right.to_failed_shift + mm(0.14))).abs() < mm(1e-9));
}

#[test]
fn a_nine_speed_shifter_misses_eleven_cogs_by_half_a_millimetre_a_click() {
    // 2.5 · 1.7 − 3.74 = +0.51 for each click: recomputed from family values of the trade.
    let mixed = model(ShiftParts { travel: even(1.7), lost_motion: mm(0.0), ..eleven(2.5) });
    let error = |gear| mixed.landing(gear, Toward::Larger, mm(0.0)).unwrap().error.to_mm();
    assert!((error(1) - 0.51).abs() < 1e-9 && (error(8) - 8.0 * 0.51).abs() < 1e-9);
    assert!(mixed.click_room_of_all(mixed.best_adjuster(), mm(0.2)).width() < 0.0);
}

#[test]
fn shifts_that_nobody_makes_are_not_there() {
    let shifting = model(eleven(2.7));
    assert_eq!(shifting.landing(0, Toward::Larger, mm(0.0)), None);
    assert_eq!(shifting.landing(10, Toward::Smaller, mm(0.0)), None);
    assert_eq!(shifting.landing(11, Toward::Larger, mm(0.0)), None);
    assert_eq!(shifting.landings(mm(0.0)).count(), 20);
    assert_eq!(shifting.click_room(0, mm(0.0), mm(0.2)).unwrap().take_off, f64::INFINITY);
    assert_eq!(shifting.click_room(11, mm(0.0), mm(0.2)), None);
    assert_eq!(shifting.click_room(5, mm(0.0), mm(0.2)).unwrap().whole_clicks(), (1, 3));
}

#[test]
fn parts_that_do_not_shift_are_named() {
    let error = |parts: ShiftParts| ShiftModel::new(parts).unwrap_err();
    let few = ShiftParts { pulls: vec![mm(2.7); 9], ..eleven(2.7) };
    assert_eq!(error(few), ShiftError::NotEnough { clicks: 9, cogs: 11 });
    assert!(matches!(error(eleven(0.0)), ShiftError::OutOfRange { what: "a pull", .. }));
    assert!(matches!(
        error(ShiftParts { reach: mm(f64::NAN), ..eleven(2.7) }),
        ShiftError::OutOfRange { .. }
    ));
    let flat = MonotoneCurve::new(&[(0.0, 0.0), (5.0, 0.0)]).unwrap();
    assert!(matches!(error(ShiftParts { travel: flat, ..eleven(2.7) }), ShiftError::Travel(_)));
}

/// Uneven clicks and cogs, a ratio that bends, a hanger that leans and some lost motion.
fn drawn() -> impl Strategy<Value = ShiftParts> {
    let steps = proptest::collection::vec((2.4..3.2, 3.5..4.2), 4..12);
    (steps, 1.3..1.5, 0.94..1.06, -2.0..2.0, 0.0..0.5, 0.0..0.2).prop_map(
        |(steps, ratio, bend, roll, lost, float)| ShiftParts {
            pulls: steps.iter().map(|step| mm(step.0)).collect(),
            pitches: steps.iter().map(|step| mm(step.1)).collect(),
            travel: MonotoneCurve::rising(&[
                (0.0, 0.0),
                (10.0, 10.0 * ratio * bend),
                (20.0, 20.0 * ratio),
                (32.0, 32.0 * ratio * bend),
            ])
            .unwrap(),
            hanger: Hanger {
                roll: Angle::deg(roll),
                drop_at_smallest: mm(58.0),
                drop_at_largest: mm(82.0),
                ..Hanger::STRAIGHT
            },
            lost_motion: mm(lost),
            float: mm(float),
            ..eleven(2.7)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_shift_fails_just_beyond_its_last_click(parts in drawn(), adjuster in -1.0..1.0, gear in 1_usize..4) {
        let shifting = model(parts);
        let room = shifting.click_room(gear, mm(adjuster), mm(0.2)).unwrap();
        for (toward, clicks) in [(Toward::Smaller, room.add), (Toward::Larger, -room.take_off)] {
            let Some(there) = shifting.landing(gear, toward, mm(adjuster + 0.2 * clicks)) else { continue };
            prop_assert!(there.to_failed_shift.abs() < mm(1e-9), "{there:?}");
            let further = shifting.landing(gear, toward, mm(adjuster + 0.2 * (clicks + clicks.signum() * 0.01)));
            prop_assert!(clicks == 0.0 || (further.unwrap().to_failed_shift < mm(0.0)) == (
                (clicks > 0.0) == (toward == Toward::Smaller)
            ));
        }
    }

    #[test]
    fn no_adjuster_does_better_than_the_best(parts in drawn(), other in -2.0..2.0) {
        let shifting = model(parts);
        let worst = |adjuster: Length| {
            let room = shifting.click_room_of_all(adjuster, mm(0.2));
            room.add.min(room.take_off)
        };
        prop_assert!(worst(shifting.best_adjuster()) >= worst(mm(other)) - 1e-9);
    }

    #[test]
    fn lost_motion_takes_its_clicks_from_the_width(parts in drawn(), more in 0.01..0.5) {
        let worse = ShiftParts { lost_motion: parts.lost_motion + mm(more), ..parts.clone() };
        let width = |parts: ShiftParts| model(parts).click_room(2, mm(0.0), mm(0.2)).unwrap().width();
        prop_assert!((width(parts) - width(worse) - more / 0.2).abs() < 1e-9);
    }

    #[test]
    fn the_adjuster_moves_every_gear_the_same_way(parts in drawn(), more in 0.01..0.4) {
        let shifting = model(parts);
        for (one, other) in shifting.landings(mm(0.0)).zip(shifting.landings(mm(more))) {
            prop_assert!(other.error > one.error);
        }
    }

    #[test]
    fn an_even_ratio_moves_all_gears_by_one_constant(more in -0.5..0.5, ratio in 1.0..1.8) {
        let shifting = model(ShiftParts { travel: even(ratio), ..eleven(2.7) });
        for (one, other) in shifting.landings(mm(0.0)).zip(shifting.landings(mm(more))) {
            prop_assert!((other.error - one.error - mm(more * ratio)).abs() < mm(1e-9));
        }
    }
}
