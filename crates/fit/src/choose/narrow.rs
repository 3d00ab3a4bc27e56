//! Options that cannot be part of any set, left out before the whole problem is laid out. Begin with [`narrowed`].

use crate::build::Build;
use crate::choose::bench_top::{Apart, BenchTop, NARROW_CELLS, NEVER, Table};
use crate::choose::question::Unlaid;
use crate::choose::slots::Open;
use crate::choose::tables::{self, is_offered};
use crate::choose::tabulate::tabulate;
use crate::refit::Refit;
use crate::rules::RULES;
use frontier::{Problem, ProblemError, Watch};

/// The options that may be part of a set, and what is known of them.
pub(super) struct Narrow {
    pub(super) open: Vec<Open>,
    /// The options that went, and where those that stayed stand.
    pub(super) apart: Option<Apart>,
    /// The small tables, by the number of the rule.
    pub(super) tables: Vec<Option<Table>>,
}

impl Narrow {
    /// Every option is left.
    pub(super) fn not(open: Vec<Open>) -> Self {
        Self { open, apart: None, tables: Vec::new() }
    }
}

/// Leaves out options that cannot be part of any set, as far as the small tables show it. Nothing that holds is lost.
/// Where the tables are known, rules alone leave out; else what the wish says of cogs and rings does too.
pub(super) fn narrowed(
    refit: &Refit,
    open: Vec<Open>,
    known: Option<Vec<Option<Table>>>,
    watch: Watch<'_>,
) -> Result<Narrow, Unlaid> {
    let sizes: Vec<usize> = open.iter().map(|open| open.options.len()).collect();
    if sizes.is_empty() {
        return Ok(Narrow::not(open));
    }
    let mut problem = Problem::new(&sizes)?;
    let build = Build::new(refit);
    let mut top = BenchTop::new(build.clone(), &open, watch);
    let mut hold = |table: Option<&Table>, holds: &dyn Fn(i64) -> bool| -> Result<(), ProblemError> {
        let Some(table) = table.filter(|table| !table.scope.is_empty()) else { return Ok(()) };
        let holds = |classes: &[usize]| {
            let cell = table.cell(classes);
            cell != NEVER && holds(cell)
        };
        problem.relate_classes(&table.scope, &table.class_of, None, holds)
    };
    let wish = &refit.wish.set;
    if let Some(wanted) = wish.cogs.filter(|_| known.is_none()) {
        hold(top.table_within(NARROW_CELLS, tables::cogs)?.as_ref(), &|cogs| cogs == i64::from(wanted))?;
    }
    if let Some(wanted) = wish.rings.filter(|_| known.is_none()) {
        hold(top.table_within(NARROW_CELLS, tables::rings)?.as_ref(), &|rings| rings == i64::from(wanted))?;
    }
    let tables = match known {
        Some(tables) => tables,
        None => tabulate(&build, &open, None, RULES, NARROW_CELLS, watch)?,
    };
    for table in &tables {
        hold(table.as_ref(), &is_offered)?;
    }
    // Where nothing holds the search finds that out, and the whole problem says why.
    let Some(left) = problem.left() else { return Ok(Narrow { open, apart: None, tables }) };
    let mut places = Vec::new();
    let mut kept = Vec::new();
    let mut now: Vec<(Option<usize>, Vec<usize>)> = Vec::new();
    for (slot, (open, left)) in open.into_iter().zip(&left.options).enumerate() {
        let mut options = left.clone();
        let mut own: Vec<Option<usize>> = (0..left.len()).map(Some).collect();
        if options.first().is_none_or(|option| *option != 0) {
            // What the bike has stays the first option, even where it cannot stay: rules begin from it.
            options.insert(0, 0);
            own.insert(0, None);
        }
        if options.len() > 1 {
            now.push((Some(kept.len()), options.clone()));
            places.push((slot, own));
            let options = options.into_iter().map(|option| open.options[option].clone()).collect();
            kept.push(Open { slot: open.slot, options });
        } else {
            now.push((None, options));
        }
    }
    let tables = tables.into_iter().map(|table| table.map(|table| table.over(&now))).collect();
    Ok(Narrow { open: kept, apart: Some(Apart { left, places }), tables })
}
