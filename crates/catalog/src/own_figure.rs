//! The shop's own figures: what somebody found out about a part of the catalogue, with name and date.

use crate::Dimension;

/// A dimension of a part of the catalogue for which the shop has a figure of its own. The part carries the own
/// figure; the one that it had is kept here, so that both are shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnFigure {
    /// Key of the part.
    pub part: String,
    /// Key of the field.
    pub field: &'static str,
    /// The dimension.
    pub dimension: Dimension,
    /// The value that the part had, with its basis; none if it was unknown.
    pub built_in: Option<String>,
    /// The shop's value, with its basis.
    pub own: String,
    /// Who found it.
    pub by: String,
    /// When, as `2026-11-20`.
    pub on: String,
    /// Why, if it was said.
    pub why: Option<String>,
}
