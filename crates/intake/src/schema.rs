//! The JSON Schema of a refit file, made from the same rows that the reader uses.

use crate::part_table::Home;
use crate::plain_value::{MOST_IN_NAME, MOST_IN_WORDS};
use crate::refit_file::{CADENCES, MOST_MINUTES, MOST_READY_DAYS, slots};
use crate::ride_table::MOST_COMPARED;
use crate::set_wish_table::MOST_MINUTES as MOST_LABOUR_MINUTES;
use crate::value_text::{ANSWERS, MOST_COGS, MOST_RINGS};
use catalog::{Dimension, Field, Slot, Sort};
use fit::AimName;
use quantity::{Angle, Length, Mass, Percent, Power, Quantity, Ratio, Speed, Teeth};
use serde_json::{Map, Value, json};

/// A number as quantities are written: whole, decimal, with an exponent, or with a fraction as on old rims.
const NUMBER: &str = r"[-+−]?[0-9]*\.?[0-9]+([eE]-?[0-9]+)?( [0-9]+/[0-9]+|/[0-9]+)?";
/// The word for the basis, with the space before it.
const BASIS: &str = r"( (measured|counted|printed|assumed|practice|memory|published \S+))?";

/// The JSON Schema (draft 2020-12) of a refit file, for editors that check while one types.
///
/// It says which keys and forms there are. Ranges of quantities are words there: a schema does not read units.
pub fn refit_schema() -> Value {
    let bike = slots(Home::Bike).map(|slot| (slot.key(), slot_schema(slot, Home::Bike)));
    let choice = slots(Home::Choice).map(|slot| (slot.key(), slot_schema(slot, Home::Choice)));
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "refit",
        "description": "a bike as found, what the customer wishes, and the parts chosen",
        "type": "object",
        "required": ["name"],
        "additionalProperties": false,
        "properties": {
            "name": text("what the job is called", MOST_IN_NAME),
            "why": text("why this file is kept", MOST_IN_WORDS),
            "wish": wish(),
            "rider": table("who rides it", [
                ("mass", plain::<Mass>("rider, bike and luggage together")),
                ("power", plain::<Power>("power held on a long climb")),
                ("inseam", plain::<Length>("inside length of the leg, floor to crotch")),
                ("effort", json!({
                    "enum": ["easy", "steady", "strong"], "description": "how they ride up a long hill",
                })),
                ("climb_length", plain::<Length>("length along the road of a hill they know the time of")),
                ("climb_height", plain::<Length>("its height")),
                ("climb_minutes", number("their time on it in minutes", 1, MOST_MINUTES)),
                ("cadence_low", number("lower end of the cadence they like, turns a minute", CADENCES.0, CADENCES.1)),
                ("cadence_high", number("upper end of the cadence they like", CADENCES.0, CADENCES.1)),
                ("lowest_cadence", number("lowest cadence they accept", CADENCES.0, CADENCES.1)),
            ]),
            "ride": ride(),
            "bike": table("the bike as found; what is not known is left out", bike),
            "choice": table("the parts that shall go on; other slots keep what the bike has", choice),
            "expect": { "type": "object", "description": "what a case file expects; not read with the refit" },
        },
    })
}

fn number(description: &str, least: u32, most: u32) -> Value {
    json!({ "type": "integer", "minimum": least, "maximum": most, "description": description })
}

fn ride() -> Value {
    table(
        "the customer's own ride, which the gears shall answer: a recorded file, or a hill by hand",
        [
            ("file", text("GPX or FIT file, beside the refit file", MOST_IN_NAME)),
            (
                "heights",
                json!({ "enum": ["barometer", "satellite"], "description": "where the heights of the file come from" }),
            ),
            ("hill_length", plain::<Length>("length of a hill along the road")),
            ("hill_climb", plain::<Length>("its climb")),
            ("spacing", plain::<Length>("length of a stretch of the profile")),
            ("wind", plain::<Speed>("wind whose direction nobody knows")),
            ("head_wind", plain::<Speed>("wind from ahead all the way; below 0 from behind")),
            (
                "compare",
                json!({
                    "type": "array", "maxItems": MOST_COMPARED,
                    "items": text("key of a cassette in the catalogue", MOST_IN_NAME),
                    "description": "cassettes that the ride shall decide about",
                }),
            ),
        ],
    )
}

