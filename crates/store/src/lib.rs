//! What the shop keeps: people, customers, bikes, jobs with their entries, catalogue and stock, photos, texts.
//!
//! Begin with [`Store::open`]: a folder with a database file of our own, or one PostgreSQL address for several
//! branches; everything else is the same on both. [`Store::append`] adds to a job and says what came in between;
//! [`record`] is how an entry is written. What is kept comes out whole in open files: [`Store::export`].
//!
//! ```
//! use shop::{Entry, EntryKey, Event, Moment, Person, Stage};
//! use store::{Append, Appended, NewJob, Place, Standing, Store};
//!
//! let folder = tempfile::tempdir()?;
//! let store = Store::open(&Place::Folder(folder.path().join("shop")))?;
//! let customer = store.add_customer("A. Customer", Moment(1))?.id;
//! let tap = |key, event| -> Result<Entry, shop::CheckError> {
//!     Ok(Entry { key: EntryKey(key), at: Moment(2), by: Person::new("counter")?, event })
//! };
//! let words = "easier hills".to_owned();
//! let asked = tap(1, Event::Enquired { name: "gears".into(), customer: "A. Customer".into(), words })?;
//! let standing = Standing { stage: Stage::Enquiry, held: String::new(), promised_day: None };
//! let new = NewJob { branch: "A".into(), name: "gears".into(), customer, bike: None };
//! let job = store.open_job(&new, &[asked], &standing, Moment(2))?;
//! assert_eq!(job.number(), "A-1");
//!
//! // Two tablets that saw the same version: the second is told what came in between.
//! let hook = |key, hook: &str| tap(key, Event::Received { hook: hook.to_owned() });
//! let send = |entries: &[Entry]| {
//!     store.append(&Append { job: &job.id, expected: 1, entries, standing: &standing, now: Moment(3) })
//! };
//! assert_eq!(send(&[hook(2, "7")?])?, Appended::Kept { places: vec![1], version: 2 });
//! assert_eq!(send(&[hook(3, "9")?])?, Appended::Conflict { version: 2, since: vec![hook(2, "7")?] });
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod check;
pub mod customer;
pub mod error;
pub mod job;
pub mod link;
pub mod people;
pub mod photo;
pub mod place;
pub mod record;
pub mod shelf;
pub mod stock;
pub mod text;

mod backup;
mod connection;
mod export;
mod import;
mod migration;
mod tables;

pub use check::CheckReport;
pub use customer::{BikeRecord, CustomerRecord};
pub use error::StoreError;
pub use job::{Append, Appended, JobLine, JobRecord, Mark, NewJob, OpenJob, Standing, Which};
pub use link::LinkRecord;
pub use migration::NEWEST;
pub use people::{PersonRecord, Role, SessionRecord, SkillRecord, TabletRecord};
pub use photo::{JobPhotoRecord, PhotoRecord};
pub use place::Place;
pub use shelf::Store;
pub use stock::{CatalogueRecord, StockRecord};
pub use text::TextRecord;
