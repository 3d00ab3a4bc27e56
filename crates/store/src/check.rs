//! Whether everything that was kept is whole: the database itself, every job from its first entry, every photo.

use crate::connection::Db;
use crate::error::StoreError;
use crate::job::{JobRecord, rows_from};
use crate::photo::{hash_of, media_type};
use crate::shelf::{Stop, Store};
use crate::stock::CatalogueRecord;
use crate::tables::{jobs, parts, photos};
use diesel::prelude::*;
use shop::{Entry, Job, Stage};

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CheckReport {
    /// How many jobs were replayed.
    pub jobs: usize,
    /// How many entries they have.
    pub entries: usize,
    /// How many photos were compared with their hash.
    pub photos: usize,
    /// Everything that is wrong, in words. Empty: it is sound.
    pub faults: Vec<String>,
}

impl Store {
    /// Checks everything, while the shop works. It changes nothing.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer. What is wrong with what it answers is in the report.
    pub fn check(&self) -> Result<CheckReport, StoreError> {
        self.read_at_once(check_in)
    }
}

pub(crate) fn check_in(db: &mut Db) -> Result<CheckReport, Stop> {
    let mut report = CheckReport { faults: db.faults()?, ..CheckReport::default() };
    let all: Vec<JobRecord> = jobs::table.select(JobRecord::as_select()).load(db)?;
    for job in all {
        check_job(db, &job, &mut report)?;
    }
    let hashes: Vec<String> = photos::table.select(photos::hash).order(photos::hash).load(db)?;
    for hash in hashes {
        let row = photos::table.filter(photos::hash.eq(&hash));
        let (bytes, size): (Vec<u8>, i64) = row.select((photos::bytes, photos::size_bytes)).first(db)?;
        report.photos += 1;
        if hash_of(&bytes) != hash || bytes.len() as i64 != size || media_type(&bytes).is_none() {
            report.faults.push(format!("photo {hash}: its bytes are not those that were kept"));
        }
    }
    let all: Vec<CatalogueRecord> = parts::table.select(CatalogueRecord::as_select()).load(db)?;
    for part in all {
        if let Err(error) = part.part() {
            report.faults.push(error.to_string());
        }
    }
    Ok(report)
}

fn check_job(db: &mut Db, job: &JobRecord, report: &mut CheckReport) -> Result<(), Stop> {
    let rows = rows_from(db, &job.id, 0)?;
    report.jobs += 1;
    report.entries += rows.len();
    let number = job.number();
    if let Some((place, row)) = (0..).zip(&rows).find(|(place, row)| row.seq != *place) {
        report.faults.push(format!("job {number}: entry {place} is missing, {} follows", row.seq));
    }
    if rows.len() as i64 != job.version {
        report.faults.push(format!("job {number}: {} entries, but {} were kept", rows.len(), job.version));
    }
    if !Stage::ALL.iter().any(|stage| stage.key() == job.stage) {
        report.faults.push(format!("job {number}: `{}` is no stage", job.stage));
    }
    let entries: Result<Vec<Entry>, StoreError> = rows.iter().map(|row| row.entry()).collect();
    match entries {
        Ok(entries) => {
            let count = entries.len();
            let replayed = Job::replay(entries).version();
            if replayed != count {
                report.faults.push(format!("job {number}: {count} entries, but {replayed} different keys"));
            }
        }
        Err(error) => report.faults.push(format!("job {number}: {error}")),
    }
    Ok(())
}
