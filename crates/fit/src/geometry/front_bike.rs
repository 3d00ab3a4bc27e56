//! What the chain in the front cage hangs on: rings, cogs and where they stand, asked for once for rule and map.

use crate::ask::Ask;
use crate::build::When::After;
use catalog::Dimension;
use mechanics::chainline::{cog_positions, ring_positions};
use mechanics::front_map::FrontRun;
use quantity::{Length, Span, Teeth};

/// Rings and cogs of the bike after the refit with all that places them, in millimetres.
pub(crate) struct FrontBike {
    /// The rings, largest first.
    pub(crate) rings: Vec<Teeth>,
    /// The cogs, smallest first.
    pub(crate) cogs: Vec<Teeth>,
    pitches: Vec<Span>,
    chainline: Span,
    /// Middle to middle of neighbouring rings.
    pub(crate) ring_gap: Span,
    hub_width: Span,
    small_cog_gap: Span,
    cog_thickness: Span,
    chain_outer: Span,
    chainstay: Span,
}

/// Which end of the tolerances.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Corner {
    /// As read.
    Read,
    /// The widest chain on the shortest stay, with all cogs as far inward of the rings as they may stand.
    WorstInward,
    /// The same with the cogs outward.
    WorstOutward,
}

impl FrontBike {
    /// Asks for everything; `None` where something is missing, which is then noted.
    pub(crate) fn ask(ask: &mut Ask<'_>) -> Option<Self> {
        let rings = ask.teeth(After, Dimension::Rings);
        let cogs = ask.teeth(After, Dimension::Cogs);
        let pitches = ask.cog_pitches(After, cogs.as_ref().map_or(2, Vec::len));
        let numbers = [
            Dimension::FrontChainline,
            Dimension::RingGap,
            Dimension::HubWidth,
            Dimension::SmallCogGap,
            Dimension::CogThickness,
            Dimension::ChainWidth,
            Dimension::Chainstay,
        ]
        .map(|dimension| ask.number(After, dimension));
        let [chainline, ring_gap, hub_width, small_cog_gap, cog_thickness, chain_outer, chainstay] = numbers;
        Some(Self {
            rings: rings?,
            cogs: cogs?,
            pitches: pitches?,
            chainline: chainline?,
            ring_gap: ring_gap?,
            hub_width: hub_width?,
            small_cog_gap: small_cog_gap?,
            cog_thickness: cog_thickness?,
            chain_outer: chain_outer?,
            chainstay: chainstay?,
        })
    }

    /// The places of the rings, the outermost first.
    pub(crate) fn rings_at(&self) -> Vec<Length> {
        let mm = |span: Span| Length::mm(span.middle());
        ring_positions(mm(self.chainline), mm(self.ring_gap), self.rings.len())
    }

    /// Every ring with every cog at a corner of the tolerances, one list a ring.
    pub(crate) fn runs(&self, corner: Corner) -> Vec<Vec<FrontRun>> {
        let mm = |span: Span| Length::mm(span.middle());
        let pitches: Vec<Length> = self.pitches.iter().map(|pitch| mm(*pitch)).collect();
        let cogs_at =
            cog_positions(mm(self.hub_width), mm(self.small_cog_gap), mm(self.cog_thickness), &pitches);
        let (stay, chain, aside_mm) = match corner {
            Corner::Read => (self.chainstay.middle(), self.chain_outer.middle(), 0.0),
            Corner::WorstInward => (self.chainstay.least(), self.chain_outer.most(), -self.aside_mm()),
            Corner::WorstOutward => (self.chainstay.least(), self.chain_outer.most(), self.aside_mm()),
        };
        let outer = self.rings.iter().copied().max();
        self.rings
            .iter()
            .zip(self.rings_at())
            .map(|(ring, ring_at)| {
                let run = |(cog, cog_at): (&Teeth, &Length)| FrontRun {
                    ring: *ring,
                    outer_ring: outer.unwrap_or(*ring),
                    ring_at,
                    cog: *cog,
                    cog_at: *cog_at + Length::mm(aside_mm),
                    chainstay: Length::mm(stay),
                    chain_outer: Length::mm(chain),
                };
                self.cogs.iter().zip(&cogs_at).map(run).collect()
            })
            .collect()
    }

    /// How far the cogs may stand aside of where they were read against the rings: all tolerances together.
    fn aside_mm(&self) -> f64 {
        let pitches: f64 = self.pitches.iter().map(|pitch| pitch.half_width()).sum();
        let gaps = self.ring_gap.half_width() * (self.rings.len().saturating_sub(1)) as f64 / 2.0;
        let hub = (self.hub_width.half_width() + self.cog_thickness.half_width()) / 2.0;
        self.chainline.half_width() + gaps + hub + self.small_cog_gap.half_width() + pitches
    }
}
