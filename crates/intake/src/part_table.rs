//! One part as it stands in a file: identity, price and delivery, then its dimensions.

use crate::document::wrong_form;
use crate::nearest::{offer, unknown_key};
use crate::plain_value::{MOST_IN_NAME, money, name, quantity, text, whole};
use crate::problem::{Notes, Refusal, quoted};
use crate::value_text::{self, Context};
use catalog::part::Label;
use catalog::{Catalogue, Part, Slot};
use quantity::Mass;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest wait that is believed for a part, working days: two years.
pub(crate) const MOST_LEAD_DAYS: u32 = 500;

/// Heaviest part that is believed: a loaded frame is far below it.
pub(crate) const MOST_PART_GRAMS: f64 = 20_000.0;

/// Where a part is described.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Home {
    /// Found on the bike.
    Bike,
    /// Chosen for it.
    Choice,
    /// In the catalogue.
    Catalogue,
}

impl Home {
    /// Keys besides the dimensions of the part.
    pub(crate) fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Bike => &["part", "name", "mass"],
            Self::Choice => &["part", "name", "price", "mass", "lead_days"],
            Self::Catalogue => &["id", "name", "price", "mass", "lead_days"],
        }
    }

    /// How the table of such a part is written.
    fn table(self, slot: Slot) -> String {
        match self {
            Self::Bike => format!("`[bike.{}]`", slot.key()),
            Self::Choice => format!("`[choice.{}]`", slot.key()),
            Self::Catalogue => format!("`[[{}]]`", slot.key()),
        }
    }
}

/// Reads a part from its table. What is wrong goes to the notes; the rest is read all the same.
pub(crate) fn part(
    slot: Slot,
    home: Home,
    table: &DeTable<'_>,
    catalogue: &Catalogue,
    context: Context<'_>,
    notes: &mut Notes,
) -> Part {
    let base = table.iter().find(|(key, _)| key.get_ref() == "part" && home != Home::Catalogue);
    let base = base.and_then(|(_, value)| notes.keep(from_catalogue(slot, value, catalogue)));
    let mut part = base.unwrap_or_else(|| slot.empty());
    let mut label = part.label();
    for (key, value) in table.iter() {
        let known = key.get_ref().as_ref();
        if home.keys().contains(&known) {
            notes.keep(read_label(known, value, &mut label)).unwrap_or_default();
        } else if let Some(field) = slot.fields().iter().find(|field| field.key == known) {
            let Some(reading) = notes.keep(value_text::reading(*field, value, context)) else { continue };
            if !part.set(field.dimension, reading) {
                notes.refuse(Refusal::at(
                    value.span(),
                    format!("`{known}` cannot be kept for a {}", slot.words()),
                ));
            }
        } else {
            notes.refuse(stranger(key.span(), known, slot, home));
        }
    }
    part.relabel(label);
    part
}

/// The refusal of a key that such a part does not have: where it belongs, or the nearest.
fn stranger(span: Range<usize>, key: &str, slot: Slot, home: Home) -> Refusal {
    let fields = slot.fields().iter().map(|field| field.key);
    let keys: Vec<&str> = home.keys().iter().copied().chain(fields).collect();
    let refusal = unknown_key(span, key, &format!("of {}", home.table(slot)), &keys);
    let owners = Slot::ALL.iter().filter(|other| other.fields().iter().any(|field| field.key == key));
    let table = |owner: &Slot| match (home, owner) {
        // A frame is described with the bike only.
        (Home::Choice, Slot::Frame) => Home::Bike.table(Slot::Frame),
        _ => home.table(*owner),
    };
    let owners: Vec<String> = owners.map(table).collect();
    if owners.is_empty() {
        refusal
    } else {
        refusal.help(format!("`{key}` stands under {}", owners.join(" or ")))
    }
}

/// The part of the catalogue that a value names.
pub(crate) fn from_catalogue(
    slot: Slot,
    value: &Spanned<DeValue<'_>>,
    catalogue: &Catalogue,
) -> Result<Part, Refusal> {
    let id = text("part", value, "a key of the catalogue", MOST_IN_NAME)?;
    match catalogue.find(id) {
        Some(part) if part.slot() == slot => Ok(part.clone()),
        Some(part) => {
            let what = format!("{} is not a {} but a {}", quoted(id), slot.words(), part.slot().words());
            Err(Refusal::at(value.span(), what).help(ids_of(slot, id, catalogue)))
        }
        None => {
            let what = format!("{} is not a {} of the catalogue", quoted(id), slot.words());
            Err(Refusal::at(value.span(), what).help(ids_of(slot, id, catalogue)))
        }
    }
}

fn ids_of(slot: Slot, id: &str, catalogue: &Catalogue) -> String {
    let ids: Vec<&str> = catalogue.for_slot(slot).filter_map(Part::id).collect();
    if ids.is_empty() {
        return format!("the catalogue has no {}; describe it in a table instead", slot.words());
    }
    offer(id, &ids)
}

fn read_label(key: &str, value: &Spanned<DeValue<'_>>, label: &mut Label) -> Result<(), Refusal> {
    match key {
        "id" => label.id = Some(id(value)?),
        "name" => label.name = name(key, value, "11-speed road cassette 11-28")?,
        "price" => label.price = Some(money(key, value)?),
        "mass" => label.mass = Some(quantity::<Mass>(key, value, "284 g", (0.0, MOST_PART_GRAMS))?),
        "lead_days" => label.lead_days = Some(whole(key, value, 0, MOST_LEAD_DAYS)?),
        // `part` was read first: it is what the other keys change.
        _ => {}
    }
    Ok(())
}

/// The key of a part: small letters, digits, dots and dashes.
pub(crate) fn id(value: &Spanned<DeValue<'_>>) -> Result<String, Refusal> {
    let DeValue::String(text) = value.get_ref() else {
        return Err(wrong_form("id", value, "text in quotes", "id = \"cassette-11-road-11-28\""));
    };
    let fits =
        |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || matches!(letter, '.' | '-');
    if text.is_empty() || text.len() > MOST_IN_NAME || !text.chars().all(fits) {
        let what = format!("{} is no key for a part", quoted(text));
        return Err(
            Refusal::at(value.span(), what).help("accepted: small letters `a` to `z`, digits, `.` and `-`")
        );
    }
    Ok(text.to_string())
}

/// Reads `lead_days` of a small part.
pub(crate) fn lead_days(value: &Spanned<DeValue<'_>>) -> Result<u32, Refusal> {
    whole("lead_days", value, 0, MOST_LEAD_DAYS)
}
