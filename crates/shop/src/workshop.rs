//! The shop as it counts: its book, its money, its risks, its words, its people. Nothing in here is set by the program.

use crate::book::Book;
use crate::calendar::{Calendar, Colleague};
use crate::delivery::LeadRecord;
use crate::price::Carries;
use crate::promise::OpenJob;
use crate::risk::Risk;
use crate::tax::{LineKind, Taxes};
use crate::wording::TextBlocks;
use catalog::Slot;
use jiff::civil::Date;
use quantity::Money;
use std::collections::BTreeMap;

/// A shop.
#[derive(Clone, Debug)]
pub struct Workshop {
    /// What it is called, and where it stands, as an invoice needs it.
    pub name: String,
    /// Who it is for the tax office.
    pub seller: Seller,
    /// Its money.
    pub terms: Terms,
    /// Its steps and operations.
    pub book: Book,
    /// Its risks.
    pub risks: Vec<Risk>,
    /// What it says.
    pub blocks: TextBlocks,
    /// When it is open.
    pub calendar: Calendar,
    /// Who works there.
    pub people: Vec<Colleague>,
    /// Bikes that can be worked on at once.
    pub stands: u32,
    /// Whether, with nobody else in the building, the same person may check on the next morning.
    pub cold_check: bool,
    /// What is known of deliveries, by supplier.
    pub deliveries: BTreeMap<String, LeadRecord>,
    /// Jobs that have been agreed on and wait.
    pub open_jobs: Vec<OpenJob>,
}

/// The shop as the seller of an invoice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seller {
    /// Street and number.
    pub street: String,
    /// Town.
    pub city: String,
    /// Postal code.
    pub post_code: String,
    /// Country, two letters (ISO 3166-1).
    pub country: String,
    /// The number under which it pays tax.
    pub tax_number: String,
    /// Where the money goes.
    pub account: Option<String>,
    /// Electronic address with its scheme.
    pub endpoint: Option<(String, String)>,
}

/// The money of a shop.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// An hour of labour.
    pub hour: Money,
    /// Whether its own prices and those of its lists hold the tax.
    pub prices: Carries,
    /// What its customers expect to see.
    pub shown: Carries,
    /// Its taxes.
    pub taxes: Taxes,
    /// The smallest coin, in minor units.
    pub round_to: u32,
    /// The day of its price list.
    pub prices_on: Option<Date>,
    /// What an inspection costs when no refit follows.
    pub intake_fee: Money,
    /// How far the minutes of a job scatter about the book, percent, as a standard deviation.
    pub scatter_percent: u32,
    /// Ceilings are rounded up to a multiple of this.
    pub ceiling_to: Money,
    /// What is asked for in advance.
    pub deposit: Deposit,
    /// What may be added without a call.
    pub small: SmallThings,
    /// Discounts that are given on every estimate, shown as lines.
    pub discounts: Vec<Discount>,
    /// Days for which an estimate holds.
    pub valid_days: u32,
}

/// What is asked for in advance.
#[derive(Clone, Debug, PartialEq)]
pub enum Deposit {
    /// Nothing.
    Nothing,
    /// A share of the whole, percent.
    Share(u32),
    /// The parts of these slots, which cannot go back once they are cut, opened or built.
    NotReturnable(Vec<Slot>),
}

/// Small things that need no call; each is listed all the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallThings {
    /// Up to this each.
    pub each: Money,
    /// And up to this in all.
    pub in_all: Money,
}

/// A discount.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Discount {
    /// For what.
    pub words: String,
    /// On which lines; on all if none is named.
    pub kinds: Vec<LineKind>,
    /// Hundredths of a percent.
    pub hundredths: u32,
}
