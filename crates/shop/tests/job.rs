//! The job on record, walked from enquiry to collection on a whole bike, and every gate tried from the wrong side.
//! What must hold is common practice: the customer's word, parts held against the bike, a second person.

#![expect(clippy::unwrap_used, reason = "a walk that is refused where it should not be has failed")]

use catalog::value::Noted;
use catalog::{Catalogue, Dimension, Slot, Value};
use fit::{Origin, Plan, Refit, plan};
use intake::Source;
use proptest::prelude::*;
use quantity::{Basis, Money, Reading, Torque};
use shop::job::{BlindPoint, Channel, GateBlock, Look, Parking, PartCheck, PauseReason, RideKind};
use shop::job::{blocks_release, blocks_start, gate};
use shop::{
    Accepted, AskedChange, AskedChoice, Book, Call, Cause, ChoicePart, Closing, Entry, EntryKey, Event,
    Fastener, FastenerId, Finding, Job, JudgedBy, Moment, OperationId, Person, Refusal, Stage, Stakes,
    StepId, TorqueRange,
};
use std::sync::OnceLock;

fn catalogue() -> &'static Catalogue {
    static BUILT_IN: OnceLock<Catalogue> = OnceLock::new();
    BUILT_IN.get_or_init(|| intake::built_in().unwrap())
}

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(Book::start_values)
}

fn control() -> &'static Refit {
    static REFIT: OnceLock<Refit> = OnceLock::new();
    REFIT.get_or_init(|| {
        let text = include_str!("../../../cases/case-1-control.toml");
        intake::case::read_case(Source { name: "control.toml", text }, catalogue()).unwrap().refit
    })
}

fn person(name: &str) -> Person {
    Person::new(name).unwrap()
}

/// A shop with one job: each proposal is judged with the plan of the moment.
#[derive(Clone, Default)]
struct Shop {
    job: Job,
    taps: u128,
}

impl Shop {
    fn now(&self) -> Plan {
        plan(&self.job.state().refit, catalogue())
    }

    fn agreed(&self) -> Option<Plan> {
        self.job.state().approval.as_ref().map(|approval| plan(&approval.refit, catalogue()))
    }

