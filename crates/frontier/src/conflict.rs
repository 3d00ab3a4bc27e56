//! The smallest set of facts that cannot hold together.

use crate::problem::{Aim, Fact, Problem};
use crate::watch::{Limits, Watch};

/// Facts that cannot hold together; without any one of them the others can.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The facts, in the order in which they were given.
    pub facts: Vec<Fact>,
    /// Whether it was searched to the end: if not, some of the facts may have nothing to do with it.
    pub complete: bool,
}

impl Problem {
    /// Whether some set holds the relations of these facts, and stays within these bounds.
    ///
    /// A bound is the largest value that an aim may have, with the fact that asks for it. `None` if it was stopped.
    pub fn feasible(
        &self,
        in_force: &dyn Fn(Fact) -> bool,
        bounds: &[(Aim, i64, Fact)],
        watch: Watch<'_>,
    ) -> Option<bool> {
        let bounds: Vec<&(Aim, i64, Fact)> = bounds.iter().filter(|bound| in_force(bound.2)).collect();
        let mut aims: Vec<Aim> = bounds.iter().map(|bound| bound.0).collect();
        aims.sort();
        aims.dedup();
        let front = self.front_of(&aims, in_force, Limits::default(), watch);
        let within = |values: &[i64]| {
            bounds.iter().all(|(aim, most, _)| {
                aims.iter().position(|other| other == aim).is_none_or(|at| values[at] <= *most)
            })
        };
        let found = front.picks.iter().any(|pick| within(&pick.values));
        (found || front.complete).then_some(found)
    }

    /// The smallest set of facts that cannot hold together; `None` if all of them can.
    ///
    /// Facts are left out one after another, the first named first: what holds without a fact needs it in the
    /// conflict. So of several conflicts the one with the facts named last is found. It is smallest in that no fact
    /// of it can be left out; another conflict may have fewer facts.
    pub fn conflict(
        &self,
        facts: &[Fact],
        bounds: &[(Aim, i64, Fact)],
        watch: Watch<'_>,
    ) -> Option<Conflict> {
        let mut kept: Vec<Fact> = facts.to_vec();
        let feasible = |kept: &[Fact]| self.feasible(&|fact| kept.contains(&fact), bounds, watch);
        if feasible(&kept) != Some(false) {
            return None;
        }
        let mut complete = true;
        // Blocks first: most facts have nothing to do with it.
        let mut block = kept.len().div_ceil(2);
        loop {
            let mut at = 0;
            while at < kept.len() {
                let end = (at + block).min(kept.len());
                let without: Vec<Fact> = kept[..at].iter().chain(&kept[end..]).copied().collect();
                match feasible(&without) {
                    Some(false) => kept = without,
                    Some(true) => at = end,
                    None => {
                        complete = false;
                        at = end;
                    }
                }
            }
            if block <= 1 {
                return Some(Conflict { facts: kept, complete });
            }
            block = block.div_ceil(2);
        }
    }
}
