//! How many sets hold.

use crate::bits;
use crate::join::{Halt, Message, join, learn};
use crate::order::Plan;
use crate::prepared::Prepared;
use crate::problem::{Fact, Problem};
use crate::watch::{Limits, Watch};

/// A number of sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// So many; the largest number that fits where there are more.
    pub sets: u64,
    /// Whether the count ran to its end.
    pub complete: bool,
}

impl Problem {
    /// How many sets hold. Aims do not matter.
    pub fn count(&self, watch: Watch<'_>) -> Count {
        self.count_where(&|_| true, watch)
    }

    /// How many sets hold if only the relations of these facts count, and those of no fact.
    pub fn count_where(&self, in_force: &dyn Fn(Fact) -> bool, watch: Watch<'_>) -> Count {
        let in_force = |fact: Option<Fact>| fact.is_none_or(in_force);
        match count(self, &in_force, &mut Vec::new(), watch) {
            Ok(sets) => Count { sets, complete: true },
            Err(sets) => Count { sets, complete: false },
        }
    }
}

fn count(
    problem: &Problem,
    in_force: &dyn Fn(Option<Fact>) -> bool,
    fixed: &mut Vec<(usize, usize)>,
    watch: Watch<'_>,
) -> Result<u64, u64> {
    let Some(mut prepared) = Prepared::new(problem, &[], in_force, fixed) else { return Ok(0) };
    let limits = Limits::default();
    let plan = Plan::of(&prepared);
    let names = prepared.names.clone();
    let outcome =
        if plan.rows > limits.rows as f64 { Err(Halt::TooLarge) } else { run(&mut prepared, &plan, watch) };
    match (outcome, plan.widest) {
        (Ok(sets), _) => Ok(sets),
        (Err(Halt::TooLarge), Some(slot)) => {
            let mut sum: u64 = 0;
            for option in &names[slot] {
                fixed.push((slot, *option as usize));
                let part = count(problem, in_force, fixed, watch);
                fixed.pop();
                sum = sum.saturating_add(part.map_err(|part| sum.saturating_add(part))?);
            }
            Ok(sum)
        }
        _ => Err(0),
    }
}

fn run(prepared: &mut Prepared<'_>, plan: &Plan, watch: Watch<'_>) -> Result<u64, Halt> {
    let mut messages: Vec<Option<Message>> = vec![None; plan.buckets.len()];
    let mut counts: Vec<Vec<u64>> = vec![Vec::new(); plan.buckets.len()];
    for (number, bucket) in plan.buckets.iter().enumerate() {
        let mut own: Vec<u64> = Vec::new();
        let visit = |at: &[usize], held: &[u64]| {
            let from: Vec<(&[u64], usize, &Vec<u64>)> = bucket
                .from
                .iter()
                .filter_map(|from| {
                    let (row, first) = messages[*from].as_ref()?.at(at);
                    Some((row, first, &counts[*from]))
                })
                .collect();
            let sum = bits::each(held).fold(0u64, |sum, place| {
                let ways = from.iter().fold(1u64, |ways, (row, first, counts)| {
                    ways.saturating_mul(counts[first + bits::rank(row, place)])
                });
                sum.saturating_add(ways)
            });
            own.push(sum);
            true
        };
        let (message, seen) = join(prepared, bucket, &messages, usize::MAX, watch, visit)?;
        if message.entries == 0 {
            return Ok(0);
        }
        learn(prepared, &bucket.rest, seen);
        messages[number] = Some(message);
        counts[number] = own;
    }
    Ok(plan.roots.iter().fold(1, |product: u64, root| product.saturating_mul(counts[*root][0])))
}
