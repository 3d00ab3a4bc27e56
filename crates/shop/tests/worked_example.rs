//! A worked example of a shop's own table: three menu lines add up to 433 minutes, their union to 265.
//!
//! The minutes are invented; the sums are arithmetic, worked out beforehand with the table on paper. The table is not
//! the built-in one, so the union holds for any book.

#![expect(clippy::unwrap_used, reason = "a table that makes no book stops the test")]

use shop::{Age, Block, Book, Minutes, Operation, OperationId, Skill, Step, StepId};
use std::borrow::Cow;

const ROWS: &[(&str, u32)] = &[
    ("intake and record", 10),
    ("wheels out and in", 4),
    ("tape and levers off", 8),
    ("bar swap and position", 14),
    ("levers on and set", 10),
    ("tape", 16),
    ("old cables out and measured", 8),
    ("shift housings", 16),
    ("index rear derailleur", 14),
    ("set front derailleur", 10),
    ("brake housings", 12),
    ("set brakes", 12),
    ("calipers and pads", 14),
    ("crank off", 8),
    ("bottom bracket in, crank on", 14),
    ("bottom bracket out", 10),
    ("shell clean, chase and face check", 12),
    ("derailleurs off", 5),
    ("hanger align", 8),
    ("rear derailleur on", 4),
    ("front derailleur on", 6),
    ("cassette", 6),
    ("chain size and join", 8),
    ("first bolt check", 8),
    ("second person", 12),
    ("test ride", 8),
    ("print and hand over", 8),
];

const EVERY_JOB: &[&str] =
    &["intake and record", "first bolt check", "second person", "test ride", "print and hand over"];
const WHEELS: &[&str] = &["wheels out and in"];
const CABLES: &[&str] =
    &["old cables out and measured", "shift housings", "index rear derailleur", "set front derailleur"];
const COCKPIT: &[&str] = &["tape and levers off", "bar swap and position", "levers on and set", "tape"];
const BRAKES: &[&str] = &["brake housings", "set brakes"];
const CRANK: &[&str] = &["crank off", "bottom bracket in, crank on"];
const SHELL: &[&str] = &["bottom bracket out", "shell clean, chase and face check"];
const DERAILLEURS: &[&str] = &[
    "derailleurs off",
    "hanger align",
    "rear derailleur on",
    "front derailleur on",
    "cassette",
    "chain size and join",
];

const DRIVETRAIN: OperationId = OperationId("drivetrain");
const DRIVETRAIN_ON_OLD_CUPS: OperationId = OperationId("drivetrain, cups stay");
const BARS: OperationId = OperationId("bars, levers, tape");
const CALIPERS: OperationId = OperationId("calipers");
const BOTTOM_BRACKET: OperationId = OperationId("bottom bracket");

fn operation(id: OperationId, rows: &[&[&'static str]]) -> Operation {
    let steps = rows.concat().into_iter().map(StepId).collect();
    Operation { id, title: id.0, steps: Cow::Owned(steps), brings: Cow::Borrowed(&[]) }
}

fn book() -> Book {
    let steps = ROWS
        .iter()
        .map(|(name, minutes)| Step {
            id: StepId(name),
            title: name,
            block: Block::Drivetrain,
            minutes: Minutes::new(*minutes, *minutes, *minutes),
            skill: Skill::Mechanic,
            tool: "",
            needs: Cow::Borrowed(&[]),
            irreversible: false,
            fasteners: Cow::Borrowed(&[]),
            notes: shop::Notes::default(),
        })
        .collect();
    let operations = vec![
        operation(DRIVETRAIN, &[EVERY_JOB, WHEELS, CABLES, CRANK, SHELL, DERAILLEURS]),
        operation(DRIVETRAIN_ON_OLD_CUPS, &[EVERY_JOB, WHEELS, CABLES, CRANK, DERAILLEURS]),
        operation(BARS, &[EVERY_JOB, COCKPIT, CABLES, BRAKES]),
        operation(CALIPERS, &[EVERY_JOB, WHEELS, BRAKES, &["calipers and pads"]]),
        operation(BOTTOM_BRACKET, &[EVERY_JOB, CRANK, SHELL]),
    ];
    Book::new(steps, operations).unwrap()
}

#[test]
fn each_line_alone_takes_179_166_88_and_90_minutes() {
    for (line, minutes) in [(DRIVETRAIN, 179), (BARS, 166), (CALIPERS, 88), (BOTTOM_BRACKET, 90)] {
        assert_eq!(book().labour(&[line], Age::Sound).unwrap().minutes.usual, minutes, "{line}");
    }
}

#[test]
fn three_lines_add_up_to_433_minutes_and_their_union_to_265() {
    let labour = book().labour(&[DRIVETRAIN, BARS, CALIPERS], Age::Sound).unwrap();
    assert_eq!(labour.sum_of_lines.usual, 433);
    assert_eq!(labour.minutes.usual, 265);
    assert_eq!(labour.saved, 168);
    // 168 of 433 is 39 %.
    assert_eq!((f64::from(labour.saved) / 433.0 * 100.0).round(), 39.0);
}

#[test]
fn calipers_take_14_minutes_while_it_is_apart_and_88_alone() {
    let marginal = book().marginal(&[DRIVETRAIN, BARS], CALIPERS).unwrap();
    assert_eq!((marginal.while_apart.usual, marginal.alone.usual), (14, 88));
}

#[test]
fn a_bottom_bracket_inside_a_drivetrain_job_takes_22_minutes_and_90_alone() {
    // Against a drivetrain job that leaves the cups in. The job of 179 minutes has them in it already: nothing to add.
    let marginal = book().marginal(&[DRIVETRAIN_ON_OLD_CUPS], BOTTOM_BRACKET).unwrap();
    assert_eq!((marginal.while_apart.usual, marginal.alone.usual), (22, 90));
    let marginal = book().marginal(&[DRIVETRAIN], BOTTOM_BRACKET).unwrap();
    assert_eq!(marginal.while_apart.usual, 0);
}
