//! The tables against the laws that they must obey and the figures printed beside them.

use catalog::standards::body::{self, Behind, Body, Stack};
use catalog::standards::{
    Confidence, bolt_circle, chain_width, cog_spacing, shell_thread, shift_family, wheel_size,
};
use quantity::Length;

/// The misprints of the crib sheet: circle and printed distance between neighbours, five holes each.
const MISPRINTS: [(f64, f64); 3] = [(135.0, 79.5), (94.0, 55.4), (58.0, 34.3)];

/// Printed to 0.1 mm in the workshop crib sheet (confidence A); law: chord of a circle.
#[test]
fn printed_hole_distances_are_chords_of_the_bolt_circle() {
    let mut compared = 0;
    for row in bolt_circle::TABLE {
        let Some(printed) = row.printed_neighbour else { continue };
        let off_mm = (row.neighbour() - printed).to_mm().abs();
        let misprint = MISPRINTS.contains(&(row.circle.to_mm(), printed.to_mm()));
        assert_eq!(off_mm > 0.1, misprint, "{} holes on {}: off by {off_mm:.2} mm", row.holes, row.circle);
        compared += 1;
    }
    assert!(compared >= 19, "{compared}");
}

/// Six figures of the crib sheet as they are printed: 130, 110, 144, 74 with five holes, 104, 64 with four.
#[test]
fn crib_sheet_hole_distances() {
    for (holes, circle_mm, printed_mm) in [
        (5, 130.0, 76.4),
        (5, 110.0, 64.7),
        (5, 144.0, 84.6),
        (5, 74.0, 43.5),
        (4, 104.0, 73.6),
        (4, 64.0, 45.3),
    ] {
        let found: Vec<_> = bolt_circle::near(holes, Length::mm(printed_mm), Length::mm(0.1)).collect();
        assert!(
            !found.is_empty() && found.iter().all(|row| row.circle == Length::mm(circle_mm)),
            "{circle_mm}"
        );
    }
}

/// The true chords of the three misprints: 79.35, 55.25, 34.09 mm (135, 94, 58 times sin 36°).
#[test]
fn misprinted_distances_are_given_right() {
    for ((circle_mm, _), true_mm) in MISPRINTS.into_iter().zip([79.35, 55.25, 34.09]) {
        let row = bolt_circle::TABLE
            .iter()
            .find(|row| row.holes == 5 && row.circle == Length::mm(circle_mm))
            .unwrap();
        assert!((row.neighbour().to_mm() - true_mm).abs() < 0.005);
    }
}

/// Pitch radius of the smallest ring less the bolt circle's radius: 10.6 to 15.9 mm for all pairs of
/// confidence A (arithmetic on the crib sheet). Pitch radius of roller chain: p / (2 sin(π/N)), Mott, *Machine Elements
/// in Mechanical Design*, 4th ed., section 7-6.
#[test]
fn smallest_rings_clear_their_bolts() {
    for row in bolt_circle::TABLE {
        let Some(teeth) = row.smallest_ring else { continue };
        let radius_mm = 6.35 / (std::f64::consts::PI / f64::from(teeth)).sin();
        let clear_mm = radius_mm - row.circle.to_mm() / 2.0;
        if row.source.confidence == Confidence::A {
            assert!((10.6..=15.95).contains(&clear_mm), "{teeth} teeth on {}: {clear_mm:.2}", row.circle);
        }
    }
}

/// Printed chart for cycle computers (confidence B) against π(bead seat + 2 widths), within 1.5 %.
#[test]
fn rolling_chart_is_the_circle_over_the_tyre() {
    assert_eq!(wheel_size::CHART.len(), 20);
    for row in wheel_size::CHART {
        let circle = (row.bead_seat + row.width * 2.0) * std::f64::consts::PI;
        let off = (circle - row.circumference).to_mm().abs() / row.circumference.to_mm();
        assert!(off <= wheel_size::CHART_BAND, "{} on {}: {:.2} %", row.width, row.bead_seat, off * 100.0);
    }
}

