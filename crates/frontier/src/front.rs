//! All sets that no other beats, by elimination.

use crate::bits;
use crate::eliminate::{Whole, eliminate};
use crate::join::Halt;
use crate::order::Plan;
use crate::pareto::{Candidate, prune};
use crate::prepared::{Matrix, Prepared};
use crate::problem::{Aim, Fact, Fold, Problem};
use crate::watch::{Limits, Progress, Watch};

/// One set: what it makes of each aim, and the option chosen in each slot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pick {
    /// The value of each aim, in the order asked for.
    pub values: Vec<i64>,
    /// The option of each slot.
    pub options: Vec<usize>,
}

/// The sets that no other beats, smallest first aim first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Front {
    /// The sets, one for each combination of values.
    pub picks: Vec<Pick>,
    /// Whether the search ran to its end: if not, each pick holds, but others may be missing and may beat it.
    pub complete: bool,
    /// Parts that the problem was divided into: one where it was solved in one go.
    pub parts: usize,
}

/// Options that may be part of a set that holds.
#[derive(Clone, Debug)]
pub struct Left {
    /// For each slot its options, by their numbers.
    pub options: Vec<Vec<usize>>,
    pairs: Vec<Option<Matrix>>,
}

impl Left {
    /// Whether two options go together, by their places in the lists of what is left.
    pub fn go_together(&self, (slot, place): (usize, usize), (other, other_place): (usize, usize)) -> bool {
        let pair = self.pairs.get(slot * self.options.len() + other).and_then(Option::as_ref);
        pair.is_none_or(|pair| bits::has(pair.row(place), other_place))
    }
}

impl Problem {
    /// Every set that no other beats in all aims: for each combination of values the first by options, slot by slot.
    ///
    /// Where an aim counts the largest cost alone, the first is meant among the sets that the search keeps.
    pub fn front(&self, watch: Watch<'_>) -> Front {
        let aims: Vec<Aim> = (0..self.folds.len()).map(Aim).collect();
        self.front_of(&aims, &|_| true, Limits::default(), watch)
    }

    /// As [`Problem::front`], for some aims, with the relations of some facts, within limits.
    pub fn front_of(
        &self,
        aims: &[Aim],
        in_force: &dyn Fn(Fact) -> bool,
        limits: Limits,
        watch: Watch<'_>,
    ) -> Front {
        let aims: Vec<usize> = aims.iter().map(|aim| aim.0).filter(|aim| *aim < self.folds.len()).collect();
        let ask =
            Ask { problem: self, aims: &aims, in_force: &|fact| fact.is_none_or(in_force), limits, watch };
        match aims.len() {
            0 => solve::<0>(&ask),
            1 => solve::<1>(&ask),
            2 => solve::<2>(&ask),
            3 => solve::<3>(&ask),
            4 => solve::<4>(&ask),
            5 => solve::<5>(&ask),
            _ => solve::<6>(&ask),
        }
    }

    /// The set with the least value of one aim; of equals the first by options. `None` if nothing holds.
    pub fn least(&self, aim: Aim, watch: Watch<'_>) -> Option<Pick> {
        self.front_of(&[aim], &|_| true, Limits::default(), watch).picks.into_iter().next()
    }

    /// What may be part of a set that holds, as far as looking at two slots at a time shows it; `None` where nothing
    /// holds.
    pub fn left(&self) -> Option<Left> {
        let prepared = Prepared::new(self, &[], &|_| true, &[])?;
        let options = |names: &Vec<u32>| names.iter().map(|name| *name as usize).collect();
        Some(Left { options: prepared.names.iter().map(options).collect(), pairs: prepared.pairs })
    }

    /// Whether a set holds.
    pub fn holds(&self, options: &[usize]) -> bool {
        self.relations.iter().all(|relation| {
            let (over, mut cell) = (&relation.over, 0);
            for (at, slot) in over.scope.iter().enumerate() {
                cell = cell * over.counts[at] + over.class(at, options[*slot]);
            }
            let last = over.counts.last().copied().unwrap_or(1);
            bits::has(&relation.rows[cell / last * bits::words(last)..], cell % last)
        })
    }

    /// What a set makes of each aim.
    pub fn values(&self, options: &[usize]) -> Vec<i64> {
        let mut values = vec![0i64; self.folds.len()];
        let mut add = |aim: usize, cost: i64| match self.folds[aim] {
            Fold::Sum => values[aim] += cost,
            Fold::Most => values[aim] = values[aim].max(cost),
        };
        for (aim, slots) in self.costs.iter().enumerate() {
            for (costs, option) in slots.iter().zip(options) {
                costs.get(*option).into_iter().for_each(|cost| add(aim, *cost));
            }
        }
        for term in &self.terms {
            let mut cell = 0;
            for (at, slot) in term.over.scope.iter().enumerate() {
                cell = cell * term.over.counts[at] + term.over.class(at, options[*slot]);
            }
            add(term.aim, term.costs[cell]);
        }
        values
    }
}

/// A question to a problem.
pub(crate) struct Ask<'a> {
    pub problem: &'a Problem,
    pub aims: &'a [usize],
    pub in_force: &'a dyn Fn(Option<Fact>) -> bool,
    pub limits: Limits,
    pub watch: Watch<'a>,
}

