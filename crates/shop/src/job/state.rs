//! What follows from the entries of a job: its state, a fold over them.

use super::blind::{BlindPoint, Reading as LookReading};
use super::event::{Channel, Event, Parking, PartCheck, PauseReason, RideKind};
use super::gate::{approval, blocks_release, gating};
use super::{Entry, JudgedBy, Moment};
use crate::change_order::{AskedChange, AskedChoice};
use crate::check::{Person, Record};
use crate::labour::Circumstances;
use crate::operation::OperationId;
use crate::step::StepId;
use catalog::Slot;
use fit::{Origin, Refit};
use jiff::civil::date;
use quantity::Money;
use std::collections::{BTreeMap, BTreeSet};

/// Where a job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Somebody asked.
    Enquiry,
    /// The bike is here and is being measured.
    Intake,
    /// An estimate is with the customer.
    Estimate,
    /// The customer agreed and every part is here and checked.
    Agreed,
    /// The customer agreed and parts are missing.
    WaitingForParts,
    /// On the stand.
    InWork,
    /// Left in a named safe state.
    Paused,
    /// Ridden once, before the second person.
    Checks,
    /// It may be collected.
    Ready,
    /// With the customer.
    Collected,
    /// The follow-up was done.
    FollowedUp,
    /// Sent home without the refit.
    SentHome,
}

impl Stage {
    /// All stages, in the order of the walk.
    pub const ALL: [Self; 12] = [
        Self::Enquiry,
        Self::Intake,
        Self::Estimate,
        Self::Agreed,
        Self::WaitingForParts,
        Self::InWork,
        Self::Paused,
        Self::Checks,
        Self::Ready,
        Self::Collected,
        Self::FollowedUp,
        Self::SentHome,
    ];

    /// The key in files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Enquiry => "enquiry",
            Self::Intake => "intake",
            Self::Estimate => "estimate",
            Self::Agreed => "agreed",
            Self::WaitingForParts => "waiting-for-parts",
            Self::InWork => "in-work",
            Self::Paused => "paused",
            Self::Checks => "checks",
            Self::Ready => "ready",
            Self::Collected => "collected",
            Self::FollowedUp => "followed-up",
            Self::SentHome => "sent-home",
        }
    }

    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::WaitingForParts => "waiting for parts",
            Self::InWork => "in work",
            Self::FollowedUp => "followed up",
            Self::SentHome => "sent home",
            other => other.key(),
        }
    }
}

/// A version of the estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct EstimateVersion {
    /// Its number, from 1.
    pub version: u32,
    /// What the customer would pay.
    pub total: Money,
    /// What is not passed without another word.
    pub ceiling: Option<Money>,
    /// The first line of what it covers.
    pub scope: String,
    /// The bike and the parts that it was made from.
    pub refit: Refit,
    /// The place of the question whose answer made this version of the one before; none for an estimate.
    pub change: Option<usize>,
}

/// The customer's word.
#[derive(Clone, Debug, PartialEq)]
pub struct Approval {
    /// The version that was agreed to.
    pub version: u32,
    /// Who agreed.
    pub name: String,
    /// By which way.
    pub channel: Channel,
    /// The words.
    pub words: String,
    /// When.
    pub at: Moment,
    /// The bike and the parts that were agreed to.
    pub refit: Refit,
}

/// How far a part is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartState {
    /// The day it is due, days since 1970-01-01.
    pub due_day: Option<i64>,
    /// Whether it was ordered.
    pub ordered: bool,
    /// Whether it is here.
    pub arrived: bool,
    /// What came of holding it against the bike.
    pub check: Option<PartCheck>,
}

/// A problem that nobody has settled yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The step at which it was found.
    pub step: Option<StepId>,
    /// What was found.
    pub words: String,
    /// Whether the work stops.
    pub stops: bool,
}

/// A question to the customer about something that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// The place of the problem in the list of entries.
    pub problem: usize,
    /// What was asked.
    pub change: AskedChange,
    /// What the customer chose.
    pub answer: Option<ChangeAnswer>,
}

impl Question {
    /// The choice that was taken.
    pub fn chosen(&self) -> Option<&AskedChoice> {
        self.change.choices.get(self.answer.as_ref()?.choice)
    }
}

