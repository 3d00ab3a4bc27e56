//! Refit, catalogue and case files that are in order, and what is wrong with those that are not.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot have its input fails there")]

use catalog::{Catalogue, Dimension, Slot};
use fit::{Hands, LowestGear};
use intake::case::read_case;
use intake::{Problems, Source, built_in, read_catalogue, read_refit};
use quantity::{Basis, Reading};

const CASSETTES: &str = r#"
[sources]
hub-bodies = "table of a standard"
[[cassette]]
id = "cassette-11-28"
name = "cassette 11-28"
price = "64.00 EUR"
mass = "284 g"
lead_days = 0
cogs = [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28]
spline = "9-shallow"
body_needed = "36.75 mm published hub-bodies"
[[stem]]
id = "stem-110"
name = "stem 110"
length = "110 mm printed"
[[cassette]]
id = "cassette-11-30"
name = "cassette 11-30"
[[small]]
id = "ferrule-5"
name = "ferrule, 5 mm"
price = "0.50 EUR"
"#;

fn catalogue() -> Catalogue {
    let read = read_catalogue(&[Source { name: "cassettes.toml", text: CASSETTES }]);
    read.unwrap_or_else(|problems| panic!("{problems}"))
}

fn wrong(texts: &[(&str, &str)]) -> Problems {
    let sources: Vec<Source<'_>> = texts.iter().map(|(name, text)| Source { name, text }).collect();
    read_catalogue(&sources).unwrap_err()
}

#[test]
fn the_catalogue_of_the_program_is_in_order() {
    let catalogue = built_in().unwrap_or_else(|problems| panic!("{problems}"));
    assert!(catalogue.parts.len() > 50 && !catalogue.small.is_empty() && !catalogue.sources.is_empty());
}

#[test]
fn a_catalogue_keeps_the_order_of_its_file() {
    let catalogue = catalogue();
    let ids: Vec<_> = catalogue.parts.iter().filter_map(|part| part.id()).collect();
    assert_eq!(ids, ["cassette-11-28", "stem-110", "cassette-11-30"]);
    let cassette = catalogue.find("cassette-11-28").unwrap();
    assert_eq!(cassette.price().unwrap().minor(), 6400);
    assert_eq!((cassette.mass().unwrap().to_grams(), cassette.lead_days()), (284.0, Some(0)));
    let body = cassette.get(Dimension::BodyNeeded).unwrap();
    assert_eq!(body.taken().unwrap().basis(), &Basis::Published("hub-bodies".into()));
    assert_eq!(cassette.get(Dimension::CassetteSpline).unwrap().taken().unwrap().to_string(), "9-shallow");
    let other = catalogue.find("cassette-11-30").unwrap();
    assert_eq!((other.price(), other.lead_days()), (None, None));
    assert_eq!(catalogue.small["ferrule-5"].price.unwrap().minor(), 50);
}

#[test]
fn a_key_stands_for_one_part_in_all_files() {
    let first = "[[stem]]\nid = 'a'\nname = 'a'\n";
    let problems = wrong(&[
        ("one.toml", first),
        ("two.toml", "[[bar]]\n\nid = 'a'\nname = 'a'\n[[small]]\nid = 'a'\nname = 'a'\n"),
    ]);
    assert_eq!(problems.count(), 2, "{problems}");
    let shown = problems.to_string();
    assert!(shown.contains("two.toml:3:6") && shown.contains("two.toml:6:6"), "{shown}");
    assert_eq!(shown.matches("the key `a` is taken").count(), 2, "{shown}");
    assert_eq!(shown.matches("it stands first at one.toml:2").count(), 2, "{shown}");
}

#[test]
fn a_source_may_stand_in_any_file_but_means_one_thing() {
    let part = "[[stem]]\nid = 'a'\nname = 'a'\nlength = '110 mm published book'\n";
    let source = "[sources]\nbook = 'a book'\n";
    let read =
        read_catalogue(&[Source { name: "one.toml", text: part }, Source { name: "two.toml", text: source }]);
    assert_eq!(read.unwrap().sources["book"], "a book");
    assert!(wrong(&[("one.toml", part)]).to_string().contains("`book` is not the key of a source"));
    let other = wrong(&[("one.toml", source), ("two.toml", "[sources]\nbook = 'another'\n")]);
    assert!(other.to_string().contains("two.toml:2:1") && other.count() == 1, "{other}");
}

