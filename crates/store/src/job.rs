//! Jobs: opened, added to, read back, listed. Begin with [`Store::append`].
//!
//! A job is its entries. Stage, promised date and what holds it stand beside them only so that a list is quick; they
//! are written in the same transaction as the entries that changed them. Entries are never changed or taken away; their
//! order is the order in which they were kept, so a clock set back changes nothing.

use crate::connection::Db;
use crate::customer::{MOST_LINES, range_of};
use crate::error::StoreError;
use crate::people::{found, new_id};
use crate::record::{EntryRecord, EventRecord, read_event};
use crate::shelf::{Stop, Store};
use crate::tables::{bikes, customers, entries, jobs};
use crate::text::{said, without_control};
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::{Entry, Job, Moment, Stage};
use std::collections::BTreeMap;

/// Most entries in one call.
pub const MOST_ENTRIES: usize = 2_000;

/// Customers whose jobs one search shows.
const MOST_OWNERS: i64 = 50;

/// A job, without its entries.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = jobs)]
#[serde(deny_unknown_fields)]
pub struct JobRecord {
    /// Key.
    pub id: String,
    /// The branch that opened it: the letters before its number.
    pub branch: String,
    /// Its number in the branch, from 1.
    pub serial: i64,
    /// What it is called.
    pub name: String,
    /// Key of the customer.
    pub customer: String,
    /// Key of the bike, once it is known.
    pub bike: Option<String>,
    /// How many entries it has.
    pub version: i64,
    /// Its stage as it was worked out with the last entry.
    pub stage: String,
    /// Since when it is in this stage, milliseconds since 1970.
    pub stage_since_ms: i64,
    /// What holds it, in words; empty if nothing does.
    pub held: String,
    /// The day that was promised, days since 1970-01-01.
    pub promised_day: Option<i64>,
    /// When it was opened.
    pub opened_ms: i64,
    /// When something was last kept.
    pub changed_ms: i64,
}

/// How a job stands, worked out by the caller with the plan of the moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The stage.
    pub stage: Stage,
    /// What holds it, in words; empty if nothing does.
    pub held: String,
    /// The day that was promised, days since 1970-01-01.
    pub promised_day: Option<i64>,
}

/// A job that shall be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewJob {
    /// The branch, such as `A`: capital letters.
    pub branch: String,
    /// What it is called.
    pub name: String,
    /// Key of the customer.
    pub customer: String,
    /// Key of the bike, if it is known.
    pub bike: Option<String>,
}

/// Entries that shall go to the end of a job.
#[derive(Clone, Debug)]
pub struct Append<'a> {
    /// Key of the job.
    pub job: &'a str,
    /// The version that they were judged with: how many entries the job had then.
    pub expected: usize,
    /// The entries.
    pub entries: &'a [Entry],
    /// How the job stands with them.
    pub standing: &'a Standing,
    /// Now.
    pub now: Moment,
}

/// What became of entries that were not refused.
#[derive(Clone, Debug, PartialEq)]
pub enum Appended {
    /// They are on the disk, now or since an earlier call with the same keys.
    Kept {
        /// Where each of them stands in the list.
        places: Vec<usize>,
        /// How many entries the job had after the last of them.
        version: usize,
    },
    /// Somebody else came first: nothing was kept. Judge again with what came in between.
    Conflict {
        /// How many entries the job has.
        version: usize,
        /// The entries that came in between, without those of this call.
        since: Vec<Entry>,
    },
}

/// A job with its entries.
#[derive(Clone, Debug)]
pub struct OpenJob {
    /// What stands beside the entries.
    pub record: JobRecord,
    /// The entries and the state that follows from them.
    pub job: Job,
}

/// A line of a list of jobs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobLine {
    /// The job.
    pub job: JobRecord,
    /// Name of the customer.
    pub customer: String,
    /// Name of the bike, if it is known.
    pub bike: Option<String>,
}

/// Which jobs a list shows. The one that changed last comes first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Which {
    /// All.
    All,
    /// Those in a stage.
    In(Stage),
    /// Those of a customer.
    OfCustomer(String),
    /// Those of a bike: its history.
    OfBike(String),
}

/// The last line of a page: the next page begins after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// When its job changed.
    pub changed_ms: i64,
    /// The key of its job.
    pub id: String,
}

