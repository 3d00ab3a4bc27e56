//! Whether an entry may come next, and if not, every reason against it. Begin with [`State::may`].

use super::blind::{BlindPoint, Look};
use super::event::{Channel, Event, PartCheck, RideKind};
use super::gate::{Block, ELSEWHERE, approval, blocks_release, blocks_start, gating, refusals, stand_steps};
use super::refusal::Refusal;
use super::state::{Question, State};
use super::{Entry, JudgedBy};
use crate::change_order::{AskedChange, AskedChoice, Call};
use crate::check::{Person, Record};
use crate::fastener::FastenerId;
use crate::step::{Block as Room, StepId};
use fit::Verdict;

impl State {
    /// Whether an entry may come next.
    ///
    /// # Errors
    /// Every reason against it.
    pub(super) fn may(
        &self,
        entry: &Entry,
        entries: &[Entry],
        desk: JudgedBy<'_>,
    ) -> Result<(), Vec<Refusal>> {
        self.is_open_for(&entry.event)?;
        says_something(&entry.event)?;
        let by = &entry.by;
        let one = |refusal: Refusal| Err(vec![refusal]);
        match &entry.event {
            Event::Enquired { .. }
            | Event::Received { .. }
            | Event::WishSet(_)
            | Event::RiderSet(_)
            | Event::RideSet(_)
            | Event::CircumstancesSet(_)
            | Event::Promised { .. }
            | Event::Noted { .. }
            | Event::Chosen(_)
            | Event::Dropped(_)
            | Event::HandsRecorded { .. }
            | Event::Declined { .. }
            | Event::SentHome { .. }
            | Event::FollowedUp { .. } => Ok(()),
            Event::Measured { slot, dimension, .. } => {
                let has = slot.fields().iter().any(|field| field.dimension == *dimension);
                if has { Ok(()) } else { one(Refusal::NoDimension { slot: *slot, dimension: *dimension }) }
            }
            Event::Estimated { .. } => self.may_estimate(desk),
            Event::Approved { channel: Channel::Beforehand, .. } => one(Refusal::NotBeforehand),
            Event::Approved { version, .. } => self.may_approve(*version, desk),
            Event::Ordered { slot, .. } | Event::Arrived { slot } | Event::PartChecked { slot, .. } => {
                if !gating(desk.plan).contains(slot) {
                    return one(Refusal::NotOnTheList(*slot));
                }
                let arrived = self.parts.get(slot).is_some_and(|part| part.arrived);
                if matches!(entry.event, Event::PartChecked { .. }) && !arrived {
                    return one(Refusal::NotArrived(*slot));
                }
                Ok(())
            }
            Event::Started => {
                if self.started {
                    return one(Refusal::AlreadyStarted);
                }
                let blocks = blocks_start(self, desk);
                if blocks.is_empty() { Ok(()) } else { one(Refusal::Closed(blocks)) }
            }
            Event::Done { step, .. } => self.may_do(*step, desk),
            Event::Tightened { fastener, torque, wanted, .. } => {
                self.is_at_work(desk)?;
                self.is_of_this_job(*fastener)?;
                check(self.record.tighten(*fastener, *torque, *wanted, by))
            }
            Event::ClosedByHand { fastener } => {
                self.is_at_work(desk)?;
                self.is_of_this_job(*fastener)?;
                check(self.record.close_by_hand(*fastener, by))
            }
            Event::Witnessed { fastener } => {
                self.is_started()?;
                check(self.record.witness(*fastener, by))
            }
            Event::FoundLoose { fastener } => {
                self.is_started()?;
                self.is_of_this_job(*fastener)
            }
            Event::Problem { .. } => Ok(()),
            Event::Settled { problem, .. } => {
                if self.problems.contains_key(problem) {
                    Ok(())
                } else {
                    one(Refusal::NoProblem)
                }
            }
            Event::ChangeAsked { problem, change } => self.may_ask(*problem, change),
            Event::ChangeAnswered { asked, choice, channel, .. } => {
                self.may_answer(*asked, *choice, *channel, desk)
            }
            Event::Paused { .. } => {
                self.is_started()?;
                if self.paused.is_some() { one(Refusal::IsPaused) } else { Ok(()) }
            }
            Event::Resumed => {
                if self.paused.is_none() {
                    one(Refusal::NotPaused)
                } else {
                    Ok(())
                }
            }
            Event::Looked { point, look, value } => self.may_look(*point, *look, *value, by),
            Event::Rode { ride: RideKind::First, .. } => {
                self.is_at_work(desk)?;
                self.steps_before(StepId("first-ride"), desk)?;
                checks(self.record.ride_first(by))
            }
            Event::SecondChecked => {
                self.is_at_work(desk)?;
                self.steps_before(StepId("second-check"), desk)?;
                checks(self.record.check_second(by))
            }
            Event::Rode { ride: RideKind::Second, .. } => {
                self.is_at_work(desk)?;
                check(self.record.ride_second(by))
            }
            Event::Collected { .. } => {
                let held = blocks_release(self, desk);
                if held.is_empty() { Ok(()) } else { Err(held) }
            }
            Event::Corrected { entry, .. } => {
                let found = entries.get(*entry);
                let twice = entries
                    .iter()
                    .any(|other| matches!(other.event, Event::Corrected { entry: at, .. } if at == *entry));
                match found {
                    Some(found) if found.event.can_be_corrected() && !twice => Ok(()),
                    found => one(Refusal::NotCorrectable {
                        entry: *entry,
                        word: found.map(|entry| entry.event.word()),
                    }),
                }
            }
        }
    }

