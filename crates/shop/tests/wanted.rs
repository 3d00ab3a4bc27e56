//! Which work a plan brings: nothing has to be remembered. The bikes are invented.

#![expect(clippy::unwrap_used, reason = "a refit that cannot be read stops the test")]

use catalog::Slot;
use fit::Plan;
use intake::Source;
use shop::{
    Age, Because, Block, Book, Circumstances, OperationId, StepId, approval_stands, operations_for, wanted,
};

fn planned(text: &str) -> Plan {
    let catalogue = intake::built_in().unwrap();
    let refit = intake::read_refit(Source { name: "bike.toml", text }, &catalogue).unwrap();
    fit::plan(&refit, &catalogue)
}

fn steps(plan: &Plan) -> Vec<&'static str> {
    let steps = Book::start_values().steps_of(&operations_for(plan)).unwrap();
    steps.into_iter().map(|step| step.0).collect()
}

fn with_choice(choice: &str) -> Plan {
    planned(&format!(
        "name = \"invented\"\n[bike.bar]\nclamp = \"26.0 mm\"\n[bike.stem]\nclamp = \"26.0 mm\"\n\
         length = \"110 mm\"\nangle = \"-17 deg\"\n[bike.frame]\nsteerer = \"28.6 mm\"\n[choice]\n{choice}\n"
    ))
}

const EVERY_JOB: [&str; 8] = [
    "talk",
    "safety-look",
    "agree",
    "first-bolt-check",
    "first-ride",
    "second-check",
    "second-ride",
    "hand-over",
];

#[test]
fn every_job_has_its_intake_bolt_check_second_check_rides_and_hand_over() {
    for choice in ["", "tape = \"tape-2100\"", "cassette = \"cassette-11-road-11-32\""] {
        let steps = steps(&with_choice(choice));
        for step in EVERY_JOB {
            assert!(steps.contains(&step), "`{step}` with `{choice}`");
        }
    }
}

#[test]
fn a_new_cassette_brings_the_wheel_out_and_in() {
    let steps = steps(&with_choice("cassette = \"cassette-11-road-11-32\""));
    for step in
        ["rear-wheel-out", "wheel-out-measure", "cassette-off", "cassette-on", "wheels-seated", "rear-index"]
    {
        assert!(steps.contains(&step), "{step}");
    }
    for step in ["tape-on", "levers-off", "cranks-off", "bottom-bracket-out"] {
        assert!(!steps.contains(&step), "{step}");
    }
}

#[test]
fn a_new_bar_brings_tape_levers_cables_and_the_stem_that_heals_it() {
    let plan = with_choice("bar = \"bar-drop-31.8-reach-80\"");
    assert!(!plan.added.is_empty(), "the stem is too narrow for the new bar");
    let steps = steps(&plan);
    for step in [
        "contact-points",
        "tape-off",
        "cables-out",
        "levers-off",
        "bar-off",
        "stem-off",
        "stem-and-bar-on",
        "levers-on",
        "front-straight",
        "shift-housings",
        "brake-housings",
        "position-check",
        "tape-on",
    ] {
        assert!(steps.contains(&step), "{step}");
    }
    let stem = wanted(&plan, Circumstances::default());
    let stem = stem.iter().find(|wanted| wanted.operation == OperationId("stem")).unwrap();
    assert_eq!(stem.because, Because::NewPart(Slot::Stem));
}

#[test]
fn every_slot_brings_work_of_its_own_from_the_book() {
    let book = Book::start_values();
    for slot in Slot::ALL {
        let mut plan = with_choice("");
        plan.build = plan.build.with(slot.empty());
        let wanted = wanted(&plan, Circumstances::default());
        let of_slot: Vec<OperationId> = wanted
            .iter()
            .filter(|wanted| wanted.because == Because::NewPart(*slot))
            .map(|wanted| wanted.operation)
            .collect();
        assert!(!of_slot.is_empty(), "{}", slot.key());
        assert!(!of_slot.contains(&OperationId("other-part")), "{} has no operation of its own", slot.key());
        let all: Vec<OperationId> = wanted.iter().map(|wanted| wanted.operation).collect();
        assert!(book.steps_of(&all).is_ok(), "{}", slot.key());
    }
}

