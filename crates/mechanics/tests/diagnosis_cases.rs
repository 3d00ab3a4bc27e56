//! Diagnoses worked beforehand, and figures that must come out to the printed digit.

#![expect(clippy::unwrap_used, reason = "a test whose bike is refused has failed")]

use mechanics::diagnosis::naive::update;
use mechanics::diagnosis::symptoms::{
    BrakeCause, BrakeKind, BrakeSymptom, FrontCause, FrontSymptom, cage_travel_short, rank_brake, rank_front,
};
use mechanics::diagnosis::taps::{TapError, period};
use mechanics::diagnosis::{
    Cause, Check, Diagnosis, Elsewhere, Evidence, EvidenceError, Gap, GearRow, Grid, Limit, LimitSeen,
    Reason, Seen, Shift, Sound, Step, Word, diagnose,
};
use mechanics::noise::{Drive, Source, rank, turns_between_ticks};
use quantity::{Length, Teeth};

/// A table worked beforehand: slow to larger in gears 3 to 8; then slow to smaller too; then the same in all gears;
/// then two clicks that cure one way and spoil the other. Priors and printed shares are the table's; its likelihoods
/// were not printed, and these are round ones that give its digits.
#[test]
fn three_observations_after_slow_to_larger() {
    let mut shares = vec![0.25, 0.15, 0.25, 0.15, 0.05, 0.15];
    for (likelihoods, printed) in [
        ([0.9, 0.05, 0.55, 0.4, 0.35, 0.15], "0.48 0.02 0.29 0.13 0.04 0.05"),
        ([0.04, 0.65, 0.7, 0.25, 0.35, 0.08], "0.07 0.04 0.72 0.11 0.05 0.01"),
        ([0.6, 0.7, 0.5, 0.15, 0.01, 0.3], "0.09 0.06 0.80 0.04 0.00 0.01"),
        ([0.03, 0.01, 0.5, 0.2, 0.01, 0.01], "0.01 0.00 0.97 0.02 0.00 0.00"),
    ] {
        shares = update(&shares, &likelihoods);
        let digits: Vec<String> = shares.iter().map(|share| format!("{share:.2}")).collect();
        assert_eq!(digits.join(" "), printed);
    }
}

#[test]
fn an_impossible_observation_teaches_nothing() {
    assert_eq!(update(&[0.4, 0.6], &[0.0, 0.0]), [0.4, 0.6]);
    assert_eq!(update(&[0.4, 0.6], &[f64::NAN, 0.5]), [0.4, 0.6]);
}

fn bike(gears: u32) -> Evidence {
    Evidence::of(gears, 1.4, Length::mm(0.2))
}

fn row(to_larger: Shift, to_smaller: Shift) -> GearRow {
    GearRow { to_larger: Some(to_larger), to_smaller: Some(to_smaller), sound: Some(Sound::Quiet) }
}

fn grid(rows: Vec<GearRow>) -> Grid {
    Grid { clicks: 0, rows, high_set: false, low_set: false }
}

fn limits(high: LimitSeen, low: LimitSeen) -> Seen {
    Seen::Limits { high, low }
}

fn right() -> Seen {
    limits(LimitSeen::Right, LimitSeen::Right)
}

fn with(rows: Vec<GearRow>, seen: Vec<Seen>) -> Diagnosis {
    let mut evidence = bike(rows.len() as u32);
    evidence.grids.push(grid(rows));
    evidence.seen = seen;
    diagnose(&evidence).unwrap()
}

#[test]
fn slow_to_every_larger_cog_is_slack_and_wants_clicks_after_the_limits() {
    let rows = vec![row(Shift::Slow, Shift::Clean); 11];
    let first = with(rows.clone(), vec![]);
    assert_eq!((first.causes[0].cause, first.causes[0].word()), (Cause::Slack, Word::Likely));
    assert_eq!((&first.advice.step, first.advice.reason), (&Step::Check(Check::Limits), Reason::LimitsFirst));
    let then = with(rows, vec![right()]);
    assert!(matches!(then.advice.step, Step::Turn { add: true, .. }), "{:?}", then.advice);
    let (clicks, deviation) = then.clicks.unwrap();
    assert!(clicks > 2.0 && clicks < 6.0 && deviation < 2.5, "{clicks} ± {deviation}");
}

