//! The arithmetic of an invoice against the example invoices that CEN/TC 434 publishes with the rules of EN 16931
//! (`ubl-tc434-example1.xml` to `ubl-tc434-example9.xml`; those without arithmetic of their own are left out).
//!
//! Only the figures are taken: amounts of the lines with their rates, allowances, charges, what was paid, and the sums that
//! the examples print. An amount below zero leaves us as an allowance, a charge as a line; the sums are the same.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a figure that cannot be read stops the test")]

use document::{Heading, invoice};
use jiff::civil::date;
use quantity::Money;
use shop::{
    Answer, Carries, Circumstances, Estimate, HowMuch, LineKind, PriceLine, Signable, TaxRule, Taxes,
    Treatment, Workshop, estimate, totals,
};

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const BIKE: &str = include_str!("../../../cases/case-1-control.toml");

/// An example: for each rate in hundredths of a percent its amounts, the base and the tax that are printed.
struct Example {
    name: &'static str,
    currency: &'static str,
    groups: &'static [(u32, &'static [&'static str], &'static str, &'static str)],
    without_tax: &'static str,
    tax: &'static str,
    with_tax: &'static str,
    paid: &'static str,
    due: &'static str,
}

const EXAMPLES: &[Example] = &[
    Example {
        name: "example 1: twenty lines, a return among them",
        currency: "EUR",
        groups: &[
            (
                600,
                &[
                    "19.90", "9.85", "8.29", "14.46", "35.00", "35.00", "10.65", "1.55", "14.37", "8.29",
                    "16.58", "9.95", "3.30", "3.90", "102.12", "-109.98",
                ],
                "183.23",
                "10.99",
            ),
            (2100, &["10.80", "7.60", "9.34", "18.63"], "46.37", "9.74"),
        ],
        without_tax: "229.60",
        tax: "20.73",
        with_tax: "250.33",
        paid: "0",
        due: "250.33",
    },
    Example {
        name: "example 2: an allowance and a charge, returns, an exemption, an advance; half a cent goes up",
        currency: "NOK",
        groups: &[
            (2500, &["1273.00", "187.50", "-100.00", "100.00"], "1460.50", "365.13"),
            (1500, &["-3.96", "4.96"], "1.00", "0.15"),
            (0, &["-25.00"], "-25.00", "0.00"),
        ],
        without_tax: "1436.50",
        tax: "365.28",
        with_tax: "1801.78",
        paid: "1000.00",
        due: "801.78",
    },
    Example {
        name: "example 3: a charge and two rates",
        currency: "DKK",
        groups: &[(2500, &["800.00", "100.00"], "900.00", "225.00"), (1000, &["800.00"], "800.00", "80.00")],
        without_tax: "1700.00",
        tax: "305.00",
        with_tax: "2005.00",
        paid: "0",
        due: "2005.00",
    },
    Example {
        name: "example 4: two rates",
        currency: "DKK",
        groups: &[
            (2500, &["1000.00", "500.00"], "1500.00", "375.00"),
            (1200, &["2500.00"], "2500.00", "300.00"),
        ],
        without_tax: "4000.00",
        tax: "675.00",
        with_tax: "4675.00",
        paid: "0",
        due: "4675.00",
    },
    Example {
        name: "example 5: half of it paid in advance",
        currency: "DKK",
        groups: &[
            (2500, &["1000.00", "500.00", "-150.00", "150.00"], "1500.00", "375.00"),
            (1200, &["2500.00"], "2500.00", "300.00"),
        ],
        without_tax: "4000.00",
        tax: "675.00",
        with_tax: "4675.00",
        paid: "2337.50",
        due: "2337.50",
    },
    Example {
        name: "example 8: ten lines of one rate",
        currency: "EUR",
        groups: &[(
            2100,
            &["140.80", "16.16", "167.64", "88.74", "36.75", "56.50", "83.34", "190.31", "64.21", "64.46"],
            "908.91",
            "190.87",
        )],
        without_tax: "908.91",
        tax: "190.87",
        with_tax: "1099.78",
        paid: "0",
        due: "1099.78",
    },
    Example {
        name: "example 9: one line",
        currency: "EUR",
        groups: &[(2100, &["147.00"], "147.00", "30.87")],
        without_tax: "147.00",
        tax: "30.87",
        with_tax: "177.87",
        paid: "0",
        due: "177.87",
    },
];

impl Example {
    fn money(&self, text: &str) -> Money {
        Money::parse(&format!("{text} {}", self.currency)).unwrap()
    }

