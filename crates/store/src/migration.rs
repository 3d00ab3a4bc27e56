//! The steps from each version of the tables to the next: numbered, run by themselves, never edited once merged.

use crate::connection::Db;
use crate::error::StoreError;
use crate::tables::store_versions;
use diesel::connection::SimpleConnection;
use diesel::prelude::*;
use sha2::{Digest, Sha256};

/// Every migration in order; its place is its version, from 1.
const MIGRATIONS: [&str; 3] = [
    include_str!("migration/0001.sql"),
    include_str!("migration/0002.sql"),
    include_str!("migration/0003.sql"),
];

/// The version of the tables that this program writes.
pub const NEWEST: i64 = MIGRATIONS.len() as i64;

/// Where the versions stand. Made if it is not there.
const VERSIONS: &str =
    "create table if not exists store_versions (version bigint primary key, text_hash text not null)";

/// Brings the tables to a version; usually the newest. All or nothing.
pub(crate) fn migrate(db: &mut Db, to: i64, place: &str) -> Result<(), StoreError> {
    if !has_versions(db) && has_tables(db) {
        return Err(StoreError::NotOurs { place: place.to_owned() });
    }
    let run = db.transaction(|db| {
        db.alone()?;
        db.batch_execute(VERSIONS)?;
        let known: Vec<(i64, String)> = store_versions::table.order(store_versions::version).load(db)?;
        let found = known.last().map_or(0, |(version, _)| *version);
        if found > NEWEST {
            return Ok(Err(StoreError::Newer { found, known: NEWEST }));
        }
        for (number, text) in (1..).zip(MIGRATIONS) {
            match known.iter().find(|(version, _)| *version == number) {
                Some((version, hash)) if *hash != hash_of(text) => {
                    return Ok(Err(StoreError::OtherMigration { version: *version }));
                }
                Some(_) => {}
                None if number <= to => {
                    db.batch_execute(&text.replace("$BYTES", db.bytes_type()))?;
                    let row =
                        (store_versions::version.eq(number), store_versions::text_hash.eq(hash_of(text)));
                    diesel::insert_into(store_versions::table).values(row).execute(db)?;
                }
                None => {}
            }
        }
        Ok(Ok(()))
    });
    run.map_err(|fault: diesel::result::Error| StoreError::database(place, &fault))?
}

/// The version that the tables have; 0 where there are none.
pub(crate) fn version(db: &mut Db) -> i64 {
    let newest = store_versions::table.select(diesel::dsl::max(store_versions::version));
    newest.first::<Option<i64>>(db).ok().flatten().unwrap_or(0)
}

fn has_versions(db: &mut Db) -> bool {
    store_versions::table.count().get_result::<i64>(db).is_ok()
}

/// Whether there is any table at all.
fn has_tables(db: &mut Db) -> bool {
    db.count_tables().is_ok_and(|count| count > 0)
}

pub(crate) fn hash_of(text: &str) -> String {
    format!("{:x}", Sha256::digest(text.as_bytes()))
}
#[cfg(test)]
mod tests {
    use super::*;

    /// A migration that was merged is never edited: a shop's database has run it. Only add lines here.
    #[test]
    fn a_merged_migration_is_never_edited() {
        let hashes: Vec<String> = MIGRATIONS.iter().map(|text| hash_of(text)[..16].to_owned()).collect();
        assert_eq!(hashes, ["35181e97aadee152", "17d61bdad5aad494", "2a7024df10a05c14"]);
    }
}
