//! The refit file: the bike as found, the wish, the rider and the parts chosen.

use crate::document::{Source, parse, table_of, unmarked, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::part_table::{Home, from_catalogue, part};
use crate::plain_value::{MOST_IN_VALUE, money, name, quantity, text, whole, words};
use crate::problem::{Notes, Problems, Refusal, quoted};
use crate::set_wish_table::set_wish;
use crate::value_text::Context;
use catalog::{Catalogue, Part, Parts, Slot};
use fit::{Effort, Hands, LowestGear, Refit, Rider, Wish};
use quantity::{Length, Mass, Percent, Power, Stated};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of the file as a whole.
pub(crate) const TOP_KEYS: &[&str] = &["name", "why", "wish", "rider", "ride", "bike", "choice", "expect"];
/// Keys of `[wish]`.
pub(crate) const WISH_KEYS: &[&str] = &["words", "lowest_gear", "hands", "ceiling", "ready_in_days", "set"];
/// Keys of `[rider]`.
pub(crate) const RIDER_KEYS: &[&str] = &[
    "mass",
    "power",
    "inseam",
    "effort",
    "climb_length",
    "climb_height",
    "climb_minutes",
    "cadence_low",
    "cadence_high",
    "lowest_cadence",
];

/// Rider, bike and luggage, grams: from a child on a small bike to a tandem pair with bags (common practice).
pub(crate) const RIDER_GRAMS: (f64, f64) = (15_000.0, 400_000.0);
/// Watts held on a long climb; no one rides outside this (common practice).
pub(crate) const RIDER_WATTS: (f64, f64) = (20.0, 1000.0);
/// Inside length of the leg, millimetres: from a child of two years to the tallest rider (common practice).
pub(crate) const RIDER_INSEAM_MM: (f64, f64) = (250.0, 1200.0);
/// Length of a hill along the road, millimetres: from a ramp to the longest pass.
pub(crate) const ROAD_MM: (f64, f64) = (10_000.0, 200_000_000.0);
/// Height of a hill, millimetres.
pub(crate) const RISE_MM: (f64, f64) = (0.0, 9_000_000.0);
/// Minutes of a climb: a day.
pub(crate) const MOST_MINUTES: u32 = 1440;
/// Turns of the crank in a minute that anybody pedals at for long.
pub(crate) const CADENCES: (u32, u32) = (20, 180);
/// Percent by which a lowest gear can be made easier: at 90 % one turn of the crank moves a tenth of the way.
pub(crate) const EASIER_PERCENT: (f64, f64) = (0.0, 90.0);
/// Days to a promise: ten years.
pub(crate) const MOST_READY_DAYS: u32 = 3650;

/// Reads a refit file.
///
/// `[expect]` belongs to case files and is passed over; see [`crate::case`]. A number is refused outside the
/// range that its dimension is believed in, as is every key and word that is not known.
///
/// # Errors
/// All [`Problems`] of the file, in its order.
///
/// # Examples
/// ```
/// use intake::{Source, read_refit};
///
/// let source = Source { name: "hook-12.toml", text: "name = 'hook 12'\n[bike.frame]\nchainstay = 410\n" };
/// let problems = read_refit(source, &catalog::Catalogue::default()).unwrap_err();
/// assert!(problems.to_string().contains("hook-12.toml:3:13"));
/// assert!(problems.to_string().contains("did you mean `chainstay = \"410 mm\"`?"));
/// ```
pub fn read_refit(source: Source<'_>, catalogue: &Catalogue) -> Result<Refit, Problems> {
    let source = unmarked(source);
    let table = parse(source)?;
    let mut notes = Notes::default();
    let refit = refit(&table, catalogue, &mut notes);
    Problems::gathered([(source.name, source.text, notes)]).map_or(Ok(refit), Err)
}

/// Reads the tables of a refit.
pub(crate) fn refit(table: &DeTable<'_>, catalogue: &Catalogue, notes: &mut Notes) -> Refit {
    let mut refit = Refit::default();
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "name" => {
                refit.name = notes.keep(name("name", value, "what the job is called")).unwrap_or_default()
            }
            "why" => _ = notes.keep(words("why", value, "why this file is kept")),
            "wish" => refit.wish = wish(value, notes),
            "rider" => refit.rider = rider(value, notes),
            "ride" => refit.ride = crate::ride_table::ride(value, catalogue, notes),
            "bike" => refit.bike = parts("bike", Home::Bike, value, catalogue, notes),
            "choice" => refit.choice = parts("choice", Home::Choice, value, catalogue, notes),
            "expect" => {}
            found => {
                let refusal = match Slot::read(found) {
                    Some(slot) => {
                        let (what, key) =
                            (format!("`{found}` stands outside `bike` and `choice`"), slot.key());
                        Refusal::at(key_span(key_of(table, found), value), what)
                            .help(format!("write `[bike.{key}]` for what the bike has, `[choice.{key}]` for what shall go on"))
                    }
                    None => unknown_key(key.span(), found, "of a refit", TOP_KEYS),
                };
                notes.refuse(refusal);
            }
        }
    }
    if key_of(table, "name").is_none() {
        notes.refuse(
            Refusal::of_file("the refit has no `name`")
                .help("write `name = \"what the job is called\"` at the top"),
        );
    }
    refit
}

