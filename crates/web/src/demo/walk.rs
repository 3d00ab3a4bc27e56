//! Walks a job as far as is wanted, tap by tap, with the people who would do it.

use super::person;
use crate::act::Tap;
use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use crate::pages::job::estimate::told_of;
use document::LaidWork;
use fit::{Origin, Refit};
use quantity::Torque;
use shop::job::gate::{gating, stand_steps};
use shop::job::{BlindPoint, Channel, Look, Parking, PartCheck, PauseReason, RideKind};
use shop::{Answer, Closing, Event, Fastener, FastenerId, Stage, StepId, TorqueRange, shown};
use std::sync::Arc;

/// A job on its way.
pub(crate) struct Walk<'a> {
    house: &'a House,
    card: Arc<JobCard>,
}

const COUNTER: &str = "Juniper";
const MANAGER: &str = "Rowan";
const FIRST: &str = "Hazel";
const SECOND: &str = "Linden";

/// Where hands and saddle of the invented bikes are, millimetres.
const HOOD_FLOOR_MM: f64 = 968.0;
const SADDLE_MM: f64 = 735.0;

impl<'a> Walk<'a> {
    /// Opens a job.
    pub(crate) fn open(
        house: &'a House,
        customer: &str,
        bike: &str,
        enquiry: Event,
    ) -> Result<Self, Failure> {
        let card = house.open_job(customer, Some(bike), &person(COUNTER)?, Tap::now(enquiry))?;
        Ok(Self { house, card })
    }

    fn tap(&mut self, by: &str, event: Event) -> Result<(), Failure> {
        self.taps(by, vec![event])
    }

    fn taps(&mut self, by: &str, events: Vec<Event>) -> Result<(), Failure> {
        let taps: Vec<Tap> = events.into_iter().map(Tap::now).collect();
        self.card = self.house.act(&self.card.number(), &person(by)?, &taps, None)?;
        Ok(())
    }

    /// As far as this stage.
    pub(crate) fn to(mut self, stage: Stage, refit: &Refit) -> Result<(), Failure> {
        self.intake(refit)?;
        if stage == Stage::Intake {
            return Ok(());
        }
        self.estimate()?;
        if stage == Stage::Estimate {
            return Ok(());
        }
        self.agree()?;
        self.order(stage == Stage::WaitingForParts)?;
        if matches!(stage, Stage::WaitingForParts | Stage::Agreed) {
            return Ok(());
        }
        self.tap(FIRST, Event::Started)?;
        if matches!(stage, Stage::InWork | Stage::Paused) {
            self.work(Some(14))?;
            if stage == Stage::Paused {
                let words =
                    "Hanger is straight, bracket is in and greased. Both brakes are off. Next: the crank."
                        .to_owned();
                let (reason, parking) = (PauseReason::OtherJob, Parking::StrippedAndBagged);
                self.tap(FIRST, Event::Paused { reason, parking, words })?;
            }
            return Ok(());
        }
        self.work(None)?;
        self.tighten()?;
        self.look(FIRST, Look::First)?;
        self.tap(FIRST, Event::Rode { ride: RideKind::First, instead: None })?;
        self.work(None)?;
        self.tighten()?;
        if stage == Stage::Checks {
            return Ok(());
        }
        self.witness()?;
        self.look(SECOND, Look::Second)?;
        self.tap(SECOND, Event::SecondChecked)?;
        self.tap(SECOND, Event::Rode { ride: RideKind::Second, instead: None })?;
        if stage == Stage::Ready {
            return Ok(());
        }
        let name = self.card.state().customer.clone().unwrap_or_default();
        self.tap(COUNTER, Event::Collected { name })?;
        if stage == Stage::FollowedUp {
            let words = "Shifts well. Hands as before.".to_owned();
            self.tap(COUNTER, Event::FollowedUp { clicks: Some(2), words })?;
        }
        Ok(())
    }

    /// Measured, and sent home.
    pub(crate) fn home(mut self, refit: &Refit, words: &str) -> Result<(), Failure> {
        self.intake(refit)?;
        self.tap(MANAGER, Event::SentHome { words: words.to_owned() })
    }

    fn intake(&mut self, refit: &Refit) -> Result<(), Failure> {
        let hook = self.card.record.serial.to_string();
        self.tap(COUNTER, Event::Received { hook })?;
        let mut wish = refit.wish.clone();
        wish.words = self.card.state().refit.wish.words.clone();
        // The ceilings of these bikes were named for other prices.
        wish.ceiling = None;
        let mut events = vec![Event::WishSet(Box::new(wish)), Event::RiderSet(Box::new(refit.rider.clone()))];
        events.extend(refit.choice.iter().map(|part| Event::Chosen(Box::new(part))));
        self.taps(COUNTER, events)?;
        let mut measured = Vec::new();
        for part in refit.bike.iter() {
            let slot = part.slot();
            for field in slot.fields() {
                let dimension = field.dimension;
                if let Some(reading) = part.get(dimension).filter(|reading| reading.is_answered()) {
                    measured.push(Event::Measured { slot, origin: Origin::Found, dimension, reading });
                }
            }
        }
        self.taps(FIRST, measured)?;
        let words = format!(
            "nose to hood 742 left, 742 right; hood to floor {HOOD_FLOOR_MM:.0}, {HOOD_FLOOR_MM:.0}; saddle {SADDLE_MM:.0}"
        );
        self.tap(FIRST, Event::HandsRecorded { words })
    }

