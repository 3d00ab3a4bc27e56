//! The problem made small before it is solved: options that no option of a neighbour goes with are left out.

use crate::bits::{self, full, words};
use crate::problem::{Classes, Fact, Problem, Relation, Term};
use std::collections::BTreeMap;

/// Which options of one slot go with each option of another.
#[derive(Clone, Debug)]
pub(crate) struct Matrix {
    pub width: usize,
    pub rows: Vec<u64>,
}

impl Matrix {
    pub(crate) fn empty(from: usize, to: usize) -> Self {
        let width = words(to);
        Self { width, rows: vec![0; from * width] }
    }

    pub(crate) fn row(&self, option: usize) -> &[u64] {
        &self.rows[option * self.width..(option + 1) * self.width]
    }

    pub(crate) fn add(&mut self, from: usize, to: usize) {
        bits::add(&mut self.rows[from * self.width..], to);
    }

    /// The same pairs seen from the other slot.
    pub(crate) fn turned(&self, from: usize, to: usize) -> Self {
        let mut turned = Self::empty(to, from);
        for option in 0..from {
            bits::each(self.row(option)).for_each(|other| turned.add(other, option));
        }
        turned
    }

    pub(crate) fn meet(&mut self, other: &Self) {
        self.rows.iter_mut().zip(&other.rows).for_each(|(row, other)| *row &= other);
    }

    /// Only the options that are left, under their new places.
    fn packed(&self, from: &[u32], to: &[u64], to_count: usize) -> Self {
        let mut packed = Self::empty(from.len(), to_count);
        let before: Vec<usize> = to
            .iter()
            .scan(0, |sum, word| {
                let before = *sum;
                *sum += word.count_ones() as usize;
                Some(before)
            })
            .collect();
        for (at, option) in from.iter().enumerate() {
            for (word, (row, live)) in self.row(*option as usize).iter().zip(to).enumerate() {
                let mut both = row & live;
                while both != 0 {
                    let below = (1u64 << both.trailing_zeros()) - 1;
                    packed.add(at, before[word] + (live & below).count_ones() as usize);
                    both &= both - 1;
                }
            }
        }
        packed
    }
}

/// A problem with the options that are left, by new places.
pub(crate) struct Prepared<'p> {
    pub problem: &'p Problem,
    /// The aims that count.
    pub aims: &'p [usize],
    /// The option behind each place that is left.
    pub names: Vec<Vec<u32>>,
    /// Places left in each slot.
    pub sizes: Vec<usize>,
    /// For slots `a`, `b` at `a * slots + b`: which places go together; none where all do.
    pub pairs: Vec<Option<Matrix>>,
    /// Relations over three slots or more that are still open.
    pub wide: Vec<&'p Relation>,
}

impl<'p> Prepared<'p> {
    /// Leaves out what cannot be; `None` if nothing is left in some slot.
    ///
    /// `in_force` says which relations count; `fixed` names options that are settled.
    pub(crate) fn new(
        problem: &'p Problem,
        aims: &'p [usize],
        in_force: &dyn Fn(Option<Fact>) -> bool,
        fixed: &[(usize, usize)],
    ) -> Option<Self> {
        let n = problem.options.len();
        let mut live: Vec<Vec<u64>> = problem.options.iter().map(|options| full(*options)).collect();
        for (slot, option) in fixed {
            live[*slot].fill(0);
            bits::add(&mut live[*slot], *option);
        }
        let mut pairs: Vec<Option<Matrix>> = vec![None; n * n];
        let mut wide = Vec::new();
        for relation in problem.relations.iter().filter(|relation| in_force(relation.fact)) {
            match relation.over.scope[..] {
                [slot] => {
                    for option in 0..problem.options[slot] {
                        if !bits::has(&relation.rows, relation.over.class(0, option)) {
                            bits::remove(&mut live[slot], option);
                        }
                    }
                }
                [a, b] => put(&mut pairs, n, (a, b), pair_matrix(problem, relation)),
                _ => wide.push(relation),
            }
        }
        if live.iter().any(|live| bits::none(live)) {
            return None;
        }
        loop {
            let before: usize = live.iter().map(|live| bits::count(live)).sum();
            wide.iter().for_each(|relation| project(problem, relation, &live, &mut pairs));
            if !narrow(&pairs, &mut live) {
                return None;
            }
            let after: usize = live.iter().map(|live| bits::count(live)).sum();
            // A relation with two open slots or fewer is left to what it says of pairs: that must be up to date. Else
            // each round costs a pass over the wide relations, and goes on only while it pays.
            let open = |slot: &&usize| bits::count(&live[**slot]) > 1;
            let narrow = |relation: &&Relation| relation.over.scope.iter().filter(open).count() <= 2;
            if after == before || (after * 10 > before * 9 && !wide.iter().any(narrow)) {
                break;
            }
        }
        if !aims.is_empty() {
            for (slot, live) in live.iter_mut().enumerate() {
                leave_out_beaten(problem, aims, in_force, slot, live);
            }
        }
        Some(Self::packed(problem, aims, &live, pairs, wide))
    }

