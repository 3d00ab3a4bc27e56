//! Connections to either kind of database, and the few things that the two say differently.

use crate::error::StoreError;
use diesel::connection::SimpleConnection;
use diesel::prelude::*;
use std::path::Path;
use std::sync::{Condvar, Mutex, PoisonError};

/// A connection. Everything but this file says the same to both.
#[derive(diesel::MultiConnection)]
pub(crate) enum Db {
    /// A file of our own.
    Sqlite(SqliteConnection),
    /// A database server.
    #[cfg(feature = "postgres")]
    Postgres(diesel::PgConnection),
}

/// How a connection is made.
#[derive(Clone, Debug)]
pub(crate) enum Address {
    /// The file.
    File(String),
    /// The server.
    #[cfg(feature = "postgres")]
    Server(String),
}

/// For a writer: an acknowledged entry is on the disk (`full` waits for it), and a reader never waits.
const PRAGMAS: &str = "pragma busy_timeout = 5000; pragma journal_mode = wal; pragma synchronous = full; \
                       pragma foreign_keys = on; pragma trusted_schema = off; pragma cache_size = -16000;";

impl Address {
    /// Opens a connection.
    pub(crate) fn connect(&self, place: &str) -> Result<Db, StoreError> {
        match self {
            Self::File(path) => {
                let mut connection = SqliteConnection::establish(path).map_err(|error| {
                    StoreError::NotWritable { place: place.to_owned(), why: error.to_string() }
                })?;
                connection.batch_execute(PRAGMAS).map_err(|fault| StoreError::database(place, &fault))?;
                Ok(Db::Sqlite(connection))
            }
            #[cfg(feature = "postgres")]
            Self::Server(url) => {
                let mut connection = diesel::PgConnection::establish(url)
                    .map_err(|error| StoreError::NotReached { why: error.to_string() })?;
                connection
                    .batch_execute("set synchronous_commit = on; set client_min_messages = warning;")
                    .map_err(|fault| StoreError::database(place, &fault))?;
                Ok(Db::Postgres(connection))
            }
        }
    }

    /// The file, where there is one.
    pub(crate) fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(Path::new(path)),
            #[cfg(feature = "postgres")]
            Self::Server(_) => None,
        }
    }
}

#[derive(QueryableByName)]
struct Line {
    #[diesel(sql_type = diesel::sql_types::Text)]
    line: String,
}

#[derive(QueryableByName)]
struct Count {
    #[diesel(sql_type = diesel::sql_types::BigInt)]
    count: i64,
}

impl Db {
    /// The type of a column of bytes.
    pub(crate) fn bytes_type(&self) -> &'static str {
        match self {
            Self::Sqlite(_) => "blob",
            #[cfg(feature = "postgres")]
            Self::Postgres(_) => "bytea",
        }
    }

    /// How many tables there are.
    pub(crate) fn count_tables(&mut self) -> QueryResult<i64> {
        let text = match self {
            Self::Sqlite(_) => "select count(*) as count from sqlite_master where type = 'table'",
            #[cfg(feature = "postgres")]
            Self::Postgres(_) => {
                "select count(*) as count from information_schema.tables where table_schema = current_schema()"
            }
        };
        diesel::sql_query(text).get_result::<Count>(self).map(|found| found.count)
    }

    /// What the database itself finds wrong; nothing where it is sound.
    pub(crate) fn faults(&mut self) -> QueryResult<Vec<String>> {
        let texts: &[&str] = match self {
            Self::Sqlite(_) => &[
                "select integrity_check as line from pragma_integrity_check where integrity_check <> 'ok'",
                "select \"table\" || ' points to a line of ' || parent || ' that is not there' as line \
                 from pragma_foreign_key_check",
            ],
            // A server checks its pages and references as it goes.
            #[cfg(feature = "postgres")]
            Self::Postgres(_) => &[],
        };
        let mut all = Vec::new();
        for text in texts {
            all.extend(diesel::sql_query(*text).load::<Line>(self)?.into_iter().map(|found| found.line));
        }
        Ok(all)
    }

    /// Waits until no other program changes the tables of this store, for the transaction that is open.
    pub(crate) fn alone(&mut self) -> QueryResult<()> {
        match self {
            // The folder has one program.
            Self::Sqlite(_) => Ok(()),
            #[cfg(feature = "postgres")]
            Self::Postgres(db) => db.batch_execute("select pg_advisory_xact_lock(7305808867)"),
        }
    }

    /// Begins a view of the database that no later write changes, for the transaction that is open.
    pub(crate) fn freeze(&mut self) -> QueryResult<()> {
        match self {
            // A read transaction of a file sees one moment by itself.
            Self::Sqlite(_) => Ok(()),
            #[cfg(feature = "postgres")]
            Self::Postgres(db) => db.batch_execute("set transaction isolation level repeatable read"),
        }
    }
}

