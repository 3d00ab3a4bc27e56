//! Labour: the union of the steps of all operations, never the sum of menu lines.

use crate::book::{Book, BookError};
use crate::operation::OperationId;
use crate::step::{Block, Minutes, StepId};
use std::collections::BTreeSet;

/// The labour of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Labour {
    /// Every step once, in the order of the book.
    pub steps: Vec<StepId>,
    /// What each operation would take as a job of its own; operations that another one brings have no line.
    pub lines: Vec<Line>,
    /// The steps together.
    pub minutes: Minutes,
    /// The lines added up, as jobs of their own on other days.
    pub sum_of_lines: Minutes,
    /// The lines added up as a menu does in one visit: one intake and one control, all else line by line.
    pub sum_in_one_visit: Minutes,
    /// Usual minutes of `sum_of_lines` that the union does not take.
    pub saved: u32,
    /// What is added for this bike, each by name.
    pub extras: Vec<Extra>,
    /// Steps and extras.
    pub total: Minutes,
}

/// An operation as a job of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    /// The operation.
    pub operation: OperationId,
    /// With everything that it brings.
    pub alone: Minutes,
}

/// Minutes added for a reason that everyone may see.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Extra {
    /// The reason.
    pub words: &'static str,
    /// The minutes.
    pub minutes: Minutes,
}

/// What an operation takes while the bike is apart, and alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Marginal {
    /// Added to the job that is planned already.
    pub while_apart: Minutes,
    /// As a job of its own, later.
    pub alone: Minutes,
}

/// What the bike or the customer adds to the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Circumstances {
    /// How hard the old parts come off.
    pub age: Age,
    /// Cables run through the frame.
    pub internal_routing: bool,
    /// The front brake is hydraulic and is opened.
    pub bleed_front: bool,
    /// The rear brake is hydraulic and is opened.
    pub bleed_rear: bool,
    /// A tandem with a timing chain.
    pub tandem: bool,
    /// The customer brings parts.
    pub customer_parts: bool,
}

/// How hard the old parts come off. The factors are invented start values.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Age {
    /// As they should: × 1.0.
    #[default]
    Sound,
    /// Used for years: × 1.15.
    Used,
    /// Corroded: × 1.3.
    Corroded,
}

impl Age {
    /// What is added to the steps of taking off, percent.
    pub fn added_percent(self) -> u32 {
        match self {
            Self::Sound => 0,
            Self::Used => 15,
            Self::Corroded => 30,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Sound => "nothing for age",
            Self::Used => "parts used for years: 15 % on the steps of taking off",
            Self::Corroded => "corroded parts: 30 % on the steps of taking off",
        }
    }
}

impl Circumstances {
    /// The operations that these circumstances add. Each is a named step with minutes of its own, never a factor.
    pub fn operations(self) -> Vec<OperationId> {
        [
            (self.internal_routing, "internal-routing"),
            (self.bleed_front, "bleed-front"),
            (self.bleed_rear, "bleed-rear"),
            (self.tandem, "timing-chain"),
            (self.customer_parts, "customer-parts"),
        ]
        .into_iter()
        .filter_map(|(is, id)| is.then_some(OperationId(id)))
        .collect()
    }
}

impl Book {
    /// The labour of some operations.
    ///
    /// `minutes` is the sum over the union of their steps. Never more than `sum_in_one_visit`, which is never more
    /// than `sum_of_lines`; never less when an operation is added; the same in whatever order they are chosen.
    ///
    /// # Errors
    /// [`BookError::NotInTheBook`] for an operation that the book does not have.
    pub fn labour(&self, operations: &[OperationId], age: Age) -> Result<Labour, BookError> {
        let union = self.union(operations)?;
        let minutes = self.minutes(&union);
        let (around, _) = self.around_and_between(&union);
        let mut lines = Vec::new();
        let mut sum_in_one_visit = around;
        for operation in self.leading(operations)? {
            let alone = self.union(&[operation])?;
            sum_in_one_visit = sum_in_one_visit + self.around_and_between(&alone).1;
            lines.push(Line { operation, alone: self.minutes(&alone) });
        }
        let sum_of_lines: Minutes = lines.iter().map(|line| line.alone).sum();
        let strip: Minutes = union
            .iter()
            .map(|at| &self.steps()[*at])
            .filter(|step| step.block == Block::Strip)
            .map(|step| step.minutes)
            .sum();
        let extras: Vec<Extra> = Some(strip.percent(age.added_percent()))
            .filter(|minutes| minutes.high > 0)
            .map(|minutes| Extra { words: age.words(), minutes })
            .into_iter()
            .collect();
        let total = minutes + extras.iter().map(|extra| extra.minutes).sum();
        Ok(Labour {
            steps: union.into_iter().map(|at| self.steps()[at].id).collect(),
            lines,
            minutes,
            sum_of_lines,
            sum_in_one_visit,
            saved: sum_of_lines.usual.saturating_sub(minutes.usual),
            extras,
            total,
        })
    }

    /// What one more operation takes while the bike is apart for others, and what it would take alone.
    ///
    /// # Errors
    /// As [`Self::labour`].
    pub fn marginal(&self, operations: &[OperationId], further: OperationId) -> Result<Marginal, BookError> {
        let planned = self.union(operations)?;
        let alone = self.union(&[further])?;
        let added: BTreeSet<usize> = alone.difference(&planned).copied().collect();
        Ok(Marginal { while_apart: self.minutes(&added), alone: self.minutes(&alone) })
    }

    /// The operations that no other one of them brings, in the order of the book.
    ///
    /// # Errors
    /// As [`Self::labour`].
    pub fn leading(&self, operations: &[OperationId]) -> Result<Vec<OperationId>, BookError> {
        let mut chosen = BTreeSet::new();
        for id in operations {
            chosen.insert(self.operation_place(*id)?);
        }
        let mut brought = BTreeSet::new();
        for at in &chosen {
            let others = self.brought_places(self.operations()[*at].id)?;
            brought.extend(others.iter().copied().filter(|other| other != at));
        }
        Ok(chosen.difference(&brought).map(|at| self.operations()[*at].id).collect())
    }

    /// The minutes of intake and control, and those between them.
    fn around_and_between(&self, steps: &BTreeSet<usize>) -> (Minutes, Minutes) {
        let is_around = |at: &&usize| matches!(self.steps()[**at].block, Block::Intake | Block::Control);
        let sum = |wanted: bool| {
            let of = steps.iter().filter(move |at| is_around(at) == wanted);
            of.map(|at| self.steps()[*at].minutes).sum()
        };
        (sum(true), sum(false))
    }

    fn minutes(&self, steps: &BTreeSet<usize>) -> Minutes {
        steps.iter().map(|at| self.steps()[*at].minutes).sum()
    }
}
