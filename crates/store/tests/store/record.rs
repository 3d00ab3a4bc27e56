//! Every entry reads back as it was written, and what is not known is refused by name.

use crate::invented::{change, entry, events, person};
use catalog::value::Noted;
use catalog::{Catalogue, Dimension, Slot, Sort, Value};
use fit::{AimName, Effort, Hands, LowestGear, Origin, RideWish, Rider, SetWish, Wish};
use proptest::prelude::*;
use quantity::{
    Angle, Basis, Length, Mass, Measured, Money, Percent, Power, Quantity, Ratio, Reading, Teeth, Torque,
};
use shop::job::{BlindPoint, Channel, Look, Parking, PartCheck, PauseReason, RideKind};
use shop::{
    Age, Book, Circumstances, Entry, EntryKey, Event, FASTENERS, FastenerId, Moment, StepId, StepWork,
    TorqueRange,
};
use std::sync::OnceLock;
use store::record::{EntryRecord, EventRecord, KINDS, PartRecord, RecordError, read_entry};

fn catalogue() -> &'static Catalogue {
    static BUILT_IN: OnceLock<Catalogue> = OnceLock::new();
    BUILT_IN.get_or_init(|| intake::built_in().unwrap())
}

fn any_number() -> impl Strategy<Value = f64> {
    use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    prop_oneof![3 => (-100_000..100_000_i32).prop_map(|n| f64::from(n) / 100.0), 1 => POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO]
}

fn any_basis() -> impl Strategy<Value = Basis> {
    prop_oneof![
        Just(Basis::Measured),
        Just(Basis::Counted),
        Just(Basis::Printed),
        Just(Basis::Assumed),
        Just(Basis::Practice),
        Just(Basis::Memory),
        "[a-z][a-z0-9-]{0,20}".prop_map(Basis::Published),
    ]
}

fn any_measured<Q: Quantity>() -> impl Strategy<Value = Measured<Q>> {
    (any_number(), any_number(), any_basis()).prop_map(|(value, tolerance, basis)| Measured {
        value: Q::from_base(value),
        tolerance: Q::from_base(tolerance.abs()),
        basis,
    })
}

fn any_value(dimension: Dimension) -> BoxedStrategy<Value> {
    let noted = |value: BoxedStrategy<u32>| (value, any_basis());
    match dimension.row().sort {
        Sort::Length => any_measured::<Length>().prop_map(Value::Length).boxed(),
        Sort::Angle => any_measured::<Angle>().prop_map(Value::Angle).boxed(),
        Sort::Ratio => any_measured::<Ratio>().prop_map(Value::Ratio).boxed(),
        Sort::Lengths => {
            prop::collection::vec(any_measured::<Length>(), 0..14).prop_map(Value::Lengths).boxed()
        }
        Sort::Count => noted(any::<u32>().boxed())
            .prop_map(|(value, basis)| Value::Count(Noted { value, basis }))
            .boxed(),
        Sort::Teeth => (prop::collection::vec(6..=80_i64, 0..14), any_basis())
            .prop_map(|(teeth, basis)| {
                let value = teeth.into_iter().map(|count| Teeth::new(count).unwrap()).collect();
                Value::Teeth(Noted { value, basis })
            })
            .boxed(),
        Sort::Word(words) => (prop::sample::select(words), any_basis())
            .prop_map(|(value, basis)| Value::Word(Noted { value, basis }))
            .boxed(),
    }
}

fn any_reading() -> impl Strategy<Value = (Dimension, Reading<Value>)> {
    prop::sample::select(Dimension::ALL.to_vec()).prop_flat_map(|dimension| {
        let reading = prop_oneof![
            6 => any_value(dimension).prop_map(Reading::Taken),
            1 => Just(Reading::Fine),
            1 => Just(Reading::NotReachable),
            1 => Just(Reading::NotNeeded),
            1 => Just(Reading::NotTaken),
        ];
        (Just(dimension), reading)
    })
}

fn any_money() -> impl Strategy<Value = Money> {
    (any::<i64>(), "[A-Z]{3}").prop_map(|(minor, code)| Money::new(minor, &code).unwrap())
}

fn any_wish() -> impl Strategy<Value = Wish> {
    let gear = prop_oneof![
        Just(LowestGear::Keep),
        Just(LowestGear::Easier),
        any_number().prop_map(|share| LowestGear::EasierBy(Percent::new(share))),
    ];
    let hands = prop::sample::select(vec![Hands::Keep, Hands::Free]);
    let some = |money| prop::option::of(money);
    (
        prop::option::of(any::<String>()),
        prop::option::of(gear),
        prop::option::of(hands),
        some(any_money()),
        any::<Option<u32>>(),
        any_set_wish(),
    )
        .prop_map(|(words, lowest_gear, hands, ceiling, ready_in_days, set)| Wish {
            words,
            lowest_gear,
            hands,
            ceiling,
            ready_in_days,
            set,
        })
}

