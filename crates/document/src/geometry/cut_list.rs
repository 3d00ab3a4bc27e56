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
    /// Force in the cable at the rear shift lever and its tolerance, newtons.
    pub lever_n: Option<[f64; 2]>,
    /// Lost motion of the rear shift cable and its tolerance, millimetres.
    pub lost_mm: Option<[f64; 2]>,
    /// The same in clicks of the adjuster.
    pub lost_clicks: Option<[f64; 2]>,
    /// Ferrules of the shift housing of the whole bike.
    pub shift_ferrules: u32,
    /// Ferrules of the brake housing of the whole bike.
    pub brake_ferrules: Option<u32>,
    /// Ends of hoses, each with an insert and an olive.
    pub hose_ends: Option<u32>,
    /// Tips of the whole bike.
    pub tips: u32,
}

/// One thing to cut.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CutDocument {
    /// Its run.
    pub run: &'static str,
    /// Which piece.
    pub piece: &'static str,
    /// Which lever it comes from.
    pub lever: Option<&'static str>,
    /// Length on the bike and its tolerance, millimetres.
    pub length_mm: [f64; 2],
    /// Length that it is cut at, for its ends to be squared, and its tolerance, millimetres.
    pub cut_at_mm: [f64; 2],
    /// Ferrules; for a hose inserts and olives.
    pub ends: u32,
    /// Tips.
    pub tips: u32,
    /// The inner that it is cut from and its tolerance, millimetres.
    pub stock_mm: Option<[f64; 2]>,
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
    /// The widest way between the ends at full lock and its tolerance, millimetres.
    pub gap_mm: [f64; 2],
    /// The shortest housing that keeps it, millimetres.
    pub shortest_mm: Option<f64>,
    /// What keeps it wherever the ends are inside their tolerances, millimetres.
    pub held_mm: Option<f64>,
    /// What the piece to be cut has to spare and its tolerance, millimetres.
    pub slack_mm: Option<[f64; 2]>,
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
            lever_n: list.drag.map(|drag| middle_and_tolerance(drag.lever_n)),
            lost_mm: list.drag.and_then(|drag| drag.lost_mm).map(middle_and_tolerance),
            lost_clicks: list.drag.and_then(|drag| drag.lost_clicks).map(middle_and_tolerance),
            shift_ferrules: list.small.shift_ferrules.number,
            brake_ferrules: list.small.brake_ferrules.map(|count| count.number),
            hose_ends: list.small.hose_ends,
            tips: list.small.tips,
        }
    }
}

fn cut(cut: &Cut) -> CutDocument {
    CutDocument {
        run: cut.run.words(),
        piece: cut.piece,
        lever: cut.lever.map(catalog::Word::as_str),
        length_mm: middle_and_tolerance(cut.length),
        cut_at_mm: middle_and_tolerance(cut.cut_at),
        ends: cut.ferrules,
        tips: cut.tips,
        stock_mm: cut.stock.map(middle_and_tolerance),
        left_of_stock_mm: cut.left_of_stock.map(middle_and_tolerance),
        grounds: cut.grounds.words(),
    }
}

fn looked(seen: &Loop) -> LoopDocument {
    let as_cut = seen.as_cut.as_ref();
    LoopDocument {
        run: seen.run.words(),
        least_radius_mm: seen.least_radius.to_mm(),
        gap_mm: middle_and_tolerance(seen.gap),
        held_mm: seen.to_cut().map(|held| held.to_mm()),
        slack_mm: seen.slack.map(middle_and_tolerance),
        shortest_mm: seen.shortest.as_ref().ok().map(|found| found.length.to_mm()),
        radius_as_cut_mm: as_cut.and_then(|found| found.as_ref().ok()).map(|found| found.tightest.to_mm()),
        why: as_cut.and_then(|found| found.as_ref().err()).or(seen.shortest.as_ref().err()).cloned(),
    }
}
