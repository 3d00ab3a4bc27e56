//! Files that are no rides, or bad ones: refused in words, in bounded memory, without a panic.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use intake::ride_file::{Heights, MOST_RIDE_BYTES, MOST_RIDE_POINTS, Note, RideProblem, read_ride};

fn gpx(points: &str) -> String {
    format!("<gpx version=\"1.1\" creator=\"x\"><trk><trkseg>{points}</trkseg></trk></gpx>")
}

/// Points along the equator, 0.001° or 111.3 m apart.
fn walk(rows: &[(f64, Option<f64>, Option<u32>)]) -> String {
    let points: String = rows
        .iter()
        .map(|(thousandths, height, second)| {
            let height = height.map_or(String::new(), |height| format!("<ele>{height}</ele>"));
            let time = second.map_or(String::new(), |second| {
                format!("<time>2024-05-01T10:{:02}:{:02}Z</time>", second / 60, second % 60)
            });
            format!("<trkpt lat=\"0\" lon=\"{}\">{height}{time}</trkpt>", thousandths / 1000.0)
        })
        .collect();
    gpx(&points)
}

fn refused(bytes: &[u8]) -> String {
    read_ride(bytes).unwrap_err().to_string()
}

fn road() -> Vec<u8> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rides/road-20km.fit");
    std::fs::read(path).unwrap()
}

#[test]
fn what_is_no_ride_is_refused_in_words() {
    for (bytes, words) in [
        (&b""[..], "neither GPX nor FIT"),
        (b"hello", "neither GPX nor FIT"),
        (b"PK\x03\x04", "neither GPX nor FIT"),
        (b"<html></html>", "cannot be taken apart"),
        (b"<gpx version=\"1.1\" creator=\"x\"><trk>", "cannot be taken apart"),
        (b"<gpx version=\"1.1\" creator=\"x\"></gpx>", "the ride has 0 places"),
        (b"\xff\xfe<\x00g\x00", "not in UTF-8"),
    ] {
        assert!(refused(bytes).contains(words), "{:?}: {}", bytes, refused(bytes));
    }
    assert!(refused(walk(&[(0.0, None, None)]).as_bytes()).contains("the ride has 1 places"));
    assert!(refused(gpx("<trkpt lat=\"91\" lon=\"0\"/>").as_bytes()).contains("latitude"));
    assert!(refused(gpx("<trkpt lat=\"x\" lon=\"0\"/>").as_bytes()).contains("cannot be taken apart"));
}

#[test]
fn a_file_that_is_too_long_is_refused_before_it_is_looked_at() {
    let long = vec![b'<'; MOST_RIDE_BYTES + 1];
    let problem = read_ride(&long).unwrap_err();
    assert_eq!(
        problem.to_string(),
        "the file has 16777217 bytes or more; a ride of at most 16777216 is read"
    );
    assert!(!problem.help().is_empty());
}

#[test]
fn more_points_than_are_kept_are_refused_before_they_are_made() {
    let many = gpx(&"<trkpt lat=\"0\" lon=\"0\"/>".repeat(MOST_RIDE_POINTS + 1));
    assert!(matches!(read_ride(many.as_bytes()), Err(RideProblem::TooMany { .. })));
}

#[test]
fn entities_that_grow_are_not_expanded() {
    let bomb = "<!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\">]>\
        <gpx version=\"1.1\" creator=\"&b;\"></gpx>";
    assert_eq!(read_ride(bomb.as_bytes()), Err(RideProblem::Entities));
    let outside = "<?xml version=\"1.0\"?><!DOCTYPE gpx SYSTEM \"file:///etc/passwd\"><gpx></gpx>";
    assert_eq!(read_ride(outside.as_bytes()), Err(RideProblem::Entities));
}

#[test]
fn elements_within_elements_do_not_fill_the_stack() {
    let deep = format!("<gpx version=\"1.1\" creator=\"x\"><extensions>{}", "<a>".repeat(200_000));
    assert!(refused(deep.as_bytes()).contains("cannot be taken apart"));
}

#[test]
fn a_fit_that_is_cut_off_says_so_at_every_length() {
    let whole = road();
    for length in (14..whole.len()).step_by(4001) {
        let problem = read_ride(&whole[..length]).unwrap_err();
        assert_eq!(problem, RideProblem::CutOff { found: length, wanted: whole.len() });
    }
    let problem = read_ride(&whole[..5000]).unwrap_err();
    assert_eq!(
        problem.to_string(),
        "the FIT file was cut off: it has 5000 bytes of the 138647 that its head announces"
    );
}

#[test]
fn a_fit_with_a_flipped_byte_is_refused_or_read_and_never_panics() {
    let whole = road();
    for at in (0..whole.len()).step_by(3571) {
        let mut flipped = whole.clone();
        flipped[at] ^= 0x55;
        assert!(read_ride(&flipped).is_err(), "a flipped byte at {at} breaks the sum of the file");
    }
    let mut head = whole.clone();
    head[0] = 200;
    assert!(refused(&head).contains("a head of 200 bytes; 12 or 14 are wanted"));
    let mut more = whole;
    more.extend_from_slice(b"left over");
    assert!(refused(&more).contains("no head of a FIT file stands there"));
}

#[test]
fn without_heights_there_is_a_way_but_no_profile() {
    let ride = read_ride(walk(&[(0.0, None, Some(0)), (5.0, None, Some(60))]).as_bytes()).unwrap();
    assert!((ride.distance_m() - 556.6).abs() < 0.1);
    assert!(ride.notes.contains(&Note::NoHeights));
    let problem = ride.profile(20.0, Heights::Unknown).unwrap_err();
    assert_eq!(problem, RideProblem::NoHeights);
    assert!(problem.help().contains("hill_length"));
}

