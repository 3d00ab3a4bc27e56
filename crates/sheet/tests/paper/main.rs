//! The sheets of all cases: page counts, text against the plan, two independent readers, typefaces, the strip at 1 : 1,
//! how they look (sizes, contrast, margins), what stands together, and the wheel against its own numbers.

#![expect(clippy::unwrap_used, reason = "a sheet that cannot be made fails its test")]

mod bench;
mod layout;
mod look;
mod wheel;

use bench::{cases, documents, example, fixed, measured, pages, pdf, run, sheet_of, text};
use hayro_syntax::Pdf;
use sheet::{JobTag, Paper, SheetKind, drawings};

#[test]
fn the_build_sheet_of_every_case_is_one_leaf_of_two_sides_on_both_papers() {
    for case in cases() {
        let (name, plan, work) = case;
        let letter = pdf(plan, work, &JobTag::default(), SheetKind::Build, Paper::Letter);
        // Where the job ends before a bolt is turned there is nothing for the back.
        let sides = if plan.stopped.is_some() { 1 } else { 2 };
        assert_eq!((pages(&sheet_of(case, SheetKind::Build)), pages(&letter)), (sides, sides), "{name}");
    }
}

#[test]
fn the_hand_over_of_every_case_is_one_page_and_so_is_the_tag() {
    for case in cases() {
        assert_eq!(pages(&sheet_of(case, SheetKind::HandOver)), 1, "{}", case.0);
        assert_eq!(pages(&sheet_of(case, SheetKind::Tag)), 1, "{}", case.0);
    }
}

/// Every number of the gear table, of the lowest gear and of the cut list that stands on paper is the plan's own.
#[test]
fn the_text_of_the_sheets_has_the_numbers_of_the_plan() {
    for case in cases() {
        let (name, plan, _) = case;
        let build = text(&format!("build-{name}"), &sheet_of(case, SheetKind::Build));
        for pair in &plan.gears.after.pairs {
            if let Some(development) = pair.development_m {
                assert!(build.contains(&fixed(development, 2)), "{name} {}: {build}", pair.pair);
            }
        }
        for cut in plan.geometry.cut_list.value.iter().flat_map(|list| &list.cuts) {
            assert!(build.contains(&format!("{} mm", fixed(cut.length_mm[0], 0))), "{name} {}", cut.piece);
        }
        for flag in &plan.flags {
            let first: Vec<&str> = flag.split_whitespace().take(3).collect();
            assert!(build.contains(&first.join(" ")), "{name} {flag}");
        }
        let hand_over = text(&format!("hand-over-{name}"), &sheet_of(case, SheetKind::HandOver));
        for lowest in [plan.gears.before.lowest_m, plan.gears.after.lowest_m] {
            if let (Some(_), Some(_), Some(lowest)) =
                (plan.gears.before.lowest_m, plan.gears.after.lowest_m, lowest)
            {
                assert!(hand_over.contains(&format!("{} m", fixed(lowest, 2))), "{name} {lowest}");
            }
        }
    }
}

#[test]
fn the_parts_list_has_the_quantities_and_prices_of_the_plan() {
    let (plan, work) = example();
    let parts = pdf(&plan, &work, &JobTag::default(), SheetKind::Parts, Paper::A4);
    let parts = text("parts", &parts);
    let squeezed = parts.split_whitespace().collect::<Vec<_>>().join(" ");
    for line in &plan.parts.lines {
        let first: Vec<&str> = line.name.split_whitespace().take(3).collect();
        assert!(squeezed.contains(&format!("{} {}", line.quantity, first.join(" "))), "{}", line.name);
        if let Some(minor) = line.price_minor {
            assert!(parts.contains(&format!("{}.{:02}", minor / 100, minor % 100)), "{}", line.name);
        }
    }
}

#[test]
fn every_typeface_is_embedded_and_both_readers_agree_on_the_pages() {
    let (plan, work) = example();
    let tag = JobTag { customer: Some("דרך عجلة".to_owned()), ..JobTag::default() };
    for kind in SheetKind::ALL {
        let bytes = pdf(&plan, &work, &tag, kind, Paper::A4);
        let info = run("pdfinfo", kind.word(), &bytes, &[]);
        let count = info.lines().find_map(|line| line.strip_prefix("Pages:")).unwrap();
        assert_eq!(count.trim().parse::<usize>().unwrap(), pages(&bytes), "{}", kind.word());
        let fonts = run("pdffonts", kind.word(), &bytes, &[]);
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty(), "{}", kind.word());
        for row in rows {
            let words: Vec<&str> = row.split_whitespace().collect();
            // Columns from the right: object, generation, Unicode, subset, embedded.
            assert_eq!(words[words.len() - 5], "yes", "{}: {row}", kind.word());
        }
    }
}

