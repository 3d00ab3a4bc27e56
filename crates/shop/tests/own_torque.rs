//! The shop's own torque beside the table and the part: all are shown, the part wins, the table comes last.

use quantity::Torque;
use shop::{Closing, FASTENERS, OwnTorque, TorqueRange};

fn range(least: f64, most: f64) -> TorqueRange {
    TorqueRange { least: Torque::newton_metres(least), most: Torque::newton_metres(most) }
}

#[test]
fn for_every_fastener_the_part_wins_then_the_shop_then_the_table() {
    for fastener in FASTENERS {
        let own = [OwnTorque {
            fastener: fastener.id,
            range: range(5.0, 6.0),
            by: "head of the workshop".to_owned(),
            on: "2026-11-20".to_owned(),
            why: None,
        }];
        let nothing = fastener.torque(&[], None);
        assert_eq!(nothing.counts(), fastener.range());
        assert_eq!(nothing.counts().is_some(), matches!(fastener.closing, Closing::Range(..)));
        let with_own = fastener.torque(&own, None);
        assert_eq!(with_own.counts(), Some(range(5.0, 6.0)));
        assert_eq!(with_own.built_in, fastener.range(), "the built-in figure stays beside it");
        let printed = fastener.torque(&own, Some(range(4.0, 4.5)));
        assert_eq!(printed.counts(), Some(range(4.0, 4.5)));
        assert_eq!(printed.own, Some(&own[0]));
    }
}

#[test]
fn an_own_torque_of_another_fastener_changes_nothing() {
    let own = [OwnTorque {
        fastener: FASTENERS[0].id,
        range: range(5.0, 6.0),
        by: "head of the workshop".to_owned(),
        on: "2026-11-20".to_owned(),
        why: None,
    }];
    for fastener in &FASTENERS[1..] {
        assert_eq!(fastener.torque(&own, None).counts(), fastener.range());
    }
}