#[derive(Clone, Debug, PartialEq, Queryable, Selectable, Insertable)]
#[diesel(table_name = entries)]
pub(crate) struct EntryRow {
    pub(crate) job: String,
    pub(crate) seq: i64,
    pub(crate) entry_key: String,
    pub(crate) at_ms: i64,
    pub(crate) person: String,
    pub(crate) kind: String,
    pub(crate) event: String,
    pub(crate) kept_ms: i64,
}

impl EntryRow {
    pub(crate) fn of(job: &str, seq: i64, record: &EntryRecord, now: Moment) -> Result<Self, StoreError> {
        let form = |why: serde_json::Error| StoreError::Refused { what: "entry", why: why.to_string() };
        let value = serde_json::to_value(&record.event).map_err(form)?;
        let kind = value.get("kind").and_then(|kind| kind.as_str()).unwrap_or_default().to_owned();
        Ok(Self {
            job: job.to_owned(),
            seq,
            entry_key: record.key.clone(),
            at_ms: record.at_ms,
            person: record.by.clone(),
            kind,
            event: serde_json::to_string(&record.event).map_err(form)?,
            kept_ms: now.0,
        })
    }

    pub(crate) fn record(&self) -> Result<EntryRecord, StoreError> {
        let event = read_event(&self.event).map_err(|error| self.fault(error))?;
        Ok(EntryRecord { key: self.entry_key.clone(), at_ms: self.at_ms, by: self.person.clone(), event })
    }

    pub(crate) fn entry(&self) -> Result<Entry, StoreError> {
        self.record()?.entry().map_err(|error| self.fault(error))
    }

    fn fault(&self, error: crate::record::RecordError) -> StoreError {
        StoreError::Record { place: format!("job {}, entry {}", self.job, self.seq), error }
    }
}

impl JobRecord {
    /// The number that stands on the tag, such as `A-17`. Branches have different letters, so it is unique without a
    /// network.
    pub fn number(&self) -> String {
        format!("{}-{}", self.branch, self.serial)
    }

    /// The mark of this job in a list.
    pub fn mark(&self) -> Mark {
        Mark { changed_ms: self.changed_ms, id: self.id.clone() }
    }
}

impl Store {
    /// Opens a job with its first entries and gives it the next number of its branch. Sent again with the same keys, it
    /// gives the job that was opened the first time.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for letters or a name that are none, [`StoreError::NotFound`] without the customer or
    /// the bike, [`StoreError::KeyUsed`] if a key stands on another entry.
    pub fn open_job(
        &self,
        new: &NewJob,
        first: &[Entry],
        standing: &Standing,
        now: Moment,
    ) -> Result<JobRecord, StoreError> {
        let name = said("name of a job", &new.name)?;
        let letters = &new.branch;
        if letters.is_empty() || letters.len() > 6 || !letters.bytes().all(|b| b.is_ascii_uppercase()) {
            let why = format!("`{letters}` was found; 1 to 6 capital letters are wanted");
            return Err(StoreError::Refused { what: "letters of a branch", why });
        }
        let records = records_of(first)?;
        let id = new_id();
        self.write(|db| {
            if let Some(record) = records.first()
                && let Some(known) = row_of_key(db, &record.key)?
            {
                same_tap(&known, record)?;
                return job_of(db, &known.job);
            }
            let known = customers::table.filter(customers::id.eq(&new.customer)).count();
            found(usize::from(known.get_result::<i64>(db)? > 0), "customer", &new.customer)?;
            if let Some(bike) = &new.bike {
                let known = bikes::table.filter(bikes::id.eq(bike)).count().get_result::<i64>(db)?;
                found(usize::from(known > 0), "bike", bike)?;
            }
            let last = jobs::table.filter(jobs::branch.eq(letters)).select(diesel::dsl::max(jobs::serial));
            let record = JobRecord {
                id: id.clone(),
                branch: letters.clone(),
                serial: last.first::<Option<i64>>(db)?.unwrap_or(0) + 1,
                name: name.clone(),
                customer: new.customer.clone(),
                bike: new.bike.clone(),
                version: records.len() as i64,
                stage: standing.stage.key().to_owned(),
                stage_since_ms: now.0,
                held: standing.held.clone(),
                promised_day: standing.promised_day,
                opened_ms: now.0,
                changed_ms: now.0,
            };
            diesel::insert_into(jobs::table).values(&record).execute(db)?;
            insert(db, &record.id, 0, records.iter(), now)?;
            Ok(record)
        })
    }