    fn is_open_for(&self, event: &Event) -> Result<(), Vec<Refusal>> {
        let enquired = self.customer.is_some();
        let enquiry = matches!(event, Event::Enquired { .. });
        match (enquired, enquiry) {
            (false, false) => return Err(vec![Refusal::NotEnquired]),
            (true, true) => return Err(vec![Refusal::AlreadyEnquired]),
            _ => {}
        }
        if matches!(event, Event::Noted { .. }) {
            return Ok(());
        }
        let follow_up = matches!(event, Event::FollowedUp { .. });
        if self.sent_home.is_some() {
            return Err(vec![Refusal::Over { how: "sent home" }]);
        }
        if self.collected_by.is_some() && !follow_up {
            return Err(vec![Refusal::Over { how: "collected" }]);
        }
        if follow_up && self.collected_by.is_none() {
            return Err(vec![Refusal::NotCollected]);
        }
        Ok(())
    }

    fn may_estimate(&self, desk: JudgedBy<'_>) -> Result<(), Vec<Refusal>> {
        let rules: Vec<&'static str> = desk
            .plan
            .findings
            .iter()
            .filter(|finding| finding.verdict >= Verdict::Fails)
            .map(|finding| finding.rule.id)
            .collect();
        if rules.is_empty() { Ok(()) } else { Err(vec![Refusal::NotOffered { rules }]) }
    }

    fn may_approve(&self, version: u32, desk: JudgedBy<'_>) -> Result<(), Vec<Refusal>> {
        let current = self.estimates.last();
        match current {
            Some(current) if current.version == version => {
                if current.refit != self.refit {
                    return Err(vec![Refusal::Outdated { version }]);
                }
                // A refusal found after the estimate went out is not signed away.
                self.may_estimate(desk)
            }
            current => Err(vec![Refusal::OtherVersion { version, current: current.map(|c| c.version) }]),
        }
    }

