//! The server is killed at random moments while four tablets send taps as fast as they are answered.

use crate::client::Visitor;
use crate::running::{Running, server, this_program};
use crate::settings::place;
use std::collections::BTreeSet;
use std::time::Duration;
use store::Store;

/// How often the server is killed; so often if it is not said.
const KILLS: &str = "WEB_TEST_KILLS";
const USUALLY: u64 = 40;
/// Two jobs with two tablets each: two of them are at the same job at the same time.
const TABLETS: [(&str, &str, u128); 4] =
    [("Hazel", "A-5", 1), ("Linden", "A-5", 2), ("Hazel", "A-6", 3), ("Linden", "A-6", 4)];
/// Taps in one go.
const BATCH: u128 = 3;

/// A tablet between two lives of the server.
struct Tablet {
    visitor: Visitor,
    job: &'static str,
    /// The key of the first tap that was not answered.
    next: u128,
    answered: BTreeSet<u128>,
}

impl Tablet {
    /// Sends until nothing answers any more. What was not answered keeps its key and is sent again in the next life.
    async fn send(mut self, address: std::net::SocketAddr) -> Self {
        loop {
            let keys: Vec<u128> = (self.next..self.next + BATCH).collect();
            let Some(became) = self.visitor.taps(address, self.job, &keys).await else { return self };
            for (key, became) in keys.iter().zip(&became) {
                match became.word.as_str() {
                    "kept" | "repeated" => {
                        self.answered.insert(*key);
                        self.next = key + 1;
                    }
                    "later" => {}
                    other => panic!("{key} was answered {other}: {}", became.why),
                }
            }
        }
    }
}

#[test]
fn killed_at_random_nothing_that_was_answered_is_lost_and_nothing_is_doubled() {
    let kills = std::env::var(KILLS).map_or(USUALLY, |count| count.parse().unwrap());
    let folder = tempfile::TempDir::new().unwrap();
    let start = || Running::start(server(this_program(), folder.path())).unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let first = start();
    let mut tablets: Vec<Tablet> = TABLETS
        .into_iter()
        .map(|(name, job, number)| Tablet {
            visitor: runtime.block_on(Visitor::sign_in(first.address, name)),
            job,
            next: (0x5EED << 64) + (number << 32),
            answered: BTreeSet::new(),
        })
        .collect();
    first.kill();
    // Any sequence will do that spreads the moments: a linear congruence with the usual constants.
    let mut chance = 11_u64;
    for life in 0..kills {
        chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let running = start();
        let address = running.address;
        tablets = runtime.block_on(async {
            let sending: Vec<_> =
                tablets.drain(..).map(|tablet| tokio::spawn(tablet.send(address))).collect();
            tokio::time::sleep(Duration::from_millis(20 + (chance >> 33) % 200)).await;
            running.kill();
            let mut back = Vec::new();
            for tablet in sending {
                back.push(tablet.await.unwrap());
            }
            back
        });
        let store = Store::open(&place(folder.path())).unwrap();
        if life + 1 == kills {
            assert_eq!(store.check().unwrap().faults, Vec::<String>::new());
        }
        for tablet in &tablets {
            let job = store.job_numbered(tablet.job).unwrap().unwrap();
            let kept: Vec<u128> =
                store.job(&job.id).unwrap().job.entries().iter().map(|entry| entry.key.0).collect();
            let once: BTreeSet<u128> = kept.iter().copied().collect();
            assert_eq!(once.len(), kept.len(), "doubled in life {life}");
            let lost: Vec<_> = tablet.answered.difference(&once).collect();
            assert!(lost.is_empty(), "answered and lost in life {life}: {lost:?}");
        }
    }
    let answered: usize = tablets.iter().map(|tablet| tablet.answered.len()).sum();
    println!("{kills} kills, {answered} taps answered, none lost, none doubled");
    assert!(answered as u64 > kills, "{answered} taps in {kills} lives");
}