/// 25-622 is printed as 2105 mm in the chart and as 2124 mm in a handbook.
#[test]
fn disagreeing_rollouts_stand_side_by_side() {
    let found: Vec<f64> = wheel_size::rolled(Length::mm(25.0), Length::mm(622.0))
        .map(|row| row.circumference.to_mm())
        .collect();
    assert_eq!(found, [2105.0, 2124.0]);
}

/// Reach grows by half the difference of the bead seats: 630 to 622 is printed as 4.0 mm in a crib sheet.
#[test]
fn rim_sizes_are_those_of_iso_5775() {
    for (name, bead_seat_mm) in
        [("700C, 29 in", 622.0), ("27 in", 630.0), ("650C", 571.0), ("650B, 27.5 in", 584.0)]
    {
        assert_eq!(wheel_size::named(Length::mm(bead_seat_mm)).map(|row| row.name), Some(name));
    }
    assert_eq!(wheel_size::named(Length::mm(600.0)), None);
    let bead_seat = |name| wheel_size::TABLE.iter().find(|row| row.name == name).unwrap().bead_seat;
    assert_eq!((bead_seat("27 in") - bead_seat("700C, 29 in")).to_mm() / 2.0, 4.0);
}

/// Printed stack widths (reprinted crib sheet, confidence B): 29.5, 32 to 33, 35.4, 36.5, 37.2 (37.15 by its author).
#[test]
fn printed_stack_widths_are_pitches_and_one_cog() {
    let mut compared = 0;
    for row in cog_spacing::TABLE {
        let (Some((least, most)), Some(stack)) = (row.printed_stack, row.stack()) else { continue };
        // Half of the last printed digit, and the 7-speed print is rounded to whole millimetres.
        let slack_mm = if row.speeds == 7 { 0.5 } else { 0.105 };
        assert!(
            least.to_mm() - slack_mm <= stack.to_mm() && stack.to_mm() <= most.to_mm() + slack_mm,
            "{row:?}"
        );
        compared += 1;
    }
    assert_eq!(compared, 6);
}

/// A pitch is a cog and a spacer, wherever a source gives both.
#[test]
fn pitch_is_a_cog_and_a_spacer() {
    for row in cog_spacing::TABLE {
        let (Some(cog), Some(spacer)) = (row.cog, row.spacer) else { continue };
        // 0.05 mm is the widest rounding of a printed spacer; the 3.69 mm reading has one to 0.1 mm.
        assert!((cog + spacer - row.pitch).to_mm().abs() <= 0.0501, "{row:?}");
    }
}

/// 10-speed chainline example: the smallest cog 61.2 mm out, 9 pitches inwards 25.65 mm (amateur's page,
/// confidence B; closes exactly).
#[test]
fn ten_speed_chainline_example_closes() {
    let pitch = cog_spacing::readings(10).find(|row| row.family.is_empty()).unwrap().pitch;
    assert!((61.2 - 9.0 * pitch.to_mm() - 25.65).abs() < 1e-9);
}

/// Basic minor diameter of a 60 degree thread: D − 1.082532 P (ISO 68-1, ISO 724). Printed to 0.01 mm.
#[test]
fn basic_minor_diameters_are_those_of_iso_724() {
    let mut compared = 0;
    for row in shell_thread::TABLE {
        let Some(printed) = row.basic_minor else { continue };
        let minor_mm = row.diameter.to_mm() - 1.082_532 * row.pitch.to_mm();
        assert!((minor_mm - printed.to_mm()).abs() < 0.006, "{}: {minor_mm:.3}", row.name);
        compared += 1;
    }
    assert_eq!(compared, 6);
}

/// 1.370 in = 34.798 mm, 24 per inch = 1.0583 mm; 1.375 in = 34.925 mm (crib sheets, confidence A).
#[test]
fn inch_threads_in_millimetres() {
    let row = &shell_thread::TABLE[0];
    assert!((row.diameter.to_mm() - 34.798).abs() < 5e-4 && (row.pitch.to_mm() - 1.0583).abs() < 5e-5);
    assert!((shell_thread::TABLE[1].diameter.to_mm() - 34.925).abs() < 5e-4);
}

