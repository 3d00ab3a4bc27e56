//! Why a page or a tap is not done, in words that say what to do; and what the browser is told.

use crate::clock;
use axum::http::StatusCode;
use maud::{Markup, html};
use shop::{Book, Entry, Event, Refusal, StepId};
use store::StoreError;

/// Why something was not done.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Nobody is signed in here.
    SignIn,
    /// The person may not do it.
    NotAllowed {
        /// Who may.
        why: String,
    },
    /// There is no such thing.
    NotFound {
        /// What was looked for.
        what: &'static str,
        /// By which name.
        name: String,
    },
    /// Fields of a form.
    Fields(Vec<FieldFault>),
    /// The job does not allow it.
    Refused(Vec<Refusal>),
    /// Somebody else filled the same place in the meantime.
    Meanwhile(Box<Entry>),
    /// Too many tries.
    Wait {
        /// Seconds to wait.
        seconds: i64,
    },
    /// Others kept coming first.
    Busy,
    /// What was sent is longer than is taken.
    TooLong {
        /// Most bytes.
        most: usize,
    },
    /// The store.
    Store(StoreError),
    /// A fault of the program or of its installation.
    Fault {
        /// What.
        what: &'static str,
        /// The words for whoever looks after it; not shown.
        why: String,
    },
}

/// What is wrong with a field of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FieldFault {
    /// What the field is called on the page.
    pub(crate) field: String,
    /// What was found.
    pub(crate) found: String,
    /// What is taken.
    pub(crate) wanted: String,
}

impl FieldFault {
    /// A fault of one field.
    pub(crate) fn one(field: &str, found: &str, wanted: impl Into<String>) -> Failure {
        Failure::Fields(vec![Self {
            field: field.to_owned(),
            found: found.to_owned(),
            wanted: wanted.into(),
        }])
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NotFound { what, key } => Self::NotFound { what, name: key },
            other => Self::Store(other),
        }
    }
}

impl Failure {
    /// The status of the answer.
    pub(crate) fn status(&self) -> StatusCode {
        match self {
            Self::SignIn => StatusCode::UNAUTHORIZED,
            Self::NotAllowed { .. } => StatusCode::FORBIDDEN,
            Self::NotFound { .. } => StatusCode::NOT_FOUND,
            Self::Fields(_) | Self::Refused(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Meanwhile(_) => StatusCode::CONFLICT,
            Self::Wait { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::TooLong { .. } => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Busy => StatusCode::SERVICE_UNAVAILABLE,
            Self::Store(
                StoreError::Refused { .. } | StoreError::Taken { .. } | StoreError::KeyUsed { .. },
            ) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Store(StoreError::DiskFull { .. }) => StatusCode::INSUFFICIENT_STORAGE,
            Self::Store(_) | Self::Fault { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// What whoever looks after the machine reads, if it concerns them. It holds nothing that was typed.
    pub(crate) fn log_line(&self) -> Option<String> {
        match self {
            Self::Store(
                StoreError::Refused { .. } | StoreError::Taken { .. } | StoreError::KeyUsed { .. },
            ) => None,
            Self::Store(error) => Some(format!("store: {error}")),
            Self::Fault { what, why } => Some(format!("{what}: {why}")),
            Self::Busy => Some("busy: others kept coming first".to_owned()),
            _ => None,
        }
    }

    /// The heading of the notice.
    pub(crate) fn heading(&self) -> &'static str {
        match self {
            Self::SignIn => "Sign in first",
            Self::NotAllowed { .. } => "Not for this sign-in",
            Self::NotFound { .. } => "Not found",
            Self::Fields(_) => "Not taken yet",
            Self::Refused(_) => "Not now",
            Self::Meanwhile(_) => "Somebody was quicker",
            Self::Wait { .. } => "Wait a moment",
            Self::Busy => "Try again",
            Self::TooLong { .. } => "Too long",
            Self::Store(_) | Self::Fault { .. } => "Not kept",
        }
    }

    /// The reasons, each a line.
    pub(crate) fn lines(&self) -> Vec<String> {
        match self {
            Self::SignIn => {
                vec!["Nobody is signed in on this device, or the sign-in has run out.".to_owned()]
            }
            Self::NotAllowed { why } => vec![why.clone()],
            Self::NotFound { what, name } => vec![format!("There is no {what} `{name}`.")],
            Self::Fields(faults) => faults
                .iter()
                .map(|fault| match fault.found.is_empty() {
                    true => format!("{}: nothing was given; {}", fault.field, fault.wanted),
                    false => format!("{}: `{}` was found; {}", fault.field, fault.found, fault.wanted),
                })
                .collect(),
            Self::Refused(refusals) => refusals.iter().flat_map(refusal_lines).collect(),
            Self::Meanwhile(entry) => vec![format!(
                "{} put something else there at {}: {}. Look at it, then send yours again if it is right.",
                entry.by,
                clock::moment_words(entry.at),
                meanwhile_words(&entry.event)
            )],
            Self::Wait { seconds } => vec![format!("Too many tries: wait {seconds} seconds.")],
            Self::Busy => vec!["Several people changed this job at once: send it again.".to_owned()],
            Self::TooLong { most } => {
                vec![format!("More was sent than is taken; at most {} MB are.", most / 1_048_576)]
            }
            Self::Store(error) => vec![error.to_string()],
            Self::Fault { what, .. } => vec![format!("{what}. Nothing was changed.")],
        }
    }

    /// The notice that stands on the page.
    pub(crate) fn notice(&self) -> Markup {
        html! {
            section.notice role="alert" {
                h2 { (self.heading()) }
                @let lines = self.lines();
                @if lines.len() == 1 { p { (lines[0]) } } @else {
                    ul { @for line in &lines { li { (line) } } }
                }
            }
        }
    }
}

/// What keeps a bike from leaving, a line each; a step is called what its screen calls it.
pub(crate) fn held_lines(refusals: &[Refusal], book: &Book) -> Vec<String> {
    let title = |step: &StepId| match book.step(*step) {
        Some(step) => format!("not done yet: {}", step.title),
        None => format!("not done yet: {step}"),
    };
    refusals
        .iter()
        .flat_map(|refusal| match refusal {
            Refusal::StepsOpen(steps) => steps.iter().map(title).collect(),
            other => refusal_lines(other),
        })
        .collect()
}

/// A gate with several reasons is several lines.
fn refusal_lines(refusal: &Refusal) -> Vec<String> {
    match refusal {
        Refusal::Closed(blocks) if blocks.len() > 1 => blocks.iter().map(|block| block.to_string()).collect(),
        Refusal::Held(held) if held.len() > 1 => held.iter().map(|held| held.to_string()).collect(),
        other => vec![other.to_string()],
    }
}

fn meanwhile_words(event: &Event) -> String {
    match event {
        Event::Measured { slot, dimension, reading, .. } => {
            let value = intake::value_text(*slot, *dimension, reading);
            format!("{} of the {} is {value}", dimension.words(), slot.words())
        }
        Event::Chosen(part) => format!("{} was chosen", part.name()),
        Event::Received { hook } => format!("the bike hangs on hook {hook}"),
        other => other.word().to_owned(),
    }
}
