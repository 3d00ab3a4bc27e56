//! Copies that are whole, ways back that lose nothing, and a check that finds what is not as it was.

use crate::invented::{Home, append, events, fill, hook, open};
use std::collections::BTreeMap;
use std::path::Path;
use store::{Place, Store, StoreError, Which};

/// Every file below a folder with its bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if path.is_dir() {
            found.extend(files(&path).into_iter().map(|(file, bytes)| (format!("{name}/{file}"), bytes)));
        } else {
            found.insert(name, std::fs::read(&path).unwrap());
        }
    }
    found
}

#[test]
fn an_export_read_into_each_kind_of_database_and_exported_again_is_the_same_to_the_byte() {
    for from in Home::each() {
        let store = Store::open(&from.place).unwrap();
        fill(&store);
        let first = from.folder.path().join("export");
        store.export(&first).unwrap();
        let whole = files(&first);
        assert_eq!(whole.keys().filter(|name| name.starts_with("photos/")).count(), 3);
        for into in Home::each() {
            let other = Store::open(&into.place).unwrap();
            other.import(&first).unwrap();
            let second = into.folder.path().join("again");
            other.export(&second).unwrap();
            assert!(files(&second) == whole, "an export differs");
            for line in store.jobs(&Which::All, None, 9).unwrap() {
                let (here, there) = (store.job(&line.job.id).unwrap(), other.job(&line.job.id).unwrap());
                assert_eq!(here.record, there.record);
                assert_eq!(here.job.entries(), there.job.entries());
                assert_eq!(here.job.state(), there.job.state());
                assert_eq!(here.job.version(), 1 + events().len());
            }
            // A second time it is not empty.
            assert!(matches!(other.import(&first), Err(StoreError::NotEmpty { .. })));
            assert!(matches!(other.export(&second), Err(StoreError::NotEmpty { .. })));
        }
    }
}

#[test]
fn the_open_files_are_read_by_other_tools_as_their_schema_says() {
    let home = Home::folder();
    let store = Store::open(&home.place).unwrap();
    fill(&store);
    let folder = home.folder.path().join("export");
    store.export(&folder).unwrap();
    let all = files(&folder);
    let mut lines = 0;
    for (name, bytes) in &all {
        let Some(table) = name.strip_suffix(".jsonl") else { continue };
        let schema: serde_json::Value =
            serde_json::from_slice(&all[&format!("{table}.schema.json")]).unwrap();
        let known = schema["properties"].as_object().unwrap();
        for line in std::str::from_utf8(bytes).unwrap().lines() {
            let line: serde_json::Value = serde_json::from_str(line).unwrap();
            let line = line.as_object().unwrap();
            assert!(line.keys().all(|key| known.contains_key(key)), "{name}");
            for key in schema["required"].as_array().unwrap() {
                assert!(line.contains_key(key.as_str().unwrap()), "{name}: {key}");
            }
            lines += 1;
        }
    }
    assert!(lines > 300, "{lines}");
    let mut sheet = csv::Reader::from_reader(all["bikes.csv"].as_slice());
    let rows: Vec<csv::StringRecord> = sheet.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 3);
    // No spreadsheet takes a name for a formula.
    assert_eq!((&rows[0][1], &rows[0][2]), ("A. Customer", "'=blue, \"fast\" & ä"));
    let mut sheet = csv::Reader::from_reader(all["jobs.csv"].as_slice());
    let numbers: Vec<String> = sheet.records().map(|row| row.unwrap()[0].to_owned()).collect();
    assert_eq!(numbers, ["A-1", "A-2", "A-3"]);
}

