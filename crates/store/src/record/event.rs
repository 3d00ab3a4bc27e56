//! What can happen to a job, as it is written.

use super::set_wish::{SetWishRecord, effort_text, read_effort};
use super::value::{self, MoneyRecord};
use super::word::{
    AgeWord, ChannelWord, LookWord, OriginWord, ParkingWord, PauseWord, PointWord, RideWord, WithWord,
};
use super::{ChangeRecord, PartRecord, RecordError, key};
use fit::refit::{Hands, LowestGear};
use fit::{RideWish, Rider, Wish};
use quantity::Percent;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::job::PartCheck;
use shop::{Event, StepId, StepWork, TorqueRange};

/// One thing that happened. Quantities are text with their unit. Kinds without fields have empty braces, so that a
/// field that is not known is refused there too.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum EventRecord {
    /// Somebody asked for a refit.
    Enquired {
        /// What the job is called.
        name: String,
        /// The customer.
        customer: String,
        /// The wish in the customer's words.
        words: String,
    },
    /// The bike is here.
    Received {
        /// The hook.
        hook: String,
    },
    /// What the customer wishes, as far as it can be checked.
    WishSet {
        /// In the customer's own words.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        words: Option<String>,
        /// `keep`, `easier`, or the least by which it shall be easier, such as `20 %`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lowest_gear: Option<String>,
        /// Whether the hands stay where they are.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        keep_hands: Option<bool>,
        /// The most that it may cost.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ceiling: Option<MoneyRecord>,
        /// Days until it must be ready.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ready_in_days: Option<u32>,
        /// What a chosen set of parts shall give.
        #[serde(default, skip_serializing_if = "SetWishRecord::asks_nothing")]
        set: Box<SetWishRecord>,
    },
    /// Who rides it.
    RiderSet {
        /// Rider, bike and luggage, such as `88000 g`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mass: Option<String>,
        /// Power on a long climb, such as `180 W`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        power: Option<String>,
        /// Inside length of the leg, such as `830 mm`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        inseam: Option<String>,
        /// How they ride, where nobody knows a power: `easy`, `steady`, `strong`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        effort: Option<String>,
        /// A hill they know the time of: length along the road, climb, minutes.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        climb: Option<(String, String, u32)>,
        /// The cadence they like, turns a minute, lower and upper end.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cadence: Option<(u32, u32)>,
        /// The lowest cadence they accept, turns a minute.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lowest_cadence: Option<u32>,
    },
    /// The customer's own ride.
    RideSet {
        /// Hash of the recorded file.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        file: Option<String>,
        /// Whether its heights come from a barometer.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        barometer: Option<bool>,
        /// Length along the road and climb of a hill by hand.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        hill: Option<(String, String)>,
        /// Keys of cassettes that shall be compared on it.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        compare: Vec<String>,
    },
    /// What the bike or the customer adds to the work.
    CircumstancesSet {
        /// How hard the old parts come off: `sound`, `used`, `corroded`.
        age: AgeWord,
        /// What else there is.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        with: Vec<WithWord>,
    },
    /// A value was taken, or called fine, not reachable or not needed.
    Measured {
        /// The place on the bike.
        slot: String,
        /// On the bike or on the new part.
        origin: OriginWord,
        /// The key of the dimension.
        dimension: String,
        /// The reading, such as `410 ± 3 mm measured`.
        reading: String,
    },
    /// A part shall go on.
    Chosen {
        /// The part with its figures of that day.
        part: PartRecord,
    },
    /// No part shall go on in this place.
    Dropped {
        /// The place.
        slot: String,
    },
    /// Where the hands were.
    HandsRecorded {
        /// The figures.
        words: String,
    },
    /// A version of the estimate went out.
    Estimated {
        /// What the customer would pay.
        total: MoneyRecord,
        /// What is not passed without another word.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ceiling: Option<MoneyRecord>,
        /// The first line of what it covers.
        scope: String,
    },
    /// A day was told to the customer.
    Promised {
        /// The day, days since 1970-01-01.
        day: i64,
        /// How it was told.
        words: String,
    },
    /// The customer agreed to a version.
    Approved {
        /// The version.
        version: u32,
        /// Who agreed.
        name: String,
        /// By which way.
        channel: ChannelWord,
        /// The words.
        words: String,
    },
    /// The customer declined something that concerns safety.
    Declined {
        /// What.
        what: String,
        /// The words.
        words: String,
    },
    /// A part was ordered.
    Ordered {
        /// The place it goes to.
        slot: String,
        /// The day it is due, days since 1970-01-01.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        due_day: Option<i64>,
    },
    /// A part arrived.
    Arrived {
        /// The place it goes to.
        slot: String,
    },
    /// A part was held against the bike.
    PartChecked {
        /// The place it goes to.
        slot: String,
        /// What is wrong with it; none if it fits.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        wrong: Option<String>,
    },
    /// Work began.
    Started {},
    /// A step was done.
    Done {
        /// The key of the step.
        step: String,
        /// The fasteners that it turned.
        turned: Vec<String>,
        /// Whether it takes off.
        strips: bool,
        /// Whether it moves something.
        moves_something: bool,
    },
    /// A fastener was tightened with a wrench.
    Tightened {
        /// The fastener.
        fastener: String,
        /// The torque set, such as `5.5 N·m`.
        torque: String,
        /// The least that is wanted.
        least: String,
        /// The most that is wanted.
        most: String,
        /// The wrench.
        wrench: String,
    },
    /// A fastener was closed by hand.
    ClosedByHand {
        /// The fastener.
        fastener: String,
    },
    /// A second person saw that a fastener does not move.
    Witnessed {
        /// The fastener.
        fastener: String,
    },
    /// A fastener was found loose.
    FoundLoose {
        /// The fastener.
        fastener: String,
    },
    /// Something was found while working.
    Problem {
        /// The step at which it was found.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        step: Option<String>,
        /// What was found.
        words: String,
        /// Whether the work stops.
        stops: bool,
    },
    /// A problem was settled.
    Settled {
        /// The place of the problem in the list of entries, from 0.
        problem: u64,
        /// How.
        words: String,
    },
    /// The customer was asked about a problem.
    ChangeAsked {
        /// The place of the problem in the list of entries, from 0.
        problem: u64,
        /// What was asked.
        change: Box<ChangeRecord>,
    },
    /// The customer chose.
    ChangeAnswered {
        /// The place of the question in the list of entries, from 0.
        asked: u64,
        /// Which of its choices, from 0.
        choice: u64,
        /// Who chose.
        name: String,
        /// By which way.
        channel: ChannelWord,
        /// The words.
        words: String,
    },
    /// The work stopped for now.
    Paused {
        /// Why.
        reason: PauseWord,
        /// In which state the bike was left.
        parking: ParkingWord,
        /// What the next hand has to know.
        words: String,
    },
    /// The next hand goes on.
    Resumed {},
    /// A person took a value of the second check.
    Looked {
        /// The point.
        point: PointWord,
        /// First or second look.
        look: LookWord,
        /// The value in the unit of the point, as text so that every digit is kept.
        value: String,
    },
    /// A ride was done, or could not be.
    Rode {
        /// Which.
        ride: RideWord,
        /// What was done instead.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instead: Option<String>,
    },
    /// The second person signs.
    SecondChecked {},
    /// The customer has the bike.
    Collected {
        /// Who signed for it.
        name: String,
    },
    /// The follow-up was done.
    FollowedUp {
        /// Clicks of the adjuster that were added.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        clicks: Option<i32>,
        /// What was said and found.
        words: String,
    },
    /// The bike is sent home without the refit.
    SentHome {
        /// Why.
        words: String,
    },
    /// Something worth keeping that moves nothing.
    Noted {
        /// What.
        words: String,
    },
    /// An earlier entry was wrong.
    Corrected {
        /// Its place in the list, from 0.
        entry: u64,
        /// Why.
        words: String,
    },
}

