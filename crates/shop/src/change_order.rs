//! Change orders: something was found while working. Begin with [`change_order`].

use crate::book::{Book, BookError};
use crate::operation::OperationId;
use crate::price::{HowMuch, PriceError, PriceLine, Totals, totals};
use crate::step::StepId;
use crate::tax::LineKind;
use crate::workshop::Terms;
use jiff::civil::DateTime;
use quantity::{Money, MoneyError};
use std::fmt;

/// Why something comes up only now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// It could not be seen at intake.
    NotVisible,
    /// It could be seen, and we missed it: the shop carries the labour.
    MissedByUs,
    /// The customer wishes something else.
    OtherWish,
    /// A part is wrong.
    PartWrong,
}

impl Cause {
    /// All causes.
    pub const ALL: &'static [Self] = &[Self::NotVisible, Self::MissedByUs, Self::OtherWish, Self::PartWrong];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::NotVisible => "not visible at intake",
            Self::MissedByUs => "visible at intake, and missed by us",
            Self::OtherWish => "the customer wishes something else",
            Self::PartWrong => "a part is wrong",
        }
    }
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// In words.
    pub words: String,
    /// The value that was measured.
    pub measured: Option<String>,
    /// The limit that it is held against.
    pub limit: Option<String>,
    /// Key of the photograph.
    pub photo: Option<String>,
    /// Why it comes up now.
    pub cause: Cause,
    /// The step at which it was found; it and what waits for it stop.
    pub at: StepId,
}

/// Something that can be done about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// In words.
    pub words: String,
    /// What it means for the bike and its rider.
    pub means: String,
    /// Operations that are added; none for doing nothing.
    pub operations: Vec<OperationId>,
    /// Minutes beside those of the operations.
    pub minutes: u32,
    /// Parts with their price.
    pub parts: Vec<(String, Option<Money>)>,
    /// Days that it takes longer.
    pub days: Option<u32>,
}

/// A choice with its price.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The choice.
    pub choice: Choice,
    /// Minutes that it adds to the job.
    pub minutes: u32,
    /// Its lines. Labour that the shop carries is a line of nothing.
    pub lines: Vec<PriceLine>,
    /// Its sums.
    pub totals: Totals,
}

/// A change order, ready for the customer.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangeOrder {
    /// What was found.
    pub finding: Finding,
    /// Steps that stop.
    pub stops: Vec<StepId>,
    /// Steps that go on meanwhile.
    pub goes_on: Vec<StepId>,
    /// What can be done, with its price.
    pub choices: Vec<Priced>,
    /// The hour until which the stand waits.
    pub waits_until: DateTime,
    /// What happens without an answer.
    pub without_answer: &'static str,
    /// Whether it is small enough to be done without a call; it is listed all the same.
    pub needs_no_call: bool,
}

/// What happens without an answer: never what was not agreed to.
pub const WITHOUT_ANSWER: &str = "the bike is made safe and parked; nothing of this is done";

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
    /// A book that lacks an operation.
    Book(BookError),
    /// No price.
    Price(PriceError),
}

impl From<MoneyError> for ChangeError {
    fn from(error: MoneyError) -> Self {
        Self::Price(error.into())
    }
}