fn any_circumstances() -> impl Strategy<Value = Circumstances> {
    let age = prop::sample::select(vec![Age::Sound, Age::Used, Age::Corroded]);
    (age, any::<[bool; 5]>()).prop_map(
        |(age, [internal_routing, bleed_front, bleed_rear, tandem, customer_parts])| Circumstances {
            age,
            internal_routing,
            bleed_front,
            bleed_rear,
            tandem,
            customer_parts,
        },
    )
}

fn any_set_wish() -> impl Strategy<Value = SetWish> {
    let length = || prop::option::of(any_number().prop_map(Length::mm));
    let slots = || prop::sample::subsequence(Slot::ALL.to_vec(), 0..4);
    let aims = prop::sample::subsequence(AimName::ALL.to_vec(), 0..=AimName::ALL.len());
    (
        any::<(Option<u32>, Option<u32>, Option<u32>, Option<u32>, bool, bool)>(),
        (length(), length(), length()),
        (slots(), slots(), prop::collection::vec(any::<String>(), 0..3), aims),
        (prop::option::of(any_number()), prop::option::of(any_money()), any::<Option<u16>>()),
    )
        .prop_map(|(plain, lengths, lists, others)| SetWish {
            cogs: plain.0,
            rings: plain.1,
            lowest_at_most: lengths.0,
            highest_at_least: lengths.1,
            step_at_most: others.0.map(Percent::new),
            hands_within: lengths.2,
            keep: lists.0,
            free: lists.1,
            avoid: lists.2,
            parts_within_days: plain.2,
            parts_at_most: others.1,
            heavier_at_most: others.2.map(|grams| Mass::grams(f64::from(grams))),
            brakes_not_weaker: plain.4,
            no_marginal: plain.5,
            labour_at_most: plain.3,
            aims: lists.3,
        })
}

