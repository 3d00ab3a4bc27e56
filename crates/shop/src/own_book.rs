//! The shop's own steps and operations, put into the book that it starts with.

use crate::book::{Book, BookError};
use crate::fastener::FastenerId;
use crate::operation::{Operation, OperationId};
use crate::step::{Block, Minutes, Need, Notes, Own, Skill, Step, StepId};
use std::borrow::Cow;

/// A step as the shop writes it: what is not said stays as it was. A step that the book does not have needs a title,
/// a block, minutes, a skill and a tool.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnStep {
    /// The key.
    pub id: StepId,
    /// The title.
    pub title: Option<&'static str>,
    /// The block.
    pub block: Option<Block>,
    /// Low, usual, high.
    pub minutes: Option<Minutes>,
    /// The skill.
    pub skill: Option<Skill>,
    /// The tool.
    pub tool: Option<&'static str>,
    /// Steps that come before, with the reason.
    pub needs: Option<Vec<Need>>,
    /// Whether it cannot be taken back.
    pub irreversible: Option<bool>,
    /// Fasteners.
    pub fasteners: Option<Vec<FastenerId>>,
    /// Consumable, value, caution, picture: each as before if it is not said.
    pub notes: Notes,
    /// Who says so, and when.
    pub own: Own,
}

/// An operation as the shop writes it.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnOperation {
    /// The key.
    pub id: OperationId,
    /// The title.
    pub title: Option<&'static str>,
    /// Its steps.
    pub steps: Option<Vec<StepId>>,
    /// What comes with it.
    pub brings: Option<Vec<OperationId>>,
}

impl OwnStep {
    /// The step, from one of the book or from nothing.
    ///
    /// # Errors
    /// The names of what a new step has to say.
    pub fn on(&self, before: Option<&Step>) -> Result<Step, Vec<&'static str>> {
        let mut missing = Vec::new();
        let mut want = |name, is: bool| {
            if !is && before.is_none() {
                missing.push(name);
            }
        };
        want("title", self.title.is_some());
        want("block", self.block.is_some());
        want("minutes", self.minutes.is_some());
        want("skill", self.skill.is_some());
        want("tool", self.tool.is_some());
        if !missing.is_empty() {
            return Err(missing);
        }
        let (old, new) = (before.map(|step| step.notes).unwrap_or_default(), self.notes);
        Ok(Step {
            id: self.id,
            title: self.title.or(before.map(|step| step.title)).unwrap_or_default(),
            block: self.block.or(before.map(|step| step.block)).unwrap_or(Block::Control),
            minutes: self.minutes.or(before.map(|step| step.minutes)).unwrap_or_default(),
            skill: self.skill.or(before.map(|step| step.skill)).unwrap_or(Skill::Mechanic),
            tool: self.tool.or(before.map(|step| step.tool)).unwrap_or_default(),
            needs: match (&self.needs, before) {
                (Some(needs), _) => Cow::Owned(needs.clone()),
                (None, Some(step)) => step.needs.clone(),
                (None, None) => Cow::Borrowed(&[]),
            },
            irreversible: self.irreversible.or(before.map(|step| step.irreversible)).unwrap_or(false),
            fasteners: match (&self.fasteners, before) {
                (Some(fasteners), _) => Cow::Owned(fasteners.clone()),
                (None, Some(step)) => step.fasteners.clone(),
                (None, None) => Cow::Borrowed(&[]),
            },
            notes: Notes {
                consumable: new.consumable.or(old.consumable),
                record: new.record.or(old.record),
                caution: new.caution.or(old.caution),
                picture: new.picture.or(old.picture),
                own: Some(self.own),
            },
        })
    }
}

impl OwnOperation {
    fn on(&self, before: Option<&Operation>) -> Operation {
        Operation {
            id: self.id,
            title: self.title.or(before.map(|operation| operation.title)).unwrap_or(self.id.0),
            steps: match (&self.steps, before) {
                (Some(steps), _) => Cow::Owned(steps.clone()),
                (None, Some(operation)) => operation.steps.clone(),
                (None, None) => Cow::Borrowed(&[]),
            },
            brings: match (&self.brings, before) {
                (Some(brings), _) => Cow::Owned(brings.clone()),
                (None, Some(operation)) => operation.brings.clone(),
                (None, None) => Cow::Borrowed(&[]),
            },
        }
    }
}

impl Book {
    /// The book with the shop's own steps and operations in it.
    ///
    /// # Errors
    /// Everything that is wrong with the book then.
    pub fn with_own(&self, steps: &[Step], operations: &[OwnOperation]) -> Result<Self, Vec<BookError>> {
        let mut all = self.steps().to_vec();
        for own in steps {
            match all.iter_mut().find(|step| step.id == own.id) {
                Some(step) => *step = own.clone(),
                None => all.push(own.clone()),
            }
        }
        let mut every = self.operations().to_vec();
        for own in operations {
            match every.iter_mut().find(|operation| operation.id == own.id) {
                Some(operation) => *operation = own.on(Some(operation)),
                None => every.push(own.on(None)),
            }
        }
        Self::new(all, every)
    }
}
