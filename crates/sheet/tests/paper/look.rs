//! How sheets look: letters large enough, colours that print, nothing outside the margins.

use crate::bench::{cases, documents, example, fixed, pages, pdf, run, sheet_of, text};
use hayro_syntax::Pdf;
use sheet::{Job, JobTag, Mark, Paper, SheetKind, Typesetter};

/// Sizes of all letters of a file, points: `Tf` sets them, and no template scales text.
fn sizes(bytes: &[u8]) -> Vec<f64> {
    let file = Pdf::new(bytes.to_vec()).unwrap();
    let mut sizes = Vec::new();
    for page in file.pages().iter() {
        let stream = String::from_utf8_lossy(page.page_stream().unwrap()).into_owned();
        let words: Vec<&str> = stream.split_whitespace().collect();
        let sets = words.iter().enumerate().filter(|(i, word)| **word == "Tf" && *i > 0);
        sizes.extend(sets.filter_map(|(i, _)| words.get(i - 1)?.parse::<f64>().ok()));
    }
    sizes
}

/// Twelve points at the stand, common practice for paper that is read at arm's length.
#[test]
fn no_letter_of_the_build_sheet_is_smaller_than_twelve_points() {
    for case in cases() {
        let name = &case.0;
        let sizes = sizes(&sheet_of(case, SheetKind::Build));
        assert!(sizes.len() > 20, "{name}: {}", sizes.len());
        let least = sizes.iter().copied().fold(f64::INFINITY, f64::min);
        assert!(least >= 12.0 - 1e-6, "{name}: {least} pt");
    }
}

/// A letter is read at 0.9 m if it stands under 20 minutes of arc: 5.2 mm; capitals of the typeface are 0.727 of its size.
#[test]
fn hook_and_name_are_read_from_where_the_bike_hangs() {
    let (plan, work) = example();
    let tag = JobTag { hook: Some("12".to_owned()), customer: Some("Ada".to_owned()), ..JobTag::default() };
    let least_mm = 900.0 * (20.0_f64 / 60.0).to_radians().tan();
    for kind in [SheetKind::Build, SheetKind::Tag] {
        let sizes = sizes(&pdf(&plan, &work, &tag, kind, Paper::A4));
        let large = sizes.iter().filter(|size| *size * 0.727 / 72.0 * 25.4 >= least_mm).count();
        assert!(large >= 2, "{}: {sizes:?}", kind.word());
    }
}

/// Relative luminance and contrast as WCAG 2.1 defines them; 4.5 : 1 is its least for text (criterion 1.4.3).
fn luminance(hex: &str) -> f64 {
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
}

fn contrast(one: &str, other: &str) -> f64 {
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Black on white is 21 : 1 and the grey `#767676` is the well-known last one that passes on white.
#[test]
fn contrast_is_worked_out_as_the_standard_does() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    assert!((contrast("#767676", "#ffffff") - 4.54).abs() < 0.01);
}

#[test]
fn every_colour_that_carries_text_stands_out_from_what_is_behind_it() {
    for mark in [Mark::Ink, Mark::Quiet, Mark::Bad, Mark::Set] {
        for behind in [Mark::Paper, Mark::Wash] {
            let found = contrast(mark.hex(), behind.hex());
            assert!(found >= 4.5, "{mark:?} on {behind:?}: {found:.2}");
        }
    }
    let look = include_str!("../../src/look.typ");
    let colour = |name: &str| {
        let line = look.lines().find(|line| line.starts_with(&format!("#let {name} = rgb("))).unwrap();
        line.split('"').nth(1).unwrap().to_owned()
    };
    for name in ["ink", "quiet", "bad", "set-colour"] {
        assert!(contrast(&colour(name), "#ffffff") >= 4.5, "{name}");
    }
}

/// Lines that a printer without colour has to tell apart are broken differently or differ clearly in lightness.
#[test]
fn old_and_new_differ_in_lightness() {
    assert!(contrast(Mark::Ink.hex(), Mark::Quiet.hex()) >= 2.0);
    assert!(contrast(Mark::Quiet.hex(), Mark::Faint.hex()) >= 2.0);
}

/// Words of a file with their boxes: page width and height, then left, top, right, bottom of each, points.
fn boxes(name: &str, bytes: &[u8]) -> Vec<(f64, f64, [f64; 4], String)> {
    let told = run("pdftotext", name, bytes, &["-bbox", "-"]);
    let number = |line: &str, key: &str| {
        let from = line.find(&format!("{key}=\""))? + key.len() + 2;
        line[from..].split('"').next()?.parse::<f64>().ok()
    };
    let (mut width, mut height, mut all) = (0.0, 0.0, Vec::new());
    for line in told.lines().map(str::trim_start) {
        if line.starts_with("<page") {
            (width, height) = (number(line, "width").unwrap(), number(line, "height").unwrap());
        } else if line.starts_with("<word") {
            let at = ["xMin", "yMin", "xMax", "yMax"].map(|key| number(line, key).unwrap());
            all.push((width, height, at, line.to_owned()));
        }
    }
    all
}