/// What the customer chose.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangeAnswer {
    /// Which choice, from 0.
    pub choice: usize,
    /// Who chose.
    pub name: String,
    /// By which way.
    pub channel: Channel,
    /// The words.
    pub words: String,
    /// When.
    pub at: Moment,
}

/// Why and how a job is left.
#[derive(Clone, Debug, PartialEq)]
pub struct Pause {
    /// Why.
    pub reason: PauseReason,
    /// In which state.
    pub parking: Parking,
    /// What the next hand has to know.
    pub words: String,
}

/// The state of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// The customer.
    pub customer: Option<String>,
    /// The hook that the bike hangs on.
    pub hook: Option<String>,
    /// The bike as found, the wish, the rider and the parts chosen.
    pub refit: Refit,
    /// What the bike or the customer adds to the work.
    pub circumstances: Circumstances,
    /// Where the hands were.
    pub hands: Option<String>,
    /// Versions of the estimate, oldest first.
    pub estimates: Vec<EstimateVersion>,
    /// Days told to the customer, oldest first, days since 1970-01-01.
    pub promised: Vec<i64>,
    /// The customer's word, the last one.
    pub approval: Option<Approval>,
    /// What was declined.
    pub declined: Vec<String>,
    /// How far each part is.
    pub parts: BTreeMap<Slot, PartState>,
    /// Whether the bike is being taken apart.
    pub started: bool,
    /// Steps done, with who and when.
    pub done: BTreeMap<StepId, (Person, Moment)>,
    /// Hands, fasteners, rides and the second check.
    pub record: Record,
    /// Rides that could not be ridden, with what was done instead.
    pub not_ridden: Vec<String>,
    /// Looks at the points of the second check, first and second.
    pub looks: BTreeMap<BlindPoint, [Option<LookReading>; 2]>,
    /// Problems that nobody has settled, by their place in the list.
    pub problems: BTreeMap<usize, Problem>,
    /// Questions to the customer about what was found, by their place in the list.
    pub questions: BTreeMap<usize, Question>,
    /// Operations that the customer added while the work went on.
    pub added: Vec<OperationId>,
    /// Set while the job is left.
    pub paused: Option<Pause>,
    /// Who signed for the bike.
    pub collected_by: Option<String>,
    /// Whether the follow-up was done.
    pub followed_up: bool,
    /// Why it was sent home.
    pub sent_home: Option<String>,
    /// When something last happened.
    pub last: Option<Moment>,
    /// How many entries were taken.
    taken: usize,
}

impl State {
    /// The state of a list of entries. A corrected entry counts for nothing, but for the hands it shows.
    pub fn of(entries: &[Entry]) -> Self {
        let corrected: BTreeSet<usize> = entries
            .iter()
            .filter_map(|entry| match entry.event {
                Event::Corrected { entry, .. } => Some(entry),
                _ => None,
            })
            .collect();
        let mut state = Self::default();
        for (at, entry) in entries.iter().enumerate() {
            if corrected.contains(&at) {
                state.take_corrected(entry);
            } else {
                state.take(entry);
            }
        }
        state
    }

    /// Where the job stands. Whether it is ready depends on what its plan touches.
    pub fn stage(&self, desk: JudgedBy<'_>) -> Stage {
        if self.sent_home.is_some() {
            Stage::SentHome
        } else if self.followed_up {
            Stage::FollowedUp
        } else if self.collected_by.is_some() {
            Stage::Collected
        } else if self.started {
            if self.paused.is_some() {
                Stage::Paused
            } else if blocks_release(self, desk).is_empty() {
                Stage::Ready
            } else if self.record.is_ridden() {
                Stage::Checks
            } else {
                Stage::InWork
            }
        } else if approval(self, desk).is_none() {
            let here = |slot: &Slot| {
                self.parts.get(slot).is_some_and(|part| part.arrived && part.check == Some(PartCheck::Fits))
            };
            if gating(desk.plan).iter().all(here) { Stage::Agreed } else { Stage::WaitingForParts }
        } else if !self.estimates.is_empty() {
            Stage::Estimate
        } else if self.hook.is_some() {
            Stage::Intake
        } else {
            Stage::Enquiry
        }
    }

