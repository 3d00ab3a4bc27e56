//! The order of work: every relation kept, block by block from the front, few changes of tool.

use crate::book::{Book, BookError};
use crate::operation::OperationId;
use crate::step::{Need, Step, StepId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// A step in its place, with what holds it there.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<'a> {
    /// The step.
    pub step: &'a Step,
    /// The nearest steps of this job that have to come before it.
    pub after: Vec<Link>,
}

/// A step that comes before another, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// The one before.
    pub first: StepId,
    /// The one after.
    pub then: StepId,
    /// Why.
    pub because: &'static str,
    /// Steps between the two that this job leaves out; the relation holds through them.
    pub through: Vec<StepId>,
}

impl Book {
    /// The steps of some operations in an order that keeps every relation, also through steps that are left out.
    ///
    /// Of the steps that may come next, the one of the earliest block is taken; among those, one with the tool that is
    /// in the hand; among those, the first of the book. So the same choice always gives the same order.
    ///
    /// # Errors
    /// [`BookError::NotInTheBook`] for an operation that the book does not have.
    pub fn order(&self, operations: &[OperationId]) -> Result<Vec<Placed<'_>>, BookError> {
        let union = self.union(operations)?;
        let steps = self.steps();
        // Each step with how many of the job it still waits for.
        let mut waits: Vec<(usize, usize)> = union
            .iter()
            .map(|at| (*at, union.iter().filter(|first| self.is_before(**first, *at)).count()))
            .collect();
        let mut order: Vec<Placed<'_>> = Vec::with_capacity(union.len());
        let mut tool = "";
        while let Some(next) = waits
            .iter()
            .filter(|(_, waits)| *waits == 0)
            .map(|(at, _)| *at)
            .min_by_key(|at| (steps[*at].block, steps[*at].tool != tool, *at))
        {
            waits.retain(|(at, _)| *at != next);
            for (at, waits) in &mut waits {
                if self.is_before(next, *at) {
                    *waits -= 1;
                }
            }
            tool = steps[next].tool;
            order.push(Placed { step: &steps[next], after: self.nearest_before(next, &union) });
        }
        Ok(order)
    }

    /// Why a step cannot be done before another one: the chain of relations from the other one to it. `None` if
    /// nothing stands against it.
    pub fn why_not_before(&self, step: StepId, other: StepId) -> Option<Vec<Link>> {
        let mut from: BTreeMap<StepId, (StepId, &'static str)> = BTreeMap::new();
        let mut to_visit = VecDeque::from([step]);
        while let Some(at) = to_visit.pop_front() {
            if at == other && at != step {
                return Some(chain(at, step, &from));
            }
            for need in self.needs_of(at) {
                if need.step != step && !from.contains_key(&need.step) {
                    from.insert(need.step, (at, need.because));
                    to_visit.push_back(need.step);
                }
            }
        }
        None
    }

    fn needs_of(&self, id: StepId) -> &[Need] {
        self.step(id).map_or(&[], |step| &step.needs)
    }

    /// The nearest steps of a job before one of its steps, through those that are left out. A step that another of
    /// them already waits for is not named again.
    fn nearest_before(&self, at: usize, union: &BTreeSet<usize>) -> Vec<Link> {
        let then = self.steps()[at].id;
        let mut links: Vec<(usize, Link)> = Vec::new();
        let mut seen = vec![false; self.steps().len()];
        let mut to_visit: VecDeque<(usize, Vec<StepId>)> = VecDeque::from([(at, Vec::new())]);
        while let Some((at, through)) = to_visit.pop_front() {
            for (place, need) in self.needs_at(at) {
                if std::mem::replace(&mut seen[place], true) {
                    continue;
                }
                if union.contains(&place) {
                    // The reason nearest to the step that is in the job says most.
                    let (because, through) = (need.because, through.clone());
                    links.push((place, Link { first: need.step, then, because, through }));
                } else {
                    to_visit.push_back((place, [&through[..], &[need.step]].concat()));
                }
            }
        }
        let places: Vec<usize> = links.iter().map(|(place, _)| *place).collect();
        links.retain(|(place, link)| {
            let told = places.iter().any(|other| self.is_before(*place, *other));
            link.through.is_empty() || !told
        });
        links.into_iter().map(|(_, link)| link).collect()
    }
}

/// The chain from the first step to the last one, as it was found backward.
fn chain(first: StepId, last: StepId, from: &BTreeMap<StepId, (StepId, &'static str)>) -> Vec<Link> {
    let mut links = Vec::new();
    let mut at = first;
    while let Some((then, because)) = from.get(&at).filter(|_| at != last) {
        links.push(Link { first: at, then: *then, because, through: Vec::new() });
        at = *then;
    }
    links
}