#[test]
fn a_bent_steel_hanger_is_aligned_and_a_spent_bolted_one_exchanged() {
    let bike = |hanger: &str, bend: &str, material: &str| {
        planned(&format!(
            "name = \"invented\"\n[bike.frame]\nmaterial = \"{material}\"\nhanger = \"{hanger}\"\n\
             hanger_bend = \"{bend}\"\n[choice]\nrear_derailleur = \"rd-road-11-ratio-1.4-short\"\n"
        ))
    };
    let straightened = bike("one-piece", "14 mm", "steel");
    let ids = operations_for(&straightened);
    assert!(ids.contains(&OperationId("hanger-alignment")), "{ids:?}");
    let exchanged = bike("bolted", "14 mm", "aluminium");
    let ids = operations_for(&exchanged);
    assert!(ids.contains(&OperationId("hanger-exchange")), "{ids:?}");
}

#[test]
fn one_ring_in_front_brings_no_front_cable() {
    let bike = |rings: &str| {
        planned(&format!(
            "name = \"invented\"\n[bike.crankset]\nrings = {rings}\n[choice]\ncables = \"cables-shift-2100-brake-1700\"\n"
        ))
    };
    assert!(!steps(&bike("[42]")).contains(&"front-inner"));
    assert!(steps(&bike("[50, 34]")).contains(&"front-inner"));
}

#[test]
fn circumstances_are_named_steps_with_minutes_of_their_own() {
    let book = Book::start_values();
    let plan = with_choice("cables = \"cables-shift-2100-brake-1700\"");
    let minutes = |circumstances: Circumstances| {
        let ids: Vec<OperationId> =
            wanted(&plan, circumstances).into_iter().map(|wanted| wanted.operation).collect();
        book.labour(&ids, circumstances.age).unwrap()
    };
    let plain = minutes(Circumstances::default()).minutes;
    let inside = minutes(Circumstances { internal_routing: true, ..Circumstances::default() }).minutes;
    assert_eq!([inside.low - plain.low, inside.usual - plain.usual, inside.high - plain.high], [15, 30, 45]);
    let brought = minutes(Circumstances { customer_parts: true, ..Circumstances::default() }).minutes;
    assert_eq!(brought.usual - plain.usual, 15);
}

#[test]
fn a_circumstance_that_the_job_does_not_meet_adds_nothing() {
    let all = Circumstances { internal_routing: true, tandem: true, ..Circumstances::default() };
    let ids = |choice: &str| -> Vec<OperationId> {
        let wanted = wanted(&with_choice(choice), all);
        let added = wanted.iter().filter(|wanted| wanted.because == Because::Circumstance);
        added.map(|wanted| wanted.operation).collect()
    };
    assert_eq!(ids("tape = \"tape-2100\""), []);
    assert_eq!(ids("cables = \"cables-shift-2100-brake-1700\""), [OperationId("internal-routing")]);
    assert_eq!(ids("crankset = \"crankset-50-34-24-through\""), [OperationId("timing-chain")]);
}

#[test]
fn age_is_shown_on_the_steps_of_taking_off_alone() {
    let book = Book::start_values();
    let ids = operations_for(&with_choice("bar = \"bar-drop-31.8-reach-80\""));
    let strip: u32 = book
        .steps_of(&ids)
        .unwrap()
        .iter()
        .filter_map(|id: &StepId| book.step(*id))
        .filter(|step| step.block == Block::Strip)
        .map(|step| step.minutes.usual)
        .sum();
    for (age, factor) in [(Age::Used, 0.15), (Age::Corroded, 0.30)] {
        let labour = book.labour(&ids, age).unwrap();
        let added = (f64::from(strip) * factor).ceil() as u32;
        assert_eq!(labour.total.usual - labour.minutes.usual, added);
        assert_eq!(labour.extras.len(), 1);
    }
    assert!(book.labour(&ids, Age::Sound).unwrap().extras.is_empty());
}

