//! The geometry of a plan: a document for each section, with what it waits for.

pub mod brakes;
pub mod cut_list;

use brakes::BrakesDocument;
use cut_list::CutListDocument;
use fit::words::{fact_words, wanted_words};
use fit::{Geometry, Section};
use schemars::JsonSchema;
use serde::Serialize;

/// The shape of chain, cages, cables and hands after the refit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GeometryDocument {
    /// Housing, hose and inners to cut.
    pub cut_list: SectionDocument<CutListDocument>,
    /// Leverage, hand force and rotors, before and after.
    pub brakes: SectionDocument<BrakesDocument>,
}

impl GeometryDocument {
    /// The document of a geometry.
    pub fn of(geometry: &Geometry) -> Self {
        Self {
            cut_list: SectionDocument::of(&geometry.cut_list, CutListDocument::of),
            brakes: SectionDocument::of(&geometry.brakes, BrakesDocument::of),
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
