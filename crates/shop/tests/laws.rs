//! The laws of labour, order and checks, over jobs and books that nobody thought of. The laws are our own.

#![expect(clippy::unwrap_used, reason = "a law that is broken stops its test there")]

use proptest::prelude::*;
use proptest::sample::{Index, subsequence};
use quantity::Torque;
use shop::{
    Age, Block, Book, CheckError, Closing, FASTENERS, Fastener, FastenerId, Minutes, Need, Operation,
    OperationId, Person, Record, Skill, Step, StepId, Tightness, TorqueRange,
};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::OnceLock;

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(cases) }
}

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(Book::start_values)
}

fn choice() -> impl Strategy<Value = Vec<OperationId>> {
    let all: Vec<OperationId> = book().operations().iter().map(|operation| operation.id).collect();
    let most = all.len();
    subsequence(all, 1..=most)
}

const NAMES: [&str; 24] = [
    "a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l", "m", "n", "o", "p", "q", "r", "s", "t", "u",
    "v", "w", "x",
];
const TOOLS: [&str; 3] = ["hex key", "spanner", "by hand"];

/// A book of 24 steps, each after some of those that were made before it, and six operations.
fn any_book() -> impl Strategy<Value = Book> {
    let step =
        (0..60u32, 0..60u32, 0..60u32, 0..TOOLS.len(), 0..Block::ALL.len(), any::<[Index; 2]>(), 0..3usize);
    let operation = subsequence(NAMES.to_vec(), 1..12);
    (
        prop::collection::vec(step, NAMES.len()),
        prop::collection::vec(operation, 6),
        Just(NAMES.to_vec()).prop_shuffle(),
    )
        .prop_map(|(steps, operations, shuffled)| {
            let mut made: Vec<Step> = Vec::new();
            for (at, (low, more, most, tool, block, needs, n)) in steps.into_iter().enumerate() {
                let needs: BTreeSet<StepId> = needs
                    .iter()
                    .take(if at == 0 { 0 } else { n })
                    .map(|need| StepId(shuffled[need.index(at)]))
                    .collect();
                made.push(Step {
                    id: StepId(shuffled[at]),
                    title: "",
                    block: Block::ALL[block],
                    minutes: Minutes::new(low, low + more, low + more + most),
                    skill: Skill::Mechanic,
                    tool: TOOLS[tool],
                    needs: Cow::Owned(needs.into_iter().map(|step| Need { step, because: "" }).collect()),
                    irreversible: false,
                    fasteners: Cow::Borrowed(&[]),
                    notes: shop::Notes::default(),
                });
            }
            // The order of the book is not the order of the relations.
            made.sort_by_key(|step| step.id);
            let operations = operations
                .into_iter()
                .enumerate()
                .map(|(at, steps)| Operation {
                    id: OperationId(NAMES[at]),
                    title: "",
                    steps: Cow::Owned(steps.into_iter().map(StepId).collect()),
                    brings: Cow::Owned(if at % 3 == 2 {
                        vec![OperationId(NAMES[at - 1])]
                    } else {
                        Vec::new()
                    }),
                })
                .collect();
            Book::new(made, operations).unwrap()
        })
}

/// Every relation is kept, each step stands once, and nothing is missing.
fn keeps_every_relation(book: &Book, operations: &[OperationId]) -> Result<(), TestCaseError> {
    let order = book.order(operations).unwrap();
    let ids: Vec<StepId> = order.iter().map(|placed| placed.step.id).collect();
    let mut sorted = book.steps_of(operations).unwrap();
    prop_assert_eq!(ids.len(), sorted.len());
    sorted.sort();
    let mut told = ids.clone();
    told.sort();
    prop_assert_eq!(told, sorted);
    for (at, later) in ids.iter().enumerate() {
        for earlier in &ids[..at] {
            prop_assert!(!book.comes_before(*later, *earlier), "{} is before {}", earlier, later);
        }
        for link in &order[at].after {
            prop_assert!(ids[..at].contains(&link.first), "{} waits for {}", later, link.first);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(5000))]

    #[test]
    fn every_relation_is_kept_in_every_order(operations in choice()) {
        keeps_every_relation(book(), &operations)?;
    }
}