    /// A change is asked for where something was agreed to: before that a new version of the estimate says it all.
    fn may_ask(&self, problem: usize, change: &AskedChange) -> Result<(), Vec<Refusal>> {
        if !self.problems.contains_key(&problem) {
            return Err(vec![Refusal::NoProblem]);
        }
        if self.approval.is_none() {
            return Err(vec![Refusal::NothingAgreed]);
        }
        let is_open = |question: &Question| question.problem == problem && question.answer.is_none();
        if self.questions.values().any(is_open) {
            return Err(vec![Refusal::AskedAlready]);
        }
        let is_whole = (2..=3).contains(&change.choices.len())
            && change.choices.iter().any(AskedChoice::is_nothing)
            && change.choices.iter().all(|choice| !choice.words.trim().is_empty());
        if is_whole { Ok(()) } else { Err(vec![Refusal::NoChoices]) }
    }

    fn may_answer(
        &self,
        asked: usize,
        choice: usize,
        channel: Channel,
        desk: JudgedBy<'_>,
    ) -> Result<(), Vec<Refusal>> {
        let open = self.questions.get(&asked).filter(|question| question.answer.is_none());
        let Some(question) = open else { return Err(vec![Refusal::NoQuestion]) };
        if question.change.choices.get(choice).is_none() {
            return Err(vec![Refusal::NoQuestion]);
        }
        if channel == Channel::Beforehand && question.change.call == Call::Wanted {
            return Err(vec![Refusal::NotBeforehand]);
        }
        if let Some(current) = self.estimates.last()
            && self.approval.as_ref().is_none_or(|approval| approval.version != current.version)
        {
            return Err(vec![Refusal::Closed(vec![Block::NotApproved(current.version)])]);
        }
        let refused: Vec<&'static str> = refusals(desk).collect();
        if refused.is_empty() { Ok(()) } else { Err(vec![Refusal::NotOffered { rules: refused }]) }
    }

    fn is_started(&self) -> Result<(), Vec<Refusal>> {
        if self.started { Ok(()) } else { Err(vec![Refusal::NotStarted]) }
    }

    /// Work goes on only while nothing stops it: not paused, the customer's word stands, no problem waits.
    fn is_at_work(&self, desk: JudgedBy<'_>) -> Result<(), Vec<Refusal>> {
        self.is_started()?;
        if self.paused.is_some() {
            return Err(vec![Refusal::IsPaused]);
        }
        let mut reasons: Vec<Refusal> = Vec::new();
        reasons.extend(approval(self, desk).map(|block| Refusal::Closed(vec![block])));
        let stops = self.problems.values().find(|problem| problem.stops);
        reasons.extend(stops.map(|problem| Refusal::Stopped { words: problem.words.clone() }));
        if reasons.is_empty() { Ok(()) } else { Err(reasons) }
    }

    fn is_of_this_job(&self, fastener: FastenerId) -> Result<(), Vec<Refusal>> {
        let touched = self.record.fasteners().contains_key(&fastener);
        if touched { Ok(()) } else { Err(vec![Refusal::NotTouched(fastener)]) }
    }

    fn may_do(&self, step: StepId, desk: JudgedBy<'_>) -> Result<(), Vec<Refusal>> {
        let Some(found) = desk.book.step(step) else { return Err(vec![Refusal::NotAStep(step)]) };
        if ELSEWHERE.contains(&step) {
            return Err(vec![Refusal::RecordedElsewhere(step)]);
        }
        if found.block == Room::Intake {
            return Ok(());
        }
        self.is_at_work(desk)?;
        if !stand_steps(self, desk).contains(&step) {
            return Err(vec![Refusal::NotAStep(step)]);
        }
        self.steps_before(step, desk)
    }

