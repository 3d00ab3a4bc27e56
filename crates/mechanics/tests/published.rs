//! Laws against figures in print: one test for each example, named by it, its source beside it.
//!
//! The tolerance is half of the last printed digit. `printed` counts; `derived` does not: it holds figures that
//! follow from printed or practice inputs and were worked out a second time by another program.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::{
    ShellThread, brakes, cable, cassette, chain, chainline, derailleur, gears, indexing, spoke, tape,
};
use quantity::{Angle, Force, Length, Mass, Pitches, Teeth, Torque};
use std::cell::Cell;
use std::f64::consts::PI;

/// Published figures checked here. It only goes up.
const PUBLISHED_CASES: usize = 124;

thread_local! { static COUNTED: Cell<usize> = const { Cell::new(0) }; }

/// A figure in print: `half` is half of its last digit, or the scatter its source states.
#[track_caller]
fn printed(found: f64, figure: f64, half: f64) {
    COUNTED.set(COUNTED.get() + 1);
    derived(found, figure, half);
}

/// A figure that is not in print but follows from what is.
#[track_caller]
fn derived(found: f64, figure: f64, half: f64) {
    // The last term is rounding of f64 only: a figure may lie on the very edge.
    assert!((found - figure).abs() <= half + 1e-9, "found {found}, wanted {figure} ± {half}");
}