#[test]
fn slow_both_ways_in_all_gears_stops_the_adjusting() {
    let found = with(vec![row(Shift::Slow, Shift::Slow); 11], vec![]);
    assert_eq!(found.causes[0].cause, Cause::Drag);
    assert!(found.stop_adjusting && found.clicks.is_none(), "{found:?}");
    assert!(!matches!(found.advice.step, Step::Turn { .. }));
}

#[test]
fn good_at_one_end_and_worse_to_the_other_both_ways_is_a_slope() {
    let rows = (1..=11)
        .map(|gear| match gear {
            1..=3 => row(Shift::Slow, Shift::Clean),
            4..=8 => row(Shift::Clean, Shift::Clean),
            _ => row(Shift::Clean, Shift::Slow),
        })
        .collect();
    let found = with(rows, vec![]);
    let slope = found.causes.iter().filter(|one| matches!(one.cause, Cause::Mismatch | Cause::Hanger));
    assert!(slope.map(|one| one.probability).sum::<f64>() > 0.7, "{:?}", found.causes);
}

#[test]
fn good_up_to_one_cog_and_then_all_off_is_a_spacer() {
    let rows = (1..=11)
        .map(|gear| row(if gear < 8 { Shift::Clean } else { Shift::Refuses }, Shift::Clean))
        .collect();
    assert_eq!(with(rows, vec![]).causes[0].cause, Cause::Spacer);
}

#[test]
fn over_the_largest_cog_stops_riding_and_looks_at_the_limits_first() {
    let mut rows = vec![row(Shift::Clean, Shift::Clean); 11];
    rows[10] = row(Shift::Over, Shift::Clean);
    let found = with(rows.clone(), vec![]);
    assert_eq!(found.causes[0].cause, Cause::LowLimitOpen);
    assert!(found.stop_riding);
    assert_eq!((&found.advice.step, found.advice.reason), (&Step::Check(Check::Limits), Reason::Danger));
    let seen = with(rows, vec![limits(LimitSeen::Right, LimitSeen::Open)]);
    assert!(seen.stop_riding);
    assert_eq!(seen.advice.step, Step::Cure(vec![Cause::LowLimitOpen]));
}

#[test]
fn only_the_smallest_cog_refused_is_its_limit() {
    let mut rows = vec![row(Shift::Clean, Shift::Clean); 11];
    rows[0] = row(Shift::Clean, Shift::Refuses);
    assert_eq!(with(rows, vec![]).causes[0].cause, Cause::HighLimitTight);
}

#[test]
fn noises_name_their_cause() {
    let with_sound = |gear: usize, sound: Sound| {
        let mut rows = vec![row(Shift::Clean, Shift::Clean); 11];
        rows[gear].sound = Some(sound);
        with(rows, vec![]).causes[0].cause
    };
    assert_eq!(with_sound(10, Sound::Growl), Cause::GapSmall);
    assert_eq!(with_sound(3, Sound::Jump), Cause::WornCog);
    let mut ticking = vec![row(Shift::Clean, Shift::Clean); 11];
    ticking.iter_mut().for_each(|row| row.sound = Some(Sound::Tick));
    assert_eq!(with(ticking, vec![]).causes[0].cause, Cause::StiffLink);
}

#[test]
fn slow_to_larger_with_a_growl_in_the_largest_cog_takes_two_causes() {
    let mut rows = vec![row(Shift::Slow, Shift::Clean); 11];
    rows[10].sound = Some(Sound::Growl);
    rows[9].sound = Some(Sound::Growl);
    let found = with(rows, vec![]);
    assert!(found.rather_two);
    assert_eq!(found.explanations[0].causes, [Cause::Slack, Cause::GapSmall]);
}

