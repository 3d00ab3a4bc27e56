//! Tax: a rule for each sort of line, as the shop states it. No rate stands in the program.

use std::collections::BTreeMap;
use std::fmt;

/// What a line of an estimate is, as far as tax tells lines apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Work.
    Labour,
    /// A new part.
    Part,
    /// A small part by quantity: ferrules, tips, metres of housing.
    SmallPart,
    /// Lubricants and cleaning, flat.
    Consumable,
    /// A used part.
    UsedPart,
    /// A voucher.
    Voucher,
}

impl LineKind {
    /// All sorts of lines.
    pub const ALL: &'static [Self] =
        &[Self::Labour, Self::Part, Self::SmallPart, Self::Consumable, Self::UsedPart, Self::Voucher];

    /// The key in the settings of a shop.
    pub fn key(self) -> &'static str {
        match self {
            Self::Labour => "labour",
            Self::Part => "part",
            Self::SmallPart => "small_part",
            Self::Consumable => "consumable",
            Self::UsedPart => "used_part",
            Self::Voucher => "voucher",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Labour => "labour",
            Self::Part => "parts",
            Self::SmallPart => "small parts",
            Self::Consumable => "consumables",
            Self::UsedPart => "used parts",
            Self::Voucher => "vouchers",
        }
    }

    /// The sort of line with this key.
    pub fn read(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.key() == key)
    }
}

/// How a sort of line is taxed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Treatment {
    /// At a rate above zero.
    Standard,
    /// At a rate of zero.
    Zero,
    /// Exempt.
    Exempt,
    /// The buyer owes the tax.
    ReverseCharge,
}

impl Treatment {
    /// All treatments.
    pub const ALL: &'static [Self] = &[Self::Standard, Self::Zero, Self::Exempt, Self::ReverseCharge];

    /// The key in the settings of a shop.
    pub fn key(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Zero => "zero",
            Self::Exempt => "exempt",
            Self::ReverseCharge => "reverse-charge",
        }
    }

    /// The treatment with this key.
    pub fn read(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|treatment| treatment.key() == key)
    }

    /// The code of UNTDID 5305 that an electronic invoice carries.
    pub fn code(self) -> &'static str {
        match self {
            Self::Standard => "S",
            Self::Zero => "Z",
            Self::Exempt => "E",
            Self::ReverseCharge => "AE",
        }
    }
}

/// The rule for a sort of line.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TaxRule {
    /// How it is taxed.
    pub treatment: Treatment,
    /// The rate in hundredths of a percent; zero unless it is taxed at a rate.
    pub hundredths: u32,
    /// Why it is exempt or reversed, as the law wants it said.
    pub reason: Option<String>,
}

impl TaxRule {
    /// Taxed at a rate, in hundredths of a percent; at none if that is zero.
    pub fn rate(hundredths: u32) -> Self {
        let treatment = if hundredths == 0 { Treatment::Zero } else { Treatment::Standard };
        Self { treatment, hundredths, reason: None }
    }
}

impl fmt::Display for TaxRule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.treatment, &self.reason) {
            (Treatment::Standard, _) => write!(f, "{} %", percent_words(self.hundredths)),
            (Treatment::Zero, _) => write!(f, "0 %"),
            (Treatment::Exempt, Some(why)) => write!(f, "exempt: {why}"),
            (Treatment::Exempt, None) => write!(f, "exempt"),
            (Treatment::ReverseCharge, Some(why)) => write!(f, "owed by the buyer: {why}"),
            (Treatment::ReverseCharge, None) => write!(f, "owed by the buyer"),
        }
    }
}

/// Hundredths of a percent as percent, without zeros at the end.
pub fn percent_words(hundredths: u32) -> String {
    match hundredths % 100 {
        0 => format!("{}", hundredths / 100),
        rest if rest % 10 == 0 => format!("{}.{}", hundredths / 100, rest / 10),
        rest => format!("{}.{rest:02}", hundredths / 100),
    }
}

/// The rules of a shop.
pub type Taxes = BTreeMap<LineKind, TaxRule>;
