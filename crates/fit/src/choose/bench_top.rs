//! Runs a check over the options of the slots that it looks at, each combination that differs for it once.

use crate::asked::Looked;
use crate::build::Build;
use crate::choose::slots::{EITHER, Open};
use catalog::{Dimension, Value};
use frontier::{Left, Watch};
use quantity::Reading;
use std::collections::BTreeMap;

/// The value of a combination that is never asked for.
pub(crate) const NEVER: i64 = i64::MIN;

/// What a check says of every combination of the options that it looks at.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    /// The open slots, by their place.
    pub scope: Vec<usize>,
    /// For each of them the class of each option.
    pub class_of: Vec<Vec<u32>>,
    /// Number of classes.
    pub counts: Vec<usize>,
    /// What it says, the last slot fastest; [`NEVER`] where two slots exclude each other.
    pub cells: Vec<i64>,
}

impl Table {
    /// What it says of a combination of classes.
    pub(crate) fn cell(&self, classes: &[usize]) -> i64 {
        self.cells[classes.iter().zip(&self.counts).fold(0, |cell, (class, count)| cell * count + class)]
    }

    /// What it says of a choice of options.
    pub(crate) fn of(&self, options: &[usize]) -> i64 {
        let classes: Vec<usize> = self
            .scope
            .iter()
            .zip(&self.class_of)
            .map(|(slot, classes)| classes[options[*slot]] as usize)
            .collect();
        self.cell(&classes)
    }

    /// The same over the options that are left: for each open slot its new number, none where what the bike has is all
    /// that is left, and its options by their old numbers.
    pub(crate) fn over(&self, left: &[(Option<usize>, Vec<usize>)]) -> Self {
        let mut over =
            Self { scope: Vec::new(), class_of: Vec::new(), counts: Vec::new(), cells: self.cells.clone() };
        for (place, slot) in self.scope.iter().enumerate() {
            let (now, options) = &left[*slot];
            let count = self.counts[place];
            match now {
                Some(now) => {
                    over.scope.push(*now);
                    over.class_of.push(options.iter().map(|option| self.class_of[place][*option]).collect());
                    over.counts.push(count);
                }
                None => {
                    // Cells stand by what comes before, the class here, and what comes behind.
                    let behind: usize = self.counts[place + 1..].iter().product();
                    let class = self.class_of[place][0] as usize;
                    let blocks = over.cells.chunks(count * behind);
                    over.cells = blocks
                        .flat_map(|block| &block[class * behind..(class + 1) * behind])
                        .copied()
                        .collect();
                }
            }
        }
        over.kept()
    }

    /// Without the classes that no option has any more.
    fn kept(self) -> Self {
        let used: Vec<Vec<u32>> = self
            .class_of
            .iter()
            .map(|classes| {
                let mut used = classes.clone();
                used.sort_unstable();
                used.dedup();
                used
            })
            .collect();
        let counts: Vec<usize> = used.iter().map(Vec::len).collect();
        if counts == self.counts {
            return self;
        }
        let mut cells = Vec::with_capacity(counts.iter().product());
        let mut at = vec![0; counts.len()];
        loop {
            let classes: Vec<usize> = at.iter().zip(&used).map(|(at, used)| used[*at] as usize).collect();
            cells.push(self.cell(&classes));
            let Some(place) = (0..at.len()).rev().find(|place| at[*place] + 1 < counts[*place]) else {
                break;
            };
            at[place] += 1;
            at[place + 1..].fill(0);
        }
        let class_of = self.class_of.iter().zip(&used);
        let new = |(classes, used): (&Vec<u32>, &Vec<u32>)| {
            classes.iter().map(|class| used.partition_point(|other| other < class) as u32).collect()
        };
        Self { class_of: class_of.map(new).collect(), scope: self.scope, counts, cells }
    }

    /// Every value that it says of a combination that can be.
    pub(crate) fn values(&self) -> impl Iterator<Item = i64> + '_ {
        self.cells.iter().copied().filter(|cell| *cell != NEVER)
    }
}

/// The search was stopped before a table was full.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stopped;

/// Why a table has to be begun anew, or not at all.
enum Broken {
    /// The check looked at more than was known.
    LookedAt(Looked),
    Stopped,
}

/// A bike with open slots, to run checks on.
pub(crate) struct BenchTop<'a> {
    build: Build,
    open: &'a [Open],
    watch: Watch<'a>,
    /// For each slot and dimension the number of the reading of each option: equal readings have equal numbers.
    readings: BTreeMap<(usize, Dimension), Vec<u32>>,
    /// What is known of two options of two slots: whether they go together. It spares wide tables most of their
    /// cells; the tables that it comes from are laid out in full.
    apart: Option<&'a Apart>,
}

/// Options that do not go together.
pub(crate) struct Apart {
    pub left: Left,
    /// For each open slot its number in `left`, and for each option its place there; none where it cannot be part of
    /// any set.
    pub places: Vec<(usize, Vec<Option<usize>>)>,
}

/// Cells from which on a table is wide.
pub(crate) const NARROW_CELLS: usize = 6_000;

