//! What holds for every diagnosis, on evidence of any kind.

use mechanics::click_window::window;
use mechanics::diagnosis::{
    Evidence, Gap, GearRow, Grid, History, Limit, LimitSeen, Seen, Shift, Sound, Step, diagnose, posterior,
};
use proptest::option;
use proptest::prelude::*;
use quantity::Length;

fn limit() -> impl Strategy<Value = LimitSeen> {
    prop_oneof![Just(LimitSeen::Tight), Just(LimitSeen::Right), Just(LimitSeen::Open)]
}

fn seen(gears: u32) -> impl Strategy<Value = Seen> {
    prop_oneof![
        (limit(), limit()).prop_map(|(high, low)| Seen::Limits { high, low }),
        prop_oneof![Just(Limit::High), Just(Limit::Low)].prop_map(Seen::LimitSet),
        any::<bool>().prop_map(Seen::Anchor),
        any::<bool>().prop_map(Seen::Hanger),
        any::<bool>().prop_map(Seen::Drag),
        any::<bool>().prop_map(Seen::Pull),
        option::of(2..=gears).prop_map(Seen::Stack),
        prop_oneof![Just(Gap::Small), Just(Gap::Right), Just(Gap::Large)].prop_map(Seen::Gap),
        any::<bool>().prop_map(Seen::Teeth),
        any::<bool>().prop_map(Seen::Play),
        any::<bool>().prop_map(Seen::Link),
        (1..=gears, -20.0..20.0, -20.0..20.0)
            .prop_map(|(gear, added, taken_off)| Seen::Windows(vec![(gear, window(added, taken_off))])),
    ]
}

fn row() -> impl Strategy<Value = GearRow> {
    let shift = || option::of(proptest::sample::select(Shift::ALL.to_vec()));
    (shift(), shift(), option::of(proptest::sample::select(Sound::ALL.to_vec())))
        .prop_map(|(to_larger, to_smaller, sound)| GearRow { to_larger, to_smaller, sound })
}

fn evidence() -> impl Strategy<Value = Evidence> {
    (3_u32..=13, 0.5..2.5).prop_flat_map(|(gears, ratio)| {
        let grid = (-60..=60, proptest::collection::vec(row(), gears as usize), any::<bool>(), any::<bool>())
            .prop_map(|(clicks, rows, high_set, low_set)| Grid { clicks, rows, high_set, low_set });
        let mark = || option::of(any::<bool>());
        let history = (mark(), mark(), mark(), mark(), mark(), mark()).prop_map(
            |(new_housing, fall, new_chain, worse_on_road, changes_with_bars, since_wet)| History {
                new_housing,
                fall,
                new_chain,
                worse_on_road,
                changes_with_bars,
                since_wet,
                ..History::default()
            },
        );
        (
            proptest::collection::vec(grid, 0..3),
            proptest::collection::vec(seen(gears), 0..5),
            proptest::collection::vec((-20..20, -20..20), 0..2),
            history,
        )
            .prop_map(move |(grids, seen, runs, history)| Evidence {
                grids,
                runs,
                seen,
                history,
                ..Evidence::of(gears, ratio, Length::mm(0.2))
            })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn an_answer_is_made_of_shares_and_the_clicks_are_numbers(evidence in evidence()) {
        let found = diagnose(&evidence).unwrap();
        for one in &found.causes {
            prop_assert!((-1e-9..=1.0 + 1e-9).contains(&one.probability), "{:?}", one);
        }
        prop_assert!((-1e-9..=1.0 + 1e-9).contains(&found.curable));
        prop_assert!(found.clicks.is_none_or(|(mean, deviation)| mean.is_finite() && deviation >= 0.0));
        prop_assert!(found.advice.minutes >= 0.0 && found.advice.saves.is_finite());
        let turns = matches!(found.advice.step, Step::Turn { .. });
        prop_assert!(!(found.stop_adjusting && turns));
    }

    /// Whatever was seen, no click is advised before both limits were looked at or set, and none where one is open.
    #[test]
    fn the_adjuster_is_turned_only_between_limits_that_hold(evidence in evidence()) {
        let found = diagnose(&evidence).unwrap();
        if let Step::Turn { at_most, .. } = found.advice.step {
            prop_assert!(evidence.holds(Limit::High) && evidence.holds(Limit::Low));
            prop_assert!(!found.stop_riding && (1..=14).contains(&at_most));
        }
        if let Step::Cure(causes) = &found.advice.step {
            let is_tension = causes.iter().any(|cause| cause.is_tension());
            prop_assert!(!is_tension || (evidence.holds(Limit::High) && evidence.holds(Limit::Low)));
        }
    }

    #[test]
    fn the_order_of_checks_and_a_row_that_was_not_tried_change_nothing(evidence in evidence()) {
        let of = |evidence: &Evidence| posterior(evidence).unwrap().two_at_once();
        let mut turned = evidence.clone();
        turned.seen.reverse();
        let rows = vec![GearRow::default(); evidence.gears as usize];
        turned.grids.push(Grid { clicks: 7, rows, high_set: false, low_set: false });
        prop_assert!((of(&evidence) - of(&turned)).abs() < 1e-6);
    }
}
