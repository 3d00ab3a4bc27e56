//! Why a problem could not be put down.

use std::fmt;

/// What is wrong with a problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ProblemError {
    /// A slot without options: nothing can be chosen.
    NoOptions(usize),
    /// A slot that the problem does not have.
    UnknownSlot(usize),
    /// A slot twice in one relation.
    SlotTwice(usize),
    /// A relation over no slot.
    NoSlot,
    /// A list that does not have one entry for each option of the slot.
    Length {
        /// The slot.
        slot: usize,
        /// Entries found.
        found: usize,
        /// Options of the slot.
        wanted: usize,
    },
    /// An aim that the problem does not have.
    UnknownAim(usize),
    /// More aims than are supported.
    TooManyAims(usize),
    /// A cost beyond what can be added without overflow, or below zero where the largest counts.
    Cost(i64),
    /// A relation with more combinations than fit in a table.
    TooLarge(usize),
}

impl fmt::Display for ProblemError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoOptions(slot) => write!(f, "slot {slot} has no options, wanted one at least"),
            Self::UnknownSlot(slot) => write!(f, "slot {slot} is not one of the problem"),
            Self::SlotTwice(slot) => write!(f, "slot {slot} stands twice in one relation, wanted once"),
            Self::NoSlot => write!(f, "a relation over no slot, wanted one at least"),
            Self::Length { slot, found, wanted } => {
                write!(f, "{found} entries for slot {slot}, wanted {wanted}, one for each option")
            }
            Self::UnknownAim(aim) => write!(f, "aim {aim} is not one of the problem"),
            Self::TooManyAims(found) => {
                write!(f, "{found} aims, wanted {} at most", crate::problem::MOST_AIMS)
            }
            Self::Cost(found) => write!(
                f,
                "a cost of {found}, wanted a size of {} at most, and not below zero where the largest counts",
                crate::problem::MOST_COST
            ),
            Self::TooLarge(found) => {
                write!(
                    f,
                    "a relation over {found} combinations, wanted {} at most",
                    crate::problem::MOST_CELLS
                )
            }
        }
    }
}

impl std::error::Error for ProblemError {}
