//! The shape of the bike after the refit, in numbers for the stand and for drawings: what no verdict says.
//!
//! Begin with [`Geometry`]. A room each: a section asks for its facts as a rule does, so what is missing is named.

pub mod brakes;
pub mod cut_list;
pub mod drive_loss;
pub mod drivetrain;
pub mod front;
pub(crate) mod front_bike;
pub mod hands;
pub mod landing;
pub mod section;
pub mod tape;
pub mod wheel;

pub use brakes::Brakes;
pub use cut_list::CutList;
pub use drive_loss::Losses;
pub use drivetrain::{CageMap, CagePair, CageState, CountRule, CountWindow, Gained, Held};
pub use front::{FrontGear, FrontMap, RingMap};
pub use hands::HandPlace;
pub use landing::{GearLanding, HangerNow, LandingPlan, MeasuredWindow};
pub use mechanics::shift_landing::{ClickRoom, ShiftLanding};
pub use section::{Section, Unworked};
pub use tape::TapeLay;
pub use wheel::WheelChange;

use crate::build::Build;
use catalog::Catalogue;

/// Every section of one refit.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// The cage in every gear after the refit.
    pub drivetrain: Section<CageMap>,
    /// The same on the bike as found.
    pub drivetrain_before: Section<CageMap>,
    /// The chain in the front cage.
    pub front: Section<FrontMap>,
    /// Where every gear lands, and the clicks of the adjuster that it bears.
    pub landing: Section<LandingPlan>,
    /// Where the hands were, where they come to lie, and what brings them back.
    pub hands: Section<HandPlace>,
    /// Turns and length of the bar tape.
    pub tape: Section<TapeLay>,
    /// Spokes, dish and spacers of the rear wheel.
    pub wheel: Section<WheelChange>,
    /// The losses of the old and the new drive.
    pub drive_loss: Section<Losses>,
    /// Housing, hose and inners to cut.
    pub cut_list: Section<CutList>,
    /// Leverage, hand force and rotors, before and after.
    pub brakes: Section<Brakes>,
}

/// Works out every section that the refit touches.
///
/// Pure: the same build and catalogue give the same geometry.
pub fn geometry(build: &Build, catalogue: &Catalogue) -> Geometry {
    Geometry {
        drivetrain: drivetrain::after(build),
        drivetrain_before: drivetrain::before(build),
        front: front::front(build),
        landing: landing::landing(build),
        cut_list: cut_list::section(build),
        brakes: brakes::section(build),
        hands: hands::hands(build, catalogue),
        tape: tape::tape(build),
        wheel: wheel::wheel(build),
        drive_loss: drive_loss::drive_loss(build),
    }
}
