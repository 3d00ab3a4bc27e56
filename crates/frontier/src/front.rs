//! All sets that no other beats, by elimination.

use crate::bits;
use crate::join::{Halt, Message, join, learn};
use crate::order::{Bucket, Plan};
use crate::pareto::{Candidate, no_worse, prune};
use crate::prepared::Prepared;
use crate::problem::{Aim, Fact, Fold, Problem};
use crate::watch::{Limits, Progress, Watch};
use std::cmp::Ordering;

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
        let ask = Ask { problem: self, aims: &aims, in_force: &|fact| fact.is_none_or(in_force), limits, watch };
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

struct Ask<'a> {
    problem: &'a Problem,
    aims: &'a [usize],
    in_force: &'a dyn Fn(Option<Fact>) -> bool,
    limits: Limits,
    watch: Watch<'a>,
}

/// Sets found so far.
struct Found<const K: usize> {
    picks: Vec<([i64; K], Vec<u32>)>,
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
        Elimination::<K>::run(ask, prepared, &plan, (done, of))
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
            let slot = plan.widest.filter(open).or_else(|| (0..sizes.len()).filter(open).max_by_key(|s| sizes[*s]));
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

fn merge<const K: usize>(kept: &mut Vec<([i64; K], Vec<u32>)>, more: Vec<([i64; K], Vec<u32>)>) {
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
    let mut all: Vec<Option<([i64; K], Vec<u32>)>> = kept.drain(..).map(Some).collect();
    kept.extend(candidates.iter().filter_map(|candidate| all[candidate.behind as usize].take()));
}

/// One set that holds, by trying options one after another; gives up after a while.
fn dive(ask: &Ask<'_>) -> Option<Vec<usize>> {
    let prepared = Prepared::new(ask.problem, ask.aims, ask.in_force, &[])?;
    let mut order: Vec<usize> = (0..prepared.slots()).collect();
    order.sort_by_key(|slot| prepared.sizes[*slot]);
    let mut at = vec![0; prepared.slots()];
    let mut tries = 20_000;
    dive_from(ask, &prepared, &order, 0, &mut at, &mut tries).then(|| {
        (0..at.len()).map(|slot| prepared.names[slot][at[slot]] as usize).collect()
    })
}

fn dive_from(
    ask: &Ask<'_>,
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
            if dive_from(ask, prepared, order, depth + 1, at, tries) {
                return true;
            }
        }
    }
    false
}

/// Partial sets of one bucket: for each entry of its table those that no other beats.
struct Store<const K: usize> {
    /// Where each entry begins; one more at the end.
    starts: Vec<u32>,
    values: Vec<[i64; K]>,
    places: Vec<u32>,
    /// For each partial set the partial sets behind it, one for each bucket that ends here.
    behind: Vec<u32>,
    /// The least of each aim in each entry.
    low: Vec<[i64; K]>,
}

/// A cost that ends in a bucket, ready to look up.
struct Look<'a> {
    aim: usize,
    costs: &'a [i64],
    keys: Vec<(usize, Vec<usize>)>,
    own: Vec<usize>,
}

struct Elimination<'a, const K: usize> {
    most: [bool; K],
    any_most: bool,
    /// Cost of each place of each slot.
    unit: Vec<Vec<[i64; K]>>,
    names: &'a [Vec<u32>],
    buckets: &'a [Bucket],
    stores: Vec<Store<K>>,
}

