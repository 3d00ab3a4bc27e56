//! The cage on whole refits: what the section of the geometry says of bikes whose figures were worked out beforehand.
//!
//! All bikes are invented. Figures without the cage come from scripts that share nothing with the crates; where the
//! body of a typical cage comes in, the figure is an interval, for no drawing was seen.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::{Dimension, Noted, Slot, Value};
use fit::cage::{Body, Spread};
use fit::geometry::{CageMap, CagePair, Held, drivetrain};
use fit::{Build, Refit, Section, judge_by, rules};
use mechanics::cage::{Frame, Gear, MEDIUM, solve_pair};
use quantity::{Angle, Basis, Length, Measured, Pitches, Reading, Teeth};

/// A refit of dimensions: on the bike as found, or chosen.
#[derive(Clone, Default)]
struct Bike(Refit);

impl Bike {
    fn put(mut self, chosen: bool, slot: Slot, dimension: Dimension, value: Value) -> Self {
        let parts = if chosen { &mut self.0.choice } else { &mut self.0.bike };
        let mut part = parts.get(slot).unwrap_or_else(|| slot.empty());
        assert!(part.set(dimension, Reading::Taken(value)), "{dimension:?} is not of {slot:?}");
        parts.put(part);
        self
    }

    fn found(self, slot: Slot, dimension: Dimension, value: Value) -> Self {
        self.put(false, slot, dimension, value)
    }

    fn chosen(self, slot: Slot, dimension: Dimension, value: Value) -> Self {
        self.put(true, slot, dimension, value)
    }

    fn derailleur(self, cage: &'static str, rated: u32) -> Self {
        self.found(Slot::RearDerailleur, Dimension::CageSize, Value::Word(Noted::counted(cage))).found(
            Slot::RearDerailleur,
            Dimension::RatedCog,
            count(rated),
        )
    }

    fn after(&self) -> Section<CageMap> {
        drivetrain::after(&Build::new(&self.0))
    }

    fn map(&self) -> CageMap {
        self.after().value().unwrap().clone()
    }
}

fn mm(value: f64, tolerance: f64) -> Value {
    Value::Length(Measured {
        value: Length::mm(value),
        tolerance: Length::mm(tolerance),
        basis: Basis::Measured,
    })
}

fn deg(value: f64, tolerance: f64) -> Value {
    Value::Angle(Measured {
        value: Angle::deg(value),
        tolerance: Angle::deg(tolerance),
        basis: Basis::Measured,
    })
}

fn count(value: u32) -> Value {
    Value::Count(Noted::counted(value))
}

fn teeth(list: &[i64]) -> Value {
    Value::Teeth(Noted::counted(list.iter().map(|n| Teeth::new(*n).unwrap()).collect()))
}

fn pair(map: &CageMap, ring: u32, cog: u32) -> &CagePair {
    map.pairs.iter().find(|pair| pair.ring.get() == ring && pair.cog.get() == cog).unwrap()
}

#[track_caller]
fn near(found: f64, figure: f64, half: f64) {
    assert!((found - figure).abs() <= half, "found {found}, wanted {figure} ± {half}");
}

/// A road bike whose owner wishes for 34 teeth and keeps the chain.
fn largest_cog_exceeded() -> Bike {
    Bike::default()
        .found(Slot::Frame, Dimension::Chainstay, mm(405.0, 1.0))
        .found(Slot::Frame, Dimension::HangerDrop, mm(28.0, 1.0))
        .found(Slot::Crankset, Dimension::Rings, teeth(&[53, 39]))
        .found(Slot::Chain, Dimension::ChainCount, count(106))
        .derailleur("medium", 34)
        .chosen(Slot::Cassette, Dimension::Cogs, teeth(&[11, 13, 15, 17, 19, 21, 23, 25, 27, 34]))
        .chosen(Slot::Cassette, Dimension::CogPitch, mm(3.95, 0.0))
}