proptest! {
    #![proptest_config(cases(600))]

    #[test]
    fn every_relation_is_kept_in_any_book(book in any_book(), n in 1..6usize) {
        let all: Vec<OperationId> = book.operations().iter().take(n).map(|operation| operation.id).collect();
        keeps_every_relation(&book, &all)?;
    }

    #[test]
    fn the_union_is_never_more_than_the_sum_of_the_lines(operations in choice()) {
        let labour = book().labour(&operations, Age::Sound).unwrap();
        prop_assert!(labour.minutes.usual <= labour.sum_of_lines.usual);
        prop_assert!(labour.minutes.usual <= labour.sum_in_one_visit.usual);
        prop_assert!(labour.sum_in_one_visit.usual <= labour.sum_of_lines.usual);
        prop_assert!(labour.minutes.low <= labour.sum_of_lines.low);
        prop_assert!(labour.minutes.high <= labour.sum_of_lines.high);
        prop_assert_eq!(labour.saved, labour.sum_of_lines.usual - labour.minutes.usual);
        prop_assert!(labour.minutes.is_ordered() && labour.total.is_ordered());
    }

    #[test]
    fn the_union_is_never_more_than_the_sum_in_any_book(book in any_book()) {
        let all: Vec<OperationId> = book.operations().iter().map(|operation| operation.id).collect();
        let labour = book.labour(&all, Age::Sound).unwrap();
        prop_assert!(labour.minutes.usual <= labour.sum_of_lines.usual);
    }

    #[test]
    fn one_more_operation_never_lowers_the_total_and_costs_no_more_than_alone(
        operations in choice(), further in any::<Index>(), age in 0..3usize,
    ) {
        let age = [Age::Sound, Age::Used, Age::Corroded][age];
        let further = further.get(book().operations()).id;
        let before = book().labour(&operations, age).unwrap();
        let after = book().labour(&[&operations[..], &[further]].concat(), age).unwrap();
        prop_assert!(before.total.low <= after.total.low);
        prop_assert!(before.total.usual <= after.total.usual);
        prop_assert!(before.total.high <= after.total.high);
        let marginal = book().marginal(&operations, further).unwrap();
        prop_assert!(marginal.while_apart.usual <= marginal.alone.usual);
        prop_assert_eq!(before.minutes + marginal.while_apart, after.minutes);
    }

    #[test]
    fn older_parts_never_come_off_faster(operations in choice()) {
        let [sound, used, corroded] =
            [Age::Sound, Age::Used, Age::Corroded].map(|age| book().labour(&operations, age).unwrap());
        prop_assert!(sound.total.usual <= used.total.usual && used.total.usual <= corroded.total.usual);
        prop_assert_eq!(sound.total, sound.minutes);
        prop_assert_eq!(used.minutes, sound.minutes);
    }

    #[test]
    fn the_order_of_choosing_changes_nothing(
        (operations, shuffled) in choice().prop_flat_map(|all| (Just(all.clone()), Just(all).prop_shuffle())),
    ) {
        prop_assert_eq!(
            book().labour(&operations, Age::Used).unwrap(),
            book().labour(&shuffled, Age::Used).unwrap()
        );
        prop_assert_eq!(book().order(&operations).unwrap(), book().order(&shuffled).unwrap());
    }

    #[test]
    fn why_a_step_has_to_wait_is_said_exactly_when_it_has_to(step in any::<Index>(), other in any::<Index>()) {
        let (step, other) = (step.get(book().steps()).id, other.get(book().steps()).id);
        let why = book().why_not_before(step, other);
        prop_assert_eq!(why.is_some(), book().comes_before(other, step));
        for link in why.into_iter().flatten() {
            prop_assert!(book().comes_before(link.first, link.then));
            prop_assert!(!link.because.is_empty());
        }
    }
}

const PEOPLE: [&str; 4] = ["North", "East", "South", "West"];

/// What happens to a bike: who does what.
#[derive(Clone, Debug)]
enum Event {
    Work(Index, usize),
    Tighten(Index, usize),
    Witness(Index, usize),
    Loose(Index),
    RideFirst(usize),
    CheckSecond(usize),
    RideSecond(usize),
}

fn events() -> impl Strategy<Value = Vec<Event>> {
    let who = 0..PEOPLE.len();
    prop::collection::vec(
        prop_oneof![
            1 => (any::<Index>(), who.clone()).prop_map(|(step, by)| Event::Work(step, by)),
            4 => (any::<Index>(), who.clone()).prop_map(|(fastener, by)| Event::Tighten(fastener, by)),
            4 => (any::<Index>(), who.clone()).prop_map(|(fastener, by)| Event::Witness(fastener, by)),
            1 => any::<Index>().prop_map(Event::Loose),
            1 => who.clone().prop_map(Event::RideFirst),
            1 => who.clone().prop_map(Event::CheckSecond),
            1 => who.prop_map(Event::RideSecond),
        ],
        0..40,
    )
}

fn person(at: usize) -> Person {
    Person::new(PEOPLE[at]).unwrap()
}

/// A fastener: one that was touched, if there is any.
fn fastener(record: &Record, at: &Index) -> FastenerId {
    let touched: Vec<_> = record.fasteners().keys().copied().collect();
    if touched.is_empty() { at.get(FASTENERS).id } else { *at.get(&touched) }
}

