//! The shape of the bike after the refit, in numbers for the stand and for drawings: what no verdict says.
//!
//! Begin with [`Geometry`]. A room each: a section asks for its facts as a rule does, so what is missing is named.

pub mod section;

pub use section::{Section, Unworked};

use crate::build::Build;

/// Every section of one refit.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {}

/// Works out every section that the refit touches.
///
/// Pure: the same build gives the same geometry.
pub fn geometry(_build: &Build) -> Geometry {
    Geometry {}
}
