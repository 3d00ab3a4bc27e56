//! An estimate that was agreed on as an electronic invoice: UBL 2.1, with what the core of EN 16931 asks for. Begin with
//! [`invoice`].
//!
//! The business terms (`BT-…`) named here are those of EN 16931-1, from memory of the public standard.

use jiff::ToSpan;
use jiff::civil::Date;
use quantity::{Money, MoneyError};
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use shop::{Carries, Estimate, HowMuch, PriceLine, Seller, TaxRule, Taxes, Treatment, percent_words};
use std::collections::BTreeMap;
use std::fmt;

/// What an invoice says beside its estimate.
#[derive(Clone, Debug)]
pub struct Heading<'a> {
    /// Its number (BT-1).
    pub number: &'a str,
    /// Its day (BT-2).
    pub issued: Date,
    /// Days until it is due (BT-9).
    pub due_days: u32,
    /// What the shop is called (BT-27).
    pub shop: &'a str,
    /// The shop (BG-4).
    pub seller: &'a Seller,
    /// Who buys (BT-44).
    pub buyer: &'a str,
    /// Where the buyer is, two letters (BT-55).
    pub buyer_country: &'a str,
    /// The number under which the buyer pays tax (BT-48); wanted where the buyer owes it.
    pub buyer_tax_number: Option<&'a str>,
    /// What has been paid in advance (BT-113).
    pub paid: Option<Money>,
}

/// Why there is no invoice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum InvoiceError {
    /// The estimate may not be signed.
    NotAgreed(&'static str),
    /// No number, or no buyer.
    Missing(&'static str),
    /// A country that is not two capital letters.
    Country(String),
    /// Sums that cannot be counted.
    Amount(MoneyError),
    /// No tax is stated for a line.
    NoTax(String),
    /// There is no estimate.
    NoEstimate(String),
    /// It could not be written.
    Write(String),
}

impl From<MoneyError> for InvoiceError {
    fn from(error: MoneyError) -> Self {
        Self::Amount(error)
    }
}

impl From<std::io::Error> for InvoiceError {
    fn from(error: std::io::Error) -> Self {
        Self::Write(error.to_string())
    }
}

impl fmt::Display for InvoiceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAgreed(why) => write!(f, "no invoice: {why}"),
            Self::Missing(what) => write!(f, "no invoice: it has no {what}"),
            Self::Country(found) => {
                write!(f, "`{found}` is no country; two capital letters are wanted (ISO 3166-1)")
            }
            Self::Amount(error) => write!(f, "no invoice: {error}"),
            Self::NoTax(line) => write!(f, "no invoice: no tax is stated for {line}"),
            Self::NoEstimate(why) | Self::Write(why) => write!(f, "no invoice: {why}"),
        }
    }
}

impl std::error::Error for InvoiceError {}

/// A line with its amount without tax (BT-131).
struct Net<'a> {
    line: &'a PriceLine,
    rule: &'a TaxRule,
    amount: Money,
}

/// The sums of the document (BG-22) and of each rule of tax (BG-23).
struct Sums<'a> {
    /// BT-116 and BT-117 by rule.
    groups: Vec<(&'a TaxRule, Money, Money)>,
    /// BT-106.
    lines: Money,
    /// BT-107.
    allowances: Money,
    /// BT-109.
    without_tax: Money,
    /// BT-110.
    tax: Money,
    /// BT-112.
    with_tax: Money,
    /// BT-113.
    paid: Money,
    /// BT-114.
    rounding: Money,
    /// BT-115.
    due: Money,
}

