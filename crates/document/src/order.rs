//! The order of work.

use schemars::JsonSchema;
use serde::Serialize;
use shop::{Minutes, Placed};

/// Minutes: if all goes well, as a rule, and if it does not.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MinutesDocument {
    /// If all goes well.
    pub low: u32,
    /// As a rule.
    pub usual: u32,
    /// If it does not.
    pub high: u32,
}

impl MinutesDocument {
    /// The document of minutes.
    pub fn of(minutes: Minutes) -> Self {
        Self { low: minutes.low, usual: minutes.usual, high: minutes.high }
    }
}

/// A step in its place.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StepDocument {
    /// Its key.
    pub step: &'static str,
    /// What is done.
    pub title: &'static str,
    /// The letter of its block.
    pub block: String,
    /// Its minutes.
    pub minutes: MinutesDocument,
    /// The tool.
    pub tool: &'static str,
    /// Who may do it.
    pub skill: &'static str,
    /// Whether it cannot be taken back.
    pub no_way_back: bool,
    /// Fasteners whose torque goes on record.
    pub fasteners: Vec<&'static str>,
    /// What comes before it, and why.
    pub after: Vec<LinkDocument>,
}

/// A step that comes before another.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LinkDocument {
    /// The one before.
    pub step: &'static str,
    /// Why.
    pub because: &'static str,
    /// Steps between the two that this job leaves out.
    pub through: Vec<&'static str>,
}

impl StepDocument {
    /// The document of a step.
    pub fn of(placed: &Placed<'_>) -> Self {
        let step = placed.step;
        Self {
            step: step.id.0,
            title: step.title,
            block: step.block.letter().to_string(),
            minutes: MinutesDocument::of(step.minutes),
            tool: step.tool,
            skill: step.skill.words(),
            no_way_back: step.irreversible,
            fasteners: step.fasteners.iter().map(|fastener| fastener.0).collect(),
            after: placed
                .after
                .iter()
                .map(|link| LinkDocument {
                    step: link.first.0,
                    because: link.because,
                    through: link.through.iter().map(|step| step.0).collect(),
                })
                .collect(),
        }
    }
}
