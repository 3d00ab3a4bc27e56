//! Drop bars and the search for the old place of the hands.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::bar_curve::{BarCurve, BarError, Choice, Hands, LeverBody, Spot, bring_back};
use mechanics::{Point, cockpit};
use proptest::prelude::*;
use quantity::{Angle, Length};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn deg(value: f64) -> Angle {
    Angle::deg(value)
}

fn bar(reach: f64, drop: f64, ramp: f64) -> BarCurve {
    BarCurve::new(mm(reach), mm(drop), deg(ramp)).unwrap()
}

fn lever() -> LeverBody {
    LeverBody { along_bar: mm(70.0), trough_ahead: mm(38.0), trough_above: mm(22.0), hood_slope: deg(12.0) }
}

fn choice() -> Choice {
    Choice {
        stems: [80.0, 90.0, 100.0, 110.0, 120.0]
            .iter()
            .flat_map(|length| [-17.0, -6.0, 6.0].map(|angle| (mm(*length), deg(angle))))
            .collect(),
        spacers: [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0].map(mm).to_vec(),
        turns: (-6..=10).map(|turn| deg(f64::from(turn))).collect(),
    }
}

/// Where known parts put the hood.
fn hands(bar: &BarCurve, stem: usize, spacers: usize, turn: usize) -> Hands {
    let parts = choice();
    let (length, angle) = parts.stems[stem];
    let clamp = cockpit::stem_reach(length, angle, parts.spacers[spacers], deg(73.0));
    let hood = bar.hood(lever(), parts.turns[turn]).unwrap();
    let at = Point { x_mm: clamp.x_mm + hood.at.x_mm, y_mm: clamp.y_mm + hood.at.y_mm };
    Hands { hood: Spot { at, slope: hood.slope }, head_angle: deg(73.0), deg_per_mm: 0.5 }
}

#[test]
fn a_level_ramp_is_half_a_circle_and_the_rest() {
    // Worked by hand: a drop of 125 is twice the radius, a reach of 80 leaves 17.5 of ramp.
    let bar = bar(80.0, 125.0, 0.0);
    assert_eq!(bar.radius(), mm(62.5));
    assert!((bar.length().to_mm() - (17.5 + 62.5 * std::f64::consts::PI)).abs() < 1e-9);
    let end = bar.spot(bar.length()).unwrap();
    assert!((end.at.x_mm - 17.5).abs() < 1e-9 && (end.at.y_mm + 125.0).abs() < 1e-9);
    assert!((end.slope.to_deg() + 180.0).abs() < 1e-9);
}

#[test]
fn bars_that_cannot_be_drawn_are_refused() {
    let error = |reach, drop, ramp| BarCurve::new(mm(reach), mm(drop), deg(ramp)).unwrap_err();
    assert_eq!(
        error(40.0, 125.0, 0.0).to_string(),
        "no bar with a reach of 40 mm and a drop of 125 mm has a ramp of 0.0° and one arc"
    );
    assert!(matches!(error(80.0, -5.0, 0.0), BarError::NoSuchBar { .. }));
    assert!(matches!(error(80.0, 125.0, 95.0), BarError::NoSuchBar { .. }));
    assert!(matches!(error(f64::NAN, 125.0, 0.0), BarError::NotFinite { .. }));
    let off = bar(80.0, 125.0, 0.0).spot(mm(300.0));
    assert!(matches!(off, Err(BarError::OffTheBar { .. })));
    assert!(bar(80.0, 125.0, 0.0).spot(mm(-1.0)).is_err());
}

#[test]
fn a_turned_bar_carries_the_hood_around_the_clamp() {
    let bar = bar(78.0, 125.0, 8.0);
    let (level, up) = (bar.hood(lever(), deg(0.0)).unwrap(), bar.hood(lever(), deg(5.0)).unwrap());
    assert!((up.slope - level.slope - deg(5.0)).abs() < deg(1e-9));
    assert!((level.at.x_mm.hypot(level.at.y_mm) - up.at.x_mm.hypot(up.at.y_mm)).abs() < 1e-9);
    assert!(up.at.y_mm > level.at.y_mm);
}

#[test]
fn a_new_lever_on_a_shorter_bar_moves_the_hand_by_two_millimetres() {
    // Practice: body 38 to 52 mm and reach 92 to 80 mm is +2 mm. Here with a level ramp and the band at its end.
    let hood_x = |reach: f64, body: f64| {
        let curve = bar(reach, 125.0, 0.0);
        let body = LeverBody {
            along_bar: mm(reach - 62.5),
            trough_ahead: mm(body),
            trough_above: mm(0.0),
            hood_slope: deg(0.0),
        };
        curve.hood(body, deg(0.0)).unwrap().at.x_mm
    };
    assert!((hood_x(80.0, 52.0) - hood_x(92.0, 38.0) - 2.0).abs() < 1e-9);
    assert!((hood_x(92.0, 52.0) - hood_x(92.0, 38.0) - 14.0).abs() < 1e-9);
}

