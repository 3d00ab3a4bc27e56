//! The question: a bike as found, what the customer wishes, and the parts chosen.

use crate::ride::Road;
use crate::set_wish::SetWish;
use catalog::Parts;
use quantity::{Length, Mass, Money, Percent, Power, Speed};

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
    /// The customer's own ride, which the gears shall answer.
    pub ride: Option<RideWish>,
}

/// The customer's own ride: a recorded one, or a hill by hand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RideWish {
    /// Name of the recorded file, as written.
    pub file: Option<String>,
    /// Whether its heights come from a barometer; unknown counts as no.
    pub barometer: Option<bool>,
    /// Length along the road and climb of a hill by hand.
    pub hill: Option<(Length, Length)>,
    /// Length of a stretch of the profile.
    pub spacing: Option<Length>,
    /// The wind, where somebody knows it.
    pub wind: Option<Wind>,
    /// The road of the file, put in by whoever has read it; a hill needs no reading.
    pub road: Option<Road>,
    /// Keys of cassettes that shall be compared on the ride.
    pub compare: Vec<String>,
}

/// A wind at the height of the rider.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wind {
    /// From a direction that nobody knows: averaged over all of them.
    Anywhere(Speed),
    /// From ahead all the way; below 0 from behind.
    Ahead(Speed),
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
    /// How they ride, where nobody knows a power.
    pub effort: Option<Effort>,
    /// A hill they know the time of: length along the road, climb, minutes.
    pub climb: Option<(Length, Length, u32)>,
    /// The cadence they like, turns a minute, lower and upper end.
    pub cadence: Option<(u32, u32)>,
    /// The lowest cadence they accept, turns a minute.
    pub lowest_cadence: Option<u32>,
}

/// The plain answer to: how do you ride up a long hill?
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// They talk while they climb.
    Easy,
    /// They breathe hard and keep going.
    Steady,
    /// They train for it.
    Strong,
}
