//! The board: which person does which piece of which job when. Begin with [`Board::plan`].
//!
//! Time runs in slots over the hours in which the shop is open; the caller decides what a slot is. A job is pieces that
//! are not interrupted, one after the other, each by one person and on one stand, and a check by a person who did none
//! of them.

use std::collections::BTreeMap;

/// People and stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// Slots that are looked at.
    pub slots: usize,
    /// Bikes that can be worked on at once.
    pub stands: usize,
    /// Who works.
    pub hands: Vec<Hand>,
    /// First slot of every day, rising.
    pub days: Vec<usize>,
}

/// A person on the board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hand {
    /// What the person may do: 0 learner, 1 mechanic, 2 specialist.
    pub level: u8,
    /// Whether the person may check what others did.
    pub checks: bool,
    /// When the person is there, from a slot to before another.
    pub free: Vec<(usize, usize)>,
}

/// A job on the board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Task {
    /// The first slot in which it may begin: everything is there.
    pub release: usize,
    /// The slot by which it was promised.
    pub due: Option<usize>,
    /// The pieces, in their order.
    pub pieces: Vec<Piece>,
    /// Slots of the check; none if nobody checks.
    pub check: Option<usize>,
    /// Whether the check may be done by a person who worked on it, if it is done on a later day.
    pub cold: bool,
}

/// A piece of work that is not interrupted: after it the bike is parked safely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The least level of the person.
    pub level: u8,
    /// How long.
    pub length: usize,
}

/// Where a piece stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Which person.
    pub hand: usize,
    /// From this slot.
    pub from: usize,
    /// To before this one.
    pub to: usize,
}

/// The cost of each slot that a job ends after its promise, beside the slot itself.
pub const LATE: usize = 10;

/// Jobs that are placed in search of a better sequence: what forty jobs may take by the clock. `tests/weeks.rs` states how
/// far that is from the best.
pub(crate) const PLACINGS: usize = 12_000;

/// Changes that are made at once where no single one helps.
const KICKS: usize = 3;

/// A plan of all jobs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Laid {
    /// The order in which the jobs were placed.
    pub sequence: Vec<usize>,
    /// For each job, people who are kept from its pieces, and from its check in the upper half of the bits: others need
    /// them more.
    pub kept_from: Vec<u64>,
    /// For each job its pieces and last its check; none if there is no place for it.
    pub places: Vec<Option<Vec<Place>>>,
    /// Ends of the jobs, and [`LATE`] for each slot after a promise. A job without a place ends with the board.
    pub cost: usize,
}

/// Which slots are free: a bit a slot, for each person, and for the stands.
#[derive(Clone, Debug)]
pub(crate) struct Free {
    hands: Vec<Vec<u64>>,
    stand: Vec<u64>,
    used: Vec<u8>,
}

impl Free {
    fn of(board: &Board) -> Self {
        let words = board.slots.div_ceil(64);
        let hands = board.hands.iter().map(|hand| {
            let mut bits = vec![0u64; words];
            for (from, to) in &hand.free {
                (*from..(*to).min(board.slots)).for_each(|slot| bits[slot / 64] |= 1 << (slot % 64));
            }
            bits
        });
        let stand = if board.stands == 0 { 0 } else { u64::MAX };
        Self { hands: hands.collect(), stand: vec![stand; words], used: vec![0; board.slots] }
    }

    /// The first slot from which a person and a stand are free for so long.
    fn earliest(&self, hand: usize, after: usize, length: usize) -> Option<usize> {
        let (hand, stand) = (self.hands.get(hand)?, &self.stand);
        let word = |at: usize| hand[at] & stand[at];
        let words = hand.len();
        let mut slot = after;
        loop {
            // The next free slot.
            let mut at = slot / 64;
            if at >= words {
                return None;
            }
            let mut bits = word(at) & (u64::MAX << (slot % 64));
            while bits == 0 {
                at += 1;
                if at >= words {
                    return None;
                }
                bits = word(at);
            }
            let start = at * 64 + bits.trailing_zeros() as usize;
            // The next slot after it that is not free.
            let mut bits = !word(at) & (u64::MAX << (start % 64));
            while bits == 0 {
                at += 1;
                if at * 64 >= start + length {
                    return Some(start);
                }
                if at >= words {
                    return None;
                }
                bits = !word(at);
            }
            let end = at * 64 + bits.trailing_zeros() as usize;
            if end >= start + length {
                return Some(start);
            }
            slot = end;
        }
    }