#[test]
fn history_moves_the_answer_the_way_it_should() {
    let rows = || vec![row(Shift::Slow, Shift::Clean); 11];
    let probability = |cause: Cause, change: fn(&mut Evidence)| {
        let mut evidence = bike(11);
        evidence.grids.push(grid(rows()));
        change(&mut evidence);
        let found = diagnose(&evidence).unwrap();
        found.causes.iter().find(|one| one.cause == cause).unwrap().probability
    };
    let more = |cause: Cause, change: fn(&mut Evidence)| {
        assert!(probability(cause, change) > probability(cause, |_| {}), "{cause:?}");
    };
    more(Cause::Slack, |bike| bike.history.new_housing = Some(true));
    more(Cause::Hanger, |bike| bike.history.fall = Some(true));
    more(Cause::Spacer, |bike| bike.history.new_wheel = Some(true));
    more(Cause::Play, |bike| bike.history.used_derailleur = Some(true));
    more(Cause::WornCog, |bike| bike.history.new_chain = Some(true));
    more(Cause::Mismatch, |bike| bike.history.marginal_index = Some(true));
    more(Cause::Drag, |bike| bike.history.dragging_run = Some(true));
    more(Cause::Slack, |bike| bike.history.drifted = Some(true));
    more(Cause::Play, |bike| bike.history.worse_on_road = Some(true));
    more(Cause::Drag, |bike| bike.history.changes_with_bars = Some(true));
    more(Cause::StiffLink, |bike| bike.history.since_wet = Some(true));
    more(Cause::Hanger, |bike| bike.seen.push(Seen::Hanger(true)));
    more(Cause::Drag, |bike| bike.seen.push(Seen::Drag(true)));
    more(Cause::GapLarge, |bike| bike.seen.push(Seen::Gap(Gap::Large)));
    more(Cause::Play, |bike| bike.seen.push(Seen::Play(true)));
    more(Cause::StiffLink, |bike| bike.seen.push(Seen::Link(true)));
    more(Cause::WornCog, |bike| bike.seen.push(Seen::Teeth(true)));
    more(Cause::Spacer, |bike| bike.seen.push(Seen::Stack(Some(2))));
    more(Cause::Mismatch, |bike| bike.seen.push(Seen::Anchor(true)));
    more(Cause::Mismatch, |bike| bike.seen.push(Seen::Pull(true)));
}

/// A stand shows nothing of what gives way under load only: what may give way is looked at, then it is sent there, and it
/// is not told that it is done.
#[test]
fn clean_on_the_stand_is_not_done_where_it_was_bad_elsewhere() {
    let end = |change: fn(&mut Evidence)| {
        let mut cured = bike(11);
        cured.grids.push(grid(vec![row(Shift::Slow, Shift::Clean); 11]));
        cured.seen.push(right());
        cured.grids.push(Grid { clicks: 4, ..grid(vec![row(Shift::Clean, Shift::Clean); 11]) });
        change(&mut cured);
        loop {
            let found = diagnose(&cured).unwrap();
            match found.advice.step {
                // Whatever is looked at is sound.
                Step::Check(Check::Play) => cured.seen.push(Seen::Play(false)),
                Step::Check(Check::Teeth) => cured.seen.push(Seen::Teeth(false)),
                Step::Check(Check::Drag) => cured.seen.push(Seen::Drag(false)),
                Step::Check(Check::Hanger) => cured.seen.push(Seen::Hanger(false)),
                step => {
                    assert!(!found.stop_adjusting);
                    return (step, found.advice.reason);
                }
            }
        }
    };
    assert_eq!(end(|_| {}), (Step::Done, Reason::AllClean));
    let road = end(|bike| bike.history.worse_on_road = Some(true));
    assert_eq!(road, (Step::TryIn(Elsewhere::UnderLoad), Reason::CleanHere));
    let bars = end(|bike| bike.history.changes_with_bars = Some(true));
    assert_eq!(bars, (Step::TryIn(Elsewhere::BarsTurned), Reason::CleanHere));
    assert_eq!(end(|bike| bike.history.changes_with_bars = Some(false)).0, Step::Done);
}

#[test]
fn nothing_tried_asks_for_a_grid_and_all_clean_is_done() {
    let found = diagnose(&bike(11)).unwrap();
    assert_eq!((&found.advice.step, found.advice.reason), (&Step::TryGears, Reason::NothingSeen));
    let mut cured = bike(11);
    cured.grids.push(grid(vec![row(Shift::Slow, Shift::Clean); 11]));
    cured.seen.push(right());
    cured.grids.push(Grid { clicks: 4, ..grid(vec![row(Shift::Clean, Shift::Clean); 11]) });
    let found = diagnose(&cured).unwrap();
    assert_eq!((&found.advice.step, found.advice.reason), (&Step::Done, Reason::AllClean));
}

