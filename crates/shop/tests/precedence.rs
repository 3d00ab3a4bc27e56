//! The built-in book: its figures against a sheet of 66 steps, its hard rules of precedence, its problems.
//!
//! The minutes of the sheet and its rules are common practice; its sums were worked out by another script.

use shop::{
    Age, Block, Book, BookError, Closing, FASTENERS, Fastener, FastenerId, Minutes, Need, Operation,
    OperationId, Skill, Step, StepId,
};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// Steps that the sheet does not have: for other bikes, for parts that the customer brought, or for a wheel in front.
const BEYOND_THE_SHEET: &[&str] = &[
    "drive-off",
    "do-not-ride",
    "told-and-signed",
    "refused-part-back",
    "fold-test",
    "carbon-clamps",
    "carbon-witness",
    "ride-with-assist",
    "order-parts",
    "customer-parts-check",
    "grips-off",
    "hoses-off",
    "front-wheel-out",
    "seatpost-out",
    "cold-set",
    "hanger-exchange",
    "seatpost-in",
    "named-work",
    "other-part-on",
    "rings-swap",
    "timing-chain-fit",
    "timing-chain-tension",
    "pads-swap",
    "disc-calipers-centre",
    "internal-run",
    "hoses-route",
    "bleed-front",
    "bleed-rear",
    "grips-on",
    // What is done less often.
    "tyre-off",
    "spokes-replace",
    "wheel-dish",
    "tension-read",
    "hub-rear-open",
    "body-swap",
    "hub-rear-close",
    "hub-front-open",
    "hub-front-close",
    "rim-tape-swap",
    "tube-swap",
    "tubeless-seal",
    "rotor-true",
    "chain-measure",
    "fluid-look",
    "hinge-check",
    "wash",
    "guards-off",
    "saddle-off",
    "fork-off",
    "pressed-bearings-out",
    "headset-cups-out",
    "disc-pads-out",
    "corrosion-treat",
    "hanger-insert",
    "bore-measure",
    "headset-cups-in",
    "crown-race-on",
    "steerer-cut",
    "fork-on",
    "caliper-mounts-face",
    "film-on",
    "bosses-check",
    "pressed-bearings-in",
    "pulleys-swap",
    "cassette-wash",
    "chain-catcher-on",
    "chain-oil",
    "brake-posts",
    "pistons-free",
    "disc-pads-in",
    "saddle-on",
    "guards-on",
    "rack-on",
    "child-seat-mount",
    "stand-on",
    "lamp-front-on",
    "lamp-rear-on",
    "dynamo-wire",
    "computer-on",
    "sensor-place",
    "battery-in",
    "lamp-test",
    "pads-bed",
    "rest-pressure",
];

fn on_the_sheet(book: &Book) -> impl Iterator<Item = &Step> {
    book.steps().iter().filter(|step| !BEYOND_THE_SHEET.contains(&step.id.0))
}

#[test]
fn the_blocks_of_the_sheet_add_up_to_its_totals() {
    let book = Book::start_values();
    let mut blocks: BTreeMap<char, u32> = BTreeMap::new();
    for step in on_the_sheet(&book) {
        *blocks.entry(step.block.letter()).or_default() += step.minutes.usual;
    }
    let expected = [('A', 95), ('B', 60), ('C', 72), ('D', 63), ('E', 12), ('F', 99), ('G', 121)];
    assert_eq!(blocks, BTreeMap::from(expected));
    assert_eq!(blocks.values().sum::<u32>(), 522);
    // Without the rotors, as on a bike with rim brakes.
    assert_eq!(522 - book.step(StepId("rotors-on")).unwrap().minutes.usual, 516);
    // Between the word of the customer and the control.
    assert_eq!(('B'..='F').map(|block| blocks[&block]).sum::<u32>(), 306);
}

