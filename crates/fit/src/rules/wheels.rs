//! The two wheels, for rules that look at both. No rule: rules walk with it.

use crate::ask::Ask;
use crate::build::{Build, When::After};
use catalog::{Dimension, HubRotor, RimTrack, Slot, Value, Word};
use quantity::Reading;

/// A wheel with the names that its numbers and sentences carry.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wheel {
    /// Its slot.
    pub slot: Slot,
    /// Its number.
    pub name: &'static str,
}

/// Rear first, as the table of slots.
pub(crate) const WHEELS: [Wheel; 2] =
    [Wheel { slot: Slot::RearWheel, name: "rear" }, Wheel { slot: Slot::FrontWheel, name: "front" }];

impl Wheel {
    /// The rear one of two dimensions or sentences for the rear wheel, the front one for the front wheel.
    pub(crate) fn pick<T>(self, rear: T, front: T) -> T {
        if self.slot == Slot::RearWheel { rear } else { front }
    }
}

/// The wheels that the refit exchanges.
pub(crate) fn new_wheels(build: &Build) -> Vec<Wheel> {
    WHEELS.into_iter().filter(|wheel| build.changes(wheel.slot)).collect()
}

/// What is known of where the bike brakes: its calipers, its rotors or its hubs say it; `None` if none of them does.
pub(crate) fn brakes_on_rims(build: &Build) -> Option<bool> {
    let seat = |wheel: &Wheel| match build.before.reading(wheel.slot, Dimension::HubRotor) {
        Some(Reading::Taken(Value::Word(noted))) => HubRotor::read(noted.value),
        _ => None,
    };
    if build.has(Slot::Calipers, After) {
        Some(true)
    } else if build.has(Slot::Rotors, After)
        || WHEELS.iter().any(|w| matches!(seat(w), Some(HubRotor::SixBolt | HubRotor::Splined)))
    {
        Some(false)
    } else {
        None
    }
}

/// Whether a wheel has a brake track; a gap is noted.
pub(crate) fn track(ask: &mut Ask<'_>, wheel: Wheel) -> Option<RimTrack> {
    ask.word_in::<RimTrack>(wheel.slot, After, Dimension::RimTrack)
}
