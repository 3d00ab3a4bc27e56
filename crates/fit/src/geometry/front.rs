//! The front derailleur map: where the chain runs in the cage in every pair, and what the cage has to do for it.

use super::front_bike::{Corner, FrontBike};
use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{After, Before};
use crate::pairs::{teeth, whole};
use catalog::{CagePlates, Dimension, Slot};
use mechanics::front_map::{
    Clean, FrontCage, FrontError, Pass, Rooms, Trim, largest_inner_ring, pass, rings_for_slot,
    smallest_inner_ring, steady_trims, stops,
};
use quantity::{Angle, Length, Span, Teeth};

/// A chain leaves its ring for the next one only when the cage goes past it by about this. Common practice, as a
/// guess; no source.
pub const OVERSHIFT_MM: f64 = 1.5;
/// Room to the inner plate that the shop leaves on the smallest ring and the largest cog. Common practice: 0 to 0.5 mm.
const INNER_ROOM: Length = Length::mm(0.25);
/// Room to the outer plate on the largest ring and the smallest cog. Common practice: 0.5 to 1 mm.
const OUTER_ROOM: Length = Length::mm(0.75);
/// Height over the large ring to which a cage is set. Common practice: 1 to 3 mm.
pub(crate) const HEIGHT: Length = Length::mm(2.0);
/// Usual dimensions of a cage, from memory and weak: they hold a place until somebody measures.
const NOSE_MM: f64 = 9.5;
const TAIL_MM: f64 = 12.5;
const LENGTH_MM: f64 = 95.0;
const BEHIND_MM: f64 = 85.0;
/// The bridge of the tail for two rings and for three: set so that cages serve the 16 and 22 teeth of difference that
/// they are sold for.
const BRIDGE_MM: (f64, f64) = (10.5, 21.0);
/// The inner plate below the outer one, for two rings and for three; from memory.
pub(crate) const DEPTH_MM: (f64, f64) = (14.0, 23.0);
/// Room over the tips of the smaller ring for the inner plate that swings over them.
const OVER_TIPS: Length = Length::mm(0.5);

/// The map.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontMap {
    /// One block a ring, the largest first.
    pub rings: Vec<RingMap>,
    /// The cage that was reckoned with.
    pub cage: FrontCage,
    /// Dimensions of the cage that are usual ones and were not measured.
    pub assumed: Vec<Dimension>,
    /// Where the limit screws hold the cage, from the middle plane.
    pub low_stop: Length,
    /// The outer one.
    pub high_stop: Length,
    /// Travel that the rings ask for: all gaps with the overshift, or the stops if they are further apart.
    pub travel_needed: Length,
    /// Travel that lever and derailleur give, if both were measured.
    pub travel_given: Option<Span>,
    /// Positions that the lever has, trims included, if they were counted.
    pub lever_positions: Option<u32>,
    /// The smallest ring whose chain still clears the bridge of the tail on the smallest cog.
    pub smallest_ring: Option<Teeth>,
    /// The largest ring beside the outer one that the inner plate swings over.
    pub largest_inner_ring: Option<Teeth>,
    /// The smallest and the largest outer ring that the slot of the tab serves.
    pub slot_rings: Option<(Teeth, Teeth)>,
}

/// One ring with all cogs.
#[derive(Clone, Debug, PartialEq)]
pub struct RingMap {
    /// The ring.
    pub ring: Teeth,
    /// Its place from the middle plane.
    pub at: Length,
    /// The fewest cage positions that serve every cog which any position serves, from the middle plane, set for the
    /// most room.
    pub trims: Vec<Trim>,
    /// One entry a cog, the smallest first.
    pub gears: Vec<FrontGear>,
}

/// One ring with one cog.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontGear {
    /// The cog.
    pub cog: Teeth,
    /// The chain's middle at the tail, outward of its ring.
    pub aside_at_tail: Length,
    /// The clear cage positions, from the middle plane.
    pub clean: Clean,
    /// Which of the trims serves it; `None` for a chain that rubs in any.
    pub trim: Option<usize>,
    /// Room to the plates with the cage in that trim, or in the best position where it rubs in any.
    pub rooms: Rooms,
    /// Lower edge of the chain over the bridge.
    pub over_bridge: Length,
}