#[test]
fn no_click_before_the_limits_hold() {
    let mut rows = vec![row(Shift::Slow, Shift::Clean); 11];
    for seen in [vec![], vec![Seen::Hanger(false)], vec![limits(LimitSeen::Right, LimitSeen::Open)]] {
        rows[10].to_smaller = None;
        let found = with(rows.clone(), seen.clone());
        assert!(!matches!(found.advice.step, Step::Turn { .. }), "{seen:?}: {:?}", found.advice);
    }
    let set = vec![limits(LimitSeen::Right, LimitSeen::Open), Seen::LimitSet(Limit::Low)];
    let mut evidence = bike(11);
    evidence.grids.push(Grid { low_set: true, ..grid(rows) });
    evidence.seen = set;
    let found = diagnose(&evidence).unwrap();
    assert!(matches!(found.advice.step, Step::Turn { add: true, .. }), "{:?}", found.advice);
}

#[test]
fn probabilities_are_shares_of_one() {
    let found = with(vec![row(Shift::Slow, Shift::Slow); 12], vec![right()]);
    assert!(found.causes.iter().all(|one| (0.0..=1.0).contains(&one.probability)));
    let explained: f64 = found.explanations.iter().map(|one| one.probability).sum();
    assert!(explained <= 1.0 + 1e-9 && explained > 0.8, "{explained}");
    assert!(found.causes.windows(2).all(|pair| pair[0].probability >= pair[1].probability));
}

#[test]
fn what_is_no_evidence_is_refused_with_the_number() {
    let refused = |evidence: Evidence| diagnose(&evidence).unwrap_err();
    assert_eq!(refused(bike(2)), EvidenceError::Gears(2));
    assert!(refused(Evidence { ratio: f64::NAN, ..bike(11) }).to_string().contains("0.05 to 1.5"));
    let mut short = bike(11);
    short.grids.push(grid(vec![GearRow::default(); 10]));
    assert_eq!(refused(short).to_string(), "a grid of 10 rows; 11 are wanted, one a cog");
    let mut far = bike(11);
    far.grids.push(Grid { clicks: 61, ..grid(vec![GearRow::default(); 11]) });
    assert_eq!(refused(far), EvidenceError::Clicks(61));
    let mut none = bike(11);
    none.seen.push(Seen::Stack(Some(12)));
    assert_eq!(refused(none), EvidenceError::NoGear(12));
}

fn drive(pitches: u32, ring: i64, cog: i64) -> Drive {
    let teeth = |count| Teeth::new(count).unwrap();
    Drive { pitches, ring: teeth(ring), cog: teeth(cog), pulley: teeth(11) }
}

/// Printed with the rule: 108 pitches on 50 teeth 2.16, 110 on 34 3.24, 34 x 34 1.0.
#[test]
fn periods_of_a_noise_to_the_digit() {
    let turns = |source, drive| format!("{:.2}", turns_between_ticks(source, drive));
    assert_eq!(turns(Source::ChainLink, drive(108, 50, 25)), "2.16");
    assert_eq!(turns(Source::ChainLink, drive(110, 34, 25)), "3.24");
    assert_eq!(turns(Source::Wheel, drive(110, 34, 34)), "1.00");
    assert_eq!(turns(Source::RingOrCrank, drive(110, 34, 34)), "1.00");
    assert_eq!(turns(Source::PedalsOrArms, drive(110, 34, 34)), "0.50");
    assert_eq!(turns(Source::Pulley, drive(110, 50, 34)), "0.22");
}

/// Taps of a hand that is early and late by up to 40 ms still find the link, and the link alone.
#[test]
fn tapping_along_finds_the_part() {
    let off = [0.03, -0.04, 0.01, 0.04, -0.02, -0.03, 0.02, 0.0, 0.04, -0.01];
    let taps = |every: f64| -> Vec<f64> {
        off.iter().enumerate().map(|(at, off)| 2.0 + at as f64 * every + off).collect()
    };
    let found = period(&taps(0.9), &taps(0.9 * 2.16)).unwrap();
    assert!((found.turns - 2.16).abs() < found.give && found.give < 0.05, "{found:?}");
    let suspects = rank(found.turns, found.give, drive(108, 50, 25));
    assert_eq!(suspects.iter().map(|one| one.source).collect::<Vec<_>>(), [Source::ChainLink]);
}

