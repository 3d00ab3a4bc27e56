//! The problem: slots with options, relations between them, aims to be made small.

use crate::bits::{self, words};
use crate::error::ProblemError;

/// Most aims of one problem.
pub(crate) const MOST_AIMS: usize = 6;
/// Largest size of one cost: a million slots of it can be added.
pub(crate) const MOST_COST: i64 = 1 << 42;
/// Most combinations that one relation is tabulated over.
pub(crate) const MOST_CELLS: usize = 1 << 26;

/// A fact that relations stand for, by a number that the caller gives: a rule, a wish, a part that stays.
pub type Fact = usize;

/// An aim, by its number in the problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Aim(pub(crate) usize);

impl Aim {
    /// Its place among the values of a set.
    pub fn index(self) -> usize {
        self.0
    }
}

/// How the costs of a set make one value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fold {
    /// They are added: price, weight, minutes.
    Sum,
    /// The largest counts: days until everything is here. No cost may be below zero.
    Most,
}

/// A table over classes of options: what `scope` has in common, by class.
#[derive(Clone, Debug)]
pub(crate) struct Classes {
    /// The slots.
    pub scope: Vec<usize>,
    /// For each slot of the scope the class of each option; none where each option is its own class.
    pub class_of: Vec<Option<Vec<u32>>>,
    /// Number of classes for each slot of the scope.
    pub counts: Vec<usize>,
}

impl Classes {
    pub(crate) fn class(&self, place: usize, option: usize) -> usize {
        self.class_of[place].as_ref().map_or(option, |classes| classes[option] as usize)
    }

    /// Calls for every combination of classes, the last slot fastest.
    pub(crate) fn each(&self, mut visit: impl FnMut(&[usize])) {
        let mut at = vec![0; self.counts.len()];
        loop {
            visit(&at);
            let Some(place) = (0..at.len()).rev().find(|place| at[*place] + 1 < self.counts[*place]) else {
                return;
            };
            at[place] += 1;
            at[place + 1..].fill(0);
        }
    }
}

/// A relation: which combinations of classes hold.
#[derive(Clone, Debug)]
pub(crate) struct Relation {
    pub over: Classes,
    pub fact: Option<Fact>,
    /// For each combination of all but the last slot the classes of the last that hold.
    pub rows: Vec<u64>,
}

/// A cost that several slots make together.
#[derive(Clone, Debug)]
pub(crate) struct Term {
    pub over: Classes,
    pub aim: usize,
    /// In the order of [`Classes::each`].
    pub costs: Vec<i64>,
}

/// Slots with options, relations between them, aims to be made small.
///
/// # Examples
/// ```
/// use frontier::{Fold, Problem, Watch};
///
/// let mut problem = Problem::new(&[2, 2])?;
/// problem.relate(&[0, 1], None, |pair| pair[0] == pair[1])?;
/// let price = problem.aim(Fold::Sum)?;
/// problem.cost(price, 0, &[10, 30])?;
/// problem.cost(price, 1, &[5, 1])?;
/// let least = problem.least(price, Watch::default()).unwrap();
/// assert_eq!((least.options, least.values), (vec![0, 0], vec![15]));
/// # Ok::<(), frontier::ProblemError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Problem {
    pub(crate) options: Vec<usize>,
    pub(crate) relations: Vec<Relation>,
    pub(crate) folds: Vec<Fold>,
    /// For each aim and slot the cost of each option; empty for nothing.
    pub(crate) costs: Vec<Vec<Vec<i64>>>,
    pub(crate) terms: Vec<Term>,
}

impl Problem {
    /// A problem with so many options in each slot, and nothing related yet.
    ///
    /// # Errors
    /// [`ProblemError::NoOptions`] for a slot with none.
    pub fn new(options: &[usize]) -> Result<Self, ProblemError> {
        match options.iter().position(|options| *options == 0) {
            Some(slot) => Err(ProblemError::NoOptions(slot)),
            None => Ok(Self {
                options: options.to_vec(),
                relations: Vec::new(),
                folds: Vec::new(),
                costs: Vec::new(),
                terms: Vec::new(),
            }),
        }
    }

    /// The number of options of each slot.
    pub fn options(&self) -> &[usize] {
        &self.options
    }

    /// The number of aims.
    pub fn aims(&self) -> usize {
        self.folds.len()
    }

    /// Says which combinations of options hold; asks for every combination once.
    ///
    /// `fact` names what the relation stands for, so that it can be left out in [`Problem::conflict`].
    ///
    /// # Errors
    /// [`ProblemError`] for slots that are not there or stand twice, or too many combinations.
    pub fn relate(
        &mut self,
        slots: &[usize],
        fact: Option<Fact>,
        holds: impl FnMut(&[usize]) -> bool,
    ) -> Result<(), ProblemError> {
        let over = self.classes(slots, vec![None; slots.len()])?;
        self.put(over, fact, holds);
        Ok(())
    }

