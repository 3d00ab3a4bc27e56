//! The cage in every gear as a document: numbers rounded to what is known of them, units in the names.

use fit::cage::{Body, Spread};
use fit::geometry::{CageMap, CagePair, CountRule, CountWindow, Gained, Held};
use schemars::JsonSchema;
use serde::Serialize;

/// The cage of the rear derailleur on one of the two bikes.
#[derive(Debug, Serialize, JsonSchema)]
pub struct DrivetrainDocument {
    /// The chain, pitches.
    pub chain_pitches: u32,
    /// Whether that chain is on the bike; else a new one is cut to it.
    pub chain_is_fitted: bool,
    /// `typical`, `read` from three readings, `contradicted` by them, or `too coarse` where they are.
    pub body: &'static str,
    /// Bottom bracket before and below the axle, millimetres.
    pub bracket_at_mm: [f64; 2],
    /// Teeth of the guide and of the tension pulley.
    pub pulley_teeth: [u32; 2],
    /// Every ring with every cog.
    pub pairs: Vec<CagePairDocument>,
    /// The counts with which every gear is taut; null if there is no such shape.
    pub window: Option<CountWindowDocument>,
    /// The same over the travel of a rear suspension; null without one.
    pub window_over_travel: Option<CountWindowDocument>,
    /// Teeth of chain that the gears ask for.
    pub capacity_needed_teeth: u32,
    /// What the cage takes up by its shape.
    pub capacity_teeth: Option<SpreadDocument>,
    /// What the leaflet prints.
    pub capacity_printed_teeth: Option<u32>,
    /// Largest cog that the guide pulley clears on this hanger, by the shape of a body.
    pub largest_cog_teeth: Option<SpreadDocument>,
    /// What the leaflet allows on this hanger; null where it is unknown.
    pub largest_cog_printed_teeth: Option<f64>,
    /// Lowest point of the cage over the ground.
    pub over_ground_mm: Option<SpreadDocument>,
    /// Lowest point of the cage below the axle by its shape, over all gears.
    pub lowest_below_axle_mm: Option<SpreadDocument>,
    /// The same by the tape, where it was measured.
    pub lowest_below_axle_by_tape_mm: Option<f64>,
    /// What a hanger extender of 15 mm does.
    pub extender_15_mm: Option<GainedDocument>,
    /// What a turn of the B-screw inward does.
    pub screw_turn: Option<GainedDocument>,
    /// The rules of the shop for the count.
    pub rules: Vec<CountRuleDocument>,
}

/// A figure and what is known of it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SpreadDocument {
    /// For the values as read.
    pub value: f64,
    /// The least it can be.
    pub least: f64,
    /// The most it can be.
    pub most: f64,
    /// Whether at some end of the tolerances there is no such figure.
    pub open: bool,
}

/// One ring with one cog.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CagePairDocument {
    /// Teeth of the ring.
    pub ring: u32,
    /// Teeth of the cog.
    pub cog: u32,
    /// `taut`, `hangs`, `touches itself`, `meshes`, `locks` or `no way`.
    pub state: &'static str,
    /// Whether that holds within all tolerances.
    pub sure: bool,
    /// Chain that is over (positive) or missing (negative); 0 where it is taut.
    pub off_mm: f64,
    /// Why there is no way for the chain; null where there is one.
    pub why: Option<String>,
    /// From the guide to the tension pulley: 0 forward, 90 straight down, more behind.
    pub cage_angle_deg: Option<SpreadDocument>,
    /// Chain that the cage can still take up.
    pub take_up_mm: Option<SpreadDocument>,
    /// Chain that the cage can still give.
    pub give_mm: Option<SpreadDocument>,
    /// Guide pulley to cog, tooth tip to tooth tip.
    pub gap_mm: Option<SpreadDocument>,
    /// Lowest point of the cage below the axle.
    pub lowest_below_axle_mm: Option<SpreadDocument>,
    /// Centre of the guide pulley before and below the axle, for the values as read.
    pub guide_at_mm: Option<[f64; 2]>,
    /// Centre of the tension pulley likewise.
    pub tension_at_mm: Option<[f64; 2]>,
}

