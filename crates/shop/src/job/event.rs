//! What can happen to a job.

use super::blind::{BlindPoint, Look};
use crate::change_order::AskedChange;
use crate::check::{StepWork, TorqueRange};
use crate::fastener::FastenerId;
use crate::labour::Circumstances;
use crate::step::{Step, StepId};
use catalog::{Dimension, Part, Slot, Value};
use fit::{Origin, RideWish, Rider, Wish};
use quantity::{Money, Reading, Torque};

/// One thing that happened, or is proposed to happen.
#[derive(Clone, Debug, PartialEq)]
pub enum Event {
    /// Somebody asked for a refit.
    Enquired {
        /// What the job is called.
        name: String,
        /// The customer.
        customer: String,
        /// The wish in the customer's words.
        words: String,
    },
    /// The bike is here and hangs on a hook.
    Received {
        /// The hook.
        hook: String,
    },
    /// What the customer wishes, as far as it can be checked.
    WishSet(Box<Wish>),
    /// Who rides it.
    RiderSet(Box<Rider>),
    /// The customer's own ride, which the gears shall answer: a hill, or a recording by the hash of its file.
    RideSet(Box<RideWish>),
    /// What the bike or the customer adds to the work.
    CircumstancesSet(Circumstances),
    /// A value was taken, or called fine, not reachable or not needed.
    Measured {
        /// The part it was taken on.
        slot: Slot,
        /// On the bike or on the new part.
        origin: Origin,
        /// The dimension.
        dimension: Dimension,
        /// The reading.
        reading: Reading<Value>,
    },
    /// A part shall go on.
    Chosen(Box<Part>),
    /// No part shall go on in this slot.
    Dropped(Slot),
    /// Where the hands were is written down, in words and figures, before anything is moved.
    HandsRecorded {
        /// The figures, such as the distance from the nose of the saddle to each hood.
        words: String,
    },
    /// A version of the estimate went out.
    Estimated {
        /// What the customer would pay.
        total: Money,
        /// What is not passed without another word.
        ceiling: Option<Money>,
        /// The first line of what it covers.
        scope: String,
    },
    /// A day was told to the customer. The first one is what a promise is kept against.
    Promised {
        /// The day, days since 1970-01-01.
        day: i64,
        /// How it was told, and why it moved if it did.
        words: String,
    },
    /// The customer agreed to a version.
    Approved {
        /// The version.
        version: u32,
        /// Who agreed.
        name: String,
        /// By which way.
        channel: Channel,
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
        /// The slot it goes to.
        slot: Slot,
        /// The day it is due, days since 1970-01-01; none if nobody said.
        due_day: Option<i64>,
    },
    /// A part arrived.
    Arrived {
        /// The slot it goes to.
        slot: Slot,
    },
    /// A part was held against the bike, by contents and by dimensions.
    PartChecked {
        /// The slot it goes to.
        slot: Slot,
        /// What came of it.
        check: PartCheck,
    },
    /// Work began: from here on the bike is being taken apart.
    Started,
    /// A step was done.
    Done {
        /// The step.
        step: StepId,
        /// What it did to the bike, by the book of that day.
        work: StepWork,
    },
    /// A fastener was tightened with a wrench.
    Tightened {
        /// The fastener.
        fastener: FastenerId,
        /// The torque set.
        torque: Torque,
        /// The range that the part or the table wants.
        wanted: TorqueRange,
        /// The wrench.
        wrench: String,
    },
    /// A fastener that wants no wrench was closed.
    ClosedByHand {
        /// The fastener.
        fastener: FastenerId,
    },
    /// A second person saw that a fastener does not move at its torque.
    Witnessed {
        /// The fastener.
        fastener: FastenerId,
    },
    /// A fastener was found loose.
    FoundLoose {
        /// The fastener.
        fastener: FastenerId,
    },
    /// Something was found while working.
    Problem {
        /// The step at which it was found.
        step: Option<StepId>,
        /// What was found.
        words: String,
        /// Whether the work on this branch stops until the customer has answered.
        stops: bool,
    },
    /// A problem was settled.
    Settled {
        /// The place of the problem in the list of entries.
        problem: usize,
        /// How.
        words: String,
    },
    /// The customer was asked about a problem: what was found, what can be done, price and day of each choice.
    ChangeAsked {
        /// The place of the problem in the list of entries.
        problem: usize,
        /// What was asked.
        change: Box<AskedChange>,
    },
    /// The customer chose.
    ChangeAnswered {
        /// The place of the question in the list of entries.
        asked: usize,
        /// Which of its choices, from 0.
        choice: usize,
        /// Who chose.
        name: String,
        /// By which way.
        channel: Channel,
        /// The words.
        words: String,
    },
    /// The work stopped for now.
    Paused {
        /// Why.
        reason: PauseReason,
        /// In which state the bike was left.
        parking: Parking,
        /// What the next hand has to know.
        words: String,
    },
    /// The next hand has read what was left, each open safety item as seen, and goes on.
    Resumed,
    /// A person took a value of the second check, as the first or as the second look.
    Looked {
        /// The point.
        point: BlindPoint,
        /// First or second look.
        look: Look,
        /// The value in the unit of the point.
        value: f64,
    },
    /// A ride was done, or could not be.
    Rode {
        /// Which.
        ride: RideKind,
        /// What was done instead, where it could not be ridden: rain, ice, size.
        instead: Option<String>,
    },
    /// The second person signs.
    SecondChecked,
    /// The customer has the bike.
    Collected {
        /// Who signed for it.
        name: String,
    },
    /// The follow-up was done.
    FollowedUp {
        /// Clicks of the adjuster that were added; none where nobody logged them.
        clicks: Option<i32>,
        /// What was said and found.
        words: String,
    },
    /// The bike is sent home without the refit.
    SentHome {
        /// Why, in the words that the customer was told.
        words: String,
    },
    /// Something worth keeping that moves nothing: a talk, a call, a part given back.
    Noted {
        /// What.
        words: String,
    },
    /// An earlier entry was wrong.
    Corrected {
        /// Its place in the list.
        entry: usize,
        /// Why.
        words: String,
    },
}

