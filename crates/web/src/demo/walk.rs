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
use jiff::civil::Weekday;
use quantity::Torque;
use shop::job::gate::{gating, stand_steps};
use shop::job::{BlindPoint, Channel, Look, Parking, PartCheck, PauseReason, RideKind};
use shop::{Answer, Closing, Event, Fastener, FastenerId, Moment, Stage, StepId, TorqueRange, shown};
use std::sync::Arc;

/// When a job was opened, and since when it is where it is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Since {
    opened: Moment,
    here: Moment,
}

impl Since {
    /// So many hours ago each.
    pub(crate) fn hours((opened, here): (i64, i64)) -> Self {
        let ago = |hours: i64| Moment(clock::now().0 - hours * 3_600_000);
        Self { opened: ago(opened), here: ago(here) }
    }

    /// The moment of one of so many turns on the way, in the hours in which a shop is open.
    fn turn(self, turn: i64, turns: i64) -> Moment {
        let at = self.opened.0 + (self.here.0 - self.opened.0) * turn.min(turns) / turns.max(1);
        let open = clock::in_working_hours(Moment(at));
        Moment(open.0.min(clock::now().0))
    }
}

/// A job on its way.
pub(crate) struct Walk<'a> {
    house: &'a House,
    card: Arc<JobCard>,
    since: Since,
    /// How often it was turned to, and how often it will be.
    turn: (i64, i64),
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
        since: Since,
    ) -> Result<Self, Failure> {
        let tap = Tap { at: since.turn(0, 1), ..Tap::now(enquiry) };
        let card = house.open_job(customer, Some(bike), &person(COUNTER)?, tap)?;
        Ok(Self { house, card, since, turn: (0, 1) })
    }

    /// The next turn on the way.
    fn turns(&mut self) {
        self.turn.0 += 1;
    }

    fn tap(&mut self, by: &str, event: Event) -> Result<(), Failure> {
        self.taps(by, vec![event])
    }

    fn taps(&mut self, by: &str, events: Vec<Event>) -> Result<(), Failure> {
        let at = self.since.turn(self.turn.0, self.turn.1);
        let taps: Vec<Tap> = events.into_iter().map(|event| Tap { at, ..Tap::now(event) }).collect();
        self.card = self.house.act_at(&self.card.number(), &person(by)?, &taps, None, at)?;
        Ok(())
    }

    /// As far as this stage.
    pub(crate) fn to(mut self, stage: Stage, refit: &Refit) -> Result<(), Failure> {
        self.turn.1 = match stage {
            Stage::Enquiry | Stage::Intake => 1,
            Stage::Estimate => 2,
            Stage::WaitingForParts | Stage::Agreed => 4,
            Stage::InWork | Stage::Paused => 5,
            Stage::Checks => 6,
            Stage::Ready => 7,
            Stage::Collected => 8,
            Stage::FollowedUp | Stage::SentHome => 9,
        };
        self.turns();
        self.intake(refit)?;
        if stage == Stage::Intake {
            return Ok(());
        }
        self.turns();
        self.estimate()?;
        if stage == Stage::Estimate {
            return Ok(());
        }
        self.turns();
        self.agree()?;
        self.turns();
        self.order(stage == Stage::WaitingForParts)?;
        if matches!(stage, Stage::WaitingForParts | Stage::Agreed) {
            return Ok(());
        }
        self.turns();
        self.tap(FIRST, Event::Started)?;
        if matches!(stage, Stage::InWork | Stage::Paused) {
            return self.begun(stage);
        }
        self.work(None)?;
        self.tighten()?;
        self.look(FIRST, Look::First)?;
        self.turns();
        self.tap(FIRST, Event::Rode { ride: RideKind::First, instead: None })?;
        self.work(None)?;
        self.tighten()?;
        if stage == Stage::Checks {
            return Ok(());
        }
        self.turns();
        self.witness()?;
        self.look(SECOND, Look::Second)?;
        self.tap(SECOND, Event::SecondChecked)?;
        self.tap(SECOND, Event::Rode { ride: RideKind::Second, instead: None })?;
        if stage == Stage::Ready {
            return Ok(());
        }
        self.turns();
        let name = self.card.state().customer.clone().unwrap_or_default();
        self.tap(COUNTER, Event::Collected { name })?;
        if stage == Stage::FollowedUp {
            self.turns();
            let words = "Shifts well. Hands as before.".to_owned();
            self.tap(COUNTER, Event::FollowedUp { clicks: Some(2), words })?;
        }
        Ok(())
    }

    /// Some way into the work.
    fn begun(mut self, stage: Stage) -> Result<(), Failure> {
        self.work(Some(14))?;
        if stage == Stage::Paused {
            let words =
                "Hanger is straight, bracket is in and greased. Both brakes are off. Next: the crank."
                    .to_owned();
            let (reason, parking) = (PauseReason::OtherJob, Parking::StrippedAndBagged);
            self.tap(FIRST, Event::Paused { reason, parking, words })?;
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
            // The day was told when the estimate went out.
            Some(day) => self.tap(
                MANAGER,
                Event::Promised { day: self.told_then(day), words: "with the estimate".to_owned() },
            ),
            None => Ok(()),
        }
    }

    /// The day that was told then: as far ahead as this one is now, and no Sunday.
    fn told_then(&self, day: i64) -> i64 {
        let then = clock::day_at(self.since.turn(self.turn.0, self.turn.1));
        let told = day - (clock::day_of(clock::today()) - clock::day_of(then));
        let is_sunday = clock::date_of(told).is_some_and(|date| date.weekday() == Weekday::Sunday);
        told + i64::from(is_sunday)
    }

    fn agree(&mut self) -> Result<(), Failure> {
        let name = self.card.state().customer.clone().unwrap_or_default();
        let words = "Yes, do it.".to_owned();
        self.tap(COUNTER, Event::Approved { version: 1, name, channel: Channel::Counter, words })
    }

    /// Orders everything; all but the last two parts come where some are awaited.
    fn order(&mut self, awaited: bool) -> Result<(), Failure> {
        let slots = gating(&self.card.plan);
        let today = clock::day_of(clock::day_at(self.since.turn(self.turn.0, self.turn.1)));
        let here = slots.len() - if awaited { 2.min(slots.len()) } else { 0 };
        let due = |at: usize| Some(today + 2 + at as i64 / 3);
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
        let laid =
            LaidWork::with(&self.card.plan, book, state.circumstances, &state.added).map_err(|why| {
                Failure::Fault { what: "the invented shop has no order of work", why: why.to_string() }
            })?;
        let at_stand = stand_steps(state, self.card.judged_by(book));
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

    /// The pitches that the plan wants, if it says so.
    fn chain_count(&self) -> Option<f64> {
        self.card.plan.geometry.drivetrain.value().map(|cage| f64::from(cage.count))
    }

    fn look(&mut self, by: &str, look: Look) -> Result<(), Failure> {
        let mut events = Vec::new();
        for point in BlindPoint::of(&self.card.plan) {
            let value = match point {
                BlindPoint::ChainPitches => match self.chain_count() {
                    Some(count) => count,
                    None => continue,
                },
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
