//! How a rule asks for facts: every answer is noted as a reason, every gap as something to measure.

use crate::build::{Build, Origin, When};
use crate::finding::{Fact, Missing, Verdict, Want};
use catalog::{Dimension, Slot, Sort, Value, Word};
use quantity::{Reading, SLACK, Span, Stand, Teeth};

/// One rule's questions about one build.
#[derive(Debug)]
pub struct Ask<'a> {
    /// The bike before and after.
    pub build: &'a Build,
    facts: Vec<Fact>,
    missing: Vec<Missing>,
}

impl<'a> Ask<'a> {
    /// Begins.
    pub fn new(build: &'a Build) -> Self {
        Self { build, facts: Vec::new(), missing: Vec::new() }
    }

    /// What was used and what was missing.
    pub fn into_notes(self) -> (Vec<Fact>, Vec<Missing>) {
        (self.facts, self.missing)
    }

    /// A single number: length, angle, ratio or count, as an interval in base units.
    pub fn number(&mut self, when: When, dimension: Dimension) -> Option<Span> {
        self.value(when, dimension).and_then(|value| value.span())
    }

    /// A whole number.
    pub fn count(&mut self, when: When, dimension: Dimension) -> Option<u32> {
        match self.value(when, dimension) {
            Some(Value::Count(noted)) => Some(noted.value),
            _ => None,
        }
    }

    /// Tooth counts.
    pub fn teeth(&mut self, when: When, dimension: Dimension) -> Option<Vec<Teeth>> {
        match self.value(when, dimension) {
            Some(Value::Teeth(noted)) if !noted.value.is_empty() => Some(noted.value),
            _ => None,
        }
    }

    /// One of a set of words.
    pub fn word<W: Word>(&mut self, when: When, dimension: Dimension) -> Option<W> {
        match self.value(when, dimension) {
            Some(Value::Word(noted)) => W::read(noted.value),
            _ => None,
        }
    }

    /// Middle to middle of each pair of cogs, smallest first: one by one where the part says so, else all alike.
    pub fn cog_pitches(&mut self, when: When, cogs: usize) -> Option<Vec<Span>> {
        self.one_by_one(when, Dimension::CogPitches, Dimension::CogPitch, cogs.saturating_sub(1))
    }

    /// Cable pulled by each click: click by click where the part says so, else all alike.
    pub fn shift_pulls(&mut self, when: When) -> Option<Vec<Span>> {
        let clicks = self.count(when, Dimension::ShiftPositions)?.saturating_sub(1) as usize;
        self.one_by_one(when, Dimension::ShiftPulls, Dimension::ShiftPull, clicks)
    }

    /// A list must name every one of them: with some left out nothing is known of the rest.
    fn one_by_one(&mut self, when: When, each: Dimension, all: Dimension, count: usize) -> Option<Vec<Span>> {
        if let Some(Value::Lengths(list)) = self.known(when, each) {
            if list.len() == count {
                return Some(list.iter().map(|m| m.span()).collect());
            }
            self.recount(when, each);
            return None;
        }
        self.number(when, all).map(|span| vec![span; count])
    }

    /// Several lengths in order.
    pub fn lengths(&mut self, when: When, dimension: Dimension) -> Option<Vec<Span>> {
        match self.value(when, dimension) {
            Some(Value::Lengths(list)) => Some(list.iter().map(|m| m.span()).collect()),
            _ => None,
        }
    }

    /// One of a set of words if it is known; a gap is not noted.
    pub fn known_word<W: Word>(&mut self, when: When, dimension: Dimension) -> Option<W> {
        match self.known(when, dimension) {
            Some(Value::Word(noted)) => W::read(noted.value),
            _ => None,
        }
    }

    /// A value if it is known; a gap is not noted.
    pub fn known(&mut self, when: When, dimension: Dimension) -> Option<Value> {
        let slot = self.build.slot_of(dimension, when);
        match self.build.reading(slot, when, dimension) {
            Reading::Taken(value) => {
                self.note(when, slot, dimension, value.clone());
                Some(value)
            }
            _ => None,
        }
    }

    /// A number if it is known; a gap is not noted.
    pub fn known_number(&mut self, when: When, dimension: Dimension) -> Option<Span> {
        self.known(when, dimension).and_then(|value| value.span())
    }

    /// A whole number if it is known; a gap is not noted.
    pub fn known_count(&mut self, when: When, dimension: Dimension) -> Option<u32> {
        match self.known(when, dimension) {
            Some(Value::Count(noted)) => Some(noted.value),
            _ => None,
        }
    }