    /// Puts entries at the end of a job. When this comes back with [`Appended::Kept`] they are on the disk.
    ///
    /// Entries whose key is there already are the same tap sent again: they change nothing and give the same places.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] without the job, [`StoreError::KeyUsed`] if a key stands on another entry.
    pub fn append(&self, append: &Append<'_>) -> Result<Appended, StoreError> {
        let records = records_of(append.entries)?;
        self.write(|db| append_in(db, append, &records))
    }

    /// Writes down how a job stands where no entry changed it: such as after a change of the catalogue.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub fn restand(&self, job: &str, standing: &Standing, now: Moment) -> Result<(), StoreError> {
        self.write(|db| {
            let record = job_of(db, job)?;
            stand(db, &record, record.version, standing, now)
        })
    }

    /// Says which bike a job is for.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] without the job or the bike.
    pub fn set_bike(&self, job: &str, bike: &str) -> Result<(), StoreError> {
        self.write(|db| {
            let known = bikes::table.filter(bikes::id.eq(bike)).count().get_result::<i64>(db)?;
            found(usize::from(known > 0), "bike", bike)?;
            let row = jobs::table.filter(jobs::id.eq(job));
            found(diesel::update(row).set(jobs::bike.eq(bike)).execute(db)?, "job", job)
        })
    }

    /// A job without its entries.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn job_record(&self, id: &str) -> Result<Option<JobRecord>, StoreError> {
        self.read(|db| {
            jobs::table.filter(jobs::id.eq(id)).select(JobRecord::as_select()).first(db).optional()
        })
    }

    /// The job with this number, such as `A-17`.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn job_numbered(&self, number: &str) -> Result<Option<JobRecord>, StoreError> {
        let upper = number.trim().to_uppercase();
        let Some((branch, serial)) = upper.split_once('-') else { return Ok(None) };
        let Ok(serial) = serial.parse::<i64>() else { return Ok(None) };
        self.read(|db| {
            let same = jobs::branch.eq(branch).and(jobs::serial.eq(serial));
            jobs::table.filter(same).select(JobRecord::as_select()).first(db).optional()
        })
    }

    /// A job with its entries and its state, as they were at one moment.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], or [`StoreError::Record`] if an entry is of a newer program.
    pub fn job(&self, id: &str) -> Result<OpenJob, StoreError> {
        let (record, rows) = self.read_at_once(|db| {
            let record = job_of(db, id)?;
            let rows: Vec<EntryRow> = rows_from(db, id, 0)?;
            Ok((record, rows))
        })?;
        let entries = rows.iter().map(EntryRow::entry).collect::<Result<Vec<_>, _>>()?;
        Ok(OpenJob { record, job: Job::replay(entries) })
    }

    /// The entries of a job from a place on: what a page does not know yet.
    ///
    /// # Errors
    /// [`StoreError::Record`] if an entry is of a newer program.
    pub fn entries_from(&self, id: &str, place: usize) -> Result<Vec<Entry>, StoreError> {
        let rows = self.read(|db| rows_from(db, id, place as i64))?;
        rows.iter().map(EntryRow::entry).collect()
    }

    /// A page of jobs, the one that changed last first.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn jobs(
        &self,
        which: &Which,
        after: Option<&Mark>,
        count: usize,
    ) -> Result<Vec<JobLine>, StoreError> {
        let count = i64::try_from(count).unwrap_or(MOST_LINES).clamp(1, MOST_LINES);
        let start = Mark { changed_ms: i64::MAX, id: String::new() };
        let after = after.unwrap_or(&start);
        self.read(|db| {
            let all = jobs::table.select(JobRecord::as_select());
            let next = jobs::changed_ms
                .lt(after.changed_ms)
                .or(jobs::changed_ms.eq(after.changed_ms).and(jobs::id.lt(&after.id)));
            // The first condition lets the index be used; the second cuts off what the last page showed.
            let page = all
                .filter(jobs::changed_ms.le(after.changed_ms))
                .filter(next)
                .order((jobs::changed_ms.desc(), jobs::id.desc()))
                .limit(count);
            let found: Vec<JobRecord> = match which {
                Which::All => page.load(db)?,
                Which::In(stage) => page.filter(jobs::stage.eq(stage.key())).load(db)?,
                Which::OfCustomer(id) => page.filter(jobs::customer.eq(id)).load(db)?,
                Which::OfBike(id) => page.filter(jobs::bike.eq(id)).load(db)?,
            };
            named(db, found)
        })
    }

    /// Jobs by number, or by how the name of the customer begins: those of the first 50 such customers.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn search_jobs(&self, words: &str) -> Result<Vec<JobLine>, StoreError> {
        if let Some(job) = self.job_numbered(words)? {
            return self.read(|db| named(db, vec![job]));
        }
        let (from, to) = range_of(words);
        self.read(|db| {
            // The first few customers of that name: one letter would bring all of them.
            let named_so = customers::name_key.ge(&from).and(customers::name_key.lt(&to));
            let owners: Vec<String> = customers::table
                .filter(named_so)
                .order((customers::name_key, customers::id))
                .limit(MOST_OWNERS)
                .select(customers::id)
                .load(db)?;
            let found = jobs::table
                .filter(jobs::customer.eq_any(owners))
                .order((jobs::changed_ms.desc(), jobs::id.desc()))
                .limit(MOST_LINES)
                .select(JobRecord::as_select())
                .load(db)?;
            named(db, found)
        })
    }

    /// Every job of a branch in these stages. Meant for stages that a shop's hooks keep small.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn jobs_in(&self, branch: &str, stages: &[Stage]) -> Result<Vec<JobRecord>, StoreError> {
        let keys: Vec<&str> = stages.iter().map(|stage| stage.key()).collect();
        self.read(|db| {
            let found = jobs::table.filter(jobs::stage.eq_any(&keys)).filter(jobs::branch.eq(branch));
            found.order(jobs::serial).select(JobRecord::as_select()).load(db)
        })
    }

    /// How many jobs there are in each stage in which a job can still move: what stands in the shop is bounded by its
    /// hooks, what has left it only grows.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn count_open(&self) -> Result<BTreeMap<Stage, usize>, StoreError> {
        let over = [Stage::Collected, Stage::FollowedUp, Stage::SentHome];
        self.read(|db| {
            let mut counts = BTreeMap::new();
            for stage in Stage::ALL.into_iter().filter(|stage| !over.contains(stage)) {
                let count: i64 = jobs::table.filter(jobs::stage.eq(stage.key())).count().get_result(db)?;
                counts.insert(stage, usize::try_from(count).unwrap_or(0));
            }
            Ok(counts)
        })
    }
}

