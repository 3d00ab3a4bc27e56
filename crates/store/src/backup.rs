//! A copy of everything while the shop works, and the way back.

use crate::connection::Address;
use crate::error::StoreError;
use crate::export::{beside, make, must_be_free, remove, sync_name};
use crate::place::Place;
use crate::shelf::{FILE, Store};
use diesel::connection::SimpleConnection;
use std::fs::File;
use std::path::Path;

impl Store {
    /// Copies everything as it is at one moment, while the shop works: a database file from a folder, a folder of open
    /// files from a server. The copy stands under its name only once it is whole.
    ///
    /// # Errors
    /// [`StoreError::NotEmpty`] if something is there already; [`StoreError`] if it cannot be written.
    pub fn backup(&self, target: &Path) -> Result<(), StoreError> {
        if self.address().file().is_none() {
            must_be_free(target)?;
            return self.export(target);
        }
        copy_file(self.address(), target)
    }

    /// The same beside a program that holds the store: its file is read as it is at one moment, and nothing is changed.
    ///
    /// # Errors
    /// As [`Store::backup`], and [`StoreError::NotFound`] where no store is kept.
    pub fn backup_beside(place: &Place, target: &Path) -> Result<(), StoreError> {
        let Place::Folder(folder) = place else {
            return Self::open(place)?.backup(target);
        };
        let path = folder.join(FILE);
        if !path.is_file() {
            return Err(StoreError::NotFound {
                what: "store in the folder",
                key: folder.display().to_string(),
            });
        }
        copy_file(&Address::File(path.to_string_lossy().into_owned()), target)
    }

    /// Puts a backup, a file or a folder of open files, into an empty place, and opens it once it was checked.
    ///
    /// # Errors
    /// [`StoreError::NotEmpty`]; [`StoreError::Damaged`] with what the check found.
    pub fn restore(backup: &Path, place: &Place) -> Result<Self, StoreError> {
        if backup.is_dir() {
            let store = Self::open(place)?;
            store.import(backup)?;
            return Ok(store);
        }
        match place {
            Place::Folder(folder) => Self::restore_file(backup, folder),
            Place::Server(_) => {
                // By way of open files: a server reads no file of another database.
                let (folder, files) = (beside(backup, "restoring"), beside(backup, "files"));
                remove(&folder)?;
                remove(&files)?;
                let store = Self::open(place)?;
                let done = Self::restore_file(backup, &folder)
                    .and_then(|copy| copy.export(&files))
                    .and_then(|()| store.import(&files));
                remove(&folder)?;
                remove(&files)?;
                done.map(|()| store)
            }
        }
    }

    fn restore_file(backup: &Path, folder: &Path) -> Result<Self, StoreError> {
        let target = folder.join(FILE);
        make(folder)?;
        must_be_free(&target)?;
        let part = beside(&target, "part");
        std::fs::copy(backup, &part).map_err(|error| StoreError::file(backup, &error))?;
        settle(&part, &target)?;
        let damaged = |why: String| StoreError::Damaged { path: backup.to_owned(), why };
        let opened = Self::open(&Place::Folder(folder.to_owned())).and_then(|store| {
            let report = store.check()?;
            match report.faults.first() {
                Some(fault) => Err(damaged(fault.clone())),
                None => Ok(store),
            }
        });
        opened.map_err(|error| {
            // The copy that was no good is not left in the way of a better one.
            for end in ["", "-wal", "-shm"] {
                let _ = remove(&folder.join(format!("{FILE}{end}")));
            }
            match error {
                StoreError::Corrupt { why } | StoreError::Database { why } => damaged(why),
                error => error,
            }
        })
    }
}

/// Copies a database file into another one, whole or not at all.
fn copy_file(address: &Address, target: &Path) -> Result<(), StoreError> {
    must_be_free(target)?;
    let part = beside(target, "part");
    remove(&part)?;
    if let Some(folder) = target.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        make(folder)?;
    }
    let text = part.to_str().ok_or_else(|| StoreError::File {
        path: target.to_owned(),
        why: "the path is not readable text".to_owned(),
    })?;
    let copy = format!("vacuum into '{}'", text.replace('\'', "''"));
    let shown = format!("`{}`", target.display());
    let mut db = address.connect(&shown)?;
    let copied = db.batch_execute(&copy).map_err(|fault| StoreError::database(&shown, &fault));
    let whole = copied.and_then(|()| settle(&part, target));
    if whole.is_err() {
        // What is not whole is worth nothing; the reason of the failure is what counts.
        let _ = remove(&part);
    }
    whole
}

/// Writes a file through to the disk and gives it its name.
fn settle(part: &Path, target: &Path) -> Result<(), StoreError> {
    let synced = File::open(part).and_then(|file| file.sync_all());
    let named = synced.and_then(|()| std::fs::rename(part, target));
    named.map_err(|error| StoreError::file(target, &error))?;
    sync_name(target)
}