/// Both shells measure 33.6 to 33.9 mm: the bore must not be able to tell them apart.
#[test]
fn the_bore_does_not_tell_inch_from_35_mm() {
    let bore = |name| shell_thread::TABLE.iter().find(|row| row.name == name).unwrap().bore;
    assert_eq!(bore("1.37 in x 24"), bore("35 mm x 1, both cups right-hand"));
}

/// The hand of the 47 mm thread is disputed: both readings are kept.
#[test]
fn both_hands_of_the_47_mm_thread_are_kept() {
    let rows: Vec<_> = shell_thread::readings(catalog::ShellThread::Mm47).collect();
    assert_eq!(rows.len(), 2);
    assert_ne!(rows[0].drive_cup, rows[1].drive_cup);
}

/// Two sources print the difference of 1.85 mm and the spacer that makes it good (confidence A).
#[test]
fn the_11_speed_body_is_longer_by_its_spacer() {
    let lengths = |body| body::TABLE.iter().find(|row| row.body == Some(body)).unwrap().lengths;
    let difference = lengths(Body::Shallow37)[1] - lengths(Body::Shallow35)[0];
    assert!((difference - body::LONGER_BY).to_mm().abs() < 1e-9);
    // The readings differ by 0.1 mm within a body; every pair of readings stays within 0.15 mm of the difference.
    for long in lengths(Body::Shallow37) {
        for short in lengths(Body::Shallow35) {
            assert!((*long - *short - body::LONGER_BY).to_mm().abs() <= 0.1501);
        }
    }
}

/// Wherever a cassette goes on both, the longer body takes 1.85 mm more (7-speed prints are rounded).
#[test]
fn the_longer_body_takes_one_spacer_more() {
    for stack in [Stack::EightNine, Stack::TenThin, Stack::Ten, Stack::ElevenRoadOverhung, Stack::ElevenWide]
    {
        let (Some(Behind::Spacer(short, _)), Some(Behind::Spacer(long, _))) =
            (body::behind(stack, Body::Shallow35), body::behind(stack, Body::Shallow37))
        else {
            panic!("{stack:?}");
        };
        assert!((long - short - body::LONGER_BY).to_mm().abs() < 1e-9, "{stack:?}");
    }
}

#[test]
fn eleven_road_cogs_never_go_on_the_short_body() {
    assert_eq!(body::behind(Stack::ElevenRoad, Body::Shallow35), Some(Behind::Never));
    assert!(
        matches!(body::behind(Stack::ElevenRoad, Body::Shallow37), Some(Behind::Spacer(s, _)) if s.to_mm() == 0.0)
    );
}

#[test]
fn the_spacer_table_has_each_pair_once() {
    let mut pairs: Vec<_> = body::SPACERS.iter().map(|line| (line.0, line.1)).collect();
    pairs.sort_unstable();
    pairs.dedup();
    assert_eq!((pairs.len(), body::SPACERS.len()), (32, 32));
}

/// A service note (stored copy, confidence B): chains for 7 and 8 cogs are too wide for 9, a chain for 9 runs on 8.
/// Clearance of a chain centred on a cog: pitch − chain/2 − cog/2.
#[test]
fn chain_widths_agree_with_what_runs_on_what() {
    let clear_mm = |chain: u32, cogs: u32| {
        let row = cog_spacing::readings(cogs).next().unwrap();
        let chain = chain_width::readings(chain).next().unwrap();
        let middle_mm = (chain.least.to_mm() + chain.most.to_mm()) / 2.0;
        row.pitch.to_mm() - middle_mm / 2.0 - row.cog.unwrap().to_mm() / 2.0
    };
    assert!(clear_mm(8, 9) < 0.0 && clear_mm(7, 9) < 0.0);
    assert!(clear_mm(9, 8) > 0.0);
    for speeds in 8..=11 {
        assert!(clear_mm(speeds, speeds) > 0.0, "{speeds}");
    }
}

/// 3/32 in = 2.38 mm, 11/128 in = 2.18 mm (reprinted table, confidence B).
#[test]
fn inner_widths_in_millimetres() {
    assert!((chain_width::INNER_5_TO_8.to_mm() - 2.38).abs() < 0.005);
    assert!((chain_width::INNER_9_TO_12.to_mm() - 2.18).abs() < 0.005);
}

