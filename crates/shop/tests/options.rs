//! Options and words of an estimate over all cases: what is offered holds what it says, and no two sentences deny each
//! other.

#![expect(clippy::unwrap_used, reason = "a case that cannot be read stops the test")]

use catalog::Catalogue;
use fit::{Hazard, Plan, Verdict};
use jiff::civil::date;
use shop::{
    Answer, Circumstances, NEVER_TOGETHER, Said, TextBlock, TextBlocks, TextError, Way, WayName, Workshop,
    block_keys, contradictions, desk,
};
use std::path::Path;

const SHOP: &str = include_str!("../../cogwright/shop.toml");

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

fn plans(catalogue: &Catalogue) -> Vec<(String, Plan)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut files: Vec<_> = ["cases", "examples/choose"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    files
        .into_iter()
        .map(|file| {
            let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
            let text = std::fs::read_to_string(&file).unwrap();
            let refit = intake::read_refit(intake::Source { name: &name, text: &text }, catalogue).unwrap();
            (name, fit::plan(&refit, catalogue))
        })
        .collect()
}

#[test]
fn every_option_of_every_case_holds_what_it_says() {
    let (catalogue, shop) = (intake::built_in().unwrap(), shop());
    let mut seen = [0; 4];
    for (name, plan) in plans(&catalogue) {
        let desk = desk(&plan, &catalogue, &shop, Circumstances::default(), date(2026, 11, 25)).unwrap();
        let is = |wanted: WayName| desk.ways.iter().find(|way| way.name == wanted);
        if plan.stopped.is_some() {
            assert!(desk.ways.is_empty() && desk.no_way.is_empty(), "{name}");
            continue;
        }
        // Leaving it is always there, in front, and the names rise.
        assert_eq!(desk.ways[0].name, WayName::Leave, "{name}");
        assert!(desk.ways.windows(2).all(|two| two[0].name < two[1].name), "{name}");
        for way in &desk.ways {
            seen[way.name as usize] += 1;
            assert!(!matches!(way.verdict, Verdict::Fails | Verdict::Refused), "{name}");
            assert!(!way.words.is_empty());
        }
        for way in desk.ways.iter().skip(1) {
            priced(&name, way);
        }
        // Every name is offered or said why not; a name is never both.
        for wanted in [WayName::Good, WayName::Better, WayName::Best] {
            let missing = desk.no_way.iter().any(|(missing, _)| *missing == wanted);
            let has_better = is(WayName::Better).is_some() || wanted != WayName::Best;
            assert_eq!(is(wanted).is_none() && has_better, missing && has_better, "{name} {wanted:?}");
        }
        if let (Some(good), Some(better)) = (is(WayName::Good), is(WayName::Better)) {
            let pulls = |way: &Way| way.plan.as_ref().unwrap().pulls.len();
            assert!(pulls(good) < plan.pulls.len().max(pulls(better)), "{name}");
        }
        if let (Some(better), Some(best)) = (is(WayName::Better), is(WayName::Best)) {
            assert!(best.amber.is_empty() && !better.amber.is_empty(), "{name}");
        }
    }
    assert!(seen.iter().all(|count| *count > 1), "of each kind more than one: {seen:?}");
}

fn priced(name: &str, way: &Way) {
    let (estimate, plan) = (way.estimate.as_ref().unwrap(), way.plan.as_ref().unwrap());
    assert!(estimate.price.p50 <= estimate.price.p80 && estimate.labour.total.usual > 0, "{name}");
    let ready = way.ready.as_ref().unwrap();
    assert!(ready.promise.is_err() || ready.provisional.is_none(), "{name}");
    let marginal = plan.findings.iter().filter(|finding| finding.verdict == Verdict::Marginal).count();
    assert!(way.amber.len() >= marginal, "{name}: what works only just stands in the customer's copy");
}

#[test]
fn no_two_sentences_of_an_estimate_deny_each_other_and_safety_is_signed_for_by_itself() {
    let (catalogue, shop) = (intake::built_in().unwrap(), shop());
    let mut safety = 0;
    for (name, plan) in plans(&catalogue) {
        let Answer::Estimate(quote) =
            shop::estimate(&plan, &shop, Circumstances::default(), date(2026, 11, 25)).unwrap()
        else {
            continue;
        };
        assert_eq!(contradictions(&quote.said), Vec::new(), "{name}");
        let says = |id: &str| quote.said.iter().any(|said| said.id == id);
        assert_eq!(says("provisional"), plan.verdict == Verdict::Measure, "{name}");
        assert!(!(quote.signable.is_open() && (says("provisional") || says("over-ceiling"))), "{name}");
        let riders = plan
            .findings
            .iter()
            .filter(|finding| finding.verdict == Verdict::Marginal && finding.rule.hazard == Hazard::Rider);
        assert_eq!(quote.safety.len(), riders.count(), "{name}");
        safety += quote.safety.len();
        for item in &quote.safety {
            assert!(
                item.words.contains(&item.what) && item.words.contains("safety"),
                "{name}: {}",
                item.words
            );
        }
    }
    assert!(safety > 0, "no case has anything of safety that could be declined");
}

#[test]
fn sentences_that_deny_each_other_are_found() {
    let said = |id: &str| Said { id: id.to_owned(), version: 1, text: String::new() };
    assert_eq!(contradictions(&[said("fits"), said("gain"), said("amber")]), [("fits", "amber")]);
    assert_eq!(contradictions(&[said("fits"), said("gain"), said("money")]), []);
    for id in NEVER_TOGETHER.iter().flat_map(|group| group.iter()) {
        assert!(block_keys().any(|key| key == *id), "{id}");
    }
}

#[test]
fn a_block_of_the_shop_says_what_the_customer_has_to_be_told() {
    let edit = |id: &str, text: &str| {
        let block = TextBlock { id: id.to_owned(), version: 2, text: text.to_owned(), edited: None };
        TextBlocks::default().edit(block)
    };
    assert_eq!(edit("money", "about {expected}, at most {in_mind}, never over {ceiling}"), Ok(()));
    let silent = |lacks| Err(TextError::Silent { id: "money".to_owned(), lacks });
    assert_eq!(edit("money", "about {expected}, at most {in_mind}"), silent("ceiling"));
    assert_eq!(edit("settling", "  "), Err(TextError::Empty("settling".to_owned())));
    let message = edit("declined", "{what}: {cure}").unwrap_err().to_string();
    assert!(message.contains("`{harm}`, which the customer has to be told"), "{message}");
}
