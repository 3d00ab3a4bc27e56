//! The hands as JSON: where they were, where they come to lie, what brings them back.

use super::SpanDocument;
use crate::plan::round;
use fit::geometry::hands::{HandPlace, Marks, Outline, Place, Supply, Way};
use schemars::JsonSchema;
use serde::Serialize;

/// The hands of one refit; places are from the middle of the bearing cover.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HandsDocument {
    /// As found.
    pub before: PlaceDocument,
    /// With the chosen parts.
    pub after: PlaceDocument,
    /// After less before.
    pub shift: PlaceDocument,
    /// Whether the old place was read off the bike.
    pub recorded: bool,
    /// Whether the bars are drawn as curves.
    pub drawn: bool,
    /// Whether the height of the trough over the bar is known.
    pub height_known: bool,
    /// Slope of the ramp below level as found, degrees.
    pub ramp_before_deg: Option<f64>,
    /// Slope of the ramp below level after, degrees.
    pub ramp_after_deg: Option<f64>,
    /// What the rider feels.
    pub felt: &'static str,
    /// Stems with spacers and bar as they stand.
    pub stems: Vec<WayDocument>,
    /// Stems each with spacers and turn.
    pub ways: Vec<WayDocument>,
    /// Spacers under the stem that the steerer allows, millimetres.
    pub spacers_mm: Vec<f64>,
    /// Where the levers go.
    pub marks: Option<MarksDocument>,
    /// Stem, bar and lever as found, as they are drawn; null where the parts are not known.
    pub outline_before: Option<OutlineDocument>,
    /// The same after the refit.
    pub outline_after: Option<OutlineDocument>,
}

/// Stem, bar and lever from the side: places forward and up, millimetres, for the values as read.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OutlineDocument {
    /// Middle of the stem on the steerer.
    pub steerer_mm: [f64; 2],
    /// Middle of the bar clamp.
    pub clamp_mm: [f64; 2],
    /// The bar from the clamp on; only its reach where no curve is known.
    pub bar_mm: Vec<[f64; 2]>,
    /// Whether the bar is given as its curve.
    pub curve: bool,
    /// Where the lever sits on the bar.
    pub lever_mm: [f64; 2],
    /// The trough of the hood.
    pub hood_mm: [f64; 2],
}

/// A place.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PlaceDocument {
    /// Forward.
    pub forward: SpanDocument,
    /// Up.
    pub up: SpanDocument,
}

/// One way of setting the cockpit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WayDocument {
    /// Length of the stem.
    pub length_mm: f64,
    /// Angle of the stem, negative down.
    pub angle_deg: f64,
    /// Spacers under it; null where they stay and nobody measured them.
    pub spacers_mm: Option<f64>,
    /// Turn of the bar, up positive.
    pub turn_deg: f64,
    /// What is left forward.
    pub forward_mm: f64,
    /// What is left up.
    pub up_mm: f64,
    /// What is left of the slope of the hood.
    pub slope_deg: f64,
    /// Distance that is left.
    pub off_mm: f64,
    /// What the rider feels of it.
    pub felt: &'static str,
    /// `on the bike`, `catalogue` or `usual size`.
    pub supply: &'static str,
    /// Working days; null where unknown or not in the catalogue.
    pub lead_days: Option<u32>,
    /// Key in the catalogue.
    pub part: Option<String>,
    /// Whether it is the stem of the plan.
    pub planned: bool,
}

/// Where the levers go, from the middle of the stem along the bar.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MarksDocument {
    /// Left as found.
    pub left: SpanDocument,
    /// Right as found.
    pub right: SpanDocument,
    /// Whether they differ.
    pub uneven: bool,
    /// Both sides after; null if the widths of the bars are not known.
    pub after: Option<SpanDocument>,
}

impl HandsDocument {
    /// The document of the hands.
    pub fn of(hands: &HandPlace) -> Self {
        Self {
            before: PlaceDocument::of(hands.before),
            after: PlaceDocument::of(hands.after),
            shift: PlaceDocument::of(hands.shift),
            recorded: hands.recorded,
            drawn: hands.drawn,
            height_known: hands.height_known,
            ramp_before_deg: hands.ramps_deg.0.map(round),
            ramp_after_deg: hands.ramps_deg.1.map(round),
            felt: hands.felt.words(),
            stems: hands.stems.iter().map(WayDocument::of).collect(),
            ways: hands.ways.iter().map(WayDocument::of).collect(),
            spacers_mm: hands.spacers_mm.iter().copied().map(round).collect(),
            marks: hands.marks.as_ref().map(MarksDocument::of),
            outline_before: hands.outlines.0.as_ref().map(OutlineDocument::of),
            outline_after: hands.outlines.1.as_ref().map(OutlineDocument::of),
        }
    }
}

impl OutlineDocument {
    fn of(outline: &Outline) -> Self {
        let place = |x_mm, y_mm| [round(x_mm), round(y_mm)];
        Self {
            steerer_mm: place(outline.steerer.x_mm, outline.steerer.y_mm),
            clamp_mm: place(outline.clamp.x_mm, outline.clamp.y_mm),
            bar_mm: outline.bar.iter().map(|at| place(at.x_mm, at.y_mm)).collect(),
            curve: outline.is_curve,
            lever_mm: place(outline.lever.x_mm, outline.lever.y_mm),
            hood_mm: place(outline.hood.x_mm, outline.hood.y_mm),
        }
    }
}

impl PlaceDocument {
    fn of(place: Place) -> Self {
        Self { forward: SpanDocument::of(place.forward_mm), up: SpanDocument::of(place.up_mm) }
    }
}

impl WayDocument {
    fn of(way: &Way) -> Self {
        let (supply, lead_days) = match way.supply {
            Supply::OnBike => ("on the bike", None),
            Supply::Catalogue(days) => ("catalogue", days),
            Supply::UsualSize => ("usual size", None),
        };
        Self {
            length_mm: round(way.length_mm),
            angle_deg: round(way.angle_deg),
            spacers_mm: way.spacers_mm.map(round),
            turn_deg: round(way.turn_deg),
            forward_mm: round(way.forward_mm),
            up_mm: round(way.up_mm),
            slope_deg: round(way.slope_deg),
            off_mm: round(way.off_mm),
            felt: way.felt().words(),
            supply,
            lead_days,
            part: way.part.clone(),
            planned: way.planned,
        }
    }
}

impl MarksDocument {
    fn of(marks: &Marks) -> Self {
        Self {
            left: SpanDocument::of(marks.left_mm),
            right: SpanDocument::of(marks.right_mm),
            uneven: marks.uneven,
            after: marks.after_mm.map(SpanDocument::of),
        }
    }
}