impl FrontMap {
    /// Pairs that rub wherever the cage stands.
    pub fn always_rubs(&self) -> impl Iterator<Item = (Teeth, FrontGear)> + '_ {
        self.rings
            .iter()
            .flat_map(|ring| ring.gears.iter().map(|gear| (ring.ring, *gear)))
            .filter(|(_, gear)| gear.clean.width() < Length::mm(0.0))
    }

    /// Positions that all rings together ask for.
    pub fn positions_wanted(&self) -> usize {
        self.rings.iter().map(|ring| ring.trims.len()).sum()
    }

    /// Whether lever and derailleur move the cage far enough; `None` if that is not known.
    pub fn travels_enough(&self) -> Option<bool> {
        self.travel_given.map(|given| given.least() >= self.travel_needed.to_mm())
    }
}

/// Works out the map of the bike after the refit.
pub(super) fn front(build: &Build) -> Section<FrontMap> {
    if teeth(build, After, Dimension::Rings).len() == 1 {
        return Section::NotTouched;
    }
    let touched_by = [
        Slot::Crankset,
        Slot::Chainrings,
        Slot::BottomBracket,
        Slot::FrontDerailleur,
        Slot::Cassette,
        Slot::Chain,
        Slot::RearWheel,
    ];
    Section::work_out(build, &touched_by, work)
}

fn work(ask: &mut Ask<'_>) -> Result<FrontMap, Unworked> {
    let bike = FrontBike::ask(ask);
    let mut assumed = Vec::new();
    let cage = cage(ask, bike.as_ref().map_or(2, |bike| bike.rings.len()), &mut assumed);
    let throw = ask.number(After, Dimension::FrontThrow);
    let ratio = ask.number(After, Dimension::FrontRatio);
    let bike = bike.ok_or(Unworked::Wanting)?;
    let impossible = |error: FrontError| Unworked::Impossible(error.to_string());
    let runs = bike.runs(Corner::Read);
    let mut rings = Vec::with_capacity(runs.len());
    let mut passes: Vec<Vec<Pass>> = Vec::with_capacity(runs.len());
    for ((ring, at), runs) in bike.rings.iter().zip(bike.rings_at()).zip(&runs) {
        let passed =
            runs.iter().map(|run| pass(&cage, run)).collect::<Result<Vec<_>, _>>().map_err(impossible)?;
        rings.push(ring_map(*ring, at, &bike.cogs, &passed));
        passes.push(passed);
    }
    // Rings are listed largest first and cogs smallest first.
    let low_low = passes.last().and_then(|ring| ring.last());
    let high_high = passes.first().and_then(|ring| ring.first());
    let (Some(low_low), Some(high_high)) = (low_low, high_high) else { return Err(Unworked::Wanting) };
    let stops = stops(low_low, high_high, INNER_ROOM, OUTER_ROOM);
    let gaps_mm = bike.ring_gap.middle() * (bike.rings.len() - 1) as f64 + OVERSHIFT_MM;
    let (outer, small_cog) = (&runs[0][0], runs[0][0].cog);
    Ok(FrontMap {
        smallest_ring: smallest_inner_ring(&cage, outer, small_cog, Length::mm(0.0)).map_err(impossible)?,
        largest_inner_ring: largest_inner_ring(&cage, outer.outer_ring, OVER_TIPS),
        slot_rings: slot_rings(ask),
        lever_positions: whole(ask.build, After, Dimension::FrontPositions),
        rings,
        cage,
        assumed,
        low_stop: stops.low,
        high_stop: stops.high,
        travel_needed: Length::mm(gaps_mm.max(stops.travel().to_mm())),
        travel_given: throw
            .zip(ratio)
            .map(|(throw, ratio)| throw.map2_monotone(ratio, |mm, times| mm * times)),
    })
}

