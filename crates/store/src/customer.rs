//! Customers and their bikes. A bike has its history: every job that was opened for it.

use crate::error::StoreError;
use crate::people::{found, new_id};
use crate::shelf::Store;
use crate::tables::{bikes, customers};
use crate::text::{fold, note, said};
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::Moment;

/// Most lines of one answer.
pub(crate) const MOST_LINES: i64 = 200;

/// A customer.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = customers)]
#[serde(deny_unknown_fields)]
pub struct CustomerRecord {
    /// Key.
    pub id: String,
    /// Name, as it is shown.
    pub name: String,
    /// Name, as it is searched.
    pub name_key: String,
    /// Telephone; empty if not known.
    pub phone: String,
    /// Mail; empty if not known.
    pub mail: String,
    /// Whatever else was said.
    pub words: String,
    /// When the customer was added, milliseconds since 1970.
    pub created_ms: i64,
}

/// A bike.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = bikes)]
#[serde(deny_unknown_fields)]
pub struct BikeRecord {
    /// Key.
    pub id: String,
    /// Key of the customer.
    pub customer: String,
    /// What it is called, such as `blue road bike`.
    pub name: String,
    /// The number in the frame; empty if not read.
    pub frame_number: String,
    /// Whatever else was said.
    pub words: String,
    /// When it was added, milliseconds since 1970.
    pub created_ms: i64,
}

impl CustomerRecord {
    fn tidy(&self) -> Result<Self, StoreError> {
        let name = said("name of a customer", &self.name)?;
        Ok(Self {
            id: self.id.clone(),
            name_key: fold(&name),
            name,
            phone: note("telephone", &self.phone)?,
            mail: note("mail", &self.mail)?,
            words: note("words", &self.words)?,
            created_ms: self.created_ms,
        })
    }
}

impl Store {
    /// Adds a customer. Two customers may have one name.
    ///
    /// # Errors
    /// [`StoreError::Refused`] without a name.
    pub fn add_customer(&self, name: &str, now: Moment) -> Result<CustomerRecord, StoreError> {
        let record = CustomerRecord {
            id: new_id(),
            name: name.to_owned(),
            name_key: String::new(),
            phone: String::new(),
            mail: String::new(),
            words: String::new(),
            created_ms: now.0,
        };
        let record = record.tidy()?;
        self.write(|db| {
            diesel::insert_into(customers::table).values(&record).execute(db)?;
            Ok(())
        })?;
        Ok(record)
    }

    /// Changes what is known of a customer.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], or [`StoreError::Refused`] without a name.
    pub fn change_customer(&self, record: &CustomerRecord) -> Result<CustomerRecord, StoreError> {
        let record = record.tidy()?;
        self.write(|db| {
            let changed = diesel::update(customers::table.filter(customers::id.eq(&record.id)))
                .set((
                    customers::name.eq(&record.name),
                    customers::name_key.eq(&record.name_key),
                    customers::phone.eq(&record.phone),
                    customers::mail.eq(&record.mail),
                    customers::words.eq(&record.words),
                ))
                .execute(db)?;
            found(changed, "customer", &record.id)
        })?;
        Ok(record)
    }

    /// A customer.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn customer(&self, id: &str) -> Result<Option<CustomerRecord>, StoreError> {
        self.read(|db| {
            let found = customers::table.filter(customers::id.eq(id));
            found.select(CustomerRecord::as_select()).first(db).optional()
        })
    }

    /// Customers whose name begins so, however it is written.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn customers_named(&self, start: &str) -> Result<Vec<CustomerRecord>, StoreError> {
        let (from, to) = range_of(start);
        self.read(|db| {
            let named = customers::name_key.ge(&from).and(customers::name_key.lt(&to));
            let found = customers::table.filter(named).order((customers::name_key, customers::id));
            found.limit(MOST_LINES).select(CustomerRecord::as_select()).load(db)
        })
    }

    /// Every customer, in the order of names.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn all_customers(&self) -> Result<Vec<CustomerRecord>, StoreError> {
        self.read(|db| {
            let all = customers::table.order((customers::name_key, customers::id));
            all.select(CustomerRecord::as_select()).load(db)
        })
    }

    /// Every bike with the name of its owner, in the order of owners.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn all_bikes(&self) -> Result<Vec<(String, BikeRecord)>, StoreError> {
        self.read(|db| {
            let all = bikes::table.inner_join(customers::table.on(customers::id.eq(bikes::customer)));
            all.order((customers::name_key, bikes::name, bikes::id))
                .select((customers::name, BikeRecord::as_select()))
                .load(db)
        })
    }

    /// Adds a bike.
    ///
    /// # Errors
    /// [`StoreError::Refused`] without a name, [`StoreError::NotFound`] without a customer.
    pub fn add_bike(&self, customer: &str, name: &str, now: Moment) -> Result<BikeRecord, StoreError> {
        let record = BikeRecord {
            id: new_id(),
            customer: customer.to_owned(),
            name: said("name of a bike", name)?,
            frame_number: String::new(),
            words: String::new(),
            created_ms: now.0,
        };
        self.write(|db| {
            let known = customers::table.filter(customers::id.eq(customer)).count().get_result::<i64>(db)?;
            found(usize::from(known > 0), "customer", customer)?;
            diesel::insert_into(bikes::table).values(&record).execute(db)?;
            Ok(())
        })?;
        Ok(record)
    }

    /// Changes what is known of a bike, and whose it is.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], or [`StoreError::Refused`] without a name.
    pub fn change_bike(&self, record: &BikeRecord) -> Result<(), StoreError> {
        let name = said("name of a bike", &record.name)?;
        let frame_number = note("frame number", &record.frame_number)?;
        let words = note("words", &record.words)?;
        self.write(|db| {
            let known = customers::table.filter(customers::id.eq(&record.customer)).count();
            found(usize::from(known.get_result::<i64>(db)? > 0), "customer", &record.customer)?;
            let changed = diesel::update(bikes::table.filter(bikes::id.eq(&record.id)))
                .set((
                    bikes::customer.eq(&record.customer),
                    bikes::name.eq(&name),
                    bikes::frame_number.eq(&frame_number),
                    bikes::words.eq(&words),
                ))
                .execute(db)?;
            found(changed, "bike", &record.id)
        })
    }

    /// A bike.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn bike(&self, id: &str) -> Result<Option<BikeRecord>, StoreError> {
        self.read(|db| {
            let found = bikes::table.filter(bikes::id.eq(id));
            found.select(BikeRecord::as_select()).first(db).optional()
        })
    }

    /// The bikes of a customer, in the order of names.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn bikes_of(&self, customer: &str) -> Result<Vec<BikeRecord>, StoreError> {
        self.read(|db| {
            let found = bikes::table.filter(bikes::customer.eq(customer)).order((bikes::name, bikes::id));
            found.limit(MOST_LINES).select(BikeRecord::as_select()).load(db)
        })
    }
}

/// The range of folded names that begin so: `to` is the first one after them.
pub(crate) fn range_of(start: &str) -> (String, String) {
    let from = fold(start);
    let to = format!("{from}\u{10FFFF}");
    (from, to)
}
