//! One section of the geometry: worked out, waiting for facts, or not possible.

use crate::ask::Ask;
use crate::build::Build;
use crate::finding::{Fact, Missing};
use catalog::Slot;

/// Something worked out from the bike, or what has to be measured for it.
#[derive(Clone, Debug, PartialEq)]
pub enum Section<T> {
    /// The refit does not touch it.
    NotTouched,
    /// It waits for these, by name.
    Wanting(Vec<Missing>),
    /// Worked out.
    Known {
        /// What came out.
        value: T,
        /// What it rests on.
        facts: Vec<Fact>,
        /// What would make it complete or narrower; empty if nothing would.
        wanted: Vec<Missing>,
    },
    /// The facts are there, and there is no such shape.
    Impossible {
        /// Why, in words.
        why: String,
        /// What it rests on.
        facts: Vec<Fact>,
    },
}

/// Why a section was not worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unworked {
    /// A fact is missing; the ask has noted which.
    Wanting,
    /// There is no such shape, and why.
    Impossible(String),
}

impl<T> Section<T> {
    /// Works out a section if the refit changes a part in one of the slots; with no slots it always does.
    pub fn work_out(
        build: &Build,
        touched_by: &[Slot],
        work: impl FnOnce(&mut Ask<'_>) -> Result<T, Unworked>,
    ) -> Self {
        if !touched_by.is_empty() && !touched_by.iter().any(|slot| build.changes(*slot)) {
            return Self::NotTouched;
        }
        let mut ask = Ask::new(build);
        let worked = work(&mut ask);
        let (facts, wanted) = ask.into_notes();
        match worked {
            Ok(value) => Self::Known { value, facts, wanted },
            Err(Unworked::Wanting) => Self::Wanting(wanted),
            Err(Unworked::Impossible(why)) => Self::Impossible { why, facts },
        }
    }

    /// What came out, if it was worked out.
    pub fn value(&self) -> Option<&T> {
        match self {
            Self::Known { value, .. } => Some(value),
            _ => None,
        }
    }

    /// What it waits for or would be more complete with.
    pub fn wanted(&self) -> &[Missing] {
        match self {
            Self::Wanting(wanted) | Self::Known { wanted, .. } => wanted,
            Self::NotTouched | Self::Impossible { .. } => &[],
        }
    }
}
