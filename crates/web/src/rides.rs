//! Recorded rides, read once and kept at hand: taking a file apart takes longer than a page may. Begin with
//! [`House::road`].

use crate::failure::{Failure, FieldFault};
use crate::house::House;
use fit::RideWish;
use fit::ride::Road;
use intake::ride_file::{self, RideProblem};
use std::sync::{Arc, Mutex, PoisonError};

/// Most roads that are kept.
const MOST_ROADS: usize = 8;

/// The roads that were read last, each with the ride that asked for it.
#[derive(Debug, Default)]
pub(crate) struct Roads {
    kept: Mutex<Vec<(RideWish, Arc<Road>)>>,
}

/// What is wrong with a ride, and what to do about it.
pub(crate) fn fault(name: &str, why: &RideProblem) -> Failure {
    FieldFault::one("Ride", name, format!("{why}; {}", why.help()))
}

impl House {
    /// The road of a ride.
    pub(crate) fn road(&self, wish: &RideWish) -> Result<Arc<Road>, Failure> {
        let at_hand = || self.roads.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, road)) = at_hand().iter().find(|(known, _)| known == wish) {
            return Ok(road.clone());
        }
        let recorded = match &wish.file {
            None => None,
            Some(hash) => {
                let missing = || Failure::NotFound { what: "recorded ride", name: hash.clone() };
                let (_, bytes) = self.store.photo(hash)?.ok_or_else(missing)?;
                Some(ride_file::read_ride(&bytes).map_err(|why| fault("the file", &why))?)
            }
        };
        let mut named = wish.clone();
        named.file = named.file.map(|_| "of the customer".to_owned());
        let road = Arc::new(ride_file::road(&named, recorded).map_err(|why| fault("the ride", &why))?);
        let mut kept = at_hand();
        kept.insert(0, (wish.clone(), road.clone()));
        kept.truncate(MOST_ROADS);
        Ok(road)
    }
}
