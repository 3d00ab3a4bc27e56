//! An invented shop: an empty store of each kind, and what is put into it.

use fit::RideWish;
use quantity::{Money, Torque};
use shop::job::{BlindPoint, Channel, Look, Parking, PartCheck, PauseReason, RideKind};
use shop::{
    AskedChange, AskedChoice, Call, Cause, ChoicePart, Circumstances, Entry, EntryKey, Event, FastenerId,
    Finding, Moment, OperationId, Person, Stage, Stakes, StepId, StepWork, TorqueRange,
};
use store::{Append, Appended, JobRecord, NewJob, Place, Role, SkillRecord, Standing, StockRecord, Store};
use tempfile::TempDir;

/// An empty place of one kind, gone when this is.
pub(crate) struct Home {
    pub(crate) place: Place,
    pub(crate) folder: TempDir,
}

impl Home {
    /// A folder.
    pub(crate) fn folder() -> Self {
        let folder = TempDir::new().unwrap();
        Self { place: Place::Folder(folder.path().join("shop")), folder }
    }

    /// A new database of the server that the test command started.
    #[cfg(feature = "postgres")]
    pub(crate) fn server() -> Self {
        use diesel::connection::SimpleConnection;
        use diesel::{Connection, PgConnection};
        #[expect(clippy::disallowed_methods, reason = "the test command says where its server is")]
        let address = std::env::var("STORE_TEST_POSTGRES");
        assert!(address.is_ok(), "no server: run this by crates/store/tests/with-postgres");
        let address = address.unwrap();
        let name = format!("t{}", uuid::Uuid::now_v7().simple());
        let mut admin = PgConnection::establish(&address.replace("{}", "postgres")).unwrap();
        admin.batch_execute(&format!("create database {name}")).unwrap();
        Self { place: Place::Server(address.replace("{}", &name)), folder: TempDir::new().unwrap() }
    }

    /// One of each kind.
    pub(crate) fn each() -> Vec<Self> {
        vec![
            Self::folder(),
            #[cfg(feature = "postgres")]
            Self::server(),
        ]
    }

    /// Runs statements as another program would.
    pub(crate) fn run(&self, text: &str) {
        use diesel::connection::SimpleConnection;
        use diesel::{Connection, SqliteConnection};
        match &self.place {
            Place::Folder(folder) => {
                std::fs::create_dir_all(folder).unwrap();
                let file = folder.join("shop.sqlite");
                SqliteConnection::establish(file.to_str().unwrap()).unwrap().batch_execute(text).unwrap();
            }
            Place::Server(_address) => {
                #[cfg(feature = "postgres")]
                diesel::PgConnection::establish(_address).unwrap().batch_execute(text).unwrap();
            }
        }
    }
}

pub(crate) fn person(name: &str) -> Person {
    Person::new(name).unwrap()
}

pub(crate) fn entry(key: u128, event: Event) -> Entry {
    Entry { key: EntryKey(key), at: Moment(1_000 + key as i64), by: person("A. Manager"), event }
}

pub(crate) fn hook(key: u128) -> Entry {
    entry(key, Event::Received { hook: key.to_string() })
}

pub(crate) fn enquiry(key: u128) -> Entry {
    let words = "easier hills".to_owned();
    entry(key, Event::Enquired { name: "gears".into(), customer: "A. Customer".into(), words })
}

pub(crate) fn standing(stage: Stage) -> Standing {
    Standing { stage, held: String::new(), promised_day: None }
}

/// Opens a job for a customer of its own. Its enquiry has this key.
pub(crate) fn open(store: &Store, key: u128) -> JobRecord {
    let customer = store.add_customer("A. Customer", Moment(1)).unwrap().id;
    let new = NewJob { branch: "A".into(), name: "gears".into(), customer, bike: None };
    store.open_job(&new, &[enquiry(key)], &standing(Stage::Enquiry), Moment(5)).unwrap()
}

pub(crate) fn append(store: &Store, job: &str, expected: usize, entries: &[Entry]) -> Appended {
    let standing = standing(Stage::Intake);
    let append = Append { job, expected, entries, standing: &standing, now: Moment(9_000) };
    store.append(&append).unwrap()
}

