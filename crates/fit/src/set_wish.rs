//! What a set of parts shall give, where the program chooses it.

use catalog::Slot;
use quantity::{Length, Mass, Money, Percent};

/// What is to be made small. Fewest open verdicts always counts as well, last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AimName {
    /// Price of the new parts.
    Price,
    /// Way of the bike in one turn of the cranks in its lowest gear.
    Lowest,
    /// Largest step from one cog to the next.
    Step,
    /// Mass of the new parts less that of the parts they replace.
    Weight,
    /// Minutes of labour.
    Minutes,
    /// Cost of the customer's own ride: minutes outside the liked cadence, and what breaks the rhythm.
    Ride,
}

impl AimName {
    /// All of them, in the order in which they are compared.
    pub const ALL: &'static [AimName] =
        &[Self::Price, Self::Lowest, Self::Step, Self::Weight, Self::Minutes, Self::Ride];

    /// The word in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Price => "price",
            Self::Lowest => "lowest",
            Self::Step => "step",
            Self::Weight => "weight",
            Self::Minutes => "minutes",
            Self::Ride => "ride",
        }
    }

    /// What it is called in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Price => "price of the parts",
            Self::Lowest => "development of the lowest gear",
            Self::Step => "largest step from cog to cog",
            Self::Weight => "mass",
            Self::Minutes => "minutes of labour",
            Self::Ride => "cost of the ride",
        }
    }

    /// The aim for a word.
    pub fn read(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|aim| aim.word() == word)
    }
}

/// What a set of parts shall give. Nothing said is nothing asked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetWish {
    /// Number of cogs.
    pub cogs: Option<u32>,
    /// Number of rings.
    pub rings: Option<u32>,
    /// Development of the lowest gear, at most.
    pub lowest_at_most: Option<Length>,
    /// Development of the highest gear, at least.
    pub highest_at_least: Option<Length>,
    /// Step from one cog to the next, at most.
    pub step_at_most: Option<Percent>,
    /// How far the hands may move.
    pub hands_within: Option<Length>,
    /// Slots whose part stays.
    pub keep: Vec<Slot>,
    /// Slots that may change beside those of the drive.
    pub free: Vec<Slot>,
    /// Keys of parts that are not wanted.
    pub avoid: Vec<String>,
    /// Working days until every part is here, at most; 0 is in stock.
    pub parts_within_days: Option<u32>,
    /// Price of the parts, at most.
    pub parts_at_most: Option<Money>,
    /// Mass of the new parts less that of the parts they replace, at most.
    pub heavier_at_most: Option<Mass>,
    /// The brakes shall not be weaker than today.
    pub brakes_not_weaker: bool,
    /// No marginal verdict.
    pub no_marginal: bool,
    /// Minutes of labour, at most.
    pub labour_at_most: Option<u32>,
    /// What is to be made small; price and lowest gear where nothing is said.
    pub aims: Vec<AimName>,
}
