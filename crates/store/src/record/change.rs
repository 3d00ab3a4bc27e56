//! A change order as it is written.

use super::value::MoneyRecord;
use super::word::{CallWord, CauseWord, StakesWord};
use super::{RecordError, key};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::{AskedChange, AskedChoice, ChoicePart, Finding};
use std::str::FromStr;

/// What the customer was asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangeRecord {
    /// What was found.
    pub found: String,
    /// The value that was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured: Option<String>,
    /// The limit that it is held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<String>,
    /// The photograph, by its hash.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<String>,
    /// Why it comes up now.
    pub cause: CauseWord,
    /// What is at stake.
    pub concerns: StakesWord,
    /// The step at which it was found.
    pub at: String,
    /// What can be done.
    pub choices: Vec<ChoiceRecord>,
    /// The hour until which the stand waits, such as `2026-11-27T15:00:00`.
    pub waits_until: String,
    /// Whether the customer is called.
    pub call: CallWord,
    /// What is signed by itself if it is left as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub declined: Option<String>,
}

/// A choice as the customer saw it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChoiceRecord {
    /// In words.
    pub words: String,
    /// What it means for the bike and its rider.
    pub means: String,
    /// Keys of the operations that are added.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub operations: Vec<String>,
    /// Minutes that it adds to the job.
    pub minutes: u32,
    /// Parts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<ChoicePartRecord>,
    /// What it costs.
    pub price: MoneyRecord,
    /// The day on which the job would be ready, such as `2026-12-09`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<String>,
}

/// A part of a choice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChoicePartRecord {
    /// In words.
    pub words: String,
    /// How many.
    pub pieces: u32,
    /// The price of one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<MoneyRecord>,
    /// Working days until it is here; 0 is on the shelf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<u32>,
}

fn time<T: FromStr>(what: &'static str, text: &str) -> Result<T, RecordError> {
    text.parse().map_err(|_| RecordError::Text { what, found: text.to_owned() })
}

impl ChangeRecord {
    pub(super) fn of(change: &AskedChange) -> Self {
        let Finding { words, measured, limit, photo, cause, concerns, at } = change.finding.clone();
        Self {
            found: words,
            measured,
            limit,
            photo,
            cause: cause.into(),
            concerns: concerns.into(),
            at: at.0.to_owned(),
            choices: change.choices.iter().map(ChoiceRecord::of).collect(),
            waits_until: change.waits_until.to_string(),
            call: change.call.into(),
            declined: change.declined.clone(),
        }
    }

    pub(super) fn change(self) -> Result<AskedChange, RecordError> {
        let finding = Finding {
            words: self.found,
            measured: self.measured,
            limit: self.limit,
            photo: self.photo,
            cause: self.cause.into(),
            concerns: self.concerns.into(),
            at: key::step(&self.at)?,
        };
        Ok(AskedChange {
            finding,
            choices: self.choices.into_iter().map(ChoiceRecord::choice).collect::<Result<_, _>>()?,
            waits_until: time("hour", &self.waits_until)?,
            call: self.call.into(),
            declined: self.declined,
        })
    }
}

impl ChoiceRecord {
    fn of(choice: &AskedChoice) -> Self {
        let parts = choice.parts.iter().cloned().map(|ChoicePart { words, pieces, price, days }| {
            ChoicePartRecord { words, pieces, price: price.map(MoneyRecord::from), days }
        });
        Self {
            words: choice.words.clone(),
            means: choice.means.clone(),
            operations: choice.operations.iter().map(|operation| operation.0.to_owned()).collect(),
            minutes: choice.minutes,
            parts: parts.collect(),
            price: choice.price.into(),
            day: choice.day.map(|day| day.to_string()),
        }
    }

    fn choice(self) -> Result<AskedChoice, RecordError> {
        let parts = self.parts.into_iter().map(|ChoicePartRecord { words, pieces, price, days }| {
            let price = price.as_ref().map(MoneyRecord::money).transpose()?;
            Ok(ChoicePart { words, pieces, price, days })
        });
        Ok(AskedChoice {
            words: self.words,
            means: self.means,
            operations: self.operations.iter().map(|key| key::operation(key)).collect::<Result<_, _>>()?,
            minutes: self.minutes,
            parts: parts.collect::<Result<_, RecordError>>()?,
            price: self.price.money()?,
            day: self.day.as_deref().map(|day| time("day", day)).transpose()?,
        })
    }
}
