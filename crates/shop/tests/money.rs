//! Sums, taxes, rounding, discounts, versions: arithmetic by hand, and laws. Rates are invented.

#![expect(clippy::unwrap_used, clippy::panic, reason = "an amount that cannot be read stops the test")]

use jiff::civil::date;
use proptest::prelude::*;
use quantity::Money;
use shop::{
    Answer, Carries, Channel, Circumstances, Event, HowMuch, LineKind, PriceError, PriceLine, Signable,
    TaxRule, Taxes, Treatment, Workshop, difference, estimate, totals,
};

fn eur(text: &str) -> Money {
    Money::parse(&format!("{text} EUR")).unwrap()
}

fn line(kind: LineKind, amount: &str) -> PriceLine {
    PriceLine {
        kind,
        part: None,
        words: "a line".to_owned(),
        how_much: HowMuch::Flat,
        unit: None,
        amount: eur(amount),
        why: String::new(),
        priced_on: None,
        assumed: false,
    }
}

fn taxes() -> Taxes {
    Taxes::from([
        (LineKind::Labour, TaxRule::rate(700)),
        (LineKind::Part, TaxRule::rate(1900)),
        (LineKind::SmallPart, TaxRule::rate(1900)),
        (LineKind::Voucher, TaxRule::rate(0)),
    ])
}

#[test]
fn tax_is_rounded_once_for_all_lines_of_a_rate() {
    // Three lines of 0.33 at 19 %: line by line 0.06 each, 0.18 together; of the sum 0.99 it is 0.19.
    let lines =
        [line(LineKind::Part, "0.33"), line(LineKind::Part, "0.33"), line(LineKind::SmallPart, "0.33")];
    let sums = totals(&lines, &taxes(), Carries::Net, eur("0"), 1).unwrap();
    assert_eq!((sums.net, sums.tax, sums.payable), (eur("0.99"), eur("0.19"), eur("1.18")));
    assert_eq!(sums.groups.len(), 1);
}

#[test]
fn tax_is_taken_out_of_prices_that_hold_it() {
    // 119.00 at 19 % is 100.00 and 19.00; 107.00 at 7 % is 100.00 and 7.00.
    let lines = [line(LineKind::Part, "119.00"), line(LineKind::Labour, "107.00")];
    let sums = totals(&lines, &taxes(), Carries::Gross, eur("0"), 1).unwrap();
    assert_eq!((sums.net, sums.tax, sums.gross), (eur("200.00"), eur("26.00"), eur("226.00")));
}

#[test]
fn the_whole_is_rounded_to_the_smallest_coin_and_says_by_how_much() {
    let lines = [line(LineKind::Voucher, "10.02")];
    let sums = totals(&lines, &taxes(), Carries::Net, eur("0"), 5).unwrap();
    assert_eq!((sums.gross, sums.payable, sums.rounding), (eur("10.02"), eur("10.00"), eur("-0.02")));
    let sums = totals(&[line(LineKind::Voucher, "10.03")], &taxes(), Carries::Net, eur("0"), 5).unwrap();
    assert_eq!(sums.payable, eur("10.05"));
}

#[test]
fn a_line_without_a_tax_is_told_and_not_taxed_at_nothing() {
    let lines = [line(LineKind::UsedPart, "10.00"), line(LineKind::UsedPart, "5.00")];
    let problems = totals(&lines, &taxes(), Carries::Net, eur("0"), 1).unwrap_err();
    assert_eq!(problems, [PriceError::NoTax(LineKind::UsedPart)]);
    assert_eq!(problems[0].to_string(), "the shop states no tax for used parts");
    let other = [PriceLine { amount: Money::parse("3 GBP").unwrap(), ..line(LineKind::Part, "1") }];
    let problems = totals(&other, &taxes(), Carries::Net, eur("0"), 1).unwrap_err();
    assert_eq!(problems[0].to_string(), "a line is priced in GBP, but the shop counts in EUR");
}

#[test]
fn who_is_exempt_pays_no_tax_and_the_reason_stands() {
    let rule = TaxRule { treatment: Treatment::Exempt, hundredths: 0, reason: Some("small shop".to_owned()) };
    let all: Taxes = LineKind::ALL.iter().map(|kind| (*kind, rule.clone())).collect();
    let sums = totals(&[line(LineKind::Part, "10.00")], &all, Carries::Net, eur("0"), 1).unwrap();
    assert_eq!((sums.tax, sums.payable), (eur("0"), eur("10.00")));
    assert_eq!(sums.groups[0].rule.to_string(), "exempt: small shop");
}