#[test]
fn without_times_there_is_a_profile_but_no_clock() {
    let ride = read_ride(walk(&[(0.0, Some(0.0), None), (10.0, Some(50.0), None)]).as_bytes()).unwrap();
    assert!(ride.notes.contains(&Note::NoTimes));
    assert_eq!(ride.elapsed_s(), None);
    assert!((ride.profile(20.0, Heights::Barometer).unwrap().climb_m() - 50.0).abs() < 1.0);
}

#[test]
fn a_place_that_leaps_is_dropped_and_a_new_one_is_believed() {
    let mut rows: Vec<(f64, Option<f64>, Option<u32>)> =
        (0..20).map(|k| (f64::from(k) * 0.1, Some(10.0), Some(k))).collect();
    rows[7].0 = 500.0;
    let ride = read_ride(walk(&rows).as_bytes()).unwrap();
    assert!(ride.notes.contains(&Note::Leaps { records: 1 }));
    assert!((ride.distance_m() - 1.9 * 111.3195).abs() < 0.1, "{}", ride.distance_m());
    // Far away and staying there: carried on a train, say.
    for row in &mut rows[10..] {
        row.0 += 900.0;
    }
    let ride = read_ride(walk(&rows).as_bytes()).unwrap();
    assert!(ride.notes.iter().any(|note| matches!(note, Note::Pieces { pieces: 2, .. })), "{:?}", ride.notes);
    assert!(ride.distance_m() < 250.0);
}

#[test]
fn a_height_that_sticks_out_is_taken_from_its_neighbours() {
    let mut rows: Vec<(f64, Option<f64>, Option<u32>)> =
        (0..20).map(|k| (f64::from(k) * 0.1, Some(10.0), Some(k))).collect();
    rows[9].1 = Some(300.0);
    rows[12].1 = None;
    let ride = read_ride(walk(&rows).as_bytes()).unwrap();
    assert!(ride.notes.contains(&Note::Spikes { records: 1 }));
    assert!(ride.notes.contains(&Note::HeightsMissing { records: 1 }));
    assert_eq!(ride.climb_m(3.0), Some(0.0));
}

#[test]
fn one_time_that_goes_back_is_passed_over() {
    let mut rows: Vec<(f64, Option<f64>, Option<u32>)> =
        (0..300).map(|k| (f64::from(k) * 0.1, Some(10.0), Some(k))).collect();
    rows[150].2 = Some(20);
    let ride = read_ride(walk(&rows).as_bytes()).unwrap();
    assert!(ride.notes.contains(&Note::TimesBack { records: 1, dropped_all: false }));
    assert_eq!(ride.elapsed_s(), Some(299.0));
    rows.reverse();
    let turned = read_ride(walk(&rows).as_bytes()).unwrap();
    assert_eq!(turned.elapsed_s(), None);
}

#[test]
fn pauses_and_gaps_are_told() {
    let rows: Vec<(f64, Option<f64>, Option<u32>)> =
        (0..40).map(|k| (f64::from(k) * 0.1, Some(10.0), Some(if k < 20 { k } else { k + 600 }))).collect();
    let ride = read_ride(walk(&rows).as_bytes()).unwrap();
    assert!(ride.notes.contains(&Note::Silence { times: 1, longest_s: 601.0 }));
    assert!(ride.notes.contains(&Note::Standing { seconds: 601.0 }));
}

#[test]
fn every_note_and_problem_has_words() {
    let problems = [
        RideProblem::NotByBike { sports: vec!["running".to_owned()] },
        RideProblem::NotByBike { sports: Vec::new() },
        RideProblem::BrokenFit { at: 3, why: "x".to_owned() },
    ];
    for problem in problems {
        assert!(problem.to_string().len() > 10 && problem.help().len() > 10);
    }
    assert!(Note::Leaps { records: 2 }.to_string().starts_with("2 places"));
}

/// Mutated files, with a fixed seed: what a fuzzer does, bounded. The targets for longer runs are in `fuzz`.
#[test]
fn fifteen_hundred_broken_rides_make_no_panic() {
    let rows: Vec<(f64, Option<f64>, Option<u32>)> =
        (0..30).map(|k| (f64::from(k) * 0.1, Some(f64::from(k)), Some(k))).collect();
    let text = walk(&rows).into_bytes();
    let whole = road();
    let fit = &whole[..1500];
    let mut seed = 42_u64;
    let mut next = move |n: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % n
    };
    for round in 0..1500 {
        let mut bytes = if round % 2 == 0 { text.clone() } else { fit.to_vec() };
        if round % 2 == 1 {
            // A whole file of this length, so that the records are looked at, up to the sum that cannot be right.
            let length = (bytes.len() - 16) as u32;
            bytes[4..8].copy_from_slice(&length.to_le_bytes());
            bytes[12] = 0;
            bytes[13] = 0;
        }
        for _ in 0..=next(6) {
            let at = if round % 2 == 1 { 14 + next(bytes.len() - 14) } else { next(bytes.len()) };
            match next(4) {
                0 => bytes[at] = next(256) as u8,
                1 => bytes[at] ^= 1 << next(8),
                2 if round % 2 == 0 => bytes.truncate(at.max(1)),
                _ => {
                    let from = next(bytes.len());
                    let to = (from + next(20)).min(bytes.len());
                    let piece = bytes[from..to].to_vec();
                    let end = (at + piece.len()).min(bytes.len());
                    bytes[at..end].copy_from_slice(&piece[..end - at]);
                }
            }
        }
        if let Ok(ride) = read_ride(&bytes) {
            assert!(ride.distance_m().is_finite());
            let _ = ride.profile(20.0, Heights::Unknown);
            let _ = (ride.climb_m(3.0), ride.best_power_w(5.0), ride.moments().len());
        }
    }
}
