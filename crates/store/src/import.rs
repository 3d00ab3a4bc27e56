//! An export read back into an empty store: all of it or nothing.

use crate::check::check_in;
use crate::connection::Db;
use crate::customer::{BikeRecord, CustomerRecord};
use crate::error::StoreError;
use crate::export::{EntryLine, FORMAT, FORMAT_VERSION, MANIFEST, Manifest, photo_name};
use crate::job::{EntryRow, JobRecord};
use crate::migration::NEWEST;
use crate::people::{PersonRecord, SkillRecord, TabletRecord};
use crate::photo::{JobPhotoRecord, PhotoRecord, hash_of, insert_photo};
use crate::record::read_entry;
use crate::shelf::{Stop, Store};
use crate::stock::{CatalogueRecord, StockRecord};
use crate::tables::{
    bikes, customers, entries, job_photos, jobs, parts, people, photos, skills, stock, tablets, texts,
};
use crate::text::TextRecord;
use diesel::prelude::*;
use diesel::result::{DatabaseErrorKind, Error as Fault};
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use shop::Moment;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;

impl Store {
    /// Reads an export into this store, which has to be empty. Every file is compared with its hash, every job is
    /// replayed and every photo compared before anything is kept.
    ///
    /// # Errors
    /// [`StoreError::NotEmpty`]; [`StoreError::Damaged`] if the export is not whole; [`StoreError::Newer`] or
    /// [`StoreError::Record`] if it was written by a newer program.
    pub fn import(&self, folder: &Path) -> Result<(), StoreError> {
        check_files(folder)?;
        let place = self.place().to_string();
        self.write(|db| {
            if holds_something(db)? {
                return Err(StoreError::NotEmpty { place: place.clone() }.into());
            }
            read_tables(db, folder)?;
            read_photos(db, folder)?;
            let report = check_in(db)?;
            match report.faults.first() {
                Some(fault) => Err(damaged(folder, fault).into()),
                None => Ok(()),
            }
        })
    }
}

fn holds_something(db: &mut Db) -> QueryResult<bool> {
    let counts = [
        people::table.count().get_result::<i64>(db)?,
        customers::table.count().get_result::<i64>(db)?,
        jobs::table.count().get_result::<i64>(db)?,
        parts::table.count().get_result::<i64>(db)?,
        stock::table.count().get_result::<i64>(db)?,
        photos::table.count().get_result::<i64>(db)?,
        texts::table.count().get_result::<i64>(db)?,
    ];
    Ok(counts.iter().any(|count| *count > 0))
}

fn damaged(path: &Path, why: &str) -> StoreError {
    StoreError::Damaged { path: path.to_owned(), why: why.to_owned() }
}

/// Whether all files are there and are those that were written.
fn check_files(folder: &Path) -> Result<(), StoreError> {
    let path = folder.join(MANIFEST);
    let text = std::fs::read_to_string(&path).map_err(|error| StoreError::file(&path, &error))?;
    let manifest: Manifest =
        serde_json::from_str(&text).map_err(|error| damaged(&path, &error.to_string()))?;
    if manifest.format != FORMAT {
        return Err(damaged(&path, "it is not the manifest of an export"));
    }
    if manifest.format_version > FORMAT_VERSION || manifest.tables_version > NEWEST {
        return Err(StoreError::Newer { found: manifest.tables_version, known: NEWEST });
    }
    for (name, hash) in &manifest.files {
        let plain = Path::new(name).components().count() == 1 && !name.starts_with('.');
        let path = folder.join(name);
        if !plain {
            return Err(damaged(&path, "a file of an export lies in its folder"));
        }
        if hash_of_file(&path)? != *hash {
            return Err(damaged(&path, "it was changed after it was written"));
        }
    }
    Ok(())
}

fn hash_of_file(path: &Path) -> Result<String, StoreError> {
    let refuse = |error: std::io::Error| StoreError::file(path, &error);
    let mut file = File::open(path).map_err(refuse)?;
    let mut hash = Sha256::new();
    let mut piece = vec![0; 64 * 1024];
    loop {
        let count = file.read(&mut piece).map_err(refuse)?;
        if count == 0 {
            return Ok(format!("{:x}", hash.finalize()));
        }
        hash.update(&piece[..count]);
    }
}

