//! The job on record: what happened, in order, and what follows from it. Begin with [`Job`].
//!
//! A job is a list of entries that only grows. Its state is a fold over them: the same entries give the same state.
//! An entry is proposed ([`Job::propose`]) and either goes to the end of the list or is refused in words; nothing on
//! the list is changed or taken away. What was wrong is corrected by a new entry that says which one and why.
//!
//! Who tapped, when and under which key stands on every entry. The key makes a repeat harmless: a tablet that lost
//! the network sends its taps again. The order is the order of arrival, so a clock set back changes nothing.

pub mod blind;
pub mod event;
pub mod gate;
mod may;
pub mod refusal;
pub mod state;

pub use blind::{BlindPoint, Look, Reading as BlindReading};
pub use event::{Channel, Event, Parking, PartCheck, PauseReason, RideKind};
pub use gate::{Block as GateBlock, blocks_release, blocks_start};
pub use refusal::Refusal;
pub use state::{Approval, ChangeAnswer, EstimateVersion, PartState, Question, Stage, State};

use crate::book::Book;
use crate::check::Person;
use fit::Plan;
use std::collections::BTreeMap;

/// The key of an entry, made where it was tapped: the same tap sent twice has the same key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct EntryKey(pub u128);

/// A moment, milliseconds since 1970-01-01 00:00 UTC, as the clock of the shop said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub i64);

/// One thing that happened.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its key.
    pub key: EntryKey,
    /// When it was tapped.
    pub at: Moment,
    /// Who tapped it.
    pub by: Person,
    /// What happened.
    pub event: Event,
}

/// A job: its entries and the state that follows from them.
#[derive(Clone, Debug, Default)]
pub struct Job {
    entries: Vec<Entry>,
    places: BTreeMap<EntryKey, usize>,
    state: State,
}

/// What a proposal is judged with.
#[derive(Clone, Copy, Debug)]
pub struct JudgedBy<'a> {
    /// The plan of the job as it stands, worked out from [`State::refit`].
    pub plan: &'a Plan,
    /// The plan as the customer agreed to it, worked out from the refit in [`Approval`]; none before.
    pub agreed: Option<&'a Plan>,
    /// The steps.
    pub book: &'a Book,
}

/// What became of a proposal that was not refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Accepted {
    /// It is the entry at this place of the list.
    Added(usize),
    /// It was there already, at this place: nothing changed.
    Repeated(usize),
}

impl Job {
    /// The job that these entries make.
    ///
    /// Entries are not judged again: what was accepted once stands. An entry whose key was there before changes
    /// nothing.
    pub fn replay(entries: impl IntoIterator<Item = Entry>) -> Self {
        let mut job = Self::default();
        for entry in entries {
            if !job.places.contains_key(&entry.key) {
                job.append(entry);
            }
        }
        job
    }

    /// The entries in order.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// How many entries there are: the version that a page was made from.
    pub fn version(&self) -> usize {
        self.entries.len()
    }

    /// What follows from the entries.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Puts an entry at the end of the list, if it may happen now.
    ///
    /// # Errors
    /// Every reason against it; then the job is as it was.
    pub fn propose(&mut self, entry: Entry, desk: JudgedBy<'_>) -> Result<Accepted, Vec<Refusal>> {
        if let Some(place) = self.places.get(&entry.key) {
            let same = self.entries.get(*place).is_some_and(|known| is_same_tap(&known.event, &entry.event));
            return if same { Ok(Accepted::Repeated(*place)) } else { Err(vec![Refusal::KeyUsed]) };
        }
        self.state.may(&entry, &self.entries, desk)?;
        let mut entry = entry;
        if let Event::Done { step, .. } = entry.event
            && let Some(step) = desk.book.step(step)
        {
            // What a step does is said by the book, not by who taps it.
            entry.event = Event::done(step);
        }
        self.append(entry);
        Ok(Accepted::Added(self.entries.len() - 1))
    }

    fn append(&mut self, entry: Entry) {
        self.places.insert(entry.key, self.entries.len());
        let corrects = matches!(entry.event, Event::Corrected { .. });
        self.entries.push(entry);
        if corrects {
            self.state = State::of(&self.entries);
        } else if let Some(last) = self.entries.last() {
            self.state.take(last);
        }
    }
}

/// Whether a repeat says the same: of a step its name, since what it does is said by the book.
fn is_same_tap(known: &Event, sent: &Event) -> bool {
    match (known, sent) {
        (Event::Done { step, .. }, Event::Done { step: again, .. }) => step == again,
        (known, sent) => known == sent,
    }
}