    fn estimate(&mut self) -> Result<(), Failure> {
        let (event, day) = {
            let told = told_of(self.house, &self.card)?;
            let Answer::Estimate(estimate) = &told.answer else {
                let why = format!("{} has no estimate", self.card.record.name);
                return Err(Failure::Fault { what: "a job of the invented shop", why });
            };
            let event = Event::Estimated {
                total: shown(&estimate.totals, estimate.shown),
                ceiling: Some(estimate.ceiling.amount),
                scope: self.card.record.name.clone(),
            };
            (event, told.promise.as_ref().ok().map(|promise| clock::day_of(promise.promised)))
        };
        self.tap(MANAGER, event)?;
        match day {
            Some(day) => self.tap(MANAGER, Event::Promised { day, words: "with the estimate".to_owned() }),
            None => Ok(()),
        }
    }

    fn agree(&mut self) -> Result<(), Failure> {
        let name = self.card.state().customer.clone().unwrap_or_default();
        let words = "Yes, do it.".to_owned();
        self.tap(COUNTER, Event::Approved { version: 1, name, channel: Channel::Counter, words })
    }

    /// Orders everything; all but the last two parts come where some are awaited.
    fn order(&mut self, awaited: bool) -> Result<(), Failure> {
        let slots = gating(&self.card.plan);
        let today = clock::day_of(clock::today());
        let here = slots.len() - if awaited { 2.min(slots.len()) } else { 0 };
        let due = |at: usize| Some(today + 2 + at as i64);
        let ordered =
            slots.iter().enumerate().map(|(at, slot)| Event::Ordered { slot: *slot, due_day: due(at) });
        self.taps(COUNTER, ordered.collect())?;
        let arrived = slots.iter().take(here).map(|slot| Event::Arrived { slot: *slot });
        self.taps(COUNTER, arrived.collect())?;
        let checked =
            slots.iter().take(here).map(|slot| Event::PartChecked { slot: *slot, check: PartCheck::Fits });
        self.taps(FIRST, checked.collect())
    }

    /// Steps that may be done now, in the order of work, at most so many.
    fn work(&mut self, most: Option<usize>) -> Result<(), Failure> {
        let book = &self.house.workshop.book;
        let state = self.card.state();
        let laid = LaidWork::of(&self.card.plan, book, state.circumstances).map_err(|why| {
            Failure::Fault { what: "the invented shop has no order of work", why: why.to_string() }
        })?;
        let at_stand = stand_steps(self.card.judged_by(book));
        let ridden = state.record.is_ridden();
        let ride = StepId("first-ride");
        let events: Vec<Event> = laid
            .order
            .iter()
            .map(|placed| placed.step)
            .filter(|step| at_stand.contains(&step.id) && !state.done.contains_key(&step.id))
            .filter(|step| ridden || !book.comes_before(ride, step.id))
            .take(most.unwrap_or(usize::MAX))
            .map(Event::done)
            .collect();
        if events.is_empty() { Ok(()) } else { self.taps(FIRST, events) }
    }

    fn tighten(&mut self) -> Result<(), Failure> {
        let open: Vec<FastenerId> = self
            .card
            .state()
            .record
            .fasteners()
            .iter()
            .filter(|(_, tightness)| !matches!(tightness.words(), "at value" | "at value and witnessed"))
            .map(|(fastener, _)| *fastener)
            .collect();
        let mut events = Vec::new();
        for id in open {
            let Some(fastener) = Fastener::find(id) else { continue };
            let nm = Torque::newton_metres;
            let event = match (fastener.closing, fastener.range()) {
                (Closing::ByHand, _) => Event::ClosedByHand { fastener: id },
                (Closing::Range(least, most), Some(wanted)) => Event::Tightened {
                    fastener: id,
                    torque: nm((least + most) / 2.0),
                    wanted,
                    wrench: "wrench 3".to_owned(),
                },
                _ => Event::Tightened {
                    fastener: id,
                    torque: nm(5.5),
                    wanted: TorqueRange { least: nm(5.0), most: nm(6.0) },
                    wrench: "wrench 3".to_owned(),
                },
            };
            events.push(event);
        }
        if events.is_empty() { Ok(()) } else { self.taps(FIRST, events) }
    }

    fn witness(&mut self) -> Result<(), Failure> {
        let all = self.card.state().record.fasteners().keys().copied();
        let events = all.map(|fastener| Event::Witnessed { fastener }).collect();
        self.taps(SECOND, events)
    }

    /// The pitches that the plan wants.
    fn chain_count(&self) -> f64 {
        // Without a count in the plan the walk has no chain to count either.
        self.card.plan.geometry.drivetrain.value().map_or(108.0, |cage| f64::from(cage.count))
    }

    fn look(&mut self, by: &str, look: Look) -> Result<(), Failure> {
        let mut events = Vec::new();
        for point in BlindPoint::of(&self.card.plan) {
            let value = match point {
                BlindPoint::ChainPitches => self.chain_count(),
                BlindPoint::PulleyGap => 6.0,
                BlindPoint::PadGapFront | BlindPoint::PadGapRear => 2.5,
                BlindPoint::HoodLeft | BlindPoint::HoodRight => HOOD_FLOOR_MM,
                BlindPoint::SaddleHeight => SADDLE_MM,
                BlindPoint::ClickWindow => 5.0,
            };
            events.push(Event::Looked { point, look, value });
        }
        if events.is_empty() { Ok(()) } else { self.taps(by, events) }
    }
}