fn read_tables(db: &mut Db, folder: &Path) -> Result<(), Stop> {
    each(folder, "people", |row: PersonRecord| diesel::insert_into(people::table).values(&row).execute(db))?;
    each(folder, "skills", |row: SkillRecord| diesel::insert_into(skills::table).values(&row).execute(db))?;
    each(folder, "tablets", |row: TabletRecord| {
        diesel::insert_into(tablets::table).values(&row).execute(db)
    })?;
    each(folder, "customers", |row: CustomerRecord| {
        diesel::insert_into(customers::table).values(&row).execute(db)
    })?;
    each(folder, "bikes", |row: BikeRecord| diesel::insert_into(bikes::table).values(&row).execute(db))?;
    each(folder, "jobs", |row: JobRecord| diesel::insert_into(jobs::table).values(&row).execute(db))?;
    read_entries(db, folder)?;
    each(folder, "parts", |row: CatalogueRecord| diesel::insert_into(parts::table).values(&row).execute(db))?;
    each(folder, "stock", |row: StockRecord| diesel::insert_into(stock::table).values(&row).execute(db))?;
    each(folder, "texts", |row: TextRecord| diesel::insert_into(texts::table).values(&row).execute(db))
}

fn read_entries(db: &mut Db, folder: &Path) -> Result<(), Stop> {
    let path = folder.join("entries.jsonl");
    each_line(&path, |number, text| {
        let place = || format!("`{}`, line {number}", path.display());
        let line: EntryLine = serde_json::from_str(text).map_err(|error| {
            let entry = serde_json::from_str::<serde_json::Value>(text)
                .ok()
                .and_then(|value| value.get("entry").map(serde_json::Value::to_string));
            match entry.map(|entry| read_entry(&entry)) {
                Some(Err(error)) => StoreError::Record { place: place(), error },
                _ => damaged(&path, &format!("line {number}: {error}")),
            }
        })?;
        let row = EntryRow::of(&line.job, line.seq, &line.entry, Moment(line.kept_ms))?;
        diesel::insert_into(entries::table).values(&row).execute(db)?;
        Ok(())
    })
}

fn read_photos(db: &mut Db, folder: &Path) -> Result<(), Stop> {
    let path = folder.join("photos.jsonl");
    each_line(&path, |number, text| {
        let record: PhotoRecord =
            serde_json::from_str(text).map_err(|error| damaged(&path, &format!("line {number}: {error}")))?;
        let is_hash = record.hash.len() == 64 && record.hash.bytes().all(|byte| byte.is_ascii_hexdigit());
        if !is_hash {
            return Err(damaged(&path, &format!("line {number}: `{}` is no SHA-256", record.hash)).into());
        }
        let file = folder.join("photos").join(photo_name(&record.hash, &record.media_type));
        let bytes = std::fs::read(&file).map_err(|error| StoreError::file(&file, &error))?;
        if hash_of(&bytes) != record.hash {
            return Err(damaged(&file, "its bytes are not those that its name says").into());
        }
        insert_photo(db, &record, &bytes)?;
        Ok(())
    })?;
    each(folder, "job_photos", |row: JobPhotoRecord| {
        diesel::insert_into(job_photos::table).values(&row).execute(db)
    })
}

/// Every line of a table.
fn each<T: DeserializeOwned>(
    folder: &Path,
    table: &str,
    mut insert: impl FnMut(T) -> QueryResult<usize>,
) -> Result<(), Stop> {
    let path = folder.join(format!("{table}.jsonl"));
    each_line(&path, |number, text| {
        let row: T =
            serde_json::from_str(text).map_err(|error| damaged(&path, &format!("line {number}: {error}")))?;
        insert(row)?;
        Ok(())
    })
}

fn each_line(path: &Path, mut work: impl FnMut(usize, &str) -> Result<(), Stop>) -> Result<(), Stop> {
    let file = File::open(path).map_err(|error| StoreError::file(path, &error))?;
    for (number, line) in (1..).zip(BufReader::new(file).lines()) {
        let line = line.map_err(|error| StoreError::file(path, &error))?;
        work(number, &line).map_err(|stop| match stop {
            Stop::Fault(Fault::DatabaseError(
                kind @ (DatabaseErrorKind::UniqueViolation | DatabaseErrorKind::ForeignKeyViolation),
                _,
            )) => {
                let why = match kind {
                    DatabaseErrorKind::UniqueViolation => "stands there twice",
                    _ => "names something that is not there",
                };
                damaged(path, &format!("line {number} {why}")).into()
            }
            stop => stop,
        })?;
    }
    Ok(())
}