#[test]
fn overlong_names_right_to_left_text_emoji_and_many_findings_spill_over_no_page() {
    let (mut plan, work) = example();
    while plan.findings.len() < 80 {
        let (more, _) = example();
        plan.findings.extend(more.findings);
    }
    for name in [
        "x".repeat(400),
        "a very long name ".repeat(30),
        "דרך ארוכה מאוד".to_owned(),
        "\u{1F6B2} bike".to_owned(),
    ] {
        plan.name.clone_from(&name);
        let tag = JobTag { hook: Some(name.clone()), customer: Some(name.clone()), ..JobTag::default() };
        assert_eq!(pages(&pdf(&plan, &work, &tag, SheetKind::Build, Paper::A4)), 2, "{name}");
        assert_eq!(pages(&pdf(&plan, &work, &tag, SheetKind::Tag, Paper::A4)), 1, "{name}");
    }
}

/// Lengths of all straight lines of a file, points.
fn lines(bytes: Vec<u8>) -> Vec<f64> {
    let file = Pdf::new(bytes).unwrap();
    let mut all = Vec::new();
    for page in file.pages().iter() {
        let stream = String::from_utf8_lossy(page.page_stream().unwrap()).into_owned();
        let words: Vec<&str> = stream.split_whitespace().collect();
        let number = |at: usize| words.get(at).and_then(|word| word.parse::<f64>().ok());
        let ends = words.iter().enumerate().filter(|(i, word)| **word == "l" && *i >= 5);
        all.extend(ends.filter_map(|(i, _)| {
            Some((number(i - 2)? - number(i - 5)?).hypot(number(i - 1)? - number(i - 4)?))
        }));
    }
    all
}

/// Lengths are drawn in the units of the file: 100 mm are 283.46 points of 1/72 inch (ISO 32000-1).
#[test]
fn the_strip_is_one_to_one_in_the_units_of_the_file() {
    let (plan, work) = example();
    let is_there = |lines: &[f64], mm: f64| lines.iter().any(|long| (long - mm / 25.4 * 72.0).abs() < 0.01);
    for paper in [Paper::A4, Paper::Letter] {
        let found = lines(pdf(&plan, &work, &JobTag::default(), SheetKind::Strip, paper));
        assert!(is_there(&found, 100.0), "{found:?}");
    }
    // 297 mm less two margins of 13 mm hold rows of 250 mm, so that figures stand at round places in every row; what is
    // longer than four rows goes by the tape.
    let (_, plan, work) = cases().iter().find(|(name, ..)| name.contains("12b")).unwrap();
    let cuts = &plan.geometry.cut_list.value.as_ref().unwrap().cuts;
    let found = lines(pdf(plan, work, &JobTag::default(), SheetKind::Strip, Paper::A4));
    let mut drawn = 0;
    for cut in cuts.iter().map(|cut| cut.cut_at_mm[0].round()).filter(|mm| *mm <= 1000.0) {
        let last = if cut % 250.0 == 0.0 { 250.0 } else { cut % 250.0 };
        assert!(is_there(&found, last), "{cut} mm: {found:?}");
        drawn += 1;
    }
    assert!(drawn >= 3, "{drawn}");
}

#[test]
fn every_drawing_of_every_case_is_well_formed_and_finite_and_has_words() {
    for (name, plan, _) in cases() {
        for (file, drawing) in drawings::all(plan, None) {
            let svg = drawing.svg().unwrap();
            let tree = roxmltree::Document::parse(&svg).unwrap();
            assert!(tree.descendants().any(|node| node.has_tag_name("desc")), "{name} {file}");
            for node in tree.descendants().filter(roxmltree::Node::is_element) {
                for attribute in node.attributes() {
                    assert!(
                        !attribute.value().contains("NaN") && !attribute.value().contains("inf"),
                        "{name} {file}"
                    );
                }
                if let Some(size) = node.attribute("font-size") {
                    assert!(size.parse::<f64>().unwrap() >= 2.6, "{name} {file}");
                }
            }
            let words: Vec<f64> = tree
                .descendants()
                .filter(|node| node.has_tag_name("text"))
                .map(|node| node.attribute("x").unwrap().parse().unwrap())
                .collect();
            assert!(!words.is_empty() && words.iter().all(|x| (-0.5..=180.5).contains(x)), "{name} {file}");
        }
    }
}