/// Pull times ratio equals the pitch (an open textbook on gear-changing dimensions): every pitch lies within the
/// rounding of the printed digits, and within 3 % but for three named readings.
#[test]
fn pull_times_ratio_is_the_pitch() {
    let mut outside = Vec::new();
    for row in shift_family::TABLE {
        let (Some(step), Some(ratio)) = (row.step(), row.ratio) else { continue };
        let (pull_mm, half) = (row.pull.to_mm(), shift_family::HALF_DIGIT);
        let least_mm = (pull_mm - half) * (ratio.to_f64() - half);
        let most_mm = (pull_mm + half) * (ratio.to_f64() + half);
        for pitch in row.pitches {
            assert!(least_mm <= pitch.to_mm() && pitch.to_mm() <= most_mm, "{} {}", row.speeds, row.name);
            if (step - *pitch).to_mm().abs() / pitch.to_mm() > shift_family::WORKING_BAND {
                outside.push((row.speeds, row.name, pitch.to_mm()));
            }
        }
    }
    let mean_pull = "uneven pull, mean of 2.5 x 5, 3.0 x 2, 3.5 x 2";
    assert_eq!(outside, [(7, "ratio 1.7", 5.1), (10, "ratio 1.2, flat bar", 3.95), (10, mean_pull, 4.12)]);
}

/// Printed products: 3.4 x 1.2 = 4.08 (comparison table), 3.5 x 1.4 = 4.9 (shop page).
#[test]
fn printed_steps() {
    let step_mm = |speeds, name| {
        shift_family::families(speeds).find(|row| row.name == name).unwrap().step().unwrap().to_mm()
    };
    assert!((step_mm(10, "ratio 1.2, flat bar") - 4.08).abs() < 0.005);
    assert!((step_mm(8, "uneven pull") - 4.9).abs() < 0.05);
}

/// Known bad mixes miss the pitch by far more than the rounding: an 11-speed road lever on ratio 1.7 gains
/// 0.85 mm a click, 22.7 % of 3.74 mm (arithmetic).
#[test]
fn a_bad_mix_stands_out_of_the_rounding() {
    let pull = shift_family::families(11).find(|row| row.name == "ratio 1.4, road").unwrap().pull;
    let old_ratio = shift_family::families(9).find(|row| row.name == "ratio 1.7").unwrap().ratio.unwrap();
    let excess_mm = pull.to_mm() * old_ratio.to_f64() - 3.74;
    assert!((excess_mm - 0.85).abs() < 0.005 && excess_mm / 3.74 > 5.0 * shift_family::WORKING_BAND);
}

/// The dial-gauge readings add up to 27.25 and 29.9 mm; their author printed 27.3 and 29.8.
#[test]
fn uneven_pulls_add_up_to_the_printed_totals() {
    let sum_mm = |pulls: &[Length]| pulls.iter().map(|pull| pull.to_mm()).sum::<f64>();
    assert!((sum_mm(&shift_family::UNEVEN_PULLS_EARLY) - 27.3).abs() < 0.051);
    assert!((sum_mm(&shift_family::UNEVEN_PULLS_LATE) - 29.8).abs() < 0.101);
}

#[test]
fn every_row_names_its_source() {
    let words = (wheel_size::TABLE.iter().map(|r| r.source.words))
        .chain(wheel_size::CHART.iter().map(|r| r.source.words))
        .chain(bolt_circle::TABLE.iter().map(|r| r.source.words))
        .chain(shell_thread::TABLE.iter().map(|r| r.source.words))
        .chain(body::TABLE.iter().map(|r| r.source.words))
        .chain(cog_spacing::TABLE.iter().map(|r| r.source.words))
        .chain(chain_width::TABLE.iter().map(|r| r.source.words))
        .chain(shift_family::TABLE.iter().map(|r| r.source.words));
    assert!(words.clone().count() > 90 && words.into_iter().all(|w| !w.is_empty()));
}
