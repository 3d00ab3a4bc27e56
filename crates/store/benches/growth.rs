//! Promise: what a page needs costs the same at 1 000 and at 100 000 jobs, and an append costs one wait for the disk and
//! a tenth of a millisecond. Prints a table; sizes may be given: `cargo bench -p store --bench growth -- 1000 20000`.

#![expect(clippy::unwrap_used, reason = "a bench without its store has nothing to measure")]
#![expect(clippy::disallowed_methods, reason = "a bench reads the clock")]

use shop::{Entry, EntryKey, Event, Moment, Person, Stage};
use std::time::{Duration, Instant};
use store::{Append, NewJob, Place, Standing, Store, Which};

/// Entries of the long job.
const LONG: usize = 300;
/// Jobs of one customer.
const EACH: usize = 4;
/// Of so many jobs one is still in the shop.
const OVER: usize = 50;

fn entry(key: u128, event: Event) -> Entry {
    Entry { key: EntryKey(key), at: Moment(key as i64), by: Person::new("A. Manager").unwrap(), event }
}

fn enquiry(key: u128) -> Entry {
    let (name, words) = ("gears".to_owned(), "easier hills".to_owned());
    entry(key, Event::Enquired { name, customer: "A. Customer".into(), words })
}

fn standing(stage: Stage) -> Standing {
    Standing { stage, held: "waits for the chain".to_owned(), promised_day: Some(20_000) }
}

/// A store of so many jobs; the key of the long one and of the last customer's name.
fn filled(place: &Place, count: usize) -> (Store, String) {
    let store = Store::open(place).unwrap();
    let mut customer = String::new();
    let mut long = String::new();
    for number in 0..count {
        if number % EACH == 0 {
            let name = format!("Customer {}", number / EACH);
            customer = store.add_customer(&name, Moment(number as i64)).unwrap().id;
        }
        let stage = if number % OVER == 0 { Stage::InWork } else { Stage::FollowedUp };
        let entries = if number + 1 == count { LONG } else { 10 };
        let from = 1_000 * (number as u128 + 1);
        let mut all = vec![enquiry(from)];
        all.extend((from + 1..from + entries as u128).map(|key| {
            let words = format!("{key} left, {key} right, nose of the saddle to the hood");
            entry(key, Event::HandsRecorded { words })
        }));
        let new = NewJob { branch: "A".into(), name: "gears".into(), customer: customer.clone(), bike: None };
        long = store.open_job(&new, &all, &standing(stage), Moment(number as i64)).unwrap().id;
    }
    (store, long)
}

/// Median of some calls.
fn median(times: usize, mut call: impl FnMut(usize)) -> Duration {
    let mut all: Vec<Duration> = (0..times)
        .map(|nth| {
            let begun = Instant::now();
            call(nth);
            begun.elapsed()
        })
        .collect();
    all.sort_unstable();
    all[times / 2]
}

fn main() {
    let sizes: Vec<usize> = std::env::args().filter_map(|word| word.parse().ok()).collect();
    let sizes = if sizes.is_empty() { vec![1_000, 10_000, 100_000] } else { sizes };
    println!("medians      open      append    list 50   in work   search    count     job of {LONG}");
    for count in sizes {
        let folder = tempfile::TempDir::new().unwrap();
        let place = Place::Folder(folder.path().to_owned());
        let (store, long) = filled(&place, count);
        drop(store);
        let begun = Instant::now();
        let store = Store::open(&place).unwrap();
        let open = begun.elapsed();
        let job = store.job(&long).unwrap().record.id;
        let load = median(200, |_| assert_eq!(store.job(&job).unwrap().job.version(), LONG));
        let standing = standing(Stage::InWork);
        let append = median(1_000, |nth| {
            let entries = [entry(u128::MAX - nth as u128, Event::HandsRecorded { words: "742".into() })];
            let expected = LONG + nth;
            let append = Append {
                job: &job,
                expected,
                entries: &entries,
                standing: &standing,
                now: Moment(nth as i64),
            };
            store.append(&append).unwrap();
        });
        let list = median(500, |_| assert_eq!(store.jobs(&Which::All, None, 50).unwrap().len(), 50));
        let work =
            median(500, |_| assert!(!store.jobs(&Which::In(Stage::InWork), None, 50).unwrap().is_empty()));
        let search = median(500, |nth| {
            let name = format!("customer {}", nth % (count / EACH));
            assert!(store.search_jobs(&name).unwrap().len() >= EACH);
        });
        let counts = median(200, |_| assert!(store.count_open().unwrap()[&Stage::InWork] >= count / OVER));
        let all = [open, append, list, work, search, counts, load];
        let cells: Vec<String> =
            all.iter().map(|time| format!("{:>7.3} ms", time.as_secs_f64() * 1_000.0)).collect();
        println!("{count:>7} jobs {}", cells.join("  "));
    }
}
