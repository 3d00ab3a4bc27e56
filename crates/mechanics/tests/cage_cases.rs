//! The cage on whole refits.
//!
//! All bikes are invented. Figures without the cage were worked out beforehand by scripts that share nothing with
//! this crate; where the body dimensions of a [`Family`] come in, the figure is an interval, because they are
//! common practice and no drawing was seen.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::cage::{
    CageError, Drivetrain, Family, Frame, Hold, LONG, MEDIUM, SHORT, Stand, cage_angle, capacity,
    largest_cog, solve, window,
};
use mechanics::chain;
use quantity::{Length, Pitches, Span, Teeth};

fn all(counts: &[i64]) -> Vec<Teeth> {
    counts.iter().map(|count| Teeth::new(*count).unwrap()).collect()
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

#[track_caller]
fn near(found: f64, figure: f64, half: f64) {
    assert!((found - figure).abs() <= half, "found {found}, wanted {figure} ± {half}");
}

/// The biggest ring and cog of a refit with a chain that was left as it is.
#[test]
fn a_chain_of_106_around_53_and_34_locks_by_20_mm_and_no_cage_helps() {
    let (rings, cogs) = (all(&[53, 39]), all(&[11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]));
    let frame = Frame::usual(mm(405.0));
    let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) };
    for family in [SHORT, MEDIUM, LONG] {
        let gears = solve(&family.derailleur, &drivetrain, Pitches::new(106.0)).unwrap();
        let big_big = gears.pair(0, 10).unwrap().unwrap();
        let Hold::Overstretched { short, short_around_sprockets } = big_big.hold else {
            panic!("{}: {:?}", family.name, big_big.hold);
        };
        near(short_around_sprockets.to_mm(), 20.0, 0.5);
        assert!(short > short_around_sprockets, "the way through the cage is never shorter");
        let angle =
            cage_angle(&family.derailleur, &frame, drivetrain.gear(0, 10).unwrap(), Pitches::new(106.0));
        assert!(matches!(angle, Err(CageError::TooShort { .. })), "{angle:?}");
    }
}

/// With the longer chain that big-big needs, the short cage lets chain hang, worst on the smallest cog. What a rating
/// of 33 teeth says of it is counted in `cases.rs`; the cage itself may take up a few teeth more.
#[test]
fn a_short_cage_with_the_chain_for_34_teeth_hangs_on_the_small_cogs() {
    let (rings, cogs) = (all(&[53, 39]), all(&[11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]));
    let frame = Frame::usual(mm(405.0));
    let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) };
    let gears = solve(&SHORT.derailleur, &drivetrain, Pitches::new(110.0)).unwrap();
    let hanging = |cog_idx| match gears.pair(1, cog_idx).unwrap().unwrap().hold {
        Hold::Slack { over } | Hold::Touching { over } => over.to_mm(),
        _ => 0.0,
    };
    let by_rating = |cog_idx: usize| {
        let need = chain::need(rings[1], cogs[cog_idx], frame.chainstay).unwrap();
        chain::slack(110, need, 33).to_mm()
    };
    for (cog_idx, counted) in [(0, 27.0), (1, 15.0), (2, 3.0)] {
        near(by_rating(cog_idx), counted, 0.5);
        assert!(hanging(cog_idx) <= counted + 1.0, "{cog_idx}: {}", hanging(cog_idx));
    }
    assert!(hanging(0) > 10.0 && hanging(0) > hanging(1) && hanging(1) > hanging(2), "{}", hanging(0));
    assert!((3..11).all(|cog_idx| hanging(cog_idx) == 0.0));
    assert!(window(&SHORT.derailleur, &drivetrain).unwrap().width().to_f64() < 0.0);
    // And the pulley does not clear the cog: 34 teeth is far beyond 28.
    let largest = largest_cog(&SHORT.derailleur, &drivetrain, mm(5.0)).unwrap().unwrap();
    assert!(largest.get() < 31, "{largest}");
    let gap = gears.pair(0, 10).unwrap().unwrap().gap.to_mm();
    assert!(gap < 0.0, "{gap}");
}

/// The cure of that refit: a medium cage with 110 pitches reaches in big-big and clears the cog.
#[test]
fn a_medium_cage_carries_34_teeth() {
    let (rings, cogs) = (all(&[53, 39]), all(&[11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]));
    let frame = Frame::usual(mm(405.0));
    let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) };
    let found = capacity(&MEDIUM.derailleur, &drivetrain).unwrap();
    assert_eq!(found.needed, 37);
    assert!(found.teeth > 37.0, "{found:?}");
    assert!(largest_cog(&MEDIUM.derailleur, &drivetrain, mm(5.0)).unwrap().unwrap().get() >= 34);
}

/// A folding bike with a 40 mm tyre on a 406 mm rim: axle 243 mm up, 8 mm sag. The bottom bracket of such a bike lies
/// above the axle, here by 30 mm; hanger and body are typical. The heights were worked out from cages that reach
/// 165, 185 and 205 mm below the axle, with no word of the chain; a longer chain lets the cage hang lower. So the
/// interval runs from the count of the shop rule, 108, to four pitches more, and over the tolerances of the family.
/// With 108 alone the middles are 79, 60 and 48 mm: 9 to 18 mm higher than the figures.
#[test]
fn heights_of_three_cages_over_the_ground_of_a_small_wheel() {
    let (rings, cogs) = (all(&[54]), all(&[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]));
    let frame = Frame { bracket_drop: mm(-30.0), ..Frame::usual(mm(395.0)) };
    let drivetrain = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: mm(3.74) };
    let axle_mm = 243.0 - 8.0;
    let height = |family: &Family, count: f64| -> Span {
        let figure = |it: &_| {
            let lowest = solve(it, &drivetrain, Pitches::new(count))?.lowest().ok_or(CageError::NoRoom)?;
            Ok::<_, CageError>(axle_mm - lowest.to_mm())
        };
        family.interval(figure).unwrap()
    };
    let mut last = f64::INFINITY;
    for (family, height_mm, lean_deg, with_108_mm) in
        [(SHORT, 70.0, 41.9, 79.1), (MEDIUM, 50.0, 32.7, 59.9), (LONG, 30.0, 21.0, 48.2)]
    {
        let found = height(&family, 108.0).join(height(&family, 112.0));
        assert!(found.holds(height_mm), "{}: {height_mm} in {found:?}", family.name);
        assert!(found.middle() < last, "a longer cage hangs lower");
        last = found.middle();
        near(height(&family, 108.0).middle(), with_108_mm, 0.1);
        near(mechanics::ground::lean_to_touch(mm(height_mm), mm(78.0)).to_deg(), lean_deg, 0.05);
    }
    // 21 teeth are taken up by every one of them.
    for family in [SHORT, MEDIUM, LONG] {
        let found = capacity(&family.derailleur, &drivetrain).unwrap();
        assert_eq!(found.needed, 21);
        assert!(found.teeth > 28.0, "{found:?}");
        assert!(window(&family.derailleur, &drivetrain).unwrap().stand(110) == Stand::Inside);
    }
}
