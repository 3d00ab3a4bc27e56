//! The catalogue as the shop keeps it, and what is on the shelf.

use crate::error::StoreError;
use crate::people::found;
use crate::record::PartRecord;
use crate::shelf::Store;
use crate::tables::{parts, stock};
use crate::text::note;
use catalog::{Part, Slot};
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::Moment;

/// A part of the catalogue.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = parts)]
#[serde(deny_unknown_fields)]
pub struct CatalogueRecord {
    /// Its key.
    pub id: String,
    /// The place on the bike that it fills.
    pub slot: String,
    /// What it is called.
    pub name: String,
    /// The part with its figures, as the JSON of a [`PartRecord`].
    pub part: String,
    /// When it was last written, milliseconds since 1970.
    pub changed_ms: i64,
}

/// How many of a part are on the shelf.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = stock)]
#[serde(deny_unknown_fields)]
pub struct StockRecord {
    /// Key of the part.
    pub part: String,
    /// How many are there.
    pub on_hand: i64,
    /// How many of them belong to a job already: a part for a job is not stock.
    pub reserved: i64,
    /// Where they lie.
    pub place: String,
    /// When it was last counted or moved, milliseconds since 1970.
    pub changed_ms: i64,
}

impl CatalogueRecord {
    /// The part.
    ///
    /// # Errors
    /// [`StoreError::Record`] for a figure that this program does not know.
    pub fn part(&self) -> Result<Part, StoreError> {
        let place = || format!("part `{}` of the catalogue", self.id);
        let form = |error: serde_json::Error| crate::record::RecordError::Form(error.to_string());
        let record: PartRecord = serde_json::from_str(&self.part)
            .map_err(|error| StoreError::Record { place: place(), error: form(error) })?;
        record.part().map_err(|error| StoreError::Record { place: place(), error })
    }
}

impl Store {
    /// Puts parts into the catalogue, in place of those with the same key: all or none.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for a part without a key, or one that would not read back as it is.
    pub fn put_parts(&self, all: &[Part], now: Moment) -> Result<usize, StoreError> {
        let refuse = |why: String| StoreError::Refused { what: "part of the catalogue", why };
        let mut records = Vec::with_capacity(all.len());
        for part in all {
            let Some(id) = part.id() else {
                return Err(refuse(format!("`{}` has no key, and one is wanted", part.name())));
            };
            let record = PartRecord::of(part);
            if record.part().as_ref() != Ok(part) {
                return Err(refuse(format!("`{id}` holds a value that would not read back as it is")));
            }
            records.push(CatalogueRecord {
                id: id.to_owned(),
                slot: part.slot().key().to_owned(),
                name: part.name().to_owned(),
                part: serde_json::to_string(&record).map_err(|error| refuse(error.to_string()))?,
                changed_ms: now.0,
            });
        }
        self.write(|db| {
            for record in &records {
                diesel::delete(parts::table.filter(parts::id.eq(&record.id))).execute(db)?;
                diesel::insert_into(parts::table).values(record).execute(db)?;
            }
            Ok(records.len())
        })
    }

    /// Takes a part out of the catalogue. Jobs that chose it keep it with its figures.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub fn drop_part(&self, id: &str) -> Result<(), StoreError> {
        self.write(|db| found(diesel::delete(parts::table.filter(parts::id.eq(id))).execute(db)?, "part", id))
    }

    /// The parts of the catalogue that fill a place, or all, in the order of keys.
    ///
    /// # Errors
    /// [`StoreError::Record`] for a figure that this program does not know.
    pub fn parts(&self, slot: Option<Slot>) -> Result<Vec<Part>, StoreError> {
        let rows: Vec<CatalogueRecord> = self.read(|db| {
            let all = parts::table.select(CatalogueRecord::as_select()).order(parts::id);
            match slot {
                Some(slot) => all.filter(parts::slot.eq(slot.key())).load(db),
                None => all.load(db),
            }
        })?;
        rows.iter().map(CatalogueRecord::part).collect()
    }

    /// Writes down what is on the shelf.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for less than nothing, or more reserved than there is.
    pub fn set_stock(&self, record: &StockRecord) -> Result<(), StoreError> {
        if record.reserved < 0 || record.on_hand < record.reserved {
            let why = format!(
                "{} on the shelf and {} reserved were found; 0 or more, and no more reserved than there is, are wanted",
                record.on_hand, record.reserved
            );
            return Err(StoreError::Refused { what: "stock", why });
        }
        let record = StockRecord { place: note("place on the shelf", &record.place)?, ..record.clone() };
        self.write(|db| {
            diesel::delete(stock::table.filter(stock::part.eq(&record.part))).execute(db)?;
            diesel::insert_into(stock::table).values(&record).execute(db)?;
            Ok(())
        })
    }

    /// What is on the shelf, in the order of keys.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn stock(&self) -> Result<Vec<StockRecord>, StoreError> {
        self.read(|db| stock::table.select(StockRecord::as_select()).order(stock::part).load(db))
    }
}