#[test]
fn a_chain_of_106_around_53_and_34_locks_by_20_mm() {
    let bike = largest_cog_exceeded();
    let map = bike.map();
    assert!(map.count_is_fitted && map.count == 106);
    let Held::Locks { short_mm, short_around_mm } = pair(&map, 53, 34).state.as_ref().unwrap().held else {
        panic!("{:?}", pair(&map, 53, 34));
    };
    near(short_around_mm, 20.0, 0.5);
    assert!(short_mm > short_around_mm, "the way through the cage is never shorter: {short_mm}");
    assert!(pair(&map, 53, 34).state.as_ref().unwrap().sure);
    let rule = rules::find("cage-in-every-pair").unwrap();
    assert_eq!(judge_by(rule, &Build::new(&bike.0)).unwrap().verdict, fit::Verdict::Fails);
}

/// The right length for that cassette is 109.57, so 110; the slack of the small pairs is 27, 15 and 3 mm by a leaflet
/// of 33 teeth. A short cage by its shape hangs in the same three pairs, within 4 mm of those figures.
#[test]
fn a_short_cage_with_110_hangs_in_the_three_pairs_of_the_worked_figures() {
    let bike =
        largest_cog_exceeded().found(Slot::Chain, Dimension::ChainCount, count(110)).derailleur("short", 28);
    let map = bike.map();
    for (cog, counted_mm) in [(11, 27.0), (13, 15.0), (15, 3.0)] {
        match pair(&map, 39, cog).state.as_ref().unwrap().held {
            Held::Hangs(over_mm) | Held::TouchesItself(over_mm) => near(over_mm, counted_mm, 4.0),
            held => panic!("39x{cog}: {held:?}"),
        }
    }
    assert_eq!(pair(&map, 39, 17).state.as_ref().unwrap().held, Held::Taut);
    assert_eq!(map.window.as_ref().unwrap().even, None, "no even count works in every gear");
}

/// A folding bike: 406 mm rims with 40 mm tyres roll 1527 mm, 54 x 11-32, the bottom bracket some 30 mm above the axle.
fn small_wheel(cage: &'static str, rated: u32, pitches: u32) -> CageMap {
    Bike::default()
        .found(Slot::Frame, Dimension::Chainstay, mm(395.0, 1.0))
        .found(Slot::Frame, Dimension::HangerDrop, mm(28.0, 1.0))
        .found(Slot::Frame, Dimension::BracketDrop, mm(-30.0, 3.0))
        .found(Slot::RearWheel, Dimension::Rollout, mm(1527.0, 3.0))
        .found(Slot::Chain, Dimension::ChainCount, count(pitches))
        .derailleur(cage, rated)
        .chosen(Slot::Crankset, Dimension::Rings, teeth(&[54]))
        .chosen(Slot::Cassette, Dimension::Cogs, teeth(&[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]))
        .chosen(Slot::Cassette, Dimension::CogPitch, mm(3.74, 0.0))
        .map()
}

/// The heights 70, 50 and 30 mm were worked out beforehand from cages that reach 165, 185 and 205 mm below the axle,
/// after 8 mm of sag, with no word of the chain. With 108 pitches, the count of the shop rule, the model hangs 9 to
/// 18 mm higher; the printed heights are those of 108 to 112 pitches, since a longer chain lets the cage hang lower.
#[test]
fn heights_of_three_cages_over_the_ground_of_a_small_wheel() {
    const SAG_MM: f64 = 8.0;
    let mut last = f64::INFINITY;
    for (cage, rated, height_mm) in [("short", 28, 70.0), ("medium", 34, 50.0), ("long", 36, 30.0)] {
        let heights =
            [108, 110, 112].map(|pitches| small_wheel(cage, rated, pitches).over_ground_mm.unwrap());
        let all = heights.iter().map(|height| height.span).reduce(quantity::Span::join).unwrap() - SAG_MM;
        assert!(all.holds(height_mm), "{cage}: {height_mm} in {all:?}");
        let by_rule = heights[0].value - SAG_MM;
        assert!((height_mm + 5.0..height_mm + 22.0).contains(&by_rule), "{cage}: {by_rule} with 108 pitches");
        assert!(heights[2].value < heights[0].value, "a longer chain hangs lower");
        assert!(by_rule < last, "a longer cage hangs lower");
        last = by_rule;
    }
    let map = small_wheel("medium", 34, 108);
    assert_eq!(map.capacity_needed, 21);
    assert!(map.capacity.unwrap().span.least() > 21.0);
}