    /// Whether both looks at a point are there, by two people, and agree.
    pub fn agrees(&self, point: BlindPoint) -> bool {
        match self.looks.get(&point) {
            Some([Some(first), Some(second)]) => {
                first.by != second.by && (first.value - second.value).abs() <= point.may_differ_by() + 1e-9
            }
            _ => false,
        }
    }

    /// Takes an entry that was accepted.
    ///
    /// A record of hands and torques that refuses it (because an earlier entry was corrected) leaves the state as it
    /// is: what is not proved is not so.
    pub(super) fn take(&mut self, entry: &Entry) {
        let at = self.taken;
        self.taken += 1;
        self.last = Some(entry.at);
        let by = &entry.by;
        match &entry.event {
            Event::Enquired { name, customer, words } => {
                self.customer = Some(customer.clone());
                self.refit.name = name.clone();
                self.refit.wish.words = Some(words.clone());
            }
            Event::Received { hook } => self.hook = Some(hook.clone()),
            Event::WishSet(wish) => self.refit.wish = (**wish).clone(),
            Event::RiderSet(rider) => self.refit.rider = (**rider).clone(),
            Event::RideSet(ride) => self.refit.ride = Some((**ride).clone()),
            Event::CircumstancesSet(circumstances) => self.circumstances = *circumstances,
            Event::Promised { day, .. } => self.promised.push(*day),
            Event::Measured { slot, origin, dimension, reading } => {
                let parts = match origin {
                    Origin::Found => &mut self.refit.bike,
                    Origin::Chosen => &mut self.refit.choice,
                };
                let mut part = parts.get(*slot).unwrap_or_else(|| slot.empty());
                part.set(*dimension, reading.clone());
                parts.put(part);
            }
            Event::Chosen(part) => {
                self.parts.remove(&part.slot());
                self.refit.choice.put((**part).clone());
            }
            Event::Dropped(slot) => {
                self.parts.remove(slot);
                self.refit.choice.clear(*slot);
            }
            Event::HandsRecorded { words } => self.hands = Some(words.clone()),
            Event::Estimated { total, ceiling, scope } => {
                let version = self.estimates.last().map_or(1, |last| last.version + 1);
                self.estimates.push(EstimateVersion {
                    version,
                    total: *total,
                    ceiling: *ceiling,
                    scope: scope.clone(),
                    refit: self.refit.clone(),
                    change: None,
                });
            }
            Event::Approved { version, name, channel, words } => {
                let agreed = self.estimates.iter().find(|estimate| estimate.version == *version);
                self.approval = agreed.map(|estimate| Approval {
                    version: *version,
                    name: name.clone(),
                    channel: *channel,
                    words: words.clone(),
                    at: entry.at,
                    refit: estimate.refit.clone(),
                });
            }
            Event::Declined { what, .. } => self.declined.push(what.clone()),
            Event::Ordered { slot, due_day } => {
                let part = self.parts.entry(*slot).or_default();
                (part.ordered, part.due_day) = (true, *due_day);
            }
            Event::Arrived { slot } => {
                let part = self.parts.entry(*slot).or_default();
                (part.arrived, part.check) = (true, None);
            }
            Event::PartChecked { slot, check } => {
                self.parts.entry(*slot).or_default().check = Some(check.clone());
            }
            Event::Started => self.started = true,
            Event::Done { step, work } => {
                self.done.insert(*step, (by.clone(), entry.at));
                self.record = self.record.work_on(*step, work, by);
            }
            Event::Tightened { fastener, torque, wanted, .. } => {
                self.keep(self.record.tighten(*fastener, *torque, *wanted, by));
            }
            Event::ClosedByHand { fastener } => self.keep(self.record.close_by_hand(*fastener, by)),
            Event::Witnessed { fastener } => self.keep(self.record.witness(*fastener, by)),
            Event::FoundLoose { fastener } => self.record = self.record.found_loose(*fastener),
            Event::Problem { step, words, stops } => {
                let problem = Problem { step: *step, words: words.clone(), stops: *stops };
                self.problems.insert(at, problem);
            }
            Event::Settled { problem, .. } => {
                self.problems.remove(problem);
            }
            Event::ChangeAsked { problem, change } => {
                let question = Question { problem: *problem, change: (**change).clone(), answer: None };
                self.questions.insert(at, question);
            }
            Event::ChangeAnswered { asked, choice, name, channel, words } => {
                let (name, words) = (name.clone(), words.clone());
                let answer = ChangeAnswer { choice: *choice, name, channel: *channel, words, at: entry.at };
                self.take_answer(*asked, answer);
            }
            Event::Paused { reason, parking, words } => {
                self.paused = Some(Pause { reason: *reason, parking: *parking, words: words.clone() });
            }
            Event::Resumed => self.paused = None,
            Event::Looked { point, look, value } => {
                let reading = LookReading { value: *value, by: by.clone() };
                self.looks.entry(*point).or_default()[*look as usize] = Some(reading);
            }
            Event::Rode { ride, instead } => {
                self.not_ridden.extend(instead.clone());
                match ride {
                    RideKind::First => self.keep(self.record.ride_first(by)),
                    RideKind::Second => self.keep(self.record.ride_second(by)),
                }
            }
            Event::SecondChecked => self.keep(self.record.check_second(by)),
            Event::Collected { name } => self.collected_by = Some(name.clone()),
            Event::FollowedUp { .. } => self.followed_up = true,
            Event::SentHome { words } => self.sent_home = Some(words.clone()),
            Event::Noted { .. } | Event::Corrected { .. } => {}
        }
    }

