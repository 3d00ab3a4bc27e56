//! Every earlier version of the tables comes to the newest by itself, with everything that was in it.

use crate::invented::{Home, hook};
use shop::{Event, Moment};
use store::{NEWEST, Place, Store, StoreError};

/// What each earlier program left behind, by its version.
const LEFT: [&str; 3] = [
    include_str!("../fixtures/version-1.sql"),
    include_str!("../fixtures/version-2.sql"),
    include_str!("../fixtures/version-3.sql"),
];

/// A store of an earlier version.
fn leave(home: &Home, version: usize) {
    let (bytes, photo) = match home.place {
        Place::Folder(_) => ("blob", "x'ffd8ffe068616e676572'"),
        Place::Server(_) => ("bytea", "'\\xffd8ffe068616e676572'"),
    };
    home.run(&LEFT[version - 1].replace("$BYTES", bytes).replace("$PHOTO", photo));
}

#[test]
fn every_version_has_its_fixture() {
    assert_eq!(LEFT.len() as i64, NEWEST);
}

#[test]
fn a_store_of_any_earlier_version_opens_with_all_that_was_in_it() {
    for version in 1..=LEFT.len() {
        for home in Home::each() {
            leave(&home, version);
            let store = Store::open(&home.place).unwrap();
            assert_eq!(store.version().unwrap(), NEWEST);
            assert_eq!(store.people().unwrap().len(), 2);
            assert_eq!(
                store.person_named("b. technician").unwrap().unwrap().pin_hash.as_deref(),
                Some("hash of a pin")
            );
            assert_eq!(store.skills_of("p2").unwrap()[0].level, "under-eye");
            let (session, person) = store.session("hash of a token", Moment(5)).unwrap().unwrap();
            assert_eq!((session.tablet, person.name.as_str()), (None, "A. Manager"));
            let job = store.job("j1").unwrap();
            assert_eq!((job.record.number().as_str(), job.job.version()), ("A-17", 2));
            assert!(matches!(job.job.entries()[1].event, Event::Measured { .. }));
            let photos = store.photos_of("j1").unwrap();
            assert_eq!(store.photo(&photos[0].photo).unwrap().unwrap().1.len(), 10);
            assert_eq!(store.parts(None).unwrap()[0].name(), "tape");
            assert_eq!(store.tablets().unwrap().len(), usize::from(version >= 2));
            assert_eq!(store.link("hash of a link", Moment(5)).unwrap().is_some(), version >= 3);
            assert_eq!(store.check().unwrap().faults, Vec::<String>::new());
            // And the new tables take something.
            store.enrol_tablet("stand 3", "another", "p1", Moment(9)).unwrap();
            store.add_text("warranty", "de", "Ein Jahr.", "A. Manager", Moment(9)).unwrap();
            let kept = crate::invented::append(&store, "j1", 2, &[hook(3)]);
            assert!(matches!(kept, store::Appended::Kept { version: 3, .. }));
        }
    }
}

#[test]
fn the_store_of_a_newer_program_is_refused_and_not_touched() {
    for home in Home::each() {
        drop(Store::open(&home.place).unwrap());
        home.run("insert into store_versions values (999, 'of the future')");
        let error = Store::open(&home.place).map(|_| ()).unwrap_err();
        assert!(matches!(error, StoreError::Newer { found: 999, known: NEWEST }), "{error}");
        assert!(error.to_string().contains("version 999"), "{error}");
        home.run("delete from store_versions where version = 999");
        assert!(Store::open(&home.place).is_ok());
    }
}

#[test]
fn tables_that_came_to_be_by_other_steps_are_refused() {
    for home in Home::each() {
        drop(Store::open(&home.place).unwrap());
        home.run("update store_versions set text_hash = 'edited' where version = 1");
        let error = Store::open(&home.place).map(|_| ()).unwrap_err();
        assert!(matches!(error, StoreError::OtherMigration { version: 1 }), "{error}");
    }
}

#[test]
fn the_database_of_something_else_is_left_alone() {
    for home in Home::each() {
        home.run("create table recipes (name text)");
        let error = Store::open(&home.place).map(|_| ()).unwrap_err();
        assert!(matches!(error, StoreError::NotOurs { .. }), "{error}");
        home.run("insert into recipes values ('bread')");
    }
    let home = Home::folder();
    let Place::Folder(folder) = &home.place else { panic!("a folder") };
    std::fs::create_dir_all(folder).unwrap();
    std::fs::write(folder.join("shop.sqlite"), "a shopping list, by chance of this name").unwrap();
    let error = Store::open(&home.place).map(|_| ()).unwrap_err();
    assert!(error.to_string().contains("damaged"), "{error}");
    assert_eq!(
        std::fs::read_to_string(folder.join("shop.sqlite")).unwrap(),
        "a shopping list, by chance of this name"
    );
}