    /// A value of the part in a given slot; a gap is noted.
    pub fn number_in(&mut self, slot: Slot, when: When, dimension: Dimension) -> Option<Span> {
        self.value_in(slot, when, dimension).and_then(|value| value.span())
    }

    /// A word of the part in a given slot; a gap is noted.
    pub fn word_in<W: Word>(&mut self, slot: Slot, when: When, dimension: Dimension) -> Option<W> {
        match self.value_in(slot, when, dimension) {
            Some(Value::Word(noted)) => W::read(noted.value),
            _ => None,
        }
    }

    fn value(&mut self, when: When, dimension: Dimension) -> Option<Value> {
        let slot = self.build.slot_of(dimension, when);
        self.value_in(slot, when, dimension)
    }

    /// A value of the part in a given slot; a gap is noted.
    pub fn value_in(&mut self, slot: Slot, when: When, dimension: Dimension) -> Option<Value> {
        let want = match self.build.reading(slot, when, dimension) {
            Reading::Taken(value) => {
                self.note(when, slot, dimension, value.clone());
                return Some(value);
            }
            Reading::NotTaken => Want::NotTaken,
            Reading::Fine => Want::CalledFine,
            Reading::NotReachable => Want::NotReachable,
            Reading::NotNeeded => Want::CalledNotNeeded,
        };
        self.want(slot, self.build.origin(slot, when), dimension, want);
        None
    }

    /// Judges a margin by bands: the verdict of the first limit that the whole interval reaches, `Fails` below
    /// the last. A limit inside the tolerance gives `Measure`, and the inexact facts are to be taken again.
    pub fn bands(&mut self, margin: Span, bands: &[(f64, Verdict)]) -> Verdict {
        for (limit, verdict) in bands {
            match margin.against(*limit) {
                Stand::AtOrAbove => return *verdict,
                Stand::Below => {}
                Stand::Across => {
                    self.again();
                    return Verdict::Measure;
                }
            }
        }
        Verdict::Fails
    }

    /// Notes every fact with a tolerance as something to take again, the coarsest share first.
    pub fn again(&mut self) {
        let share =
            |span: Span| (!span.is_exact()).then(|| span.half_width() / span.middle().abs().max(SLACK));
        let mut inexact: Vec<(f64, Fact)> = self
            .facts
            .iter()
            .filter_map(|fact| {
                let coarsest = match &fact.value {
                    Value::Lengths(list) => {
                        list.iter().filter_map(|m| share(m.span())).max_by(f64::total_cmp)
                    }
                    value => value.span().and_then(share),
                };
                Some((coarsest?, fact.clone()))
            })
            .collect();
        inexact.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (_, fact) in inexact {
            self.want(fact.slot, fact.origin, fact.dimension, Want::Again);
        }
    }

    /// Notes every fact as something to take again, whatever its tolerance: readings that cannot all be right.
    pub fn all_again(&mut self) {
        for fact in self.facts.clone() {
            self.want(fact.slot, fact.origin, fact.dimension, Want::Again);
        }
    }

    /// Whether nothing is wanted yet.
    pub fn wants_nothing(&self) -> bool {
        self.missing.is_empty()
    }

    /// Notes a fact as something to take or count again, whatever its tolerance.
    pub fn recount(&mut self, when: When, dimension: Dimension) {
        let slot = self.build.slot_of(dimension, when);
        self.want(slot, self.build.origin(slot, when), dimension, Want::Again);
    }

    fn note(&mut self, when: When, slot: Slot, dimension: Dimension, value: Value) {
        let origin = self.build.origin(slot, when);
        let known = |fact: &Fact| fact.dimension == dimension && fact.slot == slot && fact.origin == origin;
        if !self.facts.iter().any(known) {
            self.facts.push(Fact { dimension, slot, origin, when, value });
        }
    }

    /// Notes a value of the part in a given slot as something to take.
    pub fn want(&mut self, slot: Slot, origin: Origin, dimension: Dimension, want: Want) {
        let known = |missing: &Missing| {
            missing.dimension == dimension && missing.slot == slot && missing.origin == origin
        };
        if self.missing.iter().any(known) {
            return;
        }
        let row = dimension.row();
        let middle = if matches!(row.sort, Sort::Word(_)) { 0.0 } else { (row.least + row.most) / 2.0 };
        let usual = (row.tool, row.tolerance.of(middle));
        let tool = if want == Want::Again { row.finer.unwrap_or(usual) } else { usual };
        self.missing.push(Missing { dimension, slot, origin, want, tool, answers: Vec::new() });
    }
}
