//! The front derailleur map as a document.

use fit::geometry::{FrontGear, FrontMap, RingMap};
use quantity::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// The chain in the front cage. Places are from the middle plane of the bike, outward, in millimetres.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FrontDocument {
    /// One block a ring, the largest first.
    pub rings: Vec<FrontRingDocument>,
    /// Dimensions of the cage that are usual ones and were not measured.
    pub assumed: Vec<&'static str>,
    /// Where the cage stands at its inner limit screw.
    pub low_stop_mm: f64,
    /// Where it stands at its outer limit screw.
    pub high_stop_mm: f64,
    /// Travel that the rings ask for.
    pub travel_needed_mm: f64,
    /// Travel that lever and derailleur give, least and most; null if it is not known.
    pub travel_given_mm: Option<[f64; 2]>,
    /// Positions that all rings together ask for.
    pub positions_wanted: usize,
    /// Positions that the lever has, trims included; null if nobody counted.
    pub lever_positions: Option<u32>,
    /// The smallest ring whose chain still clears the bridge of the tail on the smallest cog.
    pub smallest_ring: Option<u32>,
    /// The largest ring beside the outer one that the inner plate swings over.
    pub largest_inner_ring: Option<u32>,
    /// The smallest and the largest outer ring that the slot of the tab serves.
    pub slot_rings: Option<[u32; 2]>,
}

/// One ring with all cogs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FrontRingDocument {
    /// Teeth.
    pub ring: u32,
    /// Its place.
    pub at_mm: f64,
    /// The fewest cage positions that serve every cog which any position serves: from and to.
    pub trims_mm: Vec<[f64; 2]>,
    /// One entry a cog, the smallest first.
    pub gears: Vec<FrontGearDocument>,
}

/// One ring with one cog.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FrontGearDocument {
    /// Teeth.
    pub cog: u32,
    /// The chain's middle at the tail of the cage, outward of its ring.
    pub aside_at_tail_mm: f64,
    /// The innermost clear position of the cage.
    pub clean_from_mm: f64,
    /// The outermost clear position; below the innermost where the chain rubs in any.
    pub clean_to_mm: f64,
    /// The trim that serves it, counted from 1; null for a chain that rubs in any.
    pub trim: Option<usize>,
    /// Room to the inner plate before the tail; null where the plate stands over the chain.
    pub inner_front_mm: Option<f64>,
    /// Room to the inner plate at the tail.
    pub inner_tail_mm: f64,
    /// Room to the outer plate before the tail; null where the plate stands over the chain.
    pub outer_front_mm: Option<f64>,
    /// Room to the outer plate at the tail.
    pub outer_tail_mm: f64,
    /// Lower edge of the chain over the bridge of the tail.
    pub over_bridge_mm: f64,
}

impl FrontDocument {
    /// The document of a map.
    pub fn of(map: &FrontMap) -> Self {
        Self {
            rings: map.rings.iter().map(ring).collect(),
            assumed: map.assumed.iter().map(|dimension| dimension.words()).collect(),
            low_stop_mm: map.low_stop.to_mm(),
            high_stop_mm: map.high_stop.to_mm(),
            travel_needed_mm: map.travel_needed.to_mm(),
            travel_given_mm: map.travel_given.map(|span| [span.least(), span.most()]),
            positions_wanted: map.positions_wanted(),
            lever_positions: map.lever_positions,
            smallest_ring: map.smallest_ring.map(|ring| ring.get()),
            largest_inner_ring: map.largest_inner_ring.map(|ring| ring.get()),
            slot_rings: map.slot_rings.map(|(least, most)| [least.get(), most.get()]),
        }
    }
}

fn ring(ring: &RingMap) -> FrontRingDocument {
    FrontRingDocument {
        ring: ring.ring.get(),
        at_mm: ring.at.to_mm(),
        trims_mm: ring.trims.iter().map(|trim| [trim.least.to_mm(), trim.most.to_mm()]).collect(),
        gears: ring.gears.iter().map(gear).collect(),
    }
}

fn gear(gear: &FrontGear) -> FrontGearDocument {
    FrontGearDocument {
        cog: gear.cog.get(),
        aside_at_tail_mm: gear.aside_at_tail.to_mm(),
        clean_from_mm: gear.clean.least.to_mm(),
        clean_to_mm: gear.clean.most.to_mm(),
        trim: gear.trim.map(|trim| trim + 1),
        inner_front_mm: gear.rooms.inner_front.map(Length::to_mm),
        inner_tail_mm: gear.rooms.inner_tail.to_mm(),
        outer_front_mm: gear.rooms.outer_front.map(Length::to_mm),
        outer_tail_mm: gear.rooms.outer_tail.to_mm(),
        over_bridge_mm: gear.over_bridge.to_mm(),
    }
}