    fn take(&mut self, place: Place, stands: usize) {
        for slot in place.from..place.to {
            let bit = 1 << (slot % 64);
            self.hands[place.hand][slot / 64] &= !bit;
            self.used[slot] += 1;
            if usize::from(self.used[slot]) >= stands {
                self.stand[slot / 64] &= !bit;
            }
        }
    }
}

impl Board {
    /// The places of the next job that let it end first, with everything placed before it left as it is. `None` if
    /// there is no place on the board.
    ///
    /// Exact: for every set of people who could have worked on the pieces so far the earliest end is kept, and an
    /// earlier end is never worse for what follows.
    pub fn next(&self, placed: &[Place], task: &Task) -> Option<Vec<Place>> {
        let mut free = Free::of(self);
        placed.iter().for_each(|place| free.take(*place, self.stands));
        self.beside(&free, task)
    }

    /// What is free once jobs are laid.
    pub(crate) fn left_by(&self, laid: &Laid) -> Free {
        let mut free = Free::of(self);
        laid.places.iter().flatten().flatten().for_each(|place| free.take(*place, self.stands));
        free
    }

    /// The places of one more job that let it end first in what is free.
    pub(crate) fn beside(&self, free: &Free, task: &Task) -> Option<Vec<Place>> {
        self.best(free, task, 0)
    }

    fn best(&self, free: &Free, task: &Task, kept_from: u64) -> Option<Vec<Place>> {
        // By the people who worked on it: the earliest end, and where the pieces stand.
        let mut states: BTreeMap<u64, (usize, Vec<Place>)> =
            BTreeMap::from([(0, (task.release, Vec::new()))]);
        for piece in &task.pieces {
            let mut next: BTreeMap<u64, (usize, Vec<Place>)> = BTreeMap::new();
            for (who, (end, places)) in &states {
                for (hand, _) in self.hands.iter().enumerate().filter(|(_, hand)| hand.level >= piece.level) {
                    if hand < 32 && kept_from >> hand & 1 == 1 {
                        continue;
                    }
                    let Some(from) = free.earliest(hand, *end, piece.length) else { continue };
                    let to = from + piece.length;
                    let who = who | 1 << (hand % 64);
                    if next.get(&who).is_none_or(|(end, _)| to < *end) {
                        let mut places = places.clone();
                        places.push(Place { hand, from, to });
                        next.insert(who, (to, places));
                    }
                }
            }
            // Fewer people and no later end is never worse.
            let all: Vec<(u64, usize)> = next.iter().map(|(who, (end, _))| (*who, *end)).collect();
            next.retain(|who, (end, _)| {
                !all.iter().any(|(other, sooner)| other != who && other & who == *other && *sooner <= *end)
            });
            states = next;
        }
        let Some(check) = task.check else {
            return states.into_values().min_by_key(|(end, _)| *end).map(|(_, places)| places);
        };
        let mut best: Option<(usize, Vec<Place>)> = None;
        for (who, (end, places)) in states {
            for (hand, _) in self.hands.iter().enumerate().filter(|(_, hand)| hand.checks) {
                if hand < 32 && kept_from >> (32 + hand) & 1 == 1 {
                    continue;
                }
                let touched = who >> (hand % 64) & 1 == 1;
                let after = if !touched {
                    end
                } else if task.cold {
                    match self.days.iter().find(|day| **day >= end) {
                        Some(day) => *day,
                        None => continue,
                    }
                } else {
                    continue;
                };
                let Some(from) = free.earliest(hand, after, check) else { continue };
                if best.as_ref().is_none_or(|(end, _)| from + check < *end) {
                    let mut places = places.clone();
                    places.push(Place { hand, from, to: from + check });
                    best = Some((from + check, places));
                }
            }
        }
        best.map(|(_, places)| places)
    }