fn wish() -> Value {
    let percent = format!(r"^(keep|easier|{NUMBER} ?%)$");
    table(
        "what the customer wishes",
        [
            ("words", text("in the customer's own words", MOST_IN_WORDS)),
            (
                "lowest_gear",
                json!({
                    "type": "string", "pattern": percent,
                    "description": format!("keep, easier, or easier by so many {} at least", Percent::UNIT),
                }),
            ),
            (
                "hands",
                json!({ "enum": ["keep", "free"], "description": "what shall become of the hand position" }),
            ),
            ("ceiling", money("the most that the parts may cost together with the work")),
            (
                "ready_in_days",
                json!({
                    "type": "integer", "minimum": 0, "maximum": MOST_READY_DAYS,
                    "description": "days until it must be ready",
                }),
            ),
            ("set", set_wish()),
        ],
    )
}

/// What a set of parts shall give, where the program chooses it.
fn set_wish() -> Value {
    let whole = |words: &str, least: u32, most: u32| json!({ "type": "integer", "minimum": least, "maximum": most, "description": words });
    let slots: Vec<&str> = slots(Home::Choice).map(Slot::key).collect();
    let slot_list =
        |words: &str| json!({ "type": "array", "items": { "enum": slots }, "description": words });
    let yes = |words: &str| json!({ "type": "boolean", "description": words });
    let aims: Vec<&str> = AimName::ALL.iter().map(|aim| aim.word()).collect();
    table(
        "what a set of parts shall give, where the program chooses it",
        [
            ("cogs", whole("number of cogs", 1, MOST_COGS as u32)),
            ("rings", whole("number of rings", 1, MOST_RINGS as u32)),
            ("lowest_at_most", plain::<Length>("development of the lowest gear, at most")),
            ("highest_at_least", plain::<Length>("development of the highest gear, at least")),
            ("step_at_most", plain::<Percent>("step from one cog to the next, at most")),
            ("hands_within", plain::<Length>("how far the hands may move")),
            ("keep", slot_list("slots whose part stays")),
            ("free", slot_list("slots that may change beside those of the drive")),
            (
                "avoid",
                json!({ "type": "array", "items": { "type": "string" }, "description": "keys of parts that are not wanted" }),
            ),
            (
                "parts_within_days",
                whole("working days until every part is here; 0 is in stock", 0, MOST_READY_DAYS),
            ),
            ("parts_at_most", money("the most that the parts may cost")),
            (
                "heavier_at_most",
                plain::<Mass>("mass of the new parts less that of those they replace, at most"),
            ),
            ("brakes_not_weaker", yes("the brakes shall not be weaker than today")),
            ("no_marginal", yes("no marginal verdict")),
            ("labour_at_most", whole("minutes of labour, at most", 0, MOST_LABOUR_MINUTES)),
            (
                "aims",
                json!({ "type": "array", "items": { "enum": aims }, "description": "what is to be made small" }),
            ),
        ],
    )
}

/// A part: the key of one in the catalogue, or a table.
fn slot_schema(slot: Slot, home: Home) -> Value {
    let labels = home.keys().iter().map(|key| (*key, label(key)));
    let fields = slot.fields().iter().map(|field| (field.key, field_schema(*field)));
    json!({
        "description": slot.words(),
        "anyOf": [
            { "type": "string", "description": format!("key of a {} in the catalogue", slot.words()) },
            table(&format!("a {}, dimension by dimension", slot.words()), labels.chain(fields)),
        ],
    })
}