    /// As [`Problem::relate`], over classes of options: options of one class are alike to the relation.
    ///
    /// # Errors
    /// As [`Problem::relate`]; [`ProblemError::Length`] for a list that does not name the class of each option.
    pub fn relate_classes(
        &mut self,
        slots: &[usize],
        class_of: &[Vec<u32>],
        fact: Option<Fact>,
        holds: impl FnMut(&[usize]) -> bool,
    ) -> Result<(), ProblemError> {
        let over = self.classes(slots, class_of.iter().cloned().map(Some).collect())?;
        self.put(over, fact, holds);
        Ok(())
    }

    /// Adds an aim, with no costs yet.
    ///
    /// # Errors
    /// [`ProblemError::TooManyAims`] beyond six.
    pub fn aim(&mut self, fold: Fold) -> Result<Aim, ProblemError> {
        if self.folds.len() == MOST_AIMS {
            return Err(ProblemError::TooManyAims(MOST_AIMS + 1));
        }
        self.folds.push(fold);
        self.costs.push(vec![Vec::new(); self.options.len()]);
        Ok(Aim(self.folds.len() - 1))
    }

    /// Says what each option of a slot costs.
    ///
    /// # Errors
    /// [`ProblemError`] for an aim, slot or length that does not belong, or a cost that cannot be added up.
    pub fn cost(&mut self, aim: Aim, slot: usize, costs: &[i64]) -> Result<(), ProblemError> {
        let wanted = *self.options.get(slot).ok_or(ProblemError::UnknownSlot(slot))?;
        if costs.len() != wanted {
            return Err(ProblemError::Length { slot, found: costs.len(), wanted });
        }
        let fold = *self.folds.get(aim.0).ok_or(ProblemError::UnknownAim(aim.0))?;
        costs.iter().try_for_each(|cost| fits(fold, *cost))?;
        self.costs[aim.0][slot] = costs.to_vec();
        Ok(())
    }

    /// Says what combinations of options cost: the lowest gear that a ring and a cog make.
    ///
    /// # Errors
    /// As [`Problem::relate`] and [`Problem::cost`].
    pub fn cost_of(
        &mut self,
        aim: Aim,
        slots: &[usize],
        cost: impl FnMut(&[usize]) -> i64,
    ) -> Result<(), ProblemError> {
        self.cost_of_classes(aim, slots, vec![None; slots.len()], cost)
    }

    /// As [`Problem::cost_of`], over classes of options.
    ///
    /// # Errors
    /// As [`Problem::relate_classes`] and [`Problem::cost`].
    pub fn cost_of_classes(
        &mut self,
        aim: Aim,
        slots: &[usize],
        class_of: Vec<Option<Vec<u32>>>,
        mut cost: impl FnMut(&[usize]) -> i64,
    ) -> Result<(), ProblemError> {
        let fold = *self.folds.get(aim.0).ok_or(ProblemError::UnknownAim(aim.0))?;
        let over = self.classes(slots, class_of)?;
        let mut costs = Vec::new();
        over.each(|classes| costs.push(cost(classes)));
        costs.iter().try_for_each(|cost| fits(fold, *cost))?;
        self.terms.push(Term { over, aim: aim.0, costs });
        Ok(())
    }

    fn classes(&self, slots: &[usize], class_of: Vec<Option<Vec<u32>>>) -> Result<Classes, ProblemError> {
        if slots.is_empty() {
            return Err(ProblemError::NoSlot);
        }
        let mut counts = Vec::with_capacity(slots.len());
        for (place, slot) in slots.iter().enumerate() {
            let wanted = *self.options.get(*slot).ok_or(ProblemError::UnknownSlot(*slot))?;
            if slots[..place].contains(slot) {
                return Err(ProblemError::SlotTwice(*slot));
            }
            counts.push(match class_of.get(place) {
                Some(Some(classes)) if classes.len() == wanted => {
                    classes.iter().max().map_or(0, |most| *most as usize + 1)
                }
                Some(Some(classes)) => {
                    return Err(ProblemError::Length { slot: *slot, found: classes.len(), wanted });
                }
                Some(None) => wanted,
                None => return Err(ProblemError::Length { slot: *slot, found: 0, wanted }),
            });
        }
        let cells = counts.iter().try_fold(1usize, |cells, count| cells.checked_mul(*count));
        match cells {
            Some(cells) if cells <= MOST_CELLS => Ok(Classes { scope: slots.to_vec(), class_of, counts }),
            found => Err(ProblemError::TooLarge(found.unwrap_or(usize::MAX))),
        }
    }

    fn put(&mut self, over: Classes, fact: Option<Fact>, mut holds: impl FnMut(&[usize]) -> bool) {
        let last = over.counts.last().copied().unwrap_or(1);
        let width = words(last);
        let prefixes: usize = over.counts.iter().rev().skip(1).product();
        let mut rows = vec![0; prefixes * width];
        let mut cell = 0;
        over.each(|classes| {
            if holds(classes) {
                bits::add(&mut rows[cell / last * width..], cell % last);
            }
            cell += 1;
        });
        self.relations.push(Relation { over, fact, rows });
    }
}

fn fits(fold: Fold, cost: i64) -> Result<(), ProblemError> {
    let least = if fold == Fold::Sum { -MOST_COST } else { 0 };
    if (least..=MOST_COST).contains(&cost) { Ok(()) } else { Err(ProblemError::Cost(cost)) }
}
