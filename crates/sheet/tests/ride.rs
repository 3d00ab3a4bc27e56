//! The picture of a ride: where its bands lie, that they differ without colour, and what stands on the customer's sheet.

#![expect(clippy::unwrap_used, reason = "a picture that cannot be made fails its test")]

use document::{LaidWork, PlanDocument, RideDocument, WorkDocument};
use fit::ride::{Depth, RideAnswer};
use hayro_syntax::Pdf;
use roxmltree::{Document, Node};
use sheet::{Drawing, Job, JobTag, Paper, SheetKind, Typesetter, drawings};
use shop::{Book, Circumstances};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// A plan of an example with what is said of its ride.
fn plan(name: &str) -> (PlanDocument, WorkDocument) {
    let text = std::fs::read_to_string(root().join("examples").join(name)).unwrap();
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name, text: &text }, &catalogue).unwrap();
    let plan = fit::plan_with(&refit, &catalogue, &[]);
    let wish = plan.refit.ride.clone().unwrap();
    let recorded = wish.file.as_ref().map(|file| {
        let bytes = std::fs::read(root().join("examples").join(file)).unwrap();
        intake::ride_file::read_ride(&bytes).unwrap()
    });
    let road = intake::ride_file::road(&wish, recorded).unwrap();
    let answer = RideAnswer::new(&plan, road, &catalogue, Depth::Short);
    let book = Book::start_values();
    let laid = LaidWork::of(&plan, &book, Circumstances::default()).unwrap();
    let work = WorkDocument::of(&plan, &book, &laid, &[]);
    (PlanDocument { ride: Some(RideDocument::of(&answer)), ..PlanDocument::of(&plan) }, work)
}

/// The hill by hand, with other cadences: a hundred stretches each, as found and after.
fn hand_made(before: [Option<f64>; 100], after: [Option<f64>; 100]) -> RideDocument {
    let mut ride = plan("hill-by-hand.toml").0.ride.unwrap();
    let series = ride.series.as_mut().unwrap();
    series.spacing_m = 20.0;
    series.heights_m = (0..=100).map(f64::from).collect();
    (series.cadence_before, series.cadence_after) = (before.to_vec(), after.to_vec());
    (series.lowest, series.liked, series.spun_out) = (60.0, (75.0, 95.0), 115.0);
    ride
}

fn number(node: Node<'_, '_>, key: &str) -> f64 {
    node.attribute(key).unwrap().parse().unwrap()
}

/// Left and right end of each piece of the road, with the width of its line, left to right.
fn pieces(drawing: &Drawing) -> Vec<(f64, f64, f64)> {
    let svg = drawing.svg().unwrap();
    let tree = Document::parse(&svg).unwrap();
    let lines = tree.descendants().filter(|node| node.has_tag_name("polyline"));
    lines
        .map(|node| {
            let places = node.attribute("points").unwrap().split(' ');
            let x = |place: &str| place.split_once(',').unwrap().0.parse::<f64>().unwrap();
            let all: Vec<f64> = places.map(x).collect();
            (all[0], all[all.len() - 1], number(node, "stroke-width"))
        })
        .collect()
}

fn words(drawing: &Drawing) -> Vec<(f64, f64, String)> {
    let svg = drawing.svg().unwrap();
    let tree = Document::parse(&svg).unwrap();
    let texts = tree.descendants().filter(|node| node.has_tag_name("text"));
    texts.map(|node| (number(node, "x"), number(node, "y"), node.text().unwrap().to_owned())).collect()
}

/// Half of the road ground up and half of it inside, then all of it inside: the pieces lie where the road does, 78 mm for
/// each picture, and the weight of the line says which is which.
#[test]
fn bands_lie_where_the_cadence_changes() {
    let before = std::array::from_fn(|k| Some(if k < 50 { 50.0 } else { 85.0 }));
    let drawing = drawings::ride(&hand_made(before, [Some(85.0); 100]));
    assert_eq!(pieces(&drawing), [(10.0, 49.0, 1.4), (49.0, 88.0, 0.4), (101.0, 179.0, 0.4)]);
    let letters: Vec<(f64, String)> = words(&drawing)
        .into_iter()
        .filter(|(_, y, word)| *y < 82.0 && ["G", "B", "I", "A", "S"].contains(&word.as_str()))
        .map(|(x, _, word)| (x, word))
        .collect();
    assert_eq!(letters, [(29.5, "G".to_owned()), (68.5, "I".to_owned()), (140.0, "I".to_owned())]);
}

