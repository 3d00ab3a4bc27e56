//! The bike before and after the refit: what every rule looks at.

use crate::asked::Asked;
use crate::refit::{Refit, Rider, Wish};
use crate::solved::Solved;
use catalog::{Dimension, Part, Parts, Slot, Value};
use quantity::{Basis, Reading};
use std::sync::OnceLock;

/// Which bike a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// The bike as found.
    Before,
    /// The bike with the chosen parts on.
    After,
}

/// Where a part comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// It is on the bike.
    Found,
    /// It was chosen for the refit.
    Chosen,
}

/// A refit laid out for judging: found parts, chosen parts, and the bike that they make together.
#[derive(Clone, Debug)]
pub struct Build {
    /// The bike as found.
    pub before: Parts,
    /// The chosen parts alone.
    pub choice: Parts,
    /// The bike after the refit: chosen parts where there are any, else found ones.
    pub after: Parts,
    /// The wish.
    pub wish: Wish,
    /// The rider.
    pub rider: Rider,
    /// What was looked at of the bike after the refit.
    pub asked: Asked,
    /// What was worked out already.
    pub solved: Solved,
}

/// Dimensions of the tyre and its rim size: a new wheel takes the tyre of the old one.
const CARRIED_OVER: &[Dimension] =
    &[Dimension::Rollout, Dimension::TyreWidth, Dimension::TyreNamed, Dimension::BeadSeat];

/// Dimensions that a part has which is sold by itself, and another part which has it built in.
struct Shared {
    dimensions: &'static [Dimension],
    /// The one that is marked as not needed where the part comes without it built in.
    shown_by: Dimension,
    apart: Slot,
    built_in: Slot,
}

/// Shifting of separate shifters and of levers; rings bought apart and rings of a crankset.
const SHIFTING: Shared = Shared {
    dimensions: &[
        Dimension::ShiftPositions,
        Dimension::ShiftPull,
        Dimension::ShiftPulls,
        Dimension::FrontPositions,
        Dimension::FrontThrow,
    ],
    shown_by: Dimension::ShiftPositions,
    apart: Slot::Shifters,
    built_in: Slot::Levers,
};
const RINGS: Shared = Shared {
    dimensions: &[Dimension::Rings, Dimension::RingThickness],
    shown_by: Dimension::Rings,
    apart: Slot::Chainrings,
    built_in: Slot::Crankset,
};

impl Build {
    /// Lays out a refit.
    pub fn new(refit: &Refit) -> Self {
        let mut build = Self {
            before: refit.bike.clone(),
            choice: refit.choice.clone(),
            after: Parts::default(),
            wish: refit.wish.clone(),
            rider: refit.rider.clone(),
            asked: Asked::default(),
            solved: Solved::default(),
        };
        build.lay();
        build
    }

    /// The same bike with another part in its slot.
    pub fn with(&self, part: catalog::Part) -> Self {
        let mut build = self.clone();
        build.choice.put(part);
        build.lay();
        build
    }

    /// The same bike with one reading replaced, on the found or on the chosen part.
    pub fn with_reading(
        &self,
        slot: Slot,
        origin: Origin,
        dimension: Dimension,
        reading: Reading<Value>,
    ) -> Self {
        let mut build = self.clone();
        let parts = match origin {
            Origin::Found => &mut build.before,
            Origin::Chosen => &mut build.choice,
        };
        let mut part = parts.get(slot).unwrap_or_else(|| slot.empty());
        part.set(dimension, reading);
        parts.put(part);
        build.lay();
        build
    }

    /// Puts a part in its slot, or what was found back, without copying the bike.
    pub fn swap(&mut self, slot: Slot, part: Option<Part>) {
        match part {
            Some(part) => {
                self.choice.put(part.clone());
                self.after.put(part);
            }
            None => {
                self.choice.clear(slot);
                match self.before.get(slot) {
                    Some(found) => self.after.put(found),
                    None => self.after.clear(slot),
                }
            }
        }
    }

    fn lay(&mut self) {
        self.after = self.before.clone();
        for part in self.choice.iter() {
            self.after.put(part);
        }
    }

    /// Whether the refit puts a new part in a slot.
    pub fn changes(&self, slot: Slot) -> bool {
        self.asked.slot(slot);
        self.choice.has(slot)
    }