/// The invoice of an estimate.
///
/// Discounts become allowances of the document. Where prices hold the tax, each line is taken to its net amount and what
/// that rounding shifts stands as the rounding amount (BT-114), so that what is paid is what was agreed on.
///
/// # Errors
/// [`InvoiceError`] for an estimate that may not be signed, and for what the invoice has to say and does not.
///
/// # Source
/// EN 16931-1:2017, and its binding to UBL 2.1 in CEN/TS 16931-3-2 (from memory). What comes out is held against the schema
/// of UBL and against the rules that CEN publishes (`tests/reference/`), and its arithmetic against the examples that CEN
/// publishes (`tests/published.rs`).
pub fn invoice(
    estimate: &Estimate,
    taxes: &Taxes,
    carries: Carries,
    heading: &Heading<'_>,
) -> Result<String, InvoiceError> {
    if !estimate.signable.is_open() {
        return Err(InvoiceError::NotAgreed(estimate.signable.words()));
    }
    let wanted = [
        (heading.number, "number"),
        (heading.buyer, "buyer"),
        (heading.shop, "seller"),
        (&heading.seller.tax_number, "tax number of the seller"),
    ];
    if let Some((_, what)) = wanted.iter().find(|(text, _)| text.trim().is_empty()) {
        return Err(InvoiceError::Missing(what));
    }
    for country in [heading.buyer_country, &heading.seller.country] {
        if country.len() != 2 || !country.bytes().all(|letter| letter.is_ascii_uppercase()) {
            return Err(InvoiceError::Country(country.to_owned()));
        }
    }
    let nets = nets(estimate, taxes, carries)?;
    let reversed = nets.iter().any(|net| net.rule.treatment == Treatment::ReverseCharge);
    if reversed && heading.buyer_tax_number.is_none_or(|number| number.trim().is_empty()) {
        return Err(InvoiceError::Missing("tax number of the buyer, who owes the tax"));
    }
    let sums = sums(&nets, estimate.totals.payable, heading.paid)?;
    let mut xml = Xml(Writer::new_with_indent(Vec::new(), b' ', 2));
    xml.0.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    xml.invoice(&nets, &sums, heading)?;
    String::from_utf8(xml.0.into_inner()).map_err(|error| InvoiceError::Write(error.to_string()))
}

fn nets<'a>(
    estimate: &'a Estimate,
    taxes: &'a Taxes,
    carries: Carries,
) -> Result<Vec<Net<'a>>, InvoiceError> {
    const WHOLE: u32 = 10_000;
    estimate
        .lines
        .iter()
        .map(|line| {
            let rule = taxes.get(&line.kind).ok_or_else(|| InvoiceError::NoTax(line.words.clone()))?;
            let amount = match carries {
                Carries::Net => line.amount,
                Carries::Gross => line.amount.share(WHOLE, WHOLE.saturating_add(rule.hundredths))?,
            };
            Ok(Net { line, rule, amount })
        })
        .collect()
}

fn sums<'a>(nets: &[Net<'a>], payable: Money, paid: Option<Money>) -> Result<Sums<'a>, InvoiceError> {
    const WHOLE: u32 = 10_000;
    let zero = payable.with_minor(0);
    let sum = |all: &mut dyn Iterator<Item = Money>| {
        all.map(Ok).reduce(|sum, more| sum?.plus(more?)).unwrap_or(Ok(zero))
    };
    let lines = sum(&mut nets.iter().filter(|net| !is_allowance(net)).map(|net| net.amount))?;
    let off = sum(&mut nets.iter().filter(|net| is_allowance(net)).map(|net| net.amount))?;
    let mut by_rule: BTreeMap<&TaxRule, Money> = BTreeMap::new();
    for net in nets {
        let so_far = by_rule.get(net.rule).copied().unwrap_or(zero);
        by_rule.insert(net.rule, so_far.plus(net.amount)?);
    }
    let mut groups = Vec::new();
    for (rule, base) in by_rule {
        groups.push((rule, base, base.share(rule.hundredths, WHOLE)?));
    }
    let allowances = zero.minus(off)?;
    let without_tax = lines.minus(allowances)?;
    let tax = sum(&mut groups.iter().map(|(_, _, tax)| *tax))?;
    let with_tax = without_tax.plus(tax)?;
    let rounding = payable.minus(with_tax)?;
    let paid = paid.unwrap_or(zero);
    let due = with_tax.minus(paid)?.plus(rounding)?;
    Ok(Sums { groups, lines, allowances, without_tax, tax, with_tax, paid, rounding, due })
}

fn is_allowance(net: &Net<'_>) -> bool {
    net.amount.minor() < 0
}

/// An amount as a decimal number.
fn decimal(money: Money) -> String {
    let (sign, size) = (if money.minor() < 0 { "-" } else { "" }, money.minor().unsigned_abs());
    format!("{sign}{}.{:02}", size / 100, size % 100)
}

struct Xml(Writer<Vec<u8>>);