/// Centre of the ring to centre of the cog is the chainstay of the file, 412 mm, at 1 : 3.5.
#[test]
fn the_drivetrain_is_to_scale() {
    let (plan, _) = example();
    let svg = drawings::drivetrain(&plan, None).svg().unwrap();
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let centres: Vec<(f64, f64)> = tree
        .descendants()
        .filter(|node| node.has_tag_name("circle") && node.attribute("r") == Some("0.8"))
        .map(|node| ["cx", "cy"].map(|key| node.attribute(key).unwrap().parse::<f64>().unwrap()).into())
        .collect();
    assert_eq!(centres.len(), 2);
    let apart = (centres[0].0 - centres[1].0).hypot(centres[0].1 - centres[1].1) * 3.5;
    assert!((apart - 412.0).abs() < 0.1, "{apart}");
}

/// Lengths of the straight lines of a thickness in a drawing, millimetres of paper.
fn drawn_lines(svg: &str, width: &str) -> Vec<f64> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let of_width = |node: &roxmltree::Node<'_, '_>| {
        node.has_tag_name("line") && node.attribute("stroke-width") == Some(width)
    };
    let at = |node: &roxmltree::Node<'_, '_>, key| node.attribute(key).unwrap().parse::<f64>().unwrap();
    let length = |node: roxmltree::Node<'_, '_>| {
        (at(&node, "x2") - at(&node, "x1")).hypot(at(&node, "y2") - at(&node, "y1"))
    };
    tree.descendants().filter(of_width).map(length).collect()
}

/// The stem of the file is 110 mm long before and after, drawn at 1 : 2; its bars reach and drop as measured.
#[test]
fn the_hands_are_to_scale() {
    let (plan, _) = measured();
    let svg = drawings::hands(&plan).svg().unwrap();
    for width in ["1.08", "1.98"] {
        assert!(drawn_lines(&svg, width).iter().any(|long| (long * 2.0 - 110.0).abs() < 0.1), "{svg}");
    }
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let bars: Vec<Vec<(f64, f64)>> = tree
        .descendants()
        .filter_map(|node| node.attribute("points").filter(|_| node.has_tag_name("polyline")))
        .map(|points| {
            let place = |pair: &str| {
                let (x, y) = pair.split_once(',').unwrap();
                (x.parse().unwrap(), y.parse().unwrap())
            };
            points.split(' ').map(place).collect()
        })
        .collect();
    assert_eq!(bars.len(), 2);
    for (bar, (reach, drop)) in bars.iter().zip([(92.0, 140.0), (80.0, 125.0)]) {
        let far = |of: fn(&(f64, f64)) -> f64| bar.iter().map(of).fold(f64::MIN, f64::max) - of(&bar[0]);
        // The curve is given in straight pieces, which cut its corners by less than half a millimetre.
        assert!((far(|at| at.0) * 2.0 - reach).abs() < 0.5 && (far(|at| at.1) * 2.0 - drop).abs() < 0.5);
    }
}

/// Every run begins at its lever on the same line, and all lengths have one scale.
#[test]
fn cable_routes_are_to_scale_among_each_other() {
    let (plan, _) = measured();
    let svg = drawings::cables(&plan).svg().unwrap();
    let list = plan.geometry.cut_list.value.as_ref().unwrap();
    let wanted = |is_inner: bool| {
        let cuts = list.cuts.iter().filter(|cut| (cut.tips > 0) == is_inner);
        cuts.map(|cut| cut.length_mm[0]).collect::<Vec<_>>()
    };
    for (width, wanted) in [("1.8", wanted(false)), ("0.5", wanted(true))] {
        let drawn = drawn_lines(&svg, width);
        assert_eq!(drawn.len(), wanted.len());
        let longest = list.cuts.iter().map(|cut| cut.length_mm[0]).fold(0.0, f64::max);
        for (drawn, wanted) in drawn.iter().zip(wanted) {
            assert!((drawn / 116.0 - wanted / longest).abs() < 1e-3, "{drawn} {wanted}");
        }
    }
}

/// The old bike lies dashed under the new one, with a circle for each of its four wheels.
#[test]
fn the_old_drivetrain_is_overlaid() {
    let (plan, _) = measured();
    let svg = drawings::drivetrain(&plan, None).svg().unwrap();
    let dashed = svg.lines().filter(|line| line.starts_with("<circle") && line.contains("dasharray")).count();
    assert_eq!(dashed, 4, "{svg}");
    assert!(svg.contains("as found: 52x25, 106 pitches"));
}