type Key<'t, 'a> = &'t Spanned<toml::de::DeString<'a>>;

/// The key as it stands in the table.
pub(crate) fn key_of<'t, 'a>(table: &'t DeTable<'a>, wanted: &str) -> Option<Key<'t, 'a>> {
    table.iter().map(|(key, _)| key).find(|key| key.get_ref() == wanted)
}

fn key_span(key: Option<Key<'_, '_>>, value: &Spanned<DeValue<'_>>) -> std::ops::Range<usize> {
    key.map_or_else(|| value.span(), Spanned::span)
}

fn wish(value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Wish {
    let mut wish = Wish::default();
    let Some(table) = notes.keep(table_of("wish", value, "[wish]")) else { return wish };
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "words" => wish.words = notes.keep(words("words", value, "hills are too hard")),
            "lowest_gear" => wish.lowest_gear = notes.keep(lowest_gear(value)),
            "hands" => wish.hands = notes.keep(hands(value)),
            "ceiling" => wish.ceiling = notes.keep(money("ceiling", value)),
            "ready_in_days" => {
                wish.ready_in_days = notes.keep(whole("ready_in_days", value, 0, MOST_READY_DAYS))
            }
            "set" => wish.set = set_wish(value, notes),
            found => notes.refuse(unknown_key(key.span(), found, "of `[wish]`", WISH_KEYS)),
        }
    }
    wish
}

fn rider(value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> Rider {
    let mut rider = Rider::default();
    let Some(table) = notes.keep(table_of("rider", value, "[rider]")) else { return rider };
    let (mut low, mut high) = (None, None);
    let (mut length, mut height, mut minutes) = (None, None, None);
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "mass" => rider.mass = notes.keep(quantity::<Mass>("mass", value, "82 kg", RIDER_GRAMS)),
            "power" => rider.power = notes.keep(quantity::<Power>("power", value, "180 W", RIDER_WATTS)),
            "inseam" => {
                rider.inseam = notes.keep(quantity::<Length>("inseam", value, "800 mm", RIDER_INSEAM_MM))
            }
            "effort" => rider.effort = notes.keep(effort(value)),
            "climb_length" => {
                length = notes.keep(quantity::<Length>("climb_length", value, "3200 m", ROAD_MM));
            }
            "climb_height" => {
                height = notes.keep(quantity::<Length>("climb_height", value, "240 m", RISE_MM))
            }
            "climb_minutes" => minutes = notes.keep(whole("climb_minutes", value, 1, MOST_MINUTES)),
            "cadence_low" => low = notes.keep(whole("cadence_low", value, CADENCES.0, CADENCES.1)),
            "cadence_high" => high = notes.keep(whole("cadence_high", value, CADENCES.0, CADENCES.1)),
            "lowest_cadence" => {
                rider.lowest_cadence = notes.keep(whole("lowest_cadence", value, CADENCES.0, CADENCES.1));
            }
            found => notes.refuse(unknown_key(key.span(), found, "of `[rider]`", RIDER_KEYS)),
        }
    }
    rider.cadence = low.zip(high);
    rider.climb = match (length, height, minutes) {
        (Some(length), Some(height), Some(minutes)) => Some((length, height, minutes)),
        _ => None,
    };
    let has = |key: &str| key_of(table, key).is_some();
    if has("cadence_low") != has("cadence_high") {
        notes.refuse(
            Refusal::at(value.span(), "a liked cadence has two ends")
                .help("write `cadence_low` and `cadence_high`"),
        );
    }
    let climb = ["climb_length", "climb_height", "climb_minutes"];
    if climb.iter().any(|key| has(key)) && !climb.iter().all(|key| has(key)) {
        notes.refuse(
            Refusal::at(value.span(), "a hill with its time has a length, a height and minutes")
                .help("write `climb_length`, `climb_height` and `climb_minutes`"),
        );
    }
    rider
}