fn ring_map(ring: Teeth, at: Length, cogs: &[Teeth], passed: &[Pass]) -> RingMap {
    let clean: Vec<Clean> = passed.iter().map(Pass::clean).collect();
    let trims = steady_trims(&clean);
    let gears = cogs.iter().zip(passed).map(|(cog, pass)| {
        let clean = pass.clean();
        // The rider takes the trim that leaves the most room.
        let room = |trim: &Trim| pass.rooms(trim.middle()).least();
        let mut best: Option<usize> = None;
        for (place, trim) in trims.iter().enumerate() {
            let better = best.and_then(|best| trims.get(best)).is_none_or(|best| room(trim) > room(best));
            if room(trim) >= Length::mm(0.0) && better {
                best = Some(place);
            }
        }
        let trim = best;
        let position = trim.and_then(|trim| trims.get(trim)).map_or(clean.middle(), |trim| trim.middle());
        FrontGear {
            cog: *cog,
            aside_at_tail: pass.at_tail - at,
            clean,
            trim,
            rooms: pass.rooms(position),
            over_bridge: pass.over_bridge,
        }
    });
    RingMap { ring, at, gears: gears.collect(), trims }
}

/// The cage as measured; a usual dimension holds the place of one that was not, and is named.
fn cage(ask: &mut Ask<'_>, rings: usize, assumed: &mut Vec<Dimension>) -> FrontCage {
    let plates = ask.known_word::<CagePlates>(After, Dimension::CagePlates);
    let triple = plates.map_or(rings > 2, |plates| plates == CagePlates::Triple);
    let (depth_mm, bridge_mm) = if triple { (DEPTH_MM.1, BRIDGE_MM.1) } else { (DEPTH_MM.0, BRIDGE_MM.0) };
    let mut mm = |dimension, usual_mm: f64| match ask.number(After, dimension) {
        Some(span) => Length::mm(span.middle()),
        None => {
            assumed.push(dimension);
            Length::mm(usual_mm)
        }
    };
    let nose_width = mm(Dimension::FrontCageNose, NOSE_MM);
    let tail_width = mm(Dimension::FrontCageTail, TAIL_MM);
    let length = mm(Dimension::FrontCageLength, LENGTH_MM);
    let tail_behind = mm(Dimension::FrontTailBehind, BEHIND_MM);
    let inner_depth = mm(Dimension::FrontInnerDepth, depth_mm);
    let bridge_depth = mm(Dimension::FrontBridge, bridge_mm);
    // Height and turn are set on the stand: as the shop sets them, unless somebody read them off.
    let height =
        ask.known_number(After, Dimension::FrontHeight).map_or(HEIGHT, |span| Length::mm(span.middle()));
    let yaw = ask.known_number(After, Dimension::FrontYaw).map_or(0.0, Span::middle);
    FrontCage {
        nose_width,
        tail_width,
        length,
        tail_behind,
        yaw: Angle::deg(yaw),
        height,
        inner_depth,
        bridge_depth,
    }
}