impl EventRecord {
    /// The record of an event.
    pub(super) fn of(event: &Event) -> Self {
        match event.clone() {
            Event::Enquired { name, customer, words } => Self::Enquired { name, customer, words },
            Event::Received { hook } => Self::Received { hook },
            Event::WishSet(wish) => Self::WishSet {
                words: wish.words,
                lowest_gear: wish.lowest_gear.map(lowest_gear_text),
                keep_hands: wish.hands.map(|hands| hands == Hands::Keep),
                ceiling: wish.ceiling.map(MoneyRecord::from),
                ready_in_days: wish.ready_in_days,
                set: Box::new(SetWishRecord::of(wish.set)),
            },
            Event::RiderSet(rider) => Self::RiderSet {
                mass: rider.mass.map(value::plain_text),
                power: rider.power.map(value::plain_text),
                inseam: rider.inseam.map(value::plain_text),
                effort: rider.effort.map(effort_text),
                climb: rider.climb.map(|(length, climb, minutes)| {
                    (value::plain_text(length), value::plain_text(climb), minutes)
                }),
                cadence: rider.cadence,
                lowest_cadence: rider.lowest_cadence,
            },
            // A road that somebody put in already, a wind and a length of stretches have no place here: then it does not
            // read back as it is, and is not kept.
            Event::RideSet(ride) => Self::RideSet {
                file: ride.file,
                barometer: ride.barometer,
                hill: ride.hill.map(|(length, climb)| (value::plain_text(length), value::plain_text(climb))),
                compare: ride.compare,
            },
            Event::CircumstancesSet(circumstances) => {
                Self::CircumstancesSet { age: circumstances.age.into(), with: WithWord::of(circumstances) }
            }
            Event::Measured { slot, origin, dimension, reading } => Self::Measured {
                slot: slot.key().to_owned(),
                origin: origin.into(),
                dimension: key::of_dimension(dimension),
                reading: value::reading_text(&reading),
            },
            Event::Chosen(part) => Self::Chosen { part: PartRecord::of(&part) },
            Event::Dropped(slot) => Self::Dropped { slot: slot.key().to_owned() },
            Event::HandsRecorded { words } => Self::HandsRecorded { words },
            Event::Estimated { total, ceiling, scope } => {
                Self::Estimated { total: total.into(), ceiling: ceiling.map(MoneyRecord::from), scope }
            }
            Event::Promised { day, words } => Self::Promised { day, words },
            Event::Approved { version, name, channel, words } => {
                Self::Approved { version, name, channel: channel.into(), words }
            }
            Event::Declined { what, words } => Self::Declined { what, words },
            Event::Ordered { slot, due_day } => Self::Ordered { slot: slot.key().to_owned(), due_day },
            Event::Arrived { slot } => Self::Arrived { slot: slot.key().to_owned() },
            Event::PartChecked { slot, check } => {
                let wrong = match check {
                    PartCheck::Fits => None,
                    PartCheck::Wrong { words } => Some(words),
                };
                Self::PartChecked { slot: slot.key().to_owned(), wrong }
            }
            Event::Started => Self::Started {},
            Event::Done { step, work } => Self::Done {
                step: step.0.to_owned(),
                turned: work.turned.iter().map(|fastener| fastener.0.to_owned()).collect(),
                strips: work.strips,
                moves_something: work.moves_something,
            },
            Event::Tightened { fastener, torque, wanted, wrench } => Self::Tightened {
                fastener: fastener.0.to_owned(),
                torque: value::plain_text(torque),
                least: value::plain_text(wanted.least),
                most: value::plain_text(wanted.most),
                wrench,
            },
            Event::ClosedByHand { fastener } => Self::ClosedByHand { fastener: fastener.0.to_owned() },
            Event::Witnessed { fastener } => Self::Witnessed { fastener: fastener.0.to_owned() },
            Event::FoundLoose { fastener } => Self::FoundLoose { fastener: fastener.0.to_owned() },
            Event::Problem { step, words, stops } => {
                Self::Problem { step: step.map(|step| step.0.to_owned()), words, stops }
            }
            Event::Settled { problem, words } => Self::Settled { problem: problem as u64, words },
            Event::ChangeAsked { problem, change } => {
                Self::ChangeAsked { problem: problem as u64, change: Box::new(ChangeRecord::of(&change)) }
            }
            Event::ChangeAnswered { asked, choice, name, channel, words } => Self::ChangeAnswered {
                asked: asked as u64,
                choice: choice as u64,
                name,
                channel: channel.into(),
                words,
            },
            Event::Paused { reason, parking, words } => {
                Self::Paused { reason: reason.into(), parking: parking.into(), words }
            }
            Event::Resumed => Self::Resumed {},
            Event::Looked { point, look, value } => {
                Self::Looked { point: point.into(), look: look.into(), value: value.to_string() }
            }
            Event::Rode { ride, instead } => Self::Rode { ride: ride.into(), instead },
            Event::SecondChecked => Self::SecondChecked {},
            Event::Collected { name } => Self::Collected { name },
            Event::FollowedUp { clicks, words } => Self::FollowedUp { clicks, words },
            Event::SentHome { words } => Self::SentHome { words },
            Event::Noted { words } => Self::Noted { words },
            Event::Corrected { entry, words } => Self::Corrected { entry: entry as u64, words },
        }
    }