#[test]
fn taps_without_scatter_give_the_period_whatever_the_clock() {
    for (every, ticks, zero) in [(0.5, 3.24, 0.0), (1.1, 0.22, 1e4), (0.8, 1.0, -3.0)] {
        let at = |step: f64| (0..8).map(|tap| zero + f64::from(tap) * step).collect::<Vec<f64>>();
        let found = period(&at(every), &at(every * ticks)).unwrap();
        assert!((found.turns - ticks).abs() < 1e-6, "{found:?}");
    }
    assert_eq!(period(&[0.0, 1.0], &[0.0, 1.0, 2.0]), Err(TapError::TooFew { kind: "crank", found: 2 }));
    assert_eq!(
        period(&[0.0, 1.0, 2.0], &[0.0, 1.0, 1.0]),
        Err(TapError::NotInOrder { kind: "tick", tap: 3 })
    );
    assert!(period(&[0.0, f64::NAN, 2.0], &[0.0, 1.0, 2.0]).is_err());
}

/// Each symptom of the trade's tables leads to a cause that the table names for it.
#[test]
fn symptoms_of_front_derailleur_and_brakes_lead_where_the_tables_say() {
    use FrontSymptom as F;
    for (symptom, causes) in [
        (F::SlowUp, &[FrontCause::Slack, FrontCause::Family, FrontCause::HighTight][..]),
        (F::OverOutside, &[FrontCause::HighOpen, FrontCause::Height, FrontCause::Yaw]),
        (F::RubsInner, &[FrontCause::LowTight, FrontCause::Tight, FrontCause::Chainline]),
        (F::RubsOuter, &[FrontCause::HighTight, FrontCause::Trim, FrontCause::Slack]),
        (F::RubsTail, &[FrontCause::Yaw, FrontCause::Height, FrontCause::Family]),
        (F::RubsOnceATurn, &[FrontCause::RingRunOut]),
        (F::DropsInward, &[FrontCause::LowOpen, FrontCause::Height, FrontCause::Yaw]),
        (F::HeavyLever, &[FrontCause::CablePath, FrontCause::Family]),
        (F::NotBothRings, &[FrontCause::Family]),
        (F::Touches, &[FrontCause::Chainline, FrontCause::HighOpen, FrontCause::Height]),
    ] {
        let ranked = rank_front(&[symptom], &[]);
        assert!(causes.contains(&ranked[0].0), "{symptom:?}: {ranked:?}");
        assert!((ranked.iter().map(|one| one.1).sum::<f64>() - 1.0).abs() < 1e-9);
    }
    use BrakeSymptom as B;
    for (kind, symptom, causes) in [
        (BrakeKind::Rim, B::LeverToBar, &[BrakeCause::Gap, BrakeCause::Slack][..]),
        (BrakeKind::CableDisc, B::Wooden, &[BrakeCause::Surface, BrakeCause::TooWeak]),
        (BrakeKind::FluidDisc, B::Soft, &[BrakeCause::Air]),
        (BrakeKind::Rim, B::ReturnsSlowly, &[BrakeCause::Drag]),
        (BrakeKind::Rim, B::OnePadTouches, &[BrakeCause::Centring, BrakeCause::WheelSeat]),
        (BrakeKind::Rim, B::Squeals, &[BrakeCause::Toe, BrakeCause::Surface]),
        (BrakeKind::CableDisc, B::Pulses, &[BrakeCause::RunOut]),
        (BrakeKind::Rim, B::Judders, &[BrakeCause::ForkPlay]),
        (BrakeKind::Rim, B::ChangesWithRelease, &[BrakeCause::Release]),
        (BrakeKind::Rim, B::DragsWhenTurned, &[BrakeCause::ShortHousing]),
    ] {
        let ranked = rank_brake(kind, &[symptom], &[]);
        assert!(causes.contains(&ranked[0].0), "{kind:?} {symptom:?}: {ranked:?}");
        assert!(ranked.iter().all(|(cause, _)| cause.is_of(kind)));
    }
}

#[test]
fn an_absent_symptom_speaks_too() {
    let of = |ranked: &[(FrontCause, f64)], cause| ranked.iter().find(|one| one.0 == cause).unwrap().1;
    let plain = rank_front(&[FrontSymptom::SlowUp], &[]);
    let without = rank_front(&[FrontSymptom::SlowUp], &[FrontSymptom::RubsOuter]);
    assert!(of(&without, FrontCause::HighTight) < of(&plain, FrontCause::HighTight));
}

#[test]
fn a_cage_that_travels_less_than_the_gap_and_a_little_is_past_any_screw() {
    assert!(cage_travel_short(Length::mm(8.0), Length::mm(7.3)).to_mm() > 0.7);
    assert!(cage_travel_short(Length::mm(9.0), Length::mm(7.3)).to_mm() < 0.0);
}
