//! A part with its figures, as it was on the day: a changed catalogue does not change an old job.

use super::value::{self, MoneyRecord};
use super::{RecordError, key};
use catalog::Part;
use catalog::part::Label;
use quantity::Reading;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartRecord {
    /// The place on the bike that it fills.
    pub slot: String,
    /// Its key in the catalogue of the day; none for a part described on the spot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// What it is called.
    pub name: String,
    /// Price.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<MoneyRecord>,
    /// Mass, such as `284 g`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass: Option<String>,
    /// Working days until it is here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead_days: Option<u32>,
    /// Every figure by the key of its dimension, such as `410 ± 3 mm measured`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub figures: BTreeMap<String, String>,
}

impl PartRecord {
    /// The record of a part.
    pub fn of(part: &Part) -> Self {
        let known = |field: &catalog::Field| {
            let reading = part.get(field.dimension).filter(Reading::is_answered)?;
            Some((key::of_dimension(field.dimension), value::reading_text(&reading)))
        };
        Self {
            slot: part.slot().key().to_owned(),
            id: part.id().map(str::to_owned),
            name: part.name().to_owned(),
            price: part.price().map(MoneyRecord::from),
            mass: part.mass().map(value::plain_text),
            lead_days: part.lead_days(),
            figures: part.slot().fields().iter().filter_map(known).collect(),
        }
    }

    /// The part.
    ///
    /// # Errors
    /// [`RecordError`] for a place, a dimension or a figure that this program does not know.
    pub fn part(&self) -> Result<Part, RecordError> {
        let mut part = key::slot(&self.slot)?.empty();
        part.relabel(Label {
            id: self.id.clone(),
            name: self.name.clone(),
            price: self.price.as_ref().map(MoneyRecord::money).transpose()?,
            mass: self.mass.as_deref().map(value::plain).transpose()?,
            lead_days: self.lead_days,
        });
        for (name, text) in &self.figures {
            let dimension = key::dimension(name)?;
            if !part.set(dimension, value::reading(dimension, text)?) {
                return Err(RecordError::UnknownWord {
                    what: "dimension of such a part",
                    found: name.clone(),
                });
            }
        }
        Ok(part)
    }
}
