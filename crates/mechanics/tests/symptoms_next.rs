//! What is looked for next where one goes by symptoms: against the posterior worked out anew for every answer, and what
//! holds for any answers.

use mechanics::diagnosis::symptoms::{
    BrakeCause, BrakeKind, BrakeSymptom, FrontCause, FrontSymptom, Next, next_brake, next_front, rank_brake,
    rank_front,
};
use mechanics::noise::{Drive, Source, gear_apart, rank, turns_between_ticks};
use proptest::prelude::*;
use quantity::Teeth;

/// Minutes lost with the likeliest set right at once.
fn lost(ranked: &[(FrontCause, f64)]) -> f64 {
    12.0 * (1.0 - ranked[0].1)
}

/// The worth of every look by Bayes' rule, answer by answer; how likely an answer is comes from `P(seen)` by the rule of
/// total probability on a cause whose share is known from two posteriors.
fn worths(shows: &[FrontSymptom], absent: &[FrontSymptom]) -> Vec<(FrontSymptom, f64)> {
    let now = rank_front(shows, absent);
    let with = |symptom| [shows, &[symptom]].concat();
    let without = |symptom| [absent, &[symptom]].concat();
    let of = |ranked: &[(FrontCause, f64)], cause| {
        ranked.iter().find(|one| one.0 == cause).map_or(0.0, |one| one.1)
    };
    let open = FrontSymptom::ALL.into_iter().filter(|one| !shows.contains(one) && !absent.contains(one));
    open.map(|symptom| {
        let (yes, no) = (rank_front(&with(symptom), absent), rank_front(shows, &without(symptom)));
        // P = q P_yes + (1 − q) P_no for every cause; the one that moves most gives q best.
        let cause = FrontCause::ALL
            .into_iter()
            .max_by(|one, other| {
                let moves = |cause| (of(&yes, cause) - of(&no, cause)).abs();
                moves(*one).total_cmp(&moves(*other))
            })
            .unwrap_or(FrontCause::Slack);
        let q = (of(&now, cause) - of(&no, cause)) / (of(&yes, cause) - of(&no, cause));
        (symptom, lost(&now) - 0.5 - q * lost(&yes) - (1.0 - q) * lost(&no))
    })
    .collect()
}

fn some_of<S: Copy + std::fmt::Debug>(all: &'static [S]) -> impl Strategy<Value = (Vec<S>, Vec<S>)> {
    proptest::collection::vec(0u8..3, all.len()).prop_map(move |answers| {
        let those = |answer: u8| {
            all.iter().zip(&answers).filter(|(_, said)| **said == answer).map(|(one, _)| *one).collect()
        };
        (those(1), those(2))
    })
}

proptest! {
    #[test]
    fn the_look_that_is_advised_is_worth_most((shows, absent) in some_of(&FrontSymptom::ALL)) {
        prop_assume!(!shows.is_empty());
        let all = worths(&shows, &absent);
        let most = all.iter().map(|one| one.1).fold(f64::NEG_INFINITY, f64::max);
        match next_front(&shows, &absent) {
            Next::Look { symptom, saves, .. } => {
                let worth = all.iter().find(|one| one.0 == symptom).map(|one| one.1);
                prop_assert!(worth.is_some(), "{symptom:?} was looked for already");
                prop_assert!((saves - worth.unwrap_or(0.0)).abs() < 1e-6, "{saves} {worth:?}");
                prop_assert!(most < saves + 1e-6);
            }
            Next::Set(cause) => {
                prop_assert!(most < 1e-6, "a look was worth {most}");
                prop_assert_eq!(cause, rank_front(&shows, &absent)[0].0);
            }
            Next::Before { first, likeliest } => {
                prop_assert!(most < 1e-6, "a look was worth {most}");
                prop_assert!(first < likeliest);
            }
            Next::Say => prop_assert!(false, "something shows"),
        }
    }

    #[test]
    fn whatever_is_answered_there_is_an_end_to_it(answers in any::<u16>(), first in 0usize..10, kind in 0usize..3) {
        let kind = [BrakeKind::Rim, BrakeKind::CableDisc, BrakeKind::FluidDisc][kind];
        prop_assume!(BrakeSymptom::ALL[first].is_of(kind));
        let (mut shows, mut absent) = (vec![BrakeSymptom::ALL[first]], Vec::new());
        let mut looks = 0;
        while let Next::Look { symptom, parts: (one, other), saves } = next_brake(kind, &shows, &absent) {
            prop_assert!(symptom.is_of(kind) && one.is_of(kind) && other.is_of(kind) && saves > 0.0);
            prop_assert!(!shows.contains(&symptom) && !absent.contains(&symptom));
            if answers >> looks & 1 == 1 { shows.push(symptom) } else { absent.push(symptom) }
            looks += 1;
            prop_assert!(looks < 10);
        }
        let is_end = matches!(next_brake(kind, &shows, &absent), Next::Set(_) | Next::Before { .. });
        prop_assert!(is_end);
    }
}

