//! The complaint file: what was seen of a bike that does not work as it should.

use crate::complaint_words::{
    BRAKE_WORDS, FRONT_WORDS, GAP_WORDS, LIMIT_WORDS, SHIFT_WORDS, SOUND_WORDS, Words, one_of, signed, taps,
    yes,
};
use crate::document::{Source, parse, table_of, unmarked, wrong_form};
use crate::nearest::unknown_key;
use crate::plain_value::{name, quantity, whole};
use crate::problem::{Notes, Problems, Refusal};
use fit::complaint::{
    ADJUSTER_DETENT, Brake, BrakeKind, Complaint, Drive, Evidence, Front, GearRow, Grid, Limit, LimitSeen,
    Noise, Period, Seen, Shift, Sound, period, window,
};
use quantity::{Length, Ratio, Teeth};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of the file as a whole.
pub(crate) const TOP_KEYS: &[&str] =
    &["name", "rear", "noise", "front", "rim_brake", "cable_disc_brake", "fluid_disc_brake"];
/// Keys of `[rear]`.
pub(crate) const REAR_KEYS: &[&str] =
    &["cogs", "ratio", "detent", "history", "grid", "seen", "window", "run"];
/// Keys of `[rear.history]`.
pub(crate) const HISTORY_KEYS: &[&str] = &[
    "new_housing",
    "fall",
    "new_wheel",
    "used_derailleur",
    "new_chain",
    "marginal_index",
    "dragging_run",
    "drifted",
    "worse_on_road",
    "changes_with_bars",
    "since_wet",
];
/// Keys of `[[rear.grid]]`.
pub(crate) const GRID_KEYS: &[&str] =
    &["clicks", "to_larger", "to_smaller", "sound", "smallest_limit_set", "largest_limit_set"];
/// Keys of `[rear.seen]` that take true or false.
pub(crate) const YES_KEYS: &[&str] = &[
    "smallest_limit_set",
    "largest_limit_set",
    "wrong_side",
    "hanger_bent",
    "cable_drags",
    "pull_misses",
    "stack_even",
    "worn_cog",
    "play",
    "stiff_link",
];
/// The other keys of `[rear.seen]`.
pub(crate) const SEEN_KEYS: &[&str] = &["smallest_limit", "largest_limit", "wrong_from_gear", "gap"];
/// Keys of `[[rear.window]]`.
pub(crate) const WINDOW_KEYS: &[&str] = &["gear", "added", "taken_off"];
/// Keys of `[[rear.run]]`.
pub(crate) const RUN_KEYS: &[&str] = &["from", "to"];
/// Keys of `[noise]`.
pub(crate) const NOISE_KEYS: &[&str] =
    &["chain", "ring", "cog", "pulley", "turns", "give", "crank_taps", "tick_taps"];
/// Keys of `[front]`.
pub(crate) const FRONT_KEYS: &[&str] = &["shows", "absent", "travel", "ring_gap"];
/// Keys of a brake.
pub(crate) const BRAKE_KEYS: &[&str] = &["shows", "absent"];

/// Cogs of a cassette that can be diagnosed.
pub(crate) const COGS: (u32, u32) = (3, 30);
/// Clicks of an adjuster either way.
pub(crate) const CLICKS: (i64, i64) = (-60, 60);
/// Teeth of a ring, cog or pulley.
pub(crate) const TEETH: (u32, u32) = (7, 80);
/// Pitches of a chain.
pub(crate) const PITCHES: (u32, u32) = (40, 400);
/// Millimetres of a detent, of a cage's travel and of a gap between rings.
pub(crate) const DETENT_MM: (f64, f64) = (0.05, 1.0);
const CAGE_MM: (f64, f64) = (0.0, 40.0);
/// Derailleur travel for a millimetre of cable.
const RATIO: (f64, f64) = (0.5, 3.0);

