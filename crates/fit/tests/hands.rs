//! Hands, tape, wheel and losses of a refit, from parts that are put together here.
//!
//! The figures of the hands are worked by hand beforehand: at a head angle of 73° a stem of 110/−17 reaches 110.0, one
//! of 110/−6 reaches 108.0 and rises 21.0, and a spacer of 10 mm gives −2.9 and +9.6. The tape: 480 mm of side at a
//! quarter overlap take 1.87 m. The spoke: example of a wheel builder's page, 36 spokes crossed three times, 265.8 mm.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::{Catalogue, Dimension, Noted, Parts, Value};
use fit::build::owner;
use fit::geometry::drive_loss::Order;
use fit::geometry::hands::{Felt, HandPlace, Supply};
use fit::geometry::tape::RollDoes;
use fit::geometry::{Geometry, Section, geometry};
use fit::{Build, Refit};
use quantity::{Angle, Basis, Length, Measured, Reading, Teeth};

fn mm(value: f64) -> Value {
    Value::Length(Measured { value: Length::mm(value), tolerance: Length::mm(0.0), basis: Basis::Measured })
}

fn deg(value: f64) -> Value {
    Value::Angle(Measured { value: Angle::deg(value), tolerance: Angle::deg(0.0), basis: Basis::Measured })
}

fn teeth(list: &[i64]) -> Value {
    Value::Teeth(Noted::counted(list.iter().map(|n| Teeth::new(*n).unwrap()).collect()))
}

fn put(parts: &mut Parts, dimension: Dimension, value: Value) {
    let slot = owner(dimension);
    let mut part = parts.get(slot).unwrap_or_else(|| slot.empty());
    assert!(part.set(dimension, Reading::Taken(value)));
    parts.put(part);
}

/// A refit from what is found and what is chosen.
fn worked(found: &[(Dimension, Value)], chosen: &[(Dimension, Value)]) -> Geometry {
    let mut refit = Refit::default();
    for (dimension, value) in found {
        put(&mut refit.bike, *dimension, value.clone());
    }
    for (dimension, value) in chosen {
        put(&mut refit.choice, *dimension, value.clone());
    }
    geometry(&Build::new(&refit), &catalogue())
}

fn catalogue() -> Catalogue {
    intake::built_in().unwrap()
}

/// Stem 110/−17, reach 92, hood 38: 240 mm.
fn cockpit() -> Vec<(Dimension, Value)> {
    vec![
        (Dimension::HeadAngle, deg(73.0)),
        (Dimension::SteererDiameter, mm(28.6)),
        (Dimension::StemLength, mm(110.0)),
        (Dimension::StemAngle, deg(-17.0)),
        (Dimension::BarReach, mm(92.0)),
        (Dimension::HoodReach, mm(38.0)),
    ]
}

fn new_bar(reach_mm: f64) -> Vec<(Dimension, Value)> {
    vec![
        (Dimension::BarReach, mm(reach_mm)),
        (Dimension::BarClamp, mm(31.8)),
        (Dimension::HoodReach, mm(52.0)),
    ]
}

fn known<T>(section: &Section<T>) -> &T {
    section.value().unwrap()
}

/// What a stem leaves with spacers and bar as they stand.
#[track_caller]
fn leaves(hands: &HandPlace, length_mm: f64, angle_deg: f64, forward_mm: f64, up_mm: f64) {
    let way =
        hands.stems.iter().find(|way| way.length_mm == length_mm && way.angle_deg == angle_deg).unwrap();
    assert!((way.forward_mm - forward_mm).abs() < 0.05 && (way.up_mm - up_mm).abs() < 0.05, "{way:?}");
}

fn wanted<T>(section: &Section<T>) -> Vec<Dimension> {
    section.wanted().iter().map(|missing| missing.dimension).collect()
}

#[test]
fn a_longer_hood_on_a_shorter_bar_is_two_millimetres_with_the_same_stem() {
    let geometry = worked(&cockpit(), &new_bar(80.0));
    let hands = known(&geometry.hands);
    assert!((hands.before.forward_mm.middle() - 240.0).abs() < 0.01);
    leaves(hands, 110.0, -17.0, 2.0, 0.0);
    leaves(hands, 110.0, -6.0, 0.0, 21.0);
    assert_eq!(hands.felt, Felt::Nothing);
    let steep = hands.stems.iter().find(|way| way.angle_deg == -6.0).unwrap();
    assert_eq!((steep.felt(), steep.supply), (Felt::Another, Supply::Catalogue(Some(0))));
}

#[test]
fn a_bar_of_two_millimetres_less_leaves_nothing() {
    let geometry = worked(&cockpit(), &new_bar(78.0));
    let hands = known(&geometry.hands);
    leaves(hands, 110.0, -17.0, 0.0, 0.0);
    assert!(hands.ways[0].off_mm < 0.01 && hands.ways[0].turn_deg == 0.0 && hands.ways[0].planned);
}