#[test]
fn a_whole_refit_with_rim_brakes_takes_the_516_minutes_of_the_sheet_and_what_it_leaves_out() {
    let whole = [
        "rear-wheel",
        "front-wheel",
        "cassette",
        "chain",
        "crankset",
        "bottom-bracket",
        "rear-derailleur",
        "front-derailleur",
        "calipers",
        "levers",
        "bar",
        "stem",
        "headset",
    ];
    let labour = Book::start_values().labour(&whole.map(OperationId), Age::Sound).unwrap();
    // Ordering, 5 minutes, and the front wheel, 1 minute, are no steps of the sheet.
    assert_eq!(labour.minutes.usual, 516 + 5 + 1);
}

#[test]
fn a_step_off_the_sheet_is_named_as_such_and_stands_in_the_book() {
    let book = Book::start_values();
    for id in BEYOND_THE_SHEET {
        assert!(book.step(StepId(id)).is_some(), "{id}");
    }
}

#[test]
fn two_pairs_of_hands_cannot_be_faster_than_the_longest_chain_of_needs() {
    let book = Book::start_values();
    let mut longest: BTreeMap<StepId, u32> = BTreeMap::new();
    // Each pass carries the length one step further; no chain is longer than there are steps.
    for _ in book.steps() {
        for step in on_the_sheet(&book) {
            let before = step.needs.iter().filter_map(|need| longest.get(&need.step)).max();
            longest.insert(step.id, before.unwrap_or(&0) + step.minutes.usual);
        }
    }
    assert_eq!(longest.values().max(), Some(&312));
}

#[test]
fn the_built_in_book_has_no_problem() {
    let book = Book::start_values();
    let again = Book::new(book.steps().to_vec(), book.operations().to_vec());
    assert_eq!(again.err(), None);
}

#[test]
fn every_step_is_taken_by_an_operation_and_every_fastener_is_in_the_table() {
    let book = Book::start_values();
    for step in book.steps() {
        let taken = book.operations().iter().any(|operation| operation.steps.contains(&step.id));
        assert!(taken, "no operation takes `{}`", step.id);
        for fastener in step.fasteners.iter() {
            assert!(Fastener::find(*fastener).is_some(), "`{fastener}` of `{}`", step.id);
        }
    }
    for fastener in FASTENERS {
        let turned = book.steps().iter().any(|step| step.fasteners.contains(&fastener.id));
        assert!(turned, "no step turns `{}`", fastener.id);
        if let Closing::Range(least, most) = fastener.closing {
            assert!(0.0 < least && least <= most, "{}", fastener.id);
        }
    }
}

/// Each of the first comes before each of the second.
fn holds(first: &[&'static str], second: &[&'static str]) {
    let book = Book::start_values();
    for first in first {
        for second in second {
            let (first, second) = (StepId(first), StepId(second));
            assert!(book.comes_before(first, second), "`{first}` is not before `{second}`");
            assert!(!book.comes_before(second, first));
        }
    }
}

#[test]
fn pr01_nothing_is_ordered_before_frame_body_and_stuck_parts_are_known() {
    holds(&["safety-look", "measure-bike", "wheel-out-measure", "break-loose"], &["agree"]);
    holds(&["agree"], &["order-parts"]);
}

#[test]
fn pr02_the_hand_position_is_recorded_before_the_bar_comes_off() {
    holds(&["contact-points"], &["bar-off", "stem-off"]);
}

#[test]
fn pr03_spreading_then_hanger_then_derailleur_then_index() {
    holds(&["frame-track", "cold-set"], &["hanger-align"]);
    holds(&["hanger-align"], &["rear-derailleur-on"]);
    holds(&["rear-derailleur-on"], &["rear-index"]);
}

#[test]
fn pr04_the_shell_is_cut_before_bearings_and_chainline() {
    holds(&["shell-prepare"], &["bottom-bracket-in"]);
    holds(&["bottom-bracket-in"], &["chainline-check", "front-derailleur-place"]);
}

#[test]
fn pr05_the_chain_is_cut_after_the_chainline_is_known() {
    holds(&["chainline-check"], &["chain-fit"]);
}