/// Common practice, no source is golden: what leaflets print for short, medium and long cages, within 4 teeth.
#[test]
fn what_leaflets_print_and_the_shape_of_the_cage_agree() {
    for (cage, rated, printed) in [("short", 28, 33.0), ("medium", 34, 39.0), ("long", 36, 45.0)] {
        let taken = small_wheel(cage, rated, 108).capacity.unwrap();
        near(taken.value, printed, 4.0);
    }
}

/// A bike read from a body of the medium family that nobody knows: three readings bring its cage back.
fn read_bike(level_tolerance_deg: f64, gap_off_mm: f64) -> (Bike, mechanics::cage::Derailleur) {
    let frame = Frame { hanger_drop: Length::mm(28.0), ..Frame::usual(Length::mm(410.0)) };
    let truth = MEDIUM.moved(&[0.3, 0.0, 0.0, -0.6, 0.7, 0.4, 0.2, 0.5, -0.4]);
    let cogs = [11, 12, 13, 14, 15, 17, 19, 21, 24, 28];
    let gear = |cog_idx: usize| Gear {
        ring: Teeth::new(50).unwrap(),
        cog: Teeth::new(cogs[cog_idx]).unwrap(),
        inward: Length::mm(3.95) * cog_idx as f64,
    };
    let at = |cog_idx| solve_pair(&truth, &frame, gear(cog_idx), Pitches::new(108.0)).unwrap();
    let (low, high) = (at(9), at(0));
    let bike = Bike::default()
        .found(Slot::Frame, Dimension::Chainstay, mm(410.0, 0.0))
        .found(Slot::Frame, Dimension::HangerDrop, mm(28.0, 0.0))
        .found(Slot::Frame, Dimension::HangerBehind, mm(9.0, 0.0))
        .found(Slot::Frame, Dimension::BracketDrop, mm(70.0, 0.0))
        .found(Slot::Crankset, Dimension::Rings, teeth(&[50, 34]))
        .found(Slot::Chain, Dimension::ChainCount, count(108))
        .found(Slot::Cassette, Dimension::Cogs, teeth(&cogs))
        .found(Slot::Cassette, Dimension::CogPitch, mm(3.95, 0.0))
        .derailleur("medium", 34)
        .found(
            Slot::RearDerailleur,
            Dimension::CageAngleLow,
            deg(low.cage_angle.to_deg(), level_tolerance_deg),
        )
        .found(
            Slot::RearDerailleur,
            Dimension::CageAngleHigh,
            deg(high.cage_angle.to_deg(), level_tolerance_deg),
        )
        .found(Slot::RearDerailleur, Dimension::GuideGap, mm(low.gap.to_mm() + gap_off_mm, 0.5))
        .chosen(Slot::Cassette, Dimension::Cogs, teeth(&[11, 12, 13, 14, 15, 17, 19, 21, 24, 27, 30]))
        .chosen(Slot::Cassette, Dimension::CogPitch, mm(3.74, 0.0));
    (bike, truth)
}

#[test]
fn three_readings_narrow_the_gap_and_bring_the_cage_back() {
    let (bike, truth) = read_bike(1.0, 0.0);
    let map = bike.map();
    assert_eq!(map.body, Body::Read);
    let mut typical = bike;
    let mut derailleur = typical.0.bike.get(Slot::RearDerailleur).unwrap();
    assert!(derailleur.set(Dimension::GuideGap, Reading::NotTaken));
    typical.0.bike.put(derailleur);
    let wide = typical.map();
    assert_eq!(wide.body, Body::Typical);
    let gap = |map: &CageMap, cog| -> Spread { pair(map, 50, cog).state.as_ref().unwrap().gap_mm };
    let frame = Frame::usual(Length::mm(410.0));
    let inward = Length::mm(3.74) * 10.0;
    let gear = Gear { ring: Teeth::new(50).unwrap(), cog: Teeth::new(30).unwrap(), inward };
    let true_gap_mm = solve_pair(&truth, &frame, gear, Pitches::new(108.0)).unwrap().gap.to_mm();
    near(gap(&map, 30).value, true_gap_mm, 1.5);
    let (read, before) = (gap(&map, 30).span, gap(&wide, 30).span);
    assert!(read.holds(true_gap_mm), "{true_gap_mm} in {read:?}");
    assert!(read.half_width() < before.half_width() / 3.0, "{read:?} of {before:?}");
}