    fn packed(
        problem: &'p Problem,
        aims: &'p [usize],
        live: &[Vec<u64>],
        pairs: Vec<Option<Matrix>>,
        mut wide: Vec<&'p Relation>,
    ) -> Self {
        let n = live.len();
        let names: Vec<Vec<u32>> =
            live.iter().map(|live| bits::each(live).map(|option| option as u32).collect()).collect();
        let sizes: Vec<usize> = names.iter().map(Vec::len).collect();
        let whole = |slot: usize| sizes[slot] == problem.options[slot];
        let pairs = pairs
            .into_iter()
            .enumerate()
            .map(|(at, matrix)| {
                let (a, b) = (at / n, at % n);
                // Between settled slots nothing is open.
                let matrix = matrix.filter(|_| sizes[a] > 1 && sizes[b] > 1)?;
                Some(if whole(a) && whole(b) { matrix } else { matrix.packed(&names[a], &live[b], sizes[b]) })
            })
            .collect();
        // With two open slots or fewer the projection on pairs says all that the relation says.
        wide.retain(|relation| relation.over.scope.iter().filter(|slot| sizes[**slot] > 1).count() > 2);
        Self { problem, aims, names, sizes, pairs, wide }
    }

    pub(crate) fn slots(&self) -> usize {
        self.sizes.len()
    }

    pub(crate) fn pair(&self, a: usize, b: usize) -> Option<&Matrix> {
        self.pairs[a * self.sizes.len() + b].as_ref()
    }

    /// The terms of the aims that count.
    pub(crate) fn terms(&self) -> impl Iterator<Item = &'p Term> {
        self.problem.terms.iter().filter(|term| self.aims.contains(&term.aim))
    }

    /// The class of a place of a slot of a table.
    pub(crate) fn class(&self, over: &Classes, at: usize, place: usize) -> usize {
        over.class(at, self.names[over.scope[at]][place] as usize)
    }
}

/// Of options that no relation and no term can tell apart leaves out those that another one beats or equals in every
/// aim: whatever set has them, the other one in their place makes a set that is as good. Of equals the first stays.
fn leave_out_beaten(
    problem: &Problem,
    aims: &[usize],
    in_force: &dyn Fn(Option<Fact>) -> bool,
    slot: usize,
    live: &mut [u64],
) {
    let relations = problem.relations.iter().filter(|relation| in_force(relation.fact));
    // A relation over one slot has said what it says: all options that are left hold in it.
    let relations = relations.map(|relation| &relation.over).filter(|over| over.scope.len() > 1);
    let terms = problem.terms.iter().filter(|term| aims.contains(&term.aim)).map(|term| &term.over);
    let mut tables = Vec::new();
    for over in relations.chain(terms) {
        let Some(at) = over.scope.iter().position(|other| *other == slot) else { continue };
        match &over.class_of[at] {
            Some(classes) => tables.push(classes),
            // Each option is its own class.
            None => return,
        }
    }
    let mut alike: BTreeMap<Vec<u32>, Vec<usize>> = BTreeMap::new();
    for option in bits::each(live) {
        alike.entry(tables.iter().map(|classes| classes[option]).collect()).or_default().push(option);
    }
    let cost = |option: usize, aim: &usize| problem.costs[*aim][slot].get(option).copied().unwrap_or(0);
    for group in alike.values() {
        let mut kept: Vec<usize> = Vec::new();
        let mut by_costs: Vec<(Vec<i64>, usize)> = group
            .iter()
            .map(|option| (aims.iter().map(|aim| cost(*option, aim)).collect(), *option))
            .collect();
        // What beats comes before what it beats.
        by_costs.sort();
        for (costs, option) in &by_costs {
            let beats = |other: &usize| aims.iter().zip(costs).all(|(aim, own)| cost(*other, aim) <= *own);
            if kept.iter().any(beats) {
                bits::remove(live, *option);
            } else {
                kept.push(*option);
            }
        }
    }
}

fn put(pairs: &mut [Option<Matrix>], n: usize, (a, b): (usize, usize), (there, back): (Matrix, Matrix)) {
    for (at, matrix) in [(a * n + b, there), (b * n + a, back)] {
        match &mut pairs[at] {
            Some(old) => old.meet(&matrix),
            none => *none = Some(matrix),
        }
    }
}

