//! The geometry of a plan: a document for each section, with what it waits for.

pub mod brakes;
pub mod cut_list;
pub mod drive_loss;
pub mod drivetrain;
pub mod front;
pub mod hands;
pub mod landing;
pub mod tape;
pub mod wheel;

pub use brakes::BrakesDocument;
pub use cut_list::CutListDocument;
pub use drive_loss::LossesDocument;
pub use drivetrain::DrivetrainDocument;
pub use front::FrontDocument;
pub use hands::HandsDocument;
pub use landing::LandingDocument;
pub use tape::TapeDocument;
pub use wheel::WheelDocument;

use crate::plan::round;
use fit::words::{fact_words, wanted_words};
use fit::{Geometry, Section};
use quantity::Span;
use schemars::JsonSchema;
use serde::Serialize;

/// The shape of chain, cages, cables and hands after the refit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GeometryDocument {
    /// The cage of the rear derailleur in every gear, after the refit.
    pub drivetrain: SectionDocument<DrivetrainDocument>,
    /// The same on the bike as found.
    pub drivetrain_before: SectionDocument<DrivetrainDocument>,
    /// The chain in the front cage.
    pub front: SectionDocument<FrontDocument>,
    /// Where every gear lands, and the clicks of the adjuster that it bears.
    pub landing: SectionDocument<LandingDocument>,
    /// Housing, hose and inners to cut.
    pub cut_list: SectionDocument<CutListDocument>,
    /// Leverage, hand force and rotors, before and after.
    pub brakes: SectionDocument<BrakesDocument>,
    /// The hands.
    pub hands: SectionDocument<HandsDocument>,
    /// The bar tape.
    pub tape: SectionDocument<TapeDocument>,
    /// The rear wheel.
    pub wheel: SectionDocument<WheelDocument>,
    /// The losses of the drive.
    pub drive_loss: SectionDocument<LossesDocument>,
}

/// A length with its tolerance, millimetres.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SpanDocument {
    /// The middle.
    pub value_mm: f64,
    /// The least.
    pub least_mm: f64,
    /// The most.
    pub most_mm: f64,
}

impl SpanDocument {
    /// The document of an interval of millimetres.
    pub fn of(span: Span) -> Self {
        Self { value_mm: round(span.middle()), least_mm: round(span.least()), most_mm: round(span.most()) }
    }
}

impl GeometryDocument {
    /// The document of a geometry.
    pub fn of(geometry: &Geometry) -> Self {
        Self {
            drivetrain: SectionDocument::of(&geometry.drivetrain, DrivetrainDocument::of),
            drivetrain_before: SectionDocument::of(&geometry.drivetrain_before, DrivetrainDocument::of),
            front: SectionDocument::of(&geometry.front, FrontDocument::of),
            landing: SectionDocument::of(&geometry.landing, LandingDocument::of),
            cut_list: SectionDocument::of(&geometry.cut_list, CutListDocument::of),
            brakes: SectionDocument::of(&geometry.brakes, BrakesDocument::of),
            hands: SectionDocument::of(&geometry.hands, HandsDocument::of),
            tape: SectionDocument::of(&geometry.tape, TapeDocument::of),
            wheel: SectionDocument::of(&geometry.wheel, WheelDocument::of),
            drive_loss: SectionDocument::of(&geometry.drive_loss, LossesDocument::of),
        }
    }
}

/// One section: worked out, waiting for facts, or not possible.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SectionDocument<T> {
    /// `not touched`, `measure`, `known` or `impossible`.
    pub state: &'static str,
    /// What came out; null unless it is known.
    pub value: Option<T>,
    /// Why there is no such shape; null unless it is impossible.
    pub why: Option<String>,
    /// What it waits for, or what would make it complete.
    pub wanted: Vec<String>,
    /// What it rests on.
    pub facts: Vec<String>,
}

impl<T> SectionDocument<T> {
    /// The document of a section, with its value told by `tell`.
    pub fn of<S>(section: &Section<S>, tell: impl FnOnce(&S) -> T) -> Self {
        let wanted = section.wanted().iter().map(wanted_words).collect();
        let blank = Self { state: "not touched", value: None, why: None, wanted, facts: Vec::new() };
        match section {
            Section::NotTouched => blank,
            Section::Wanting(_) => Self { state: "measure", ..blank },
            Section::Known { value, facts, .. } => Self {
                state: "known",
                value: Some(tell(value)),
                facts: facts.iter().map(fact_words).collect(),
                ..blank
            },
            Section::Impossible { why, facts } => Self {
                state: "impossible",
                why: Some(why.clone()),
                facts: facts.iter().map(fact_words).collect(),
                ..blank
            },
        }
    }
}

/// The middle of a span and its tolerance.
fn middle_and_tolerance(span: quantity::Span) -> [f64; 2] {
    [span.middle(), span.half_width()]
}
