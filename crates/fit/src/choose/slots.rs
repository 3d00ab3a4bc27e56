//! Which slots may change, and with which parts.

use crate::build::Build;
use crate::refit::Refit;
use catalog::{BrakeMount, Catalogue, Dimension, Part, Parts, Slot, Value, Word};
use quantity::{Money, Quantity, Reading};
use std::collections::BTreeMap;

/// A slot that may change: what may stand in it. `None` is what the bike has.
#[derive(Clone, Debug)]
pub(crate) struct Open {
    pub slot: Slot,
    pub options: Vec<Option<Part>>,
}

/// Slots of the drive: they may change unless the wish keeps them.
const DRIVE: &[Slot] = &[
    Slot::RearWheel,
    Slot::Cassette,
    Slot::Chain,
    Slot::Crankset,
    Slot::Chainrings,
    Slot::BottomBracket,
    Slot::RearDerailleur,
    Slot::FrontDerailleur,
    Slot::Levers,
    Slot::Shifters,
    Slot::Calipers,
];

/// What is never bought together: rings come with a crankset, and levers that shift make shifters idle.
pub(crate) const EITHER: &[(Slot, Slot)] =
    &[(Slot::Crankset, Slot::Chainrings), (Slot::Levers, Slot::Shifters)];

/// Parts that were left out before the search, and why.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// Without a price: unknown, not zero.
    pub unpriced: Vec<String>,
    /// Without a mass, where mass is an aim.
    pub unweighed: Vec<String>,
}

/// The slots that the refit leaves to the search. Shifting stays where it is, on levers or on shifters, unless the wish
/// frees the other.
pub(crate) fn open_slots(refit: &Refit) -> Vec<Slot> {
    let build = Build::new(refit);
    let shifting = build.shifting_slot(crate::build::When::Before);
    let wish = &refit.wish.set;
    // Rings alone are looked for where it is known what the arms take.
    let circle = refit.bike.reading(Slot::Crankset, Dimension::BoltCircle);
    let circle_known = circle.is_some_and(|circle| circle.taken().is_some());
    Slot::ALL
        .iter()
        .copied()
        .filter(|slot| *slot != Slot::Frame && !refit.choice.has(*slot))
        .filter(|slot| (DRIVE.contains(slot) || wish.free.contains(slot)) && !wish.keep.contains(slot))
        .filter(|slot| {
            !matches!(slot, Slot::Levers | Slot::Shifters) || *slot == shifting || wish.free.contains(slot)
        })
        .filter(|slot| {
            *slot != Slot::Calipers || brakes_of(&refit.bike).is_some() || wish.free.contains(slot)
        })
        // What the bike has not got is not put on: discs stay discs, a single ring gets no front derailleur by itself.
        .filter(|slot| {
            !matches!(slot, Slot::Calipers | Slot::FrontDerailleur | Slot::Chainrings)
                || refit.bike.has(*slot)
                || wish.free.contains(slot)
                || *slot == Slot::FrontDerailleur && wish.rings != Some(1)
                || *slot == Slot::Chainrings && circle_known
        })
        .collect()
}

/// Kinds of brake, none of which goes where another one was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Brakes {
    RimBolt,
    RimTwoBolts,
    Studs,
    Disc,
}

/// The kind of brake by its mount.
fn brakes_by(mount: BrakeMount) -> Brakes {
    match mount {
        BrakeMount::RimBolt => Brakes::RimBolt,
        BrakeMount::DirectRim => Brakes::RimTwoBolts,
        BrakeMount::Studs => Brakes::Studs,
        BrakeMount::DiscPost | BrakeMount::DiscFlat | BrakeMount::DiscTab51 => Brakes::Disc,
    }
}

/// The kind of brake that the bike has, by what was looked at: mounts, what is measured on one kind alone, rotors. Where
/// nobody looked, brakes are not exchanged unasked.
fn brakes_of(bike: &Parts) -> Option<Brakes> {
    let word = |slot, dimension| match bike.reading(slot, dimension) {
        Some(Reading::Taken(Value::Word(noted))) => BrakeMount::read(noted.value),
        _ => None,
    };
    let taken = |slot, dimension| matches!(bike.reading(slot, dimension), Some(Reading::Taken(_)));
    let mounts = [
        word(Slot::Frame, Dimension::MountRear),
        word(Slot::Frame, Dimension::MountFront),
        word(Slot::Calipers, Dimension::CaliperMount),
    ];
    let reach = [Dimension::ReachRear, Dimension::ReachFront];
    let by_mount = mounts.into_iter().flatten().next().map(brakes_by);
    by_mount
        .or_else(|| reach.iter().any(|reach| taken(Slot::Frame, *reach)).then_some(Brakes::RimBolt))
        .or_else(|| taken(Slot::Frame, Dimension::StudSpacing).then_some(Brakes::Studs))
        .or_else(|| bike.has(Slot::Rotors).then_some(Brakes::Disc))
}

