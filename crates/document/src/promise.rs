//! Days as they leave: of one job, and of all jobs of a shop.

use schemars::JsonSchema;
use serde::Serialize;
use shop::{Promise, PromiseError};

/// The day.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PromiseDocument {
    /// The job.
    pub job: String,
    /// The day on which it is planned to be ready.
    pub planned: String,
    /// The day that is promised: it holds in eight of ten such weeks.
    pub promised: String,
    /// The day that was promised before.
    pub before: Option<String>,
    /// Who does what when.
    pub pieces: Vec<PieceDocument>,
    /// What decides the day.
    pub because: Vec<String>,
}

/// A piece of work in the plan.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PieceDocument {
    /// What.
    pub words: String,
    /// Who.
    pub person: String,
    /// The day.
    pub day: String,
    /// From.
    pub from: String,
    /// To.
    pub to: String,
}

impl PromiseDocument {
    /// The document of a promise.
    pub fn of(promise: &Promise) -> Self {
        Self {
            job: promise.job.clone(),
            planned: promise.planned.to_string(),
            promised: promise.promised.to_string(),
            before: promise.before.map(|day| day.to_string()),
            pieces: promise
                .pieces
                .iter()
                .map(|piece| PieceDocument {
                    words: piece.words.clone(),
                    person: piece.person.clone(),
                    day: piece.day.to_string(),
                    from: shop::clock_words(piece.from),
                    to: shop::clock_words(piece.to),
                })
                .collect(),
            because: promise.because.clone(),
        }
    }
}

/// The promises of a shop.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PromisesDocument {
    /// The shop.
    pub shop: String,
    /// The day from which it is planned.
    pub today: String,
    /// Job by job: a day, or why there is none.
    pub jobs: Vec<JobDocument>,
    /// Promises that do not hold any more, with who has to be told.
    pub broken: Vec<String>,
}

/// A job with its day.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JobDocument {
    /// The job.
    pub job: String,
    /// The day.
    pub promise: Option<PromiseDocument>,
    /// Why there is none.
    pub no_day: Option<String>,
}

impl PromisesDocument {
    /// The document of the promises of a shop.
    pub fn of(
        shop: &str,
        today: &str,
        jobs: &[shop::OpenJob],
        promises: &[Result<Promise, PromiseError>],
        broken: &[shop::Broken],
    ) -> Self {
        Self {
            shop: shop.to_owned(),
            today: today.to_owned(),
            jobs: jobs
                .iter()
                .zip(promises)
                .map(|(job, promise)| JobDocument {
                    job: job.name.clone(),
                    promise: promise.as_ref().ok().map(PromiseDocument::of),
                    no_day: promise.as_ref().err().map(ToString::to_string),
                })
                .collect(),
            broken: broken.iter().map(ToString::to_string).collect(),
        }
    }
}
