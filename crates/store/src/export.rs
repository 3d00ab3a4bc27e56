//! Everything in open files: a folder of JSON lines with their schema, CSV for a spreadsheet, photos as files.
//!
//! Two stores that hold the same give the same bytes, whatever kind of database they are kept in. Sessions are left
//! out: they are no record, and signing in again makes new ones.

use crate::connection::Db;
use crate::customer::{BikeRecord, CustomerRecord};
use crate::error::StoreError;
use crate::job::{JobRecord, rows_from};
use crate::migration::NEWEST;
use crate::people::{PersonRecord, SkillRecord, TabletRecord};
use crate::photo::{JobPhotoRecord, PhotoRecord, ending};
use crate::record::EntryRecord;
use crate::shelf::{Stop, Store};
use crate::stock::{CatalogueRecord, StockRecord};
use crate::tables::{
    bikes, customers, job_photos, jobs, parts, people, photos, skills, stock, tablets, texts,
};
use crate::text::TextRecord;
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

/// What stands in the manifest of every export.
pub(crate) const FORMAT: &str = "cogwright store, open files";
/// The version of the form of an export.
pub(crate) const FORMAT_VERSION: u32 = 1;
/// The file that says what belongs to an export.
pub(crate) const MANIFEST: &str = "store.json";

/// What belongs to an export.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Manifest {
    /// What it is.
    pub(crate) format: String,
    /// The version of its form.
    pub(crate) format_version: u32,
    /// The version of the tables that it was written from.
    pub(crate) tables_version: i64,
    /// SHA-256 of every file but the photos, whose names are theirs.
    pub(crate) files: BTreeMap<String, String>,
}

/// A line of `entries.jsonl`.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct EntryLine {
    /// Key of the job.
    pub(crate) job: String,
    /// Its place in the list of the job, from 0.
    pub(crate) seq: i64,
    /// When it was kept, milliseconds since 1970.
    pub(crate) kept_ms: i64,
    /// The entry.
    pub(crate) entry: EntryRecord,
}

impl Store {
    /// Writes everything to a new folder of open files, as it is at one moment, while the shop works.
    ///
    /// # Errors
    /// [`StoreError::NotEmpty`] if the folder is there and holds something; [`StoreError`] if a file cannot be written.
    pub fn export(&self, folder: &Path) -> Result<(), StoreError> {
        let part = beside(folder, "part");
        must_be_free(folder)?;
        // What an export that was cut off left behind.
        remove(&part)?;
        make(&part)?;
        let mut sink = Sink { folder: part.clone(), files: BTreeMap::new() };
        self.read_at_once(|db| {
            write_tables(db, &mut sink)?;
            write_photos(db, &sink)
        })?;
        sink.schemas()?;
        sink.manifest()?;
        // An empty folder may be there already.
        let rename = |error| StoreError::file(folder, &error);
        if folder.exists() {
            std::fs::remove_dir(folder).map_err(rename)?;
        }
        std::fs::rename(&part, folder).map_err(rename)?;
        sync_name(folder)
    }
}

fn write_tables(db: &mut Db, sink: &mut Sink) -> Result<(), Stop> {
    let mut all: Vec<PersonRecord> = people::table.select(PersonRecord::as_select()).load(db)?;
    all.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("people", &all)?;
    let mut all: Vec<SkillRecord> = skills::table.select(SkillRecord::as_select()).load(db)?;
    all.sort_by(|a, b| (&a.person, &a.operation).cmp(&(&b.person, &b.operation)));
    sink.lines("skills", &all)?;
    let mut all: Vec<TabletRecord> = tablets::table.select(TabletRecord::as_select()).load(db)?;
    all.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("tablets", &all)?;
    let mut owners: Vec<CustomerRecord> = customers::table.select(CustomerRecord::as_select()).load(db)?;
    owners.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("customers", &owners)?;
    let mut ridden: Vec<BikeRecord> = bikes::table.select(BikeRecord::as_select()).load(db)?;
    ridden.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("bikes", &ridden)?;
    let mut all_jobs: Vec<JobRecord> = jobs::table.select(JobRecord::as_select()).load(db)?;
    all_jobs.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("jobs", &all_jobs)?;
    write_entries(db, sink, &all_jobs)?;
    let mut catalogue: Vec<CatalogueRecord> = parts::table.select(CatalogueRecord::as_select()).load(db)?;
    catalogue.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("parts", &catalogue)?;
    let mut all: Vec<StockRecord> = stock::table.select(StockRecord::as_select()).load(db)?;
    all.sort_by(|a, b| a.part.cmp(&b.part));
    sink.lines("stock", &all)?;
    let mut all: Vec<PhotoRecord> = photos::table.select(PhotoRecord::as_select()).load(db)?;
    all.sort_by(|a, b| a.hash.cmp(&b.hash));
    sink.lines("photos", &all)?;
    let mut all: Vec<JobPhotoRecord> = job_photos::table.select(JobPhotoRecord::as_select()).load(db)?;
    all.sort_by(|a, b| a.id.cmp(&b.id));
    sink.lines("job_photos", &all)?;
    let mut all: Vec<TextRecord> = texts::table.select(TextRecord::as_select()).load(db)?;
    all.sort_by(|a, b| (&a.text_key, &a.language, a.version).cmp(&(&b.text_key, &b.language, b.version)));
    sink.lines("texts", &all)?;
    Ok(write_sheets(sink, &owners, &ridden, &all_jobs, &catalogue)?)
}

