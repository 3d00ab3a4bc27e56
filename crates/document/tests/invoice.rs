//! The electronic invoice against the arithmetic rules of EN 16931-1, and against the order of elements of UBL 2.1.
//!
//! Rules and order are from memory of the public standard; `reference/` has what its own schema and its own rules say of the
//! kept invoices, `published.rs` the examples that are published with it.

#![expect(clippy::unwrap_used, clippy::panic, reason = "an invoice that cannot be read stops the test")]

use document::{Heading, InvoiceError, invoice};
use jiff::civil::date;
use quantity::Money;
use quick_xml::Reader;
use quick_xml::events::Event;
use shop::{
    Answer, Carries, Circumstances, Discount, Estimate, LineKind, TaxRule, Treatment, Workshop, estimate,
};

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const BIKE: &str = include_str!("../../../cases/case-1-control.toml");

/// With a ceiling that it keeps below: what is over it is not agreed on.
fn bike() -> String {
    BIKE.replace("1100.00 EUR", "9000.00 EUR")
}

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

fn quote(shop: &Workshop) -> Estimate {
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name: "case.toml", text: &bike() }, &catalogue).unwrap();
    match estimate(&fit::plan(&refit, &catalogue), shop, Circumstances::default(), date(2026, 11, 25))
        .unwrap()
    {
        Answer::Estimate(estimate) => *estimate,
        Answer::None(none) => panic!("{}", none.why),
    }
}

fn heading(shop: &Workshop) -> Heading<'_> {
    Heading {
        number: "2026-17",
        issued: date(2026, 11, 25),
        due_days: 14,
        shop: &shop.name,
        seller: &shop.seller,
        buyer: "a customer",
        buyer_country: "DE",
        buyer_tax_number: None,
        paid: None,
    }
}

fn written(shop: &Workshop) -> String {
    invoice(&quote(shop), &shop.terms.taxes, shop.terms.prices, &heading(shop)).unwrap()
}

/// Every leaf with the path to it, without the prefixes of its names.
fn leaves(xml: &str) -> Vec<(String, String)> {
    let mut reader = Reader::from_str(xml);
    let (mut path, mut leaves, mut text): (Vec<String>, Vec<(String, String)>, String) =
        (Vec::new(), Vec::new(), String::new());
    loop {
        match reader.read_event().unwrap() {
            Event::Start(start) => {
                path.push(start.local_name().as_ref().to_owned());
                text.clear();
            }
            Event::Text(found) => text.push_str(&found),
            Event::End(_) => {
                if !text.trim().is_empty() {
                    leaves.push((path.join("/"), text.trim().to_owned()));
                }
                text.clear();
                path.pop();
            }
            Event::Eof => return leaves,
            _ => {}
        }
    }
}

/// Minor units of every leaf at a path.
fn amounts(leaves: &[(String, String)], path: &str) -> Vec<i64> {
    leaves
        .iter()
        .filter(|(found, _)| found == &format!("Invoice/{path}"))
        .map(|(_, text)| Money::parse(&format!("{text} EUR")).unwrap().minor())
        .collect()
}

fn one(leaves: &[(String, String)], path: &str) -> i64 {
    let all = amounts(leaves, path);
    assert!(all.len() <= 1, "{path}");
    all.first().copied().unwrap_or(0)
}

/// BR-CO-10 to BR-CO-17 of EN 16931-1, as far as this invoice has the terms.
fn adds_up(xml: &str) {
    let leaves = leaves(xml);
    let sum = |path: &str| amounts(&leaves, path).iter().sum::<i64>();
    let total = |name: &str| one(&leaves, &format!("LegalMonetaryTotal/{name}"));
    // BR-CO-10: sum of the lines.
    assert_eq!(total("LineExtensionAmount"), sum("InvoiceLine/LineExtensionAmount"));
    // BR-CO-11: sum of the allowances of the document.
    assert_eq!(total("AllowanceTotalAmount"), sum("AllowanceCharge/Amount"));
    // BR-CO-13: without tax.
    assert_eq!(total("TaxExclusiveAmount"), total("LineExtensionAmount") - total("AllowanceTotalAmount"));
    // BR-CO-14: tax of the document.
    assert_eq!(one(&leaves, "TaxTotal/TaxAmount"), sum("TaxTotal/TaxSubtotal/TaxAmount"));
    // BR-CO-15: with tax.
    assert_eq!(total("TaxInclusiveAmount"), total("TaxExclusiveAmount") + one(&leaves, "TaxTotal/TaxAmount"));
    // BR-CO-16: due.
    let (paid, rounding) = (total("PrepaidAmount"), total("PayableRoundingAmount"));
    assert_eq!(total("PayableAmount"), total("TaxInclusiveAmount") - paid + rounding);
    // BR-CO-17: tax of each rate is its base times the rate, rounded to two decimals.
    let bases = amounts(&leaves, "TaxTotal/TaxSubtotal/TaxableAmount");
    let taxes = amounts(&leaves, "TaxTotal/TaxSubtotal/TaxAmount");
    let rates: Vec<f64> = leaves
        .iter()
        .filter(|(path, _)| path == "Invoice/TaxTotal/TaxSubtotal/TaxCategory/Percent")
        .map(|(_, text)| text.parse().unwrap())
        .collect();
    assert!(!bases.is_empty() && bases.len() == taxes.len() && taxes.len() == rates.len());
    for ((base, tax), rate) in bases.iter().zip(&taxes).zip(&rates) {
        assert_eq!((*base as f64 * rate / 100.0).round() as i64, *tax);
    }
    // BR-S-08 and its sisters: the bases are the lines less the allowances of their rate.
    assert_eq!(bases.iter().sum::<i64>(), total("TaxExclusiveAmount"));
}