/// Sets found so far.
struct Found<const K: usize> {
    picks: Vec<Whole<K>>,
    parts: usize,
}

fn solve<const K: usize>(ask: &Ask<'_>) -> Front {
    let mut found = Found::<K> { picks: Vec::new(), parts: 0 };
    let complete = divide(ask, &mut Vec::new(), (0, 1), &mut found);
    if !complete && found.picks.is_empty() {
        // Nothing was finished before the stop: one set that holds is better than none.
        found.picks.extend(dive(ask).map(|options| {
            let all = ask.problem.values(&options);
            let options = options.into_iter().map(|option| option as u32).collect();
            (std::array::from_fn(|aim| all[ask.aims[aim]]), options)
        }));
    }
    let picks = found.picks.into_iter().map(|(values, options)| Pick {
        values: values.to_vec(),
        options: options.into_iter().map(|option| option as usize).collect(),
    });
    Front { picks: picks.collect(), complete, parts: found.parts }
}

/// Solves in one go what fits the limits; else fixes one slot to each of its options in turn.
fn divide<const K: usize>(
    ask: &Ask<'_>,
    fixed: &mut Vec<(usize, usize)>,
    (done, of): (usize, usize),
    found: &mut Found<K>,
) -> bool {
    if ask.watch.stopped() {
        return false;
    }
    let Some(prepared) = Prepared::new(ask.problem, ask.aims, ask.in_force, fixed) else { return true };
    let plan = Plan::of(&prepared);
    let names = prepared.names.clone();
    let outcome = if plan.rows > ask.limits.rows as f64 {
        Err(Halt::TooLarge)
    } else {
        eliminate::<K>(ask, prepared, &plan)
    };
    match outcome {
        Ok(picks) => {
            found.parts += 1;
            merge(&mut found.picks, picks);
            ask.watch.tell(Progress { done: done + 1, of, found: found.picks.len() });
            true
        }
        Err(Halt::Stopped) => false,
        Err(Halt::TooLarge) => {
            let sizes: Vec<usize> = names.iter().map(Vec::len).collect();
            let open = |slot: &usize| sizes[*slot] > 1;
            let slot =
                plan.widest.filter(open).or_else(|| (0..sizes.len()).filter(open).max_by_key(|s| sizes[*s]));
            let Some(slot) = slot else { return false };
            let parts = names[slot].len();
            names[slot].iter().enumerate().all(|(at, option)| {
                fixed.push((slot, *option as usize));
                let complete = divide(ask, fixed, (done * parts + at, of * parts), found);
                fixed.pop();
                complete
            })
        }
    }
}

fn merge<const K: usize>(kept: &mut Vec<Whole<K>>, more: Vec<Whole<K>>) {
    if kept.is_empty() {
        *kept = more;
        return;
    }
    kept.extend(more);
    let mut candidates: Vec<Candidate<K>> = kept
        .iter()
        .enumerate()
        .map(|(at, (values, _))| Candidate { values: *values, place: 0, behind: at as u64 })
        .collect();
    prune(&mut candidates, |a, b| kept[a.behind as usize].1.cmp(&kept[b.behind as usize].1));
    let mut all: Vec<Option<Whole<K>>> = kept.drain(..).map(Some).collect();
    kept.extend(candidates.iter().filter_map(|candidate| all[candidate.behind as usize].take()));
}

/// One set that holds, by trying options one after another; gives up after a while.
fn dive(ask: &Ask<'_>) -> Option<Vec<usize>> {
    let prepared = Prepared::new(ask.problem, ask.aims, ask.in_force, &[])?;
    let mut order: Vec<usize> = (0..prepared.slots()).collect();
    order.sort_by_key(|slot| prepared.sizes[*slot]);
    let mut at = vec![0; prepared.slots()];
    let mut tries = 20_000;
    dive_from(&prepared, &order, 0, &mut at, &mut tries)
        .then(|| (0..at.len()).map(|slot| prepared.names[slot][at[slot]] as usize).collect())
}

fn dive_from(
    prepared: &Prepared<'_>,
    order: &[usize],
    depth: usize,
    at: &mut [usize],
    tries: &mut usize,
) -> bool {
    let Some(slot) = order.get(depth) else {
        return prepared.wide.iter().all(|relation| {
            let (over, mut cell) = (&relation.over, 0);
            for (place, slot) in over.scope.iter().enumerate() {
                cell = cell * over.counts[place] + prepared.class(over, place, at[*slot]);
            }
            let last = over.counts.last().copied().unwrap_or(1);
            bits::has(&relation.rows[cell / last * bits::words(last)..], cell % last)
        });
    };
    for place in 0..prepared.sizes[*slot] {
        if *tries == 0 {
            return false;
        }
        *tries -= 1;
        let fits = |before: &usize| {
            prepared.pair(*before, *slot).is_none_or(|pair| bits::has(pair.row(at[*before]), place))
        };
        if order[..depth].iter().all(fits) {
            at[*slot] = place;
            if dive_from(prepared, order, depth + 1, at, tries) {
                return true;
            }
        }
    }
    false
}