/// One event of every sort that has no measurement in it.
pub(crate) fn events() -> Vec<Event> {
    let fastener = FastenerId("stem-bar");
    let wanted = TorqueRange { least: Torque::newton_metres(4.0), most: Torque::newton_metres(6.0) };
    let total = Money::new(98_050, "EUR").unwrap();
    vec![
        Event::Received { hook: "7".into() },
        Event::HandsRecorded { words: "742 left, 742 right".into() },
        Event::Estimated { total, ceiling: Some(total), scope: "11-speed refit".into() },
        Event::Approved {
            version: 1,
            name: "A. Customer".into(),
            channel: Channel::Counter,
            words: "yes, do it".into(),
        },
        Event::Declined { what: "new brake pads".into(), words: "not now".into() },
        Event::Ordered { slot: catalog::Slot::Chain, due_day: Some(20_000) },
        Event::Arrived { slot: catalog::Slot::Chain },
        Event::PartChecked {
            slot: catalog::Slot::Chain,
            check: PartCheck::Wrong { words: "too short".into() },
        },
        Event::PartChecked { slot: catalog::Slot::Chain, check: PartCheck::Fits },
        Event::Started,
        Event::Done {
            step: StepId("tape-on"),
            work: StepWork { turned: vec![fastener], strips: false, moves_something: true },
        },
        Event::Tightened { fastener, torque: Torque::newton_metres(5.1), wanted, wrench: "wrench 3".into() },
        Event::ClosedByHand { fastener },
        Event::Witnessed { fastener },
        Event::FoundLoose { fastener },
        Event::Problem { step: Some(StepId("tape-on")), words: "thread stripped".into(), stops: true },
        Event::Settled { problem: 16, words: "insert".into() },
        Event::Paused {
            reason: PauseReason::OtherJob,
            parking: Parking::StrippedAndBagged,
            words: "left brake not connected".into(),
        },
        Event::Resumed,
        Event::Looked { point: BlindPoint::PulleyGap, look: Look::Second, value: 5.9 },
        Event::Rode { ride: RideKind::First, instead: Some("ice: on the stand".into()) },
        Event::SecondChecked,
        Event::Collected { name: "A. Customer".into() },
        Event::FollowedUp { clicks: Some(-2), words: "shifts well".into() },
        Event::SentHome { words: "crack at the seat cluster".into() },
        Event::Corrected { entry: 3, words: "wrong hook".into() },
        Event::Dropped(catalog::Slot::Tape),
        Event::CircumstancesSet(Circumstances { tandem: true, ..Circumstances::default() }),
        Event::Promised { day: 20_010, words: "told at the counter".into() },
        Event::Noted { words: "old parts given back".into() },
        Event::RideSet(Box::new(RideWish {
            file: Some("f".repeat(64)),
            barometer: Some(true),
            compare: vec!["cassette-11-road-11-32".into()],
            ..RideWish::default()
        })),
        Event::ChangeAsked { problem: 16, change: Box::new(change()) },
        Event::ChangeAnswered {
            asked: 17,
            choice: 0,
            name: "A. Customer".into(),
            channel: Channel::Link,
            words: "the new one, please".into(),
        },
    ]
}

/// A hanger that was found bent.
pub(crate) fn change() -> AskedChange {
    let price = Money::new(4_350, "EUR").unwrap();
    let part = ChoicePart { words: "hanger".into(), pieces: 1, price: Some(price), days: Some(5) };
    let choice = |words: &str, operations: Vec<OperationId>, parts, price, day: &str| AskedChoice {
        words: words.into(),
        means: "what it means".into(),
        minutes: 12 * operations.len() as u32,
        operations,
        parts,
        price,
        day: day.parse().ok(),
    };
    AskedChange {
        finding: Finding {
            words: "the hanger is bent".into(),
            measured: Some("12 mm over 600 mm".into()),
            limit: Some("4 mm over 600 mm".into()),
            photo: None,
            cause: Cause::NotVisible,
            concerns: Stakes::Use,
            at: StepId("rear-derailleur-on"),
        },
        choices: vec![
            choice("exchange it", vec![OperationId("hanger-exchange")], vec![part], price, "2026-12-09"),
            choice("leave it", Vec::new(), Vec::new(), price.with_minor(0), "none"),
        ],
        waits_until: "2026-11-27T15:00".parse().unwrap(),
        call: Call::Wanted,
        declined: None,
    }
}

/// A few bytes that begin as a picture does.
pub(crate) fn picture(of: &str) -> Vec<u8> {
    [&[0xFF, 0xD8, 0xFF, 0xE0], of.as_bytes()].concat()
}

/// Fills a store with something of everything.
pub(crate) fn fill(store: &Store) {
    let manager = store.add_person("A. Manager", Role::Manager, Moment(1)).unwrap();
    store.add_person("B. Technician", Role::Technician, Moment(2)).unwrap();
    let skill =
        SkillRecord { person: manager.id.clone(), operation: "press-fit".into(), level: "alone".into() };
    store.set_skill(&skill).unwrap();
    store.enrol_tablet("stand 2", "hash of a token", &manager.id, Moment(3)).unwrap();
    store.put_parts(&intake::built_in().unwrap().parts, Moment(4)).unwrap();
    let part = "any".to_owned();
    let stock = StockRecord { part, on_hand: 3, reserved: 1, place: "drawer 4".into(), changed_ms: 4 };
    store.set_stock(&stock).unwrap();
    store.add_text("warranty", "en", "Workmanship for a year.", "A. Manager", Moment(5)).unwrap();
    store.add_text("warranty", "en", "Workmanship for two years.", "A. Manager", Moment(6)).unwrap();
    for number in 0..3_u128 {
        let key = 1_000 * (number + 1);
        let job = open(store, key);
        let bike = store.add_bike(&job.customer, "=blue, \"fast\" & ä", Moment(7)).unwrap();
        store.set_bike(&job.id, &bike.id).unwrap();
        let entries: Vec<Entry> = (key + 1..).zip(events()).map(|(key, event)| entry(key, event)).collect();
        append(store, &job.id, 1, &entries);
        let photo = store.keep_photo(&picture(&format!("hanger {number}")), Moment(8)).unwrap();
        store.attach_photo(&job.id, &photo.hash, "hanger", "B. Technician", Moment(9)).unwrap();
    }
}