#[test]
fn an_invoice_adds_up_and_asks_for_what_was_agreed_on() {
    let shop = shop();
    let xml = written(&shop);
    adds_up(&xml);
    let leaves = leaves(&xml);
    assert_eq!(one(&leaves, "LegalMonetaryTotal/PayableAmount"), quote(&shop).totals.payable.minor());
}

#[test]
fn prices_that_hold_the_tax_and_coins_and_discounts_add_up_too() {
    for carries in [Carries::Net, Carries::Gross] {
        for round_to in [1, 5, 100] {
            for (labour, part) in [(700, 1900), (2100, 2100), (0, 1550), (1, 9999)] {
                let mut shop = shop();
                shop.terms.prices = carries;
                shop.terms.round_to = round_to;
                shop.terms.taxes = LineKind::ALL
                    .iter()
                    .map(|kind| (*kind, TaxRule::rate(if *kind == LineKind::Labour { labour } else { part })))
                    .collect();
                shop.terms.discounts =
                    vec![Discount { words: "club".to_owned(), kinds: Vec::new(), hundredths: 333 }];
                let xml = written(&shop);
                adds_up(&xml);
                let leaves = leaves(&xml);
                assert_eq!(
                    one(&leaves, "LegalMonetaryTotal/PayableAmount"),
                    quote(&shop).totals.payable.minor()
                );
                assert!(xml.contains("<cac:AllowanceCharge>"));
            }
        }
    }
}

#[test]
fn what_was_paid_in_advance_is_taken_off() {
    let shop = shop();
    let paid = Money::parse("94.00 EUR").unwrap();
    let heading = Heading { paid: Some(paid), ..heading(&shop) };
    let quote = quote(&shop);
    let xml = invoice(&quote, &shop.terms.taxes, shop.terms.prices, &heading).unwrap();
    adds_up(&xml);
    let due = one(&leaves(&xml), "LegalMonetaryTotal/PayableAmount");
    assert_eq!(due, quote.totals.payable.minor() - 9400);
}

/// The order in which UBL 2.1 wants the children of an invoice, as far as they are used.
#[test]
fn elements_stand_in_the_order_of_the_schema() {
    const ORDER: [&str; 14] = [
        "CustomizationID",
        "ID",
        "IssueDate",
        "DueDate",
        "InvoiceTypeCode",
        "DocumentCurrencyCode",
        "AccountingSupplierParty",
        "AccountingCustomerParty",
        "PaymentMeans",
        "AllowanceCharge",
        "TaxTotal",
        "LegalMonetaryTotal",
        "InvoiceLine",
        "",
    ];
    let mut shop = shop();
    shop.terms.discounts = vec![Discount { words: "club".to_owned(), kinds: Vec::new(), hundredths: 500 }];
    let places: Vec<usize> = leaves(&written(&shop))
        .iter()
        .map(|(path, _)| {
            let child = path.split('/').nth(1).unwrap();
            ORDER.iter().position(|name| *name == child).unwrap_or_else(|| panic!("{child}"))
        })
        .collect();
    assert!(places.is_sorted());
    assert_eq!(*places.last().unwrap(), 12);
}

#[test]
fn what_an_invoice_lacks_is_said() {
    let shop = shop();
    let quote = quote(&shop);
    let with = |edit: &dyn Fn(&mut Heading<'_>)| {
        let mut heading = heading(&shop);
        edit(&mut heading);
        invoice(&quote, &shop.terms.taxes, shop.terms.prices, &heading).unwrap_err()
    };
    assert_eq!(with(&|heading| heading.buyer = " "), InvoiceError::Missing("buyer"));
    assert_eq!(with(&|heading| heading.number = ""), InvoiceError::Missing("number"));
    assert_eq!(with(&|heading| heading.buyer_country = "Canada"), InvoiceError::Country("Canada".to_owned()));
    let open = Estimate { signable: shop::Signable::MeasureFirst, ..quote.clone() };
    let why = invoice(&open, &shop.terms.taxes, shop.terms.prices, &heading(&shop)).unwrap_err();
    assert!(why.to_string().contains("has to be measured first"), "{why}");
}

