//! Why a proposal is refused, in words that say what would make it possible.

use super::blind::BlindPoint;
use super::gate::Block;
use crate::check::{CheckError, Held, Person};
use crate::fastener::FastenerId;
use crate::step::StepId;
use catalog::{Dimension, Slot};
use std::fmt;

/// Why an entry is refused.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// The key stands on another entry.
    KeyUsed,
    /// A job begins with an enquiry.
    NotEnquired,
    /// There is an enquiry already.
    AlreadyEnquired,
    /// The job is over.
    Over {
        /// How it ended.
        how: &'static str,
    },
    /// A text is empty that has to say something.
    Empty {
        /// Which.
        what: &'static str,
    },
    /// A part has no such dimension.
    NoDimension {
        /// The part.
        slot: Slot,
        /// The dimension.
        dimension: Dimension,
    },
    /// A value is outside what a hand can have read.
    Implausible {
        /// The point.
        point: BlindPoint,
        /// The value.
        value: f64,
    },
    /// No estimate goes out for parts that do not work, or that are refused.
    NotOffered {
        /// Keys of the rules.
        rules: Vec<&'static str>,
    },
    /// The estimate that is agreed to is not the current one.
    OtherVersion {
        /// The version that was agreed to.
        version: u32,
        /// The current one; none if there is none.
        current: Option<u32>,
    },
    /// The bike or the parts changed after the estimate went out.
    Outdated {
        /// The version.
        version: u32,
    },
    /// The part is not on the list of this job.
    NotOnTheList(Slot),
    /// The part has not arrived.
    NotArrived(Slot),
    /// The gate before the strip is closed.
    Closed(Vec<Block>),
    /// Work has not begun.
    NotStarted,
    /// Work has begun already.
    AlreadyStarted,
    /// The job is paused.
    IsPaused,
    /// The job is not paused.
    NotPaused,
    /// The step is not one of this job.
    NotAStep(StepId),
    /// The step is recorded as a ride, a check or the collection, not as done.
    RecordedElsewhere(StepId),
    /// Another step comes first.
    Before {
        /// The step.
        step: StepId,
        /// The step that comes first.
        first: StepId,
        /// Why.
        because: &'static str,
    },
    /// A problem stops the work until it is settled.
    Stopped {
        /// What was found.
        words: String,
    },
    /// There is no such problem, or it is settled.
    NoProblem,
    /// Nothing was agreed to yet that could be changed.
    NothingAgreed,
    /// The customer was asked about this problem and has not answered.
    AskedAlready,
    /// Two or three choices are wanted, doing nothing among them.
    NoChoices,
    /// There is no such open question, or no such choice.
    NoQuestion,
    /// Only small things are agreed to beforehand.
    NotBeforehand,
    /// A safety refusal that nobody signs away.
    Unsafe {
        /// Keys of the rules.
        rules: Vec<&'static str>,
    },
    /// A record of hands, torques, rides or checks refuses it.
    Check(CheckError),
    /// The second look is for another person than the first, who touched nothing.
    OwnLook {
        /// The point.
        point: BlindPoint,
        /// The person.
        person: Person,
    },
    /// The bike may not leave.
    Held(Vec<Held>),
    /// Steps of the job are not done.
    StepsOpen(Vec<StepId>),
    /// Two looks at a point are missing or do not agree.
    Looks(Vec<BlindPoint>),
    /// The bike is not with the customer yet.
    NotCollected,
    /// There is no such entry, or an entry of its kind is not corrected.
    NotCorrectable {
        /// Its place in the list.
        entry: usize,
        /// What it is; none if there is none.
        word: Option<&'static str>,
    },
    /// A fastener that nothing of this job touches.
    NotTouched(FastenerId),
}