    /// Places the jobs one after the other, each so that it ends first.
    pub fn in_sequence(&self, tasks: &[Task], sequence: &[usize], kept_from: &[u64]) -> Laid {
        let (sequence_kept, kept_from) = (sequence.to_vec(), kept_from.to_vec());
        let mut laid = Laid { sequence: sequence_kept, places: vec![None; tasks.len()], cost: 0, kept_from };
        let mut free = Free::of(self);
        for at in sequence {
            let Some(task) = tasks.get(*at) else { continue };
            let places = self.best(&free, task, kept(&laid.kept_from, *at));
            laid.cost += self.cost(task, places.as_deref());
            places.iter().flatten().for_each(|place| free.take(*place, self.stands));
            laid.places[*at] = places;
        }
        laid
    }

    fn cost(&self, task: &Task, places: Option<&[Place]>) -> usize {
        let end = places.map_or(self.slots * 2, |places| places.last().map_or(task.release, |last| last.to));
        end + LATE * task.due.map_or(0, |due| end.saturating_sub(due))
    }

    /// A plan of all jobs: several first sequences, then jobs moved to other places in the best of them, and people kept
    /// from jobs that others could do, as long as that lowers the cost. The same jobs always give the same plan.
    pub fn plan(&self, tasks: &[Task]) -> Laid {
        self.plan_within(tasks, PLACINGS)
    }

    /// The same with at most so many jobs placed in search of a better sequence.
    pub(crate) fn plan_within(&self, tasks: &[Task], placings: usize) -> Laid {
        let length = |task: &Task| {
            task.pieces.iter().map(|piece| piece.length).sum::<usize>() + task.check.unwrap_or(0)
        };
        let by = |key: &dyn Fn(&Task) -> usize| {
            let mut sequence: Vec<usize> = (0..tasks.len()).collect();
            sequence.sort_by_key(|at| key(&tasks[*at]));
            sequence
        };
        let day = self.days.get(1).copied().unwrap_or(self.slots).max(1);
        let urgent = |task: &Task| task.due.unwrap_or(usize::MAX).saturating_sub(day);
        let first: [Vec<usize>; 5] = [
            by(&|task| task.release),
            by(&|task| task.release + length(task)),
            by(&length),
            by(&|task| task.due.unwrap_or(usize::MAX / 2)),
            by(&|task| (task.release + 2 * length(task)).min(urgent(task))),
        ];
        let none = vec![0; tasks.len()];
        let best = first
            .iter()
            .map(|sequence| self.in_sequence(tasks, sequence, &none))
            .min_by_key(|laid| laid.cost);
        let nothing = Laid { sequence: Vec::new(), kept_from: none, places: Vec::new(), cost: 0 };
        self.improved(tasks, best.unwrap_or(nothing), placings)
    }

    /// Moves single jobs forward and back, and keeps single people from single jobs. What is free before each place of
    /// the sequence is remembered, so that only what comes after a change is placed again. Where no single change helps,
    /// a few are made at once by a fixed rule, and it goes on from there.
    fn improved(&self, tasks: &[Task], best: Laid, placings: usize) -> Laid {
        let n = tasks.len();
        if n == 0 {
            return best;
        }
        // Each person may be kept from the pieces, or from the check.
        let people = self.hands.len().min(32);
        let (moves, keeps) = (n * (n - 1), n * people * 2);
        let mut best = Order { sequence: best.sequence, kept_from: best.kept_from, cost: best.cost };
        let mut now = best.clone();
        let mut before = self.states(tasks, &now, Vec::new());
        let (mut at, mut without, mut left) = (0, 0, placings);
        let mut dice = Dice::new();
        while left > 0 {
            if without >= moves + keeps {
                now = best.clone();
                (0..KICKS).for_each(|_| _ = now.change(dice.below(moves + keeps), moves));
                now.cost = self.in_sequence(tasks, &now.sequence, &now.kept_from).cost;
                before = self.states(tasks, &now, Vec::new());
                left = left.saturating_sub(2 * n);
                without = 0;
            }
            let mut other = now.clone();
            let from = other.change(at % (moves + keeps), moves);
            at += 1;
            without += 1;
            let Some(state) = before.get(from) else { break };
            if self.is_less(tasks, &mut other, from, state, now.cost, &mut left) {
                now = other;
                without = 0;
                before.truncate(from + 1);
                before = self.states(tasks, &now, before);
                if now.cost < best.cost {
                    best = now.clone();
                }
            }
        }
        self.in_sequence(tasks, &best.sequence, &best.kept_from)
    }

