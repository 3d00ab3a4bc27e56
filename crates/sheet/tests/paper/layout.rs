//! What stands together on paper: no box to sign alone on a page, only what a job has, and the estimate's own sums.

use crate::bench::{cases, estimates, example, pages, pdf, run, sheet_of, text, workshop};
use document::{PlanDocument, WorkDocument};
use sheet::{Job, JobTag, Paper, SheetKind, Typesetter};

type Case = (String, PlanDocument, WorkDocument);

/// The words of the last page, with single blanks between them.
fn last_page(name: &str, bytes: &[u8]) -> String {
    let last = pages(bytes).to_string();
    let told = run("pdftotext", name, bytes, &["-layout", "-f", &last, "-l", &last, "-"]);
    squeezed(&told)
}

fn squeezed(told: &str) -> String {
    told.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn first_words(text: &str, count: usize) -> String {
    text.split_whitespace().take(count).collect::<Vec<_>>().join(" ")
}

/// A sheet of a case with its estimate.
fn printed(case: &Case, kind: SheetKind, paper: Paper) -> Vec<u8> {
    if paper == Paper::A4 {
        return sheet_of(case, kind);
    }
    let (name, plan, work) = case;
    let job = Job { plan, work, tag: &JobTag::default(), estimate: estimates().get(name), pair: None };
    Typesetter::new().pdf(&job.sheet(kind).unwrap(), paper).unwrap()
}

/// The last line that is ordered stands on the page of the boxes that are signed for it, on either paper.
#[test]
fn boxes_under_the_parts_stand_with_parts() {
    for case in cases().iter().filter(|case| !case.1.parts.lines.is_empty()) {
        for paper in [Paper::A4, Paper::Letter] {
            let name = format!("layout-parts-{}-{}", case.0, paper.word());
            let last = last_page(&name, &printed(case, SheetKind::Parts, paper));
            let line = case.1.parts.lines.iter().rev().find(|line| line.small);
            let line = line.or(case.1.parts.lines.last()).unwrap();
            assert!(last.contains(&first_words(&line.name, 3)), "{name}: {last}");
            assert!(last.contains("picked, who and when") && last.contains("all priced lines"), "{name}");
        }
    }
}

/// Common jobs keep their parts to one page of A4.
#[test]
fn the_parts_of_every_case_are_one_page() {
    for case in cases() {
        assert_eq!(pages(&sheet_of(case, SheetKind::Parts)), 1, "{}", case.0);
    }
}

#[test]
fn who_signs_the_estimate_reads_on_the_same_page_what_is_signed() {
    for case in cases() {
        for paper in [Paper::A4, Paper::Letter] {
            let name = format!("layout-estimate-{}-{}", case.0, paper.word());
            let last = last_page(&name, &printed(case, SheetKind::Estimate, paper));
            assert!(last.contains("signature"), "{name}: {last}");
            let quote = &estimates()[&case.0]["estimate"];
            if let Some(said) = quote["said"].as_array().and_then(|all| all.last()) {
                assert!(last.contains(&first_words(said["text"].as_str().unwrap(), 5)), "{name}: {last}");
            }
            assert!(last.split_whitespace().count() > 40, "{name}: {last}");
        }
    }
}

#[test]
fn who_signs_the_record_signs_under_the_last_steps() {
    for case in cases() {
        let name = format!("layout-record-{}", case.0);
        let last = last_page(&name, &sheet_of(case, SheetKind::Record));
        let step = case.2.order.last().unwrap();
        assert!(last.contains(&first_words(step.title, 3)), "{name}: {last}");
    }
}

/// The sums on paper are those of the estimate's JSON, and so is every line.
#[test]
fn the_estimate_on_paper_has_the_sums_of_the_json() {
    let mut seen = 0;
    for case in cases() {
        let all = &estimates()[&case.0];
        let told = squeezed(&text(&format!("layout-sums-{}", case.0), &sheet_of(case, SheetKind::Estimate)));
        let amount = |value: &serde_json::Value| value["text"].as_str().unwrap().to_owned();
        let payable = if all["none"].is_null() { &all["estimate"] } else { &all["none"] };
        assert!(told.contains(&amount(&payable["totals"]["payable"])), "{}", case.0);
        for line in all["estimate"]["lines"].as_array().into_iter().flatten() {
            assert!(told.contains(&amount(&line["amount"])), "{} {}: {told}", case.0, line["words"]);
            seen += 1;
        }
        for part in ["ceiling", "deposit"] {
            let part = &all["estimate"][part]["amount"];
            assert!(part.is_null() || told.contains(&amount(part)), "{} {part}", case.0);
        }
        for offer in all["estimate"]["while_apart"].as_array().into_iter().flatten() {
            assert!(
                told.contains(&format!("+{} min, {}", offer["now_minutes"], amount(&offer["now"]))),
                "{told}"
            );
        }
    }
    assert!(seen > 60, "{seen}");
    assert!(!workshop().name.is_empty());
}

/// After a crack nothing is ordered, cut or tightened: the sheets say why, and print no box for what will not be done.
#[test]
fn a_job_that_ends_prints_why_and_only_what_is_left_to_do() {
    let case = cases().iter().find(|(_, plan, _)| plan.stopped.is_some()).unwrap();
    let told = |kind: SheetKind| squeezed(&text(&format!("stopped-{}", kind.word()), &sheet_of(case, kind)));
    for kind in
        [SheetKind::Estimate, SheetKind::Parts, SheetKind::Build, SheetKind::Record, SheetKind::HandOver]
    {
        let told = told(kind);
        assert!(told.contains("is the frame sound?") && told.contains("crack"), "{}: {told}", kind.word());
        assert_eq!(pages(&sheet_of(case, kind)), 1, "{}", kind.word());
        for words in
            ["chain, pitches", "value set", "witness", "Cut list", "FRONT BRAKE: not known", "measure first"]
        {
            assert!(!told.contains(words), "{} {words}: {told}", kind.word());
        }
    }
    assert!(told(SheetKind::HandOver).contains("why we stop here"));
    assert!(!told(SheetKind::HandOver).contains("walking pace"), "a bike that is not ridden is not tried");
    assert!(told(SheetKind::Record).contains("not to be ridden: signature"));
    assert!(told(SheetKind::Strip).contains("nothing is cut"));
}

/// The boxes ask for what the steps of the job write down, by the number of the step, and for nothing else.
#[test]
fn values_are_asked_for_by_the_steps_that_a_job_has() {
    let (mut all, mut none) = (0, 0);
    for case in cases().iter().filter(|case| case.1.stopped.is_none()) {
        let record = squeezed(&text(&format!("values-{}", case.0), &sheet_of(case, SheetKind::Record)));
        let has = |step: &str| case.2.order.iter().any(|placed| placed.step == step);
        for (at, placed) in case.2.order.iter().enumerate() {
            let is_asked = placed.record.is_some() && placed.block != "A";
            if is_asked && !["first-bolt-check", "second-check"].contains(&placed.step) {
                let number = format!("{} {}", at + 1, first_words(placed.title, 2));
                let number = number.trim_end_matches([',', ';', ':']);
                assert!(record.contains(number), "{} {number}: {record}", case.0);
                all += 1;
            }
        }
        let build = text(&format!("blanks-{}", case.0), &sheet_of(case, SheetKind::Build));
        assert_eq!(build.contains("chain, pitches fitted"), has("chain-fit"), "{}", case.0);
        none += usize::from(!has("chain-fit"));
    }
    assert!(all > 100 && none > 0, "{all} {none}");
}

/// The code that opens the job is a link where the sheet is read on a screen: another program says which.
#[test]
fn the_code_opens_the_job() {
    let (plan, work) = example();
    let tag = JobTag { link: Some("https://shop.example/jobs/A-12".to_owned()), ..JobTag::default() };
    for kind in [SheetKind::Build, SheetKind::Tag, SheetKind::Record, SheetKind::HandOver] {
        let bytes = pdf(&plan, &work, &tag, kind, Paper::A4);
        let told = run("pdfinfo", &format!("code-{}", kind.word()), &bytes, &["-url"]);
        assert!(told.contains("https://shop.example/jobs/A-12"), "{}: {told}", kind.word());
        let job = Job { plan: &plan, work: &work, tag: &tag, estimate: None, pair: None };
        assert!(job.sheet(kind).unwrap().drawings.contains_key("qr"), "{}", kind.word());
    }
    let bare = Job { plan: &plan, work: &work, tag: &JobTag::default(), estimate: None, pair: None };
    assert!(!bare.sheet(SheetKind::Build).unwrap().drawings.contains_key("qr"));
}
