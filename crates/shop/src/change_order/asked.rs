//! A change order as the customer was asked: what is kept of it on the record.

use super::{Call, ChangeOrder, Choice, ChoicePart, Finding};
use crate::operation::OperationId;
use jiff::civil::{Date, DateTime};
use quantity::Money;

/// What the customer was asked.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedChange {
    /// What was found.
    pub finding: Finding,
    /// What can be done, doing nothing among it.
    pub choices: Vec<AskedChoice>,
    /// The hour until which the stand waits.
    pub waits_until: DateTime,
    /// Whether the customer is called.
    pub call: Call,
    /// What is signed by itself if it is left as it is; none where safety is not at stake.
    pub declined: Option<String>,
}

/// A choice as the customer saw it.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedChoice {
    /// In words.
    pub words: String,
    /// What it means for the bike and its rider.
    pub means: String,
    /// Operations that are added; none for doing nothing.
    pub operations: Vec<OperationId>,
    /// Minutes that it adds to the job.
    pub minutes: u32,
    /// Parts.
    pub parts: Vec<ChoicePart>,
    /// What it costs.
    pub price: Money,
    /// The day on which the job would be ready, if it has one.
    pub day: Option<Date>,
}

impl AskedChoice {
    /// Whether it is to do nothing.
    pub fn is_nothing(&self) -> bool {
        self.operations.is_empty() && self.minutes == 0 && self.parts.is_empty()
    }

    /// Parts that are not on the shelf.
    pub fn awaited(&self) -> Vec<&str> {
        let late = self.parts.iter().filter(|part| part.days != Some(0));
        late.map(|part| part.words.as_str()).collect()
    }
}

impl ChangeOrder {
    /// What goes on the record when the customer is asked.
    pub fn asked(&self) -> AskedChange {
        let choices = self.choices.iter().map(|priced| {
            let Choice { words, means, operations, parts, .. } = priced.choice.clone();
            let day = priced.day.as_ref().ok().map(|promise| promise.promised);
            AskedChoice { words, means, operations, minutes: priced.minutes, parts, price: priced.price, day }
        });
        AskedChange {
            finding: self.finding.clone(),
            choices: choices.collect(),
            waits_until: self.waits_until,
            call: self.call,
            declined: self.declined.as_ref().map(|said| said.text.clone()),
        }
    }
}