/// Any event of any kind, with any text and any number in it.
fn any_event() -> impl Strategy<Value = Event> {
    let words = any::<String>;
    let slot = || prop::sample::select(Slot::ALL.to_vec());
    let steps: Vec<StepId> = Book::start_values().steps().iter().map(|step| step.id).collect();
    let step = prop::sample::select(steps);
    let all: Vec<FastenerId> = FASTENERS.iter().map(|fastener| fastener.id).collect();
    let fastener = move || prop::sample::select(all.clone());
    let torque = || any_number().prop_map(Torque::newton_metres);
    let rider = (any::<Option<u16>>(), any::<Option<u16>>(), prop::option::of(any_number())).prop_map(
        |(mass, power, inseam)| Rider {
            mass: mass.map(|grams| Mass::grams(f64::from(grams))),
            power: power.map(|watts| Power::watts(f64::from(watts))),
            inseam: inseam.map(Length::mm),
            effort: power.map(|watts| [Effort::Easy, Effort::Steady, Effort::Strong][usize::from(watts) % 3]),
            climb: inseam.map(|mm| (Length::mm(mm), Length::mm(mm), 7)),
            cadence: mass.map(|grams| (u32::from(grams), 95)),
            lowest_cadence: mass.map(u32::from),
        },
    );
    let desk = prop_oneof![
        (words(), words(), words()).prop_map(|(name, customer, words)| Event::Enquired {
            name,
            customer,
            words
        }),
        words().prop_map(|hook| Event::Received { hook }),
        any_wish().prop_map(|wish| Event::WishSet(Box::new(wish))),
        rider.prop_map(|rider| Event::RiderSet(Box::new(rider))),
        (slot(), any::<bool>(), any_reading()).prop_map(|(slot, found, (dimension, reading))| {
            let origin = if found { Origin::Found } else { Origin::Chosen };
            Event::Measured { slot, origin, dimension, reading }
        }),
        prop::sample::select(catalogue().parts.clone()).prop_map(|part| Event::Chosen(Box::new(part))),
        slot().prop_map(Event::Dropped),
        words().prop_map(|words| Event::HandsRecorded { words }),
        (any_money(), prop::option::of(any_money()), words())
            .prop_map(|(total, ceiling, scope)| Event::Estimated { total, ceiling, scope }),
        (
            any::<u32>(),
            words(),
            prop::sample::select(vec![Channel::Counter, Channel::Link, Channel::Telephone]),
            words()
        )
            .prop_map(|(version, name, channel, words)| Event::Approved {
                version,
                name,
                channel,
                words
            }),
        (words(), words()).prop_map(|(what, words)| Event::Declined { what, words }),
        (slot(), any::<Option<i64>>()).prop_map(|(slot, due_day)| Event::Ordered { slot, due_day }),
        slot().prop_map(|slot| Event::Arrived { slot }),
        (slot(), prop::option::of(words())).prop_map(|(slot, wrong)| Event::PartChecked {
            slot,
            check: wrong.map_or(PartCheck::Fits, |words| PartCheck::Wrong { words }),
        }),
    ];
    let reasons = vec![
        PauseReason::Part,
        PauseReason::Customer,
        PauseReason::OtherJob,
        PauseReason::Person,
        PauseReason::Tool,
    ];
    let states = vec![Parking::StrippedAndBagged, Parking::RollingWithoutChain, Parking::BuiltUntested];
    let stand = prop_oneof![
        Just(Event::Started),
        (step.clone(), prop::collection::vec(fastener(), 0..4), any::<bool>(), any::<bool>()).prop_map(
            |(step, turned, strips, moves_something)| Event::Done {
                step,
                work: StepWork { turned, strips, moves_something }
            }
        ),
        (fastener(), torque(), torque(), torque(), words()).prop_map(
            |(fastener, torque, least, most, wrench)| Event::Tightened {
                fastener,
                torque,
                wanted: TorqueRange { least, most },
                wrench
            }
        ),
        fastener().prop_map(|fastener| Event::ClosedByHand { fastener }),
        fastener().prop_map(|fastener| Event::Witnessed { fastener }),
        fastener().prop_map(|fastener| Event::FoundLoose { fastener }),
        (prop::option::of(step), words(), any::<bool>()).prop_map(|(step, words, stops)| Event::Problem {
            step,
            words,
            stops
        }),
        (any::<usize>(), words()).prop_map(|(problem, words)| Event::Settled { problem, words }),
        (prop::sample::select(reasons), prop::sample::select(states), words())
            .prop_map(|(reason, parking, words)| Event::Paused { reason, parking, words }),
        (any::<usize>(), any::<usize>(), words(), words()).prop_map(|(asked, choice, name, words)| {
            Event::ChangeAnswered { asked, choice, name, channel: Channel::Beforehand, words }
        }),
        (any::<usize>(), words(), prop::option::of(words()), any_money(), any::<(u32, Option<u32>)>())
            .prop_map(|(problem, words, other, price, (minutes, days))| {
                let mut change = change();
                change.finding.words = words.clone();
                change.finding.photo = other.clone();
                change.declined = other;
                change.choices[0].means = words;
                change.choices[0].minutes = minutes;
                change.choices[0].price = price;
                change.choices[0].parts[0].price = days.map(|_| price);
                change.choices[0].parts[0].days = days;
                Event::ChangeAsked { problem, change: Box::new(change) }
            }),
        Just(Event::Resumed),
        (prop::sample::select(BlindPoint::ALL.to_vec()), any::<bool>(), any_number()).prop_map(
            |(point, first, value)| {
                let look = if first { Look::First } else { Look::Second };
                Event::Looked { point, look, value }
            }
        ),
        (any::<bool>(), prop::option::of(words())).prop_map(|(first, instead)| {
            let ride = if first { RideKind::First } else { RideKind::Second };
            Event::Rode { ride, instead }
        }),
        Just(Event::SecondChecked),
        words().prop_map(|name| Event::Collected { name }),
        (any::<Option<i32>>(), words()).prop_map(|(clicks, words)| Event::FollowedUp { clicks, words }),
        words().prop_map(|words| Event::SentHome { words }),
        words().prop_map(|words| Event::Noted { words }),
        (any::<i64>(), words()).prop_map(|(day, words)| Event::Promised { day, words }),
        any_circumstances().prop_map(Event::CircumstancesSet),
        (
            prop::option::of(words()),
            any::<Option<bool>>(),
            any_number(),
            prop::collection::vec(words(), 0..3)
        )
            .prop_map(|(file, barometer, mm, compare)| {
                let hill = file.is_none().then(|| (Length::mm(mm), Length::mm(mm / 2.0)));
                Event::RideSet(Box::new(RideWish { file, barometer, hill, compare, ..RideWish::default() }))
            }),
        (any::<usize>(), words()).prop_map(|(entry, words)| Event::Corrected { entry, words }),
    ];
    prop_oneof![desk, stand]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2_000) })]

    #[test]
    fn every_entry_reads_back_from_its_text_as_it_was(
        event in any_event(), key in any::<u128>(), at in any::<i64>(), by in "\\PC*[a-zA-Zä]\\PC*"
    ) {
        let entry = Entry { key: EntryKey(key), at: Moment(at), by: person(&by), event };
        let record = EntryRecord::of(&entry).unwrap();
        let text = serde_json::to_string(&record).unwrap();
        let again = read_entry(&text).unwrap();
        prop_assert_eq!(&again, &record);
        let read = again.entry().unwrap();
        // The name too, not only that it is the same person.
        prop_assert_eq!(read.by.to_string(), entry.by.to_string());
        prop_assert_eq!(read, entry);
    }
}