    fn with_desk<T>(&self, look: impl FnOnce(&Self, JudgedBy<'_>) -> T) -> T {
        let (now, agreed) = (self.now(), self.agreed());
        look(self, JudgedBy { plan: &now, agreed: agreed.as_ref(), book: book() })
    }

    fn tap(&mut self, by: &str, event: Event) -> Result<Accepted, Vec<Refusal>> {
        self.taps += 1;
        let key = EntryKey(self.taps);
        self.send(Entry { key, at: Moment(1_000 * self.taps as i64), by: person(by), event })
    }

    fn send(&mut self, entry: Entry) -> Result<Accepted, Vec<Refusal>> {
        let (now, agreed) = (self.now(), self.agreed());
        self.job.propose(entry, JudgedBy { plan: &now, agreed: agreed.as_ref(), book: book() })
    }

    fn stage(&self) -> Stage {
        self.with_desk(|shop, desk| shop.job.state().stage(desk))
    }

    fn blocks(&self) -> Vec<GateBlock> {
        self.with_desk(|shop, desk| blocks_start(shop.job.state(), desk))
    }

    /// The bike of the control case, measured and with its parts chosen.
    fn measured() -> Self {
        let mut shop = Self::default();
        let words = || "eleven cogs, easier hills".to_owned();
        let enquiry =
            Event::Enquired { name: "control".into(), customer: "A. Customer".into(), words: words() };
        shop.tap("counter", enquiry).unwrap();
        shop.tap("counter", Event::Received { hook: "7".into() }).unwrap();
        for part in control().bike.iter() {
            let slot = part.slot();
            for field in slot.fields() {
                let dimension = field.dimension;
                if let Some(reading) = part.get(dimension).filter(|reading| reading.is_answered()) {
                    let event = Event::Measured { slot, origin: Origin::Found, dimension, reading };
                    shop.tap("first", event).unwrap();
                }
            }
        }
        for part in control().choice.iter() {
            shop.tap("manager", Event::Chosen(Box::new(part))).unwrap();
        }
        shop
    }

    fn estimated(mut self) -> Self {
        let event = Event::Estimated {
            total: Money::new(98_000, "EUR").unwrap(),
            ceiling: None,
            scope: "11-speed refit".into(),
        };
        self.tap("manager", event).unwrap();
        self
    }

    fn approve(&mut self, version: u32) -> Result<Accepted, Vec<Refusal>> {
        let event = Event::Approved {
            version,
            name: "A. Customer".into(),
            channel: Channel::Counter,
            words: "yes, do it".into(),
        };
        self.tap("manager", event)
    }

    fn kit(&mut self) {
        for slot in gate::gating(&self.now()) {
            self.tap("counter", Event::Ordered { slot, due_day: Some(20_000) }).unwrap();
            self.tap("counter", Event::Arrived { slot }).unwrap();
            self.tap("first", Event::PartChecked { slot, check: PartCheck::Fits }).unwrap();
        }
    }

    fn started() -> Self {
        let mut shop = Self::measured().estimated();
        shop.approve(1).unwrap();
        shop.tap("first", Event::HandsRecorded { words: "nose to hood 742 left, 742 right".into() }).unwrap();
        shop.kit();
        shop.tap("first", Event::Started).unwrap();
        shop
    }

    /// All steps that may be done now, until none is left.
    fn work(&mut self) {
        loop {
            let open: Vec<StepId> = self.with_desk(|shop, desk| {
                let state = shop.job.state();
                let mut steps = gate::stand_steps(shop.job.state(), desk);
                steps.retain(|step| !state.done.contains_key(step));
                steps
            });
            let mut moved = false;
            for step in open {
                let step = book().step(step).unwrap();
                moved |= self.tap("first", Event::done(step)).is_ok();
            }
            if !moved {
                return;
            }
        }
    }

    fn tighten_all(&mut self) {
        let all: Vec<FastenerId> = self.job.state().record.fasteners().keys().copied().collect();
        for fastener in all {
            let found = Fastener::find(fastener).unwrap();
            let event = match found.closing {
                Closing::ByHand => Event::ClosedByHand { fastener },
                Closing::Range(least, _) => tightened(fastener, least, found.range().unwrap()),
                Closing::AsPrinted => {
                    let wanted =
                        TorqueRange { least: Torque::newton_metres(5.0), most: Torque::newton_metres(6.0) };
                    tightened(fastener, 5.5, wanted)
                }
            };
            self.tap("first", event).unwrap();
            self.tap("second", Event::Witnessed { fastener }).unwrap();
        }
    }

    fn look(&mut self) {
        for point in BlindPoint::of(&self.now()) {
            let value = (point.plausible().0 + point.plausible().1) / 2.0;
            let event = |look| Event::Looked { point, look, value };
            self.tap("first", event(Look::First)).unwrap();
            self.tap("second", event(Look::Second)).unwrap();
        }
    }
}

fn tightened(fastener: FastenerId, torque_nm: f64, wanted: TorqueRange) -> Event {
    Event::Tightened { fastener, torque: Torque::newton_metres(torque_nm), wanted, wrench: "wrench 3".into() }
}

fn refused(result: Result<Accepted, Vec<Refusal>>) -> Vec<Refusal> {
    result.unwrap_err()
}

#[test]
fn a_job_goes_from_enquiry_to_follow_up_with_two_people() {
    let mut shop = Shop::default();
    let enquiry = Event::Enquired { name: "n".into(), customer: "c".into(), words: "w".into() };
    shop.tap("counter", enquiry).unwrap();
    assert_eq!(shop.stage(), Stage::Enquiry);

    let mut shop = Shop::measured();
    assert_eq!(shop.stage(), Stage::Intake);
    shop = shop.estimated();
    assert_eq!(shop.stage(), Stage::Estimate);
    shop.approve(1).unwrap();
    assert_eq!(shop.stage(), Stage::WaitingForParts);
    shop.kit();
    assert_eq!(shop.stage(), Stage::Agreed);
    shop.tap("first", Event::HandsRecorded { words: "742 both".into() }).unwrap();
    assert_eq!(shop.blocks(), []);
    shop.tap("first", Event::Started).unwrap();
    assert_eq!(shop.stage(), Stage::InWork);

    shop.work();
    shop.tighten_all();
    shop.tap("first", Event::Rode { ride: RideKind::First, instead: None }).unwrap();
    assert_eq!(shop.stage(), Stage::Checks);
    // Tape and what the ride showed come after the ride.
    shop.work();
    shop.tighten_all();
    shop.look();
    shop.tap("second", Event::SecondChecked).unwrap();
    shop.tap("second", Event::Rode { ride: RideKind::Second, instead: None }).unwrap();
    let held = shop.with_desk(|shop, desk| blocks_release(shop.job.state(), desk));
    assert_eq!(held, []);
    assert_eq!(shop.stage(), Stage::Ready);
    shop.tap("manager", Event::Collected { name: "A. Customer".into() }).unwrap();
    assert_eq!(shop.stage(), Stage::Collected);
    shop.tap("manager", Event::FollowedUp { clicks: Some(2), words: "shifts well".into() }).unwrap();
    assert_eq!(shop.stage(), Stage::FollowedUp);
}

#[test]
fn the_strip_waits_for_every_lock_of_the_gate() {
    let shop = Shop::measured();
    let blocks = shop.blocks();
    assert!(blocks.contains(&GateBlock::HandsNotRecorded));
    assert!(blocks.contains(&GateBlock::NoEstimate));
    assert!(blocks.contains(&GateBlock::NotArrived(Slot::Cassette)));

    let mut shop = Shop::measured().estimated();
    assert!(shop.blocks().contains(&GateBlock::NotApproved(1)));
    assert!(matches!(refused(shop.tap("first", Event::Started))[..], [Refusal::Closed(_)]));
    shop.approve(1).unwrap();
    shop.tap("first", Event::HandsRecorded { words: "742".into() }).unwrap();
    shop.kit();
    shop.tap("counter", Event::Arrived { slot: Slot::Chain }).unwrap();
    assert_eq!(shop.blocks(), [GateBlock::NotChecked(Slot::Chain)]);
    let wrong = PartCheck::Wrong { words: "116 pitches wanted, 106 in the box".into() };
    shop.tap("first", Event::PartChecked { slot: Slot::Chain, check: wrong }).unwrap();
    assert!(matches!(shop.blocks()[..], [GateBlock::WrongPart(Slot::Chain, _)]));
}

#[test]
fn a_measurement_that_is_missing_keeps_the_gate_closed() {
    let mut shop = Shop::measured();
    let event = Event::Measured {
        slot: Slot::RearWheel,
        origin: Origin::Found,
        dimension: Dimension::BodyLength,
        reading: quantity::Reading::NotReachable,
    };
    shop.tap("first", event).unwrap();
    assert!(shop.blocks().contains(&GateBlock::Measure("body-length")), "{:?}", shop.blocks());
}

#[test]
fn a_changed_measurement_after_the_approval_opens_the_gate_again_and_shows_what_changed() {
    let mut shop = Shop::started();
    let reading = control().bike.reading(Slot::RearWheel, Dimension::BodyLength).unwrap();
    let shorter = match reading {
        quantity::Reading::Taken(catalog::Value::Length(mut measured)) => {
            measured.value = quantity::Length::mm(measured.value.to_mm() - 0.1);
            quantity::Reading::Taken(catalog::Value::Length(measured))
        }
        other => panic!("{other:?}"),
    };
    let event = Event::Measured {
        slot: Slot::RearWheel,
        origin: Origin::Found,
        dimension: Dimension::BodyLength,
        reading: shorter,
    };
    shop.tap("first", event).unwrap();
    let changed = shop.blocks().into_iter().find_map(|block| match block {
        GateBlock::Changed(rules) => Some(rules),
        _ => None,
    });
    assert!(changed.unwrap().contains(&"body-length"));
    let step = shop.with_desk(|shop, desk| gate::stand_steps(shop.job.state(), desk))[0];
    let reasons = refused(shop.tap("first", Event::done(book().step(step).unwrap())));
    assert!(matches!(reasons[0], Refusal::Closed(_)), "{reasons:?}");
    // The old version cannot be agreed to again: it was made from another bike.
    assert_eq!(refused(shop.approve(1)), [Refusal::Outdated { version: 1 }]);
    let mut shop = shop.estimated();
    shop.approve(2).unwrap();
    assert!(shop.tap("first", Event::done(book().step(step).unwrap())).is_ok());
}

#[test]
fn another_part_after_the_approval_is_not_built_in() {
    let mut shop = Shop::measured().estimated();
    shop.approve(1).unwrap();
    shop.tap("manager", Event::Dropped(Slot::Tape)).unwrap();
    let other = GateBlock::OtherParts(vec![Slot::Tape]);
    let blocks = shop.blocks();
    assert!(blocks.contains(&other), "{blocks:?}");
}

#[test]
fn a_safety_refusal_is_not_signed_away() {
    let text = include_str!("../../../cases/case-12-carbon-bar.toml");
    let case = intake::case::read_case(Source { name: "bar.toml", text }, catalogue()).unwrap();
    let mut shop = Shop::default();
    let enquiry = Event::Enquired { name: "n".into(), customer: "c".into(), words: "w".into() };
    shop.tap("counter", enquiry).unwrap();
    for part in case.refit.bike.iter() {
        for field in part.slot().fields() {
            if let Some(reading) = part.get(field.dimension).filter(|reading| reading.is_answered()) {
                let (slot, dimension) = (part.slot(), field.dimension);
                let event = Event::Measured { slot, origin: Origin::Found, dimension, reading };
                shop.tap("first", event).unwrap();
            }
        }
    }
    for part in case.refit.choice.iter() {
        shop.tap("manager", Event::Chosen(Box::new(part))).unwrap();
    }
    assert!(shop.blocks().iter().any(|block| matches!(block, GateBlock::Refused(_))));
    let event = Event::Estimated { total: Money::new(1, "EUR").unwrap(), ceiling: None, scope: "bar".into() };
    assert!(matches!(refused(shop.tap("manager", event))[..], [Refusal::NotOffered { .. }]));
}

#[test]
fn the_same_person_never_signs_the_second_check() {
    let mut shop = Shop::started();
    shop.work();
    shop.tighten_all();
    shop.tap("first", Event::Rode { ride: RideKind::First, instead: None }).unwrap();
    shop.work();
    shop.tighten_all();
    shop.look();
    for name in ["first", " FIRST ", "First"] {
        let reasons = refused(shop.tap(name, Event::SecondChecked));
        assert!(matches!(reasons[0], Refusal::Check(shop::CheckError::Touched { .. })), "{reasons:?}");
    }
    let point = BlindPoint::ChainPitches;
    let event = Event::Looked { point, look: Look::Second, value: 108.0 };
    assert!(matches!(refused(shop.tap("first", event))[..], [Refusal::Check(_)]));
    // The wrong order: no second ride before the second check, no collection before either.
    assert!(shop.tap("second", Event::Rode { ride: RideKind::Second, instead: None }).is_err());
    assert!(shop.tap("manager", Event::Collected { name: "c".into() }).is_err());
}

#[test]
fn two_looks_that_differ_hold_the_bike_until_both_have_looked_again() {
    let mut shop = Shop::started();
    let point = BlindPoint::ChainPitches;
    let look = |look, value| Event::Looked { point, look, value };
    shop.tap("first", look(Look::First, 108.0)).unwrap();
    shop.tap("second", look(Look::Second, 106.0)).unwrap();
    assert!(!shop.job.state().agrees(point));
    shop.tap("second", look(Look::Second, 108.0)).unwrap();
    assert!(shop.job.state().agrees(point));
    let reasons = refused(shop.tap("second", look(Look::Second, 10_000.0)));
    assert_eq!(reasons, [Refusal::Implausible { point, value: 10_000.0 }]);
}

#[test]
fn a_step_waits_for_the_steps_before_it_with_the_reason() {
    let mut shop = Shop::started();
    let tape = book().step(StepId("tape-on")).unwrap();
    let reasons = refused(shop.tap("first", Event::done(tape)));
    assert!(reasons.iter().any(|reason| matches!(reason, Refusal::Before { .. })), "{reasons:?}");
    let strange = Event::Done { step: StepId("wash-the-dog"), work: shop::StepWork::default() };
    assert_eq!(refused(shop.tap("first", strange)), [Refusal::NotAStep(StepId("wash-the-dog"))]);
    let ride = book().step(StepId("first-ride")).unwrap();
    assert_eq!(refused(shop.tap("first", Event::done(ride))), [Refusal::RecordedElsewhere(ride.id)]);
}

#[test]
fn a_paused_job_is_left_in_a_named_state_and_goes_on_only_after_it_was_read() {
    let mut shop = Shop::started();
    let pause = |words: &str| Event::Paused {
        reason: PauseReason::Person,
        parking: Parking::StrippedAndBagged,
        words: words.into(),
    };
    assert_eq!(
        refused(shop.tap("first", pause(" "))),
        [Refusal::Empty { what: "what the next hand has to know" }]
    );
    shop.tap("first", pause("left brake not connected")).unwrap();
    assert_eq!(shop.stage(), Stage::Paused);
    let step = shop.with_desk(|shop, desk| gate::stand_steps(shop.job.state(), desk))[0];
    let step = book().step(step).unwrap();
    assert_eq!(refused(shop.tap("other", Event::done(step))), [Refusal::IsPaused]);
    shop.tap("other", Event::Resumed).unwrap();
    shop.tap("other", Event::done(step)).unwrap();
}

#[test]
fn a_problem_stops_the_work_until_it_is_settled() {
    let mut shop = Shop::started();
    let event = Event::Problem { step: None, words: "thread stripped".into(), stops: true };
    let Accepted::Added(place) = shop.tap("first", event).unwrap() else { panic!("a repeat") };
    let step =
        book().step(shop.with_desk(|shop, desk| gate::stand_steps(shop.job.state(), desk))[0]).unwrap();
    assert!(matches!(refused(shop.tap("first", Event::done(step)))[..], [Refusal::Stopped { .. }]));
    shop.tap(
        "manager",
        Event::Settled { problem: place, words: "insert, 18 EUR, agreed by telephone".into() },
    )
    .unwrap();
    shop.tap("first", Event::done(step)).unwrap();
}

#[test]
fn a_repeated_tap_changes_nothing_and_a_key_is_used_once() {
    let mut shop = Shop::measured();
    let entry = Entry {
        key: EntryKey(u128::MAX),
        at: Moment(1),
        by: person("first"),
        event: Event::HandsRecorded { words: "742".into() },
    };
    let Accepted::Added(place) = shop.send(entry.clone()).unwrap() else { panic!("a repeat") };
    let before = shop.job.state().clone();
    assert_eq!(shop.send(entry.clone()).unwrap(), Accepted::Repeated(place));
    assert_eq!(shop.job.state(), &before);
    let other = Entry { event: Event::HandsRecorded { words: "700".into() }, ..entry };
    assert_eq!(refused(shop.send(other)), [Refusal::KeyUsed]);
}

#[test]
fn a_correction_is_a_new_entry_and_hands_stay_hands() {
    let mut shop = Shop::started();
    shop.work();
    let place = shop
        .job
        .entries()
        .iter()
        .position(|entry| matches!(entry.event, Event::Done { .. }) && entry.by == person("first"))
        .unwrap();
    let before = shop.job.entries().len();
    shop.tap("manager", Event::Corrected { entry: place, words: "tapped by mistake".into() }).unwrap();
    assert_eq!(shop.job.entries().len(), before + 1);
    let Event::Done { step, .. } = shop.job.entries()[place].event else { panic!("not a step") };
    assert!(!shop.job.state().done.contains_key(&step));
    assert!(shop.job.state().record.hands()[&step].contains(&person("first")));
    // Twice is once too often, and a start is not taken back.
    assert!(shop.tap("manager", Event::Corrected { entry: place, words: "again".into() }).is_err());
    let start = shop.job.entries().iter().position(|entry| entry.event == Event::Started).unwrap();
    assert!(shop.tap("manager", Event::Corrected { entry: start, words: "no".into() }).is_err());
}

#[test]
fn a_job_that_is_over_takes_nothing_more() {
    let mut shop = Shop::measured();
    shop.tap("manager", Event::SentHome { words: "crack at the seat cluster".into() }).unwrap();
    assert_eq!(shop.stage(), Stage::SentHome);
    let reasons = refused(shop.tap("first", Event::HandsRecorded { words: "742".into() }));
    assert_eq!(reasons, [Refusal::Over { how: "sent home" }]);
}

/// A hanger that was found bent: exchanged with a part that comes in so many days, or left.
fn hanger(concerns: Stakes, days: Option<u32>) -> AskedChange {
    let price = Money::new(4_350, "EUR").unwrap();
    let part = ChoicePart { words: "hanger".into(), pieces: 1, price: Some(price), days };
    let choice = |words: &str, operations, minutes, parts, price| AskedChoice {
        words: words.into(),
        means: "what it means".into(),
        operations,
        minutes,
        parts,
        price,
        day: None,
    };
    AskedChange {
        finding: Finding {
            words: "the hanger is bent".into(),
            measured: Some("12 mm over 600 mm".into()),
            limit: Some("4 mm over 600 mm".into()),
            photo: None,
            cause: Cause::NotVisible,
            concerns,
            at: StepId("rear-derailleur-on"),
        },
        choices: vec![
            choice("exchange it", vec![OperationId("hanger-exchange")], 12, vec![part], price),
            choice("leave it", Vec::new(), 0, Vec::new(), price.with_minor(0)),
        ],
        waits_until: "2026-11-27T15:00".parse().unwrap(),
        call: Call::Wanted,
        declined: (concerns == Stakes::Safety).then(|| "the hanger stays bent".to_owned()),
    }
}

impl Shop {
    /// A problem that stops the work, and what the customer is asked about it: the place of the question.
    fn asked(&mut self, change: AskedChange) -> usize {
        let found = Event::Problem { step: None, words: change.finding.words.clone(), stops: true };
        self.tap("first", found).unwrap();
        let problem = self.job.entries().len() - 1;
        self.tap("manager", Event::ChangeAsked { problem, change: Box::new(change) }).unwrap();
        problem + 1
    }

