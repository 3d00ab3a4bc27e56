//! Runs all rules over the options, several at a time: rules do not depend on each other.

use crate::build::Build;
use crate::choose::bench_top::{Apart, BenchTop, Stopped, Table};
use crate::choose::shares;
use crate::choose::slots::Open;
use crate::choose::tables::verdict_of;
use crate::rule::Rule;
use frontier::{Progress, Watch};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What each rule says of the options; nothing where a table would have more cells than this.
pub(crate) fn tabulate(
    build: &Build,
    open: &[Open],
    apart: Option<&Apart>,
    rules: &[&'static Rule],
    most_cells: usize,
    watch: Watch<'_>,
) -> Result<Vec<Option<Table>>, Stopped> {
    let tables: Vec<OnceLock<Option<Table>>> = rules.iter().map(|_| OnceLock::new()).collect();
    let next = AtomicUsize::new(0);
    let stop = watch.stop;
    // Only who asked is told how far it is: the others have no one to tell.
    let take_turns = |watch: Watch<'_>| {
        let mut top = BenchTop::new(build.clone(), open, watch).knowing(apart);
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(rule) = rules.get(at) else { return Ok(()) };
            watch.tell(Progress { done: at, of: rules.len(), found: 0 });
            let table = top.table_within(most_cells, |build| verdict_of(rule, build))?;
            // Each place is taken by one alone.
            let _ = tables[at].set(table);
        }
    };
    // Whoever else is stopped leaves his place empty, which is found below.
    let other = || {
        let _ = take_turns(Watch { stop, tell: None });
    };
    shares::together(rules.len(), || take_turns(watch), other)?;
    let tables: Option<Vec<Option<Table>>> = tables.into_iter().map(OnceLock::into_inner).collect();
    // What is missing was given up by one who was stopped.
    tables.ok_or(Stopped)
}