#[test]
fn what_is_no_catalogue_is_refused() {
    for (text, what) in [
        ("[[stem]]\nname = 'a'\n", "this entry has no `id`"),
        ("[[stem]]\nid = 'a'\n", "this entry has no `name`"),
        ("[[small]]\nid = 'a'\n", "this entry has no `name`"),
        ("[stem]\nid = 'a'\n", "`stem` is a table; a list of tables is wanted"),
        ("stem = [1]\n", "`stem` is a whole number; a table is wanted"),
        ("[[stem]]\nid = 'A b'\nname = 'a'\n", "`A b` is no key for a part"),
        ("[[stem]]\nid = 3\nname = 'a'\n", "`id` is a whole number"),
        ("[[steam]]\nid = 'a'\n", "did you mean `stem`?"),
        ("[[stem]]\nid = 'a'\nname = 'a'\npart = 'b'\n", "`part` is not a key of `[[stem]]`"),
        ("[[stem]]\nid = 'a'\nname = 'a'\nprice = '9'\n", "is not an amount"),
        ("[[stem]]\nid = 'a'\nname = 'a'\nlead_days = -1\n", "`lead_days` is outside 0 to 500"),
        ("[[stem]]\nid = 'a'\nname = 'a'\nlength = 110\n", "`length` needs a unit"),
        ("[[small]]\nid = 'a'\nname = 'a'\nmass = '1 g'\n", "`mass` is not a key of `[[small]]`"),
        ("[sources]\na = 3\n", "`a` is a whole number; text in quotes is wanted"),
    ] {
        let problems = wrong(&[("parts.toml", text)]);
        assert!(problems.to_string().contains(what), "{what:?} is not in\n{problems}");
        assert_eq!(problems.count(), 1, "{problems}");
        assert!(problems.iter().all(|(_, problem)| problem.place.is_some()), "{problems}");
    }
}

#[test]
fn a_refit_is_read_with_all_its_tables() {
    let text = r#"
name = "hook 12"
why = "to show the form"
bike.stem = "stem-110"
[wish]
words = "easier hills"
lowest_gear = "10 %"
hands = "free"
ceiling = "1100.00 EUR"
ready_in_days = 14
[rider]
mass = "82 kg"
power = "180 W"
inseam = "820 mm"
[bike.cassette]
part = "cassette-11-28"
spline = "9-shallow"
[choice.stem]
part = "stem-110"
name = "the customer's own"
length = "100 ± 1 mm"
[choice.chain]
price = "38.00 EUR"
speeds = "11 printed"
[expect]
anything = { at = "all" }
"#;
    let refit = read_refit(Source { name: "x.toml", text }, &catalogue())
        .unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(refit.name, "hook 12");
    assert_eq!(refit.wish.words.as_deref(), Some("easier hills"));
    assert!(
        matches!(refit.wish.lowest_gear, Some(LowestGear::EasierBy(percent)) if percent.to_percent() == 10.0)
    );
    assert_eq!((refit.wish.hands, refit.wish.ready_in_days), (Some(Hands::Free), Some(14)));
    assert_eq!(refit.wish.ceiling.unwrap().minor(), 110_000);
    assert_eq!(refit.rider.mass.unwrap().to_grams(), 82_000.0);
    assert_eq!(refit.rider.power.unwrap().to_watts(), 180.0);
    assert_eq!(refit.rider.inseam.unwrap().to_mm(), 820.0);
    let found = refit.bike.cassette.as_ref().unwrap();
    assert_eq!(found.id.as_deref(), Some("cassette-11-28"));
    assert_eq!(found.spec.spline.taken().unwrap().value, catalog::Spline::NineShallow);
    assert_eq!(found.spec.cogs.taken().unwrap().value.len(), 11);
    let stem = refit.choice.stem.as_ref().unwrap();
    assert_eq!((stem.id.as_deref(), stem.name.as_str()), (Some("stem-110"), "the customer's own"));
    assert_eq!(stem.spec.length.taken().unwrap().tolerance.to_mm(), 1.0);
    assert_eq!(refit.bike.stem.as_ref().unwrap().spec.length.taken().unwrap().tolerance.to_mm(), 0.0);
    let chain = refit.choice.get(Slot::Chain).unwrap();
    assert_eq!((chain.id(), chain.name(), chain.mass()), (None, "chain", None));
    assert_eq!(chain.get(Dimension::ChainCount), Some(Reading::NotTaken));
    assert!(!refit.bike.has(Slot::Frame));
}

