//! The cut list: each piece with its length, its ends and its grounds.

use super::middle_and_tolerance;
use fit::geometry::CutList;
use fit::geometry::cut_list::{Cut, Loop};
use schemars::JsonSchema;
use serde::Serialize;

/// Housing, hose and inners to cut.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CutListDocument {
    /// What to cut, run by run.
    pub cuts: Vec<CutDocument>,
    /// Loops between bar and frame, looked at between both full locks.
    pub loops: Vec<LoopDocument>,
    /// What the fold adds to each loop, millimetres and their tolerance.
    pub fold_mm: Option<[f64; 2]>,
    /// What the hand pulls for what arrives at the rear derailleur, and its tolerance.
    pub pulling: Option<[f64; 2]>,
    /// Pulling against returning, and its tolerance.
    pub hysteresis: Option<[f64; 2]>,
}

/// One thing to cut.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CutDocument {
    /// Its run.
    pub run: &'static str,
    /// Which piece.
    pub piece: &'static str,
    /// Length and its tolerance, millimetres.
    pub length_mm: [f64; 2],
    /// Ferrules; for a hose inserts and olives.
    pub ends: u32,
    /// Tips.
    pub tips: u32,
    /// What is left of the stock and its tolerance, millimetres.
    pub left_of_stock_mm: Option<[f64; 2]>,
    /// Where the length comes from.
    pub grounds: &'static str,
}

/// One loop between both locks.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LoopDocument {
    /// Its run.
    pub run: &'static str,
    /// Least radius asked, millimetres.
    pub least_radius_mm: f64,
    /// The shortest housing that keeps it, millimetres.
    pub shortest_mm: Option<f64>,
    /// The least radius of the piece to be cut, millimetres.
    pub radius_as_cut_mm: Option<f64>,
    /// Why there is no shape.
    pub why: Option<String>,
}

impl CutListDocument {
    /// The document of a cut list.
    pub fn of(list: &CutList) -> Self {
        Self {
            cuts: list.cuts.iter().map(cut).collect(),
            loops: list.loops.iter().map(looked).collect(),
            fold_mm: list.fold.map(middle_and_tolerance),
            pulling: list.drag.map(|drag| middle_and_tolerance(drag.pulling)),
            hysteresis: list.drag.map(|drag| middle_and_tolerance(drag.hysteresis)),
        }
    }
}

fn cut(cut: &Cut) -> CutDocument {
    CutDocument {
        run: cut.run.words(),
        piece: cut.piece,
        length_mm: middle_and_tolerance(cut.length),
        ends: cut.ferrules,
        tips: cut.tips,
        left_of_stock_mm: cut.left_of_stock.map(middle_and_tolerance),
        grounds: cut.grounds.words(),
    }
}

fn looked(seen: &Loop) -> LoopDocument {
    let as_cut = seen.as_cut.as_ref();
    LoopDocument {
        run: seen.run.words(),
        least_radius_mm: seen.least_radius.to_mm(),
        shortest_mm: seen.shortest.as_ref().ok().map(|found| found.length.to_mm()),
        radius_as_cut_mm: as_cut.and_then(|found| found.as_ref().ok()).map(|found| found.tightest.to_mm()),
        why: as_cut.and_then(|found| found.as_ref().err()).or(seen.shortest.as_ref().err()).cloned(),
    }
}
