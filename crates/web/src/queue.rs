//! The jobs that wait and are worked on, as a new job's day is reckoned with them: read from the store when something
//! changed, kept at hand otherwise. Begin with [`House::queue`].

use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use jiff::civil::Date;
use shop::{OpenJob, Queue, Stage, takes_time};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use store::JobRecord;

/// What was worked out last.
#[derive(Debug, Default)]
pub(crate) struct Queues {
    kept: Mutex<Kept>,
    warmed: AtomicBool,
}

#[derive(Debug, Default)]
struct Kept {
    day: Option<Date>,
    /// By the key of a job: its version, and what was left of it then.
    left: BTreeMap<String, (i64, Option<OpenJob>)>,
    /// Queues with the jobs that they were made of, last used first.
    laid: Vec<(Vec<OpenJob>, Arc<Queue>)>,
}

/// Queues that are kept: that of all jobs, and those of all but one that is looked at.
const MOST_QUEUES: usize = 3;

impl Queues {
    /// Forgets everything: something changed that plans are worked out from.
    pub(crate) fn forget(&self) {
        *self.kept.lock().unwrap_or_else(PoisonError::into_inner) = Kept::default();
    }
}

impl House {
    /// What waits beside a job: the jobs of the shop file, and those of the store that were agreed to and are not done.
    ///
    /// Only what changed is read again. While one page works it out, others that ask wait for the same answer.
    pub(crate) fn queue(&self, but: &JobRecord) -> Result<Arc<Queue>, Failure> {
        self.queue_but(Some(&but.id))
    }

    /// What was left of the jobs on the stands beside one of them.
    pub(crate) fn beside(&self, but: &JobRecord) -> Result<Vec<OpenJob>, Failure> {
        let mut kept = self.queues.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let on_stands = self.store.jobs_in(&self.branch, &[Stage::InWork, Stage::Paused, Stage::Checks])?;
        self.left_of(&mut kept, &on_stands, Some(&but.id))
    }

    /// Works the queue out beside what is going on, once after the start: whoever opens the app sees the board first.
    pub(crate) fn warm_queue(self: &Arc<Self>) {
        if self.queues.warmed.swap(true, Ordering::Relaxed) {
            return;
        }
        let house = self.clone();
        // Only time is lost if it fails: who asks for a day is told why.
        let warm = move || drop(house.queue_but(None));
        let _ = std::thread::Builder::new().name("queue".to_owned()).spawn(warm);
    }

    fn queue_but(&self, but: Option<&str>) -> Result<Arc<Queue>, Failure> {
        let mut kept = self.queues.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let today = clock::today();
        let stages: Vec<Stage> = Stage::ALL.into_iter().filter(|stage| takes_time(*stage)).collect();
        let records = self.store.jobs_in(&self.branch, &stages)?;
        let mut jobs = self.workshop.open_jobs.clone();
        jobs.extend(self.left_of(&mut kept, &records, but)?);
        let gone: Vec<String> =
            kept.left.keys().filter(|id| !records.iter().any(|record| record.id == **id)).cloned().collect();
        gone.iter().for_each(|id| _ = kept.left.remove(id));
        if let Some(at) = kept.laid.iter().position(|(known, _)| *known == jobs) {
            let found = kept.laid.remove(at);
            let queue = found.1.clone();
            kept.laid.insert(0, found);
            return Ok(queue);
        }
        let queue = Arc::new(Queue::of(&self.workshop, &jobs, today));
        kept.laid.insert(0, (jobs, queue.clone()));
        kept.laid.truncate(MOST_QUEUES);
        Ok(queue)
    }

    /// What is left of jobs, without one of them. A job that has not changed since is not read again.
    fn left_of(
        &self,
        kept: &mut Kept,
        records: &[JobRecord],
        but: Option<&str>,
    ) -> Result<Vec<OpenJob>, Failure> {
        let today = clock::today();
        if kept.day != Some(today) {
            *kept = Kept { day: Some(today), ..Kept::default() };
        }
        let mut jobs = Vec::new();
        for record in records {
            let known = kept.left.get(&record.id).filter(|(version, _)| *version == record.version);
            let left = match known {
                Some((_, left)) => left.clone(),
                None => {
                    let card = self.card_of(record)?;
                    let left = shop::left(&record.number(), card.state(), &card.plan, &self.workshop, today);
                    kept.left.insert(record.id.clone(), (record.version, left.clone()));
                    left
                }
            };
            jobs.extend(left.filter(|_| but != Some(record.id.as_str())));
        }
        Ok(jobs)
    }

    /// The card of a record: the one at hand, or one that does not push others out.
    fn card_of(&self, record: &JobRecord) -> Result<Arc<JobCard>, Failure> {
        let at_hand = self.cards.find(&record.id);
        if let Some(card) = at_hand.filter(|card| card.job.version() as i64 == record.version) {
            return Ok(card);
        }
        let open = self.store.job(&record.id)?;
        Ok(Arc::new(JobCard::of(self, open.record, open.job)))
    }
}