    /// Whether every step that has to come before is done.
    fn steps_before(&self, step: StepId, desk: JudgedBy<'_>) -> Result<(), Vec<Refusal>> {
        let mut reasons = Vec::new();
        for first in stand_steps(self, desk) {
            if first == step || self.done.contains_key(&first) || !desk.book.comes_before(first, step) {
                continue;
            }
            let links = desk.book.why_not_before(step, first).unwrap_or_default();
            let because = links.first().map_or("it has to be done first", |link| link.because);
            reasons.push(Refusal::Before { step, first, because });
        }
        // A ride or a check between two steps counts as one.
        let ridden = [(StepId("first-ride"), self.record.is_ridden())];
        for (first, is_done) in ridden {
            if first != step && !is_done && desk.book.comes_before(first, step) {
                reasons.push(Refusal::Before {
                    step,
                    first,
                    because: "the ride shows what has to be put right",
                });
            }
        }
        if reasons.is_empty() { Ok(()) } else { Err(reasons) }
    }

    fn may_look(&self, point: BlindPoint, look: Look, value: f64, by: &Person) -> Result<(), Vec<Refusal>> {
        self.is_started()?;
        let (least, most) = point.plausible();
        if !(least <= value && value <= most) {
            return Err(vec![Refusal::Implausible { point, value }]);
        }
        let other = |at: usize| self.looks.get(&point).and_then(|looks| looks[at].as_ref());
        if look == Look::Second {
            if let Some(touched) = self.record.touched_by(by) {
                return Err(vec![touched.into()]);
            }
            if other(0).is_some_and(|first| first.by == *by) {
                return Err(vec![Refusal::OwnLook { point, person: by.clone() }]);
            }
        } else if other(1).is_some_and(|second| second.by == *by) {
            return Err(vec![Refusal::OwnLook { point, person: by.clone() }]);
        }
        Ok(())
    }
}

fn check(record: Result<Record, crate::check::CheckError>) -> Result<(), Vec<Refusal>> {
    record.map(|_| ()).map_err(|error| vec![error.into()])
}

fn checks(record: Result<Record, Vec<crate::check::CheckError>>) -> Result<(), Vec<Refusal>> {
    record.map(|_| ()).map_err(|errors| errors.into_iter().map(Refusal::from).collect())
}

/// Texts that have to say something do.
fn says_something(event: &Event) -> Result<(), Vec<Refusal>> {
    let wanted: Vec<(&'static str, &str)> = match event {
        Event::Enquired { name, customer, words } => {
            vec![("the name of the job", name), ("the customer", customer), ("the wish", words)]
        }
        Event::Received { hook } => vec![("the hook", hook)],
        Event::HandsRecorded { words } => vec![("where the hands were", words)],
        Event::Approved { name, words, .. } => {
            vec![("who agreed", name), ("the words of the approval", words)]
        }
        Event::Declined { what, words } => vec![("what was declined", what), ("the words", words)],
        Event::PartChecked { check: PartCheck::Wrong { words }, .. } => vec![("what is wrong", words)],
        Event::Tightened { wrench, .. } => vec![("the wrench", wrench)],
        Event::Problem { words, .. } => vec![("what was found", words)],
        Event::Settled { words, .. } => vec![("how it was settled", words)],
        Event::ChangeAsked { change, .. } => vec![("what was found", &change.finding.words)],
        Event::ChangeAnswered { name, words, .. } => {
            vec![("who chose", name), ("the words of the choice", words)]
        }
        Event::Paused { words, .. } => vec![("what the next hand has to know", words)],
        Event::Rode { instead: Some(words), .. } => vec![("what was done instead of the ride", words)],
        Event::Collected { name } => vec![("who signed", name)],
        Event::FollowedUp { words, .. } => vec![("what was said and found", words)],
        Event::SentHome { words } => vec![("why it is sent home", words)],
        Event::Promised { words, .. } => vec![("how the day was told", words)],
        Event::Noted { words } => vec![("what is noted", words)],
        Event::Corrected { words, .. } => vec![("why it is corrected", words)],
        _ => Vec::new(),
    };
    let empty: Vec<Refusal> = wanted
        .into_iter()
        .filter(|(_, text)| text.trim().is_empty())
        .map(|(what, _)| Refusal::Empty { what })
        .collect();
    if empty.is_empty() { Ok(()) } else { Err(empty) }
}
