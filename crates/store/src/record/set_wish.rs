//! What a chosen set of parts shall give, and what a ride asks of the rider, as they are written.

use super::value::{self, MoneyRecord};
use super::{RecordError, key};
use fit::{AimName, Effort, SetWish};
use quantity::{Length, Percent};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a set of parts shall give. Nothing said is nothing asked.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SetWishRecord {
    /// Number of cogs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cogs: Option<u32>,
    /// Number of rings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rings: Option<u32>,
    /// Development of the lowest gear, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_at_most: Option<String>,
    /// Development of the highest gear, at least.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_at_least: Option<String>,
    /// Step from one cog to the next, at most, percent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step_at_most: Option<String>,
    /// How far the hands may move.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hands_within: Option<String>,
    /// Places whose part stays.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub keep: Vec<String>,
    /// Places that may change beside those of the drive.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub free: Vec<String>,
    /// Keys of parts that are not wanted.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub avoid: Vec<String>,
    /// Working days until every part is here, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parts_within_days: Option<u32>,
    /// Price of the parts, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parts_at_most: Option<MoneyRecord>,
    /// Mass of the new parts less that of the parts they replace, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heavier_at_most: Option<String>,
    /// The brakes shall not be weaker than today.
    #[serde(skip_serializing_if = "is_false")]
    pub brakes_not_weaker: bool,
    /// No marginal verdict.
    #[serde(skip_serializing_if = "is_false")]
    pub no_marginal: bool,
    /// Minutes of labour, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub labour_at_most: Option<u32>,
    /// What is to be made small.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub aims: Vec<String>,
}

fn is_false(said: &bool) -> bool {
    !said
}

impl SetWishRecord {
    /// Whether nothing is asked.
    pub(super) fn asks_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// The record of a wish. Every field is named: a new one is not forgotten here.
    pub(super) fn of(wish: SetWish) -> Self {
        let SetWish {
            cogs,
            rings,
            lowest_at_most,
            highest_at_least,
            step_at_most,
            hands_within,
            keep,
            free,
            avoid,
            parts_within_days,
            parts_at_most,
            heavier_at_most,
            brakes_not_weaker,
            no_marginal,
            labour_at_most,
            aims,
        } = wish;
        Self {
            cogs,
            rings,
            lowest_at_most: lowest_at_most.map(value::plain_text),
            highest_at_least: highest_at_least.map(value::plain_text),
            step_at_most: step_at_most.map(value::plain_text),
            hands_within: hands_within.map(value::plain_text),
            keep: keep.into_iter().map(|slot| slot.key().to_owned()).collect(),
            free: free.into_iter().map(|slot| slot.key().to_owned()).collect(),
            avoid,
            parts_within_days,
            parts_at_most: parts_at_most.map(MoneyRecord::from),
            heavier_at_most: heavier_at_most.map(value::plain_text),
            brakes_not_weaker,
            no_marginal,
            labour_at_most,
            aims: aims.into_iter().map(|aim| aim.word().to_owned()).collect(),
        }
    }

    /// The wish.
    pub(super) fn wish(&self) -> Result<SetWish, RecordError> {
        let length = |text: &Option<String>| text.as_deref().map(value::plain::<Length>).transpose();
        let slots = |keys: &[String]| keys.iter().map(|slot| key::slot(slot)).collect::<Result<Vec<_>, _>>();
        let aim = |word: &String| {
            AimName::read(word)
                .ok_or_else(|| RecordError::UnknownWord { what: "aim of a set", found: word.clone() })
        };
        Ok(SetWish {
            cogs: self.cogs,
            rings: self.rings,
            lowest_at_most: length(&self.lowest_at_most)?,
            highest_at_least: length(&self.highest_at_least)?,
            step_at_most: self.step_at_most.as_deref().map(value::plain::<Percent>).transpose()?,
            hands_within: length(&self.hands_within)?,
            keep: slots(&self.keep)?,
            free: slots(&self.free)?,
            avoid: self.avoid.clone(),
            parts_within_days: self.parts_within_days,
            parts_at_most: self.parts_at_most.as_ref().map(MoneyRecord::money).transpose()?,
            heavier_at_most: self.heavier_at_most.as_deref().map(value::plain).transpose()?,
            brakes_not_weaker: self.brakes_not_weaker,
            no_marginal: self.no_marginal,
            labour_at_most: self.labour_at_most,
            aims: self.aims.iter().map(aim).collect::<Result<_, _>>()?,
        })
    }
}

/// The word for how somebody rides.
pub(super) fn effort_text(effort: Effort) -> String {
    match effort {
        Effort::Easy => "easy",
        Effort::Steady => "steady",
        Effort::Strong => "strong",
    }
    .to_owned()
}

/// Reads [`effort_text`].
pub(super) fn read_effort(word: &str) -> Result<Effort, RecordError> {
    match word {
        "easy" => Ok(Effort::Easy),
        "steady" => Ok(Effort::Steady),
        "strong" => Ok(Effort::Strong),
        found => Err(RecordError::UnknownWord { what: "way of riding", found: found.to_owned() }),
    }
}