/// Nothing spills: every word of every sheet of every case lies on its page, a printer's 4 mm from the edge.
#[test]
fn every_word_of_every_sheet_lies_within_the_paper() {
    for case in cases() {
        let name = &case.0;
        for kind in SheetKind::ALL {
            let words = boxes(&format!("boxes-{name}-{}", kind.word()), &sheet_of(case, kind));
            assert!(!words.is_empty(), "{name} {}", kind.word());
            for (width, height, [left, top, right, bottom], line) in words {
                let inside = left >= 11.0 && top >= 11.0 && right <= width - 11.0 && bottom <= height - 11.0;
                assert!(inside, "{name} {}: {line}", kind.word());
            }
        }
    }
}

/// A4 is 210 mm by 297 mm (ISO 216), Letter 8.5 in by 11 in; a point is 1/72 in.
#[test]
fn both_papers_have_their_size() {
    let (plan, work) = example();
    for (paper, size) in
        [(Paper::A4, [210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0]), (Paper::Letter, [8.5 * 72.0, 11.0 * 72.0])]
    {
        for kind in SheetKind::ALL {
            let bytes = pdf(&plan, &work, &JobTag::default(), kind, paper);
            let name = format!("paper-{}-{}", paper.word(), kind.word());
            let info = run("pdfinfo", &name, &bytes, &[]);
            let line = info.lines().find_map(|line| line.strip_prefix("Page size:")).unwrap();
            let mut found: Vec<f64> = line.split_whitespace().filter_map(|word| word.parse().ok()).collect();
            found.sort_by(f64::total_cmp);
            assert!(
                found.iter().zip(size).all(|(found, size)| (found - size).abs() < 0.01),
                "{name}: {line}"
            );
        }
    }
}

/// As a wrench is read: tenths below 20 N·m, whole newton metres above, one figure where both ends are the same.
fn torque(least: f64, most: f64) -> String {
    let figure = |value: f64| {
        let text = fixed(value, usize::from(most < 20.0));
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    };
    let (least, most) = (figure(least), figure(most));
    if least == most { format!("{least} N·m") } else { format!("{least}–{most} N·m") }
}

#[test]
fn torques_on_paper_are_those_of_the_json() {
    let mut seen = 0;
    for case in cases() {
        let name = &case.0;
        let json = serde_json::to_value(&case.2).unwrap();
        let record = text(&format!("torques-{name}"), &sheet_of(case, SheetKind::Record));
        let lines: Vec<&str> = record.lines().collect();
        for bolt in json["bolts"].as_array().unwrap() {
            let title = bolt["title"].as_str().unwrap();
            let Some(range) = bolt["newton_metres"].as_object() else { continue };
            let wanted = torque(range["least"].as_f64().unwrap(), range["most"].as_f64().unwrap());
            // A title may run over two lines with its torque between them.
            let first: Vec<&str> = title.split_whitespace().take(2).collect();
            let stands = lines.windows(3).any(|three| {
                three[1].contains(&first.join(" ")) && three.iter().any(|line| line.contains(&wanted))
            });
            assert!(stands, "{name} {title}: {wanted}\n{record}");
            seen += 1;
        }
    }
    assert!(seen > 50, "{seen}");
}

/// Whatever stands in a name, every sheet is made and stays on its paper.
#[test]
fn names_of_any_kind_spill_over_no_sheet() {
    let (mut plan, work) = example();
    let (more, _) = example();
    plan.findings.extend(more.findings);
    let (more, _) = example();
    plan.findings.extend(more.findings);
    assert!(plan.findings.len() >= 80, "{}", plan.findings.len());
    let typesetter = Typesetter::new();
    for (i, name) in [
        "x".repeat(400),
        "a very long name ".repeat(30),
        "דרך ארוכה مأخذ".to_owned(),
        "\u{1F6B2} bike".to_owned(),
    ]
    .into_iter()
    .enumerate()
    {
        plan.name.clone_from(&name);
        let some = Some(name.clone());
        let tag = JobTag {
            hook: some.clone(),
            customer: some.clone(),
            promised: some.clone(),
            collect: some.clone(),
            shop: some,
            made: Some("2026-11-30".to_owned()),
            link: Some("https://shop.example/job/12".to_owned()),
        };
        for kind in SheetKind::ALL {
            let job = Job { plan: &plan, work: &work, tag: &tag, estimate: None, pair: None };
            let bytes = typesetter.pdf(&job.sheet(kind).unwrap(), Paper::A4).unwrap();
            for (width, height, [left, top, right, bottom], line) in
                boxes(&format!("name-{i}-{}", kind.word()), &bytes)
            {
                // The box of a word is that of its typeface: one with deep letters reaches below its ink.
                let inside = left >= 11.0 && top >= 11.0 && right <= width - 11.0 && bottom <= height - 5.0;
                assert!(inside, "{name} {}: {line}", kind.word());
            }
        }
    }
}

/// A plan of which hardly anything is known still has all its sheets, and each says so.
#[test]
fn a_plan_with_unknown_dimensions_has_all_its_sheets() {
    let (plan, work) =
        documents("bare.toml", "name = \"bare\"\n[choice]\ncassette = \"cassette-11-road-11-28\"\n");
    for kind in SheetKind::ALL {
        let bytes = pdf(&plan, &work, &JobTag::default(), kind, Paper::A4);
        assert!(pages(&bytes) >= 1, "{}", kind.word());
    }
    let drawings =
        text("bare-drawings", &pdf(&plan, &work, &JobTag::default(), SheetKind::Drawings, Paper::A4));
    assert!(drawings.contains("measure first"), "{drawings}");
}