#[test]
fn a_measurement_without_tolerance_has_that_of_its_tool() {
    let text = "name = 'x'\n[bike.frame]\nchainstay = '410 mm'\nhanger_drop = '28 mm printed'\n[bike.rear_derailleur]\nratio = 1.7\n";
    let bike = read_refit(Source { name: "x", text }, &Catalogue::default()).unwrap().bike;
    let frame = &bike.frame.as_ref().unwrap().spec;
    assert_eq!(frame.chainstay.taken().unwrap().tolerance.to_mm(), 3.0);
    assert_eq!(frame.hanger_drop.taken().unwrap().tolerance.to_mm(), 0.0);
    let ratio = bike.rear_derailleur.as_ref().unwrap().spec.ratio.taken().unwrap();
    assert!((ratio.tolerance.to_f64() - 0.017).abs() < 1e-12);
}

#[test]
fn a_case_says_what_its_plan_must_say() {
    let text = r#"
name = "short body"
why = "a body of 34.95 mm is too short for the cassette"
[expect]
verdict = "fails"
says = ["too short"]
never_says = ["fits"]
adds = ["ferrule-5", "stem-110"]
never_asks = ["chainstay length"]
[expect.findings]
body-length = "fails"
[expect.numbers]
"chain.needed_pitches" = "108.45"
"#;
    let case = read_case(Source { name: "x.toml", text }, &catalogue())
        .unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(case.refit.name, "short body");
    assert!(case.why.starts_with("a body"));
    let expect = case.expect;
    assert_eq!(expect.verdict.as_deref(), Some("fails"));
    assert_eq!((expect.says, expect.never_says), (vec!["too short".to_owned()], vec!["fits".to_owned()]));
    assert_eq!(expect.adds, ["ferrule-5", "stem-110"]);
    assert_eq!(expect.never_asks, ["chainstay length"]);
    assert_eq!(expect.findings["body-length"], "fails");
    assert_eq!(expect.numbers["chain.needed_pitches"], "108.45");
}

#[test]
fn what_is_no_case_is_refused() {
    let head = "name = 'x'\nwhy = 'y'\n[expect]\n";
    for (text, what) in [
        ("name = 'x'\n[expect]\n".to_owned(), "the case has no `why`"),
        ("name = 'x'\nwhy = 'y'\n".to_owned(), "the case has no `expect`"),
        (format!("{head}say = ['a']"), "did you mean `says`?"),
        (format!("{head}says = 'a'"), "a list of texts is wanted"),
        (format!("{head}says = ['']"), "an empty text in `says` checks nothing"),
        (format!("{head}adds = ['ferule-5']"), "did you mean `ferrule-5`?"),
        (format!("{head}never_asks = ['chainstay lenght']"), "did you mean `chainstay length`?"),
        (format!("{head}numbers.chain.needed_pitches = '1'"), "a path with dots stands in quotes"),
        (format!("{head}numbers.needed = 1.5"), "text in quotes is wanted"),
        (format!("{head}verdict = true"), "`verdict` is true or false"),
    ] {
        let problems = read_case(Source { name: "x.toml", text: &text }, &catalogue()).unwrap_err();
        assert!(problems.to_string().contains(what), "{what:?} is not in\n{problems}");
        assert_eq!(problems.count(), 1, "{problems}");
    }
}