/// The record after an event, the same as before where the event is refused, and who has put a hand on the bike.
fn after(record: &Record, event: &Event, hands: &mut BTreeSet<usize>) -> Record {
    let done = match event {
        Event::Work(step, by) => {
            hands.insert(*by);
            Some(record.work(step.get(book().steps()), &person(*by)))
        }
        Event::Tighten(at, by) => {
            let fastener = fastener(record, at);
            hands.insert(*by);
            Some(closed(record, fastener, &person(*by)))
        }
        Event::Witness(at, by) => record.witness(fastener(record, at), &person(*by)).ok(),
        Event::Loose(at) => Some(record.found_loose(fastener(record, at))),
        Event::RideFirst(by) => record.ride_first(&person(*by)).ok(),
        Event::CheckSecond(by) => record.check_second(&person(*by)).ok(),
        Event::RideSecond(by) => record.ride_second(&person(*by)).ok(),
    };
    done.unwrap_or_else(|| record.clone())
}

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn who_put_a_hand_on_the_bike_never_signs_the_second_check(events in events()) {
        let mut record = Record::default();
        let mut hands = BTreeSet::new();
        for event in &events {
            record = after(&record, event, &mut hands);
            for by in &hands {
                let refused = record.check_second(&person(*by)).unwrap_err();
                let touched = refused.iter().find(|why| matches!(why, CheckError::Touched { .. })).unwrap();
                prop_assert!(touched.to_string().starts_with(PEOPLE[*by]), "{}", touched);
            }
        }
    }

    #[test]
    fn a_bike_leaves_only_witnessed_ridden_twice_and_checked_by_hands_that_never_touched_it(
        (before, then) in (events(), events()),
    ) {
        let mut hands = BTreeSet::new();
        let mut record = before.iter().fold(Record::default(), |record, event| after(&record, event, &mut hands));
        // All that is open is closed by the first person; the last one witnesses, checks and rides.
        record = finished(&record, &mut hands);
        prop_assert_eq!(record.release().is_ok(), !hands.contains(&(PEOPLE.len() - 1)));
        for event in &then {
            let was = record.release().is_ok();
            record = after(&record, event, &mut hands);
            if record.release().is_ok() {
                prop_assert!(record.fasteners().values().all(is_witnessed_by_another));
                let second = record.second_person().unwrap();
                prop_assert!(record.hands().iter().all(|(step, hands)| !hands.contains(second) || is_talk(*step)));
            }
            let touches = matches!(event, Event::Tighten(..) | Event::Loose(_));
            prop_assert!(!(was && touches && record.release().is_ok()), "{:?} left the release as it was", event);
        }
    }

    #[test]
    fn a_torque_outside_the_range_is_never_on_record(at in any::<Index>(), nm in -5.0..80.0f64) {
        let fastener = at.get(FASTENERS);
        let Closing::Range(least, most) = fastener.closing else { return Ok(()) };
        let range = fastener.range().unwrap();
        let done = Record::default().tighten(fastener.id, Torque::newton_metres(nm), range, &person(0));
        prop_assert_eq!(done.is_ok(), (least..=most).contains(&nm));
    }
}

fn finished(record: &Record, hands: &mut BTreeSet<usize>) -> Record {
    let (first, last) = (person(0), person(PEOPLE.len() - 1));
    let mut record = record.clone();
    for fastener in record.fasteners().keys().copied().collect::<Vec<_>>() {
        record = closed(&record, fastener, &first);
        record = record.witness(fastener, &last).unwrap();
        hands.insert(0);
    }
    record = record.ride_first(&first).unwrap();
    match record.check_second(&last) {
        Ok(checked) => checked.ride_second(&last).unwrap(),
        Err(_) => Record::default(),
    }
}

/// Closed as such a fastener is closed; what the part would say is invented here.
fn closed(record: &Record, fastener: FastenerId, by: &Person) -> Record {
    let found = Fastener::find(fastener).unwrap();
    if found.closing == Closing::ByHand {
        return record.close_by_hand(fastener, by).unwrap();
    }
    let printed = TorqueRange { least: Torque::newton_metres(5.0), most: Torque::newton_metres(6.0) };
    let range = found.range().unwrap_or(printed);
    record.tighten(fastener, range.most, range, by).unwrap()
}

fn is_witnessed_by_another(state: &Tightness) -> bool {
    matches!(state, Tightness::Witnessed { by, witness, .. } if by != witness)
}

/// Whether a step is talk or paper, as the hand-over after the second check.
fn is_talk(step: StepId) -> bool {
    matches!(book().step(step).unwrap().skill, Skill::Counter | Skill::Second)
}