fn any_lines() -> impl Strategy<Value = Vec<PriceLine>> {
    let kinds = prop::sample::select(vec![LineKind::Labour, LineKind::Part, LineKind::SmallPart]);
    prop::collection::vec(
        (kinds, 0..2_000_000i64)
            .prop_map(|(kind, minor)| PriceLine { amount: eur("0").with_minor(minor), ..line(kind, "0") }),
        0..40,
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn sums_do_not_depend_on_the_order_and_add_up(
        (lines, shuffled) in any_lines().prop_flat_map(|all| (Just(all.clone()), Just(all).prop_shuffle())),
        is_gross in any::<bool>(), round_to in prop::sample::select(vec![1u32, 5, 10, 100]),
    ) {
        let carries = if is_gross { Carries::Gross } else { Carries::Net };
        let sums = totals(&lines, &taxes(), carries, eur("0"), round_to).unwrap();
        prop_assert_eq!(&sums, &totals(&shuffled, &taxes(), carries, eur("0"), round_to).unwrap());
        prop_assert_eq!(sums.net.plus(sums.tax).unwrap(), sums.gross);
        prop_assert_eq!(sums.gross.plus(sums.rounding).unwrap(), sums.payable);
        prop_assert_eq!(sums.payable.minor() % i64::from(round_to), 0);
        prop_assert!(sums.rounding.minor().abs() * 2 <= i64::from(round_to));
        for group in &sums.groups {
            // Within half a minor unit of the exact tax.
            let exact = group.net.minor() as f64 * f64::from(group.rule.hundredths) / 10_000.0;
            let most = if is_gross { 1.0 } else { 0.5 } + 1e-6;
            prop_assert!((group.tax.minor() as f64 - exact).abs() <= most);
        }
    }

    #[test]
    fn a_dearer_line_never_makes_the_whole_cheaper(lines in any_lines(), more in 0..100_000i64, at in any::<prop::sample::Index>()) {
        prop_assume!(!lines.is_empty());
        let mut dearer = lines.clone();
        let at = at.index(lines.len());
        dearer[at].amount = dearer[at].amount.with_minor(dearer[at].amount.minor() + more);
        for carries in [Carries::Net, Carries::Gross] {
            let (before, after) = (
                totals(&lines, &taxes(), carries, eur("0"), 1).unwrap(),
                totals(&dearer, &taxes(), carries, eur("0"), 1).unwrap(),
            );
            prop_assert!(before.payable.minor() <= after.payable.minor());
        }
    }
}

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const BIKE: &str = include_str!("../../../cases/case-1-control.toml");

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

fn case_1(edit: impl Fn(&str) -> String) -> fit::Plan {
    let catalogue = intake::built_in().unwrap();
    let text = edit(BIKE);
    let refit = intake::read_refit(intake::Source { name: "case.toml", text: &text }, &catalogue).unwrap();
    fit::plan(&refit, &catalogue)
}

/// With a ceiling that it keeps below.
fn within_the_ceiling(text: &str) -> String {
    assert!(text.contains("1100.00 EUR"));
    text.replace("1100.00 EUR", "1500.00 EUR")
}

fn quote(plan: &fit::Plan, shop: &Workshop) -> shop::Estimate {
    match estimate(plan, shop, Circumstances::default(), date(2026, 11, 25)).unwrap() {
        Answer::Estimate(estimate) => *estimate,
        Answer::None(none) => panic!("{}", none.why),
    }
}

#[test]
fn labour_is_priced_once_and_adds_up_with_the_parts() {
    let (plan, shop) = (case_1(within_the_ceiling), shop());
    let quote = quote(&plan, &shop);
    let labour: Vec<&PriceLine> = quote.lines.iter().filter(|line| line.kind == LineKind::Labour).collect();
    assert_eq!(labour.len(), 1);
    assert_eq!(labour[0].amount, shop.terms.hour.share(quote.labour.total.usual, 60).unwrap());
    let parts =
        quote.lines.iter().filter(|line| line.kind != LineKind::Labour).map(|line| line.amount.minor());
    assert_eq!(parts.sum::<i64>(), plan.parts.total.unwrap().minor());
    assert!(quote.lines.iter().skip(1).all(|line| line.priced_on == Some(date(2026, 11, 1))));
    assert_eq!(quote.signable, Signable::Yes);
}

#[test]
fn currency_and_tax_change_no_verdict_and_no_minute() {
    let plan = case_1(str::to_owned);
    let (one, mut other) = (shop(), shop());
    other.terms.taxes = LineKind::ALL.iter().map(|kind| (*kind, TaxRule::rate(2500))).collect();
    let (one, other) = (quote(&plan, &one), quote(&plan, &other));
    assert_eq!(
        (one.signable, one.labour.clone(), one.minutes),
        (other.signable, other.labour.clone(), other.minutes)
    );
    assert!(one.totals.payable.minor() < other.totals.payable.minor());
}

#[test]
fn a_discount_is_a_line_that_everyone_sees() {
    let (plan, mut shop) = (case_1(str::to_owned), shop());
    let before = quote(&plan, &shop);
    shop.terms.discounts.push(shop::Discount {
        words: "regular customer".to_owned(),
        kinds: vec![LineKind::Labour],
        hundredths: 1000,
    });
    let after = quote(&plan, &shop);
    let given = after.lines.iter().find(|line| line.amount.minor() < 0).unwrap();
    assert_eq!(given.words, "discount on labour: regular customer, 10 %");
    assert_eq!(given.amount.minor(), -before.lines[0].amount.share(10, 100).unwrap().minor());
}

#[test]
fn the_next_version_says_what_changed_and_an_approval_is_of_one_version() {
    let shop = shop();
    let first = quote(&case_1(within_the_ceiling), &shop);
    let same = quote(&case_1(within_the_ceiling), &shop).after(&first);
    assert_eq!((same.version, difference(&first, &same)), (1, Vec::new()));
    let without_tape = case_1(|text| within_the_ceiling(text).replace("tape = \"tape-2100\"\n", ""));
    let second = quote(&without_tape, &shop).after(&first);
    assert_eq!(second.version, 2);
    let words = difference(&first, &second);
    assert!(words.iter().any(|words| words.starts_with("out: bar tape")), "{words:?}");
    assert!(words.iter().any(|words| words.starts_with("together: ")), "{words:?}");
    let day = date(2026, 11, 26);
    let agreed = first.approve(" the customer ", Channel::Counter, "", day).unwrap();
    let wanted = Event::Approved {
        version: 1,
        name: "the customer".to_owned(),
        channel: Channel::Counter,
        words: String::new(),
    };
    assert_eq!(agreed, wanted);
    let approval = shop::Approval {
        version: 1,
        name: "the customer".to_owned(),
        channel: Channel::Counter,
        words: String::new(),
        at: shop::Moment(0),
        refit: fit::Refit::default(),
    };
    assert!(first.stands(&approval).is_ok());
    assert_eq!(
        second.stands(&approval).unwrap_err().to_string(),
        "version 1 was agreed to, but version 2 stands: the customer is asked again"
    );
    assert!(first.approve(" ", Channel::Counter, "", day).is_err());
    assert!(first.approve("the customer", Channel::Telephone, " ", day).is_err());
    assert!(first.approve("the customer", Channel::Link, "", day).is_err());
    assert_eq!(
        first.approve("the customer", Channel::Counter, "", date(2027, 3, 1)).unwrap_err().to_string(),
        "the estimate held until 2026-12-16"
    );
}

#[test]
fn what_is_over_the_ceiling_is_not_signed() {
    let over = quote(&case_1(str::to_owned), &shop());
    assert_eq!(over.signable, Signable::OverCeiling);
    let why = over.approve("the customer", Channel::Counter, "", date(2026, 11, 26)).unwrap_err();
    assert!(why.to_string().contains("more than the ceiling that was named"), "{why}");
    assert!(over.said.iter().any(|said| said.id == "over-ceiling"));
}

#[test]
fn what_was_tried_loose_narrows_the_price_and_what_did_not_move_is_a_line() {
    let shop = shop();
    let with = |word: &str| {
        let plan = case_1(|text| {
            let frame = format!(
                "[bike.frame]\npedals_move = \"moved\"\nbracket_moves = \"{word}\"\ncrank_moves = \"moved\""
            );
            let choice = "[choice]\nbottom_bracket = \"bb-1.37x24-68-24-through\"\ncrankset = \"crankset-50-34-24-through\"";
            text.replace("[bike.frame]", &frame).replace("[choice]", choice)
        });
        estimate(&plan, &shop, Circumstances::default(), date(2026, 11, 25)).unwrap()
    };
    let quote = |answer: Answer| match answer {
        Answer::Estimate(estimate) => *estimate,
        Answer::None(none) => panic!("{}: {:?}", none.why, none.because),
    };
    let (moved, stuck, open) = (quote(with("moved")), quote(with("not-moved")), quote(with("not-tried")));
    assert!(
        moved.price.p80 < open.price.p80
            && moved.price.p95 - moved.price.p50 < open.price.p95 - open.price.p50
    );
    assert!(moved.price_untried.unwrap().p80 > moved.price.p80);
    let seized = stuck.lines.iter().filter(|line| line.words == "bottom bracket seized").count();
    assert_eq!(seized, 2, "labour and parts, before approval");
    assert!(!moved.lines.iter().any(|line| line.words == "bottom bracket seized"));
}