/// Connections that only read, each for one call at a time.
pub(crate) struct Pool {
    free: Mutex<Vec<Option<Db>>>,
    returned: Condvar,
}

impl Pool {
    /// A pool of so many places; connections are made when they are first wanted.
    pub(crate) fn new(places: usize) -> Self {
        Self { free: Mutex::new((0..places).map(|_| None).collect()), returned: Condvar::new() }
    }

    /// Uses a connection. One that broke is thrown away, so that the next call makes a new one.
    pub(crate) fn with<T>(
        &self,
        address: &Address,
        place: &str,
        work: impl FnOnce(&mut Db) -> QueryResult<T>,
    ) -> Result<T, StoreError> {
        let mut free = self.free.lock().unwrap_or_else(PoisonError::into_inner);
        let slot = loop {
            match free.pop() {
                Some(slot) => break slot,
                None => free = self.returned.wait(free).unwrap_or_else(PoisonError::into_inner),
            }
        };
        drop(free);
        let mut handed = Handed { pool: self, db: None };
        let mut db = match slot {
            Some(db) => db,
            None => address.connect(place)?,
        };
        let result = work(&mut db);
        match &result {
            Ok(_) => handed.db = Some(db),
            // Where one connection broke, those that wait did too: the next calls make new ones. And one that
            // refused something is cheaper made again than trusted.
            Err(_) => self.forget(),
        }
        drop(handed);
        result.map_err(|fault| StoreError::database(place, &fault))
    }
}

impl Pool {
    /// Lets go of every connection that nobody uses.
    pub(crate) fn forget(&self) {
        let mut free = self.free.lock().unwrap_or_else(PoisonError::into_inner);
        free.iter_mut().for_each(|slot| *slot = None);
    }
}

/// Gives the place back, with or without its connection, whatever happens.
struct Handed<'a> {
    pool: &'a Pool,
    db: Option<Db>,
}

impl Drop for Handed<'_> {
    fn drop(&mut self) {
        let mut free = self.pool.free.lock().unwrap_or_else(PoisonError::into_inner);
        free.push(self.db.take());
        self.pool.returned.notify_one();
    }
}

/// Whether the connection is of no more use.
pub(crate) fn is_broken(fault: &diesel::result::Error) -> bool {
    use diesel::result::{DatabaseErrorKind, Error};
    matches!(
        fault,
        Error::BrokenTransactionManager | Error::DatabaseError(DatabaseErrorKind::ClosedConnection, _)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What `PRAGMA synchronous` answers: 2 is FULL, by the manual of the database.
    #[test]
    fn a_commit_waits_for_the_disk() {
        let folder = tempfile::TempDir::new().unwrap();
        let path = folder.path().join("shop.sqlite");
        let mut db = Address::File(path.to_str().unwrap().to_owned()).connect("here").unwrap();
        let mut asked = |name: &str| {
            let text = format!("select cast({name} as text) as line from pragma_{name}");
            diesel::sql_query(text).get_result::<Line>(&mut db).unwrap().line
        };
        assert_eq!(asked("synchronous"), "2");
        assert_eq!(asked("journal_mode"), "wal");
        assert_eq!(asked("foreign_keys"), "1");
    }
}