/// The limits belong to the side on which the document counts them: 60 and 75 are not below, 95 and 115 not above.
#[test]
fn each_cadence_has_its_band() {
    for (rpm, width) in [
        (Some(59.9), 1.4),
        (Some(60.0), 0.8),
        (Some(74.9), 0.8),
        (Some(75.0), 0.4),
        (Some(95.0), 0.4),
        (Some(95.1), 0.8),
        (Some(115.0), 0.8),
        (Some(115.1), 1.4),
        (None, 0.2),
    ] {
        let drawing = drawings::ride(&hand_made([rpm; 100], [Some(85.0); 100]));
        assert_eq!(pieces(&drawing)[0], (10.0, 88.0, width), "{rpm:?}");
    }
}

/// Colours taken away, every band still has another hatching or line than every other.
#[test]
fn bands_differ_without_colour() {
    let looks: Vec<String> = [Some(50.0), Some(70.0), Some(85.0), Some(100.0), Some(120.0), None]
        .into_iter()
        .map(|rpm| {
            let svg = drawings::ride(&hand_made([rpm; 100], [Some(85.0); 100])).svg().unwrap();
            let tree = Document::parse(&svg).unwrap();
            let strokes = tree.descendants().filter(|node| {
                node.has_tag_name("line")
                    && number(*node, "x1") == number(*node, "x2")
                    && number(*node, "x1") < 88.0
            });
            let road = tree.descendants().find(|node| node.has_tag_name("polyline")).unwrap();
            let hatch = strokes.filter(|node| number(*node, "y1") == 82.0 && number(*node, "y2") < 82.0).map(
                |node| format!("{} {:?}", number(node, "stroke-width"), node.attribute("stroke-dasharray")),
            );
            let hatch: Vec<String> = hatch.collect();
            format!("{} {} {:?}", number(road, "stroke-width"), hatch.len(), hatch.iter().max())
        })
        .collect();
    for (at, look) in looks.iter().enumerate() {
        assert!(!looks[..at].contains(look), "{look} twice in {looks:#?}");
    }
}

#[test]
fn roads_of_any_length_are_drawn_well_formed_and_on_the_paper() {
    for (stretches, spacing_m) in [(1, 5.0), (2, 20.0), (7, 200.0), (5000, 20.0), (20_000, 5.0)] {
        let mut ride = plan("hill-by-hand.toml").0.ride.unwrap();
        let series = ride.series.as_mut().unwrap();
        series.spacing_m = spacing_m;
        series.heights_m = (0..=stretches).map(|k| 300.0 + 200.0 * (f64::from(k) / 9.0).sin()).collect();
        let cadence = |k: i32| (k % 7 != 0).then(|| 50.0 + f64::from(k % 80));
        series.cadence_before = (0..stretches).map(cadence).collect();
        series.cadence_after = series.cadence_before.clone();
        for drawing in [drawings::ride(&ride), drawings::ride_short(&ride)] {
            let svg = drawing.svg().unwrap();
            let tree = Document::parse(&svg).unwrap();
            for node in tree.descendants().filter(Node::is_element) {
                for key in ["x1", "x2", "x", "cx"] {
                    let inside =
                        node.attribute(key).is_none_or(|x| (0.0..=180.0).contains(&x.parse().unwrap()));
                    assert!(inside, "{stretches}: {node:?}");
                }
            }
            assert!(svg.len() < 200_000, "{} bytes", svg.len());
        }
    }
}

#[test]
fn a_ride_that_cannot_be_told_says_what_is_missing() {
    let mut ride = plan("hill-by-hand.toml").0.ride.unwrap();
    (ride.before, ride.series, ride.missing) = (None, None, Some("weigh the rider".to_owned()));
    assert!(drawings::ride(&ride).svg().unwrap().contains("weigh the rider"));
}

#[test]
fn the_customers_sheet_has_sentence_and_picture_and_stays_one_leaf() {
    for name in ["recorded-ride.toml", "hill-by-hand.toml"] {
        let (plan, work) = plan(name);
        let job = Job { plan: &plan, work: &work, tag: &JobTag::default(), estimate: None, pair: None };
        let files = job.sheet(SheetKind::HandOver).unwrap();
        assert!(files.drawings.contains_key("ride"));
        for paper in [Paper::A4, Paper::Letter] {
            let bytes = Typesetter::new().pdf(&files, paper).unwrap();
            assert!(Pdf::new(bytes.clone()).unwrap().pages().len() <= 2, "{name} {paper:?}");
        }
        let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("ride-{name}.pdf"));
        std::fs::write(&file, Typesetter::new().pdf(&files, Paper::A4).unwrap()).unwrap();
        let read = std::process::Command::new("pdftotext").arg(&file).arg("-").output().unwrap();
        let text = String::from_utf8(read.stdout).unwrap();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let ride = plan.ride.as_ref().unwrap();
        let sentence = &ride.sentence.as_ref().unwrap()[1..];
        assert!(text.contains(sentence), "no `{sentence}` in {text}");
        assert!(text.contains(&ride.after.as_ref().unwrap().grinding_min.text), "{text}");
    }
}