    /// What is free, and what it has cost, before each job of a sequence; the first states may be known already.
    fn states(&self, tasks: &[Task], order: &Order, mut known: Vec<(Free, usize)>) -> Vec<(Free, usize)> {
        let mut state = known.pop().unwrap_or_else(|| (Free::of(self), 0));
        for at in &order.sequence[known.len().min(order.sequence.len())..] {
            known.push(state.clone());
            let places = self.best(&state.0, &tasks[*at], kept(&order.kept_from, *at));
            state.1 += self.cost(&tasks[*at], places.as_deref());
            places.iter().flatten().for_each(|place| state.0.take(*place, self.stands));
        }
        known
    }

    /// Whether a sequence that begins as before costs less than another; its cost is put in if it does.
    fn is_less(
        &self,
        tasks: &[Task],
        order: &mut Order,
        from: usize,
        (free, cost): &(Free, usize),
        than: usize,
        left: &mut usize,
    ) -> bool {
        let (mut free, mut cost) = (free.clone(), *cost);
        for at in &order.sequence[from..] {
            *left = left.saturating_sub(1);
            let places = self.best(&free, &tasks[*at], kept(&order.kept_from, *at));
            cost += self.cost(&tasks[*at], places.as_deref());
            if cost >= than {
                return false;
            }
            places.iter().flatten().for_each(|place| free.take(*place, self.stands));
        }
        order.cost = cost;
        true
    }
}

/// A sequence under way to a better one.
#[derive(Clone, Debug)]
struct Order {
    sequence: Vec<usize>,
    kept_from: Vec<u64>,
    cost: usize,
}

impl Order {
    /// Makes the change of this number, and says from which place on the sequence is another.
    fn change(&mut self, which: usize, moves: usize) -> usize {
        let n = self.sequence.len();
        if which < moves {
            // Every job to every place, from near to far.
            let (from, step) = (which % n, which / n + 1);
            let to = (from + step) % n;
            let job = self.sequence.remove(from);
            self.sequence.insert(to, job);
            return from.min(to);
        }
        let (place, hand) = ((which - moves) % n, (which - moves) / n);
        // The upper half of the bits is for the check.
        let bit = if hand % 2 == 0 { hand / 2 } else { 32 + hand / 2 };
        if let Some(kept) = self.sequence.get(place).and_then(|job| self.kept_from.get_mut(*job)) {
            *kept ^= 1 << bit;
        }
        place
    }
}

fn kept(kept_from: &[u64], at: usize) -> u64 {
    kept_from.get(at).copied().unwrap_or(0)
}

/// Numbers by a fixed rule: always the same ones (SplitMix64, public domain; from memory).
#[derive(Clone, Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new() -> Self {
        Self(0x9E37_79B9_7F4A_7C15)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, most: usize) -> usize {
        (self.next() % most.max(1) as u64) as usize
    }

    pub(crate) fn shuffled(&mut self, n: usize) -> Vec<usize> {
        let mut all: Vec<usize> = (0..n).collect();
        for at in (1..n).rev() {
            all.swap(at, self.below(at + 1));
        }
        all
    }
}