/// Reads a complaint file.
///
/// What was not tried is left out, or `-` in a list. Every list of a grid has one word a cog, the smallest first.
///
/// # Errors
/// All [`Problems`] of the file, in its order.
///
/// # Examples
/// ```
/// use intake::{Source, read_complaint};
///
/// let text = "name = 'hook 3'\n[rear]\ncogs = 3\nratio = '1.4'\n[[rear.grid]]\nto_larger = ['-', 'slow', 'slwo']\n";
/// let problems = read_complaint(Source { name: "hook-3.toml", text }).unwrap_err();
/// assert!(problems.to_string().contains("did you mean `slow`?"));
/// ```
pub fn read_complaint(source: Source<'_>) -> Result<Complaint, Problems> {
    let source = unmarked(source);
    let table = parse(source)?;
    let mut notes = Notes::default();
    let mut complaint = Complaint::default();
    let mut is_named = false;
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "name" => {
                is_named = true;
                complaint.name =
                    notes.keep(name("name", value, "hook 3: slow to larger cogs")).unwrap_or_default();
            }
            "rear" => complaint.rear = rear(value, &mut notes),
            "noise" => complaint.noise = noise(value, &mut notes),
            "front" => complaint.front = front(value, &mut notes),
            "rim_brake" => complaint.brakes.extend(brake("rim_brake", BrakeKind::Rim, value, &mut notes)),
            "cable_disc_brake" => {
                complaint.brakes.extend(brake("cable_disc_brake", BrakeKind::CableDisc, value, &mut notes))
            }
            "fluid_disc_brake" => {
                complaint.brakes.extend(brake("fluid_disc_brake", BrakeKind::FluidDisc, value, &mut notes))
            }
            other => notes.refuse(unknown_key(key.span(), other, "of a complaint", TOP_KEYS)),
        }
    }
    if !is_named {
        notes.refuse(
            Refusal::of_file("this complaint has no `name`")
                .help("write `name = \"hook 3: slow to larger cogs\"`"),
        );
    }
    if table.iter().all(|(key, _)| key.get_ref() == "name" || !TOP_KEYS.contains(&key.get_ref().as_ref())) {
        notes.refuse(
            Refusal::of_file("nothing that was seen is written in this complaint")
                .help("write what was seen under `[rear]`, `[noise]`, `[front]` or a brake"),
        );
    }
    Problems::gathered([(source.name, source.text, notes)]).map_or(Ok(complaint), Err)
}

/// Notes every key that is not known.
fn only(table: &DeTable<'_>, place: &str, known: &[&str], notes: &mut Notes) {
    for (key, _) in table.iter().filter(|(key, _)| !known.contains(&key.get_ref().as_ref())) {
        notes.refuse(unknown_key(key.span(), key.get_ref(), place, known));
    }
}

fn get<'t, 'a>(table: &'t DeTable<'a>, wanted: &str) -> Option<&'t Spanned<DeValue<'a>>> {
    table.iter().find(|(key, _)| key.get_ref() == wanted).map(|(_, value)| value)
}

/// The tables of a list of tables.
fn each<'t, 'a>(
    key: &str,
    value: Option<&'t Spanned<DeValue<'a>>>,
    notes: &mut Notes,
) -> Vec<(&'t Spanned<DeValue<'a>>, &'t DeTable<'a>)> {
    let example = format!("[[{key}]]");
    let Some(value) = value else { return Vec::new() };
    let DeValue::Array(entries) = value.get_ref() else {
        notes.refuse(wrong_form(key, value, "a list of tables", &example));
        return Vec::new();
    };
    let tables = entries.iter().map(|entry| (entry, table_of(key, entry, &example)));
    let mut read = Vec::new();
    for (entry, table) in tables {
        read.extend(notes.keep(table).map(|table| (entry, table)));
    }
    read
}