fn write_entries(db: &mut Db, sink: &mut Sink, all_jobs: &[JobRecord]) -> Result<(), Stop> {
    let mut file = sink.begin("entries.jsonl")?;
    for job in all_jobs {
        for row in rows_from(db, &job.id, 0)? {
            let entry = row.record()?;
            file.line(&EntryLine { job: row.job, seq: row.seq, kept_ms: row.kept_ms, entry })?;
        }
    }
    Ok(sink.end(file)?)
}

fn write_photos(db: &mut Db, sink: &Sink) -> Result<(), Stop> {
    let folder = sink.folder.join("photos");
    make(&folder)?;
    let all: Vec<(String, String)> = photos::table.select((photos::hash, photos::media_type)).load(db)?;
    for (hash, media_type) in all {
        let row = photos::table.filter(photos::hash.eq(&hash));
        let bytes: Vec<u8> = row.select(photos::bytes).first(db)?;
        write_file(&folder.join(photo_name(&hash, &media_type)), &bytes)?;
    }
    Ok(())
}

/// The name of the file of a photo.
pub(crate) fn photo_name(hash: &str, media_type: &str) -> String {
    format!("{hash}.{}", ending(media_type))
}

/// Tables for a spreadsheet. They are for reading; what is read back are the JSON lines.
fn write_sheets(
    sink: &mut Sink,
    owners: &[CustomerRecord],
    ridden: &[BikeRecord],
    all_jobs: &[JobRecord],
    catalogue: &[CatalogueRecord],
) -> Result<(), StoreError> {
    let name_of: BTreeMap<&str, &str> = owners.iter().map(|c| (c.id.as_str(), c.name.as_str())).collect();
    let bike_of: BTreeMap<&str, &str> = ridden.iter().map(|b| (b.id.as_str(), b.name.as_str())).collect();
    let name = |id: &str| name_of.get(id).copied().unwrap_or_default().to_owned();
    sink.sheet(
        "customers.csv",
        &["id", "name", "phone", "mail", "words"],
        owners
            .iter()
            .map(|c| vec![c.id.clone(), c.name.clone(), c.phone.clone(), c.mail.clone(), c.words.clone()]),
    )?;
    sink.sheet(
        "bikes.csv",
        &["id", "customer", "name", "frame_number", "words"],
        ridden.iter().map(|b| {
            vec![b.id.clone(), name(&b.customer), b.name.clone(), b.frame_number.clone(), b.words.clone()]
        }),
    )?;
    sink.sheet(
        "jobs.csv",
        &["number", "name", "customer", "bike", "stage", "held", "promised_day", "entries"],
        all_jobs.iter().map(|job| {
            let bike = job.bike.as_deref().and_then(|bike| bike_of.get(bike).copied()).unwrap_or_default();
            let promised = job.promised_day.map(|day| day.to_string()).unwrap_or_default();
            vec![
                job.number(),
                job.name.clone(),
                name(&job.customer),
                bike.to_owned(),
                job.stage.clone(),
                job.held.clone(),
                promised,
                job.version.to_string(),
            ]
        }),
    )?;
    let mut rows = Vec::new();
    for record in catalogue {
        let part = record.part()?;
        rows.push(vec![
            record.id.clone(),
            record.slot.clone(),
            record.name.clone(),
            part.price().map(|price| price.to_string().replace('−', "-")).unwrap_or_default(),
            part.mass().map(|mass| mass.to_grams().to_string()).unwrap_or_default(),
            part.lead_days().map(|days| days.to_string()).unwrap_or_default(),
        ]);
    }
    sink.sheet("catalogue.csv", &["id", "slot", "name", "price", "mass_g", "lead_days"], rows.into_iter())
}

/// The folder that an export is written to.
struct Sink {
    folder: PathBuf,
    files: BTreeMap<String, String>,
}

/// A file of an export, hashed as it is written.
struct Lines {
    name: String,
    path: PathBuf,
    file: BufWriter<File>,
    hash: Sha256,
}

impl Lines {
    fn put(&mut self, bytes: &[u8]) -> Result<(), StoreError> {
        self.hash.update(bytes);
        self.file.write_all(bytes).map_err(|error| StoreError::file(&self.path, &error))
    }

    fn line<T: Serialize>(&mut self, row: &T) -> Result<(), StoreError> {
        let mut text = serde_json::to_vec(row).map_err(|error| self.fault(&error.to_string()))?;
        text.push(b'\n');
        self.put(&text)
    }

    fn fault(&self, why: &str) -> StoreError {
        StoreError::File { path: self.path.clone(), why: why.to_owned() }
    }
}

impl Sink {
    fn begin(&self, name: &str) -> Result<Lines, StoreError> {
        let path = self.folder.join(name);
        let file = File::create(&path).map_err(|error| StoreError::file(&path, &error))?;
        Ok(Lines { name: name.to_owned(), path, file: BufWriter::new(file), hash: Sha256::new() })
    }