#[test]
fn every_part_of_the_catalogue_keeps_its_figures() {
    for part in &catalogue().parts {
        let text = serde_json::to_string(&PartRecord::of(part)).unwrap();
        let again: PartRecord = serde_json::from_str(&text).unwrap();
        assert_eq!(again.part().as_ref(), Ok(part), "{text}");
    }
    assert!(catalogue().parts.len() > 50);
}

#[test]
fn a_value_outside_what_is_believed_today_still_reads() {
    let measured = Measured::exact(Length::mm(4_105.0), Basis::Measured);
    let reading = Reading::Taken(Value::Length(measured));
    let (slot, dimension) = (Slot::Frame, Dimension::Chainstay);
    let refused =
        intake::read_value(slot, dimension, "4105 mm", intake::Pad::UnitWritten, &Default::default());
    assert!(refused.is_err());
    let event = Event::Measured { slot, origin: Origin::Found, dimension, reading };
    let entry = entry(1, event);
    assert_eq!(EntryRecord::of(&entry).unwrap().entry(), Ok(entry));
}

/// The words are the form of the file: a change here would make old records unreadable.
#[test]
fn an_entry_is_written_in_these_words() {
    let length = Measured { value: Length::mm(410.5), tolerance: Length::mm(1.0), basis: Basis::Measured };
    let event = Event::Measured {
        slot: Slot::Frame,
        origin: Origin::Found,
        dimension: Dimension::Chainstay,
        reading: Reading::Taken(Value::Length(length)),
    };
    let text = serde_json::to_string(&EntryRecord::of(&entry(1, event)).unwrap()).unwrap();
    assert_eq!(
        text,
        "{\"key\":\"00000000-0000-0000-0000-000000000001\",\"at_ms\":1001,\"by\":\"A. Manager\",\
         \"event\":{\"kind\":\"measured\",\"slot\":\"frame\",\"origin\":\"found\",\"dimension\":\"chainstay\",\
         \"reading\":\"410.5 ± 1 mm measured\"}}"
    );
}

#[test]
fn the_list_of_kinds_is_the_list_of_the_schema() {
    let schema = serde_json::to_value(schemars::schema_for!(EventRecord)).unwrap();
    let of = |one: &serde_json::Value| one["properties"]["kind"]["const"].as_str().map(str::to_owned);
    let found: Vec<String> = schema["oneOf"].as_array().unwrap().iter().filter_map(of).collect();
    assert_eq!(found, KINDS);
    for event in events() {
        let record = EntryRecord::of(&entry(1, event)).unwrap();
        let value = serde_json::to_value(&record.event).unwrap();
        assert!(KINDS.contains(&value["kind"].as_str().unwrap()));
    }
}

#[test]
fn what_a_newer_program_wrote_is_refused_by_name() {
    let text = |event: &str| {
        format!(
            "{{\"key\":\"00000000-0000-0000-0000-000000000001\",\"at_ms\":1,\"by\":\"a\",\"event\":{event}}}"
        )
    };
    let unknown = read_entry(&text("{\"kind\":\"weighed\",\"grams\":9}")).unwrap_err();
    assert_eq!(unknown, RecordError::UnknownKind("weighed".into()));
    assert!(unknown.to_string().contains("`weighed`"));
    // A field that is not known is not passed over either.
    let more = read_entry(&text("{\"kind\":\"started\",\"by_whom\":\"b\"}"));
    let more_of_it = read_entry(&text("{\"kind\":\"received\",\"hook\":\"7\",\"colour\":\"red\"}"));
    for refused in [more, more_of_it] {
        assert!(matches!(refused, Err(RecordError::Form(_))), "{refused:?}");
    }
    let place = read_entry(&text("{\"kind\":\"arrived\",\"slot\":\"motor\"}")).unwrap();
    let unknown = place.entry().unwrap_err();
    assert_eq!(unknown, RecordError::UnknownWord { what: "place on the bike", found: "motor".into() });
}

#[test]
fn a_number_that_is_none_is_not_kept() {
    let event = Event::Looked { point: BlindPoint::PulleyGap, look: Look::First, value: f64::NAN };
    assert_eq!(EntryRecord::of(&entry(1, event)), Err(RecordError::NotExact("looked")));
}
