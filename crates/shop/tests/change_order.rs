//! Change orders: who pays what, which steps stop, when a call is needed, and what is missing. Arithmetic by hand; rates
//! are those of the built-in shop, which are invented.

#![expect(clippy::unwrap_used, reason = "an amount that cannot be read stops the test")]

use jiff::civil::{Date, date};
use proptest::prelude::*;
use quantity::Money;
use shop::{
    Age, Call, Cause, Change, ChangeError, ChangeOrder, Choice, ChoicePart, Finding, NoNewDay, OperationId,
    PriceError, SmallThing, Stakes, StepId, UnderWay, Workshop, change_order,
};

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const TODAY: Date = date(2026, 11, 27);

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

fn eur(text: &str) -> Money {
    Money::parse(&format!("{text} EUR")).unwrap()
}

const CASSETTE_AND_DERAILLEUR: &[OperationId] = &[OperationId("cassette"), OperationId("rear-derailleur")];

fn job(operations: &[OperationId]) -> UnderWay<'_> {
    UnderWay { name: "hook 4", operations, age: Age::Sound, promised: Some(date(2026, 11, 28)), beside: &[] }
}

fn part(words: &str, price: Option<&str>, days: Option<u32>) -> ChoicePart {
    ChoicePart { words: words.to_owned(), pieces: 1, price: price.map(eur), days }
}

fn choice(words: &str, means: &str, operations: Vec<OperationId>, parts: Vec<ChoicePart>) -> Choice {
    Choice { words: words.to_owned(), means: means.to_owned(), operations, minutes: 0, parts }
}

fn change(cause: Cause, concerns: Stakes) -> Change {
    Change {
        finding: Finding {
            words: "the hanger is bent".to_owned(),
            measured: Some("12 mm over 600 mm".to_owned()),
            limit: Some("4 mm over 600 mm".to_owned()),
            photo: None,
            cause,
            concerns,
            at: StepId("rear-derailleur-on"),
        },
        choices: vec![
            choice(
                "exchange the hanger",
                "shifts as planned",
                vec![OperationId("hanger-exchange")],
                vec![part("hanger", Some("25.00"), Some(0))],
            ),
            choice("leave it", "the largest cogs are not used", Vec::new(), Vec::new()),
        ],
        waits_until: date(2026, 11, 27).at(15, 0, 0, 0),
        small: Vec::new(),
    }
}

fn order(change: Change) -> ChangeOrder {
    change_order(&shop(), job(CASSETTE_AND_DERAILLEUR), change, TODAY).unwrap()
}

#[test]
fn what_we_missed_costs_the_customer_the_part_and_not_the_labour() {
    let hidden = order(change(Cause::NotVisible, Stakes::Use));
    let missed = order(change(Cause::MissedByUs, Stakes::Use));
    // 10 minutes while it is apart at 66.00 an hour are 11.00; the hanger 25.00; 10 % and 20 % of invented tax.
    assert_eq!((hidden.choices[0].minutes, hidden.choices[0].price), (10, eur("42.10")));
    assert_eq!((missed.choices[0].minutes, missed.choices[0].price), (10, eur("30.00")));
    assert_eq!(missed.choices[0].lines[0].amount, eur("0"));
    assert_eq!(hidden.choices[1].price, eur("0"));
    assert_eq!(hidden.without_answer, "the bike is made safe and parked; nothing of this is done");
    assert_eq!(hidden.call, Call::Wanted);
}

#[test]
fn what_waits_for_the_step_stops_and_what_is_done_is_neither() {
    let order = order(change(Cause::NotVisible, Stakes::Use));
    assert!(
        order.stops.contains(&StepId("rear-derailleur-on")) && order.stops.contains(&StepId("rear-index"))
    );
    assert!(!order.stops.iter().any(|step| order.goes_on.contains(step)));
    // Intake and taking off lie before it in the order of work.
    let both: Vec<StepId> = order.stops.iter().chain(&order.goes_on).copied().collect();
    assert!(!both.contains(&StepId("talk")) && !both.contains(&StepId("cassette-off")), "{both:?}");
    let shop = shop();
    for step in &order.goes_on {
        assert!(!shop.book.comes_before(StepId("rear-derailleur-on"), *step), "{step}");
    }
}

