//! Stems, bars, the search for the old place of the hands and the wrap of the tape against another way of reckoning.
//!
//! `data/cockpit.json` was written by `data/cockpit_reference.py` (numpy): products of matrices, linear systems, one
//! array over the whole search, and the bar unrolled, in place of our closed forms. Then a million inputs of any kind.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::Point;
use mechanics::bar_curve::{BarCurve, Choice, Hands, LeverBody, Spot, bring_hood_back};
use mechanics::bolts::{preload, proof_share, torque_at_bolt, wrench_setting};
use mechanics::cockpit::stem_reach;
use mechanics::drive_loss::{Drive, loss_share};
use mechanics::spoke::{Run, balancing_tension, bracing_angle, length, rim_compression};
use mechanics::tape::{length_by_area, length_used, turns};
use quantity::{Angle, Force, Length, Power, Teeth, Torque};
use serde_json::Value;

const TABLE: &str = include_str!("data/cockpit.json");

fn rows(key: &str) -> Vec<Vec<f64>> {
    let table: Value = serde_json::from_str(TABLE).unwrap();
    let numbers = |row: &Value| row.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect();
    table[key].as_array().unwrap().iter().map(numbers).collect()
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn deg(value: f64) -> Angle {
    Angle::deg(value)
}

/// Remembers the worst difference, relative to what is larger than 1.
#[derive(Default)]
struct Worst(f64);

impl Worst {
    fn of(&mut self, found: f64, wanted: f64) {
        let off = (found - wanted).abs() / wanted.abs().max(1.0);
        assert!(off.is_finite());
        self.0 = self.0.max(off);
    }

    #[track_caller]
    fn within(self, limit: f64, rows: usize, least: usize) {
        println!("{rows} rows, worst {:.1e}", self.0);
        assert!(rows >= least && self.0 <= limit, "{rows} rows, worst {:e}", self.0);
    }
}

#[test]
fn a_stem_is_its_matrices() {
    let (rows, mut worst) = (rows("stems"), Worst::default());
    for row in &rows {
        let [length, angle, spacers, head, x, y] = row[..] else { panic!("a row of another length") };
        let at = stem_reach(mm(length), deg(angle), mm(spacers), deg(head));
        worst.of(at.x_mm, x);
        worst.of(at.y_mm, y);
    }
    worst.within(1e-9, rows.len(), 200);
}

#[test]
fn a_lever_on_a_drawn_bar_is_its_matrices() {
    let (rows, mut worst) = (rows("bars"), Worst::default());
    for row in &rows {
        let [reach, drop, ramp, band, ahead, above, turned, x, y, slope] = row[..] else {
            panic!("a row of another length")
        };
        let bar = BarCurve::new(mm(reach), mm(drop), deg(ramp)).unwrap();
        let lever = LeverBody {
            along_bar: mm(band),
            trough_ahead: mm(ahead),
            trough_above: mm(above),
            hood_slope: deg(0.0),
        };
        let hood = bar.hood(lever, deg(turned)).unwrap();
        worst.of(hood.at.x_mm, x);
        worst.of(hood.at.y_mm, y);
        worst.of(hood.slope.to_deg(), slope);
    }
    worst.within(1e-9, rows.len(), 200);
}

fn choice() -> Choice {
    let angles = [-17.0, -6.0, 6.0, 17.0];
    let lengths = [70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0];
    Choice {
        stems: lengths.iter().flat_map(|length| angles.map(|angle| (mm(*length), deg(angle)))).collect(),
        spacers: [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0].map(mm).to_vec(),
        turns: (-6..=6).map(|turn| deg(f64::from(turn))).collect(),
    }
}

#[test]
fn the_search_finds_what_a_whole_array_finds() {
    let (rows, mut worst) = (rows("searches"), Worst::default());
    for row in &rows {
        let [x_mm, y_mm, slope, trough_x, trough_y, trough_slope, head, deg_per_mm, least] = row[..] else {
            panic!("a row of another length")
        };
        let hands = Hands {
            hood: Spot { at: Point { x_mm, y_mm }, slope: deg(slope) },
            head_angle: deg(head),
            deg_per_mm,
        };
        let hood = Spot { at: Point { x_mm: trough_x, y_mm: trough_y }, slope: deg(trough_slope) };
        let found = bring_hood_back(hood, hands, &choice(), 5).unwrap();
        worst.of(found[0].score_mm, least);
    }
    worst.within(1e-9, rows.len(), 200);
}

#[test]
fn a_wrap_is_the_bar_unrolled() {
    let (rows, mut worst) = (rows("tapes"), Worst::default());
    for row in &rows {
        let [side, around, width, overlap, wanted_turns, wanted_mm] = row[..] else {
            panic!("a row of another length")
        };
        worst.of(turns(mm(side), mm(around), mm(width), overlap), wanted_turns);
        worst.of(length_by_area(mm(side), mm(around), mm(width), overlap).to_mm(), wanted_mm);
        assert!(length_used(mm(side), mm(around), mm(width), overlap).to_mm() > wanted_mm);
    }
    worst.within(1e-9, rows.len(), 200);
}

/// Numbers of any kind in an order that never changes: usual sizes, nothing, huge, negative, none.
struct Inputs(u64);

impl Inputs {
    fn next(&mut self) -> f64 {
        // Multiply and add of Knuth's MMIX; the upper bits are the good ones.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let share = (self.0 >> 11) as f64 / (1_u64 << 53) as f64;
        match self.0 >> 59 {
            0 => 0.0,
            1 => -share * 100.0,
            2 => 1e300 * share,
            3 => share * 1e-300,
            4 => f64::INFINITY,
            5 => f64::NAN,
            6 => 90.0,
            _ => share * 150.0,
        }
    }
}

/// No answer is NaN unless an input was none or without end; else it is a number or an error in words.
#[test]
fn a_million_inputs_give_a_number_or_a_reason() {
    let mut inputs = Inputs(7);
    let (mut answers, mut reasons) = (0_u32, 0_u32);
    for _ in 0..1_000_000 {
        let [a, b, c, d] = std::array::from_fn(|_| inputs.next());
        let usual = [a, b, c, d].iter().all(|n| n.is_finite() && n.abs() < 1e9);
        let mut told = |numbers: &[f64]| {
            assert!(!usual || numbers.iter().all(|n| !n.is_nan()), "{a} {b} {c} {d} gave {numbers:?}");
            answers += 1;
        };
        let stem = stem_reach(mm(a), deg(b), mm(c), deg(d));
        told(&[stem.x_mm, stem.y_mm]);
        match BarCurve::new(mm(a), mm(b), deg(c)).and_then(|bar| bar.spot(mm(d))) {
            Ok(spot) => told(&[spot.at.x_mm, spot.at.y_mm, spot.slope.to_deg()]),
            Err(error) => {
                assert!(!error.to_string().is_empty());
                reasons += 1;
            }
        }
        match wrench_setting(Torque::newton_metres(a), mm(b), mm(c), deg(d))
            .and_then(|set| torque_at_bolt(set, mm(b), mm(c), deg(d)).map(|back| (set, back)))
        {
            Ok((set, back)) => told(&[set.to_newton_metres(), back.to_newton_metres()]),
            Err(_) => reasons += 1,
        }
        match preload(Torque::newton_metres(a), b / 100.0, mm(c), 0.3)
            .and_then(|force| Ok((force, proof_share(force.most, d, 580.0)?)))
        {
            Ok((force, share)) => told(&[force.least.to_newtons(), force.most.to_newtons(), share]),
            Err(_) => reasons += 1,
        }
        let count = |n: f64| if n.is_finite() { n.abs() as u32 } else { 0 };
        let run = Run {
            flange_offset: mm(a),
            hole_circle: mm(b),
            rim_diameter: mm(c),
            hole: mm(2.5),
            spokes_a_side: count(d),
            crossings: count(d) / 6,
        };
        if let Some(span) = run.span() {
            let bracing = bracing_angle(run.flange_offset, span);
            told(&[
                length(run).unwrap().to_mm(),
                bracing.to_deg(),
                rim_compression(count(d), Force::newtons(1000.0)).to_newtons(),
            ]);
            if bracing.to_deg().abs() > 1e-6 && bracing.to_deg().is_finite() {
                told(&[balancing_tension(Force::newtons(1000.0), bracing, bracing).to_newtons()]);
            }
        }
        if let (Ok(ring), Ok(cog)) = (Teeth::new(i64::from(count(a))), Teeth::new(i64::from(count(b)))) {
            let drive = Drive { ring, cog, power: Power::watts(c), cadence_rpm: 80.0, askew: deg(d / 50.0) };
            match loss_share(&drive) {
                Ok(loss) => told(&[loss.share, loss.lost.to_watts(), loss.tension.to_newtons()]),
                Err(_) => reasons += 1,
            }
        }
        // A tape without width or a bar without girth is no wrap; the law says infinity there, never NaN elsewhere.
        if a >= 0.0 && b > 1e-3 && c > 1e-3 && (0.0..150.0).contains(&d) && usual {
            let overlap = d / 151.0;
            told(&[turns(mm(a), mm(b), mm(c), overlap), length_used(mm(a), mm(b), mm(c), overlap).to_mm()]);
        }
    }
    println!("{answers} answers, {reasons} reasons");
    assert!(answers > 1_000_000 && reasons > 100_000);
}

#[test]
fn a_search_with_a_choice_that_is_no_number_says_so() {
    let spot = Spot { at: Point { x_mm: 130.0, y_mm: 0.0 }, slope: deg(0.0) };
    let hands = Hands { hood: spot, head_angle: deg(f64::NAN), deg_per_mm: 0.5 };
    assert_eq!(
        bring_hood_back(spot, hands, &choice(), 5).unwrap_err().to_string(),
        "found NaN where a finite number was wanted"
    );
}