    fn end(&mut self, mut lines: Lines) -> Result<(), StoreError> {
        let path = lines.path.clone();
        let synced = lines.file.flush().and_then(|()| lines.file.get_ref().sync_all());
        synced.map_err(|error| StoreError::file(&path, &error))?;
        self.files.insert(lines.name, format!("{:x}", lines.hash.finalize()));
        Ok(())
    }

    fn lines<T: Serialize>(&mut self, table: &str, rows: &[T]) -> Result<(), StoreError> {
        let mut file = self.begin(&format!("{table}.jsonl"))?;
        for row in rows {
            file.line(row)?;
        }
        self.end(file)
    }

    fn sheet(
        &mut self,
        name: &str,
        titles: &[&str],
        rows: impl Iterator<Item = Vec<String>>,
    ) -> Result<(), StoreError> {
        let mut lines = self.begin(name)?;
        let mut writer = csv::Writer::from_writer(Vec::new());
        let refuse = |error: &str| StoreError::File { path: PathBuf::from(name), why: error.to_owned() };
        writer.write_record(titles).map_err(|error| refuse(&error.to_string()))?;
        for row in rows {
            let cells = row.iter().map(|cell| plain_cell(cell));
            writer.write_record(cells).map_err(|error| refuse(&error.to_string()))?;
        }
        let bytes = writer.into_inner().map_err(|error| refuse(&error.to_string()))?;
        lines.put(&bytes)?;
        self.end(lines)
    }

    fn schemas(&mut self) -> Result<(), StoreError> {
        for (table, schema) in [
            ("people", schemars::schema_for!(PersonRecord)),
            ("skills", schemars::schema_for!(SkillRecord)),
            ("tablets", schemars::schema_for!(TabletRecord)),
            ("customers", schemars::schema_for!(CustomerRecord)),
            ("bikes", schemars::schema_for!(BikeRecord)),
            ("jobs", schemars::schema_for!(JobRecord)),
            ("entries", schemars::schema_for!(EntryLine)),
            ("parts", schemars::schema_for!(CatalogueRecord)),
            ("stock", schemars::schema_for!(StockRecord)),
            ("photos", schemars::schema_for!(PhotoRecord)),
            ("job_photos", schemars::schema_for!(JobPhotoRecord)),
            ("texts", schemars::schema_for!(TextRecord)),
        ] {
            let mut file = self.begin(&format!("{table}.schema.json"))?;
            let text = serde_json::to_vec_pretty(&schema).map_err(|error| file.fault(&error.to_string()))?;
            file.put(&text)?;
            self.end(file)?;
        }
        Ok(())
    }

    fn manifest(&self) -> Result<(), StoreError> {
        let manifest = Manifest {
            format: FORMAT.to_owned(),
            format_version: FORMAT_VERSION,
            tables_version: NEWEST,
            files: self.files.clone(),
        };
        let path = self.folder.join(MANIFEST);
        let text = serde_json::to_vec_pretty(&manifest)
            .map_err(|error| StoreError::File { path: path.clone(), why: error.to_string() })?;
        write_file(&path, &text)
    }
}

/// A cell that no spreadsheet takes for a formula.
fn plain_cell(cell: &str) -> String {
    if cell.starts_with(['=', '+', '@', '\t', '\r']) { format!("'{cell}") } else { cell.to_owned() }
}

fn write_file(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let write = || {
        let mut file = File::create(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    };
    write().map_err(|error| StoreError::file(path, &error))
}

/// Writes the name of a file or folder through to the disk, where the system does that by its folder.
pub(crate) fn sync_name(path: &Path) -> Result<(), StoreError> {
    let above = path.parent().filter(|above| !above.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if cfg!(unix) {
        let synced = File::open(above).and_then(|folder| folder.sync_all());
        synced.map_err(|error| StoreError::file(above, &error))?;
    }
    Ok(())
}

/// A path next to another one, for what is not whole yet.
pub(crate) fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.file_name().map(ToOwned::to_owned).unwrap_or_default();
    name.push(".");
    name.push(end);
    path.with_file_name(name)
}

/// Refuses a path where something is.
pub(crate) fn must_be_free(path: &Path) -> Result<(), StoreError> {
    let empty = match std::fs::read_dir(path) {
        Ok(mut all) => all.next().is_none(),
        Err(_) => !path.exists(),
    };
    if empty { Ok(()) } else { Err(StoreError::NotEmpty { place: format!("`{}`", path.display()) }) }
}

pub(crate) fn make(folder: &Path) -> Result<(), StoreError> {
    std::fs::create_dir_all(folder).map_err(|error| StoreError::file(folder, &error))
}

/// Removes a file or a folder of ours, if it is there.
pub(crate) fn remove(path: &Path) -> Result<(), StoreError> {
    let removed = if path.is_dir() {
        std::fs::remove_dir_all(path)
    } else if path.exists() {
        std::fs::remove_file(path)
    } else {
        Ok(())
    };
    removed.map_err(|error| StoreError::file(path, &error))
}