    /// The event.
    pub(super) fn event(&self) -> Result<Event, RecordError> {
        Ok(match self.clone() {
            Self::Enquired { name, customer, words } => Event::Enquired { name, customer, words },
            Self::Received { hook } => Event::Received { hook },
            Self::WishSet { words, lowest_gear, keep_hands, ceiling, ready_in_days, set } => {
                Event::WishSet(Box::new(Wish {
                    words,
                    lowest_gear: lowest_gear.as_deref().map(read_lowest_gear).transpose()?,
                    hands: keep_hands.map(|keep| if keep { Hands::Keep } else { Hands::Free }),
                    ceiling: ceiling.as_ref().map(MoneyRecord::money).transpose()?,
                    ready_in_days,
                    set: set.wish()?,
                }))
            }
            Self::RiderSet { mass, power, inseam, effort, climb, cadence, lowest_cadence } => {
                let climb = climb.map(|(length, climb, minutes)| {
                    Ok::<_, RecordError>((value::plain(&length)?, value::plain(&climb)?, minutes))
                });
                Event::RiderSet(Box::new(Rider {
                    mass: mass.as_deref().map(value::plain).transpose()?,
                    power: power.as_deref().map(value::plain).transpose()?,
                    inseam: inseam.as_deref().map(value::plain).transpose()?,
                    effort: effort.as_deref().map(read_effort).transpose()?,
                    climb: climb.transpose()?,
                    cadence,
                    lowest_cadence,
                }))
            }
            Self::RideSet { file, barometer, hill, compare } => {
                let hill = hill.map(|(length, climb)| {
                    Ok::<_, RecordError>((value::plain(&length)?, value::plain(&climb)?))
                });
                let hill = hill.transpose()?;
                Event::RideSet(Box::new(RideWish { file, barometer, hill, compare, ..RideWish::default() }))
            }
            Self::CircumstancesSet { age, with } => {
                Event::CircumstancesSet(WithWord::circumstances(age.into(), &with))
            }
            Self::Measured { slot, origin, dimension, reading } => {
                let dimension = key::dimension(&dimension)?;
                Event::Measured {
                    slot: key::slot(&slot)?,
                    origin: origin.into(),
                    dimension,
                    reading: value::reading(dimension, &reading)?,
                }
            }
            Self::Chosen { part } => Event::Chosen(Box::new(part.part()?)),
            Self::Dropped { slot } => Event::Dropped(key::slot(&slot)?),
            Self::HandsRecorded { words } => Event::HandsRecorded { words },
            Self::Estimated { total, ceiling, scope } => Event::Estimated {
                total: total.money()?,
                ceiling: ceiling.as_ref().map(MoneyRecord::money).transpose()?,
                scope,
            },
            Self::Promised { day, words } => Event::Promised { day, words },
            Self::Approved { version, name, channel, words } => {
                Event::Approved { version, name, channel: channel.into(), words }
            }
            Self::Declined { what, words } => Event::Declined { what, words },
            Self::Ordered { slot, due_day } => Event::Ordered { slot: key::slot(&slot)?, due_day },
            Self::Arrived { slot } => Event::Arrived { slot: key::slot(&slot)? },
            Self::PartChecked { slot, wrong } => Event::PartChecked {
                slot: key::slot(&slot)?,
                check: wrong.map_or(PartCheck::Fits, |words| PartCheck::Wrong { words }),
            },
            Self::Started {} => Event::Started,
            Self::Done { step, turned, strips, moves_something } => {
                let turned = turned.iter().map(|key| key::fastener(key)).collect::<Result<_, _>>()?;
                Event::Done { step: key::step(&step)?, work: StepWork { turned, strips, moves_something } }
            }
            Self::Tightened { fastener, torque, least, most, wrench } => Event::Tightened {
                fastener: key::fastener(&fastener)?,
                torque: value::plain(&torque)?,
                wanted: TorqueRange { least: value::plain(&least)?, most: value::plain(&most)? },
                wrench,
            },
            Self::ClosedByHand { fastener } => Event::ClosedByHand { fastener: key::fastener(&fastener)? },
            Self::Witnessed { fastener } => Event::Witnessed { fastener: key::fastener(&fastener)? },
            Self::FoundLoose { fastener } => Event::FoundLoose { fastener: key::fastener(&fastener)? },
            Self::Problem { step, words, stops } => {
                let step: Option<StepId> = step.as_deref().map(key::step).transpose()?;
                Event::Problem { step, words, stops }
            }
            Self::Settled { problem, words } => Event::Settled { problem: place(problem)?, words },
            Self::ChangeAsked { problem, change } => {
                Event::ChangeAsked { problem: place(problem)?, change: Box::new(change.change()?) }
            }
            Self::ChangeAnswered { asked, choice, name, channel, words } => Event::ChangeAnswered {
                asked: place(asked)?,
                choice: place(choice)?,
                name,
                channel: channel.into(),
                words,
            },
            Self::Paused { reason, parking, words } => {
                Event::Paused { reason: reason.into(), parking: parking.into(), words }
            }
            Self::Resumed {} => Event::Resumed,
            Self::Looked { point, look, value } => {
                let refuse = || RecordError::Text { what: "number", found: value.clone() };
                // A plain number: the same reading as that of every quantity, without a unit.
                let number = value::plain::<quantity::Ratio>(&value).map_err(|_| refuse())?;
                Event::Looked { point: point.into(), look: look.into(), value: number.to_f64() }
            }
            Self::Rode { ride, instead } => Event::Rode { ride: ride.into(), instead },
            Self::SecondChecked {} => Event::SecondChecked,
            Self::Collected { name } => Event::Collected { name },
            Self::FollowedUp { clicks, words } => Event::FollowedUp { clicks, words },
            Self::SentHome { words } => Event::SentHome { words },
            Self::Noted { words } => Event::Noted { words },
            Self::Corrected { entry, words } => Event::Corrected { entry: place(entry)?, words },
        })
    }
}

fn place(place: u64) -> Result<usize, RecordError> {
    usize::try_from(place)
        .map_err(|_| RecordError::Text { what: "place in the list of entries", found: place.to_string() })
}

fn lowest_gear_text(gear: LowestGear) -> String {
    match gear {
        LowestGear::Keep => "keep".to_owned(),
        LowestGear::Easier => "easier".to_owned(),
        LowestGear::EasierBy(share) => value::plain_text(share),
    }
}

fn read_lowest_gear(text: &str) -> Result<LowestGear, RecordError> {
    match text {
        "keep" => Ok(LowestGear::Keep),
        "easier" => Ok(LowestGear::Easier),
        share => value::plain::<Percent>(share).map(LowestGear::EasierBy),
    }
}