/// The parts that may stand in a slot: brakes of the kind that the bike has, and levers that only brake are none where levers shift.
pub(crate) fn candidates<'a>(
    refit: &'a Refit,
    catalogue: &'a Catalogue,
    slot: Slot,
    weighed: bool,
    left_out: &mut LeftOut,
) -> Vec<&'a Part> {
    let shifts = |part: &&Part| {
        slot != Slot::Levers
            || part.get(Dimension::ShiftPositions).is_some_and(|positions| positions.taken().is_some())
    };
    let wanted =
        |part: &&Part| part.id().is_none_or(|id| !refit.wish.set.avoid.iter().any(|avoid| avoid == id));
    let found = refit.bike.get(slot);
    let same =
        |part: &&Part| found.as_ref().is_some_and(|found| found.id().is_some() && found.id() == part.id());
    let brakes = brakes_of(&refit.bike);
    let of_kind = |part: &&Part| match part.get(Dimension::CaliperMount) {
        Some(Reading::Taken(Value::Word(noted))) if slot == Slot::Calipers && brakes.is_some() => {
            BrakeMount::read(noted.value).map(brakes_by) == brakes
        }
        _ => true,
    };
    let mut parts = Vec::new();
    for part in catalogue.for_slot(slot).filter(shifts).filter(wanted).filter(of_kind) {
        let key = || part.id().unwrap_or(part.name()).to_owned();
        if part.price().is_none() {
            left_out.unpriced.push(key());
        } else if weighed && part.mass().is_none() {
            left_out.unweighed.push(key());
        } else if !same(&part) || slot == Slot::Chain {
            // A new chain of the same make is another chain: longer, and not worn.
            parts.push(part);
        }
    }
    unbeaten(slot, &parts, weighed)
}

/// Of parts with the same readings in every dimension, which no rule can tell apart, those that no other beats in
/// price, days and, where it counts, mass.
fn unbeaten<'a>(slot: Slot, parts: &[&'a Part], weighed: bool) -> Vec<&'a Part> {
    let mut keys: Vec<Vec<usize>> = vec![Vec::new(); parts.len()];
    for field in slot.fields() {
        let mut known = Vec::new();
        for (key, part) in keys.iter_mut().zip(parts) {
            let reading = part.get(field.dimension);
            let place = known.iter().position(|other| *other == reading).unwrap_or_else(|| {
                known.push(reading);
                known.len() - 1
            });
            key.push(place);
        }
    }
    let mut alike: BTreeMap<Vec<usize>, Vec<usize>> = BTreeMap::new();
    for (at, key) in keys.into_iter().enumerate() {
        alike.entry(key).or_default().push(at);
    }
    let costs = |at: usize| {
        let part = parts[at];
        let mass = part.mass().filter(|_| weighed).map_or(0, |mass| (mass.base() * 1000.0).round() as i64);
        [part.price().map_or(i64::MAX, Money::minor), i64::from(part.lead_days().unwrap_or(u32::MAX)), mass]
    };
    let beats = |one: usize, other: usize| {
        let (a, b) = (costs(one), costs(other));
        one != other && a.iter().zip(&b).all(|(a, b)| a <= b) && (a != b || one < other)
    };
    let mut kept: Vec<usize> = alike
        .values()
        .flat_map(|group| group.iter().filter(|at| !group.iter().any(|other| beats(*other, **at))))
        .copied()
        .collect();
    kept.sort_unstable();
    kept.into_iter().map(|at| parts[at]).collect()
}

/// The parts of a slot that a search would try; none where the search would leave the slot alone.
pub(crate) fn wanted_parts<'a>(refit: &'a Refit, catalogue: &'a Catalogue, slot: Slot) -> Vec<&'a Part> {
    if open_slots(refit).contains(&slot) {
        candidates(refit, catalogue, slot, false, &mut LeftOut::default())
    } else {
        Vec::new()
    }
}