/// A value that must be there.
fn needed<T>(
    table: &DeTable<'_>,
    at: &Spanned<DeValue<'_>>,
    key: &str,
    example: &str,
    notes: &mut Notes,
    read: impl FnOnce(&Spanned<DeValue<'_>>) -> Result<T, Refusal>,
) -> Option<T> {
    match get(table, key) {
        Some(value) => notes.keep(read(value)),
        None => {
            let refusal = Refusal::at(at.span(), format!("`{key}` is not written here"));
            notes.refuse(refusal.help(format!("write `{key} = {example}`")));
            None
        }
    }
}

fn rear(value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Option<Evidence> {
    let table = notes.keep(table_of("rear", value, "[rear]"))?;
    only(table, "of `[rear]`", REAR_KEYS, notes);
    let cogs = needed(table, value, "cogs", "11", notes, |value| whole("cogs", value, COGS.0, COGS.1));
    let ratio = needed(table, value, "ratio", "\"1.4\"", notes, |value| {
        quantity::<Ratio>("ratio", value, "1.4", RATIO)
    });
    let detent = get(table, "detent").map(|value| quantity::<Length>("detent", value, "0.2 mm", DETENT_MM));
    let detent = detent.and_then(|read| notes.keep(read)).unwrap_or(ADJUSTER_DETENT);
    let mut evidence = Evidence::of(cogs.unwrap_or(COGS.0), ratio.map_or(1.0, Ratio::to_f64), detent);
    if let Some(value) = get(table, "history") {
        history(value, &mut evidence, notes);
    }
    for (at, entry) in each("rear.grid", get(table, "grid"), notes) {
        let read = grid(entry, cogs, notes);
        if read.rows.iter().all(|row| *row == GearRow::default()) && notes.is_empty() {
            let refusal = Refusal::at(at.span(), "this grid has no shift and no sound in it");
            notes.refuse(
                refusal.help("write a word a cog, such as `to_larger = [\"-\", \"clean\", \"slow\"]`"),
            );
        }
        evidence.grids.push(read);
    }
    if let Some(value) = get(table, "seen") {
        seen(value, &mut evidence, cogs, notes);
    }
    let mut windows = Vec::new();
    for (at, entry) in each("rear.window", get(table, "window"), notes) {
        only(entry, "of `[[rear.window]]`", WINDOW_KEYS, notes);
        let most = cogs.unwrap_or(COGS.1);
        let gear = needed(entry, at, "gear", "3", notes, |value| whole("gear", value, 1, most));
        let mut clicks = |key: &str| needed(entry, at, key, "3", notes, |value| signed(key, value, CLICKS));
        let (added, taken_off) = (clicks("added"), clicks("taken_off"));
        if let (Some(gear), Some(added), Some(taken_off)) = (gear, added, taken_off) {
            windows.push((gear, window(f64::from(added), f64::from(taken_off))));
        }
    }
    if !windows.is_empty() {
        evidence.seen.push(Seen::Windows(windows));
    }
    for (at, entry) in each("rear.run", get(table, "run"), notes) {
        only(entry, "of `[[rear.run]]`", RUN_KEYS, notes);
        let mut clicks = |key: &str| needed(entry, at, key, "0", notes, |value| signed(key, value, CLICKS));
        if let (Some(from), Some(to)) = (clicks("from"), clicks("to")) {
            evidence.runs.push((from, to));
        }
    }
    Some(evidence)
}

fn history(value: &Spanned<DeValue<'_>>, evidence: &mut Evidence, notes: &mut Notes) {
    let Some(table) = notes.keep(table_of("history", value, "[rear.history]")) else { return };
    only(table, "of `[rear.history]`", HISTORY_KEYS, notes);
    let mut mark = |key: &str| get(table, key).and_then(|value| notes.keep(yes(key, value)));
    let history = &mut evidence.history;
    history.new_housing = mark("new_housing");
    history.fall = mark("fall");
    history.new_wheel = mark("new_wheel");
    history.used_derailleur = mark("used_derailleur");
    history.new_chain = mark("new_chain");
    history.marginal_index = mark("marginal_index");
    history.dragging_run = mark("dragging_run");
    history.drifted = mark("drifted");
    history.worse_on_road = mark("worse_on_road");
    history.changes_with_bars = mark("changes_with_bars");
    history.since_wet = mark("since_wet");
}

fn grid(table: &DeTable<'_>, cogs: Option<u32>, notes: &mut Notes) -> Grid {
    only(table, "of `[[rear.grid]]`", GRID_KEYS, notes);
    let clicks = get(table, "clicks").and_then(|value| notes.keep(signed("clicks", value, CLICKS)));
    let mut set = |key: &str| get(table, key).and_then(|value| notes.keep(yes(key, value))).unwrap_or(false);
    let (high_set, low_set) = (set("smallest_limit_set"), set("largest_limit_set"));
    let count = cogs.unwrap_or(0) as usize;
    let larger: Vec<Option<Shift>> = column(table, "to_larger", &SHIFT_WORDS, cogs, notes);
    let smaller: Vec<Option<Shift>> = column(table, "to_smaller", &SHIFT_WORDS, cogs, notes);
    let sounds: Vec<Option<Sound>> = column(table, "sound", &SOUND_WORDS, cogs, notes);
    let rows = (0..count)
        .map(|gear| GearRow {
            to_larger: larger.get(gear).copied().flatten(),
            to_smaller: smaller.get(gear).copied().flatten(),
            sound: sounds.get(gear).copied().flatten(),
        })
        .collect();
    Grid { clicks: clicks.unwrap_or(0), rows, high_set, low_set }
}

/// One word a cog; `-` where nothing was tried.
fn column<T: Copy>(
    table: &DeTable<'_>,
    key: &str,
    words: &Words<T>,
    cogs: Option<u32>,
    notes: &mut Notes,
) -> Vec<Option<T>> {
    let Some(value) = get(table, key) else { return Vec::new() };
    let example = format!("{key} = [\"-\", \"{}\"]", words.first().map_or("", |(word, _)| word));
    let DeValue::Array(entries) = value.get_ref() else {
        notes.refuse(wrong_form(key, value, "a list of words", &example));
        return Vec::new();
    };
    if cogs.is_some_and(|cogs| entries.len() != cogs as usize) {
        let what = format!("`{key}` has {} words for {} cogs", entries.len(), cogs.unwrap_or(0));
        notes.refuse(
            Refusal::at(value.span(), what)
                .help("one word a cog, the smallest first; `-` where nothing was tried"),
        );
        return Vec::new();
    }
    let mut read = Vec::new();
    for entry in entries.iter() {
        read.push(match entry.get_ref() {
            DeValue::String(word) if word.trim() == "-" => None,
            _ => notes.keep(one_of(key, entry, words)),
        });
    }
    read
}

fn seen(value: &Spanned<DeValue<'_>>, evidence: &mut Evidence, cogs: Option<u32>, notes: &mut Notes) {
    let Some(table) = notes.keep(table_of("seen", value, "[rear.seen]")) else { return };
    let known: Vec<&str> = SEEN_KEYS.iter().chain(YES_KEYS).copied().collect();
    only(table, "of `[rear.seen]`", &known, notes);
    let mut limit = |key: &str| get(table, key).map(|value| notes.keep(one_of(key, value, &LIMIT_WORDS)));
    match (limit("smallest_limit"), limit("largest_limit")) {
        (None, None) => {}
        (Some(high), Some(low)) => {
            let right = LimitSeen::Right;
            evidence.seen.push(Seen::Limits { high: high.unwrap_or(right), low: low.unwrap_or(right) });
        }
        _ => notes.refuse(
            Refusal::at(value.span(), "one limit alone was looked at")
                .help("push the body to both ends and write `smallest_limit` and `largest_limit`"),
        ),
    }
    for key in YES_KEYS {
        let Some(said) = get(table, key).and_then(|value| notes.keep(yes(key, value))) else { continue };
        let found = match *key {
            "smallest_limit_set" => said.then_some(Seen::LimitSet(Limit::High)),
            "largest_limit_set" => said.then_some(Seen::LimitSet(Limit::Low)),
            "wrong_side" => Some(Seen::Anchor(said)),
            "hanger_bent" => Some(Seen::Hanger(said)),
            "cable_drags" => Some(Seen::Drag(said)),
            "pull_misses" => Some(Seen::Pull(said)),
            "stack_even" => said.then_some(Seen::Stack(None)),
            "worn_cog" => Some(Seen::Teeth(said)),
            "play" => Some(Seen::Play(said)),
            _ => Some(Seen::Link(said)),
        };
        evidence.seen.extend(found);
    }
    if let Some(value) = get(table, "wrong_from_gear") {
        let read = whole("wrong_from_gear", value, 2, cogs.unwrap_or(COGS.1));
        evidence.seen.extend(notes.keep(read).map(|gear| Seen::Stack(Some(gear))));
        if evidence.seen.contains(&Seen::Stack(None)) {
            let refusal = Refusal::at(value.span(), "the stack is said to be even and wrong from a gear on");
            notes.refuse(refusal.help("keep one of `stack_even` and `wrong_from_gear`"));
        }
    }
    if let Some(value) = get(table, "gap") {
        evidence.seen.extend(notes.keep(one_of("gap", value, &GAP_WORDS)).map(Seen::Gap));
    }
}

fn noise(value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Option<Noise> {
    let table = notes.keep(table_of("noise", value, "[noise]"))?;
    only(table, "of `[noise]`", NOISE_KEYS, notes);
    let pitches =
        needed(table, value, "chain", "108", notes, |value| whole("chain", value, PITCHES.0, PITCHES.1));
    let read_teeth = |key: &str, value: &Spanned<DeValue<'_>>| {
        let count = whole(key, value, TEETH.0, TEETH.1)?;
        Teeth::new(i64::from(count)).map_err(|error| Refusal::at(value.span(), format!("`{key}`: {error}")))
    };
    let ring = needed(table, value, "ring", "50", notes, |value| read_teeth("ring", value));
    let cog = needed(table, value, "cog", "17", notes, |value| read_teeth("cog", value));
    let pulley = match get(table, "pulley") {
        Some(value) => notes.keep(read_teeth("pulley", value)),
        None => Teeth::new(11).ok(),
    };
    let period = count(table, value, notes);
    let drive = Drive { pitches: pitches?, ring: ring?, cog: cog?, pulley: pulley? };
    Some(Noise { period: period?, drive })
}

/// Turns between two ticks, counted or tapped.
fn count(table: &DeTable<'_>, at: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Option<Period> {
    let turns =
        get(table, "turns").map(|value| notes.keep(quantity::<Ratio>("turns", value, "2.16", (0.01, 50.0))));
    let give =
        get(table, "give").map(|value| notes.keep(quantity::<Ratio>("give", value, "0.1", (0.0, 5.0))));
    let crank = get(table, "crank_taps").map(|value| notes.keep(taps("crank_taps", value)));
    let tick = get(table, "tick_taps").map(|value| notes.keep(taps("tick_taps", value)));
    match (turns, crank, tick) {
        (Some(turns), None, None) => {
            let give = give.flatten().map_or(0.1, Ratio::to_f64);
            Some(Period { turns: turns?.to_f64(), give })
        }
        (None, Some(crank), Some(tick)) => {
            let found = period(&crank?, &tick?);
            notes.keep(found.map_err(|error| Refusal::at(at.span(), error.to_string())))
        }
        _ => {
            let refusal = Refusal::at(at.span(), "a noise is counted or tapped, and this is neither or both");
            notes
                .refuse(refusal.help("write `turns = \"2.16\"`, or `crank_taps` and `tick_taps` in seconds"));
            None
        }
    }
}

fn front(value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Option<Front> {
    let table = notes.keep(table_of("front", value, "[front]"))?;
    only(table, "of `[front]`", FRONT_KEYS, notes);
    let shows = column(table, "shows", &FRONT_WORDS, None, notes).into_iter().flatten().collect();
    let absent = column(table, "absent", &FRONT_WORDS, None, notes).into_iter().flatten().collect();
    let mut length = |key: &str| {
        get(table, key).and_then(|value| notes.keep(quantity::<Length>(key, value, "7.3 mm", CAGE_MM)))
    };
    let travel = length("travel").zip(length("ring_gap"));
    Some(Front { shows, absent, travel })
}

fn brake(key: &str, kind: BrakeKind, value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Option<Brake> {
    let table = notes.keep(table_of(key, value, &format!("[{key}]")))?;
    only(table, "of a brake", BRAKE_KEYS, notes);
    let shows = column(table, "shows", &BRAKE_WORDS, None, notes).into_iter().flatten().collect();
    let absent = column(table, "absent", &BRAKE_WORDS, None, notes).into_iter().flatten().collect();
    Some(Brake { kind, shows, absent })
}
