//! A tap becomes entries: judged with the plan of the moment, kept, told to the other pages; or refused in words.

use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use crate::live::Changed;
use shop::job::event::Event;
use shop::{Accepted, Entry, EntryKey, Moment, Person};
use std::sync::Arc;
use store::{Append, Appended, NewJob};

/// Something that a person does to a job.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tap {
    /// Made where it was tapped: the same tap sent twice has the same key.
    pub(crate) key: EntryKey,
    /// When it was tapped.
    pub(crate) at: Moment,
    /// What.
    pub(crate) event: Event,
}

impl Tap {
    /// A tap of this moment.
    pub(crate) fn now(event: Event) -> Self {
        Self { key: new_key(), at: clock::now(), event }
    }
}

/// A key that nothing else has.
pub(crate) fn new_key() -> EntryKey {
    EntryKey(uuid::Uuid::new_v4().as_u128())
}

/// How often a tap is judged again that somebody else came before.
const TRIES: usize = 6;

impl House {
    /// Judges taps of a person and keeps them, all or none.
    ///
    /// `seen` is the version that the page was made from: what somebody else has put in the same place since then is
    /// shown, not written over.
    pub(crate) fn act(
        &self,
        number: &str,
        by: &Person,
        taps: &[Tap],
        seen: Option<usize>,
    ) -> Result<Arc<JobCard>, Failure> {
        for tap in taps {
            self.may_by_skill(by, &tap.event)?;
        }
        self.act_at(number, by, taps, seen, clock::now())
    }

    /// The same at a moment that is given.
    pub(crate) fn act_at(
        &self,
        number: &str,
        by: &Person,
        taps: &[Tap],
        seen: Option<usize>,
        now: Moment,
    ) -> Result<Arc<JobCard>, Failure> {
        let book = &self.workshop.book;
        for _ in 0..TRIES {
            let before = self.card(number)?;
            if let Some(seen) = seen {
                not_meanwhile(&before, by, taps, seen)?;
            }
            let mut card = (*before).clone();
            let mut added = Vec::new();
            let mut judged_anew = true;
            for tap in taps {
                if !judged_anew && asks_plan(&tap.event) {
                    card = card.with_plans(self);
                    judged_anew = true;
                }
                let entry = Entry { key: tap.key, at: tap.at, by: by.clone(), event: tap.event.clone() };
                let (plan, agreed) = (card.plan.clone(), card.agreed.clone());
                let judged_by = shop::JudgedBy { plan: &plan, agreed: agreed.as_deref(), book };
                if let Accepted::Added(place) =
                    card.job.propose(entry, judged_by).map_err(Failure::Refused)?
                {
                    added.push(place);
                    judged_anew = false;
                }
            }
            card = card.with_plans(self);
            let Some(last) = added.last() else { return Ok(before) };
            let what = card.job.entries()[*last].event.word();
            let fresh: Vec<Entry> = added.iter().map(|place| card.job.entries()[*place].clone()).collect();
            let standing = card.standing(book);
            let append = Append {
                job: &before.record.id,
                expected: before.job.version(),
                entries: &fresh,
                standing: &standing,
                now,
            };
            match self.store.append(&append)? {
                Appended::Kept { version, .. } if version == card.job.version() => {
                    if let Some(record) = self.store.job_record(&before.record.id)? {
                        card.record = record;
                    }
                    let card = Arc::new(card);
                    self.cards.keep(card.clone());
                    self.live.tell(Changed { number: card.number(), version, by: by.to_string(), what });
                    return Ok(card);
                }
                // Somebody else came first, here or at another branch: judged again with what came in between.
                Appended::Kept { .. } | Appended::Conflict { .. } => {}
            }
        }
        Err(Failure::Busy)
    }

    /// Opens a job with its enquiry.
    pub(crate) fn open_job(
        &self,
        customer: &str,
        bike: Option<&str>,
        by: &Person,
        enquiry: Tap,
    ) -> Result<Arc<JobCard>, Failure> {
        let Event::Enquired { name, .. } = &enquiry.event else {
            return Err(Failure::Refused(vec![shop::Refusal::NotEnquired]));
        };
        let name = name.clone();
        let mut job = shop::Job::default();
        let plan = self.plan(&job.state().refit);
        let judged_by = shop::JudgedBy { plan: &plan, agreed: None, book: &self.workshop.book };
        let entry = Entry { key: enquiry.key, at: enquiry.at, by: by.clone(), event: enquiry.event };
        job.propose(entry.clone(), judged_by).map_err(Failure::Refused)?;
        let new = NewJob {
            branch: self.branch.clone(),
            name,
            customer: customer.to_owned(),
            bike: bike.map(str::to_owned),
        };
        let standing = store::Standing {
            stage: shop::Stage::Enquiry,
            held: "the bike is not here".to_owned(),
            promised_day: None,
        };
        let record = self.store.open_job(&new, &[entry], &standing, enquiry.at)?;
        self.card(&record.number())
    }
}

/// Whether an event is judged with a plan: what only writes something down is not, so a walk round the bike that comes
/// in one piece is planned once.
fn asks_plan(event: &Event) -> bool {
    !matches!(
        event,
        Event::Received { .. }
            | Event::WishSet(_)
            | Event::RiderSet(_)
            | Event::RideSet(_)
            | Event::CircumstancesSet(_)
            | Event::Measured { .. }
            | Event::Chosen(_)
            | Event::Dropped(_)
            | Event::HandsRecorded { .. }
            | Event::Promised { .. }
            | Event::Declined { .. }
            | Event::Noted { .. }
    )
}

/// What an event puts something into: two people who fill the same place want to know of each other.
#[derive(PartialEq)]
enum Filled<'a> {
    Value(&'static str, bool, catalog::Dimension),
    Place(&'static str),
    Word(&'a str),
}

fn filled(event: &Event) -> Option<Filled<'_>> {
    Some(match event {
        Event::Measured { slot, origin, dimension, .. } => {
            Filled::Value(slot.key(), *origin == fit::Origin::Found, *dimension)
        }
        Event::Chosen(part) => Filled::Place(part.slot().key()),
        Event::Dropped(slot) => Filled::Place(slot.key()),
        Event::Received { .. }
        | Event::HandsRecorded { .. }
        | Event::WishSet(_)
        | Event::RiderSet(_)
        | Event::RideSet(_)
        | Event::CircumstancesSet(_)
        | Event::Promised { .. } => Filled::Word(event.word()),
        _ => return None,
    })
}

/// Refuses taps whose place somebody else has filled with something else since the page was made.
fn not_meanwhile(card: &JobCard, by: &Person, taps: &[Tap], seen: usize) -> Result<(), Failure> {
    let since = card.job.entries().get(seen..).unwrap_or_default();
    for tap in taps {
        let Some(place) = filled(&tap.event) else { continue };
        let other = since.iter().rev().find(|entry| {
            entry.by != *by
                && entry.key != tap.key
                && entry.event != tap.event
                && filled(&entry.event).as_ref() == Some(&place)
        });
        if let Some(other) = other {
            return Err(Failure::Meanwhile(Box::new(other.clone())));
        }
    }
    Ok(())
}
