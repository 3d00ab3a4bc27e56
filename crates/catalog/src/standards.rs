//! Published tables: a source and a letter of confidence in each row.
//!
//! Where sources disagree both rows stand side by side; nothing is averaged, and no row decides a fit by
//! itself: the figure printed on the part or in its leaflet always wins over these tables.

pub mod body;
pub mod bolt_circle;
pub mod chain_width;
pub mod cog_spacing;
pub mod disagreement;
pub mod shell_thread;
pub mod shift_family;
pub mod wheel_size;

/// How well a row is supported.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Confidence {
    /// Seen in a direct source, or in two or more that agree.
    A,
    /// Seen in one secondary source.
    B,
    /// From memory, but arithmetic or geometry agrees.
    C,
    /// From memory or common practice alone: a default, never a check value.
    D,
}

/// Where a row comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// The source in words.
    pub words: &'static str,
    /// How well it is supported.
    pub confidence: Confidence,
}

impl Source {
    const fn new(words: &'static str, confidence: Confidence) -> Self {
        Self { words, confidence }
    }
}

const CRIB_SHEET: &str = "workshop crib sheet";
const CRIB_SHEETS: &str = "workshop crib sheets, agreeing";
const MEMORY: &str = "memory";
