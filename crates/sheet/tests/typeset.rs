//! The typesetting library through our own small door: bytes that are the same twice, faults in words.

#![expect(clippy::unwrap_used, reason = "a sheet that cannot be made fails its test")]

use serde_json::json;
use sheet::{Drawing, Mark, Paper, Pen, Place, SheetError, SheetFiles, Typesetter};
use std::collections::BTreeMap;

const TEMPLATE: &str = r#"
#import "look.typ": *
#show: sheet.with(foot: [#data.name])
= #data.name
#flag[Front brake: RIGHT lever]
#box-of("chain", text(size: 2em, weight: 700)[108 pitches])
#lines((1fr, auto), ("what", "value"), ("hanger drop", "29.5 mm"), ("chainstay", "410 mm"))
#tick done #blank(40mm)
#image("line.svg")
"#;

fn files(name: &str) -> SheetFiles {
    let mut drawing = Drawing::new(100.0, 10.0, "line", "a line of 80 mm");
    drawing.line(Place::new(10.0, 5.0), Place::new(90.0, 5.0), Pen::solid(0.4, Mark::Ink));
    SheetFiles {
        title: name.to_owned(),
        template: TEMPLATE,
        data: json!({ "name": name }),
        drawings: BTreeMap::from([("line".to_owned(), drawing.svg().unwrap())]),
    }
}

#[test]
fn the_same_files_give_the_same_bytes_on_both_papers() {
    let typesetter = Typesetter::new();
    for paper in [Paper::A4, Paper::Letter] {
        let (one, other) = (typesetter.pdf(&files("a"), paper), typesetter.pdf(&files("a"), paper));
        assert!(one.as_ref().unwrap().starts_with(b"%PDF-"));
        assert_eq!(one.unwrap(), other.unwrap());
    }
}

#[test]
fn names_that_no_typeface_knows_and_names_from_right_to_left_are_laid_out() {
    let typesetter = Typesetter::new();
    for name in ["\u{1F6B2} bike", "דרך ארוכה", "عجلة", &"x".repeat(400), "\u{0}\u{7}", ""] {
        assert!(typesetter.pdf(&files(name), Paper::A4).unwrap().len() > 1_000, "{name}");
    }
}

#[test]
fn a_template_that_does_not_go_with_its_data_is_a_fault_in_words() {
    let mut wrong = files("a");
    wrong.data = json!({});
    let error = Typesetter::new().pdf(&wrong, Paper::A4).unwrap_err();
    assert!(matches!(&error, SheetError::Template(why) if why.contains("name")), "{error}");
}
