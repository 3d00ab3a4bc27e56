//! The words of a complaint file, and its schema made from them.

use crate::complaint_file::{
    BRAKE_KEYS, CLICKS, COGS, FRONT_KEYS, GRID_KEYS, HISTORY_KEYS, NOISE_KEYS, PITCHES, REAR_KEYS, RUN_KEYS,
    SEEN_KEYS, TEETH, TOP_KEYS, WINDOW_KEYS, YES_KEYS,
};
use crate::document::wrong_form;
use crate::nearest::offer;
use crate::plain_value::{MOST_IN_NAME, integer, text};
use crate::problem::{Refusal, quoted};
use fit::complaint::{BrakeSymptom, FrontSymptom, Gap, LimitSeen, Shift, Sound};
use serde_json::{Map, Value, json};
use toml::Spanned;
use toml::de::DeValue;

/// Words with what they mean.
pub(crate) type Words<T> = [(&'static str, T)];

pub(crate) const SHIFT_WORDS: [(&str, Shift); 4] =
    [("clean", Shift::Clean), ("slow", Shift::Slow), ("refuses", Shift::Refuses), ("over", Shift::Over)];

pub(crate) const SOUND_WORDS: [(&str, Sound); 6] = [
    ("quiet", Sound::Quiet),
    ("tick", Sound::Tick),
    ("growl", Sound::Growl),
    ("rub", Sound::Rub),
    ("chatter", Sound::Chatter),
    ("jump", Sound::Jump),
];

pub(crate) const LIMIT_WORDS: [(&str, LimitSeen); 3] =
    [("right", LimitSeen::Right), ("tight", LimitSeen::Tight), ("open", LimitSeen::Open)];

pub(crate) const GAP_WORDS: [(&str, Gap); 3] =
    [("right", Gap::Right), ("small", Gap::Small), ("large", Gap::Large)];

pub(crate) const FRONT_WORDS: [(&str, FrontSymptom); 10] = [
    ("slow up", FrontSymptom::SlowUp),
    ("over the outside", FrontSymptom::OverOutside),
    ("rubs inner plate", FrontSymptom::RubsInner),
    ("rubs outer plate", FrontSymptom::RubsOuter),
    ("rubs at the tail", FrontSymptom::RubsTail),
    ("rubs once a turn", FrontSymptom::RubsOnceATurn),
    ("drops inward", FrontSymptom::DropsInward),
    ("heavy lever", FrontSymptom::HeavyLever),
    ("not both rings", FrontSymptom::NotBothRings),
    ("touches tyre or crank", FrontSymptom::Touches),
];

pub(crate) const BRAKE_WORDS: [(&str, BrakeSymptom); 10] = [
    ("lever to the bar", BrakeSymptom::LeverToBar),
    ("wooden", BrakeSymptom::Wooden),
    ("soft", BrakeSymptom::Soft),
    ("returns slowly", BrakeSymptom::ReturnsSlowly),
    ("one pad touches", BrakeSymptom::OnePadTouches),
    ("squeals", BrakeSymptom::Squeals),
    ("pulses", BrakeSymptom::Pulses),
    ("judders", BrakeSymptom::Judders),
    ("changes with the release", BrakeSymptom::ChangesWithRelease),
    ("drags when turned", BrakeSymptom::DragsWhenTurned),
];

/// So many taps of a kind are read: an hour of pedalling.
const MOST_TAPS: usize = 5000;

/// One of the words.
pub(crate) fn one_of<T: Copy>(
    key: &str,
    value: &Spanned<DeValue<'_>>,
    words: &Words<T>,
) -> Result<T, Refusal> {
    let first = words.first().map_or("", |(word, _)| word);
    let found = text(key, value, first, MOST_IN_NAME)?.trim();
    words.iter().find(|(word, _)| *word == found).map(|(_, meant)| *meant).ok_or_else(|| {
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        Refusal::at(value.span(), format!("{} is not a word for `{key}`", quoted(found)))
            .help(offer(found, &known))
    })
}

/// True or false.
pub(crate) fn yes(key: &str, value: &Spanned<DeValue<'_>>) -> Result<bool, Refusal> {
    match value.get_ref() {
        DeValue::Boolean(said) => Ok(*said),
        _ => Err(wrong_form(key, value, "true or false", &format!("{key} = true"))),
    }
}

/// A whole number of either sign.
pub(crate) fn signed(
    key: &str,
    value: &Spanned<DeValue<'_>>,
    (least, most): (i64, i64),
) -> Result<i32, Refusal> {
    let example = format!("{key} = 2");
    let Some(found) = integer(value.get_ref()) else {
        return Err(wrong_form(key, value, "a whole number", &example));
    };
    found
        .filter(|number| (least..=most).contains(number))
        .and_then(|number| i32::try_from(number).ok())
        .ok_or_else(|| {
            Refusal::at(value.span(), format!("`{key}` is outside {least} to {most}"))
                .help(format!("write it such as `{example}`"))
        })
}

/// Seconds at which taps came.
pub(crate) fn taps(key: &str, value: &Spanned<DeValue<'_>>) -> Result<Vec<f64>, Refusal> {
    let example = format!("{key} = [0.0, 0.92, 1.81]");
    let DeValue::Array(entries) = value.get_ref() else {
        return Err(wrong_form(key, value, "a list of seconds", &example));
    };
    if entries.len() > MOST_TAPS {
        let what = format!("`{key}` has {} taps; at most {MOST_TAPS} are read", entries.len());
        return Err(Refusal::at(value.span(), what));
    }
    let seconds = |entry: &Spanned<DeValue<'_>>| {
        let found = match entry.get_ref() {
            DeValue::Float(number) => number.as_str().replace('_', "").parse::<f64>().ok(),
            DeValue::Integer(_) => integer(entry.get_ref()).flatten().map(|whole| whole as f64),
            _ => None,
        };
        found
            .filter(|seconds| seconds.is_finite())
            .ok_or_else(|| wrong_form(key, entry, "a number of seconds", &example))
    };
    entries.iter().map(seconds).collect()
}

/// The JSON Schema (draft 2020-12) of a complaint file, for editors that check while one types.
pub fn complaint_schema() -> Value {
    let clicks = json!({ "type": "integer", "minimum": CLICKS.0, "maximum": CLICKS.1 });
    let yes = json!({ "type": "boolean" });
    let list = |words: Value| json!({ "type": "array", "items": words, "maxItems": COGS.1 });
    let tried = |mut words: Vec<&'static str>| {
        words.push("-");
        json!({ "type": "array", "items": { "enum": words }, "minItems": COGS.0, "maxItems": COGS.1 })
    };
    let teeth = json!({ "type": "integer", "minimum": TEETH.0, "maximum": TEETH.1 });
    let seconds =
        json!({ "type": "array", "items": { "type": "number" }, "minItems": 3, "maxItems": MOST_TAPS });
    let text = json!({ "type": "string" });

    let grid = table(GRID_KEYS, |key| match key {
        "clicks" => clicks.clone(),
        "to_larger" | "to_smaller" => tried(words(&SHIFT_WORDS)),
        "sound" => tried(words(&SOUND_WORDS)),
        _ => yes.clone(),
    });
    let seen_keys: Vec<&'static str> = SEEN_KEYS.iter().chain(YES_KEYS).copied().collect();
    let seen = table(&seen_keys, |key| match key {
        "smallest_limit" | "largest_limit" => json!({ "enum": words(&LIMIT_WORDS) }),
        "wrong_from_gear" => json!({ "type": "integer", "minimum": 2, "maximum": COGS.1 }),
        "gap" => json!({ "enum": words(&GAP_WORDS) }),
        _ => yes.clone(),
    });
    let window = table(WINDOW_KEYS, |key| match key {
        "gear" => json!({ "type": "integer", "minimum": 1, "maximum": COGS.1 }),
        _ => clicks.clone(),
    });
    let rear = table(REAR_KEYS, |key| match key {
        "cogs" => json!({ "type": "integer", "minimum": COGS.0, "maximum": COGS.1 }),
        "history" => table(HISTORY_KEYS, |_| yes.clone()),
        "grid" => list(grid.clone()),
        "seen" => seen.clone(),
        "window" => list(window.clone()),
        "run" => list(table(RUN_KEYS, |_| clicks.clone())),
        _ => text.clone(),
    });
    let noise = table(NOISE_KEYS, |key| match key {
        "chain" => json!({ "type": "integer", "minimum": PITCHES.0, "maximum": PITCHES.1 }),
        "ring" | "cog" | "pulley" => teeth.clone(),
        "crank_taps" | "tick_taps" => seconds.clone(),
        _ => text.clone(),
    });
    let front = table(FRONT_KEYS, |key| match key {
        "shows" | "absent" => list(json!({ "enum": words(&FRONT_WORDS) })),
        _ => text.clone(),
    });
    let brake = table(BRAKE_KEYS, |_| list(json!({ "enum": words(&BRAKE_WORDS) })));
    let mut whole = table(TOP_KEYS, |key| match key {
        "name" => json!({ "type": "string", "minLength": 1, "maxLength": MOST_IN_NAME }),
        "rear" => rear.clone(),
        "noise" => noise.clone(),
        "front" => front.clone(),
        _ => brake.clone(),
    });
    whole["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    whole["title"] = json!("complaint");
    whole["required"] = json!(["name"]);
    whole
}

fn words<T>(of: &Words<T>) -> Vec<&'static str> {
    of.iter().map(|(word, _)| *word).collect()
}

fn table(keys: &[&'static str], of: impl Fn(&'static str) -> Value) -> Value {
    let properties: Map<String, Value> = keys.iter().map(|key| ((*key).to_owned(), of(key))).collect();
    json!({ "type": "object", "additionalProperties": false, "properties": properties })
}
