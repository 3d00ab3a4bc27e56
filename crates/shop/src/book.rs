//! The book of the shop: steps and operations that agree with each other. Every question is put to it.

use crate::operation::{Operation, OperationId};
use crate::step::{Need, Step, StepId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fmt;

/// Steps and operations, checked: every name is there, nothing waits for itself.
#[derive(Clone, Debug)]
pub struct Book {
    steps: Vec<Step>,
    operations: Vec<Operation>,
    places: BTreeMap<StepId, usize>,
    /// For each step all steps that come before it, through any number of others.
    before: Vec<BTreeSet<usize>>,
    /// The same, a bit a step: asked very often while an order is made.
    before_bits: Vec<Vec<u64>>,
    /// For each step the places of its needs; a book that lacks one is none.
    need_places: Vec<Vec<Option<usize>>>,
    operation_places: BTreeMap<OperationId, usize>,
    /// For each operation itself and all that it brings.
    brought: Vec<BTreeSet<usize>>,
    /// For each operation all steps of these.
    reached: Vec<BTreeSet<usize>>,
}

/// Why steps and operations make no book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BookError {
    /// Two steps have one key.
    StepTwice(StepId),
    /// Two operations have one key.
    OperationTwice(OperationId),
    /// A step needs one that is not there.
    NeedMissing {
        /// The step.
        step: StepId,
        /// What it needs.
        need: StepId,
    },
    /// An operation takes a step that is not there.
    StepMissing {
        /// The operation.
        operation: OperationId,
        /// The step.
        step: StepId,
    },
    /// An operation brings one that is not there.
    OperationMissing {
        /// The operation.
        operation: OperationId,
        /// What it brings.
        brings: OperationId,
    },
    /// Steps that wait for each other, in a ring: each comes before the next, the last before the first.
    StepsInARing(Vec<StepId>),
    /// Operations that bring each other, in a ring.
    OperationsInARing(Vec<OperationId>),
    /// The minutes of a step do not rise from low over usual to high.
    MinutesOutOfOrder(StepId),
    /// An operation was asked for that the book does not have.
    NotInTheBook(OperationId),
}

impl fmt::Display for BookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fn ring<T: fmt::Display>(names: &[T]) -> String {
            let names: Vec<String> =
                names.iter().chain(names.first()).map(|name| format!("`{name}`")).collect();
            names.join(", ")
        }
        match self {
            Self::StepTwice(step) => write!(f, "the step `{step}` stands twice in the book"),
            Self::OperationTwice(operation) => {
                write!(f, "the operation `{operation}` stands twice in the book")
            }
            Self::NeedMissing { step, need } => {
                write!(f, "the step `{step}` comes after `{need}`, which is not in the book")
            }
            Self::StepMissing { operation, step } => {
                write!(f, "the operation `{operation}` takes the step `{step}`, which is not in the book")
            }
            Self::OperationMissing { operation, brings } => {
                write!(f, "the operation `{operation}` brings `{brings}`, which is not in the book")
            }
            Self::StepsInARing(steps) => {
                write!(
                    f,
                    "each of these steps waits for the one before it, so none can be first: {}",
                    ring(steps)
                )
            }
            Self::OperationsInARing(operations) => {
                write!(f, "each of these operations brings the next one, without end: {}", ring(operations))
            }
            Self::MinutesOutOfOrder(step) => {
                write!(f, "the minutes of `{step}` do not rise from low over usual to high")
            }
            Self::NotInTheBook(operation) => write!(f, "the operation `{operation}` is not in the book"),
        }
    }
}

impl std::error::Error for BookError {}

impl Book {
    /// Makes a book.
    ///
    /// # Errors
    /// Everything that is wrong with the steps and operations, all at once.
    pub fn new(steps: Vec<Step>, operations: Vec<Operation>) -> Result<Self, Vec<BookError>> {
        let book = Self::laid(steps, operations);
        let problems = book.problems();
        if problems.is_empty() { Ok(book) } else { Err(problems) }
    }

