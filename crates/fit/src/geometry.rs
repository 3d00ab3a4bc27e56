//! The shape of the bike after the refit, in numbers for the stand and for drawings: what no verdict says.
//!
//! Begin with [`Geometry`]. A room each: a section asks for its facts as a rule does, so what is missing is named.

pub mod brakes;
pub mod cut_list;
pub mod section;

pub use brakes::Brakes;
pub use cut_list::CutList;
pub use section::{Section, Unworked};

use crate::build::Build;

/// Every section of one refit.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// Housing, hose and inners to cut.
    pub cut_list: Section<CutList>,
    /// Leverage, hand force and rotors, before and after.
    pub brakes: Section<Brakes>,
}

/// Works out every section that the refit touches.
///
/// Pure: the same build gives the same geometry.
pub fn geometry(build: &Build) -> Geometry {
    Geometry { cut_list: cut_list::section(build), brakes: brakes::section(build) }
}