fn records_of(entries: &[Entry]) -> Result<Vec<EntryRecord>, StoreError> {
    if entries.is_empty() || entries.len() > MOST_ENTRIES {
        let why = format!("{} were found; 1 to {MOST_ENTRIES} are wanted", entries.len());
        return Err(StoreError::Refused { what: "entries", why });
    }
    let refuse = |error| StoreError::Record { place: "entry".to_owned(), error };
    let records: Vec<EntryRecord> =
        entries.iter().map(|entry| EntryRecord::of(entry).map_err(refuse)).collect::<Result<_, _>>()?;
    for record in &records {
        without_control("name of a person", &record.by)?;
    }
    let mut keys: Vec<&str> = records.iter().map(|record| record.key.as_str()).collect();
    keys.sort_unstable();
    match keys.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => Err(StoreError::KeyUsed { key: pair[0].to_owned() }),
        None => Ok(records),
    }
}

fn append_in(db: &mut Db, append: &Append<'_>, records: &[EntryRecord]) -> Result<Appended, Stop> {
    let job = job_of(db, append.job)?;
    let mut places: BTreeMap<&str, i64> = BTreeMap::new();
    for record in records {
        if let Some(known) = row_of_key(db, &record.key)? {
            if known.job != append.job {
                return Err(StoreError::KeyUsed { key: record.key.clone() }.into());
            }
            same_tap(&known, record)?;
            places.insert(&record.key, known.seq);
        }
    }
    let fresh: Vec<&EntryRecord> =
        records.iter().filter(|record| !places.contains_key(record.key.as_str())).collect();
    if !fresh.is_empty() {
        let expected = append.expected as i64;
        let since = rows_from(db, append.job, expected)?;
        let since: Vec<&EntryRow> =
            since.iter().filter(|row| !places.contains_key(row.entry_key.as_str())).collect();
        if !since.is_empty() || expected > job.version {
            let since = since.into_iter().map(EntryRow::entry).collect::<Result<_, _>>()?;
            return Ok(Appended::Conflict { version: job.version as usize, since });
        }
        // Another program of the same database may have come in between: then this changes no line, and the whole is
        // done again with what that one kept.
        stand(db, &job, job.version + fresh.len() as i64, append.standing, append.now)?;
        insert(db, append.job, job.version, fresh.iter().copied(), append.now)?;
        places.extend(fresh.iter().zip(job.version..).map(|(record, seq)| (record.key.as_str(), seq)));
    }
    let places: Vec<usize> = records
        .iter()
        .filter_map(|record| places.get(record.key.as_str()))
        .map(|seq| *seq as usize)
        .collect();
    let version = places.iter().max().map_or(0, |last| last + 1);
    Ok(Appended::Kept { places, version })
}

