//! Photos and recorded rides, known by what is in them: the same picture is kept once, and one that changed is another.

use crate::error::StoreError;
use crate::people::{found, new_id};
use crate::shelf::Store;
use crate::tables::{job_photos, jobs, photos};
use crate::text::{note, said};
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use shop::Moment;

/// Most bytes of a photo: what the camera of a tablet makes, with room.
pub const MOST_PHOTO_BYTES: usize = 12 * 1024 * 1024;

/// A photo without its bytes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable)]
#[diesel(table_name = photos)]
#[serde(deny_unknown_fields)]
pub struct PhotoRecord {
    /// SHA-256 of its bytes, digits of base 16: its key.
    pub hash: String,
    /// `image/jpeg`, `image/png` or `image/webp`, as its bytes say.
    pub media_type: String,
    /// How many bytes it has.
    pub size_bytes: i64,
    /// When it was kept, milliseconds since 1970.
    pub kept_ms: i64,
}

/// A photo of a job.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = job_photos)]
#[serde(deny_unknown_fields)]
pub struct JobPhotoRecord {
    /// Key.
    pub id: String,
    /// Key of the job.
    pub job: String,
    /// Hash of the photo.
    pub photo: String,
    /// What it shows.
    pub about: String,
    /// Who took it.
    pub person: String,
    /// When, milliseconds since 1970.
    pub at_ms: i64,
}

/// Most bytes of a recorded ride: a day of a record a second takes 12 MB.
pub const MOST_RIDE_BYTES: usize = 16 * 1024 * 1024;

/// The media type that the first bytes say: of a picture, or of a recorded ride.
pub(crate) fn media_type(bytes: &[u8]) -> Option<&'static str> {
    picture_type(bytes).or_else(|| ride_type(bytes))
}

fn ride_type(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [_, _, _, _, _, _, _, _, b'.', b'F', b'I', b'T', ..] => Some("application/vnd.ant.fit"),
        [b'<', ..] | [0xEF, 0xBB, 0xBF, b'<', ..] => Some("application/gpx+xml"),
        _ => None,
    }
}

fn picture_type(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0xFF, 0xD8, 0xFF, ..] => Some("image/jpeg"),
        [0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, ..] => Some("image/png"),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some("image/webp"),
        _ => None,
    }
}

/// The ending of a file of this media type.
pub(crate) fn ending(media_type: &str) -> &'static str {
    match media_type {
        "image/png" => "png",
        "image/webp" => "webp",
        "application/vnd.ant.fit" => "fit",
        "application/gpx+xml" => "gpx",
        _ => "jpg",
    }
}

/// The key of bytes.
pub(crate) fn hash_of(bytes: &[u8]) -> String {
    format!("{:x}", Sha256::digest(bytes))
}

impl Store {
    /// Keeps a photo. The same bytes again change nothing.
    ///
    /// # Errors
    /// [`StoreError::Refused`] if it is too large, or no JPEG, PNG or WebP picture.
    pub fn keep_photo(&self, bytes: &[u8], now: Moment) -> Result<PhotoRecord, StoreError> {
        let refuse = |why| StoreError::Refused { what: "photo", why };
        if bytes.len() > MOST_PHOTO_BYTES {
            let why = format!("{} bytes were found; at most {MOST_PHOTO_BYTES} are taken", bytes.len());
            return Err(refuse(why));
        }
        let Some(media_type) = picture_type(bytes) else {
            return Err(refuse(
                "its bytes are no JPEG, PNG or WebP picture; one of these is wanted".to_owned(),
            ));
        };
        self.keep_bytes(bytes, media_type, now)
    }

    /// Keeps the file of a recorded ride, as a photo is kept. Whether there is a ride in it is seen by who reads it.
    ///
    /// # Errors
    /// [`StoreError::Refused`] if it is too large, or begins as neither GPX nor FIT does.
    pub fn keep_ride(&self, bytes: &[u8], now: Moment) -> Result<PhotoRecord, StoreError> {
        let refuse = |why| StoreError::Refused { what: "recorded ride", why };
        if bytes.len() > MOST_RIDE_BYTES {
            let why = format!("{} bytes were found; at most {MOST_RIDE_BYTES} are taken", bytes.len());
            return Err(refuse(why));
        }
        match ride_type(bytes) {
            Some(media_type) => self.keep_bytes(bytes, media_type, now),
            None => Err(refuse("it begins as neither GPX nor FIT does; one of these is wanted".to_owned())),
        }
    }

    fn keep_bytes(
        &self,
        bytes: &[u8],
        media_type: &'static str,
        now: Moment,
    ) -> Result<PhotoRecord, StoreError> {
        let record = PhotoRecord {
            hash: hash_of(bytes),
            media_type: media_type.to_owned(),
            size_bytes: bytes.len() as i64,
            kept_ms: now.0,
        };
        self.write(|db| {
            let known = photos::table.filter(photos::hash.eq(&record.hash)).select(PhotoRecord::as_select());
            if let Some(known) = known.first(db).optional()? {
                return Ok(known);
            }
            insert_photo(db, &record, bytes)?;
            Ok(record.clone())
        })
    }

    /// The bytes of a photo with its media type.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn photo(&self, hash: &str) -> Result<Option<(PhotoRecord, Vec<u8>)>, StoreError> {
        self.read(|db| {
            let found = photos::table.filter(photos::hash.eq(hash));
            found.select((PhotoRecord::as_select(), photos::bytes)).first(db).optional()
        })
    }

    /// Puts a photo to a job.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] without the job or the photo, [`StoreError::Refused`] without a person.
    pub fn attach_photo(
        &self,
        job: &str,
        hash: &str,
        about: &str,
        by: &str,
        now: Moment,
    ) -> Result<JobPhotoRecord, StoreError> {
        let record = JobPhotoRecord {
            id: new_id(),
            job: job.to_owned(),
            photo: hash.to_owned(),
            about: note("what a photo shows", about)?,
            person: said("name of a person", by)?,
            at_ms: now.0,
        };
        self.write(|db| {
            let known = jobs::table.filter(jobs::id.eq(job)).count().get_result::<i64>(db)?;
            found(usize::from(known > 0), "job", job)?;
            let known = photos::table.filter(photos::hash.eq(hash)).count().get_result::<i64>(db)?;
            found(usize::from(known > 0), "photo", hash)?;
            diesel::insert_into(job_photos::table).values(&record).execute(db)?;
            Ok(())
        })?;
        Ok(record)
    }

    /// The photos of a job, in the order in which they were put there.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn photos_of(&self, job: &str) -> Result<Vec<JobPhotoRecord>, StoreError> {
        self.read(|db| {
            let found = job_photos::table.filter(job_photos::job.eq(job));
            found.order((job_photos::at_ms, job_photos::id)).select(JobPhotoRecord::as_select()).load(db)
        })
    }
}

pub(crate) fn insert_photo(
    db: &mut crate::connection::Db,
    record: &PhotoRecord,
    bytes: &[u8],
) -> QueryResult<usize> {
    let row = (
        photos::hash.eq(&record.hash),
        photos::media_type.eq(&record.media_type),
        photos::size_bytes.eq(record.size_bytes),
        photos::bytes.eq(bytes),
        photos::kept_ms.eq(record.kept_ms),
    );
    diesel::insert_into(photos::table).values(row).execute(db)
}