#[test]
fn pr18_a_measurement_that_changed_asks_the_customer_again() {
    let bike = |clamp: &str| {
        planned(&format!(
            "name = \"invented\"\n[bike.stem]\nclamp = \"{clamp}\"\n[choice]\nbar = \"bar-drop-31.8-reach-80\"\n"
        ))
    };
    assert!(approval_stands(&bike("31.8 mm"), &bike("31.8 mm")).is_ok());
    let changed = approval_stands(&bike("31.8 mm"), &bike("26.0 mm")).unwrap_err();
    assert!(changed.iter().any(|change| change.rule.id == "bar-in-stem"), "{changed:?}");
}

fn operations(text: &str) -> Vec<&'static str> {
    operations_for(&planned(text)).into_iter().map(|operation| operation.0).collect()
}

#[test]
fn an_electric_drive_is_made_safe_first_of_all_and_ridden_with_and_without_assist() {
    for drive in ["mid-drive", "hub-drive"] {
        let plan = planned(&format!(
            "name = \"invented\"\n[bike.frame]\ndrive = \"{drive}\"\n[choice]\ncassette = \"cassette-11-road-11-32\"\n"
        ));
        let book = Book::start_values();
        let order = book.order(&operations_for(&plan)).unwrap();
        assert_eq!(order[0].step.id.0, "drive-off");
        assert!(order.iter().any(|placed| placed.step.id.0 == "ride-with-assist"));
        // The cranks of a mid-drive are part of the drive: a cassette does not touch them.
        assert!(!order.iter().any(|placed| ["cranks-off", "bottom-bracket-out"].contains(&placed.step.id.0)));
        assert!(plan.flags.iter().any(|flag| flag.contains("battery out")));
    }
    let none = "name = \"invented\"\n[bike.frame]\ndrive = \"none\"\n[choice]\ntape = \"tape-2100\"\n";
    assert!(!operations(none).contains(&"electric-drive"));
}

#[test]
fn a_cracked_frame_leaves_only_the_telling() {
    let cracked = "name = \"invented\"\n[bike.frame]\ndamage = \"crack\"\n[choice]\ncassette = \"cassette-11-road-11-32\"\n";
    let plan = planned(cracked);
    assert_eq!(operations_for(&plan), [OperationId("send-home")]);
    assert_eq!(wanted(&plan, Circumstances::default())[0].because, Because::Refusal("frame-damage"));
    assert_eq!(steps(&plan), ["talk", "safety-look", "do-not-ride", "told-and-signed"]);
    assert!(plan.flags[0].starts_with("DO NOT RIDE"));
    let sound = cracked.replace("crack", "none");
    assert!(!operations(&sound).contains(&"send-home"));
}

const CARBON: &str = "name = \"invented\"\n[choice.bar]\nname = \"carbon bar\"\nmaterial = \"carbon\"\n\
    history = \"known\"\nmark = \"0.0 ± 0.05 mm\"\n";

#[test]
fn a_sound_carbon_bar_is_witnessed_and_a_refused_one_goes_back_tagged() {
    let sound = steps(&planned(CARBON));
    assert!(sound.contains(&"carbon-clamps") && sound.contains(&"carbon-witness"));
    assert!(!sound.contains(&"refused-part-back"));
    let refused = steps(&planned(&CARBON.replace("0.0 ±", "0.3 ±")));
    assert!(refused.contains(&"refused-part-back") && !refused.contains(&"carbon-witness"));
    let metal = steps(&planned(&CARBON.replace("\"carbon\"", "\"aluminium\"")));
    assert!(!metal.contains(&"refused-part-back") && !metal.contains(&"carbon-witness"));
}

#[test]
fn a_folding_bike_is_folded_five_times_before_the_second_check() {
    let folding = "name = \"invented\"\n[bike.frame]\nfold_extra = \"35 mm\"\n[choice]\ncables = \"cables-drop-bar-set\"\n";
    let plan = planned(&folding.replace("[choice]\ncables = \"cables-drop-bar-set\"\n", ""));
    let book = Book::start_values();
    let order = book.order(&operations_for(&plan)).unwrap();
    let place = |id: &str| order.iter().position(|placed| placed.step.id.0 == id).unwrap();
    assert!(place("fold-test") < place("second-check"));
    assert!(order[place("fold-test")].step.title.contains("five times"));
    assert!(
        !operations(
            &folding
                .replace("fold_extra = \"35 mm\"\n", "")
                .replace("cables = \"cables-drop-bar-set\"\n", "")
        )
        .contains(&"folding")
    );
}
