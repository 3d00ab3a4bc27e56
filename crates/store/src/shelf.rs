//! The open store: one connection that writes, a few that read. Begin with [`Store::open`].

use crate::connection::{Address, Db, Pool, is_broken};
use crate::error::StoreError;
use crate::migration::{NEWEST, migrate, version};
use crate::place::{Place, hold};
use diesel::prelude::*;
use diesel::result::{DatabaseErrorKind, Error as Fault};
use std::fs::File;
use std::sync::{Mutex, PoisonError};

/// Connections that read. A page needs one for a fraction of a millisecond.
const READERS: usize = 4;
/// How often a write is tried again that another program of the same database came before.
const TRIES: usize = 8;

/// The name of the database file in its folder.
pub(crate) const FILE: &str = "shop.sqlite";

/// Everything that the shop keeps.
///
/// It may be used from several threads at once. A write that came back is on the disk.
pub struct Store {
    place: Place,
    address: Address,
    writer: Mutex<Option<Db>>,
    readers: Pool,
    /// Held as long as the store is open.
    _lock: Option<File>,
}

/// Why a transaction ends without having changed anything.
pub(crate) enum Stop {
    /// The database said so.
    Fault(Fault),
    /// We say so.
    Told(StoreError),
}

impl From<Fault> for Stop {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Told(error)
    }
}

impl Store {
    /// Opens a store, makes it where there is none, and brings its tables to the version of this program.
    ///
    /// # Errors
    /// [`StoreError`]: in use by another program, not writable, not reachable, newer than this program.
    pub fn open(place: &Place) -> Result<Self, StoreError> {
        let (address, lock) = match place {
            Place::Folder(folder) => {
                let lock = hold(folder)?;
                let path = folder.join(FILE);
                let text = path.to_str().ok_or_else(|| StoreError::File {
                    path: folder.clone(),
                    why: "the path is not readable text".to_owned(),
                })?;
                (Address::File(text.to_owned()), Some(lock))
            }
            #[cfg(feature = "postgres")]
            Place::Server(url) => (Address::Server(url.clone()), None),
            #[cfg(not(feature = "postgres"))]
            Place::Server(_) => return Err(StoreError::NotBuiltIn),
        };
        let words = place.to_string();
        let mut db = address.connect(&words)?;
        migrate(&mut db, NEWEST, &words)?;
        Ok(Self {
            place: place.clone(),
            address,
            writer: Mutex::new(Some(db)),
            readers: Pool::new(READERS),
            _lock: lock,
        })
    }

    /// Where it is kept.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// The version of its tables.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn version(&self) -> Result<i64, StoreError> {
        self.read(|db| Ok(version(db)))
    }

    pub(crate) fn address(&self) -> &Address {
        &self.address
    }

    /// Looks something up.
    pub(crate) fn read<T>(&self, work: impl FnOnce(&mut Db) -> QueryResult<T>) -> Result<T, StoreError> {
        self.readers.with(&self.address, &self.place.to_string(), work)
    }

    /// Looks several things up as they were at one moment.
    pub(crate) fn read_at_once<T>(
        &self,
        work: impl FnOnce(&mut Db) -> Result<T, Stop>,
    ) -> Result<T, StoreError> {
        self.read(|db| {
            let frozen = db.transaction(|db| {
                db.freeze()?;
                work(db)
            });
            match frozen {
                Ok(found) => Ok(Ok(found)),
                Err(Stop::Told(error)) => Ok(Err(error)),
                Err(Stop::Fault(fault)) => Err(fault),
            }
        })?
    }

    /// Changes something: all of it is on the disk when this comes back, or none of it is there.
    pub(crate) fn write<T>(&self, mut work: impl FnMut(&mut Db) -> Result<T, Stop>) -> Result<T, StoreError> {
        let place = self.place.to_string();
        let mut writer = self.writer.lock().unwrap_or_else(PoisonError::into_inner);
        let mut tried = 0;
        loop {
            tried += 1;
            // Taken out: a connection that a panic left in the middle of something is not used again.
            let mut db = match writer.take() {
                Some(db) => db,
                None => self.address.connect(&place)?,
            };
            // A full disk undoes a transaction by itself, and undoing it again then fails: what counts is the first
            // reason.
            let mut first = None;
            let done = db.transaction(|db| {
                work(db).inspect_err(|stop| {
                    if let Stop::Fault(fault) = stop {
                        first = Some((StoreError::database(&place, fault), is_beaten(fault)));
                    }
                })
            });
            let fault = match done {
                Ok(done) => {
                    *writer = Some(db);
                    return Ok(done);
                }
                Err(Stop::Told(error)) => {
                    *writer = Some(db);
                    return Err(error);
                }
                Err(Stop::Fault(fault)) => fault,
            };
            let beaten = first.as_ref().map_or_else(|| is_beaten(&fault), |(_, beaten)| *beaten);
            // Anything but that leaves a connection that is not trusted: the next write makes a new one.
            if beaten && !is_broken(&fault) {
                *writer = Some(db);
            }
            if !beaten || tried == TRIES {
                return Err(first.map_or_else(|| StoreError::database(&place, &fault), |(error, _)| error));
            }
        }
    }
}

/// Whether another program of the same database came first, so that the same may be tried again.
fn is_beaten(fault: &Fault) -> bool {
    matches!(
        fault,
        Fault::RollbackTransaction
            | Fault::DatabaseError(
                DatabaseErrorKind::UniqueViolation | DatabaseErrorKind::SerializationFailure,
                _
            )
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use diesel::connection::SimpleConnection;
    use shop::Moment;

    #[test]
    fn a_database_that_may_not_grow_is_a_full_disk_and_keeps_what_it_has() {
        let folder = tempfile::TempDir::new().unwrap();
        let store = Store::open(&Place::Folder(folder.path().to_owned())).unwrap();
        let picture = |n: u8| [&[0xFF, 0xD8, 0xFF][..], &[n; 20_000]].concat();
        let first = store.keep_photo(&picture(0), Moment(1)).unwrap();
        store.write(|db| Ok(db.batch_execute("pragma max_page_count = 80")?)).unwrap();
        let full = (1..80).find_map(|n| store.keep_photo(&picture(n), Moment(1)).err()).unwrap();
        assert!(matches!(full, StoreError::DiskFull { .. }), "{full}");
        assert!(full.to_string().contains("make room"), "{full}");
        assert_eq!(store.photo(&first.hash).unwrap().unwrap().1, picture(0));
        assert_eq!(store.check().unwrap().faults, Vec::<String>::new());
        // With room again it goes on: the connection was made anew.
        store.keep_photo(&picture(99), Moment(1)).unwrap();
    }
}