    fn rule(hundredths: u32) -> TaxRule {
        match hundredths {
            0 => TaxRule {
                treatment: Treatment::Exempt,
                hundredths: 0,
                reason: Some("exempt by law".to_owned()),
            },
            rate => TaxRule::rate(rate),
        }
    }

    fn lines_and_taxes(&self) -> (Vec<PriceLine>, Taxes) {
        let (mut lines, mut taxes) = (Vec::new(), Taxes::new());
        for ((rate, amounts, _, _), kind) in self.groups.iter().zip(LineKind::ALL) {
            taxes.insert(*kind, Self::rule(*rate));
            lines.extend(amounts.iter().map(|amount| PriceLine {
                kind: *kind,
                part: None,
                words: "a line".to_owned(),
                how_much: HowMuch::Pieces(1),
                unit: None,
                amount: self.money(amount),
                why: "an example".to_owned(),
                priced_on: None,
                assumed: false,
            }));
        }
        (lines, taxes)
    }
}

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

/// Any estimate that may be signed: only its lines and sums matter here.
fn signed(shop: &Workshop) -> Estimate {
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name: "case.toml", text: BIKE }, &catalogue).unwrap();
    match estimate(&fit::plan(&refit, &catalogue), shop, Circumstances::default(), date(2026, 11, 25))
        .unwrap()
    {
        Answer::Estimate(estimate) => Estimate { signable: Signable::Yes, ..*estimate },
        Answer::None(none) => panic!("{}", none.why),
    }
}

#[test]
fn the_sums_of_every_published_example_come_out_to_the_printed_digit() {
    for example in EXAMPLES {
        let (lines, taxes) = example.lines_and_taxes();
        let zero = example.money("0");
        let sums = totals(&lines, &taxes, Carries::Net, zero, 1).unwrap();
        let name = example.name;
        assert_eq!(sums.groups.len(), example.groups.len(), "{name}");
        for (rate, _, base, tax) in example.groups {
            let group = sums.groups.iter().find(|group| group.rule == Example::rule(*rate)).unwrap();
            assert_eq!((group.net, group.tax), (example.money(base), example.money(tax)), "{name} {rate}");
        }
        assert_eq!(sums.net, example.money(example.without_tax), "{name}");
        assert_eq!(sums.tax, example.money(example.tax), "{name}");
        assert_eq!(sums.payable, example.money(example.with_tax), "{name}");
    }
}

#[test]
fn the_invoice_of_every_published_example_asks_for_what_it_asks_for() {
    let shop = shop();
    let agreed = signed(&shop);
    for example in EXAMPLES {
        let (lines, taxes) = example.lines_and_taxes();
        let totals = totals(&lines, &taxes, Carries::Net, example.money("0"), 1).unwrap();
        let quote = Estimate { lines, totals, ..agreed.clone() };
        let heading = Heading {
            number: "17",
            issued: date(2026, 11, 25),
            due_days: 14,
            shop: &shop.name,
            seller: &shop.seller,
            buyer: "a customer",
            buyer_country: "DE",
            buyer_tax_number: None,
            paid: Some(example.money(example.paid)),
        };
        let xml = invoice(&quote, &taxes, Carries::Net, &heading).unwrap();
        let says = |name: &str, amount: &str| {
            let amount = example.money(amount).minor();
            let sign = if amount < 0 { "-" } else { "" };
            let (whole, cents) = (amount.abs() / 100, amount.abs() % 100);
            let leaf = format!(
                "<cbc:{name} currencyID=\"{}\">{sign}{whole}.{cents:02}</cbc:{name}>",
                example.currency
            );
            assert!(xml.contains(&leaf), "{}: {leaf} is not in\n{xml}", example.name);
        };
        says("TaxExclusiveAmount", example.without_tax);
        says("TaxInclusiveAmount", example.with_tax);
        says("PayableAmount", example.due);
        says("TaxAmount", example.tax);
        for (_, _, base, tax) in example.groups {
            says("TaxableAmount", base);
            says("TaxAmount", tax);
        }
        assert_eq!(xml.contains("PrepaidAmount"), example.paid != "0", "{}", example.name);
        assert!(!xml.contains("PayableRoundingAmount"), "{}", example.name);
    }
}