impl<'a> BenchTop<'a> {
    pub(crate) fn new(build: Build, open: &'a [Open], watch: Watch<'a>) -> Self {
        Self { build, open, watch, readings: BTreeMap::new(), apart: None }
    }

    /// The same, knowing which options do not go together.
    pub(crate) fn knowing(mut self, apart: Option<&'a Apart>) -> Self {
        self.apart = apart;
        self
    }

    /// Tabulates a check. What the check looks at is found by running it: a slot or dimension that it looks at for
    /// the first time makes the table begin anew.
    pub(crate) fn table(&mut self, check: impl Fn(&Build) -> i64) -> Result<Table, Stopped> {
        let empty =
            || Table { scope: Vec::new(), class_of: Vec::new(), counts: Vec::new(), cells: Vec::new() };
        Ok(self.table_within(usize::MAX, check)?.unwrap_or_else(empty))
    }

    /// As [`BenchTop::table`], unless it would have more cells than this.
    pub(crate) fn table_within(
        &mut self,
        most_cells: usize,
        check: impl Fn(&Build) -> i64,
    ) -> Result<Option<Table>, Stopped> {
        self.build.asked.take();
        check(&self.build);
        let mut looked = self.build.asked.take();
        loop {
            match self.fill(&looked, most_cells, &check) {
                Ok(table) => return Ok(table),
                Err(Broken::LookedAt(more)) => looked = looked.with(&more),
                Err(Broken::Stopped) => return Err(Stopped),
            }
        }
    }

    fn fill(
        &mut self,
        looked: &Looked,
        most_cells: usize,
        check: &impl Fn(&Build) -> i64,
    ) -> Result<Option<Table>, Broken> {
        let all = self.open;
        let scope: Vec<usize> =
            (0..all.len()).filter(|at| looked.at_slot(all[*at].slot) && all[*at].options.len() > 1).collect();
        let class_of: Vec<Vec<u32>> = scope.iter().map(|at| self.classes(*at, looked)).collect();
        let counts: Vec<usize> = class_of
            .iter()
            .map(|classes| classes.iter().max().map_or(1, |most| *most as usize + 1))
            .collect();
        if counts.iter().product::<usize>() > most_cells {
            return Ok(None);
        }
        // The first option of each class stands for it.
        let first: Vec<Vec<usize>> = class_of
            .iter()
            .zip(&counts)
            .map(|(classes, count)| {
                (0..*count as u32).filter_map(|class| classes.iter().position(|own| *own == class)).collect()
            })
            .collect();
        let excluded: Vec<(usize, usize)> = EITHER
            .iter()
            .filter_map(|(a, b)| {
                let place = |slot| scope.iter().position(|at| all[*at].slot == slot);
                Some((place(*a)?, place(*b)?))
            })
            .collect();
        let mut cells: Vec<Option<i64>> = vec![None; counts.iter().product()];
        let met = match self.apart {
            Some(apart) if cells.len() > NARROW_CELLS => met(apart, &scope, &class_of, &counts),
            _ => Vec::new(),
        };
        let mut at = vec![0; scope.len()];
        let mut cell = 0;
        let mut put: Vec<Option<usize>> = vec![None; scope.len()];
        let mut outcome = Ok(());
        loop {
            let is_new = |place: usize| all[scope[place]].options[first[place][at[place]]].is_some();
            if cells[cell].is_none() {
                let never = |(x, y, met): &(usize, usize, Vec<bool>)| !met[at[*x] * counts[*y] + at[*y]];
                if excluded.iter().any(|(a, b)| is_new(*a) && is_new(*b)) || met.iter().any(never) {
                    cells[cell] = Some(NEVER);
                } else {
                    for place in 0..scope.len() {
                        let option = first[place][at[place]];
                        if put[place] != Some(option) {
                            let open = &all[scope[place]];
                            self.build.swap(open.slot, open.options[option].clone());
                            put[place] = Some(option);
                        }
                    }
                    if self.watch.stopped() {
                        outcome = Err(Broken::Stopped);
                        break;
                    }
                    let value = check(&self.build);
                    let now = self.build.asked.take();
                    if !looked.covers(&now) {
                        outcome = Err(Broken::LookedAt(now));
                        break;
                    }
                    // What it did not look at here does not matter here.
                    let free: Vec<bool> = scope.iter().map(|at| !now.at_slot(all[*at].slot)).collect();
                    spread(&mut cells, &counts, &at, &free, value);
                }
            }
            cell += 1;
            let Some(place) = (0..at.len()).rev().find(|place| at[*place] + 1 < counts[*place]) else {
                break;
            };
            at[place] += 1;
            at[place + 1..].fill(0);
        }
        for slot in &scope {
            self.build.swap(all[*slot].slot, None);
        }
        outcome?;
        let mut cells: Vec<i64> = cells.into_iter().map(|cell| cell.unwrap_or(NEVER)).collect();
        forbid(&mut cells, &counts, &excluded, |place, class| {
            all[scope[place]].options[first[place][class]].is_some()
        });
        Ok(Some(Table { scope, class_of, counts, cells }))
    }

