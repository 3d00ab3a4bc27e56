//! Private links: with one, a customer reads one version of the estimate of one job and agrees to it.
//!
//! Only the hash of the token is kept. Like a session a link is no record: the agreement that it led to is an entry.

use crate::error::StoreError;
use crate::shelf::Store;
use crate::tables::links;
use diesel::prelude::*;
use shop::Moment;

/// A private link.
#[derive(Clone, Debug, PartialEq, Eq, Queryable, Selectable, Insertable)]
#[diesel(table_name = links)]
pub struct LinkRecord {
    /// Hash of the token in the address.
    pub token_hash: String,
    /// Key of the job.
    pub job: String,
    /// The version of the estimate that it shows.
    pub version: i64,
    /// Who made it.
    pub made_by: String,
    /// When, milliseconds since 1970.
    pub made_ms: i64,
    /// Until when it may be used.
    pub until_ms: i64,
}

impl Store {
    /// Keeps a link. Earlier links of the job end: there is one way in, and it shows the current version.
    ///
    /// # Errors
    /// [`StoreError`] if it cannot be kept.
    pub fn make_link(&self, link: &LinkRecord) -> Result<(), StoreError> {
        self.write(|db| {
            diesel::delete(links::table.filter(links::job.eq(&link.job))).execute(db)?;
            diesel::insert_into(links::table).values(link).execute(db)?;
            Ok(())
        })
    }

    /// The link of a token, if it may still be used.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn link(&self, token_hash: &str, now: Moment) -> Result<Option<LinkRecord>, StoreError> {
        self.read(|db| {
            let open = links::token_hash.eq(token_hash).and(links::until_ms.gt(now.0));
            links::table.filter(open).select(LinkRecord::as_select()).first(db).optional()
        })
    }

    /// Ends the links of a job.
    ///
    /// # Errors
    /// [`StoreError`] if it cannot be kept.
    pub fn end_links(&self, job: &str) -> Result<(), StoreError> {
        self.write(|db| {
            diesel::delete(links::table.filter(links::job.eq(job))).execute(db)?;
            Ok(())
        })
    }
}