    fn answer(&mut self, asked: usize, choice: usize, channel: Channel) -> Result<Accepted, Vec<Refusal>> {
        let (name, words) = ("A. Customer".into(), "the new one, please".into());
        self.tap("manager", Event::ChangeAnswered { asked, choice, name, channel, words })
    }
}

/// The customer's choice makes a version of the agreed one, adds its steps to the job, and lets the work go on.
#[test]
fn a_change_that_the_customer_chose_is_part_of_what_was_agreed() {
    let mut shop = Shop::started();
    let before = shop.with_desk(|shop, desk| gate::stand_steps(shop.job.state(), desk));
    let asked = shop.asked(hanger(Stakes::Use, Some(0)));
    let refusals = refused(shop.tap("first", Event::done(book().step(before[0]).unwrap())));
    assert!(matches!(refusals[..], [Refusal::Stopped { .. }]), "nothing is done before an answer");
    assert_eq!(refused(shop.answer(asked, 2, Channel::Counter)), [Refusal::NoQuestion]);
    assert_eq!(refused(shop.answer(asked, 0, Channel::Beforehand)), [Refusal::NotBeforehand]);
    shop.answer(asked, 0, Channel::Telephone).unwrap();
    assert_eq!(refused(shop.answer(asked, 1, Channel::Telephone)), [Refusal::NoQuestion], "answered once");
    let state = shop.job.state();
    let version = state.estimates.last().unwrap();
    assert_eq!((version.version, version.total.minor(), version.change), (2, 98_000 + 4_350, Some(asked)));
    let approval = state.approval.as_ref().unwrap();
    assert_eq!((approval.version, approval.channel), (2, Channel::Telephone));
    assert!(
        state.problems.is_empty()
            && shop.with_desk(|shop, desk| gate::approval(shop.job.state(), desk)).is_none()
    );
    let after = shop.with_desk(|shop, desk| gate::stand_steps(shop.job.state(), desk));
    let added: Vec<&StepId> = after.iter().filter(|step| !before.contains(step)).collect();
    let wanted = book().steps_of(&[OperationId("hanger-exchange")]).unwrap();
    assert!(!added.is_empty() && added.iter().all(|step| wanted.contains(step)), "{added:?}");
    // They hold the bike like every other step.
    shop.work();
    assert!(added.iter().all(|step| shop.job.state().done.contains_key(*step)));
}

/// What has to come closes the gate again until it is here and was held against the bike.
#[test]
fn a_change_whose_part_has_to_come_stops_the_work_until_it_is_here() {
    let mut shop = Shop::started();
    let step = shop.with_desk(|shop, desk| gate::stand_steps(shop.job.state(), desk))[0];
    let asked = shop.asked(hanger(Stakes::Use, Some(5)));
    shop.answer(asked, 0, Channel::Link).unwrap();
    let refusals = refused(shop.tap("first", Event::done(book().step(step).unwrap())));
    assert!(refusals[0].to_string().contains("not here yet: hanger"), "{}", refusals[0]);
    let words = "it came, and it fits the frame".into();
    shop.tap("manager", Event::Settled { problem: asked - 1, words }).unwrap();
    shop.tap("first", Event::done(book().step(step).unwrap())).unwrap();
}

/// Leaving a matter of safety is signed for by itself and adds nothing; a refusal of the plan is not chosen away.
#[test]
fn safety_is_signed_for_by_itself_and_a_refusal_is_not_chosen_away() {
    let mut shop = Shop::started();
    let asked = shop.asked(hanger(Stakes::Safety, Some(0)));
    let mut refuses = shop.clone();
    shop.answer(asked, 1, Channel::Counter).unwrap();
    assert_eq!(shop.job.state().declined, ["the hanger stays bent"]);
    assert_eq!(shop.job.state().estimates.len(), 1, "leaving it is no new version");
    // A crack that is found meanwhile: no choice of the customer lets the work go on, nor the bike leave.
    let crack = Value::Word(Noted { value: "crack", basis: Basis::Measured });
    let event = Event::Measured {
        slot: Slot::Frame,
        origin: Origin::Found,
        dimension: Dimension::FrameDamage,
        reading: Reading::Taken(crack),
    };
    refuses.tap("first", event).unwrap();
    assert!(matches!(refused(refuses.answer(asked, 1, Channel::Counter))[..], [Refusal::NotOffered { .. }]));
    let held = refuses.with_desk(|shop, desk| blocks_release(shop.job.state(), desk));
    assert!(held.iter().any(|reason| matches!(reason, Refusal::Unsafe { .. })), "{held:?}");
    // Before anything was agreed to, the estimate says it.
    let mut early = Shop::measured();
    early.tap("first", Event::Problem { step: None, words: "w".into(), stops: true }).unwrap();
    let problem = early.job.entries().len() - 1;
    let change = Box::new(hanger(Stakes::Use, Some(0)));
    assert_eq!(
        refused(early.tap("manager", Event::ChangeAsked { problem, change })),
        [Refusal::NothingAgreed]
    );
}

/// Anything that anybody may tap, in any order.
fn any_event() -> impl Strategy<Value = Event> {
    let steps: Vec<StepId> = book().steps().iter().map(|step| step.id).collect();
    let fasteners: Vec<FastenerId> = shop::FASTENERS.iter().map(|fastener| fastener.id).collect();
    let text = || prop_oneof![Just(String::new()), Just("words".to_owned())];
    let slots = prop::sample::select(Slot::ALL.to_vec());
    let points = prop::sample::select(BlindPoint::ALL.to_vec());
    prop_oneof![
        8 => prop::sample::select(steps).prop_map(|step| Event::Done { step, work: shop::StepWork::default() }),
        3 => (prop::sample::select(fasteners.clone()), 1.0..60.0).prop_map(|(fastener, nm): (_, f64)| {
            let wanted = TorqueRange { least: Torque::newton_metres(4.0), most: Torque::newton_metres(50.0) };
            tightened(fastener, nm, wanted)
        }),
        2 => prop::sample::select(fasteners.clone()).prop_map(|fastener| Event::ClosedByHand { fastener }),
        2 => prop::sample::select(fasteners.clone()).prop_map(|fastener| Event::Witnessed { fastener }),
        1 => prop::sample::select(fasteners).prop_map(|fastener| Event::FoundLoose { fastener }),
        1 => slots.clone().prop_map(|slot| Event::Arrived { slot }),
        1 => slots.prop_map(Event::Dropped),
        2 => (points, any::<bool>(), 0.0..1200.0).prop_map(|(point, first, value)| Event::Looked {
            point, look: if first { Look::First } else { Look::Second }, value,
        }),
        1 => Just(Event::Rode { ride: RideKind::First, instead: None }),
        1 => Just(Event::Rode { ride: RideKind::Second, instead: Some("rain".into()) }),
        2 => Just(Event::SecondChecked),
        1 => text().prop_map(|name| Event::Collected { name }),
        1 => text().prop_map(|words| Event::Problem { step: None, words, stops: true }),
        1 => (0..400usize, text()).prop_map(|(problem, words)| Event::Settled { problem, words }),
        1 => (0..400usize, text()).prop_map(|(entry, words)| Event::Corrected { entry, words }),
        1 => text().prop_map(|words| Event::Paused {
            reason: PauseReason::Part, parking: Parking::BuiltUntested, words,
        }),
        1 => Just(Event::Resumed),
        1 => (0..400usize).prop_map(|problem| Event::ChangeAsked { problem, change: Box::new(hanger(Stakes::Use, Some(0))) }),
        1 => (0..400usize, 0..3usize, any::<bool>()).prop_map(|(asked, choice, call)| Event::ChangeAnswered {
            asked, choice, name: "c".into(), words: "yes".into(),
            channel: if call { Channel::Telephone } else { Channel::Beforehand },
        }),
        1 => (0..3u32).prop_map(|version| Event::Approved {
            version, name: "c".into(), channel: Channel::Link, words: "yes".into(),
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(60) })]

    #[test]
    fn whatever_is_tapped_in_whatever_order_the_record_holds(
        taps in prop::collection::vec((any_event(), 0..3usize), 1..60)
    ) {
        static STARTED: OnceLock<Shop> = OnceLock::new();
        let mut shop = STARTED.get_or_init(Shop::started).clone();
        let people = ["first", "second", "manager"];
        for (event, who) in taps {
            let (before, entries) = (shop.job.state().clone(), shop.job.entries().len());
            if shop.tap(people[who], event).is_err() {
                // What is refused leaves no trace.
                prop_assert_eq!(shop.job.state(), &before);
                prop_assert_eq!(shop.job.entries().len(), entries);
            } else {
                prop_assert_eq!(shop.job.entries().len(), entries + 1);
            }
        }
        // A bike that left was released, by a person who touched nothing of it.
        let state = shop.job.state();
        if state.collected_by.is_some() {
            prop_assert!(state.record.release().is_ok());
        }
        if let Some(second) = state.record.second_person() {
            prop_assert!(state.record.touched_by(second).is_none());
        }
        // The same entries give the same state, sent once or twice.
        let again = Job::replay(shop.job.entries().to_vec());
        prop_assert_eq!(again.state(), state);
        let twice = shop.job.entries().iter().chain(shop.job.entries()).cloned();
        let twice = Job::replay(twice);
        prop_assert_eq!(twice.state(), state);
    }
}
