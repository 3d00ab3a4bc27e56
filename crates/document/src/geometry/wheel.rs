//! The rear wheel as JSON: spokes, dish, spacers.

use super::SpanDocument;
use crate::plan::round;
use fit::geometry::wheel::{EXAMPLE_TENSION_N, Laced, SpokeSide, Stack, WheelChange};
use schemars::JsonSchema;
use serde::Serialize;

/// What changes at the rear wheel.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WheelDocument {
    /// The spokes as found.
    pub before: Option<LacedDocument>,
    /// The spokes after.
    pub after: Option<LacedDocument>,
    /// Whether the new hub goes into the old rim.
    pub old_rim: bool,
    /// What the spokes of the wheel that is there in the end wait for.
    pub open: Vec<&'static str>,
    /// That wheel over its locknuts; null where it is not known.
    pub locknuts: Option<SpanDocument>,
    /// How much wider the new hub is over its locknuts.
    pub wider: Option<SpanDocument>,
    /// How far the rim goes to the drive side if all the added width is there.
    pub rim_moves: Option<SpanDocument>,
    /// Spacers behind the cassette.
    pub stack: Option<StackDocument>,
}

/// Both sides of a wheel.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LacedDocument {
    /// Left side.
    pub left: SpokeDocument,
    /// Drive side.
    pub right: SpokeDocument,
    /// Spokes.
    pub spokes: u32,
    /// How often a spoke crosses others of its side.
    pub crossings: u32,
    /// Diameter of the circle on which the spokes end in the rim, millimetres.
    pub spoke_circle_mm: f64,
    /// Tension of the left side as a share of the drive side.
    pub left_share: f64,
    /// Tension of the drive side for which the force along the rim is told, newtons.
    pub drive_side_n: f64,
    /// Force along the rim, newtons.
    pub rim_n: f64,
}

/// One side.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SpokeDocument {
    /// Length of the spoke.
    pub length: SpanDocument,
    /// Against the middle plane, degrees.
    pub bracing_deg: f64,
    /// Middle plane to the flange, millimetres.
    pub flange_mm: f64,
    /// Diameter of the circle of holes in the flange, millimetres.
    pub hole_circle_mm: f64,
}

/// The body and what the cassette leaves of it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StackDocument {
    /// The body.
    pub body: SpanDocument,
    /// What the cassette takes of it.
    pub takes: SpanDocument,
    /// Room on the body.
    pub room: SpanDocument,
    /// Spacer that fills it, 0 for none; null where none is meant clearly.
    pub spacer_mm: Option<f64>,
    /// Spacer found there.
    pub now: Option<SpanDocument>,
}

impl WheelDocument {
    /// The document of the wheel.
    pub fn of(wheel: &WheelChange) -> Self {
        Self {
            before: wheel.before.as_ref().map(LacedDocument::of),
            after: wheel.after.as_ref().map(LacedDocument::of),
            old_rim: wheel.old_rim,
            open: wheel.open.iter().map(|dimension| dimension.row().words).collect(),
            locknuts: wheel.locknuts_mm.map(SpanDocument::of),
            wider: wheel.wider_mm.map(SpanDocument::of),
            rim_moves: wheel.rim_moves_mm().map(SpanDocument::of),
            stack: wheel.stack.as_ref().map(StackDocument::of),
        }
    }
}

impl LacedDocument {
    fn of(laced: &Laced) -> Self {
        let side = |side: SpokeSide| SpokeDocument {
            length: SpanDocument::of(side.length_mm),
            bracing_deg: round(side.bracing_deg),
            flange_mm: round(side.flange_mm),
            hole_circle_mm: round(side.hole_circle_mm),
        };
        Self {
            left: side(laced.left),
            right: side(laced.right),
            spokes: laced.spokes,
            crossings: laced.crossings,
            spoke_circle_mm: round(laced.spoke_circle_mm),
            left_share: round(laced.left_share),
            drive_side_n: EXAMPLE_TENSION_N,
            rim_n: round(laced.rim_n),
        }
    }
}

impl StackDocument {
    fn of(stack: &Stack) -> Self {
        Self {
            body: SpanDocument::of(stack.body_mm),
            takes: SpanDocument::of(stack.takes_mm),
            room: SpanDocument::of(stack.room_mm),
            spacer_mm: stack.spacer_mm.map(round),
            now: stack.now_mm.map(SpanDocument::of),
        }
    }
}