    /// Lays the tables out without looking for problems.
    pub(crate) fn laid(steps: Vec<Step>, operations: Vec<Operation>) -> Self {
        let mut places = BTreeMap::new();
        for (at, step) in steps.iter().enumerate() {
            places.entry(step.id).or_insert(at);
        }
        let mut operation_places = BTreeMap::new();
        for (at, operation) in operations.iter().enumerate() {
            operation_places.entry(operation.id).or_insert(at);
        }
        let (before, before_bits, need_places, brought, reached) = Default::default();
        let mut book = Self {
            steps,
            operations,
            places,
            before,
            before_bits,
            need_places,
            operation_places,
            brought,
            reached,
        };
        book.need_places = (book.steps.iter())
            .map(|step| step.needs.iter().map(|need| book.place(need.step)).collect())
            .collect();
        book.before = (0..book.steps.len()).map(|at| book.all_before(at)).collect();
        let words = book.steps.len().div_ceil(64);
        let bits = |set: &BTreeSet<usize>| {
            let mut bits = vec![0u64; words];
            set.iter().for_each(|at| bits[at / 64] |= 1 << (at % 64));
            bits
        };
        book.before_bits = book.before.iter().map(bits).collect();
        book.brought = (0..book.operations.len()).map(|at| book.all_brought(at)).collect();
        let steps_of = |all: &BTreeSet<usize>| {
            let steps = all.iter().flat_map(|at| book.operations[*at].steps.iter());
            steps.filter_map(|step| book.place(*step)).collect()
        };
        book.reached = book.brought.iter().map(steps_of).collect();
        book
    }

    /// Its steps, in the order of the walk round the bike.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Its operations.
    pub fn operations(&self) -> &[Operation] {
        &self.operations
    }

    /// The step with this key.
    pub fn step(&self, id: StepId) -> Option<&Step> {
        self.place(id).map(|at| &self.steps[at])
    }

    /// The operation with this key.
    pub fn operation(&self, id: OperationId) -> Option<&Operation> {
        self.operation_places.get(&id).map(|at| &self.operations[*at])
    }

    /// Whether one step has to come before another, directly or through others.
    pub fn comes_before(&self, first: StepId, second: StepId) -> bool {
        match (self.place(first), self.place(second)) {
            (Some(first), Some(second)) => self.before[second].contains(&first),
            _ => false,
        }
    }

    /// The steps of some operations and of all that they bring, each once, in the order of the book.
    ///
    /// # Errors
    /// [`BookError::NotInTheBook`] for the first operation that the book does not have.
    pub fn steps_of(&self, operations: &[OperationId]) -> Result<Vec<StepId>, BookError> {
        Ok(self.union(operations)?.into_iter().map(|at| self.steps[at].id).collect())
    }

    /// Some operations with all that they bring.
    ///
    /// # Errors
    /// As [`Self::steps_of`].
    pub fn brought_by(&self, operations: &[OperationId]) -> Result<BTreeSet<OperationId>, BookError> {
        let mut all = BTreeSet::new();
        for id in operations {
            all.extend(self.brought[self.operation_place(*id)?].iter().map(|at| self.operations[*at].id));
        }
        Ok(all)
    }

    pub(crate) fn union(&self, operations: &[OperationId]) -> Result<BTreeSet<usize>, BookError> {
        let mut steps = BTreeSet::new();
        for id in operations {
            steps.extend(&self.reached[self.operation_place(*id)?]);
        }
        Ok(steps)
    }

    /// The places of all operations that an operation brings, and its own.
    pub(crate) fn brought_places(&self, id: OperationId) -> Result<&BTreeSet<usize>, BookError> {
        Ok(&self.brought[self.operation_place(id)?])
    }

    pub(crate) fn operation_place(&self, id: OperationId) -> Result<usize, BookError> {
        self.operation_places.get(&id).copied().ok_or(BookError::NotInTheBook(id))
    }

    fn all_brought(&self, at: usize) -> BTreeSet<usize> {
        let mut all = BTreeSet::new();
        let mut to_visit = vec![at];
        while let Some(next) = to_visit.pop() {
            if all.insert(next) {
                let brings = self.operations[next].brings.iter();
                to_visit.extend(brings.filter_map(|id| self.operation_places.get(id).copied()));
            }
        }
        all
    }