fn pair_matrix(problem: &Problem, relation: &Relation) -> (Matrix, Matrix) {
    let over = &relation.over;
    let (a, b) = (problem.options[over.scope[0]], problem.options[over.scope[1]]);
    let there = if over.class_of.iter().all(Option::is_none) {
        Matrix { width: words(b), rows: relation.rows.clone() }
    } else {
        spread(over, (0, a), (1, b), &Matrix { width: words(over.counts[1]), rows: relation.rows.clone() })
    };
    let back = there.turned(a, b);
    (there, back)
}

/// A matrix over classes as a matrix over options.
fn spread(over: &Classes, (x, from): (usize, usize), (y, to): (usize, usize), by_class: &Matrix) -> Matrix {
    let mut members = Matrix::empty(over.counts[y], to);
    (0..to).for_each(|option| members.add(over.class(y, option), option));
    let mut rows = Matrix::empty(over.counts[x], to);
    for class in 0..over.counts[x] {
        for other in bits::each(by_class.row(class)) {
            let width = rows.width;
            rows.rows[class * width..(class + 1) * width]
                .iter_mut()
                .zip(members.row(other))
                .for_each(|(row, member)| *row |= member);
        }
    }
    let mut matrix = Matrix::empty(from, to);
    for option in 0..from {
        let width = matrix.width;
        matrix.rows[option * width..(option + 1) * width].copy_from_slice(rows.row(over.class(x, option)));
    }
    matrix
}

/// What a wide relation says of each two of its slots, with the options that are left.
fn project(problem: &Problem, relation: &Relation, live: &[Vec<u64>], pairs: &mut [Option<Matrix>]) {
    let over = &relation.over;
    let width = over.scope.len();
    let classes: Vec<Vec<u64>> = (0..width)
        .map(|at| {
            let mut classes = vec![0; words(over.counts[at])];
            bits::each(&live[over.scope[at]])
                .for_each(|option| bits::add(&mut classes, over.class(at, option)));
            classes
        })
        .collect();
    let lists: Vec<Vec<usize>> = classes.iter().map(|classes| bits::each(classes).collect()).collect();
    let mut found: Vec<Matrix> = Vec::new();
    for x in 0..width {
        found.extend((x + 1..width).map(|y| Matrix::empty(over.counts[x], over.counts[y])));
    }
    let last = width - 1;
    let row_words = words(over.counts[last]);
    let mut places = vec![0; last];
    'all: loop {
        let prefix = (0..last).fold(0, |index, at| index * over.counts[at] + lists[at][places[at]]);
        let row = &relation.rows[prefix * row_words..(prefix + 1) * row_words];
        if bits::meet(row, &classes[last]) {
            let mut at = 0;
            for x in 0..last {
                let from = lists[x][places[x]];
                for y in x + 1..width {
                    if y < last {
                        found[at].add(from, lists[y][places[y]]);
                    } else {
                        let matrix = &mut found[at];
                        let to = &mut matrix.rows[from * row_words..(from + 1) * row_words];
                        to.iter_mut().zip(row).for_each(|(to, row)| *to |= row);
                    }
                    at += 1;
                }
            }
        }
        let mut at = last;
        loop {
            if at == 0 {
                break 'all;
            }
            at -= 1;
            places[at] += 1;
            if places[at] < lists[at].len() {
                break;
            }
            places[at] = 0;
        }
    }
    let mut at = 0;
    for x in 0..width {
        for y in x + 1..width {
            let (a, b) = (over.scope[x], over.scope[y]);
            let there = spread(over, (x, problem.options[a]), (y, problem.options[b]), &found[at]);
            let back = there.turned(problem.options[a], problem.options[b]);
            put(pairs, problem.options.len(), (a, b), (there, back));
            at += 1;
        }
    }
}

/// Leaves out options that go with none of a neighbour, until nothing changes; `false` if a slot is left empty.
fn narrow(pairs: &[Option<Matrix>], live: &mut [Vec<u64>]) -> bool {
    let n = live.len();
    let mut open = vec![true; n];
    while let Some(b) = open.iter().position(|open| *open) {
        open[b] = false;
        for a in 0..n {
            let Some(matrix) = &pairs[a * n + b] else { continue };
            let gone: Vec<usize> =
                bits::each(&live[a]).filter(|option| !bits::meet(matrix.row(*option), &live[b])).collect();
            if !gone.is_empty() {
                gone.into_iter().for_each(|option| bits::remove(&mut live[a], option));
                open[a] = true;
            }
        }
    }
    live.iter().all(|live| !bits::none(live))
}