    /// Whether there is a part in a slot of one of the two bikes.
    pub fn has(&self, slot: Slot, when: When) -> bool {
        if when == When::After {
            self.asked.slot(slot);
        }
        self.parts(when).has(slot)
    }

    /// Where the part in a slot comes from.
    pub fn origin(&self, slot: Slot, when: When) -> Origin {
        if when == When::After {
            self.asked.slot(slot);
        }
        if when == When::After && self.choice.has(slot) { Origin::Chosen } else { Origin::Found }
    }

    /// The parts of one of the two bikes. Rules ask by [`Build::has`] and [`Build::reading`], which take notes.
    pub fn parts(&self, when: When) -> &Parts {
        match when {
            When::Before => &self.before,
            When::After => &self.after,
        }
    }

    /// The slot that answers for a dimension on one of the two bikes.
    pub fn slot_of(&self, dimension: Dimension, when: When) -> Slot {
        match [SHIFTING, RINGS].iter().find(|shared| shared.dimensions.contains(&dimension)) {
            Some(shared) => self.shared_slot(shared, when),
            None => owner(dimension),
        }
    }

    /// Separate shifters answer for shifting where there are any; else the levers do.
    pub fn shifting_slot(&self, when: When) -> Slot {
        self.shared_slot(&SHIFTING, when)
    }

    /// What was chosen answers before what was found, and the part sold by itself before the one with it built in.
    fn shared_slot(&self, shared: &Shared, when: When) -> Slot {
        // A part that says it is not needed there comes without it: brake levers, bare crank arms. With nothing said
        // it may have it, and then it has to be asked for.
        let built_in = |parts: &Parts| {
            parts.has(shared.built_in)
                && parts.reading(shared.built_in, shared.shown_by) != Some(Reading::NotNeeded)
        };
        if when == When::After {
            self.asked.slot(shared.apart);
            self.asked.slot(shared.built_in);
            self.asked.dimension(shared.shown_by);
            if self.choice.has(shared.apart) {
                return shared.apart;
            }
            if built_in(&self.choice) {
                return shared.built_in;
            }
        }
        if self.before.has(shared.apart) { shared.apart } else { shared.built_in }
    }

    /// The reading of a dimension in a slot; not taken where there is no part.
    pub fn reading(&self, slot: Slot, when: When, dimension: Dimension) -> Reading<Value> {
        if when == When::After {
            self.asked.slot(slot);
            self.asked.dimension(dimension);
        }
        let reading = self.parts(when).reading(slot, dimension).unwrap_or_default();
        if reading.is_answered() || when == When::Before || !CARRIED_OVER.contains(&dimension) {
            return reading;
        }
        match self.before.reading(slot, dimension) {
            Some(Reading::Taken(value)) => Reading::Taken(assumed(value)),
            _ => reading,
        }
    }
}

/// The slot whose parts have this dimension; for shifting dimensions the levers.
pub fn owner(dimension: Dimension) -> Slot {
    static OWNERS: OnceLock<Vec<Slot>> = OnceLock::new();
    let owners = OWNERS.get_or_init(|| {
        let owns = |slot: &Slot, dimension| slot.fields().iter().any(|field| field.dimension == dimension);
        let find =
            |dimension| Slot::ALL.iter().copied().find(|slot| owns(slot, dimension)).unwrap_or(Slot::Frame);
        Dimension::ALL.iter().map(|dimension| find(*dimension)).collect()
    });
    owners.get(dimension as usize).copied().unwrap_or(Slot::Frame)
}

fn assumed(value: Value) -> Value {
    let mut value = value;
    match &mut value {
        Value::Length(m) => m.basis = Basis::Assumed,
        Value::Angle(m) => m.basis = Basis::Assumed,
        Value::Ratio(m) => m.basis = Basis::Assumed,
        Value::Lengths(all) => all.iter_mut().for_each(|m| m.basis = Basis::Assumed),
        Value::Count(n) => n.basis = Basis::Assumed,
        Value::Teeth(n) => n.basis = Basis::Assumed,
        Value::Word(n) => n.basis = Basis::Assumed,
    }
    value
}