/// The lengths of chain with which every gear is taut.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CountWindowDocument {
    /// The shortest.
    pub shortest_pitches: SpreadDocument,
    /// The ring and the cog that need it.
    pub shortest_pair: (u32, u32),
    /// The longest.
    pub longest_pitches: SpreadDocument,
    /// The ring and the cog that hang first.
    pub longest_pair: (u32, u32),
    /// Least and most even count inside; null if there is none.
    pub even: Option<(u32, u32)>,
    /// Least and most even count inside within all tolerances; null if there is none.
    pub even_sure: Option<(u32, u32)>,
    /// Least and most odd count inside, with a cranked link; null if there is none.
    pub odd: Option<(u32, u32)>,
}

/// What a change of the body does.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GainedDocument {
    /// Gap gained on the largest cog.
    pub gap_mm: f64,
    /// Largest cog before.
    pub largest_cog_before: Option<u32>,
    /// Largest cog after.
    pub largest_cog_after: Option<u32>,
    /// How far the shortest chain moves.
    pub shortest_moves_pitches: Option<f64>,
    /// How far the longest chain moves.
    pub longest_moves_pitches: Option<f64>,
}

/// A rule of the shop and what it means.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CountRuleDocument {
    /// The rule.
    pub rule: &'static str,
    /// The count it gives.
    pub count: u32,
    /// 0 inside the window; negative below, positive above.
    pub outside_pitches: f64,
    /// Ring, cog, and chain over (positive) or missing (negative) in millimetres.
    pub off: Vec<(u32, u32, f64)>,
    /// Least chain that the cage can still take up over all pairs.
    pub least_take_up_mm: Option<f64>,
    /// Least chain that it can still give over all pairs.
    pub least_give_mm: Option<f64>,
}

impl DrivetrainDocument {
    /// The document of a map.
    pub fn of(map: &CageMap) -> Self {
        Self {
            chain_pitches: map.count,
            chain_is_fitted: map.count_is_fitted,
            body: body_word(map.body),
            bracket_at_mm: [rounded(map.bracket_at_mm.0, 1), rounded(map.bracket_at_mm.1, 1)],
            pulley_teeth: [map.pulley_teeth.0, map.pulley_teeth.1],
            pairs: map.pairs.iter().map(pair).collect(),
            window: map.window.as_ref().ok().map(window),
            window_over_travel: map
                .window_over_travel
                .as_ref()
                .and_then(|found| found.as_ref().ok())
                .map(window),
            capacity_needed_teeth: map.capacity_needed,
            capacity_teeth: map.capacity.map(|teeth| spread(teeth, 0)),
            capacity_printed_teeth: map.capacity_printed,
            largest_cog_teeth: map.largest_cog.map(|teeth| spread(teeth, 0)),
            largest_cog_printed_teeth: finite(map.largest_cog_printed, 1),
            over_ground_mm: map.over_ground_mm.map(|mm| spread(mm, 0)),
            lowest_below_axle_mm: map.lowest_mm.map(|mm| spread(mm, 0)),
            lowest_below_axle_by_tape_mm: map.lowest_by_tape_mm.map(|mm| rounded(mm.middle(), 0)),
            extender_15_mm: map.extender.as_ref().map(gained),
            screw_turn: map.screw_turn.as_ref().map(gained),
            rules: map.rules.iter().map(rule).collect(),
        }
    }
}

fn body_word(body: Body) -> &'static str {
    match body {
        Body::Typical => "typical",
        Body::Read => "read",
        Body::Contradicted => "contradicted",
        Body::Coarse => "too coarse",
    }
}