#[test]
fn a_place_on_record_needs_no_old_bar() {
    // Spacers 10 and half of a stem 40 mm high stand 30 mm along a steerer at 73°: −8.8 and +28.7.
    let head = 73.0_f64.to_radians();
    let (x, y) = (240.0 - 30.0 * head.cos(), 30.0 * head.sin());
    let mut found = vec![
        (Dimension::HeadAngle, deg(73.0)),
        (Dimension::HandForward, mm(x)),
        (Dimension::HandUp, mm(y)),
        (Dimension::HoodAbove, mm(0.0)),
        (Dimension::Spacers, mm(10.0)),
        (Dimension::StemHeight, mm(40.0)),
        (Dimension::SteererStands, mm(66.0)),
        (Dimension::StemLength, mm(110.0)),
        (Dimension::StemAngle, deg(-17.0)),
    ];
    let mut chosen = new_bar(80.0);
    chosen.push((Dimension::HoodAbove, mm(0.0)));
    let geometry = worked(&found, &chosen);
    let hands = known(&geometry.hands);
    assert!(hands.recorded && hands.height_known);
    leaves(hands, 110.0, -17.0, 2.0, 0.0);
    assert_eq!(hands.spacers_mm, [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0]);
    assert!(hands.ways[0].off_mm <= 2.0 + 1e-9);
    // Without the spacers the record says nothing of where the stem stands.
    found.retain(|(dimension, _)| *dimension != Dimension::Spacers);
    let geometry = worked(&found, &chosen);
    assert!(geometry.hands.value().is_none());
    assert_eq!(wanted(&geometry.hands), [Dimension::Spacers]);
}

#[test]
fn hands_without_their_facts_are_asked_for_by_name() {
    for dimension in [Dimension::HeadAngle, Dimension::StemLength, Dimension::StemAngle, Dimension::BarReach]
    {
        let mut found = cockpit();
        found.retain(|(known, _)| *known != dimension);
        let geometry = worked(&found, &new_bar(80.0));
        assert!(geometry.hands.value().is_none() && wanted(&geometry.hands).contains(&dimension));
    }
}

#[test]
fn spacers_that_the_steerer_allows_bring_the_hands_up() {
    let mut found = cockpit();
    found.extend([
        (Dimension::Spacers, mm(10.0)),
        (Dimension::StemHeight, mm(40.0)),
        (Dimension::SteererStands, mm(66.0)),
    ]);
    let chosen = [
        (Dimension::StemLength, mm(110.0)),
        (Dimension::StemAngle, deg(-6.0)),
        (Dimension::StemHeight, mm(40.0)),
    ];
    let geometry = worked(&found, &chosen);
    let hands = known(&geometry.hands);
    // −6 stands 21 mm higher; 10 mm of spacers out take 9.6 mm of it and give 2.9 mm forward.
    leaves(hands, 110.0, -6.0, -2.0, 21.0);
    let planned = hands.ways.iter().find(|way| way.planned).unwrap();
    assert_eq!(planned.spacers_mm, Some(0.0));
}

#[test]
fn a_drawn_bar_tells_how_the_hood_turns() {
    let curve = |reach, ramp| {
        [(Dimension::BarReach, mm(reach)), (Dimension::BarDrop, mm(125.0)), (Dimension::BarRamp, deg(ramp))]
    };
    let lever = [(Dimension::LeverAlong, mm(70.0)), (Dimension::HoodAbove, mm(20.0))];
    let mut found = cockpit();
    found.retain(|(dimension, _)| *dimension != Dimension::BarReach);
    found.extend(curve(92.0, 4.0).into_iter().chain(lever.clone()));
    let geometry = worked(&found, &curve(80.0, 8.0));
    let hands = known(&geometry.hands);
    assert!(hands.drawn && hands.height_known && hands.ramps_deg == (Some(4.0), Some(8.0)));
    // A bar that cannot be drawn is said to be so.
    let geometry = worked(&found, &curve(20.0, 8.0));
    assert!(matches!(geometry.hands, Section::Impossible { .. }));
}

#[test]
fn levers_go_where_they_were_from_the_middle_of_the_stem() {
    let mut found = cockpit();
    found.extend([
        (Dimension::LeverMarkLeft, mm(268.0)),
        (Dimension::LeverMarkRight, mm(272.0)),
        (Dimension::BarWidth, mm(420.0)),
    ]);
    let mut chosen = new_bar(80.0);
    chosen.push((Dimension::BarWidth, mm(400.0)));
    let marks = known(&worked(&found, &chosen).hands).marks.unwrap();
    assert!(marks.uneven && (marks.after_mm.unwrap().middle() - 260.0).abs() < 1e-9);
}