const ROOT: [(&str, &str); 3] = [
    ("xmlns", "urn:oasis:names:specification:ubl:schema:xsd:Invoice-2"),
    ("xmlns:cac", "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"),
    ("xmlns:cbc", "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"),
];

type Done = Result<(), InvoiceError>;

impl Xml {
    fn within(&mut self, name: &str, inside: impl FnOnce(&mut Self) -> Done) -> Done {
        self.0.write_event(Event::Start(BytesStart::new(name)))?;
        inside(self)?;
        Ok(self.0.write_event(Event::End(BytesEnd::new(name)))?)
    }

    fn leaf_with(&mut self, name: &str, attributes: &[(&str, &str)], text: &str) -> Done {
        let start = BytesStart::new(name).with_attributes(attributes.iter().copied());
        self.0.write_event(Event::Start(start))?;
        self.0.write_event(Event::Text(BytesText::new(text)))?;
        Ok(self.0.write_event(Event::End(BytesEnd::new(name)))?)
    }

    fn leaf(&mut self, name: &str, text: &str) -> Done {
        self.leaf_with(name, &[], text)
    }

    fn money(&mut self, name: &str, money: Money) -> Done {
        self.leaf_with(name, &[("currencyID", money.currency())], &decimal(money))
    }

    fn invoice(&mut self, nets: &[Net<'_>], sums: &Sums<'_>, heading: &Heading<'_>) -> Done {
        self.0.write_event(Event::Start(BytesStart::new("Invoice").with_attributes(ROOT)))?;
        self.leaf("cbc:CustomizationID", "urn:cen.eu:en16931:2017")?;
        self.leaf("cbc:ID", heading.number.trim())?;
        self.leaf("cbc:IssueDate", &heading.issued.to_string())?;
        let due = heading.issued.saturating_add(i64::from(heading.due_days).days());
        self.leaf("cbc:DueDate", &due.to_string())?;
        // UNTDID 1001: commercial invoice.
        self.leaf("cbc:InvoiceTypeCode", "380")?;
        self.leaf("cbc:DocumentCurrencyCode", sums.due.currency())?;
        self.within("cac:AccountingSupplierParty", |xml| xml.seller(heading))?;
        self.within("cac:AccountingCustomerParty", |xml| xml.buyer(heading))?;
        if let Some(account) = &heading.seller.account {
            self.within("cac:PaymentMeans", |xml| {
                // UNTDID 4461: credit transfer.
                xml.leaf("cbc:PaymentMeansCode", "30")?;
                xml.within("cac:PayeeFinancialAccount", |xml| xml.leaf("cbc:ID", account))
            })?;
        }
        for net in nets.iter().filter(|net| is_allowance(net)) {
            self.allowance(net)?;
        }
        self.within("cac:TaxTotal", |xml| xml.taxes(sums))?;
        self.within("cac:LegalMonetaryTotal", |xml| xml.totals(sums))?;
        for (at, net) in nets.iter().filter(|net| !is_allowance(net)).enumerate() {
            self.within("cac:InvoiceLine", |xml| xml.line(at + 1, net))?;
        }
        Ok(self.0.write_event(Event::End(BytesEnd::new("Invoice")))?)
    }

    fn seller(&mut self, heading: &Heading<'_>) -> Done {
        let seller = heading.seller;
        self.within("cac:Party", |xml| {
            if let Some((endpoint, scheme)) = &seller.endpoint {
                xml.leaf_with("cbc:EndpointID", &[("schemeID", scheme)], endpoint)?;
            }
            xml.within("cac:PostalAddress", |xml| {
                xml.leaf("cbc:StreetName", &seller.street)?;
                xml.leaf("cbc:CityName", &seller.city)?;
                xml.leaf("cbc:PostalZone", &seller.post_code)?;
                xml.within("cac:Country", |xml| xml.leaf("cbc:IdentificationCode", &seller.country))
            })?;
            xml.within("cac:PartyTaxScheme", |xml| {
                xml.leaf("cbc:CompanyID", &seller.tax_number)?;
                xml.scheme()
            })?;
            xml.within("cac:PartyLegalEntity", |xml| xml.leaf("cbc:RegistrationName", heading.shop))
        })
    }

    fn buyer(&mut self, heading: &Heading<'_>) -> Done {
        self.within("cac:Party", |xml| {
            xml.within("cac:PostalAddress", |xml| {
                xml.within("cac:Country", |xml| xml.leaf("cbc:IdentificationCode", heading.buyer_country))
            })?;
            if let Some(number) = heading.buyer_tax_number.filter(|number| !number.trim().is_empty()) {
                xml.within("cac:PartyTaxScheme", |xml| {
                    xml.leaf("cbc:CompanyID", number.trim())?;
                    xml.scheme()
                })?;
            }
            xml.within("cac:PartyLegalEntity", |xml| xml.leaf("cbc:RegistrationName", heading.buyer.trim()))
        })
    }

    fn scheme(&mut self) -> Done {
        self.within("cac:TaxScheme", |xml| xml.leaf("cbc:ID", "VAT"))
    }

    fn category(&mut self, name: &str, rule: &TaxRule, with_reason: bool) -> Done {
        self.within(name, |xml| {
            xml.leaf("cbc:ID", rule.treatment.code())?;
            xml.leaf("cbc:Percent", &percent_words(rule.hundredths))?;
            let is_free = matches!(rule.treatment, Treatment::Exempt | Treatment::ReverseCharge);
            if let Some(reason) = rule.reason.as_ref().filter(|_| with_reason && is_free) {
                xml.leaf("cbc:TaxExemptionReason", reason)?;
            }
            xml.scheme()
        })
    }

    fn allowance(&mut self, net: &Net<'_>) -> Done {
        self.within("cac:AllowanceCharge", |xml| {
            xml.leaf("cbc:ChargeIndicator", "false")?;
            xml.leaf("cbc:AllowanceChargeReason", &net.line.words)?;
            xml.money("cbc:Amount", net.amount.with_minor(-net.amount.minor()))?;
            xml.category("cac:TaxCategory", net.rule, false)
        })
    }

    fn taxes(&mut self, sums: &Sums<'_>) -> Done {
        self.money("cbc:TaxAmount", sums.tax)?;
        for (rule, base, tax) in &sums.groups {
            self.within("cac:TaxSubtotal", |xml| {
                xml.money("cbc:TaxableAmount", *base)?;
                xml.money("cbc:TaxAmount", *tax)?;
                xml.category("cac:TaxCategory", rule, true)
            })?;
        }
        Ok(())
    }

    fn totals(&mut self, sums: &Sums<'_>) -> Done {
        self.money("cbc:LineExtensionAmount", sums.lines)?;
        self.money("cbc:TaxExclusiveAmount", sums.without_tax)?;
        self.money("cbc:TaxInclusiveAmount", sums.with_tax)?;
        if sums.allowances.minor() != 0 {
            self.money("cbc:AllowanceTotalAmount", sums.allowances)?;
        }
        if sums.paid.minor() != 0 {
            self.money("cbc:PrepaidAmount", sums.paid)?;
        }
        if sums.rounding.minor() != 0 {
            self.money("cbc:PayableRoundingAmount", sums.rounding)?;
        }
        self.money("cbc:PayableAmount", sums.due)
    }

    fn line(&mut self, number: usize, net: &Net<'_>) -> Done {
        let line = net.line;
        // UN/ECE Recommendation 20: minutes, and one.
        let (count, unit) = match line.how_much {
            HowMuch::Minutes(minutes) if minutes > 0 => (minutes, "MIN"),
            HowMuch::Pieces(pieces) if pieces > 0 => (pieces, "C62"),
            _ => (1, "C62"),
        };
        self.leaf("cbc:ID", &number.to_string())?;
        self.leaf_with("cbc:InvoicedQuantity", &[("unitCode", unit)], &count.to_string())?;
        self.money("cbc:LineExtensionAmount", net.amount)?;
        self.within("cac:Item", |xml| {
            xml.leaf("cbc:Description", &line.why)?;
            xml.leaf("cbc:Name", &line.words)?;
            if let Some(part) = &line.part {
                xml.within("cac:SellersItemIdentification", |xml| xml.leaf("cbc:ID", part))?;
            }
            xml.category("cac:ClassifiedTaxCategory", net.rule, false)
        })?;
        self.within("cac:Price", |xml| {
            // The price of all of them together, so that price and quantity give the amount of the line to the cent.
            xml.money("cbc:PriceAmount", net.amount)?;
            xml.leaf_with("cbc:BaseQuantity", &[("unitCode", unit)], &count.to_string())
        })
    }
}