    /// The customer's choice: it makes a version of the agreed one, adds its work, and settles the problem, or says what
    /// the problem waits for. An answer to a question that was withdrawn changes nothing.
    fn take_answer(&mut self, asked: usize, answer: ChangeAnswer) {
        let Some(question) = self.questions.get_mut(&asked).filter(|question| question.answer.is_none())
        else {
            return;
        };
        let Some(choice) = question.change.choices.get(answer.choice).cloned() else { return };
        question.answer = Some(answer.clone());
        let (problem, declined) = (question.problem, question.change.declined.clone());
        if choice.is_nothing() {
            self.declined.extend(declined);
            self.problems.remove(&problem);
            return;
        }
        self.added.extend(&choice.operations);
        if let Some(day) = choice.day {
            self.promised.push(i64::from((day - date(1970, 1, 1)).get_days()));
        }
        match (self.problems.get_mut(&problem), choice.awaited()) {
            (Some(open), parts) if !parts.is_empty() => {
                // The part has to be here and held against the bike before anything is done about it.
                open.words = format!("{}, as agreed; not here yet: {}", choice.words, parts.join(", "));
                open.stops = true;
            }
            _ => drop(self.problems.remove(&problem)),
        }
        let (Some(last), Some(approval)) = (self.estimates.last(), self.approval.as_mut()) else { return };
        let with = |sum: Money| sum.plus(choice.price).unwrap_or(sum);
        let version = EstimateVersion {
            version: last.version + 1,
            total: with(last.total),
            ceiling: last.ceiling.map(with),
            scope: format!("version {}, and: {}", last.version, choice.words),
            // What the bike and its parts were when the customer agreed: a finding since then still has to be agreed to.
            refit: approval.refit.clone(),
            change: Some(asked),
        };
        *approval = Approval {
            version: version.version,
            name: answer.name,
            channel: answer.channel,
            words: answer.words,
            at: answer.at,
            refit: version.refit.clone(),
        };
        self.estimates.push(version);
    }

    /// What the customer's choices come to beside the estimate, in a currency.
    pub fn changes_sum(&self, currency: Money) -> Money {
        let chosen = self.questions.values().filter_map(Question::chosen);
        chosen.fold(currency.with_minor(0), |sum, choice| sum.plus(choice.price).unwrap_or(sum))
    }

    /// What is left of an entry that was wrong: its place in the count, and the hands that it shows.
    fn take_corrected(&mut self, entry: &Entry) {
        self.taken += 1;
        self.last = Some(entry.at);
        match &entry.event {
            Event::Done { step, .. } => self.record = self.record.touch(*step, &entry.by),
            Event::Tightened { fastener, .. } | Event::ClosedByHand { fastener } => {
                self.record = self.record.held(*fastener, &entry.by);
            }
            _ => {}
        }
    }

    fn keep<E>(&mut self, record: Result<Record, E>) {
        if let Ok(record) = record {
            self.record = record;
        }
    }
}
