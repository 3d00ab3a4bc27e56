//! Everything that is said of the customer's ride. Begin with [`RideAnswer::new`].

use super::{OnRide, RankedSet, RideCase, RideGap, gears};
use crate::plan::Plan;
use crate::refit::RideWish;
use catalog::Catalogue;
use mechanics::ride::Profile;
use mechanics::ride::cog_inference::{InferenceError, UsedCogs};
use mechanics::ride::profile::ProfileError;
use quantity::Length;

/// Sets of the catalogue that are judged and shown.
const SETS: usize = 6;

/// The road of a ride, as it was read from a recording or said by hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Road {
    /// What the ride is.
    pub what: String,
    /// What the recording has wrong, and what was done about it.
    pub notes: Vec<String>,
    /// The grades.
    pub profile: Profile,
    /// All climbs, metres; of a recording the rises of 3 m and more.
    pub climb_m: f64,
    /// The power that the recording shows held, watts.
    pub recorded_w: Option<f64>,
    /// The cogs that the recording reveals, where it has cadence.
    pub cogs: Option<Result<UsedCogs, InferenceError>>,
}

impl Road {
    /// A hill by hand: its length along the road and its climb.
    ///
    /// # Errors
    /// [`ProfileError`] where no road is like that.
    pub fn hill(length: Length, climb: Length) -> Result<Self, ProfileError> {
        let (length_m, climb_m) = (length.to_mm() / 1000.0, climb.to_mm() / 1000.0);
        Ok(Self {
            what: "a hill by hand".to_owned(),
            notes: Vec::new(),
            profile: Profile::hill(length_m, climb_m)?,
            climb_m,
            recorded_w: None,
            cogs: None,
        })
    }
}

/// How much is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Before and after, and the cassettes to compare.
    Short,
    /// The sets of the catalogue as well.
    Whole,
}

/// Everything that is said of the ride.
#[derive(Clone, Debug)]
pub struct RideAnswer {
    /// What the job is called.
    pub name: String,
    /// What the customer said.
    pub words: Option<String>,
    /// The road.
    pub road: Road,
    /// Numbers, or what is not known.
    pub numbers: Result<Numbers, RideGap>,
}

/// The numbers of the ride.
#[derive(Clone, Debug)]
pub struct Numbers {
    /// Rider and road.
    pub case: RideCase,
    /// The bike as found.
    pub before: OnRide,
    /// The bike after the refit.
    pub after: OnRide,
    /// Cadences of each stretch.
    pub cadences: Cadences,
    /// The cassettes to compare, cheapest first.
    pub compared: Vec<RankedSet>,
    /// Sets of the catalogue, cheapest first.
    pub ranked: Vec<RankedSet>,
}

/// Cadence of each stretch, turns a minute; none where the rider coasts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cadences {
    /// With the bike as found.
    pub before: Vec<Option<f64>>,
    /// After the refit.
    pub after: Vec<Option<f64>>,
}

impl RideAnswer {
    /// What is said of a road that a plan's refit names.
    pub fn new(plan: &Plan, road: Road, catalogue: &Catalogue, depth: Depth) -> Self {
        let wish = plan.refit.ride.clone().unwrap_or_default();
        let numbers = Numbers::new(plan, &wish, &road, catalogue, depth);
        Self { name: plan.name.clone(), words: plan.refit.wish.words.clone(), road, numbers }
    }
}

impl Numbers {
    fn new(
        plan: &Plan,
        wish: &RideWish,
        road: &Road,
        catalogue: &Catalogue,
        depth: Depth,
    ) -> Result<Self, RideGap> {
        let case = RideCase::new(&plan.refit.rider, wish.wind, road.profile.clone(), road.recorded_w)?;
        let (before, after) = case.before_and_after(&plan.build)?;
        let along = |pairs| gears(pairs).map(|gears| case.cadences(&gears)).unwrap_or_default();
        let cadences = Cadences { before: along(&plan.gears_before), after: along(&plan.gears_after) };
        let parts = wish.compare.iter().filter_map(|key| catalogue.find(key));
        let mut compared: Vec<RankedSet> =
            parts.filter_map(|part| case.judged(&plan.build, vec![part.clone()], catalogue)).collect();
        let cost = |set: &RankedSet| set.on_ride.costs_min().first().copied().unwrap_or(f64::INFINITY);
        compared.sort_by(|one, other| cost(one).total_cmp(&cost(other)));
        let ranked = match depth {
            Depth::Short => Vec::new(),
            Depth::Whole => case.rank(&plan.build, catalogue, SETS),
        };
        Ok(Self { case, before, after, cadences, compared, ranked })
    }
}
