//! The shape of the bike after the refit, in numbers for the stand and for drawings: what no verdict says.
//!
//! Begin with [`Geometry`]. A room each: a section asks for its facts as a rule does, so what is missing is named.

pub mod drivetrain;
pub mod section;

pub use drivetrain::{CageMap, CagePair, CageState, CountRule, CountWindow, Gained, Held};
pub use section::{Section, Unworked};

use crate::build::Build;

/// Every section of one refit.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// The cage in every gear after the refit.
    pub drivetrain: Section<CageMap>,
    /// The same on the bike as found.
    pub drivetrain_before: Section<CageMap>,
}

/// Works out every section that the refit touches.
///
/// Pure: the same build gives the same geometry.
pub fn geometry(build: &Build) -> Geometry {
    Geometry { drivetrain: drivetrain::after(build), drivetrain_before: drivetrain::before(build) }
}
