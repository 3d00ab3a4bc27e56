//! The table `[ride]` of a refit file: a recorded ride, or a hill by hand, and the cassettes that it shall decide about.

use crate::document::{table_of, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::plain_value::{MOST_IN_VALUE, name, quantity, text};
use crate::problem::{Notes, Refusal, quoted};
use crate::refit_file::{RISE_MM, ROAD_MM};
use catalog::{Catalogue, Slot};
use fit::{RideWish, Wind};
use quantity::{Length, Speed};
use toml::Spanned;
use toml::de::DeValue;

/// Keys of `[ride]`.
pub(crate) const RIDE_KEYS: &[&str] =
    &["file", "heights", "hill_length", "hill_climb", "spacing", "wind", "head_wind", "compare"];
/// Length of a stretch of the profile, millimetres.
pub(crate) const SPACING_MM: (f64, f64) = (5_000.0, 200_000.0);
/// Wind of unknown direction, and from ahead, metres a second; 15 m/s tears twigs off trees.
pub(crate) const WIND_M_S: (f64, f64) = (0.0, 15.0);
pub(crate) const HEAD_WIND_M_S: (f64, f64) = (-15.0, 15.0);
/// Most cassettes that are compared.
pub(crate) const MOST_COMPARED: usize = 20;

/// Reads `[ride]`; `None` where it says neither a file nor a hill.
pub(crate) fn ride(
    value: &Spanned<DeValue<'_>>,
    catalogue: &Catalogue,
    notes: &mut Notes,
) -> Option<RideWish> {
    let table = notes.keep(table_of("ride", value, "[ride]"))?;
    let mut wish = RideWish::default();
    let (mut length, mut climb, mut wind, mut head_wind) = (None, None, None, None);
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "file" => wish.file = notes.keep(name("file", value, "rides/sunday.gpx")),
            "heights" => wish.barometer = notes.keep(heights(value)),
            "hill_length" => length = notes.keep(quantity::<Length>("hill_length", value, "3200 m", ROAD_MM)),
            "hill_climb" => climb = notes.keep(quantity::<Length>("hill_climb", value, "240 m", RISE_MM)),
            "spacing" => wish.spacing = notes.keep(quantity::<Length>("spacing", value, "20 m", SPACING_MM)),
            "wind" => wind = notes.keep(quantity::<Speed>("wind", value, "2 m/s", WIND_M_S)),
            "head_wind" => {
                head_wind = notes.keep(quantity::<Speed>("head_wind", value, "3 m/s", HEAD_WIND_M_S));
            }
            "compare" => wish.compare = compare(value, catalogue, notes),
            found => notes.refuse(unknown_key(key.span(), found, "of `[ride]`", RIDE_KEYS)),
        }
    }
    wish.hill = length.zip(climb);
    wish.wind = head_wind.map(Wind::Ahead).or(wind.map(Wind::Anywhere));
    let has = |key: &str| table.iter().any(|(found, _)| found.get_ref() == key);
    if has("wind") && has("head_wind") {
        notes.refuse(
            Refusal::at(value.span(), "`[ride]` has both `wind` and `head_wind`; its direction is known or it is not")
                .help("write `wind = \"2 m/s\"` where nobody knows the direction, `head_wind = \"3 m/s\"` where it came from ahead"),
        );
    }
    let hill = (has("hill_length"), has("hill_climb"));
    let refusal = match (has("file"), hill) {
        (true, (false, false)) | (false, (true, true)) => return Some(wish),
        (true, _) => "`[ride]` has both a file and a hill; it can only be one of them",
        (false, (false, false)) => "`[ride]` has neither a file nor a hill",
        (false, _) => "a hill by hand has a length along the road and a climb",
    };
    notes.refuse(Refusal::at(value.span(), refusal).help(
        "write `file = \"rides/sunday.gpx\"`, or `hill_length = \"3200 m\"` and `hill_climb = \"240 m\"`",
    ));
    None
}

fn heights(value: &Spanned<DeValue<'_>>) -> Result<bool, Refusal> {
    let text = text("heights", value, "barometer", MOST_IN_VALUE)?;
    match text.trim() {
        "barometer" => Ok(true),
        "satellite" => Ok(false),
        found => {
            let what = format!("{} does not say where the heights come from", quoted(found));
            Err(Refusal::at(value.span(), what).help(offer(found, &["barometer", "satellite"])))
        }
    }
}

fn compare(value: &Spanned<DeValue<'_>>, catalogue: &Catalogue, notes: &mut Notes) -> Vec<String> {
    let example = "compare = [\"a key of the catalogue\", \"another\"]";
    let DeValue::Array(entries) = value.get_ref() else {
        notes.refuse(wrong_form("compare", value, "a list of cassettes", example));
        return Vec::new();
    };
    if entries.len() > MOST_COMPARED {
        let what = format!("`compare` has {} cassettes; at most {MOST_COMPARED} are compared", entries.len());
        notes.refuse(Refusal::at(value.span(), what));
        return Vec::new();
    }
    let known: Vec<&str> = catalogue.for_slot(Slot::Cassette).filter_map(|part| part.id()).collect();
    let mut keys = Vec::new();
    for entry in entries.iter() {
        let Some(key) = notes.keep(name("compare", entry, "a key of the catalogue")) else { continue };
        if known.contains(&key.as_str()) {
            keys.push(key);
        } else {
            let what = format!("{} is not a cassette of the catalogue", quoted(&key));
            notes.refuse(Refusal::at(entry.span(), what).help(offer(&key, &known)));
        }
    }
    keys
}