#[test]
fn coarse_or_impossible_readings_leave_a_typical_cage_and_say_so() {
    assert_eq!(read_bike(2.0, 0.0).0.map().body, Body::Coarse);
    assert_eq!(read_bike(1.0, 25.0).0.map().body, Body::Contradicted);
}

#[test]
fn what_is_missing_is_named_and_what_would_narrow_it_too() {
    let Section::Wanting(wanted) =
        Bike::default().chosen(Slot::Cassette, Dimension::Cogs, teeth(&[11, 30])).after()
    else {
        panic!("nothing is known of this bike");
    };
    for dimension in [Dimension::Rings, Dimension::Chainstay, Dimension::HangerDrop, Dimension::CageSize] {
        assert!(wanted.iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
    }
    let known = largest_cog_exceeded().after();
    for dimension in
        [Dimension::PulleysApart, Dimension::CageAngleLow, Dimension::CageAngleHigh, Dimension::GuideGap]
    {
        assert!(known.wanted().iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
    }
    assert_eq!(Bike::default().after(), Section::NotTouched);
}

#[test]
fn a_measured_distance_of_the_pulleys_narrows_what_is_taken_up() {
    let typical = largest_cog_exceeded();
    let measured = typical
        .clone()
        .found(Slot::RearDerailleur, Dimension::PulleysApart, mm(73.0, 0.5))
        .map()
        .capacity
        .unwrap();
    let typical = typical.map().capacity.unwrap();
    near(measured.value, typical.value, 0.05);
    assert!(measured.span.half_width() < typical.span.half_width());
}

/// The map takes its window from the gears that it has solved; the model finds it by itself.
#[test]
fn the_window_of_the_map_is_the_window_of_the_model() {
    let bike = largest_cog_exceeded();
    let map = bike.map();
    let build = Build::new(&bike.0);
    let mut ask = fit::ask::Ask::new(&build);
    let cage = fit::cage::Cage::of(&mut ask, fit::When::After).unwrap();
    let (window, found) =
        (mechanics::cage::window(&cage.derailleur, &cage.drivetrain()).unwrap(), map.window.unwrap());
    near(found.shortest.value, window.shortest.to_f64(), 1e-9);
    near(found.longest.value, window.longest.to_f64(), 1e-9);
    assert_eq!((found.shortest_pair, found.longest_pair), (window.shortest_gear, window.longest_gear));
    let (even, sure) = (found.even.unwrap(), found.even_sure);
    assert!(sure.is_none_or(|sure| even.0 <= sure.0 && sure.1 <= even.1), "{even:?} and {sure:?}");
    // The rule of fit looks at the largest pair alone.
    assert_eq!(found.shortest_pair, (Teeth::new(53).unwrap(), Teeth::new(34).unwrap()));
}

/// On a rear suspension the chain must reach at full travel: the window starts later and ends where it did.
#[test]
fn a_chainstay_that_grows_takes_its_share_of_the_window() {
    let bike = largest_cog_exceeded().found(Slot::Frame, Dimension::ChainstayGrowth, mm(12.0, 2.0));
    let map = bike.map();
    let (rest, travelled) = (map.window.unwrap(), map.window_over_travel.unwrap().unwrap());
    // A millimetre of chainstay is two of chain: 14 mm at the most are 2.2 pitches.
    near(travelled.shortest.value - rest.shortest.value, 14.0 * 2.0 / 12.7, 0.1);
    near(travelled.longest.value, rest.longest.value, 1e-9);
}

#[test]
fn the_rules_of_the_shop_say_what_they_mean_in_every_gear() {
    let map = largest_cog_exceeded().map();
    let [plus_two, plus_four, small] = map.rules.as_slice() else { panic!("{:?}", map.rules) };
    assert_eq!((plus_two.count, plus_four.count), (110, 112));
    assert!(plus_two.off_mm.is_empty() && plus_two.outside_pitches == 0.0, "{plus_two:?}");
    assert!(plus_four.off_mm.iter().all(|(ring, _, over)| ring.get() == 39 && *over > 0.0), "{plus_four:?}");
    assert!(small.count <= plus_four.count, "{small:?}");
}