impl fmt::Display for ChangeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Choices(n) => write!(f, "{n} choices were found; two or three are wanted"),
            Self::NothingIsNoChoice => {
                write!(f, "doing nothing has to be among the choices, with what it means")
            }
            Self::MeansMissing(choice) => write!(f, "`{choice}` does not say what it means for the bike"),
            Self::NoEvidence => write!(f, "a photograph or a measured value is wanted"),
            Self::NoLimit => write!(f, "a measured value is told with the limit that it is held against"),
            Self::NoSuchStep(step) => write!(f, "the job has no step `{step}`"),
            Self::Book(error) => write!(f, "{error}"),
            Self::Price(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for ChangeError {}

/// Makes a change order for a job with these operations.
///
/// Labour of an operation is what it adds while the bike is apart. What was visible at intake and missed by us costs the
/// customer the parts, not the labour. `spent` is what small things have come to so far.
///
/// # Errors
/// Everything that is missing from it.
pub fn change_order(
    book: &Book,
    terms: &Terms,
    operations: &[OperationId],
    finding: Finding,
    choices: Vec<Choice>,
    waits_until: DateTime,
    spent: Money,
) -> Result<ChangeOrder, Vec<ChangeError>> {
    let mut problems = Vec::new();
    if !(2..=3).contains(&choices.len()) {
        problems.push(ChangeError::Choices(choices.len()));
    }
    if !choices.iter().any(is_nothing) {
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
    let steps = book.steps_of(operations).unwrap_or_else(|error| {
        problems.push(ChangeError::Book(error));
        Vec::new()
    });
    if !steps.contains(&finding.at) {
        problems.push(ChangeError::NoSuchStep(finding.at));
    }
    let mut priced = Vec::new();
    for choice in choices {
        match price(book, terms, operations, finding.cause, choice) {
            Ok(choice) => priced.push(choice),
            Err(more) => problems.extend(more),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let stopped = |step: &StepId| *step == finding.at || book.comes_before(finding.at, *step);
    let (stops, goes_on) = steps.into_iter().partition(stopped);
    let costs = priced.iter().map(|priced| priced.totals.payable).max_by_key(|money| money.minor());
    let needs_no_call = costs.is_some_and(|most| {
        let in_all = spent.plus(most).map(Money::minor).unwrap_or(i64::MAX);
        most.minor() <= terms.small.each.minor() && in_all <= terms.small.in_all.minor()
    });
    Ok(ChangeOrder {
        finding,
        stops,
        goes_on,
        choices: priced,
        waits_until,
        without_answer: WITHOUT_ANSWER,
        needs_no_call,
    })
}

fn is_nothing(choice: &Choice) -> bool {
    choice.operations.is_empty() && choice.minutes == 0 && choice.parts.is_empty()
}

fn price(
    book: &Book,
    terms: &Terms,
    operations: &[OperationId],
    cause: Cause,
    choice: Choice,
) -> Result<Priced, Vec<ChangeError>> {
    let one = |error: ChangeError| vec![error];
    let before = book.labour(operations, crate::Age::Sound).map_err(|error| one(ChangeError::Book(error)))?;
    let all = [operations, &choice.operations].concat();
    let after = book.labour(&all, crate::Age::Sound).map_err(|error| one(ChangeError::Book(error)))?;
    let minutes = after.minutes.usual - before.minutes.usual + choice.minutes;
    let mut lines = Vec::new();
    let line = |kind, words: String, how_much, unit, amount, why: &str| PriceLine {
        kind,
        part: None,
        words,
        how_much,
        unit,
        amount,
        why: why.to_owned(),
        priced_on: None,
        assumed: false,
    };
    if minutes > 0 {
        let carried = cause == Cause::MissedByUs;
        let charged = if carried { 0 } else { minutes };
        let amount = terms.hour.share(charged, 60).map_err(|error| one(error.into()))?;
        let why = if carried { "missed by us at intake: the shop carries it" } else { cause.words() };
        lines.push(line(
            LineKind::Labour,
            format!("labour: {}", choice.words),
            HowMuch::Minutes(minutes),
            Some(terms.hour),
            amount,
            why,
        ));
    }
    let mut problems = Vec::new();
    for (part, amount) in &choice.parts {
        match amount {
            Some(amount) => {
                lines.push(line(
                    LineKind::Part,
                    part.clone(),
                    HowMuch::Pieces(1),
                    Some(*amount),
                    *amount,
                    cause.words(),
                ));
            }
            None => problems.push(ChangeError::Price(PriceError::NoPrice(part.clone()))),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let totals = totals(&lines, &terms.taxes, terms.prices, terms.hour, terms.round_to)
        .map_err(|problems| problems.into_iter().map(ChangeError::Price).collect::<Vec<_>>())?;
    Ok(Priced { choice, minutes, lines, totals })
}