#[test]
fn pr06_calipers_are_set_to_a_true_wheel() {
    holds(&["wheels-true"], &["calipers-fit", "pads-swap", "rotors-on"]);
}

#[test]
fn pr07_derailleur_limits_bar_and_index_follow_the_seated_wheel() {
    holds(&["wheels-seated"], &["rear-derailleur-on", "rear-limits", "front-straight", "rear-index"]);
}

#[test]
fn pr08_limits_come_before_tension() {
    holds(&["rear-limits"], &["rear-inner", "settle", "rear-index", "front-cable"]);
    holds(&["front-low-limit"], &["front-inner", "settle", "rear-index", "front-cable"]);
}

#[test]
fn pr09_preload_comes_before_the_clamp() {
    holds(&["stem-and-bar-on"], &["front-straight"]);
}

#[test]
fn pr10_levers_and_bar_then_housings_then_tape() {
    let housings = ["shift-housings", "brake-housings", "hoses-route"];
    holds(&["levers-on", "front-straight"], &housings);
    holds(&housings, &["tape-on"]);
}

#[test]
fn pr11_the_torque_on_record_is_the_last_one() {
    holds(&["front-straight"], &["first-bolt-check"]);
}

#[test]
fn pr12_housings_settle_before_indexing() {
    holds(&["settle"], &["rear-index"]);
}

#[test]
fn pr13_bolts_and_brakes_come_before_anyone_rides_the_finished_bike() {
    holds(&["brakes-set", "first-bolt-check", "static-brake-test"], &["first-ride"]);
}

#[test]
fn pr14_position_and_routing_are_proven_before_the_tape() {
    holds(&["position-check", "first-ride", "readjust"], &["tape-on"]);
}

#[test]
fn pr15_tape_then_second_check_then_second_ride_then_hand_over_then_follow_up() {
    let order = ["tape-on", "second-check", "second-ride", "hand-over", "follow-up"];
    for pair in order.windows(2) {
        holds(&pair[..1], &pair[1..]);
    }
}

#[test]
fn no_bolt_moves_for_good_before_the_customer_has_agreed() {
    let book = Book::start_values();
    for step in book.steps().iter().filter(|step| step.block > Block::Intake) {
        assert!(book.comes_before(StepId("agree"), step.id), "`{}`", step.id);
    }
}

#[test]
fn every_bolt_that_is_turned_is_turned_before_the_first_bolt_check() {
    let book = Book::start_values();
    for step in book.steps().iter().filter(|step| !step.fasteners.is_empty()) {
        assert!(book.comes_before(step.id, StepId("first-bolt-check")), "`{}`", step.id);
    }
}

#[test]
fn everything_comes_before_the_second_check_but_what_follows_it() {
    let book = Book::start_values();
    let check = StepId("second-check");
    let after: Vec<&str> = (book.steps().iter())
        .filter(|step| step.id != check && !book.comes_before(step.id, check))
        .map(|step| step.id.0)
        // A job that ends at the counter has no second check.
        .filter(|id| !["do-not-ride", "told-and-signed"].contains(id))
        .collect();
    assert_eq!(after, ["second-ride", "hand-over", "follow-up"]);
}

fn step(id: &'static str, needs: &[&'static str]) -> Step {
    Step {
        id: StepId(id),
        title: id,
        block: Block::Frame,
        minutes: Minutes::new(1, 2, 3),
        skill: Skill::Mechanic,
        tool: "",
        needs: Cow::Owned(needs.iter().map(|need| Need { step: StepId(need), because: "it must" }).collect()),
        irreversible: false,
        fasteners: Cow::Owned(Vec::<FastenerId>::new()),
        notes: shop::Notes::default(),
    }
}

fn operation(id: &'static str, steps: &[&'static str], brings: &[&'static str]) -> Operation {
    Operation {
        id: OperationId(id),
        title: id,
        steps: Cow::Owned(steps.iter().map(|step| StepId(step)).collect()),
        brings: Cow::Owned(brings.iter().map(|brings| OperationId(brings)).collect()),
    }
}

