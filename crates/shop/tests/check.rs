//! The gates before a bike leaves, as they are met at the stand. The people are invented; the rules are those of the
//! trade: two hands, two heads, and a witness for every fastener.

#![expect(clippy::unwrap_used, reason = "an act that is refused where it should not be stops the test")]

use quantity::Torque;
use shop::{Book, CheckError, Fastener, FastenerId, Held, Person, Record, StepId, TorqueRange};

const FACEPLATE: FastenerId = FastenerId("stem-faceplate");
const STEERER: FastenerId = FastenerId("stem-steerer");

/// What an invented stem has printed on it.
fn printed() -> TorqueRange {
    TorqueRange { least: Torque::newton_metres(4.0), most: Torque::newton_metres(6.0) }
}

fn person(name: &str) -> Person {
    Person::new(name).unwrap()
}

fn tightened(record: &Record, fastener: FastenerId, by: &str) -> Record {
    record.tighten(fastener, Torque::newton_metres(5.0), printed(), &person(by)).unwrap()
}

/// A stem is straightened and closed by the first person.
fn closed() -> Record {
    let book = Book::start_values();
    let record = Record::default().work(book.step(StepId("front-straight")).unwrap(), &person("First"));
    tightened(&tightened(&record, FACEPLATE, "First"), STEERER, "First")
}

fn finished() -> Record {
    let second = person("Second");
    let record = closed().ride_first(&person("First")).unwrap();
    let record = record.check_second(&second).unwrap();
    let record = record.witness(FACEPLATE, &second).unwrap().witness(STEERER, &second).unwrap();
    record.ride_second(&second).unwrap()
}

#[test]
fn a_bike_leaves_when_all_is_witnessed_ridden_and_checked() {
    assert_eq!(finished().release(), Ok(()));
}

#[test]
fn what_holds_a_bike_is_said_all_at_once() {
    let held = closed().release().unwrap_err();
    let words: Vec<String> = held.iter().map(Held::to_string).collect();
    assert_eq!(
        words,
        [
            "bolts of the stem's faceplate: at value, but at value and witnessed is wanted",
            "bolts of the stem on the steerer: at value, but at value and witnessed is wanted",
            "the first ride is not done",
            "the second check is not signed by a second person",
            "the second ride is not done",
        ]
    );
}

#[test]
fn nobody_rides_on_a_bolt_that_is_finger_tight() {
    let book = Book::start_values();
    let record = Record::default().work(book.step(StepId("stem-and-bar-on")).unwrap(), &person("First"));
    let refused = record.ride_first(&person("First")).unwrap_err();
    assert_eq!(refused[0].to_string(), "bolts of the stem's faceplate: finger-tight, but at value is wanted");
}

#[test]
fn pr16_the_first_technician_does_not_sign_the_second_check_under_any_spelling() {
    let record = closed().ride_first(&person("First")).unwrap();
    for name in ["First", "first", "  FIRST "] {
        let refused = record.check_second(&person(name)).unwrap_err();
        let words = refused[0].to_string();
        assert!(
            words.ends_with(
                "worked on this bike (front-straight, bolts of the stem's faceplate, bolts of the stem on the \
                 steerer), so the second check is for a person who touched nothing of it"
            ),
            "{words}"
        );
    }
}

#[test]
fn a_person_whose_bolt_another_one_tightened_again_has_touched_it_all_the_same() {
    let record = tightened(&tightened(&Record::default(), FACEPLATE, "Second"), FACEPLATE, "First");
    let record = record.ride_first(&person("First")).unwrap();
    let refused = record.check_second(&person("Second")).unwrap_err();
    assert!(matches!(&refused[..], [CheckError::Touched { fasteners, .. }] if fasteners == &[FACEPLATE]));
}

#[test]
fn pr17_a_missing_reading_is_no_second_check() {
    let book = Book::start_values();
    let record = closed().ride_first(&person("First")).unwrap();
    let record = record.work(book.step(StepId("pedals-on")).unwrap(), &person("First"));
    let refused = record.check_second(&person("Second")).unwrap_err();
    assert_eq!(refused.len(), 1);
    assert_eq!(refused[0].to_string(), "pedals in the arms: finger-tight, but at value is wanted");
}