#[test]
fn a_backup_made_while_the_shop_works_comes_back_whole() {
    for home in Home::each() {
        let store = Store::open(&home.place).unwrap();
        fill(&store);
        let job = open(&store, 50_000);
        let copy = home.folder.path().join("backup");
        std::thread::scope(|scope| {
            let writer = scope.spawn(|| {
                for tap in 0..150_u128 {
                    append(&store, &job.id, 1 + tap as usize, &[hook(60_000 + tap)]);
                }
            });
            store.backup(&copy).unwrap();
            writer.join().unwrap();
        });
        assert_eq!(store.job(&job.id).unwrap().job.version(), 151);
        assert!(matches!(store.backup(&copy), Err(StoreError::NotEmpty { .. })));
        for into in Home::each() {
            let back = Store::restore(&copy, &into.place).unwrap();
            let report = back.check().unwrap();
            assert_eq!((report.jobs, report.photos, report.faults.len()), (4, 3, 0), "{report:?}");
            // A prefix of what was written: one moment, not a mixture.
            let kept = back.job(&job.id).unwrap();
            let all = store.job(&job.id).unwrap();
            assert_eq!(kept.job.entries(), &all.job.entries()[..kept.job.version()]);
            drop(back);
            assert!(Store::restore(&copy, &into.place).is_err(), "what is there is not written over");
        }
    }
}

#[test]
fn a_damaged_copy_is_refused_and_leaves_the_place_empty() {
    let home = Home::folder();
    let store = Store::open(&home.place).unwrap();
    fill(&store);
    let copy = home.folder.path().join("backup.sqlite");
    store.backup(&copy).unwrap();
    let mut bytes = std::fs::read(&copy).unwrap();
    let middle = bytes.len() / 2;
    for byte in &mut bytes[middle..middle + 20_000] {
        *byte = 0x55;
    }
    std::fs::write(&copy, &bytes).unwrap();
    let into = Home::folder();
    let error = Store::restore(&copy, &into.place).map(|_| ()).unwrap_err();
    assert!(error.to_string().contains("is not whole") || error.to_string().contains("damaged"), "{error}");
    let Place::Folder(folder) = &into.place else { panic!("a folder") };
    assert!(!folder.join("shop.sqlite").exists());

    for (name, why) in [("entries.jsonl", "changed"), ("store.json", "")] {
        let export = home.folder.path().join(format!("export-{name}"));
        store.export(&export).unwrap();
        let text = std::fs::read_to_string(export.join(name)).unwrap();
        std::fs::write(
            export.join(name),
            text.replacen("Manager", "Manoger", 1).replacen("open files", "x", 1),
        )
        .unwrap();
        let into = Home::folder();
        let other = Store::open(&into.place).unwrap();
        let error = other.import(&export).unwrap_err();
        assert!(matches!(error, StoreError::Damaged { .. }) && error.to_string().contains(why), "{error}");
        assert_eq!(other.people().unwrap(), []);
    }
    let export = home.folder.path().join("export-photo");
    store.export(&export).unwrap();
    let photo = std::fs::read_dir(export.join("photos")).unwrap().next().unwrap().unwrap().path();
    std::fs::write(&photo, "another picture").unwrap();
    let into = Home::folder();
    let other = Store::open(&into.place).unwrap();
    assert!(other.import(&export).unwrap_err().to_string().contains("its name says"));
    assert_eq!(other.people().unwrap(), []);
}

#[test]
fn a_check_finds_what_is_not_as_it_was_kept() {
    for home in Home::each() {
        let store = Store::open(&home.place).unwrap();
        fill(&store);
        assert_eq!(store.check().unwrap().faults, Vec::<String>::new());
        let other = match home.place {
            Place::Folder(_) => "x'ffd8ff00'",
            Place::Server(_) => "'\\xffd8ff00'",
        };
        for (harm, word) in [
            ("delete from entries where seq = 3 and kind <> 'nothing'".to_owned(), "is missing"),
            ("update entries set event = '{\"kind\":\"weighed\"}' where seq = 5".to_owned(), "`weighed`"),
            ("update jobs set version = version + 1 where serial = 2".to_owned(), "were kept"),
            ("update jobs set stage = 'asleep' where serial = 1".to_owned(), "no stage"),
            (format!("update photos set bytes = {other}"), "its bytes"),
            ("update parts set part = '{}' where slot = 'chain'".to_owned(), "of the catalogue"),
        ] {
            home.run(&harm);
            let faults = store.check().unwrap().faults;
            assert!(faults.iter().any(|fault| fault.contains(word)), "{harm}: {faults:?}");
        }
        // What a newer program wrote is named when it is read, not passed over.
        let job = store.job_numbered("A-2").unwrap().unwrap();
        assert!(store.job(&job.id).unwrap_err().to_string().contains("`weighed`"));
    }
}
