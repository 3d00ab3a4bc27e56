//! What runs from a brake lever to its brake, and whether anybody spoke of a value. No rule: rules ask with it.

use crate::ask::Ask;
use crate::build::{Build, When};
use catalog::{BrakeFluid, BrakeMount, Dimension, Slot, Value, Word};
use quantity::{Reading, Span};

/// What carries the force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Line {
    /// An inner in its housing.
    Cable,
    /// A hose.
    Hose,
}

/// The line of the levers that will be on the bike; asked for.
pub(crate) fn line(ask: &mut Ask<'_>) -> Option<Line> {
    match ask.word::<BrakeFluid>(When::After, Dimension::LeverFluid)? {
        BrakeFluid::Cable => Some(Line::Cable),
        BrakeFluid::Mineral | BrakeFluid::Glycol => Some(Line::Hose),
    }
}

/// How thick that line is outside; asked for.
pub(crate) fn line_diameter(ask: &mut Ask<'_>) -> Option<Span> {
    match line(ask)? {
        Line::Cable => ask.number(When::After, Dimension::BrakeHousingDiameter),
        Line::Hose => ask.number(When::After, Dimension::HoseDiameter),
    }
}

/// Whether somebody took a value or said that it is fine or cannot be reached. Rules that speak only where a value
/// matters to somebody begin with this.
pub(crate) fn spoken_of(ask: &Ask<'_>, when: When, dimension: Dimension) -> bool {
    let slot = ask.build.slot_of(dimension, when);
    let reading = ask.build.reading(slot, when, dimension);
    reading.is_answered() && reading != Reading::NotNeeded
}

/// Whether a hose leads to the brakes of the bike to come, as far as that is known; without noting it.
pub(crate) fn is_known_hydraulic(build: &Build) -> bool {
    [(Slot::Levers, Dimension::LeverFluid), (Slot::Calipers, Dimension::CaliperFluid)].iter().any(
        |(slot, dimension)| {
            peek::<BrakeFluid>(build, *slot, *dimension).is_some_and(|fluid| fluid != BrakeFluid::Cable)
        },
    )
}

/// Whether the brakes to come are known to sit elsewhere than at a rim caliper's bolts; without noting it.
pub(crate) fn is_known_without_reach(build: &Build) -> bool {
    peek::<BrakeMount>(build, Slot::Calipers, Dimension::CaliperMount)
        .is_some_and(|mount| !matches!(mount, BrakeMount::RimBolt | BrakeMount::DirectRim))
}

/// Whether a set of cables is for brakes: one that says only shifting has no brake inner.
pub(crate) fn has_brake_inner(build: &Build) -> bool {
    let said = |dimension| build.reading(Slot::Cables, When::After, dimension).is_answered();
    let brake = said(Dimension::BrakeInner) || said(Dimension::BrakeHousing);
    brake || !(said(Dimension::ShiftInner) || said(Dimension::ShiftHousing))
}

/// Whether a set of cables is for shifting.
pub(crate) fn has_shift_inner(build: &Build) -> bool {
    let said = |dimension| build.reading(Slot::Cables, When::After, dimension).is_answered();
    let shift = said(Dimension::ShiftInner) || said(Dimension::ShiftHousing);
    shift || !(said(Dimension::BrakeInner) || said(Dimension::BrakeHousing))
}

fn peek<W: Word>(build: &Build, slot: Slot, dimension: Dimension) -> Option<W> {
    match build.reading(slot, When::After, dimension) {
        Reading::Taken(Value::Word(noted)) => W::read(noted.value),
        _ => None,
    }
}