#[test]
fn a_usual_side_of_tape_is_1_87_metres_and_a_long_one_outruns_two_metres() {
    let bar = |side| [(Dimension::TapeSide, mm(side))];
    let roll = [
        (Dimension::TapeWidth, mm(30.0)),
        (Dimension::TapeWrapped, mm(27.0)),
        (Dimension::TapeRoll, mm(2000.0)),
    ];
    let usual = worked(&bar(480.0), &roll);
    let lap = known(&usual.tape).laps[0];
    assert!((lap.counted_mm.middle() - 1872.0).abs() < 1.0 && lap.roll_does == Some(RollDoes::Yes));
    let long = worked(&bar(560.0), &roll);
    let lap = known(&long.tape).laps[1];
    // The figure that goes round is 2.43 m; the same law gives 2.44 m.
    assert!((lap.counted_mm.middle() - 2440.0).abs() < 5.0 && lap.roll_does == Some(RollDoes::No));
    assert!(lap.least_mm.middle() < lap.counted_mm.middle());
    let without = worked(&bar(480.0), &roll[..1]);
    assert_eq!(wanted(&without.tape), [Dimension::TapeWrapped]);
}

fn hub(left: f64, right: f64, circle: f64) -> [(Dimension, Value); 4] {
    [
        (Dimension::FlangeLeft, mm(left)),
        (Dimension::FlangeRight, mm(right)),
        (Dimension::HoleCircleLeft, mm(circle)),
        (Dimension::HoleCircleRight, mm(circle)),
    ]
}

fn rim() -> [(Dimension, Value); 3] {
    [
        (Dimension::SpokeCircle, mm(555.0)),
        (Dimension::SpokeCount, Value::Count(Noted::counted(36))),
        (Dimension::SpokeCrossings, Value::Count(Noted::counted(3))),
    ]
}

#[test]
fn a_new_hub_in_the_old_rim_has_its_own_spokes() {
    let mut found = hub(39.0, 39.0, 58.0).to_vec();
    found.extend(rim());
    found.push((Dimension::HubWidth, mm(126.0)));
    let mut chosen = hub(37.0, 18.5, 45.0).to_vec();
    chosen.push((Dimension::HubWidth, mm(130.0)));
    let geometry = worked(&found, &chosen);
    let wheel = known(&geometry.wheel);
    let (before, after) = (wheel.before.unwrap(), wheel.after.unwrap());
    assert!(wheel.old_rim && (before.left.length_mm.middle() - 265.81).abs() < 0.05, "{before:?}");
    assert!((before.left_share - 1.0).abs() < 1e-12 && after.left_share < 0.55 && after.left_share > 0.45);
    // 36 spokes at 1000 N press the rim with 5730 N: figure of a book on the bicycle wheel, recomputed.
    assert!((before.rim_n - 5729.6).abs() < 0.1);
    assert!((wheel.rim_moves_mm().unwrap().middle() - 2.0).abs() < 1e-9);
    let few = hub(37.0, 18.5, 45.0);
    let geometry = worked(&found[..4], &few);
    assert!(wanted(&geometry.wheel).contains(&Dimension::SpokeCircle));
}

#[test]
fn spokes_that_no_wheel_has_are_refused_in_words() {
    let mut found = hub(39.0, 39.0, 58.0).to_vec();
    found.extend(rim());
    found[5].1 = Value::Count(Noted::counted(13));
    let geometry = worked(&found, &hub(37.0, 18.5, 45.0));
    assert!(matches!(&geometry.wheel, Section::Impossible { why, .. } if why.contains("13 spokes")));
}

#[test]
fn drives_of_nearly_the_same_teeth_cannot_be_told_apart() {
    let found = [
        (Dimension::Rings, teeth(&[50, 34])),
        (Dimension::Cogs, teeth(&[12, 13, 14, 15, 17, 19, 21, 23, 25])),
    ];
    let chosen = [(Dimension::Cogs, teeth(&[11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28]))];
    let geometry = worked(&found, &chosen);
    assert!(known(&geometry.drive_loss).gears.iter().all(|gear| gear.order == Order::CannotBeTold));
    // Half as many teeth in front and behind bend the chain twice as sharply, at twice the tension.
    let small = [(Dimension::Rings, teeth(&[26])), (Dimension::Cogs, teeth(&[9, 10, 12, 18]))];
    let geometry = worked(&found, &small);
    for gear in &known(&geometry.drive_loss).gears {
        assert!(gear.shares.is_ok() || gear.order == Order::CannotBeTold, "{gear:?}");
    }
    let geometry = worked(&found[..1], &chosen);
    assert_eq!(wanted(&geometry.drive_loss), [Dimension::Cogs]);
}

#[test]
fn a_refit_that_touches_none_of_it_says_nothing() {
    let geometry = worked(&cockpit(), &[(Dimension::ChainCount, Value::Count(Noted::counted(110)))]);
    assert_eq!(geometry.hands, Section::NotTouched);
    assert_eq!(geometry.tape, Section::NotTouched);
    assert!(
        matches!(geometry.wheel, Section::NotTouched) && matches!(geometry.drive_loss, Section::NotTouched)
    );
}