fn slot_rings(ask: &mut Ask<'_>) -> Option<(Teeth, Teeth)> {
    let mut mm = |dimension| ask.known_number(After, dimension).map(|span| Length::mm(span.middle()));
    let (low, high, now) = (mm(Dimension::TabLow)?, mm(Dimension::TabHigh)?, mm(Dimension::TabNow)?);
    let ring = ask.teeth(Before, Dimension::Rings)?.into_iter().max()?;
    rings_for_slot(ring, now, low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, ratio, teeth as toothed, word};
    use crate::rules::front_cage_rub::RULE;

    fn bench() -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(410.0, 2.0))
            .found(Dimension::Rings, toothed(&[53, 39]))
            .chosen(Dimension::Rings, toothed(&[50, 34]))
            .chosen(Dimension::FrontChainline, mm(43.5, 0.5))
            .chosen(Dimension::RingGap, mm(7.3, 0.0))
            .chosen(Dimension::ChainWidth, mm(5.6, 0.0))
            .chosen(Dimension::Cogs, toothed(&[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]))
            .chosen(Dimension::CogPitch, mm(3.74, 0.0))
            .chosen(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::HubWidth, mm(130.0, 0.5))
            .found(Dimension::SmallCogGap, mm(3.0, 0.3))
    }

    fn map(bench: Bench) -> FrontMap {
        front(&bench.build()).value().cloned().unwrap()
    }

    #[test]
    fn a_usual_cage_holds_the_place_of_one_that_nobody_measured_and_is_asked_for() {
        let section = front(&bench().build());
        let map = section.value().unwrap();
        assert_eq!(map.assumed.len(), 6);
        assert!(section.wanted().iter().any(|missing| missing.dimension == Dimension::FrontCageNose));
        assert_eq!(map.rings.len(), 2);
        assert_eq!(map.rings[1].gears.len(), 11);
        // A cage for two rings is sold for 16 teeth of difference.
        assert!((33..=35).contains(&map.smallest_ring.unwrap().get()), "{:?}", map.smallest_ring);
        assert_eq!(map.always_rubs().count(), 0);
        assert_eq!(map.travels_enough(), None);
    }

    #[test]
    fn the_chain_leans_out_to_small_cogs_and_in_to_large_ones() {
        for ring in map(bench()).rings {
            let aside: Vec<f64> = ring.gears.iter().map(|gear| gear.aside_at_tail.to_mm()).collect();
            assert!(aside.windows(2).all(|pair| pair[0] > pair[1]) && aside[0] > 0.0 && aside[10] < 0.0);
        }
    }

    #[test]
    fn every_gear_that_a_trim_serves_has_room_on_both_sides() {
        let map = map(bench());
        for gear in map.rings.iter().flat_map(|ring| &ring.gears) {
            assert!(gear.trim.is_some() && gear.rooms.least() >= Length::mm(0.0), "{gear:?}");
        }
        assert!(map.positions_wanted() >= 2);
    }

    #[test]
    fn a_narrow_cage_names_the_pairs_that_no_trim_helps() {
        let narrow = bench()
            .chosen(Dimension::FrontCageNose, mm(6.0, 0.1))
            .chosen(Dimension::FrontCageTail, mm(7.0, 0.1));
        let map = map(narrow);
        assert!(map.always_rubs().count() >= 2);
        assert!(map.always_rubs().all(|(_, gear)| gear.trim.is_none()));
    }

    #[test]
    fn what_the_lever_gives_is_set_against_what_the_rings_ask_for() {
        let with = |throw| {
            map(bench()
                .found(Dimension::FrontThrow, mm(throw, 0.2))
                .found(Dimension::FrontRatio, ratio(1.2, 0.05))
                .found(Dimension::FrontPositions, count(3)))
        };
        assert_eq!(with(9.0).travels_enough(), Some(true));
        assert_eq!(with(6.0).travels_enough(), Some(false));
        assert_eq!(with(6.0).lever_positions, Some(3));
    }

    #[test]
    fn a_slot_says_which_rings_it_serves() {
        let slot = bench()
            .found(Dimension::FrameFrontMount, word("tab"))
            .found(Dimension::TabLow, mm(140.0, 1.0))
            .found(Dimension::TabHigh, mm(160.0, 1.0))
            .found(Dimension::TabNow, mm(155.0, 1.0));
        let (least, most) = map(slot).slot_rings.unwrap();
        assert_eq!((least.get(), most.get()), (46, 55));
    }

    #[test]
    fn what_is_missing_is_named_and_one_ring_has_no_map() {
        let section = front(&bench().without(Dimension::FrontChainline).build());
        assert!(section.value().is_none());
        assert!(section.wanted().iter().any(|missing| missing.dimension == Dimension::FrontChainline));
        assert_eq!(front(&bench().chosen(Dimension::Rings, toothed(&[42])).build()), Section::NotTouched);
        assert_eq!(front(&Build::new(&crate::Refit::default())), Section::NotTouched);
    }

    #[test]
    fn a_tail_that_stands_nowhere_is_not_possible_and_says_why() {
        let section = front(&bench().chosen(Dimension::FrontTailBehind, mm(125.0, 2.0)).build());
        let Section::Impossible { why, facts } = section else { panic!("{section:?}") };
        assert_eq!(why, "found a tail 125 mm behind the cranks, wanted less than the 107 mm of its plate");
        assert!(!facts.is_empty());
    }
}
