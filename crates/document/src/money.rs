//! Amounts, lines and sums as they leave.

use schemars::JsonSchema;
use serde::Serialize;
use shop::{HowMuch, PriceLine, Totals};

/// An amount of money.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MoneyDocument {
    /// In minor units.
    pub minor: i64,
    /// The currency.
    pub currency: String,
    /// As it is shown.
    pub text: String,
}

impl MoneyDocument {
    /// The document of an amount.
    pub fn of(money: quantity::Money) -> Self {
        Self { minor: money.minor(), currency: money.currency().to_owned(), text: money.to_string() }
    }
}

/// A line.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PriceLineDocument {
    /// labour, part, small_part, consumable, used_part or voucher.
    pub kind: &'static str,
    /// Key in the catalogue.
    pub part: Option<String>,
    /// In words.
    pub words: String,
    /// How much, in words.
    pub how_much: String,
    /// Minutes, for labour.
    pub minutes: Option<u32>,
    /// Pieces, for parts.
    pub pieces: Option<u32>,
    /// The price of an hour or a piece.
    pub unit: Option<MoneyDocument>,
    /// The amount.
    pub amount: MoneyDocument,
    /// Why it is there.
    pub why: String,
    /// The day of the price list.
    pub priced_on: Option<String>,
    /// Whether the quantity was assumed.
    pub assumed: bool,
}

/// The sums.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TotalsDocument {
    /// By rule of tax.
    pub taxes: Vec<TaxDocument>,
    /// Without tax.
    pub net: MoneyDocument,
    /// The tax.
    pub tax: MoneyDocument,
    /// With tax.
    pub gross: MoneyDocument,
    /// What rounding adds or takes.
    pub rounding: MoneyDocument,
    /// What is paid.
    pub payable: MoneyDocument,
}

/// All lines that are taxed alike.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TaxDocument {
    /// The rule, in words.
    pub rule: String,
    /// Without tax.
    pub net: MoneyDocument,
    /// The tax.
    pub tax: MoneyDocument,
}

impl PriceLineDocument {
    /// The document of a line.
    pub fn of(line: &PriceLine) -> Self {
        let (minutes, pieces) = match line.how_much {
            HowMuch::Minutes(minutes) => (Some(minutes), None),
            HowMuch::Pieces(pieces) => (None, Some(pieces)),
            HowMuch::Flat => (None, None),
        };
        Self {
            kind: line.kind.key(),
            part: line.part.clone(),
            words: line.words.clone(),
            how_much: line.how_much.to_string(),
            minutes,
            pieces,
            unit: line.unit.map(MoneyDocument::of),
            amount: MoneyDocument::of(line.amount),
            why: line.why.clone(),
            priced_on: line.priced_on.map(|day| day.to_string()),
            assumed: line.assumed,
        }
    }
}

impl TotalsDocument {
    /// The document of the sums.
    pub fn of(totals: &Totals) -> Self {
        Self {
            taxes: totals
                .groups
                .iter()
                .map(|group| TaxDocument {
                    rule: group.rule.to_string(),
                    net: MoneyDocument::of(group.net),
                    tax: MoneyDocument::of(group.tax),
                })
                .collect(),
            net: MoneyDocument::of(totals.net),
            tax: MoneyDocument::of(totals.tax),
            gross: MoneyDocument::of(totals.gross),
            rounding: MoneyDocument::of(totals.rounding),
            payable: MoneyDocument::of(totals.payable),
        }
    }
}