impl<const K: usize> Elimination<'_, K> {
    fn run(
        ask: &Ask<'_>,
        mut prepared: Prepared<'_>,
        plan: &Plan,
        (done, of): (usize, usize),
    ) -> Result<Vec<([i64; K], Vec<u32>)>, Halt> {
        let problem = ask.problem;
        let most: [bool; K] = std::array::from_fn(|aim| problem.folds[ask.aims[aim]] == Fold::Most);
        let names = prepared.names.clone();
        let cost = |aim: usize, slot: usize, option: u32| {
            problem.costs[ask.aims[aim]][slot].get(option as usize).copied().unwrap_or(0)
        };
        let unit = names
            .iter()
            .enumerate()
            .map(|(slot, names)| {
                names.iter().map(|name| std::array::from_fn(|aim| cost(aim, slot, *name))).collect()
            })
            .collect();
        let mut this = Elimination {
            any_most: most.contains(&true),
            most,
            unit,
            names: &names,
            buckets: &plan.buckets,
            stores: Vec::with_capacity(plan.buckets.len()),
        };
        let mut messages: Vec<Option<Message>> = vec![None; plan.buckets.len()];
        for (number, bucket) in plan.buckets.iter().enumerate() {
            let looks = looks(ask, &prepared, bucket);
            let mut work = Work { candidates: Vec::new(), next: Vec::new(), too_large: false };
            let mut store =
                Store { starts: vec![0], values: vec![], places: vec![], behind: vec![], low: vec![] };
            let joined = join(&prepared, bucket, &messages, ask.limits.points, ask.watch, |at, held| {
                this.cell(bucket, &messages, &looks, at, held, &mut work, &mut store);
                work.too_large |= store.values.len() > ask.limits.points;
                !work.too_large
            });
            let (message, seen) = joined?;
            if work.too_large {
                return Err(Halt::TooLarge);
            }
            if message.entries == 0 {
                return Ok(Vec::new());
            }
            learn(&mut prepared, &bucket.rest, seen);
            messages[number] = Some(message);
            this.stores.push(store);
            if of == 1 {
                ask.watch.tell(Progress { done: number + 1, of: plan.buckets.len() + 1, found: 0 });
            }
            // What lies behind these is needed for the options only, their tables are done.
            bucket.from.iter().for_each(|from| messages[*from] = None);
        }
        let mut constant = [0i64; K];
        for slot in (0..names.len()).filter(|slot| names[*slot].len() == 1) {
            constant = this.add(&constant, &this.unit[slot][0]);
        }
        for number in &plan.settled_terms {
            if let Some(term) = prepared.terms().nth(*number) {
                let mut cell = 0;
                for (at, count) in term.over.counts.iter().enumerate() {
                    cell = cell * count + prepared.class(&term.over, at, 0);
                }
                let mut cost = [0i64; K];
                if let Some(aim) = ask.aims.iter().position(|aim| *aim == term.aim) {
                    cost[aim] = term.costs[cell];
                }
                constant = this.add(&constant, &cost);
            }
        }
        let _ = done;
        Ok(this.finish(&plan.roots, constant))
    }

    #[inline]
    fn add(&self, a: &[i64; K], b: &[i64; K]) -> [i64; K] {
        if self.any_most {
            std::array::from_fn(|aim| if self.most[aim] { a[aim].max(b[aim]) } else { a[aim] + b[aim] })
        } else {
            std::array::from_fn(|aim| a[aim] + b[aim])
        }
    }

    /// All partial sets of one combination of neighbours that no other beats.
    #[expect(clippy::too_many_arguments, reason = "one call, all of it state of the elimination")]
    fn cell(
        &self,
        bucket: &Bucket,
        messages: &[Option<Message>],
        looks: &[Look<'_>],
        at: &[usize],
        held: &[u64],
        work: &mut Work<K>,
        store: &mut Store<K>,
    ) {
        let mut froms: [(&[u64], usize); 8] = [(&[], 0); 8];
        let from_count = bucket.from.len();
        let mut many: Vec<(&[u64], usize)> = Vec::new();
        let rows = bucket.from.iter().filter_map(|from| Some(messages[*from].as_ref()?.at(at)));
        let froms: &[(&[u64], usize)] = if from_count <= froms.len() {
            froms.iter_mut().zip(rows).for_each(|(place, row)| *place = row);
            &froms[..from_count]
        } else {
            many.extend(rows);
            &many
        };
        let entry = |number: usize, place: usize| froms[number].1 + bits::rank(froms[number].0, place);
        work.candidates.clear();
        let mut pruned = 0;
        for place in bits::each(held) {
            let mut base = self.unit[bucket.slot][place];
            for look in looks {
                let cell: usize = look.keys.iter().map(|(slot, offsets)| offsets[at[*slot]]).sum();
                let mut cost = [0; K];
                cost[look.aim] = look.costs[cell + look.own[place]];
                base = self.add(&base, &cost);
            }
            let mut ideal = base;
            for (number, from) in bucket.from.iter().enumerate() {
                ideal = self.add(&ideal, &self.stores[*from].low[entry(number, place)]);
            }
            let beaten = |candidate: &Candidate<K>| candidate.values != ideal && no_worse(&candidate.values, &ideal);
            if work.candidates[..pruned].iter().any(beaten) {
                continue;
            }
            self.cross(bucket, &entry, place, base, work);
            if work.candidates.len() > 2 * pruned + 24 {
                prune(&mut work.candidates, |a, b| self.tie(bucket, &entry, bucket.from.len(), a, b));
                pruned = work.candidates.len();
            }
        }
        prune(&mut work.candidates, |a, b| self.tie(bucket, &entry, bucket.from.len(), a, b));
        let mut low = [i64::MAX; K];
        for candidate in &work.candidates {
            low.iter_mut().zip(&candidate.values).for_each(|(low, value)| *low = (*low).min(*value));
            store.values.push(candidate.values);
            store.places.push(candidate.place);
            let mut behind = candidate.behind;
            for (number, from) in bucket.from.iter().enumerate() {
                let span = self.stores[*from].span(entry(number, candidate.place as usize));
                store.behind.push(span.start as u32 + (behind % span.len() as u64) as u32);
                behind /= span.len() as u64;
            }
        }
        store.low.push(low);
        store.starts.push(store.values.len() as u32);
    }

    /// Every combination of the partial sets behind one place.
    fn cross(
        &self,
        bucket: &Bucket,
        entry: &impl Fn(usize, usize) -> usize,
        place: usize,
        base: [i64; K],
        work: &mut Work<K>,
    ) {
        let start = Candidate { values: base, place: place as u32, behind: 0 };
        let Some((last, before)) = bucket.from.split_last() else {
            work.candidates.push(start);
            return;
        };
        let last_entry = entry(before.len(), place);
        let last_values = &self.stores[*last].values[self.stores[*last].span(last_entry)];
        let mut product = 1u64;
        work.next.clear();
        work.next.push(start);
        for (number, from) in before.iter().enumerate() {
            let store = &self.stores[*from];
            let values = &store.values[store.span(entry(number, place))];
            if values.len() == 1 {
                for candidate in &mut work.next {
                    candidate.values = self.add(&candidate.values, &values[0]);
                }
            } else {
                let mut grown = Vec::with_capacity(work.next.len() * values.len());
                for candidate in &work.next {
                    for (index, value) in values.iter().enumerate() {
                        let values = self.add(&candidate.values, value);
                        grown.push(Candidate { values, behind: candidate.behind + product * index as u64, ..*candidate });
                    }
                }
                if grown.len() > 16 {
                    prune(&mut grown, |a, b| self.tie(bucket, entry, number + 1, a, b));
                }
                work.next = grown;
            }
            product *= values.len() as u64;
        }
        for candidate in &work.next {
            for (index, value) in last_values.iter().enumerate() {
                let values = self.add(&candidate.values, value);
                work.candidates.push(Candidate {
                    values,
                    behind: candidate.behind + product * index as u64,
                    ..*candidate
                });
            }
        }
    }

    /// Which of two partial sets with the same values comes first, slot by slot.
    fn tie(
        &self,
        bucket: &Bucket,
        entry: &impl Fn(usize, usize) -> usize,
        froms: usize,
        a: &Candidate<K>,
        b: &Candidate<K>,
    ) -> Ordering {
        let options = |candidate: &Candidate<K>| {
            let mut options = vec![0; self.names.len()];
            options[bucket.slot] = self.names[bucket.slot][candidate.place as usize];
            let mut behind = candidate.behind;
            for (number, from) in bucket.from[..froms].iter().enumerate() {
                let span = self.stores[*from].span(entry(number, candidate.place as usize));
                self.write(*from, span.start + (behind % span.len() as u64) as usize, &mut options);
                behind /= span.len() as u64;
            }
            options
        };
        options(a).cmp(&options(b))
    }

    /// The options of a partial set and of all behind it.
    fn write(&self, number: usize, point: usize, options: &mut [u32]) {
        let (bucket, store) = (&self.buckets[number], &self.stores[number]);
        options[bucket.slot] = self.names[bucket.slot][store.places[point] as usize];
        for (at, from) in bucket.from.iter().enumerate() {
            self.write(*from, store.behind[point * bucket.from.len() + at] as usize, options);
        }
    }

    /// The parts of the graph that hang together, put together.
    fn finish(&self, roots: &[usize], constant: [i64; K]) -> Vec<([i64; K], Vec<u32>)> {
        let settled: Vec<u32> =
            self.names.iter().map(|names| if names.len() == 1 { names[0] } else { 0 }).collect();
        let mut all = vec![(constant, settled)];
        for root in roots {
            let mut grown: Vec<([i64; K], Vec<u32>)> = Vec::new();
            let values = &self.stores[*root].values;
            let mut candidates: Vec<Candidate<K>> = Vec::with_capacity(all.len() * values.len());
            for (at, (before, _)) in all.iter().enumerate() {
                candidates.extend(values.iter().enumerate().map(|(point, value)| Candidate {
                    values: self.add(before, value),
                    place: point as u32,
                    behind: at as u64,
                }));
            }
            let options = |candidate: &Candidate<K>| {
                let mut options = all[candidate.behind as usize].1.clone();
                self.write(*root, candidate.place as usize, &mut options);
                options
            };
            prune(&mut candidates, |a, b| options(a).cmp(&options(b)));
            grown.extend(candidates.iter().map(|candidate| (candidate.values, options(candidate))));
            all = grown;
        }
        all
    }
}