/// The state in a word, and the chain over or missing.
pub fn held_word(held: Held) -> (&'static str, f64) {
    match held {
        Held::Taut => ("taut", 0.0),
        Held::Hangs(mm) => ("hangs", mm),
        Held::TouchesItself(mm) => ("touches itself", mm),
        Held::Meshes(mm) => ("meshes", mm),
        Held::Locks { short_mm, .. } => ("locks", -short_mm),
    }
}

fn pair(pair: &CagePair) -> CagePairDocument {
    let (ring, cog) = (pair.ring.get(), pair.cog.get());
    let blank = CagePairDocument {
        ring,
        cog,
        state: "no way",
        sure: true,
        off_mm: 0.0,
        why: None,
        cage_angle_deg: None,
        take_up_mm: None,
        give_mm: None,
        gap_mm: None,
        lowest_below_axle_mm: None,
        guide_at_mm: None,
        tension_at_mm: None,
    };
    match &pair.state {
        Err(why) => CagePairDocument { why: Some(why.clone()), ..blank },
        Ok(state) => {
            let (word, off_mm) = held_word(state.held);
            CagePairDocument {
                state: word,
                sure: state.sure,
                off_mm: rounded(off_mm, 0),
                cage_angle_deg: Some(spread(state.angle_deg, 0)),
                take_up_mm: Some(spread(state.take_up_mm, 0)),
                give_mm: Some(spread(state.give_mm, 0)),
                gap_mm: Some(spread(state.gap_mm, 0)),
                lowest_below_axle_mm: Some(spread(state.lowest_mm, 0)),
                guide_at_mm: Some(place(state.guide_at_mm)),
                tension_at_mm: Some(place(state.tension_at_mm)),
                ..blank
            }
        }
    }
}

fn place((forward, below): (f64, f64)) -> [f64; 2] {
    [rounded(forward, 1), rounded(below, 1)]
}

fn window(window: &CountWindow) -> CountWindowDocument {
    let teeth = |pair: (quantity::Teeth, quantity::Teeth)| (pair.0.get(), pair.1.get());
    CountWindowDocument {
        shortest_pitches: spread(window.shortest, 1),
        shortest_pair: teeth(window.shortest_pair),
        longest_pitches: spread(window.longest, 1),
        longest_pair: teeth(window.longest_pair),
        even: window.even,
        even_sure: window.even_sure,
        odd: window.odd,
    }
}

fn gained(gained: &Gained) -> GainedDocument {
    GainedDocument {
        gap_mm: rounded(gained.gap_mm, 1),
        largest_cog_before: gained.cog_before.map(|cog| cog.get()),
        largest_cog_after: gained.cog_after.map(|cog| cog.get()),
        shortest_moves_pitches: gained.window_moves.map(|moves| rounded(moves.0, 1)),
        longest_moves_pitches: gained.window_moves.map(|moves| rounded(moves.1, 1)),
    }
}

fn rule(rule: &CountRule) -> CountRuleDocument {
    CountRuleDocument {
        rule: rule.words,
        count: rule.count,
        outside_pitches: rounded(rule.outside_pitches, 1),
        off: rule.off_mm.iter().map(|(ring, cog, mm)| (ring.get(), cog.get(), rounded(*mm, 0))).collect(),
        least_take_up_mm: finite(rule.least_mm.0, 0),
        least_give_mm: finite(rule.least_mm.1, 0),
    }
}

fn spread(spread: Spread, decimals: i32) -> SpreadDocument {
    SpreadDocument {
        value: rounded(spread.value, decimals),
        least: rounded(spread.span.least(), decimals),
        most: rounded(spread.span.most(), decimals),
        open: spread.open,
    }
}

fn finite(value: f64, decimals: i32) -> Option<f64> {
    value.is_finite().then(|| rounded(value, decimals))
}

fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    // Adding 0 turns a negative zero into zero.
    (value * scale).round() / scale + 0.0
}