#[test]
fn the_second_check_comes_after_the_first_ride() {
    assert_eq!(closed().check_second(&person("Second")), Err(vec![CheckError::NotRidden]));
}

#[test]
fn nobody_witnesses_what_he_tightened_himself() {
    let refused = closed().witness(FACEPLATE, &person("first")).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "bolts of the stem's faceplate: first tightened it, so another person has to witness it"
    );
    let loose = Record::default().witness(FACEPLATE, &person("Second")).unwrap_err();
    assert!(loose.to_string().contains("not touched, but at value is wanted"), "{loose}");
}

#[test]
fn a_bolt_found_loose_opens_its_whole_group() {
    let loose = finished().found_loose(FACEPLATE);
    let held = loose.release().unwrap_err();
    assert!(held.contains(&Held::Fastener { fastener: STEERER, state: "finger-tight" }), "{held:?}");
    assert!(held.contains(&Held::SecondCheck) && held.contains(&Held::SecondRide));
}

#[test]
fn work_after_the_second_check_undoes_it_and_talk_does_not() {
    let book = Book::start_values();
    let talk = finished().work(book.step(StepId("hand-over")).unwrap(), &person("Counter"));
    assert_eq!(talk.release(), Ok(()));
    let work = finished().work(book.step(StepId("tape-on")).unwrap(), &person("First"));
    assert_eq!(work.release(), Err(vec![Held::SecondCheck, Held::SecondRide]));
}

#[test]
fn the_second_ride_is_for_the_person_who_checked() {
    let record = closed().ride_first(&person("First")).unwrap();
    assert_eq!(record.ride_second(&person("Second")), Err(CheckError::NotChecked));
    let record = record.check_second(&person("Second")).unwrap();
    let refused = record.ride_second(&person("First")).unwrap_err();
    assert_eq!(refused.to_string(), "Second signed the second check, so the second ride is not for First");
}

#[test]
fn a_torque_that_is_not_a_number_or_too_high_is_refused_in_words() {
    let set =
        |nm| Record::default().tighten(FACEPLATE, Torque::newton_metres(nm), printed(), &person("First"));
    assert_eq!(
        set(9.0).unwrap_err().to_string(),
        "bolts of the stem's faceplate to 9.0 N·m, but 4.0 to 6.0 N·m is wanted"
    );
    assert!(set(f64::NAN).is_err());
    assert_eq!(Person::new(" ").unwrap_err(), CheckError::Nameless);
}

#[test]
fn where_the_kind_of_part_decides_the_torque_no_figure_is_given() {
    // A square taper wants three times the torque of pinch bolts: a wrong figure is worse than a question.
    assert_eq!(Fastener::find(FastenerId("crank-arms")).unwrap().range(), None);
    assert_eq!(Fastener::find(FACEPLATE).unwrap().range(), None);
    assert!(Fastener::find(FastenerId("pedals")).unwrap().range().is_some());
}

#[test]
fn a_wheel_is_closed_by_hand_and_a_faceplate_is_not() {
    let wheel = FastenerId("wheel-front");
    let record = Record::default().close_by_hand(wheel, &person("First")).unwrap();
    assert!(record.witness(wheel, &person("Second")).is_ok());
    let refused = Record::default().close_by_hand(FACEPLATE, &person("First")).unwrap_err();
    assert_eq!(refused.to_string(), "bolts of the stem's faceplate: closed by hand, but a torque is wanted");
}

#[test]
fn a_wheel_that_was_out_stops_the_ride_until_it_is_closed() {
    let book = Book::start_values();
    let record = Record::default().work(book.step(StepId("wheels-seated")).unwrap(), &person("First"));
    let refused = record.ride_first(&person("First")).unwrap_err();
    assert!(refused[0].to_string().starts_with("closure of the front wheel: finger-tight"), "{refused:?}");
}
