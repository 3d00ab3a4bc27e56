//! What is kept, as it is written: border types for the entries of a job. Begin with [`EntryRecord`].
//!
//! A record reads back to exactly the entry that it was made from, or it is not made: [`EntryRecord::of`] compares.
//! It does not lean on the catalogue, the book or the ranges of today, so that an old job still reads when those have
//! changed. What a newer program wrote and this one does not know is refused by name and never dropped.

pub mod change;
pub mod event;
pub mod key;
pub mod kinds;
pub mod part;
pub mod set_wish;
pub mod value;
pub mod word;

pub use change::ChangeRecord;
pub use event::EventRecord;
pub use kinds::KINDS;
pub use part::PartRecord;
pub use value::MoneyRecord;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::{Entry, EntryKey, Moment, Person};
use std::fmt;
use uuid::Uuid;

/// One entry of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EntryRecord {
    /// Its key, made where it was tapped: 32 digits of base 16 in the groups of a UUID.
    pub key: String,
    /// When it was tapped, milliseconds since 1970-01-01 00:00 UTC.
    pub at_ms: i64,
    /// Who tapped it.
    pub by: String,
    /// What happened.
    pub event: EventRecord,
}

/// Why a record is not read, or not made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RecordError {
    /// A kind of event that this program does not know.
    UnknownKind(String),
    /// A word that this program does not know.
    UnknownWord {
        /// What it should name.
        what: &'static str,
        /// What was found.
        found: String,
    },
    /// Text that is no value of its sort.
    Text {
        /// What it should be.
        what: &'static str,
        /// What was found.
        found: String,
    },
    /// Not of the form that the schema describes.
    Form(String),
    /// It would not read back as it was: such as a number that is not finite.
    NotExact(&'static str),
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownKind(kind) => write!(
                f,
                "`{kind}` is a kind of event that this program does not know: open it with the program that wrote it, or a newer one"
            ),
            Self::UnknownWord { what, found } => write!(
                f,
                "`{found}` is a {what} that this program does not know: open it with the program that wrote it, or a newer one"
            ),
            Self::Text { what, found } => write!(f, "`{found}` was found where a {what} was wanted"),
            Self::Form(why) => write!(f, "the record has another form than its schema: {why}"),
            Self::NotExact(word) => {
                write!(f, "`{word}` holds a value that would not read back as it is: nothing was kept")
            }
        }
    }
}

impl std::error::Error for RecordError {}

impl EntryRecord {
    /// The record of an entry.
    ///
    /// # Errors
    /// [`RecordError::NotExact`] if it would not read back to the same entry.
    pub fn of(entry: &Entry) -> Result<Self, RecordError> {
        let record = Self {
            key: Uuid::from_u128(entry.key.0).to_string(),
            at_ms: entry.at.0,
            by: entry.by.to_string(),
            event: EventRecord::of(&entry.event),
        };
        let same = record.entry().is_ok_and(|read| read == *entry);
        if same { Ok(record) } else { Err(RecordError::NotExact(entry.event.word())) }
    }

    /// The entry.
    ///
    /// # Errors
    /// [`RecordError`] for a word or a text that this program does not know.
    pub fn entry(&self) -> Result<Entry, RecordError> {
        let by = Person::new(&self.by)
            .map_err(|_| RecordError::Text { what: "name of a person", found: self.by.clone() })?;
        Ok(Entry { key: self.key()?, at: Moment(self.at_ms), by, event: self.event.event()? })
    }

    /// The key as a number.
    ///
    /// # Errors
    /// [`RecordError::Text`] if it is none.
    pub fn key(&self) -> Result<EntryKey, RecordError> {
        let key = Uuid::parse_str(&self.key)
            .map_err(|_| RecordError::Text { what: "key of an entry", found: self.key.clone() })?;
        Ok(EntryKey(key.as_u128()))
    }
}

/// Reads an event from JSON.
///
/// # Errors
/// [`RecordError::UnknownKind`] for the event of a newer program, [`RecordError::Form`] for all else.
pub fn read_event(text: &str) -> Result<EventRecord, RecordError> {
    serde_json::from_str(text).map_err(|error| {
        let kind = serde_json::from_str::<serde_json::Value>(text)
            .ok()
            .and_then(|value| value.get("kind").and_then(|kind| kind.as_str().map(str::to_owned)));
        match kind {
            Some(kind) if !KINDS.contains(&kind.as_str()) => RecordError::UnknownKind(kind),
            _ => RecordError::Form(error.to_string()),
        }
    })
}

/// Reads an entry from JSON.
///
/// # Errors
/// As [`read_event`].
pub fn read_entry(text: &str) -> Result<EntryRecord, RecordError> {
    serde_json::from_str(text).map_err(|error| {
        let event = serde_json::from_str::<serde_json::Value>(text)
            .ok()
            .and_then(|value| value.get("event").map(serde_json::Value::to_string));
        match event.map(|event| read_event(&event)) {
            Some(Err(unknown @ RecordError::UnknownKind(_))) => unknown,
            _ => RecordError::Form(error.to_string()),
        }
    })
}