/// By which way the customer agreed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channel {
    /// Signed at the counter.
    Counter,
    /// By the private link.
    Link,
    /// By telephone: who, when, which words.
    Telephone,
    /// Agreed to beforehand: small things that need no call.
    Beforehand,
}

/// What came of holding a part against the bike.
#[derive(Clone, Debug, PartialEq)]
pub enum PartCheck {
    /// Complete, and its dimensions are those of the plan.
    Fits,
    /// Something is missing or another size came.
    Wrong {
        /// What.
        words: String,
    },
}

/// Why the work stopped for now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PauseReason {
    /// A part is missing.
    Part,
    /// The customer has to answer.
    Customer,
    /// Another job comes first.
    OtherJob,
    /// End of the day, or the person went.
    Person,
    /// A tool is missing.
    Tool,
}

/// In which state a bike may be left: there is no other one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parking {
    /// Stripped completely, parts bagged and numbered.
    StrippedAndBagged,
    /// It rolls, without a chain.
    RollingWithoutChain,
    /// Built up, not ridden yet.
    BuiltUntested,
}

/// Which ride.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RideKind {
    /// By who did the work.
    First,
    /// By the second person, after the second check.
    Second,
}

impl Event {
    /// A step of the book was done.
    pub fn done(step: &Step) -> Self {
        Self::Done { step: step.id, work: StepWork::of(step) }
    }

    /// What happened, in a word for lists.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Enquired { .. } => "enquired",
            Self::Received { .. } => "received",
            Self::WishSet(_) => "wish set",
            Self::RiderSet(_) => "rider set",
            Self::RideSet(_) => "ride set",
            Self::CircumstancesSet(_) => "circumstances set",
            Self::Measured { .. } => "measured",
            Self::Chosen(_) => "chosen",
            Self::Dropped(_) => "dropped",
            Self::HandsRecorded { .. } => "hands recorded",
            Self::Estimated { .. } => "estimated",
            Self::Promised { .. } => "promised",
            Self::Approved { .. } => "approved",
            Self::Declined { .. } => "declined",
            Self::Ordered { .. } => "ordered",
            Self::Arrived { .. } => "arrived",
            Self::PartChecked { .. } => "part checked",
            Self::Started => "started",
            Self::Done { .. } => "done",
            Self::Tightened { .. } => "tightened",
            Self::ClosedByHand { .. } => "closed by hand",
            Self::Witnessed { .. } => "witnessed",
            Self::FoundLoose { .. } => "found loose",
            Self::Problem { .. } => "problem",
            Self::Settled { .. } => "settled",
            Self::ChangeAsked { .. } => "change asked",
            Self::ChangeAnswered { .. } => "change answered",
            Self::Paused { .. } => "paused",
            Self::Resumed => "resumed",
            Self::Looked { .. } => "looked",
            Self::Rode { .. } => "rode",
            Self::SecondChecked => "second check",
            Self::Collected { .. } => "collected",
            Self::FollowedUp { .. } => "followed up",
            Self::SentHome { .. } => "sent home",
            Self::Noted { .. } => "noted",
            Self::Corrected { .. } => "corrected",
        }
    }

    /// Whether an entry of this kind can be corrected later. What a hand has touched stays touched, and a bike that
    /// left has left.
    pub fn can_be_corrected(&self) -> bool {
        !matches!(
            self,
            Self::Enquired { .. }
                | Self::Started
                | Self::Collected { .. }
                | Self::SentHome { .. }
                | Self::Corrected { .. }
                | Self::FoundLoose { .. }
                | Self::Problem { .. }
        )
    }
}
