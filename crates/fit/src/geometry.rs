//! The shape of the bike after the refit, in numbers for the stand and for drawings: what no verdict says.
//!
//! Begin with [`Geometry`]. A room each: a section asks for its facts as a rule does, so what is missing is named.

pub mod front;
pub(crate) mod front_bike;
pub mod landing;
pub mod section;

pub use front::{FrontGear, FrontMap, RingMap};
pub use landing::{GearLanding, HangerNow, LandingPlan, MeasuredWindow};
pub use mechanics::shift_landing::{ClickRoom, ShiftLanding};
pub use section::{Section, Unworked};

use crate::build::Build;

/// Every section of one refit.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// The chain in the front cage.
    pub front: Section<FrontMap>,
    /// Where every gear lands, and the clicks of the adjuster that it bears.
    pub landing: Section<LandingPlan>,
}

/// Works out every section that the refit touches.
///
/// Pure: the same build gives the same geometry.
pub fn geometry(build: &Build) -> Geometry {
    Geometry { front: front::front(build), landing: landing::landing(build) }
}