fn label(key: &str) -> Value {
    match key {
        "part" => text("key of a catalogue part that the other keys change", MOST_IN_NAME),
        "name" => text("what the part is called", MOST_IN_NAME),
        "price" => money("price"),
        "mass" => plain::<Mass>("mass"),
        _ => {
            json!({ "type": "integer", "minimum": 0, "description": "working days until it is here; 0 is in stock" })
        }
    }
}

fn field_schema(field: Field) -> Value {
    let row = field.dimension.row();
    let mut forms = match row.sort {
        Sort::Length => vec![quantity::<Length>()],
        Sort::Angle => vec![quantity::<Angle>()],
        Sort::Ratio => {
            vec![quantity::<Ratio>(), json!({ "type": "number", "minimum": row.least, "maximum": row.most })]
        }
        Sort::Lengths => {
            vec![
                json!({ "type": "array", "minItems": 1, "maxItems": MOST_COGS, "items": quantity::<Length>() }),
            ]
        }
        Sort::Count => vec![
            json!({ "type": "integer", "minimum": row.least as i64, "maximum": row.most as i64 }),
            json!({ "type": "string", "pattern": format!("^[0-9]+{BASIS}$") }),
        ],
        Sort::Teeth => teeth(field),
        Sort::Word(words) => {
            vec![
                json!({ "enum": words }),
                json!({ "type": "string", "pattern": format!("^({}){BASIS}$", choices(words)) }),
            ]
        }
    };
    forms.push(json!({ "enum": ANSWERS }));
    json!({ "description": description(field), "anyOf": forms })
}

fn description(field: Field) -> String {
    let row = field.dimension.row();
    let range = match row.sort {
        Sort::Word(_) | Sort::Teeth => String::new(),
        Sort::Length | Sort::Lengths => format!("; {} to {} mm", row.least, row.most),
        Sort::Angle => format!("; {} to {} deg", row.least, row.most),
        Sort::Ratio | Sort::Count => format!("; {} to {}", row.least, row.most),
    };
    format!("{}: {}{range}", row.words, row.place)
}

fn teeth(field: Field) -> Vec<Value> {
    let most = if field.dimension == Dimension::Rings { MOST_RINGS } else { MOST_COGS };
    let cog = json!({ "type": "integer", "minimum": Teeth::LEAST, "maximum": Teeth::MOST });
    vec![
        json!({ "type": "array", "minItems": 1, "maxItems": most, "items": cog }),
        json!({ "type": "string", "pattern": format!("^[0-9]+([-/][0-9]+)*{BASIS}$") }),
    ]
}

fn quantity<Q: Quantity>() -> Value {
    let tolerance = format!(r" ?((±|\+-|\+/-) ?{NUMBER})?");
    json!({ "type": "string", "pattern": format!("^{NUMBER}{tolerance} ?({}){BASIS}$", units::<Q>()) })
}

fn plain<Q: Quantity>(description: &str) -> Value {
    json!({
        "type": "string",
        "pattern": format!("^{NUMBER} ?({}){BASIS}$", units::<Q>()),
        "description": format!("{description}, with its unit"),
    })
}

fn units<Q: Quantity>() -> String {
    let words: Vec<&str> = Q::UNITS.iter().map(|unit| unit.0).collect();
    choices(&words)
}

/// Words for a pattern, those with signs of its own made plain.
fn choices(words: &[&str]) -> String {
    words.iter().map(|word| word.replace('.', r"\.")).collect::<Vec<_>>().join("|")
}

fn money(description: &str) -> Value {
    json!({
        "type": "string",
        "pattern": r"^[0-9]+(\.[0-9]{0,2})? +[A-Z]{3}$",
        "description": format!("{description}, such as 64.00 EUR"),
    })
}

fn text(description: &str, most: usize) -> Value {
    json!({ "type": "string", "maxLength": most, "description": description })
}

fn table<'k>(description: &str, properties: impl IntoIterator<Item = (&'k str, Value)>) -> Value {
    let properties: Map<String, Value> =
        properties.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
    json!({
        "type": "object",
        "description": description,
        "additionalProperties": false,
        "properties": properties,
    })
}
