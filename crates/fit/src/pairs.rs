//! Every ring with every cog: development, chain needed, slack and rub.

use crate::build::{Build, When};
use catalog::{Dimension, Value};
use mechanics::{chain, chainline, gears};
use quantity::{Length, Reading, Span, Teeth};

/// One ring with one cog.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// The ring.
    pub ring: Teeth,
    /// The cog.
    pub cog: Teeth,
    /// Way of the bike in one turn of the cranks, metres.
    pub development_m: Option<f64>,
    /// Angle of the chain to the middle plane, degrees.
    pub chain_angle_deg: Option<f64>,
    /// Chain that hangs slack, pitches; negative is reserve.
    pub slack_pitches: Option<f64>,
    /// Gap between the chain and the next larger ring, millimetres.
    pub rub_gap_mm: Option<f64>,
}

/// Slack beyond this is avoided: rounding the chain up to an even count can cost one pitch by itself.
pub const SLACK_AVOIDED_PITCHES: f64 = 1.0;

/// Why a pair is avoided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Avoid {
    /// The chain rubs on the next larger ring.
    Rubs,
    /// The chain hangs slack.
    Slack,
}

impl Pair {
    /// Gear ratio.
    pub fn ratio(&self) -> f64 {
        gears::ratio(self.ring, self.cog)
    }

    /// Why the pair is avoided; empty if it is not.
    pub fn avoid(&self) -> Vec<Avoid> {
        let mut why = Vec::new();
        if self.rub_gap_mm.is_some_and(|gap| gap < 0.0) {
            why.push(Avoid::Rubs);
        }
        if self.slack_pitches.is_some_and(|slack| slack >= SLACK_AVOIDED_PITCHES) {
            why.push(Avoid::Slack);
        }
        why
    }
}

/// All pairs of one of the two bikes, largest ring first, smallest cog first. What is unknown stays unknown.
///
/// The chain is the one on the bike before the refit and the count that the new parts need after it.
pub fn pairs(build: &Build, when: When) -> Vec<Pair> {
    let rings = teeth(build, when, Dimension::Rings);
    let cogs = teeth(build, when, Dimension::Cogs);
    let rollout = number(build, when, Dimension::Rollout).map(Length::mm);
    let chainstay = number(build, when, Dimension::Chainstay).map(Length::mm);
    let capacity = whole(build, when, Dimension::Capacity);
    let chain_count = match when {
        When::Before => whole(build, when, Dimension::ChainCount),
        When::After => chainstay.and_then(|stay| needed_count(&rings, &cogs, stay)),
    };
    let lateral = Lateral::of(build, when, rings.len(), cogs.len());
    let mut all = Vec::with_capacity(rings.len() * cogs.len());
    for (r, ring) in rings.iter().enumerate() {
        for (c, cog) in cogs.iter().enumerate() {
            let need = chainstay.and_then(|stay| chain::need(*ring, *cog, stay).ok());
            let slack = match (chain_count, need, capacity) {
                (Some(count), Some(need), Some(capacity)) => {
                    Some(chain::slack(count, need, capacity).to_f64())
                }
                _ => None,
            };
            let positions = lateral.as_ref().map(|lateral| (lateral.rings[r], lateral.cogs[c]));
            let chain_angle_deg = match (positions, chainstay) {
                (Some((ring_at, cog_at)), Some(stay)) => {
                    Some(chainline::angle(ring_at, cog_at, stay).to_deg())
                }
                _ => None,
            };
            let rub = match (&lateral, r.checked_sub(1).and_then(|outer| rings.get(outer)), chainstay) {
                (Some(lateral), Some(outer), Some(stay)) => Some(lateral.rub(*outer, *ring, r, c, stay)),
                _ => None,
            };
            all.push(Pair {
                ring: *ring,
                cog: *cog,
                development_m: rollout.map(|rollout| gears::development_m(*ring, *cog, rollout)),
                chain_angle_deg,
                slack_pitches: slack,
                rub_gap_mm: rub.filter(|gap| gap.is_finite()),
            });
        }
    }
    all
}

/// The chain count that largest ring and largest cog need, with the two spare pitches of the trade.
pub fn needed_count(rings: &[Teeth], cogs: &[Teeth], chainstay: Length) -> Option<u32> {
    let need = chain::need(*rings.iter().max()?, *cogs.iter().max()?, chainstay).ok()?;
    Some(chain::count(need))
}

