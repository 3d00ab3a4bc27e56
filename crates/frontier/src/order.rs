//! In which order slots are eliminated.

use crate::prepared::Prepared;
use crate::rows::Rows;

/// One slot to eliminate, and what meets there.
#[derive(Clone, Debug)]
pub(crate) struct Bucket {
    /// The slot.
    pub slot: usize,
    /// The slots that are left when it goes and that it has to do with, the one that goes last first.
    pub rest: Vec<usize>,
    /// Wide relations that end here.
    pub wide: Vec<Rows>,
    /// Terms that end here, by their number among those that count.
    pub terms: Vec<usize>,
    /// Earlier buckets whose tables end here.
    pub from: Vec<usize>,
}

/// All buckets in order, and how large their tables are at most.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    pub buckets: Vec<Bucket>,
    /// Buckets whose tables end nowhere: one for each part of the graph that hangs together.
    pub roots: Vec<usize>,
    /// Terms over settled slots alone.
    pub settled_terms: Vec<usize>,
    /// Rows of the largest table.
    pub rows: f64,
    /// The slot to fix if that is too many: the one that makes the largest table largest.
    pub widest: Option<usize>,
}

impl Plan {
    /// The cheaper of two orders: fewest new neighbours first, and smallest table first.
    pub(crate) fn of(prepared: &Prepared<'_>) -> Self {
        let graph = Graph::of(prepared);
        let by_fill = graph.clone().order(|graph, slot| (graph.fill(slot), graph.table(slot)));
        let by_table = graph.clone().order(|graph, slot| (graph.table(slot), graph.fill(slot)));
        let order = if by_table.1 < by_fill.1 { by_table.0 } else { by_fill.0 };
        graph.plan(prepared, &order)
    }
}

/// Slots that are not settled and which of them meet in a relation, term or table.
#[derive(Clone, Debug)]
struct Graph {
    sizes: Vec<f64>,
    meets: Vec<Vec<bool>>,
    left: Vec<bool>,
    /// Share of pairs that go together.
    share: Vec<Vec<f64>>,
}

impl Graph {
    fn of(prepared: &Prepared<'_>) -> Self {
        let n = prepared.slots();
        let open: Vec<bool> = prepared.sizes.iter().map(|size| *size > 1).collect();
        let mut meets = vec![vec![false; n]; n];
        let mut share = vec![vec![1.0; n]; n];
        for a in 0..n {
            for b in 0..n {
                if let Some(matrix) = prepared.pair(a, b) {
                    meets[a][b] = true;
                    let all = (prepared.sizes[a] * prepared.sizes[b]) as f64;
                    share[a][b] = crate::bits::count(&matrix.rows) as f64 / all;
                }
            }
        }
        let scopes = prepared.wide.iter().map(|relation| &relation.over.scope);
        for scope in scopes.chain(prepared.terms().map(|term| &term.over.scope)) {
            for a in scope {
                for b in scope {
                    meets[*a][*b] |= a != b && open[*a] && open[*b];
                }
            }
        }
        let sizes = prepared.sizes.iter().map(|size| *size as f64).collect();
        Self { sizes, meets, left: open, share }
    }

    fn rest(&self, slot: usize) -> Vec<usize> {
        (0..self.left.len()).filter(|other| self.left[*other] && self.meets[slot][*other]).collect()
    }

    /// Neighbours that would meet for the first time, weighed by their pairs.
    fn fill(&self, slot: usize) -> f64 {
        let rest = self.rest(slot);
        let mut fill = 0.0;
        for (at, a) in rest.iter().enumerate() {
            for b in &rest[at + 1..] {
                if !self.meets[*a][*b] {
                    fill += 1.0;
                }
            }
        }
        fill
    }

    /// Combinations of the slot with its neighbours that go together two by two, by their shares.
    fn table(&self, slot: usize) -> f64 {
        let mut bag = self.rest(slot);
        bag.push(slot);
        let mut table = 1.0;
        for (at, a) in bag.iter().enumerate() {
            table *= self.sizes[*a];
            for b in &bag[at + 1..] {
                table *= self.share[*a][*b];
            }
        }
        table
    }

    /// The order, and the combinations of all buckets together.
    fn order(mut self, merit: impl Fn(&Self, usize) -> (f64, f64)) -> (Vec<usize>, f64) {
        let mut order = Vec::new();
        let mut work = 0.0;
        loop {
            let next = (0..self.left.len())
                .filter(|slot| self.left[*slot])
                .map(|slot| (merit(&self, slot), slot))
                .min_by(|(a, i), (b, j)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(i.cmp(j)));
            let Some((_, slot)) = next else { return (order, work) };
            work += self.table(slot);
            for a in self.rest(slot) {
                for b in self.rest(slot) {
                    self.meets[a][b] |= a != b;
                }
            }
            self.left[slot] = false;
            order.push(slot);
        }
    }

    fn plan(mut self, prepared: &Prepared<'_>, order: &[usize]) -> Plan {
        let mut place = vec![usize::MAX; self.left.len()];
        order.iter().enumerate().for_each(|(at, slot)| place[*slot] = at);
        // What ends where: at the bucket of the slot of its scope that goes first.
        let ends =
            |scope: &[usize]| scope.iter().map(|slot| place[*slot]).min().filter(|at| *at != usize::MAX);
        let mut buckets: Vec<Bucket> = Vec::with_capacity(order.len());
        let (mut rows, mut widest) = (1.0, None);
        for slot in order {
            let mut rest = self.rest(*slot);
            rest.sort_by_key(|other| std::cmp::Reverse(place[*other]));
            for a in &rest {
                for b in &rest {
                    self.meets[*a][*b] |= a != b;
                }
            }
            self.left[*slot] = false;
            let prefix = rest.split_last().map_or(&[][..], |(_, prefix)| prefix);
            let size: f64 = prefix.iter().map(|slot| self.sizes[*slot]).product();
            if size > rows {
                rows = size;
                let by_size = |a: &&usize, b: &&usize| self.sizes[**a].total_cmp(&self.sizes[**b]);
                widest = prefix.iter().max_by(by_size).copied();
            }
            buckets.push(Bucket { slot: *slot, rest, wide: Vec::new(), terms: Vec::new(), from: Vec::new() });
        }
        for relation in &prepared.wide {
            if let Some(at) = ends(&relation.over.scope) {
                let slot = buckets[at].slot;
                buckets[at].wide.push(Rows::of_relation(prepared, relation, slot));
            }
        }
        let mut settled_terms = Vec::new();
        for (number, term) in prepared.terms().enumerate() {
            match ends(&term.over.scope) {
                Some(at) => buckets[at].terms.push(number),
                None => settled_terms.push(number),
            }
        }
        let mut roots = Vec::new();
        for at in 0..buckets.len() {
            match buckets[at].rest.last() {
                Some(next) => {
                    let next = place[*next];
                    buckets[next].from.push(at);
                }
                None => roots.push(at),
            }
        }
        Plan { buckets, roots, settled_terms, rows, widest }
    }
}
