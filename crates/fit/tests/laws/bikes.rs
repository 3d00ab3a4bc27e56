//! Bikes as they come in: any reading may be there or not, likely or odd, fine or coarse.
//!
//! A bike is grown from a list of seeds, one for each field. Seed 0 leaves its field out, so a failing bike
//! shrinks to the readings that matter.

use catalog::{Catalogue, Dimension, Noted, Part, Parts, Slot, Sort, Value};
use fit::{Hands, LowestGear, Refit, Wish};
use proptest::prelude::*;
use quantity::{Angle, Basis, Length, Measured, Percent, Quantity, Ratio, Reading, Teeth};

/// A stream of numbers from one seed (splitmix64): the same seed gives the same bike.
pub(crate) struct Chance(u64);

impl Chance {
    /// The stream of a seed.
    pub(crate) fn of(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to below 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// One of `n` numbers from 0 on.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    fn of_list<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }
}

/// Every field of a bike, slot by slot.
fn fields() -> Vec<(Slot, Dimension)> {
    Slot::ALL.iter().flat_map(|slot| slot.fields().iter().map(|field| (*slot, field.dimension))).collect()
}

/// Any refit from the parts of a catalogue.
pub(crate) fn refits(catalogue: &Catalogue) -> impl Strategy<Value = Refit> {
    let catalogue = catalogue.clone();
    let field_seeds = proptest::collection::vec(any::<u64>(), fields().len());
    let slot_seeds = proptest::collection::vec(any::<u64>(), Slot::ALL.len());
    (field_seeds, slot_seeds.clone(), slot_seeds, any::<u64>())
        .prop_map(move |(fields, found, chosen, wish)| grow(&catalogue, &fields, &found, &chosen, wish))
}

fn grow(catalogue: &Catalogue, seeds: &[u64], found: &[u64], chosen: &[u64], wish_seed: u64) -> Refit {
    let mut whole = Chance::of(wish_seed);
    // Some bikes are measured throughout, some hardly at all.
    let density = whole.of_list(&[1.0, 1.0, 0.95, 0.8, 0.3]);
    let chosen_share = whole.of_list(&[0.15, 0.3, 0.6]);
    let mut refit = Refit { name: "any bike".to_owned(), wish: wish(&mut whole), ..Refit::default() };
    refit.rider.inseam = (whole.share() < 0.3).then(|| Length::mm(600.0 + 350.0 * whole.share()));
    for (slot, seed) in Slot::ALL.iter().zip(found) {
        // Few bikes have shifters apart from the levers.
        if *slot == Slot::Shifters && seed % 4 != 0 {
            continue;
        }
        if let Some(part) = from_catalogue(catalogue, *slot, *seed, 0.8) {
            refit.bike.put(part);
        }
    }
    for ((slot, dimension), seed) in fields().into_iter().zip(seeds) {
        if *seed == 0 || (slot == Slot::Shifters && !refit.bike.has(slot)) {
            continue;
        }
        let mut chance = Chance::of(*seed);
        let known = refit.bike.reading(slot, dimension).is_some_and(|reading| reading.is_answered());
        if chance.share() > if known { 0.25 } else { density } {
            continue;
        }
        let mut part = refit.bike.get(slot).unwrap_or_else(|| slot.empty());
        assert!(part.set(dimension, reading(dimension, &mut chance)));
        refit.bike.put(part);
    }
    for (slot, seed) in Slot::ALL.iter().zip(chosen) {
        let mut chance = Chance::of(*seed);
        if *slot == Slot::Frame || chance.share() > chosen_share {
            continue;
        }
        if let Some(part) = from_catalogue(catalogue, *slot, *seed, 0.85) {
            refit.choice.put(changed(part, &mut chance));
        } else if *seed != 0 {
            refit.choice.put(on_the_spot(*slot, &mut chance));
        }
    }
    // A list has an entry for each gap or click, but for one in ten: readers do not count them.
    if whole.below(10) > 0 {
        count_lists(&mut refit.bike);
        count_lists(&mut refit.choice);
    }
    refit
}

/// Makes the lists of pitches and pulls as long as the part of the same slot says.
fn count_lists(parts: &mut Parts) {
    for (slot, list, counted) in [
        (Slot::Cassette, Dimension::CogPitches, Dimension::Cogs),
        (Slot::Levers, Dimension::ShiftPulls, Dimension::ShiftPositions),
        (Slot::Shifters, Dimension::ShiftPulls, Dimension::ShiftPositions),
    ] {
        let Some(Reading::Taken(Value::Lengths(mut entries))) = parts.reading(slot, list) else { continue };
        let gaps = match parts.reading(slot, counted) {
            Some(Reading::Taken(Value::Teeth(teeth))) => teeth.value.len().saturating_sub(1),
            Some(Reading::Taken(Value::Count(positions))) => positions.value.saturating_sub(1) as usize,
            _ => continue,
        };
        let (Some(last), Some(mut part)) = (entries.last().cloned(), parts.get(slot)) else { continue };
        entries.resize(gaps, last);
        let reading = if gaps == 0 { Reading::NotTaken } else { Reading::Taken(Value::Lengths(entries)) };
        assert!(part.set(list, reading));
        parts.put(part);
    }
}

fn from_catalogue(catalogue: &Catalogue, slot: Slot, seed: u64, share: f64) -> Option<Part> {
    let mut chance = Chance::of(seed ^ 0x5EED);
    let parts: Vec<&Part> = catalogue.for_slot(slot).collect();
    if seed == 0 || parts.is_empty() || chance.share() > share {
        return None;
    }
    Some(parts[chance.below(parts.len())].clone())
}

/// The part as it is in the catalogue, or with a field taken out, or with one that reads otherwise.
fn changed(part: Part, chance: &mut Chance) -> Part {
    let mut part = part;
    let fields = part.slot().fields();
    let dimension = fields[chance.below(fields.len())].dimension;
    match chance.below(6) {
        0 => _ = part.set(dimension, Reading::NotTaken),
        1 => _ = part.set(dimension, reading(dimension, chance)),
        _ => {}
    }
    part
}

fn on_the_spot(slot: Slot, chance: &mut Chance) -> Part {
    let mut part = slot.empty();
    for field in slot.fields() {
        if chance.share() < 0.8 {
            assert!(part.set(field.dimension, reading(field.dimension, chance)));
        }
    }
    part
}

fn wish(chance: &mut Chance) -> Wish {
    let lowest_gear = match chance.below(5) {
        0 => Some(LowestGear::Keep),
        1 => Some(LowestGear::Easier),
        2 => Some(LowestGear::EasierBy(Percent::from_base(1.0 + 30.0 * chance.share()))),
        _ => None,
    };
    let hands = chance.of_list(&[None, Some(Hands::Keep), Some(Hands::Free)]);
    Wish { lowest_gear, hands, ..Wish::default() }
}

fn reading(dimension: Dimension, chance: &mut Chance) -> Reading<Value> {
    match chance.below(40) {
        0 => Reading::Fine,
        1 => Reading::NotReachable,
        2 => Reading::NotNeeded,
        _ => Reading::Taken(value(dimension, chance)),
    }
}

fn value(dimension: Dimension, chance: &mut Chance) -> Value {
    let row = dimension.row();
    let bases = [Basis::Measured, Basis::Measured, Basis::Printed, Basis::Assumed, Basis::Memory];
    let basis = bases[chance.below(bases.len())].clone();
    match row.sort {
        Sort::Word(words) => {
            // The first word of a set is the usual one.
            let value = if chance.below(2) == 0 { words[0] } else { chance.of_list(words) };
            Value::Word(Noted { value, basis })
        }
        Sort::Teeth => Value::Teeth(Noted::counted(teeth(dimension, chance))),
        Sort::Count => Value::Count(Noted { value: number(dimension, chance).round() as u32, basis }),
        Sort::Length => Value::Length(measured::<Length>(dimension, chance, basis)),
        Sort::Angle => Value::Angle(measured::<Angle>(dimension, chance, basis)),
        Sort::Ratio => Value::Ratio(measured::<Ratio>(dimension, chance, basis)),
        Sort::Lengths => {
            let first = measured::<Length>(dimension, chance, basis);
            let alike = chance.below(3) > 0;
            let count = 1 + chance.below(12);
            let list = (0..count).map(|_| {
                let step = if alike { 0.0 } else { chance.share() - 0.5 };
                let value = (first.value.base() + step).clamp(row.least, row.most);
                Measured { value: Length::from_base(value), ..first.clone() }
            });
            Value::Lengths(list.collect())
        }
    }
}

fn measured<Q: Quantity>(dimension: Dimension, chance: &mut Chance, basis: Basis) -> Measured<Q> {
    let value = number(dimension, chance);
    let usual = dimension.row().tolerance.of(value);
    let tolerance = match chance.below(8) {
        0 | 1 => 0.0,
        2 => usual * 4.0 * chance.share(),
        3 => dimension.row().finer.map_or(usual, |(_, finer)| finer),
        _ => usual,
    };
    Measured { value: Q::from_base(value), tolerance: Q::from_base(tolerance), basis }
}

/// A number inside the range that is believed: mostly near a size of the trade, sometimes anywhere.
fn number(dimension: Dimension, chance: &mut Chance) -> f64 {
    let row = dimension.row();
    let anywhere = row.least + (row.most - row.least) * chance.share();
    let sizes = sizes(dimension);
    if sizes.is_empty() || chance.below(12) == 0 {
        return anywhere;
    }
    let size = chance.of_list(sizes);
    let spread = (row.tolerance.of(size) * 2.0).max(if row.sort == Sort::Count { 1.0 } else { 0.0 });
    let off = if chance.below(3) == 0 { 0.0 } else { spread * (2.0 * chance.share() - 1.0) };
    (size + off).clamp(row.least, row.most)
}

/// Sizes that bikes have, common practice; none where the range itself is the neighbourhood.
fn sizes(dimension: Dimension) -> &'static [f64] {
    use Dimension as D;
    match dimension {
        D::Chainstay => &[405.0, 410.0, 425.0, 440.0],
        D::HeadAngle => &[71.0, 73.0],
        D::SteererDiameter | D::StemSteerer => &[28.6, 28.6, 25.4],
        D::SeatTube | D::Band => &[28.6, 31.8, 34.9],
        D::TabLow => &[130.0, 140.0],
        D::TabHigh => &[160.0, 170.0],
        D::TabNow => &[145.0, 155.0],
        D::ShellWidth => &[68.0, 70.0, 73.0],
        D::ShellBore => &[33.65, 33.9, 34.6, 41.0, 46.0],
        D::ShellLeast => &[68.0],
        D::ShellMost => &[68.0, 70.0, 73.0],
        D::HangerDrop => &[28.0, 30.0, 22.0, 34.0],
        D::HangerBend => &[2.0, 5.0, 10.0],
        D::ReachFront | D::ReachRear => &[41.0, 45.0, 49.0, 52.0],
        D::SlotLeast => &[39.0, 47.0],
        D::SlotMost => &[49.0, 57.0],
        D::RearShiftBends => &[360.0, 540.0, 720.0],
        D::ShiftPieces | D::BrakePieces => &[2.0, 4.0],
        D::BuiltInStops => &[0.0, 2.0],
        D::HubWidth => &[126.0, 130.0, 135.0],
        D::BodyLength => &[34.9, 36.75],
        D::BodyNeeded => &[34.9, 36.75],
        D::SpokeGap => &[4.0, 5.0, 7.0],
        D::SmallCogGap => &[3.0, 4.0],
        D::BeadSeat => &[622.0, 622.0, 571.0, 630.0],
        D::TyreWidth => &[23.0, 25.0, 28.0],
        D::Rollout => &[2096.0, 2111.0],
        D::RimWall => &[1.2],
        D::CogPitch | D::CogPitches => &[3.72, 3.95, 4.35],
        D::CogThickness => &[1.6, 1.8],
        D::Overhang => &[0.0, 1.85],
        D::SpacerBehind => &[0.0, 1.0, 1.85],
        D::ChainCount => &[106.0, 108.0, 110.0],
        D::ChainSpeeds => &[9.0, 10.0, 11.0],
        D::ChainWidth => &[5.5, 5.9, 6.6],
        D::TwelvePitches => &[152.4, 153.0],
        D::FrontChainline => &[43.5, 45.0],
        D::RingGap => &[7.3, 8.0],
        D::RingThickness => &[2.0],
        D::CrankLength => &[170.0, 172.5, 175.0],
        D::ShiftRatio => &[1.4, 1.7, 1.1],
        D::RatedCog => &[28.0, 30.0, 32.0, 34.0],
        D::Capacity => &[29.0, 35.0, 37.0, 39.0],
        D::RingDifference => &[14.0, 16.0],
        D::LargestRing => &[50.0, 53.0],
        D::SmallestOuterRing => &[44.0, 48.0],
        D::ShiftPositions => &[9.0, 10.0, 11.0],
        D::ShiftPull | D::ShiftPulls => &[2.3, 2.7, 3.1],
        D::FrontPositions => &[2.0, 3.0],
        D::LeverRatio => &[3.8, 4.5],
        D::LeverPull | D::CaliperPull => &[11.0, 12.0, 15.0],
        D::CaliperRatio => &[0.9, 1.2],
        D::HoodReach => &[45.0, 50.0, 58.0],
        D::LeverClamp | D::BarGrip => &[23.8, 22.2],
        D::BarClamp | D::StemClamp => &[31.8, 26.0, 25.4],
        D::BarReach => &[75.0, 80.0, 90.0],
        D::BarDrop => &[125.0, 140.0],
        D::BarWidth => &[420.0],
        D::StemLength => &[90.0, 100.0, 110.0],
        D::StemAngle => &[-6.0, -17.0, 6.0],
        D::Spacers => &[10.0],
        D::TapeRoll => &[1600.0, 2100.0],
        D::TapeWidth => &[30.0],
        D::TapeSide => &[600.0, 700.0],
        D::TapeWrapped => &[32.0],
        D::ShiftInner => &[2100.0],
        D::BrakeInner => &[1700.0],
        _ => &[],
    }
}

/// Cogs rise and rings fall; a list of the wrong order is refused before it comes to a rule.
fn teeth(dimension: Dimension, chance: &mut Chance) -> Vec<Teeth> {
    let odd = chance.below(15) == 0;
    let list: Vec<i64> = if dimension == Dimension::Cogs {
        let count = if odd { 1 + chance.below(13) } else { 8 + chance.below(4) };
        let mut cog = 10 + chance.below(3) as i64;
        let widest = if odd { 7 } else { 4 };
        (0..count)
            .map(|_| {
                cog += 1 + chance.below(widest) as i64;
                (cog - 1).min(80)
            })
            .collect()
    } else {
        let count = if odd { 1 + chance.below(4) } else { 2 };
        let mut ring = if odd { 24 + chance.below(57) as i64 } else { 44 + chance.below(10) as i64 };
        (0..count)
            .map(|_| {
                let now = ring;
                ring = (ring - 8 - chance.below(10) as i64).max(6);
                now
            })
            .collect()
    };
    let mut list = list;
    list.dedup();
    list.into_iter().filter_map(|teeth| Teeth::new(teeth).ok()).collect()
}