impl From<CheckError> for Refusal {
    fn from(error: CheckError) -> Self {
        Self::Check(error)
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::KeyUsed => write!(f, "the key of this entry stands on another one: send it with a new key"),
            Self::NotEnquired => write!(f, "a job begins with an enquiry: who wants what"),
            Self::AlreadyEnquired => write!(f, "this job has its enquiry: open another job"),
            Self::Over { how } => write!(f, "the job is over ({how}): open another job for this bike"),
            Self::Empty { what } => write!(f, "{what} is empty and has to say something"),
            Self::NoDimension { slot, dimension } => {
                write!(f, "`{}` is not measured on the {}", dimension.words(), slot.words())
            }
            Self::Implausible { point, value } => {
                let (least, most) = point.plausible();
                let unit = point.unit();
                write!(f, "{}: {value} {unit}, but {least} to {most} {unit} can be read", point.words())
            }
            Self::NotOffered { rules } => {
                write!(f, "parts that do not work are not offered: {}; choose others", rules.join(", "))
            }
            Self::OtherVersion { version, current: Some(current) } => {
                write!(f, "version {version} was agreed to, but version {current} is the current one")
            }
            Self::OtherVersion { version, current: None } => {
                write!(f, "version {version} was agreed to, but no estimate went out")
            }
            Self::Outdated { version } => write!(
                f,
                "the bike or the parts changed after version {version} went out: make a new version and ask again"
            ),
            Self::NotOnTheList(slot) => write!(f, "no new {} is on the list of this job", slot.words()),
            Self::NotArrived(slot) => write!(f, "the {} has not arrived", slot.words()),
            Self::Closed(blocks) => {
                let all: Vec<String> = blocks.iter().map(Block::to_string).collect();
                write!(f, "the bike is not taken apart yet: {}", all.join("; "))
            }
            Self::NotStarted => write!(f, "work has not begun"),
            Self::AlreadyStarted => write!(f, "work has begun already"),
            Self::IsPaused => write!(f, "the job is paused: read what was left, then resume"),
            Self::NotPaused => write!(f, "the job is not paused"),
            Self::NotAStep(step) => write!(f, "`{step}` is not a step of this job"),
            Self::RecordedElsewhere(step) => {
                write!(
                    f,
                    "`{step}` is recorded as a ride, a signed check or the collection, not as a step done"
                )
            }
            Self::Before { step, first, because } => {
                write!(f, "`{first}` comes before `{step}`: {because}")
            }
            Self::Stopped { words } => write!(f, "the work stops until this is settled: {words}"),
            Self::NoProblem => write!(f, "there is no such open problem"),
            Self::NothingAgreed => {
                write!(f, "nothing was agreed to yet: a new version of the estimate says what was found")
            }
            Self::AskedAlready => write!(
                f,
                "the customer was asked about this and has not answered: withdraw the question under Record first"
            ),
            Self::NoChoices => write!(f, "two or three choices are wanted, doing nothing among them"),
            Self::NoQuestion => write!(f, "there is no such open question, or no such choice"),
            Self::NotBeforehand => {
                write!(f, "this is not small enough to be done without a call: the customer chooses")
            }
            Self::Unsafe { rules } => {
                write!(f, "a safety refusal that nobody signs away: {}", rules.join(", "))
            }
            Self::Check(error) => write!(f, "{error}"),
            Self::OwnLook { point, person } => write!(
                f,
                "{}: {person} took the first look, so the second is for another person",
                point.words()
            ),
            Self::Held(held) => {
                let all: Vec<String> = held.iter().map(Held::to_string).collect();
                write!(f, "the bike may not leave: {}", all.join("; "))
            }
            Self::StepsOpen(steps) => {
                let all: Vec<String> = steps.iter().map(StepId::to_string).collect();
                write!(f, "steps are not done: {}", all.join(", "))
            }
            Self::Looks(points) => {
                let all: Vec<&str> = points.iter().map(|point| point.words()).collect();
                write!(f, "two looks that agree are missing: {}; both look again", all.join(", "))
            }
            Self::NotCollected => write!(f, "the bike is not with the customer yet"),
            Self::NotCorrectable { entry, word: Some(word) } => {
                write!(f, "entry {entry} (`{word}`) is not corrected: write down what is so now")
            }
            Self::NotCorrectable { entry, word: None } => write!(f, "there is no entry {entry} to correct"),
            Self::NotTouched(fastener) => write!(f, "nothing of this job touches `{fastener}`"),
        }
    }
}

impl std::error::Error for Refusal {}
