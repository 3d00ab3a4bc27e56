//! The options of a job, searched once and kept at hand: the search goes through the whole catalogue. Begin with
//! [`House::options`].

use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use fit::Plan;
use jiff::civil::Date;
use shop::{Circumstances, Queue, Ways, ways};
use std::sync::{Arc, Mutex, PoisonError};

/// Most jobs whose options are kept.
const MOST_OPTIONS: usize = 16;

/// The options that were searched last.
#[derive(Debug, Default)]
pub(crate) struct Options {
    kept: Mutex<Vec<Kept>>,
}

/// Options with what they were made from.
#[derive(Debug)]
struct Kept {
    plan: Arc<Plan>,
    circumstances: Circumstances,
    queue: Arc<Queue>,
    day: Date,
    ways: Arc<Ways>,
}

impl Options {
    /// Forgets everything: the catalogue changed.
    pub(crate) fn forget(&self) {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }
}

impl House {
    /// The options of a job. A job whose plan is the same as before is not searched again.
    pub(crate) fn options(&self, card: &JobCard) -> Result<Arc<Ways>, Failure> {
        let queue = self.queue(&card.record)?;
        let (circumstances, day) = (card.state().circumstances, clock::today());
        let is_same = |kept: &Kept| {
            Arc::ptr_eq(&kept.plan, &card.plan)
                && Arc::ptr_eq(&kept.queue, &queue)
                && (kept.circumstances, kept.day) == (circumstances, day)
        };
        let at_hand = || self.options.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = at_hand().iter().find(|kept| is_same(kept)) {
            return Ok(known.ways.clone());
        }
        let found = Arc::new(ways(&card.plan, &self.catalogue(), &self.workshop, circumstances, &queue, day));
        let mut kept = at_hand();
        let plan = card.plan.clone();
        kept.insert(0, Kept { plan, circumstances, queue, day, ways: found.clone() });
        kept.truncate(MOST_OPTIONS);
        Ok(found)
    }
}
