//! The rows of the intake: what a wish needs, what the strip would lose, and what nobody has to measure.

#![expect(clippy::unwrap_used, reason = "a refit that cannot be read stops the test")]

use catalog::{Dimension, Slot};
use fit::{IntakeRow, Need, intake_list};
use intake::{Source, read_refit};

fn rows(choice: &str) -> Vec<IntakeRow> {
    let catalogue = intake::built_in().unwrap();
    let text = format!("name = 'x'\n[choice]\n{choice}\n");
    let refit = read_refit(Source { name: "x.toml", text: &text }, &catalogue).unwrap();
    intake_list(&fit::plan(&refit, &catalogue))
}

fn dimensions(rows: &[IntakeRow], is: impl Fn(&Need) -> bool) -> Vec<Dimension> {
    rows.iter().filter(|row| is(&row.need)).map(|row| row.dimension).collect()
}

/// Common practice counts about 18 rows of a paper form for this job; some of them hold two of these rows.
#[test]
fn a_bars_only_refit_asks_for_its_interfaces_and_records_what_the_strip_loses() {
    let rows = rows("bar = 'bar-drop-31.8-reach-80'");
    let wanted = dimensions(&rows, |need| matches!(need, Need::Wanted(_)));
    for dimension in [Dimension::StemClamp, Dimension::LeverClamp, Dimension::BarReach, Dimension::HoodReach]
    {
        assert!(wanted.contains(&dimension), "{dimension:?}");
    }
    let recorded = dimensions(&rows, |need| matches!(need, Need::Record(_)));
    for dimension in [
        Dimension::SaddleHoods,
        Dimension::HoodFloors,
        Dimension::BarTilt,
        Dimension::LeverTilt,
        Dimension::OldBrakePiece,
        Dimension::HeadsetPlay,
        Dimension::BarThings,
        Dimension::FrontBrakeLever,
    ] {
        assert!(recorded.contains(&dimension), "{dimension:?}");
    }
    let matter = wanted.len() + recorded.len();
    assert!((18..=25).contains(&matter), "{matter} rows");
    assert!(rows.len() > 200, "the others are put back with a reason");
}

#[test]
fn a_kept_crank_never_asks_for_the_shell() {
    let shell = [
        Dimension::ShellWidth,
        Dimension::ShellBore,
        Dimension::ShellInside,
        Dimension::BoreMost,
        Dimension::BoreLeast,
        Dimension::DriveCup,
        Dimension::CupThread,
        Dimension::BearingSpindle,
        Dimension::BracketMoves,
    ];
    for choice in [
        "bar = 'bar-drop-31.8-reach-80'",
        "cassette = 'cassette-11-road-11-32'\nchain = 'chain-11'",
        "levers = 'levers-road-11-pull-2.7'",
        "rear_derailleur = 'rd-road-11-ratio-1.4-medium'",
        "rear_wheel = 'wheel-rear-130-body-36.75'",
        "tape = 'tape-2100'",
    ] {
        let rows = rows(choice);
        let asked = dimensions(&rows, |need| !matches!(need, Need::Idle(_)));
        for dimension in shell {
            assert!(!asked.contains(&dimension), "{choice} asks for {dimension:?}");
        }
    }
    // The other way round it does, or the test above would say nothing.
    let asked = dimensions(&rows("bottom_bracket = { name = 'x' }"), |need| matches!(need, Need::Wanted(_)));
    assert!(asked.contains(&Dimension::ShellWidth));
}

#[test]
fn a_record_never_stands_for_a_row_that_a_verdict_waits_for() {
    for choice in [
        "bar = 'bar-drop-31.8-reach-80'",
        "stem = 'stem-31.8-110-minus-17'",
        "levers = 'levers-road-11-pull-2.7'",
    ] {
        let catalogue = intake::built_in().unwrap();
        let text = format!("name = 'x'\n[choice]\n{choice}\n");
        let refit = read_refit(Source { name: "x.toml", text: &text }, &catalogue).unwrap();
        let plan = fit::plan(&refit, &catalogue);
        for row in intake_list(&plan).iter().filter(|row| matches!(row.need, Need::Record(_))) {
            let waits = |w: &&fit::ToMeasure| {
                w.dimension == row.dimension && w.slot == row.slot && w.origin == fit::Origin::Found
            };
            assert!(!plan.to_measure.iter().any(|w| waits(&w)), "{:?}", row.dimension);
        }
    }
}

#[test]
fn what_no_job_takes_off_is_not_recorded() {
    let rows = rows("cassette = 'cassette-11-road-11-32'");
    assert!(dimensions(&rows, |need| matches!(need, Need::Record(_))).is_empty());
    assert!(rows.iter().any(|row| row.slot == Slot::Bar && matches!(row.need, Need::Idle(_))));
}