#[test]
fn a_book_says_everything_that_is_wrong_with_it_by_name() {
    let mut late = step("late", &["early", "lost"]);
    late.minutes = Minutes::new(3, 2, 1);
    let steps = vec![step("early", &["middle"]), step("middle", &["late"]), late, step("early", &["middle"])];
    let operations = vec![
        operation("a", &["gone"], &["b"]),
        operation("b", &[], &["a", "c"]),
        operation("a", &[], &["b"]),
    ];
    let problems = Book::new(steps, operations).unwrap_err();
    let words: Vec<String> = problems.iter().map(BookError::to_string).collect();
    assert_eq!(
        words,
        [
            "the minutes of `late` do not rise from low over usual to high",
            "the step `late` comes after `lost`, which is not in the book",
            "the step `early` stands twice in the book",
            "the operation `a` takes the step `gone`, which is not in the book",
            "the operation `b` brings `c`, which is not in the book",
            "the operation `a` stands twice in the book",
            "each of these steps waits for the one before it, so none can be first: `late`, `middle`, `early`, `late`",
            "each of these operations brings the next one, without end: `a`, `b`, `a`",
        ]
    );
}

#[test]
fn a_step_that_waits_for_itself_is_a_ring_of_one() {
    let problems = Book::new(vec![step("a", &["a"])], Vec::new()).unwrap_err();
    assert_eq!(problems, [BookError::StepsInARing(vec![StepId("a")])]);
}

#[test]
fn an_operation_that_is_not_there_is_named() {
    let asked = Book::start_values().order(&[OperationId("moonlight")]).unwrap_err();
    assert_eq!(asked.to_string(), "the operation `moonlight` is not in the book");
}

#[test]
fn a_relation_holds_through_steps_that_are_left_out() {
    let steps = vec![step("third", &["second"]), step("second", &["first"]), step("first", &[])];
    let book = Book::new(steps, vec![operation("ends", &["third", "first"], &[])]).unwrap();
    let order = book.order(&[OperationId("ends")]).unwrap();
    let ids: Vec<&str> = order.iter().map(|placed| placed.step.id.0).collect();
    assert_eq!(ids, ["first", "third"]);
    assert_eq!(order[1].after[0].through, [StepId("second")]);
}

#[test]
fn blocks_go_from_front_to_back_and_a_tool_stays_in_the_hand() {
    let with = |id, block, tool| Step { block, tool, ..step(id, &[]) };
    let steps = vec![
        with("tape", Block::Control, "knife"),
        with("pinch bolt", Block::Drivetrain, "hex key"),
        with("bearing", Block::Drivetrain, "press"),
        with("pulley bolt", Block::Drivetrain, "hex key"),
        with("post", Block::Frame, "hex key"),
    ];
    let all = ["tape", "pinch bolt", "bearing", "pulley bolt", "post"];
    let book = Book::new(steps, vec![operation("all", &all, &[])]).unwrap();
    let order = book.order(&[OperationId("all")]).unwrap();
    let ids: Vec<&str> = order.iter().map(|placed| placed.step.id.0).collect();
    assert_eq!(ids, ["post", "pinch bolt", "pulley bolt", "bearing", "tape"]);
}

#[test]
fn the_reason_why_a_step_has_to_wait_is_a_chain_that_can_be_read() {
    let book = Book::start_values();
    let chain = book.why_not_before(StepId("rear-index"), StepId("cold-set")).unwrap();
    assert_eq!(chain.first().map(|link| link.first), Some(StepId("cold-set")));
    assert_eq!(chain.last().map(|link| link.then), Some(StepId("rear-index")));
    for pair in chain.windows(2) {
        assert_eq!(pair[0].then, pair[1].first);
    }
    assert!(chain.iter().any(|link| link.because == "spreading tilts the hanger"), "{chain:?}");
    assert_eq!(book.why_not_before(StepId("cold-set"), StepId("rear-index")), None);
    assert_eq!(book.why_not_before(StepId("tape-on"), StepId("tape-on")), None);
}