#[test]
fn a_small_thing_needs_no_call_until_small_things_have_added_up_or_safety_is_at_stake() {
    let small = |spent: &str, days: Option<u32>, concerns| {
        let mut change = change(Cause::NotVisible, concerns);
        change.choices[0].operations.clear();
        change.choices[0].parts = vec![part("ferrules", Some("4.00"), days)];
        change.small = vec![SmallThing { words: "cable end tips".to_owned(), amount: eur(spent) }];
        order(change)
    };
    let first = small("0", Some(0), Stakes::Use);
    assert_eq!((first.call, first.small.len()), (Call::NotNeeded, 1));
    // 4.00 with 20 % of tax is 4.80: 35.20 and that are the 40.00 of all small things together.
    assert_eq!(small("35.20", Some(0), Stakes::Use).call, Call::NotNeeded);
    assert_eq!(small("35.21", Some(0), Stakes::Use).call, Call::Wanted);
    assert_eq!(small("0", Some(1), Stakes::Use).call, Call::Wanted);
    assert_eq!(small("0", Some(0), Stakes::Safety).call, Call::Wanted);
}

#[test]
fn a_matter_of_safety_that_is_left_is_signed_for_by_itself_in_plain_words() {
    assert_eq!(order(change(Cause::NotVisible, Stakes::Use)).declined, None);
    let said = order(change(Cause::NotVisible, Stakes::Safety)).declined.unwrap();
    for words in [
        "safety",
        "the hanger is bent, 12 mm over 600 mm, limit 4 mm over 600 mm",
        "exchange the hanger",
        "the largest cogs are not used",
    ] {
        assert!(said.text.contains(words), "{words}: {}", said.text);
    }
}

#[test]
fn a_part_that_has_to_come_moves_the_day_and_one_of_which_nobody_knows_has_none() {
    let with = |days| {
        let mut change = change(Cause::NotVisible, Stakes::Use);
        change.choices[0].parts[0].days = days;
        order(change).choices.remove(0).day
    };
    let (shelf, later) = (with(Some(0)).unwrap(), with(Some(8)).unwrap());
    assert!(shelf.promised < later.promised, "{} {}", shelf.promised, later.promised);
    // Eight working days after Friday 27 November is Wednesday 9 December.
    assert!(later.promised >= date(2026, 12, 9));
    assert_eq!(with(None).unwrap_err(), NoNewDay::Delivery(vec!["hanger".to_owned()]));
}

#[test]
fn what_is_missing_from_a_change_order_is_said_all_at_once() {
    let mut bare = change(Cause::OtherWish, Stakes::Use);
    (bare.finding.measured, bare.finding.at) = (None, StepId("tape-on"));
    bare.choices.truncate(1);
    bare.choices[0].means.clear();
    bare.choices[0].parts[0].price = None;
    bare.waits_until = date(2026, 11, 26).at(15, 0, 0, 0);
    let problems = change_order(&shop(), job(CASSETTE_AND_DERAILLEUR), bare, TODAY).unwrap_err();
    for wanted in [
        ChangeError::Choices(1),
        ChangeError::NothingIsNoChoice,
        ChangeError::MeansMissing("exchange the hanger".to_owned()),
        ChangeError::NoEvidence,
        ChangeError::NoSuchStep(StepId("tape-on")),
        ChangeError::WaitsInThePast { until: date(2026, 11, 26).at(15, 0, 0, 0), today: TODAY },
        ChangeError::Price(PriceError::NoPrice("hanger".to_owned())),
    ] {
        assert!(problems.contains(&wanted), "{wanted}: {problems:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(100) })]

    /// Whatever was missed by us: the customer pays what the parts cost and nothing for our minutes.
    #[test]
    fn labour_that_we_missed_is_never_charged(minutes in 0..480u32, price in 0..100_000i64, pieces in 1..20u32) {
        let mut change = change(Cause::MissedByUs, Stakes::Use);
        change.choices[0].minutes = minutes;
        change.choices[0].parts[0] =
            ChoicePart { price: Some(eur("0").with_minor(price)), pieces, ..part("hanger", None, Some(0)) };
        let shop = shop();
        let order = change_order(&shop, job(CASSETTE_AND_DERAILLEUR), change, TODAY).unwrap();
        prop_assert_eq!(order.choices[0].totals.net.minor(), price * i64::from(pieces));
        prop_assert_eq!(order.choices[0].minutes, minutes + 10);
    }
}