    /// Options that are alike to a check that looked at these dimensions. What the bike has is a class of its own.
    fn classes(&mut self, at: usize, looked: &Looked) -> Vec<u32> {
        let open = &self.open[at];
        let mut keys: Vec<Vec<u32>> =
            open.options.iter().map(|option| vec![u32::from(option.is_some())]).collect();
        for field in open.slot.fields().iter().filter(|field| looked.at(field.dimension)) {
            let numbers =
                self.readings.entry((at, field.dimension)).or_insert_with(|| number(open, field.dimension));
            keys.iter_mut().zip(numbers.iter()).for_each(|(key, number)| key.push(*number));
        }
        let mut known: BTreeMap<Vec<u32>, u32> = BTreeMap::new();
        keys.into_iter()
            .map(|key| {
                let next = known.len() as u32;
                *known.entry(key).or_insert(next)
            })
            .collect()
    }
}

/// For each two slots of a scope which of their classes meet in two options that go together.
fn met(
    apart: &Apart,
    scope: &[usize],
    class_of: &[Vec<u32>],
    counts: &[usize],
) -> Vec<(usize, usize, Vec<bool>)> {
    let mut all = Vec::new();
    for x in 0..scope.len() {
        for y in x + 1..scope.len() {
            let mut met = vec![false; counts[x] * counts[y]];
            let ((a, places_a), (b, places_b)) = (&apart.places[scope[x]], &apart.places[scope[y]]);
            for (i, place_a) in places_a.iter().enumerate() {
                let Some(place_a) = place_a else { continue };
                for (j, place_b) in places_b.iter().enumerate() {
                    let Some(place_b) = place_b else { continue };
                    let cell = class_of[x][i] as usize * counts[y] + class_of[y][j] as usize;
                    met[cell] |= apart.left.go_together((*a, *place_a), (*b, *place_b));
                }
            }
            all.push((x, y, met));
        }
    }
    all
}

/// Numbers the readings of a dimension over the options: equal readings get equal numbers.
fn number(open: &Open, dimension: Dimension) -> Vec<u32> {
    let mut known: Vec<Reading<Value>> = Vec::new();
    open.options
        .iter()
        .map(|option| {
            let Some(reading) = option.as_ref().and_then(|part| part.get(dimension)) else { return 0 };
            let place = known.iter().position(|other| *other == reading).unwrap_or_else(|| {
                known.push(reading);
                known.len() - 1
            });
            place as u32 + 1
        })
        .collect()
}

/// Fills every cell that differs from `at` in free slots only.
fn spread(cells: &mut [Option<i64>], counts: &[usize], at: &[usize], free: &[bool], value: i64) {
    let mut places: Vec<usize> = vec![0];
    for (place, count) in counts.iter().enumerate() {
        let classes = if free[place] { 0..*count } else { at[place]..at[place] + 1 };
        places =
            places.iter().flat_map(|cell| classes.clone().map(move |class| cell * count + class)).collect();
    }
    for cell in places {
        cells[cell].get_or_insert(value);
    }
}

/// Marks combinations of two slots that exclude each other, which a spread may have filled.
fn forbid(
    cells: &mut [i64],
    counts: &[usize],
    excluded: &[(usize, usize)],
    is_new: impl Fn(usize, usize) -> bool,
) {
    if excluded.is_empty() {
        return;
    }
    for (cell, value) in cells.iter_mut().enumerate() {
        let class = |place: usize| cell / counts[place + 1..].iter().product::<usize>() % counts[place];
        if excluded.iter().any(|(a, b)| is_new(*a, class(*a)) && is_new(*b, class(*b))) {
            *value = NEVER;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A table of three slots with 2, 3 and 2 classes: each cell says its own place.
    fn table() -> Table {
        let class_of = vec![vec![0, 1, 1], vec![0, 1, 2, 2], vec![0, 1]];
        Table { scope: vec![0, 2, 3], class_of, counts: vec![2, 3, 2], cells: (0..12).collect() }
    }

    #[test]
    fn what_is_left_of_a_table_says_what_it_said() {
        // Slot 1 is not looked at; slot 2 keeps its options 0 and 3, slot 3 only what the bike has.
        let left = [(Some(0), vec![0, 2]), (Some(1), vec![0, 1]), (Some(2), vec![0, 3]), (None, vec![0])];
        let over = table().over(&left);
        assert_eq!((&over.scope, &over.counts), (&vec![0, 2], &vec![2, 2]));
        for (a, old_a) in [0, 2].into_iter().enumerate() {
            for (c, old_c) in [0, 3].into_iter().enumerate() {
                assert_eq!(over.of(&[a, 0, c]), table().of(&[old_a, 0, old_c, 0]));
            }
        }
    }

    #[test]
    fn a_table_of_which_everything_is_left_is_the_same() {
        let left = [
            (Some(0), vec![0, 1, 2]),
            (Some(1), vec![0]),
            (Some(2), vec![0, 1, 2, 3]),
            (Some(3), vec![0, 1]),
        ];
        let over = table().over(&left);
        assert_eq!((over.scope, over.counts, over.cells), (table().scope, table().counts, table().cells));
    }
}
