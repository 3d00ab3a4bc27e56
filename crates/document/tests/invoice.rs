//! The electronic invoice against the arithmetic rules of EN 16931-1, and against the order of elements of UBL 2.1.
//!
//! Rules and order are from memory of the public standard. A worked example is folded out by hand.

#![expect(clippy::unwrap_used, clippy::panic, reason = "an invoice that cannot be read stops the test")]

use document::{Heading, InvoiceError, invoice};
use jiff::civil::date;
use quantity::Money;
use quick_xml::Reader;
use quick_xml::events::Event;
use shop::{Answer, Carries, Circumstances, Discount, Estimate, LineKind, TaxRule, Workshop, estimate};

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const BIKE: &str = include_str!("../../../cases/case-1-control.toml");

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

fn quote(shop: &Workshop) -> Estimate {
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(intake::Source { name: "case.toml", text: BIKE }, &catalogue).unwrap();
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

/// `reference/schema.py` has held these files against the schema of UBL 2.1; its result is kept beside them.
#[test]
fn the_invoices_that_the_schema_of_ubl_accepts_are_those_that_are_written() {
    let plain = shop();
    let mut gross = shop();
    gross.terms.prices = Carries::Gross;
    gross.terms.discounts = vec![Discount { words: "club".to_owned(), kinds: Vec::new(), hundredths: 333 }];
    let kept = [("invoice-net.xml", written(&plain)), ("invoice-gross.xml", written(&gross))];
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference");
    let result = std::fs::read_to_string(folder.join("schema.txt")).unwrap();
    for (name, xml) in kept {
        let file = folder.join(name);
        if std::env::var_os("INSTA_UPDATE").is_some_and(|update| update == "always") {
            std::fs::write(&file, &xml).unwrap();
        }
        assert_eq!(std::fs::read_to_string(&file).unwrap(), xml, "{name}: run reference/schema.py again");
        let line = result.lines().find(|line| line.starts_with(name)).unwrap();
        assert_eq!(line, format!("{name} {} bytes: valid", xml.len()));
    }
    assert!(result.contains("without its number: refused"));
}