/// Common practice: lever to the bar on a hydraulic brake, and soft: air. A rim brake that squeals: toe or surface.
#[test]
fn plain_cases_end_where_the_trade_ends() {
    assert_eq!(next_front(&[], &[FrontSymptom::SlowUp]), Next::Say);
    let air = next_brake(BrakeKind::FluidDisc, &[BrakeSymptom::Soft, BrakeSymptom::LeverToBar], &[]);
    assert_eq!(air, Next::Set(BrakeCause::Air));
    match next_brake(BrakeKind::Rim, &[BrakeSymptom::Squeals], &[]) {
        Next::Look { parts: (one, other), .. } => {
            let usual = [BrakeCause::Toe, BrakeCause::Surface];
            assert!(usual.contains(&one) && usual.contains(&other), "{one:?} {other:?}");
        }
        other => assert!(matches!(other, Next::Look { .. }), "{other:?}"),
    }
    // What no screw cures is not among what a screw cures.
    assert!(FrontCause::Family.is_beyond_setting() && !FrontCause::Slack.is_beyond_setting());
    assert!(BrakeCause::Air.is_beyond_setting() && !BrakeCause::Toe.is_beyond_setting());
    assert!(FrontSymptom::Touches.stops_riding() && !FrontSymptom::RubsTail.stops_riding());
    assert_eq!(rank_brake(BrakeKind::Rim, &[BrakeSymptom::Soft], &[]).len(), 13);
}

/// Sources that tie in a gear do not in the one that is advised.
#[test]
fn a_gear_that_is_advised_parts_what_ties() -> Result<(), quantity::OutOfRange> {
    let mut gears = Vec::new();
    for ring in [50, 34] {
        for cog in [11, 13, 15, 17, 19, 21, 23, 25, 28, 34] {
            let (ring, cog) = (Teeth::new(ring)?, Teeth::new(cog)?);
            gears.push(Drive { pitches: 110, ring, cog, pulley: Teeth::new(11)? });
        }
    }
    let mut parted = 0;
    for gear in &gears {
        for source in Source::ALL {
            for suspect in rank(turns_between_ticks(source, *gear), 0.08, *gear) {
                let mut tied = suspect.ties.clone();
                tied.push(suspect.source);
                if tied.len() < 2 {
                    continue;
                }
                if let Some(other) = gear_apart(&tied, 0.08, &gears) {
                    let mut turns: Vec<f64> =
                        tied.iter().map(|source| turns_between_ticks(*source, other)).collect();
                    turns.sort_by(f64::total_cmp);
                    assert!(turns.windows(2).all(|pair| pair[1] - pair[0] > 0.08), "{tied:?} in {other:?}");
                    parted += 1;
                }
            }
        }
    }
    assert!(parted > 20, "{parted}");
    assert_eq!(gear_apart(&[Source::Wheel, Source::Pulley], 0.08, &[]), None);
    Ok(())
}
