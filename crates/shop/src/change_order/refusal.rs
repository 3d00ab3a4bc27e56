//! Why there is no change order: everything that it lacks, at once.

use super::{Change, Choice};
use crate::book::BookError;
use crate::price::PriceError;
use crate::step::StepId;
use jiff::civil::{Date, DateTime};
use quantity::MoneyError;
use std::fmt;

/// Why there is no change order.
#[derive(Clone, Debug, PartialEq)]
pub enum ChangeError {
    /// Fewer than two choices, or more than three.
    Choices(usize),
    /// Doing nothing is not among them.
    NothingIsNoChoice,
    /// A choice does not say what it means.
    MeansMissing(String),
    /// Neither a photograph nor a measured value.
    NoEvidence,
    /// A value without the limit that it is held against.
    NoLimit,
    /// A step that the job does not have.
    NoSuchStep(StepId),
    /// The stand waits until an hour that has gone by.
    WaitsInThePast {
        /// The hour.
        until: DateTime,
        /// Today.
        today: Date,
    },
    /// A book that lacks an operation.
    Book(BookError),
    /// No price.
    Price(PriceError),
}

impl From<BookError> for ChangeError {
    fn from(error: BookError) -> Self {
        Self::Book(error)
    }
}

impl From<PriceError> for ChangeError {
    fn from(error: PriceError) -> Self {
        Self::Price(error)
    }
}

impl From<MoneyError> for ChangeError {
    fn from(error: MoneyError) -> Self {
        Self::Price(error.into())
    }
}

impl fmt::Display for ChangeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Choices(1) => write!(f, "1 choice was found; two or three are wanted"),
            Self::Choices(n) => write!(f, "{n} choices were found; two or three are wanted"),
            Self::NothingIsNoChoice => {
                write!(f, "doing nothing has to be among the choices, with what it means")
            }
            Self::MeansMissing(choice) => write!(f, "`{choice}` does not say what it means for the bike"),
            Self::NoEvidence => write!(f, "a photograph or a measured value is wanted"),
            Self::NoLimit => write!(f, "a measured value is told with the limit that it is held against"),
            Self::NoSuchStep(step) => write!(f, "the job has no step `{step}`"),
            Self::WaitsInThePast { until, today } => write!(
                f,
                "the stand waits until {}, which has gone by (today is {today}); give the customer an hour to answer",
                until.strftime("%Y-%m-%d %H:%M")
            ),
            Self::Book(error) => write!(f, "{error}"),
            Self::Price(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for ChangeError {}

/// What a change lacks by itself, whatever the job.
pub(super) fn problems(change: &Change) -> Vec<ChangeError> {
    let (finding, choices) = (&change.finding, &change.choices);
    let mut problems = Vec::new();
    if !(2..=3).contains(&choices.len()) {
        problems.push(ChangeError::Choices(choices.len()));
    }
    if !choices.iter().any(Choice::is_nothing) {
        problems.push(ChangeError::NothingIsNoChoice);
    }
    problems.extend(
        choices
            .iter()
            .filter(|choice| choice.means.trim().is_empty())
            .map(|choice| ChangeError::MeansMissing(choice.words.clone())),
    );
    if finding.photo.is_none() && finding.measured.is_none() {
        problems.push(ChangeError::NoEvidence);
    }
    if finding.measured.is_some() && finding.limit.is_none() {
        problems.push(ChangeError::NoLimit);
    }
    problems
}
