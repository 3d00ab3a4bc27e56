//! Torques at the bolts, on the wrench and in the hand.
//!
//! Settings: US Army TM 5-3810-305-23 (300 lbf ft, 18 in and 6 in give 225) and a torque wrench manual (50 lbf ft, 16 in
//! and 2 in give 44.44). Units are exact by definition. Ranges are common practice: no golden value.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use quantity::{Angle, Length, Torque};
use shop::torque::{Basis, Setting, Wrench, closing, in_unit};
use shop::{Closing, FASTENERS, Fastener, FastenerId};

const LBF_FT: f64 = 1.355_817_948_331_400_4;

fn setting(id: &'static str, printed: &[f64], wrench: Option<Wrench>) -> Setting {
    let printed: Vec<Torque> = printed.iter().map(|nm| Torque::newton_metres(*nm)).collect();
    closing(Fastener::find(FastenerId(id)).unwrap(), &printed, &[], wrench).unwrap().unwrap()
}

fn wrench(length_in: f64, extension_in: f64, degrees: f64) -> Option<Wrench> {
    Some(Wrench {
        length: Length::inches(length_in),
        extension: Length::inches(extension_in),
        angle: Angle::deg(degrees),
    })
}

#[test]
fn a_wrench_with_an_extension_is_set_as_the_manuals_print() {
    let set = |torque, wrench| {
        let set = setting("pedals", &[torque * LBF_FT], wrench).set.unwrap().0;
        in_unit(set, "lbf ft").unwrap()
    };
    assert!((set(300.0, wrench(18.0, 6.0, 0.0)) - 225.0).abs() < 1e-9);
    assert!((set(50.0, wrench(16.0, 2.0, 0.0)) - 44.44).abs() < 0.005);
    assert!((set(50.0, wrench(16.0, 2.0, 90.0)) - 50.0).abs() < 1e-9);
}

#[test]
fn units_of_old_wrenches_are_the_defined_ones() {
    let torque = Torque::newton_metres(6.8);
    // Printed tables pair 60 lbf in with 6.8 N·m.
    assert_eq!(in_unit(torque, "lbf in").unwrap().round(), 60.0);
    assert!((in_unit(Torque::newton_metres(0.980_665), "kgf cm").unwrap() - 10.0).abs() < 1e-12);
    assert_eq!(in_unit(torque, "stone"), None);
}

#[test]
fn print_wins_and_of_two_prints_the_lower() {
    let faceplate = setting("stem-faceplate", &[6.0, 5.0], None);
    assert_eq!(faceplate.basis, Basis::Printed);
    assert_eq!(faceplate.torque.unwrap().1, Torque::newton_metres(5.0));
    assert!(faceplate.carbon.unwrap().contains("paste"));
    assert_eq!(setting("stem-faceplate", &[], None).basis, Basis::AskFirst);
    assert_eq!(setting("pedals", &[], None).basis, Basis::Range);
    let arms = setting("crank-arms", &[], None);
    assert!(arms.basis == Basis::Ask && arms.torque.is_none());
}

#[test]
fn four_bolts_are_closed_across_in_three_rounds() {
    let turns = setting("stem-faceplate", &[5.0], None).turns;
    let bolts: Vec<u8> = turns.iter().map(|turn| turn.bolt).collect();
    assert_eq!(bolts, [1, 4, 2, 3, 1, 4, 2, 3, 1, 4, 2, 3]);
    assert_eq!(turns[0].torque, Torque::newton_metres(1.25));
    assert!(
        turns.iter().filter(|turn| turn.until_still).all(|turn| turn.torque == Torque::newton_metres(5.0))
    );
}

#[test]
fn a_bolt_of_five_millimetres_clamps_five_and_a_half_kilonewtons() {
    // Shigley, eq. 8-27 with K = 0.18: 5 N·m / (0.18 · 5 mm) = 5.56 kN.
    let clamps = setting("stem-faceplate", &[5.0], None).clamps.unwrap();
    let [least, likely, most] = clamps.kilonewtons();
    assert!((likely - 5.556).abs() < 0.001 && (least - 3.889).abs() < 0.001 && (most - 7.222).abs() < 0.001);
    assert!((clamps.proof - 7222.0 / (14.2 * 580.0)).abs() < 1e-3);
}

#[test]
fn every_fastener_is_closed_by_hand_or_says_how() {
    for fastener in FASTENERS {
        let told = closing(fastener, &[], &[], wrench(12.0, 2.0, 45.0)).unwrap();
        assert_eq!(told.is_none(), fastener.closing == Closing::ByHand);
        if let Some(told) = told {
            assert_eq!(told.torque.is_none(), told.basis == Basis::Ask);
        }
    }
}

#[test]
fn what_is_no_torque_and_no_wrench_is_refused_in_words() {
    let faceplate = Fastener::find(FastenerId("stem-faceplate")).unwrap();
    let error = closing(faceplate, &[Torque::newton_metres(0.0)], &[], None).unwrap_err();
    assert_eq!(error.to_string(), "found 0 for the torque, which is out of range");
    let back = closing(faceplate, &[], &[], wrench(4.0, 6.0, 180.0)).unwrap_err();
    assert!(back.to_string().contains("has no arm to the bolt"));
}