#[test]
fn a_recorded_hood_is_found_again() {
    let bar = bar(78.0, 125.0, 8.0);
    let found = bring_back(&bar, lever(), hands(&bar, 7, 3, 9), &choice(), 5).unwrap();
    assert_eq!((found[0].stem, found[0].spacers, found[0].turn), (7, 3, 9));
    assert!(found[0].off < mm(1e-9) && found[0].slope_off.abs() < deg(1e-9));
    assert_eq!(found.len(), 5);
    assert!(found.windows(2).all(|pair| pair[0].score_mm <= pair[1].score_mm));
}

#[test]
fn another_bar_leaves_a_residual_that_a_second_search_confirms() {
    let (old, new) = (bar(92.0, 135.0, 4.0), bar(78.0, 125.0, 8.0));
    let wanted = hands(&old, 7, 3, 6);
    let best = bring_back(&new, lever(), wanted, &choice(), 1).unwrap()[0];
    // A plain search that shares only the two forward laws.
    let (parts, mut least) = (choice(), f64::INFINITY);
    for (length, angle) in &parts.stems {
        for height in &parts.spacers {
            for turn in &parts.turns {
                let clamp = cockpit::stem_reach(*length, *angle, *height, deg(73.0));
                let hood = new.hood(lever(), *turn).unwrap();
                let dx = clamp.x_mm + hood.at.x_mm - wanted.hood.at.x_mm;
                let dy = clamp.y_mm + hood.at.y_mm - wanted.hood.at.y_mm;
                let slope = (hood.slope - wanted.hood.slope).to_deg() / 0.5;
                least = least.min((dx * dx + dy * dy + slope * slope).sqrt());
            }
        }
    }
    println!("best {best:?}");
    assert!((best.score_mm - least).abs() < 1e-9 && best.off < mm(8.0));
}

#[test]
fn of_two_equal_ways_the_lower_stack_comes_first() {
    let bar = bar(78.0, 125.0, 8.0);
    let same = Choice {
        stems: vec![(mm(100.0), deg(-6.0))],
        spacers: vec![mm(10.0), mm(10.0)],
        turns: vec![deg(0.0)],
    };
    let found = bring_back(&bar, lever(), hands(&bar, 7, 3, 9), &same, 9).unwrap();
    assert_eq!(found.iter().map(|setting| setting.spacers).collect::<Vec<_>>(), [0, 1]);
    let nothing = Choice { stems: Vec::new(), ..same };
    assert!(bring_back(&bar, lever(), hands(&bar, 7, 3, 9), &nothing, 9).unwrap().is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_foremost_point_is_the_reach_and_the_lowest_the_drop(
        reach in 65.0..100.0, drop in 110.0..150.0, ramp in -5.0..15.0,
    ) {
        let Ok(bar) = BarCurve::new(mm(reach), mm(drop), deg(ramp)) else { return Ok(()) };
        let length = bar.length().to_mm();
        let (mut foremost, mut lowest, mut walked) = (0.0_f64, 0.0_f64, 0.0);
        let mut before = Point { x_mm: 0.0, y_mm: 0.0 };
        for step in 0..=4000 {
            let at = bar.spot(mm(length * f64::from(step) / 4000.0)).unwrap().at;
            foremost = foremost.max(at.x_mm);
            lowest = lowest.min(at.y_mm);
            walked += (at.x_mm - before.x_mm).hypot(at.y_mm - before.y_mm);
            before = at;
        }
        prop_assert!((foremost - reach).abs() < 1e-4 && (lowest + drop).abs() < 1e-4, "{foremost} {lowest}");
        prop_assert!((walked - length).abs() < 1e-3, "{walked} {length}");
    }

    #[test]
    fn one_more_stem_never_makes_the_best_worse(length in 70.0..130.0, angle in -20.0..20.0) {
        let bar = bar(78.0, 125.0, 8.0);
        let wanted = hands(&bar, 4, 2, 3);
        let few = Choice { stems: choice().stems[..3].to_vec(), ..choice() };
        let mut more = few.clone();
        more.stems.push((mm(length), deg(angle)));
        let best = |choice: &Choice| bring_back(&bar, lever(), wanted, choice, 1).unwrap()[0].score_mm;
        prop_assert!(best(&more) <= best(&few));
    }
}