/// Lists that are used again for every combination.
struct Work<const K: usize> {
    candidates: Vec<Candidate<K>>,
    next: Vec<Candidate<K>>,
    too_large: bool,
}

impl<const K: usize> Store<K> {
    #[inline]
    fn span(&self, entry: usize) -> std::ops::Range<usize> {
        self.starts[entry] as usize..self.starts[entry + 1] as usize
    }
}

fn looks<'a>(ask: &Ask<'a>, prepared: &Prepared<'a>, bucket: &Bucket) -> Vec<Look<'a>> {
    let terms: Vec<_> = prepared.terms().collect();
    bucket
        .terms
        .iter()
        .filter_map(|number| {
            let term = terms[*number];
            let mut look = Look {
                aim: ask.aims.iter().position(|aim| *aim == term.aim)?,
                costs: &term.costs,
                keys: Vec::new(),
                own: Vec::new(),
            };
            let mut stride = 1;
            for (at, slot) in term.over.scope.iter().enumerate().rev() {
                let offset = |place| prepared.class(&term.over, at, place) * stride;
                let offsets: Vec<usize> = (0..prepared.sizes[*slot]).map(offset).collect();
                if *slot == bucket.slot {
                    look.own = offsets;
                } else {
                    look.keys.push((*slot, offsets));
                }
                stride *= term.over.counts[at];
            }
            Some(look)
        })
        .collect()
}
