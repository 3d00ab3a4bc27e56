//! What a job costs: lines, tax in groups of one rule, and one rounding for the whole. Begin with [`totals`].

use crate::tax::{LineKind, TaxRule, Taxes};
use jiff::civil::Date;
use quantity::{Money, MoneyError};
use std::collections::BTreeMap;
use std::fmt;

/// Whether prices carry the tax.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carries {
    /// Prices are without tax; it is added.
    Net,
    /// Prices hold the tax; it is taken out.
    Gross,
}

impl Carries {
    /// The word in the settings and on the sheet.
    pub fn word(self) -> &'static str {
        match self {
            Self::Net => "net",
            Self::Gross => "gross",
        }
    }
}

/// How much of something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HowMuch {
    /// Minutes of work.
    Minutes(u32),
    /// Pieces.
    Pieces(u32),
    /// One sum for all.
    Flat,
}

impl fmt::Display for HowMuch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Minutes(minutes) => write!(f, "{minutes} min"),
            Self::Pieces(pieces) => write!(f, "{pieces} ×"),
            Self::Flat => write!(f, "flat"),
        }
    }
}

/// A line of an estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct PriceLine {
    /// What it is.
    pub kind: LineKind,
    /// The key of the part in the catalogue, if it has one.
    pub part: Option<String>,
    /// In words.
    pub words: String,
    /// How much.
    pub how_much: HowMuch,
    /// The price of one: of an hour, of a piece.
    pub unit: Option<Money>,
    /// The amount of the line; below zero for a discount.
    pub amount: Money,
    /// Why it is there.
    pub why: String,
    /// The day of the price list.
    pub priced_on: Option<Date>,
    /// Whether the quantity rests on something that nobody counted.
    pub assumed: bool,
}

/// Why lines have no total.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PriceError {
    /// A part has no price.
    NoPrice(String),
    /// The shop states no tax for a sort of line.
    NoTax(LineKind),
    /// A line in another currency than the shop's.
    OtherCurrency {
        /// The line.
        line: String,
        /// Its currency.
        found: String,
        /// The shop's.
        wanted: String,
    },
    /// An amount that cannot be counted.
    Amount(MoneyError),
}

impl From<MoneyError> for PriceError {
    fn from(error: MoneyError) -> Self {
        Self::Amount(error)
    }
}

impl fmt::Display for PriceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPrice(part) => {
                write!(f, "the price of {part} is not known; it is not counted as nothing")
            }
            Self::NoTax(kind) => write!(f, "the shop states no tax for {}", kind.words()),
            Self::OtherCurrency { line, found, wanted } => {
                write!(f, "{line} is priced in {found}, but the shop counts in {wanted}")
            }
            Self::Amount(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for PriceError {}

/// All lines that are taxed by one rule.
#[derive(Clone, Debug, PartialEq)]
pub struct TaxGroup {
    /// The rule.
    pub rule: TaxRule,
    /// Without tax.
    pub net: Money,
    /// The tax.
    pub tax: Money,
    /// With tax.
    pub gross: Money,
}

/// The sums of an estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct Totals {
    /// By rule of tax.
    pub groups: Vec<TaxGroup>,
    /// Without tax.
    pub net: Money,
    /// The tax.
    pub tax: Money,
    /// With tax.
    pub gross: Money,
    /// What rounding to the smallest coin adds or takes.
    pub rounding: Money,
    /// What is paid.
    pub payable: Money,
}

/// The sum as it is shown.
pub fn shown(totals: &Totals, shown: Carries) -> Money {
    match shown {
        Carries::Net => totals.net,
        Carries::Gross => totals.payable,
    }
}

/// The sums of lines.
///
/// The amounts of all lines under one rule of tax are added first, then the tax of the sum is rounded once: `tax = net ×
/// rate`, or `net = gross ÷ (1 + rate)` where prices hold the tax. What is paid is rounded once more, to a multiple of
/// `round_to` minor units.
///
/// Does not depend on the order of the lines; grows with every amount.
///
/// # Errors
/// [`PriceError`] for every sort of line without a rule and for amounts that cannot be added.
pub fn totals(
    lines: &[PriceLine],
    taxes: &Taxes,
    carries: Carries,
    currency: Money,
    round_to: u32,
) -> Result<Totals, Vec<PriceError>> {
    let zero = currency.with_minor(0);
    let mut sums: BTreeMap<&TaxRule, Money> = BTreeMap::new();
    let mut problems = Vec::new();
    for line in lines {
        let Some(rule) = taxes.get(&line.kind) else {
            if !problems.contains(&PriceError::NoTax(line.kind)) {
                problems.push(PriceError::NoTax(line.kind));
            }
            continue;
        };
        let sum = sums.entry(rule).or_insert(zero);
        match sum.plus(line.amount) {
            Ok(more) => *sum = more,
            Err(MoneyError::Mixed(wanted, found)) => {
                problems.push(PriceError::OtherCurrency { line: line.words.clone(), found, wanted });
            }
            Err(error) => problems.push(error.into()),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let summed = || -> Result<Totals, MoneyError> {
        let mut groups = Vec::new();
        for (rule, sum) in sums {
            groups.push(group(rule, sum, carries)?);
        }
        let add = |of: fn(&TaxGroup) -> Money| groups.iter().try_fold(zero, |sum, group| sum.plus(of(group)));
        let (net, tax, gross) = (add(|group| group.net)?, add(|group| group.tax)?, add(|group| group.gross)?);
        let payable = rounded(gross, round_to);
        Ok(Totals { net, tax, gross, rounding: payable.minus(gross)?, payable, groups })
    };
    summed().map_err(|error| vec![error.into()])
}

fn group(rule: &TaxRule, sum: Money, carries: Carries) -> Result<TaxGroup, MoneyError> {
    const WHOLE: u32 = 10_000;
    let (net, tax, gross) = match carries {
        Carries::Net => {
            let tax = sum.share(rule.hundredths, WHOLE)?;
            (sum, tax, sum.plus(tax)?)
        }
        Carries::Gross => {
            let net = sum.share(WHOLE, WHOLE.saturating_add(rule.hundredths))?;
            (net, sum.minus(net)?, sum)
        }
    };
    Ok(TaxGroup { rule: rule.clone(), net, tax, gross })
}

/// An amount to a multiple of so many minor units, halves away from zero.
fn rounded(amount: Money, to: u32) -> Money {
    let to = i64::from(to.max(1));
    let (size, sign) = (amount.minor().unsigned_abs(), amount.minor().signum());
    let unit = to.unsigned_abs();
    let rounded = (size + unit / 2) / unit * unit;
    i64::try_from(rounded).map_or(amount, |size| amount.with_minor(size * sign))
}
