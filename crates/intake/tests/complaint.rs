//! Complaint files: what is kept of them, and that no text makes a panic.

use fit::complaint::{BrakeKind, Limit, Seen, Shift, Sound};
use intake::{Source, read_complaint};
use proptest::prelude::*;

const WHOLE: &str = "name = 'hook 3'
[rear]
cogs = 4
ratio = '1.4'
detent = '0.25 mm'
[rear.history]
fall = true
drifted = false
since_wet = true
worse_on_road = true
changes_with_bars = false
[[rear.grid]]
to_larger = ['-', 'clean', 'slow', 'over']
to_smaller = ['refuses', 'clean', 'clean', '-']
sound = ['quiet', '-', 'growl', 'jump']
[[rear.grid]]
clicks = -2
largest_limit_set = true
to_larger = ['-', 'clean', 'slow', 'clean']
[rear.seen]
smallest_limit = 'right'
largest_limit = 'open'
largest_limit_set = true
hanger_bent = false
wrong_from_gear = 3
gap = 'small'
[[rear.window]]
gear = 2
added = 4
taken_off = -1
[[rear.run]]
from = 0
to = 5
[noise]
chain = 108
ring = 50
cog = 17
turns = '2.16'
give = '0.05'
[front]
shows = ['slow up', 'rubs at the tail']
travel = '8 mm'
ring_gap = '7.3 mm'
[fluid_disc_brake]
shows = ['soft']
absent = ['squeals']
";

#[test]
fn everything_that_is_written_is_kept() {
    let read = read_complaint(Source { name: "hook-3.toml", text: WHOLE }).unwrap();
    let rear = read.rear.unwrap();
    assert_eq!((rear.gears, rear.ratio, rear.detent.to_mm()), (4, 1.4, 0.25));
    assert_eq!((rear.history.fall, rear.history.new_wheel), (Some(true), None));
    let shows = (rear.history.drifted, rear.history.since_wet);
    assert_eq!(shows, (Some(false), Some(true)));
    let where_to = (rear.history.worse_on_road, rear.history.changes_with_bars);
    assert_eq!(where_to, (Some(true), Some(false)));
    assert_eq!(rear.grids.len(), 2);
    let last = rear.grids[0].rows[3];
    assert_eq!((last.to_larger, last.to_smaller, last.sound), (Some(Shift::Over), None, Some(Sound::Jump)));
    assert_eq!((rear.grids[1].clicks, rear.grids[1].high_set, rear.grids[1].low_set), (-2, false, true));
    assert!(rear.seen.contains(&Seen::LimitSet(Limit::Low)) && rear.seen.contains(&Seen::Stack(Some(3))));
    let windows = rear.seen.iter().find_map(|seen| match seen {
        Seen::Windows(windows) => Some(windows.clone()),
        _ => None,
    });
    assert_eq!(
        windows.map(|windows| (windows[0].0, windows[0].1.centre, windows[0].1.width)),
        Some((2, 2.5, 3.0))
    );
    assert_eq!(rear.runs, [(0, 5)]);
    assert_eq!(read.noise.map(|noise| (noise.period.turns, noise.drive.pitches)), Some((2.16, 108)));
    assert_eq!(read.front.map(|front| (front.shows.len(), front.travel.is_some())), Some((2, true)));
    assert_eq!(read.brakes.iter().map(|brake| brake.kind).collect::<Vec<_>>(), [BrakeKind::FluidDisc]);
}

#[test]
fn a_file_with_any_line_taken_away_is_read_or_refused_in_words() {
    let lines: Vec<&str> = WHOLE.lines().collect();
    for away in 0..lines.len() {
        let kept: Vec<&str> =
            lines.iter().enumerate().filter(|(at, _)| *at != away).map(|(_, line)| *line).collect();
        if let Err(problems) = read_complaint(Source { name: "hook-3.toml", text: &kept.join("\n") }) {
            assert!(problems.to_string().contains("error: "), "without `{}`: {problems}", lines[away]);
        }
    }
}

proptest! {
    #[test]
    fn no_text_makes_a_panic(text in "[ -~\n]{0,200}") {
        _ = read_complaint(Source { name: "any.toml", text: &text });
    }

    #[test]
    fn no_value_makes_a_panic(line in 0_usize..40, value in "[ -~]{0,40}") {
        let lines = WHOLE.lines().enumerate().map(|(at, old)| match old.split_once(" = ") {
            Some((key, _)) if at == line => format!("{key} = {value}"),
            _ => old.to_owned(),
        });
        let text: Vec<String> = lines.collect();
        if let Ok(read) = read_complaint(Source { name: "any.toml", text: &text.join("\n") }) {
            prop_assert!(fit::complaint::answer(&read).is_ok() || read.rear.is_some());
        }
    }
}