/// Writes the version and the standing, if the job is still as it was read.
fn stand(db: &mut Db, job: &JobRecord, version: i64, standing: &Standing, now: Moment) -> Result<(), Stop> {
    let stage = standing.stage.key();
    let since = if job.stage == stage { job.stage_since_ms } else { now.0 };
    let row = jobs::table.filter(jobs::id.eq(&job.id).and(jobs::version.eq(job.version)));
    let changed = diesel::update(row)
        .set((
            jobs::version.eq(version),
            jobs::stage.eq(stage),
            jobs::stage_since_ms.eq(since),
            jobs::held.eq(&standing.held),
            jobs::promised_day.eq(standing.promised_day),
            jobs::changed_ms.eq(now.0),
        ))
        .execute(db)?;
    if changed == 1 { Ok(()) } else { Err(diesel::result::Error::RollbackTransaction.into()) }
}

fn insert<'a>(
    db: &mut Db,
    job: &str,
    from: i64,
    records: impl Iterator<Item = &'a EntryRecord>,
    now: Moment,
) -> Result<(), Stop> {
    for (record, seq) in records.zip(from..) {
        let row = EntryRow::of(job, seq, record, now)?;
        diesel::insert_into(entries::table).values(&row).execute(db)?;
    }
    Ok(())
}

fn job_of(db: &mut Db, id: &str) -> Result<JobRecord, Stop> {
    let row = jobs::table.filter(jobs::id.eq(id)).select(JobRecord::as_select());
    let record: Option<JobRecord> = row.first(db).optional()?;
    record.ok_or_else(|| StoreError::NotFound { what: "job", key: id.to_owned() }.into())
}

fn row_of_key(db: &mut Db, key: &str) -> QueryResult<Option<EntryRow>> {
    entries::table.filter(entries::entry_key.eq(key)).select(EntryRow::as_select()).first(db).optional()
}

pub(crate) fn rows_from(db: &mut Db, job: &str, from: i64) -> QueryResult<Vec<EntryRow>> {
    let rows = entries::table.filter(entries::job.eq(job).and(entries::seq.ge(from)));
    rows.order(entries::seq).select(EntryRow::as_select()).load(db)
}

/// Whether a repeat says the same: of a step its key, since what it does is said by the book.
fn same_tap(known: &EntryRow, sent: &EntryRecord) -> Result<(), StoreError> {
    let same = match (&known.record()?.event, &sent.event) {
        (EventRecord::Done { step, .. }, EventRecord::Done { step: again, .. }) => step == again,
        (known, sent) => known == sent,
    };
    if same { Ok(()) } else { Err(StoreError::KeyUsed { key: sent.key.clone() }) }
}

/// Jobs with the names of their customers and bikes.
fn named(db: &mut Db, found: Vec<JobRecord>) -> QueryResult<Vec<JobLine>> {
    let owners: Vec<&String> = found.iter().map(|job| &job.customer).collect();
    let wanted = customers::table.filter(customers::id.eq_any(owners));
    let owners: BTreeMap<String, String> =
        wanted.select((customers::id, customers::name)).load(db)?.into_iter().collect();
    let ridden: Vec<&String> = found.iter().filter_map(|job| job.bike.as_ref()).collect();
    let wanted = bikes::table.filter(bikes::id.eq_any(ridden));
    let ridden: BTreeMap<String, String> =
        wanted.select((bikes::id, bikes::name)).load(db)?.into_iter().collect();
    let line = |job: JobRecord| JobLine {
        customer: owners.get(&job.customer).cloned().unwrap_or_default(),
        bike: job.bike.as_ref().and_then(|bike| ridden.get(bike).cloned()),
        job,
    };
    Ok(found.into_iter().map(line).collect())
}
