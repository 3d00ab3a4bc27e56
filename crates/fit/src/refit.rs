//! The question: a bike as found, what the customer wishes, and the parts chosen.

use crate::set_wish::SetWish;
use catalog::Parts;
use quantity::{Length, Mass, Money, Percent, Power};

/// A refit as written down at the counter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Refit {
    /// What the job is called.
    pub name: String,
    /// The bike as found: every dimension may be unknown.
    pub bike: Parts,
    /// The parts that shall go on. A slot that is empty here keeps what the bike has.
    pub choice: Parts,
    /// What the customer wishes.
    pub wish: Wish,
    /// Who rides it.
    pub rider: Rider,
}

/// What the customer wishes, as far as it can be checked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wish {
    /// In the customer's own words.
    pub words: Option<String>,
    /// How the lowest gear shall change.
    pub lowest_gear: Option<LowestGear>,
    /// What shall become of the hand position.
    pub hands: Option<Hands>,
    /// The most that the parts may cost together with the work.
    pub ceiling: Option<Money>,
    /// Days until it must be ready.
    pub ready_in_days: Option<u32>,
    /// What a set of parts shall give, where the program chooses it.
    pub set: SetWish,
}

/// What the lowest gear shall become.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LowestGear {
    /// Not harder than today.
    Keep,
    /// Easier, so that it is felt.
    Easier,
    /// Easier by this much at least.
    EasierBy(Percent),
}

/// What the hand position shall become.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hands {
    /// As it is today.
    Keep,
    /// It may move.
    Free,
}

/// Who rides the bike.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rider {
    /// Rider, bike and luggage together.
    pub mass: Option<Mass>,
    /// Power that the rider holds on a long climb.
    pub power: Option<Power>,
    /// Inside length of the leg, floor to crotch.
    pub inseam: Option<Length>,
}