fn effort(value: &Spanned<DeValue<'_>>) -> Result<Effort, Refusal> {
    let text = text("effort", value, "steady", MOST_IN_VALUE)?;
    match text.trim() {
        "easy" => Ok(Effort::Easy),
        "steady" => Ok(Effort::Steady),
        "strong" => Ok(Effort::Strong),
        found => {
            let what = format!("{} does not say how they ride up a long hill", quoted(found));
            Err(Refusal::at(value.span(), what).help(offer(found, &["easy", "steady", "strong"])))
        }
    }
}

fn lowest_gear(value: &Spanned<DeValue<'_>>) -> Result<LowestGear, Refusal> {
    let text = text("lowest_gear", value, "easier", MOST_IN_VALUE)?;
    let refuse = |what: String| {
        Refusal::at(value.span(), what)
            .help("accepted: `keep`, `easier`, or easier by so much at least, such as `10 %`")
    };
    match text.trim() {
        "keep" => return Ok(LowestGear::Keep),
        "easier" => return Ok(LowestGear::Easier),
        _ => {}
    }
    match Stated::<Percent>::parse(text) {
        Ok(Stated { value: percent, tolerance: None, .. }) => {
            let (least, most) = EASIER_PERCENT;
            if least < percent.to_percent() && percent.to_percent() <= most {
                return Ok(LowestGear::EasierBy(percent));
            }
            Err(refuse(format!("`lowest_gear` is {}, outside {least} % to {most} %", quoted(text))))
        }
        _ => Err(refuse(format!("{} does not say what the lowest gear shall become", quoted(text)))),
    }
}

fn hands(value: &Spanned<DeValue<'_>>) -> Result<Hands, Refusal> {
    let text = text("hands", value, "keep", MOST_IN_VALUE)?;
    match text.trim() {
        "keep" => Ok(Hands::Keep),
        "free" => Ok(Hands::Free),
        found => {
            let what = format!("{} does not say what shall become of the hand position", quoted(found));
            Err(Refusal::at(value.span(), what).help(offer(found, &["keep", "free"])))
        }
    }
}

/// Reads `[bike]` or `[choice]`: a table or a catalogue key for each slot.
fn parts(
    side: &str,
    home: Home,
    value: &Spanned<DeValue<'_>>,
    catalogue: &Catalogue,
    notes: &mut Notes,
) -> Parts {
    let mut parts = Parts::default();
    let Some(table) = notes.keep(table_of(side, value, &format!("[{side}.cassette]"))) else { return parts };
    let slots: Vec<&str> = slots(home).map(Slot::key).collect();
    for (key, value) in table.iter() {
        let found = key.get_ref().as_ref();
        match Slot::read(found) {
            Some(Slot::Frame) if home == Home::Choice => notes.refuse(
                Refusal::at(key.span(), "a frame is not chosen: the refit is for the frame that is there")
                    .help("describe the frame under `[bike.frame]`"),
            ),
            Some(slot) => {
                if let Some(part) = slot_value(slot, home, value, catalogue, notes) {
                    parts.put(part);
                }
            }
            None => notes.refuse(unknown_key(key.span(), found, &format!("of `[{side}]`"), &slots)),
        }
    }
    parts
}

/// The slots that can be described in a place: a frame is never chosen.
pub(crate) fn slots(home: Home) -> impl Iterator<Item = Slot> {
    Slot::ALL.iter().copied().filter(move |slot| home != Home::Choice || *slot != Slot::Frame)
}

fn slot_value(
    slot: Slot,
    home: Home,
    value: &Spanned<DeValue<'_>>,
    catalogue: &Catalogue,
    notes: &mut Notes,
) -> Option<Part> {
    match value.get_ref() {
        DeValue::String(_) => notes.keep(from_catalogue(slot, value, catalogue)),
        DeValue::Table(table) => {
            let context = Context { sources: &catalogue.sources };
            Some(part(slot, home, table, catalogue, context, notes))
        }
        _ => {
            let example = format!("{} = \"a key of the catalogue\"", slot.key());
            notes.refuse(wrong_form(slot.key(), value, "a table or the key of a catalogue part", &example));
            None
        }
    }
}