/// Where the rings stand sideways, largest first, millimetres to the right of the middle plane; none where unknown.
pub fn rings_at_mm(build: &Build, when: When) -> Option<Vec<f64>> {
    let rings = teeth(build, when, Dimension::Rings).len();
    let mm = |dimension| number(build, when, dimension).map(Length::mm);
    let gap = mm(Dimension::RingGap).or((rings == 1).then(|| Length::mm(0.0)))?;
    let at = chainline::ring_positions(mm(Dimension::FrontChainline)?, gap, rings);
    (rings > 0 && at.len() == rings).then(|| at.into_iter().map(Length::to_mm).collect())
}

/// Where the cogs stand sideways, smallest first, likewise.
pub fn cogs_at_mm(build: &Build, when: When) -> Option<Vec<f64>> {
    let cogs = teeth(build, when, Dimension::Cogs).len();
    let mm = |dimension| number(build, when, dimension).map(Length::mm);
    let pitches = cog_pitches(build, when, cogs)?;
    let (hub, gap) = (mm(Dimension::HubWidth)?, mm(Dimension::SmallCogGap)?);
    let at = chainline::cog_positions(hub, gap, mm(Dimension::CogThickness)?, &pitches);
    (cogs > 0 && at.len() == cogs).then(|| at.into_iter().map(Length::to_mm).collect())
}

/// Where rings and cogs stand sideways.
struct Lateral {
    rings: Vec<Length>,
    cogs: Vec<Length>,
    ring_gap: Length,
    ring_thickness: Length,
    chain_width: Length,
}

impl Lateral {
    fn of(build: &Build, when: When, n_rings: usize, n_cogs: usize) -> Option<Self> {
        let mm = |dimension| number(build, when, dimension).map(Length::mm);
        let thickness = mm(Dimension::CogThickness)?;
        let pitches = cog_pitches(build, when, n_cogs)?;
        let cogs = chainline::cog_positions(
            mm(Dimension::HubWidth)?,
            mm(Dimension::SmallCogGap)?,
            thickness,
            &pitches,
        );
        let ring_gap = mm(Dimension::RingGap).or((n_rings == 1).then(|| Length::mm(0.0)))?;
        let rings = chainline::ring_positions(mm(Dimension::FrontChainline)?, ring_gap, n_rings);
        let complete = cogs.len() == n_cogs && rings.len() == n_rings;
        let (ring_thickness, chain_width) = (mm(Dimension::RingThickness)?, mm(Dimension::ChainWidth)?);
        complete.then_some(Self { rings, cogs, ring_gap, ring_thickness, chain_width })
    }

    fn rub(&self, outer: Teeth, inner: Teeth, ring: usize, cog: usize, chainstay: Length) -> f64 {
        let (ring_at, cog_at) = (self.rings[ring], self.cogs[cog]);
        let (gap, width, thickness) = (self.ring_gap, self.chain_width, self.ring_thickness);
        chainline::rub_gap(gap, width, thickness, outer, inner, ring_at, cog_at, chainstay).to_mm()
    }
}

fn cog_pitches(build: &Build, when: When, n_cogs: usize) -> Option<Vec<Length>> {
    if let Some(Value::Lengths(list)) = value(build, when, Dimension::CogPitches) {
        return Some(list.iter().map(|m| m.value).collect());
    }
    number(build, when, Dimension::CogPitch).map(|pitch| vec![Length::mm(pitch); n_cogs.saturating_sub(1)])
}

fn value(build: &Build, when: When, dimension: Dimension) -> Option<Value> {
    match build.reading(build.slot_of(dimension, when), when, dimension) {
        Reading::Taken(value) => Some(value),
        _ => None,
    }
}

/// The middle of a known number, base units.
pub fn number(build: &Build, when: When, dimension: Dimension) -> Option<f64> {
    value(build, when, dimension).and_then(|value| value.span()).map(Span::middle)
}

/// A known whole number.
pub fn whole(build: &Build, when: When, dimension: Dimension) -> Option<u32> {
    match value(build, when, dimension) {
        Some(Value::Count(noted)) => Some(noted.value),
        _ => None,
    }
}

/// Known tooth counts; empty where unknown.
pub fn teeth(build: &Build, when: When, dimension: Dimension) -> Vec<Teeth> {
    match value(build, when, dimension) {
        Some(Value::Teeth(noted)) => noted.value,
        _ => Vec::new(),
    }
}