fn teeth(count: i64) -> Teeth {
    Teeth::new(count).unwrap()
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

#[test]
fn the_count_of_published_cases_only_goes_up() {
    COUNTED.set(0);
    for test in ALL {
        test();
    }
    assert_eq!(COUNTED.get(), PUBLISHED_CASES);
}

const ALL: &[fn()] = &[
    pitch_diameter_table,
    mott_example_7_3,
    mott_example_7_3_with_104_pitches,
    machine_elements_21_and_81_teeth,
    roller_chain_63_and_20_teeth,
    machine_design_example_21_2,
    mott_belt_of_chapter_7,
    capacity_examples,
    one_ratio_from_two_pairs,
    gear_inches_of_single_gears,
    gear_inch_table_27,
    gear_inches_beside_development,
    gear_39_26_at_60_a_minute,
    two_metres_at_three_cadences,
    gain_ratio_of_680_mm_and_170_mm,
    development_of_the_us_bicycle_rule,
    rolling_circumference_chart,
    stack_widths,
    chain_line_of_ten_cogs,
    printed_steps,
    sums_of_measured_pulls,
    belt_friction_table,
    a_spoke_of_36,
    a_spoke_angle_of_32,
    a_rim_under_36_spokes,
];

/// A table of pitch diameters of roller-chain wheels, 1-inch pitch, mm; a web table of 8 to 152 teeth. Ours have
/// half the pitch.
#[test]
fn pitch_diameter_table() {
    let rows = [
        (8, 66.37),
        (9, 74.26),
        (10, 82.20),
        (11, 90.16),
        (12, 98.14),
        (13, 106.14),
        (14, 114.15),
        (15, 122.17),
        (16, 130.20),
        (17, 138.23),
        (18, 146.27),
        (19, 154.32),
        (20, 162.37),
        (21, 170.42),
        (22, 178.48),
        (23, 186.54),
        (24, 194.60),
        (25, 202.66),
        (26, 210.72),
        (27, 218.79),
        (28, 226.86),
        (29, 234.93),
        (30, 243.00),
        (31, 251.07),
        (32, 259.14),
        (33, 267.21),
        (34, 275.28),
        (35, 283.36),
        (36, 291.43),
        (37, 299.51),
        (38, 307.58),
        (39, 315.66),
        (40, 323.74),
        (41, 331.81),
        (42, 339.89),
        (43, 347.97),
        (44, 356.05),
        (45, 364.12),
        (46, 372.20),
        (47, 380.28),
        (48, 388.36),
        (49, 396.44),
        (50, 404.52),
        (51, 412.60),
        (52, 420.68),
        (53, 428.76),
        (54, 436.84),
        (56, 453.00),
    ];
    for (count, diameter_mm) in rows {
        printed(chain::pitch_radius(teeth(count)).to_mm() * 4.0, diameter_mm, 0.005);
    }
}

/// R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., Example 7-3, p. 295: pitch 0.500 in, 17 and 65
/// teeth, centres 30 pitches.
#[test]
fn mott_example_7_3() {
    printed(chain::pitch_radius(teeth(17)).to_inches() * 2.0, 2.721, 0.0005);
    printed(chain::pitch_radius(teeth(65)).to_inches() * 2.0, 10.349, 0.0005);
    let centres = mm(Pitches::new(30.0).to_mm());
    printed(chain::need_handbook(teeth(65), teeth(17), centres).unwrap().to_f64(), 102.9, 0.05);
    // The polygon form of the same drive.
    derived(chain::need(teeth(65), teeth(17), centres).unwrap().to_f64(), 102.9561, 0.00005);
}

/// The same example, p. 295, with the chain taken as 104 pitches: centres 30.54 pitches, 15.272 in.
#[test]
fn mott_example_7_3_with_104_pitches() {
    let centres = chain::handbook_centres(65.0, 17.0, Pitches::new(104.0)).unwrap();
    printed(centres.to_f64(), 30.54, 0.005);
    printed(mm(centres.to_mm()).to_inches(), 15.272, 0.0005);
}

/// *Analysis and Design of Machine Elements* (Wiley), p. 162 and eq. 7.29: pitch 25.4 mm, 21 and 81 teeth, centres
/// 40 pitches; 133.3 pitches, 134 taken, centres 1025.4 mm.
#[test]
fn machine_elements_21_and_81_teeth() {
    let length = chain::handbook_pitches(81.0, 21.0, Pitches::new(40.0));
    printed(length.to_f64(), 133.3, 0.05);
    printed(f64::from(length.next_even()), 134.0, 0.0);
    let centres = chain::handbook_centres(81.0, 21.0, Pitches::new(134.0)).unwrap();
    printed(centres.to_f64() * 25.4, 1025.4, 0.05);
}

/// A paper on roller-chain design quoting a handbook example: 20 and 63 teeth, 114.8 pitches; with 114 pitches the
/// centres are 35.6. The centres of the first figure (36 pitches) are inferred.
#[test]
fn roller_chain_63_and_20_teeth() {
    let centres = mm(Pitches::new(36.0).to_mm());
    printed(chain::need_handbook(teeth(63), teeth(20), centres).unwrap().to_f64(), 114.8, 0.05);
    let centres = chain::handbook_centres(63.0, 20.0, Pitches::new(114.0)).unwrap();
    printed(centres.to_f64(), 35.6, 0.05);
    let exact = mm(Pitches::new(36.0).to_mm());
    derived(chain::need(teeth(63), teeth(20), exact).unwrap().to_f64(), 114.8050, 0.00005);
}

/// Khurmi and Gupta, *Machine Design*, Example 21.2, quoted from memory and recomputed: pitch 19.05 mm, 25 and 72
/// teeth, centres 567.5 mm; 110 links, 2095.5 mm. From memory, so not counted.
#[test]
fn machine_design_example_21_2() {
    let length = chain::handbook_pitches(72.0, 25.0, Pitches::new(567.5 / 19.05));
    derived(f64::from(length.next_even()), 110.0, 0.0);
    derived(f64::from(length.next_even()) * 19.05, 2095.5, 0.05);
}

/// Mott, as above, ch. 7: belt on pitch diameters 5.25 and 13.95 in, centres 24 in; angle 10.44°, half of the span
/// line 23.6 in.
#[test]
fn mott_belt_of_chapter_7() {
    let (large, small, centres) =
        (Length::inches(13.95 / 2.0), Length::inches(5.25 / 2.0), Length::inches(24.0));
    let slope = chain::span_slope(large, small, centres).unwrap();
    printed(slope.to_rad().sin(), 0.18125, 0.000_005);
    printed(slope.to_deg(), 10.44, 0.005);
    printed(centres.to_inches() * slope.to_rad().cos(), 23.6, 0.05);
    derived(chain::open_belt(large, small, centres).unwrap().to_inches(), 78.9499, 0.00005);
}

/// Chain-wrap capacity: a retail glossary, a forum and two web pages.
#[test]
fn capacity_examples() {
    let all = |counts: &[i64]| counts.iter().map(|count| teeth(*count)).collect::<Vec<_>>();
    let needed = |rings: &[i64], cogs: &[i64]| f64::from(chain::capacity_needed(&all(rings), &all(cogs)));
    printed(needed(&[53, 39], &[12, 23]), 25.0, 0.0);
    printed(needed(&[53, 39], &[11, 28]), 31.0, 0.0);
    printed(needed(&[44, 32, 24], &[12, 34]), 42.0, 0.0);
    printed(needed(&[50, 34], &[12, 25]), 29.0, 0.0);
}

/// An article on gain ratios: 53/19 and 39/14 are both 2.79.
#[test]
fn one_ratio_from_two_pairs() {
    printed(gears::ratio(teeth(53), teeth(19)), 2.79, 0.005);
    printed(gears::ratio(teeth(39), teeth(14)), 2.79, 0.005);
}

/// Single gears on a 27-inch wheel. 52/13, 52/26, 53/12, 39/23: a forum; 40/20: *Complete Bicycle Fitness Book*;
/// 53/17: a touring article; 52/11: a workshop's page.
#[test]
fn gear_inches_of_single_gears() {
    for (ring, cog, inches, half) in [
        (52, 13, 108.0, 0.5),
        (52, 26, 54.0, 0.5),
        (40, 20, 54.0, 0.5),
        (53, 17, 84.2, 0.05),
        (53, 12, 119.3, 0.05),
        (39, 23, 45.8, 0.05),
        (52, 11, 127.6, 0.05),
    ] {
        printed(gears::gear_inches(teeth(ring), teeth(cog), Length::inches(27.0)), inches, half);
    }
}

/// A printed gear table for a 27-inch wheel, whole inches: rings 28, 38, 48.
#[test]
fn gear_inch_table_27() {
    for (cog, row) in [(11, [69.0, 93.0, 118.0]), (15, [50.0, 68.0, 86.0]), (25, [30.0, 41.0, 52.0])] {
        for (ring, inches) in [28, 38, 48].into_iter().zip(row) {
            printed(gears::gear_inches(teeth(ring), teeth(cog), Length::inches(27.0)), inches, 0.5);
        }
    }
}

/// A mailing list: gear inches of 12.5, 25, 50, 100 are 1, 2, 4, 8 m. A rule of thumb, true within 0.3 %.
#[test]
fn gear_inches_beside_development() {
    for (inches, metres) in [(12.5, 1.0), (25.0, 2.0), (50.0, 4.0), (100.0, 8.0)] {
        // A ratio of 1 and a wheel of that many inches.
        let rollout = Length::inches(inches) * PI;
        printed(gears::development_m(teeth(20), teeth(20), rollout), metres, 0.003 * metres);
    }
}

/// An article on a county's web pages: 39/26 on 27 in is 40.5 in, 127.23 in a turn, 7.22 mph at 60 a minute. The
/// article takes 3.1415 for π and cuts the speed instead of rounding it.
#[test]
fn gear_39_26_at_60_a_minute() {
    let (ring, cog, wheel) = (teeth(39), teeth(26), Length::inches(27.0));
    printed(gears::gear_inches(ring, cog, wheel), 40.5, 0.05);
    let development_m = gears::development_m(ring, cog, wheel * PI);
    printed(development_m / 0.0254, 127.23, 0.005);
    printed(gears::speed_km_h(development_m, 60.0) / 1.609344, 7.225, 0.005);
}

/// Gear pages on the web: a development of 2 m gives 6, 9 and 12 km/h at 50, 75 and 100 a minute.
#[test]
fn two_metres_at_three_cadences() {
    for (cadence, speed) in [(50.0, 6.0), (75.0, 9.0), (100.0, 12.0)] {
        printed(gears::speed_km_h(2.0, cadence), speed, 1e-12);
    }
}

/// The article on gain ratios, its example quoted from memory and recomputed: wheel 680 mm, crank 170 mm, 53/19
/// gives 5.58. From memory, so not counted.
#[test]
fn gain_ratio_of_680_mm_and_170_mm() {
    derived(gears::gain_ratio(teeth(53), teeth(19), mm(340.0), mm(170.0)), 5.58, 0.005);
}

/// US 16 CFR 1512.5, footnote 3: 6.67 m of development. That it stands for 15 mph (24 km/h) at 60 turns a minute is
/// from memory, so not counted.
#[test]
fn development_of_the_us_bicycle_rule() {
    derived(gears::speed_km_h(6.67, 60.0), 24.0, 0.5);
}

/// The chart of rolling circumferences that is printed for bicycle computers, sizes by ISO 5775. Chart values, not
/// measurements: riders measured up to 1.5 % either way.
#[test]
fn rolling_circumference_chart() {
    for (width, chart_mm) in [
        (18.0, 2070.0),
        (19.0, 2080.0),
        (20.0, 2086.0),
        (23.0, 2096.0),
        (25.0, 2105.0),
        (28.0, 2136.0),
        (30.0, 2146.0),
        (32.0, 2155.0),
        (35.0, 2168.0),
        (38.0, 2180.0),
        (40.0, 2200.0),
        (45.0, 2242.0),
        (47.0, 2268.0),
    ] {
        printed(gears::rollout(mm(622.0), mm(width)).to_mm(), chart_mm, 0.015 * chart_mm);
    }
}

/// A crib sheet of cog spacings quoted on a web page: widths over 6, 8, 9 and 10 cogs.
#[test]
fn stack_widths() {
    for (cogs, pitch, thickness, width) in
        [(6, 5.5, 2.0, 29.5), (8, 4.8, 1.8, 35.4), (9, 4.34, 1.78, 36.5), (10, 3.95, 1.6, 37.2)]
    {
        printed(cassette::stack_width(mm(pitch), mm(thickness), cogs).to_mm(), width, 0.05);
    }
    // Eleven cogs 3.74 mm apart: worked out, the pitch is common practice.
    derived(cassette::stack_width(mm(3.74), mm(1.6), 11).to_mm(), 39.0, 0.05);
}

/// A web page on chain lines: ten cogs on a 130 mm hub, the smallest 61.2 mm from the middle, the largest 25.65.
#[test]
fn chain_line_of_ten_cogs() {
    let positions = chainline::cog_positions(mm(130.0), mm(3.0), mm(1.6), &[mm(3.95); 9]);
    printed(positions[0].to_mm(), 61.2, 0.05);
    printed(positions[9].to_mm(), 25.65, 0.005);
}

/// Products of pull and ratio as printed on three web pages: 3.4 x 1.2, 3.4 x 1.1, 3.5 x 1.4, 2.6 x 1.4.
#[test]
fn printed_steps() {
    for (pull, ratio, product, half) in
        [(3.4, 1.2, 4.08, 0.005), (3.4, 1.1, 3.74, 0.005), (3.5, 1.4, 4.9, 0.05), (2.6, 1.4, 3.64, 0.005)]
    {
        printed(indexing::step(mm(pull), ratio).to_mm(), product, half);
    }
}

/// Pulls of two shifters click by click. Ten clicks with a dial gauge, an amateur's rig: total 27.3; nine clicks in a
/// magazine: total 25.5.
#[test]
fn sums_of_measured_pulls() {
    for (pulls, total, half) in [
        (&[3.35, 2.5, 2.5, 2.2, 2.2, 2.6, 2.6, 2.9, 2.9, 3.5][..], 27.3, 0.05),
        (&[2.5, 2.5, 2.5, 2.5, 2.5, 3.0, 3.0, 3.5, 3.5][..], 25.5, 0.05),
    ] {
        let pulls: Vec<Length> = pulls.iter().map(|pull| mm(*pull)).collect();
        let landed = indexing::landings(&pulls, 1.0, &[]);
        printed(landed[pulls.len()].position_mm, total, half);
    }
}

/// An encyclopaedia's table of belt friction: one turn at 0.1 and 0.2, five turns at 0.6.
#[test]
fn belt_friction_table() {
    printed(cable::tension_ratio(0.1, Angle::deg(360.0)), 1.9, 0.05);
    printed(cable::tension_ratio(0.2, Angle::deg(360.0)), 3.5, 0.05);
    printed(cable::tension_ratio(0.6, Angle::deg(1800.0)), 153_552_935.0, 0.5);
}

fn crossed_three_times(spokes_a_side: u32) -> spoke::Run {
    spoke::Run {
        flange_offset: mm(39.0),
        hole_circle: mm(58.0),
        rim_diameter: mm(555.0),
        hole: mm(2.6),
        spokes_a_side,
        crossings: 3,
    }
}

/// A wheel builder's page: 36 spokes crossed three times, holes of 2.6 mm on a radius of 29 mm, flange 39 mm from the
/// middle, rim 555 mm: 265.8 mm.
#[test]
fn a_spoke_of_36() {
    printed(spoke::length(crossed_three_times(18)).unwrap().to_mm(), 265.8, 0.05);
}

/// The same page, 32 spokes crossed three times: twice the cosine is 0.765.
#[test]
fn a_spoke_angle_of_32() {
    printed(2.0 * crossed_three_times(16).angle().unwrap().to_rad().cos(), 0.765, 0.0005);
}

/// A book on the bicycle wheel, quoted: 36 spokes of "about 100 kgf" press the rim with about 5700 N. That is 1000 N
/// rounded in two figures; 100 kgf to the newton give 5619 N.
#[test]
fn a_rim_under_36_spokes() {
    printed(spoke::rim_compression(36, Force::newtons(1000.0)).to_newtons(), 5700.0, 50.0);
    derived(spoke::rim_compression(36, Force::newtons(980.665)).to_newtons(), 5619.0, 0.5);
}

// From here on nothing is in print: inputs are printed or practice, the figures were worked out twice.

/// Friction 0.06, measured on gear housing by an amateur's rig; and the sensitivity at 270°.
#[test]
fn cable_in_housing() {
    for (bend, ratio) in
        [(90.0, 1.0988), (180.0, 1.2074), (270.0, 1.3268), (360.0, 1.4579), (450.0, 1.6020), (540.0, 1.7603)]
    {
        derived(cable::tension_ratio(0.06, Angle::deg(bend)), ratio, 0.00005);
    }
    for (friction, ratio) in
        [(0.04, 1.207), (0.06, 1.327), (0.08, 1.458), (0.10, 1.602), (0.15, 2.028), (0.20, 2.566)]
    {
        derived(cable::tension_ratio(friction, Angle::deg(270.0)), ratio, 0.0005);
    }
}

/// Chains of 8 to 11 speeds on cogs of 8 to 11 speeds. Widths and pitches are printed ranges, the matrix is ours; it
/// agrees with what workshops know: an 8-speed chain rubs on nine cogs, a 9-speed chain runs on eight.
#[test]
fn chain_clearance_matrix() {
    let chains = [7.1, 6.6, 5.88, 5.5];
    for (pitch, thickness, row) in [
        (4.80, 1.8, [0.35, 0.60, 0.96, 1.15]),
        (4.34, 1.78, [-0.10, 0.15, 0.51, 0.70]),
        (3.95, 1.6, [-0.40, -0.15, 0.21, 0.40]),
        (3.74, 1.6, [-0.61, -0.36, 0.00, 0.19]),
    ] {
        for (outer, clearance) in chains.into_iter().zip(row) {
            derived(cassette::chain_clearance(mm(pitch), mm(outer), mm(thickness)).to_mm(), clearance, 0.005);
        }
    }
}

/// Bicycle drives: handbook form and polygon form.
#[test]
fn bicycle_chain_lengths() {
    for (ring, cog, handbook, exact) in
        [(50, 28, 103.9467, 103.9471), (53, 11, 97.9510, 97.9560), (34, 11, 87.4820, 87.4824)]
    {
        derived(
            chain::need_handbook(teeth(ring), teeth(cog), mm(410.0)).unwrap().to_f64(),
            handbook,
            0.00005,
        );
        derived(chain::need(teeth(ring), teeth(cog), mm(410.0)).unwrap().to_f64(), exact, 0.00005);
    }
    // The quick rule, in pitches of half an inch.
    derived(chain::workshop_rule_inches(teeth(50), teeth(28), mm(410.0)) * 2.0, 105.57, 0.005);
}

/// Pull and ratio are practice values; steps and end errors are arithmetic on them.
#[test]
fn indexing_table_of_practice() {
    for (pull, ratio, cogs, pitch, step, end_error) in [
        (2.5, 1.7, 9, 4.35, 4.25, -0.40),
        (2.3, 1.7, 10, 3.95, 3.91, -0.18),
        (2.7, 1.4, 11, 3.74, 3.78, 0.20),
        (3.4, 1.2, 10, 3.95, 4.08, 0.58),
        (3.6, 1.1, 11, 3.90, 3.96, 0.30),
        (3.4, 1.7, 10, 3.95, 5.78, 8.23),
        (2.3, 1.2, 10, 3.95, 2.76, -5.36),
        (2.7, 1.7, 11, 3.74, 4.59, 4.25),
        (2.5, 1.4, 9, 4.35, 3.50, -3.40),
        (2.5, 1.7, 10, 3.95, 4.25, 1.35),
        (2.7, 1.4, 10, 3.95, 3.78, -0.77),
    ] {
        derived(indexing::step(mm(pull), ratio).to_mm(), step, 0.005);
        let found = indexing::end_error(&vec![mm(pull); cogs - 1], ratio, &vec![mm(pitch); cogs - 1]);
        derived(found.to_mm(), end_error, 0.005);
    }
}

/// Four millimetres over a 622 mm rim are 0.368°; a pulley 80 mm below the axle stands 0.51 mm to the side.
#[test]
fn hanger_four_millimetres_at_the_rim() {
    let angle = derailleur::hanger_angle(mm(4.0), mm(622.0));
    derived(angle.to_deg(), 0.368, 0.0005);
    derived(derailleur::cage_lean(angle, mm(80.0)).to_mm(), 0.51, 0.005);
}

/// Bores of threaded shells, the basic minor diameters by ISO 68-1.
#[test]
fn bores_of_threaded_shells() {
    for (thread, bore_mm) in ShellThread::ALL.into_iter().zip([33.65, 33.92, 34.85, 45.92]) {
        derived(thread.basic_minor_bore().to_mm(), bore_mm, 0.005);
    }
}

/// Area law of a wrap beside a helix worked out turn by turn.
#[test]
fn tape_by_area() {
    for (side, overlap, length, turns) in [
        (600.0, 1.0 / 3.0, 2497.57, Some(29.121)),
        (600.0, 0.25, 2220.06, Some(25.674)),
        (700.0, 1.0 / 3.0, 2913.83, None),
    ] {
        derived(tape::length_by_area(mm(side), mm(26.5), mm(30.0), overlap).to_mm(), length, 0.005);
        if let Some(turns) = turns {
            derived(tape::turns(mm(side), mm(26.5), mm(30.0), overlap), turns, 0.0005);
        }
    }
}

/// Chain pull of 200 W and of 50 W at 60 turns a minute on 52 teeth, over the pitch radius.
#[test]
fn chain_pull_at_two_powers() {
    for (power_w, newtons) in [(200.0, 302.7), (50.0, 75.7)] {
        let torque = Torque::newton_metres(power_w / (2.0 * PI));
        derived(chain::pull(torque, teeth(52)).to_newtons(), newtons, 0.05);
    }
}

/// A force of 1000 N on a strand of EA 100 kN, 1 m long, is 10 mm; arithmetic.
#[test]
fn a_stretch_that_can_be_done_in_the_head() {
    let stretch = cable::stretch(Force::newtons(1000.0), mm(1000.0), cable::STRAND_STIFFNESS_N);
    derived(stretch.to_mm(), 10.0, 1e-12);
}

/// Ways to a stop of a rule on bicycles and of a standard's track tests (speeds and most ways quoted from memory);
/// decelerations are arithmetic. 100 kg make them forces.
#[test]
fn stopping_in_fifteen_feet() {
    derived(brakes::deceleration_of_stop(15.0 * 1.609344, 15.0 * 0.3048), 0.502, 0.005);
    for (speed_km_h, way_m, m_s2) in [
        (25.0, 7.0, 3.445),
        (25.0, 6.0, 4.019),
        (25.0, 10.0, 2.411),
        (25.0, 15.0, 1.608),
        (16.0, 5.0, 1.975),
        (16.0, 10.0, 0.988),
    ] {
        let share = brakes::deceleration_of_stop(speed_km_h, way_m);
        derived(brakes::tyre_force(Mass::grams(1e5), share).to_newtons(), 100.0 * m_s2, 0.05);
    }
}