/// The arrow of one click is as long on the scale of the picture as a click moves the guide pulley.
#[test]
fn the_arrow_of_a_click_is_to_the_scale_of_the_landing() {
    let (plan, _) = measured();
    let svg = drawings::index(&plan).svg().unwrap();
    let arrow = drawn_lines(&svg, "0.8")[0];
    let click = plan.geometry.landing.value.as_ref().unwrap().gears[3].click_mm;
    // Marks of the axis stand half a millimetre of the bike apart.
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let mark = |text: &str| {
        let node = tree.descendants().find(|node| node.has_tag_name("text") && node.text() == Some(text));
        node.unwrap().attribute("x").unwrap().parse::<f64>().unwrap()
    };
    assert!((arrow / (mark("0.5") - mark("0.0")) * 0.5 - click).abs() < 0.005, "{arrow} {click}");
    // 0.8 mm of thread in four clicks at a ratio of 1.4: 0.28 mm, from the definition of the ratio.
    assert!((click - 0.8 / 4.0 * 1.4).abs() < 1e-6, "{click}");
}

/// A plan whose measurements are missing is drawn as unknown and names what is missing.
#[test]
fn what_is_unknown_is_said_and_not_drawn() {
    let (plan, _) =
        documents("bare.toml", "name = \"bare\"\n[choice]\ncassette = \"cassette-11-road-11-28\"\n");
    let svg = drawings::drivetrain(&plan, None).svg().unwrap();
    assert!(svg.contains("measure first") && svg.contains("chainstay"), "{svg}");
    assert!(!svg.contains("<circle"));
}

#[test]
fn what_is_only_drawn_where_it_was_measured() {
    let (plan, _) = measured();
    for (name, drawing) in drawings::all(&plan, None) {
        assert_eq!(drawing.shows(), sheet::Shows::Picture, "{name}");
        if ["drivetrain", "hands", "cables", "tape"].contains(&name) {
            insta::assert_snapshot!(format!("measured-{name}"), drawing.svg().unwrap());
        }
    }
}

#[test]
fn the_drawings_of_the_example() {
    let (plan, _) = example();
    for (name, drawing) in drawings::all(&plan, None) {
        insta::assert_snapshot!(name, drawing.svg().unwrap());
    }
}

/// The change order that the example file makes of a case, as the documents hold it.
fn change_order() -> document::ChangeOrderDocument {
    let shop = std::fs::read_to_string(bench::root().join("crates/cogwright/shop.toml")).unwrap();
    let shop = intake::read_shop(intake::Source { name: "shop.toml", text: &shop }).unwrap();
    let catalogue = intake::built_in().unwrap();
    let text = std::fs::read_to_string(bench::root().join("examples/change/bent-hanger.toml")).unwrap();
    let change =
        intake::read_change(intake::Source { name: "change.toml", text: &text }, &shop.book, &catalogue)
            .unwrap();
    let text = std::fs::read_to_string(bench::root().join("cases/case-1-control.toml")).unwrap();
    let refit = intake::read_refit(intake::Source { name: "case.toml", text: &text }, &catalogue).unwrap();
    let plan = fit::plan(&refit, &catalogue);
    let operations: Vec<_> = shop::wanted(&plan, shop::Circumstances::default())
        .into_iter()
        .map(|wanted| wanted.operation)
        .collect();
    let promised = Some("2026-11-25".parse().unwrap());
    let job = shop::UnderWay {
        name: &plan.name,
        operations: &operations,
        age: shop::Age::Sound,
        promised,
        beside: &shop.open_jobs,
    };
    let order = shop::change_order(&shop, job, change, "2026-11-25".parse().unwrap()).unwrap();
    document::ChangeOrderDocument::of(&order, &shop.name, "2026-11-25", &shop.book)
}

#[test]
fn a_change_order_is_one_page_with_every_choice_its_price_and_its_own_line_for_what_is_declined() {
    let order = change_order();
    for paper in [Paper::A4, Paper::Letter] {
        let files = sheet::change_order(&order, Some("the customer")).unwrap();
        let bytes = sheet::Typesetter::new().pdf(&files, paper).unwrap();
        assert_eq!(pages(&bytes), 1, "{paper:?}");
        let told = text(&format!("change-order-{}", paper.word()), &bytes);
        for choice in &order.choices {
            assert!(told.contains(&choice.price.text), "{}: {told}", choice.price.text);
            let day = &choice.promise.as_ref().unwrap().promised;
            assert!(told.contains(day.as_str()), "{day}: {told}");
        }
        for words in [
            "measured: 2 turns of the bolt hold",
            "limit: at least 6 turns",
            "hanger-thread.jpg",
            "not visible at intake",
            "made safe and parked",
            "This concerns your safety",
            "own signature",
            "two cable end tips",
        ] {
            assert!(told.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{words}: {told}");
        }
    }
}