#[test]
fn names_are_escaped() {
    let shop = shop();
    let heading = Heading { buyer: "Nuts & Bolts <club>", ..heading(&shop) };
    let xml = invoice(&quote(&shop), &shop.terms.taxes, shop.terms.prices, &heading).unwrap();
    assert!(xml.contains("Nuts &amp; Bolts &lt;club&gt;"));
}

/// The invoices that are kept, each with what makes it different.
fn kept() -> Vec<(&'static str, String)> {
    let plain = shop();
    let mut gross = shop();
    gross.terms.prices = Carries::Gross;
    gross.terms.discounts = vec![Discount { words: "club".to_owned(), kinds: Vec::new(), hundredths: 333 }];
    let rule =
        |treatment, reason: &str| TaxRule { treatment, hundredths: 0, reason: Some(reason.to_owned()) };
    let mut exempt = shop();
    exempt.terms.taxes.insert(LineKind::Part, rule(Treatment::Exempt, "margin scheme: used goods"));
    let advance = Money::parse("94.00 EUR").unwrap();
    let exempt_xml = {
        let heading = Heading { paid: Some(advance), ..heading(&exempt) };
        invoice(&quote(&exempt), &exempt.terms.taxes, exempt.terms.prices, &heading).unwrap()
    };
    let mut reversed = shop();
    let all = LineKind::ALL.iter();
    reversed.terms.taxes =
        all.map(|kind| (*kind, rule(Treatment::ReverseCharge, "the buyer owes the tax"))).collect();
    let reversed_xml = {
        let heading =
            Heading { buyer_country: "FR", buyer_tax_number: Some("FR00000000000"), ..heading(&reversed) };
        invoice(&quote(&reversed), &reversed.terms.taxes, reversed.terms.prices, &heading).unwrap()
    };
    vec![
        ("invoice-exempt.xml", exempt_xml),
        ("invoice-gross.xml", written(&gross)),
        ("invoice-net.xml", written(&plain)),
        ("invoice-reverse.xml", reversed_xml),
    ]
}

/// `reference/schema.py` has held these files against the schema of UBL 2.1, `reference/rules.py` against the rules of EN
/// 16931; what both said is kept beside them.
#[test]
fn the_invoices_that_schema_and_rules_accept_are_those_that_are_written() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference");
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let kept = kept();
    if std::env::var_os("INSTA_UPDATE").is_some_and(|update| update == "always") {
        kept.iter().for_each(|(name, xml)| std::fs::write(folder.join(name), xml).unwrap());
    }
    for (name, xml) in kept {
        adds_up(&xml);
        assert_eq!(read(name), xml, "{name}: run reference/schema.py and reference/rules.py again");
        for (result, says) in [("schema.txt", "bytes: valid"), ("rules.txt", "bytes, rules broken: none")] {
            let result = read(result);
            let line = result.lines().find(|line| line.starts_with(name)).unwrap();
            assert_eq!(line, format!("{name} {} {says}", xml.len()));
        }
    }
    assert!(read("schema.txt").contains("without its number: refused"));
    // The rules have teeth: each way of spoiling an invoice is caught by the rule that is there for it.
    let rules = read("rules.txt");
    for (how, caught) in [
        ("number", "BR-02"),
        ("tax category of a line", "BR-CO-04"),
        ("cac:LegalMonetaryTotal/cbc:LineExtensionAmount", "BR-CO-10"),
        ("cac:LegalMonetaryTotal/cbc:AllowanceTotalAmount", "BR-CO-11"),
        ("cac:LegalMonetaryTotal/cbc:TaxExclusiveAmount", "BR-CO-13"),
        ("cac:TaxTotal/cbc:TaxAmount", "BR-CO-14"),
        ("cac:LegalMonetaryTotal/cbc:TaxInclusiveAmount", "BR-CO-15"),
        ("cac:LegalMonetaryTotal/cbc:PayableAmount", "BR-CO-16"),
    ] {
        let line = rules.lines().find(|line| line.starts_with(&format!("spoilt, {how}:"))).unwrap();
        assert!(line.contains(caught), "{line}");
    }
}

#[test]
fn an_invoice_of_which_the_buyer_owes_the_tax_has_the_buyers_number() {
    let mut shop = shop();
    let reversed =
        TaxRule { treatment: Treatment::ReverseCharge, hundredths: 0, reason: Some("reversed".to_owned()) };
    shop.terms.taxes = LineKind::ALL.iter().map(|kind| (*kind, reversed.clone())).collect();
    let why = invoice(&quote(&shop), &shop.terms.taxes, shop.terms.prices, &heading(&shop)).unwrap_err();
    assert_eq!(why, InvoiceError::Missing("tax number of the buyer, who owes the tax"));
}
