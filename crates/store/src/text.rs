//! Texts of the shop by version: what a customer was told stays what it was. And names as they are compared.

use crate::error::StoreError;
use crate::shelf::Store;
use crate::tables::texts;
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::Moment;

/// Most letters of a name or another single line.
const MOST_IN_LINE: usize = 200;
/// Most letters of a text.
const MOST_IN_TEXT: usize = 100_000;

/// One version of a text.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = texts)]
#[serde(deny_unknown_fields)]
pub struct TextRecord {
    /// Which text, such as `warranty`.
    pub text_key: String,
    /// Its version, from 1.
    pub version: i64,
    /// Its language, such as `en`.
    pub language: String,
    /// The text.
    pub body: String,
    /// Who wrote it.
    pub person: String,
    /// When, milliseconds since 1970.
    pub at_ms: i64,
}

impl Store {
    /// Adds a version of a text; earlier ones stay.
    ///
    /// # Errors
    /// [`StoreError::Refused`] if a part of it is empty or too long.
    pub fn add_text(
        &self,
        key: &str,
        language: &str,
        body: &str,
        by: &str,
        now: Moment,
    ) -> Result<TextRecord, StoreError> {
        if body.trim().is_empty() || body.len() > MOST_IN_TEXT {
            let why = format!("{} bytes were found; 1 to {MOST_IN_TEXT} are wanted", body.len());
            return Err(StoreError::Refused { what: "text", why });
        }
        without_control("text", body)?;
        let mut record = TextRecord {
            text_key: said("key of a text", key)?,
            version: 1,
            language: said("language", language)?,
            body: body.to_owned(),
            person: said("name of a person", by)?,
            at_ms: now.0,
        };
        self.write(|db| {
            let same = texts::text_key.eq(&record.text_key).and(texts::language.eq(&record.language));
            let last = texts::table.filter(same).select(diesel::dsl::max(texts::version));
            record.version = last.first::<Option<i64>>(db)?.unwrap_or(0) + 1;
            diesel::insert_into(texts::table).values(&record).execute(db)?;
            Ok(record.clone())
        })
    }

    /// A version of a text, or the last one.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn text(
        &self,
        key: &str,
        language: &str,
        version: Option<i64>,
    ) -> Result<Option<TextRecord>, StoreError> {
        self.read(|db| {
            let same = texts::text_key.eq(key).and(texts::language.eq(language));
            let upto = texts::version.le(version.unwrap_or(i64::MAX));
            let found: Option<TextRecord> = texts::table
                .filter(same.and(upto))
                .order(texts::version.desc())
                .select(TextRecord::as_select())
                .first(db)
                .optional()?;
            Ok(found.filter(|found| version.is_none_or(|version| version == found.version)))
        })
    }
}

/// A name as it is compared: blanks and capitals do not tell two names apart.
pub(crate) fn fold(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// A single line that says something, with blanks tidied.
pub(crate) fn said(what: &'static str, text: &str) -> Result<String, StoreError> {
    let tidy = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if tidy.is_empty() || tidy.chars().count() > MOST_IN_LINE {
        let why = format!("{} letters were found; 1 to {MOST_IN_LINE} are wanted", tidy.chars().count());
        return Err(StoreError::Refused { what, why });
    }
    without_control(what, &tidy)?;
    Ok(tidy)
}

/// Refuses characters that no keyboard makes; a server keeps no text with a zero in it.
pub(crate) fn without_control(what: &'static str, text: &str) -> Result<(), StoreError> {
    match text.chars().find(|letter| letter.is_control() && !matches!(letter, '\n' | '\r' | '\t')) {
        Some(letter) => {
            let why = format!("the control character {letter:?} was found; letters are wanted");
            Err(StoreError::Refused { what, why })
        }
        None => Ok(()),
    }
}

/// A note that may be empty.
pub(crate) fn note(what: &'static str, text: &str) -> Result<String, StoreError> {
    if text.len() > MOST_IN_TEXT {
        let why = format!("{} bytes were found; at most {MOST_IN_TEXT} are wanted", text.len());
        return Err(StoreError::Refused { what, why });
    }
    without_control(what, text)?;
    Ok(text.trim().to_owned())
}