    /// What a step needs, each with its place.
    pub(crate) fn needs_at(&self, at: usize) -> impl Iterator<Item = (usize, &Need)> {
        let needs = self.steps[at].needs.iter();
        needs.zip(&self.need_places[at]).filter_map(|(need, place)| Some(((*place)?, need)))
    }

    /// Whether the step at one place comes before that at another.
    pub(crate) fn is_before(&self, first: usize, second: usize) -> bool {
        self.before_bits[second][first / 64] >> (first % 64) & 1 == 1
    }

    pub(crate) fn place(&self, id: StepId) -> Option<usize> {
        self.places.get(&id).copied()
    }

    fn needs(&self, at: usize) -> impl Iterator<Item = usize> + '_ {
        self.steps[at].needs.iter().filter_map(|need| self.place(need.step))
    }

    fn all_before(&self, at: usize) -> BTreeSet<usize> {
        let mut all = BTreeSet::new();
        let mut to_visit: VecDeque<usize> = self.needs(at).collect();
        while let Some(next) = to_visit.pop_front() {
            if all.insert(next) {
                to_visit.extend(self.needs(next));
            }
        }
        all
    }

    /// Everything that is wrong with the book.
    pub(crate) fn problems(&self) -> Vec<BookError> {
        let mut problems = Vec::new();
        let mut seen = BTreeSet::new();
        for step in &self.steps {
            if !seen.insert(step.id) {
                problems.push(BookError::StepTwice(step.id));
            }
            if !step.minutes.is_ordered() {
                problems.push(BookError::MinutesOutOfOrder(step.id));
            }
            let missing = step.needs.iter().filter(|need| self.place(need.step).is_none());
            problems.extend(missing.map(|need| BookError::NeedMissing { step: step.id, need: need.step }));
        }
        let mut seen = BTreeSet::new();
        for operation in &self.operations {
            if !seen.insert(operation.id) {
                problems.push(BookError::OperationTwice(operation.id));
            }
            let missing = operation.steps.iter().filter(|step| self.place(**step).is_none());
            problems
                .extend(missing.map(|step| BookError::StepMissing { operation: operation.id, step: *step }));
            let missing = operation.brings.iter().filter(|brings| self.operation(**brings).is_none());
            problems.extend(
                missing
                    .map(|brings| BookError::OperationMissing { operation: operation.id, brings: *brings }),
            );
        }
        let ids: BTreeMap<StepId, Vec<StepId>> = (self.steps.iter())
            .map(|step| (step.id, step.needs.iter().map(|need| need.step).collect()))
            .collect();
        problems.extend(rings(&ids).into_iter().map(|mut ring| {
            // Needs point backward; the ring is told forward.
            ring.reverse();
            BookError::StepsInARing(ring)
        }));
        let ids: BTreeMap<OperationId, Vec<OperationId>> =
            self.operations.iter().map(|operation| (operation.id, operation.brings.to_vec())).collect();
        problems.extend(rings(&ids).into_iter().map(BookError::OperationsInARing));
        problems
    }
}

/// One shortest ring through each group of names that lead to each other.
fn rings<T: Ord + Copy>(next: &BTreeMap<T, Vec<T>>) -> Vec<Vec<T>> {
    let mut told: BTreeSet<T> = BTreeSet::new();
    let mut found = Vec::new();
    for start in next.keys() {
        if told.contains(start) {
            continue;
        }
        // Breadth first, remembering from where each name was reached.
        let mut from: BTreeMap<T, T> = BTreeMap::new();
        let mut to_visit = VecDeque::from([*start]);
        let mut end = None;
        'search: while let Some(at) = to_visit.pop_front() {
            for follower in next.get(&at).into_iter().flatten() {
                if follower == start {
                    end = Some(at);
                    break 'search;
                }
                if !from.contains_key(follower) {
                    from.insert(*follower, at);
                    to_visit.push_back(*follower);
                }
            }
        }
        let Some(end) = end else { continue };
        let mut ring = vec![end];
        let mut at = end;
        while let Some(before) = from.get(&at).filter(|_| at != *start) {
            at = *before;
            ring.push(at);
        }
        ring.reverse();
        told.extend(ring.iter().copied());
        found.push(ring);
    }
    found
}
