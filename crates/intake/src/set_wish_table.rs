//! `[wish.set]`: what a set of parts shall give, where the program chooses it.

use crate::document::{table_of, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::part_table::Home;
use crate::plain_value::{MOST_IN_VALUE, money, name, quantity, text, whole};
use crate::problem::{Notes, Refusal, quoted};
use crate::refit_file::{MOST_READY_DAYS, slots};
use crate::value_text::{MOST_COGS, MOST_RINGS};
use catalog::Slot;
use fit::{AimName, SetWish};
use quantity::{Length, Mass, Percent, Stated};
use toml::Spanned;
use toml::de::DeValue;

const KEYS: &[&str] = &[
    "cogs",
    "rings",
    "lowest_at_most",
    "highest_at_least",
    "step_at_most",
    "hands_within",
    "keep",
    "free",
    "avoid",
    "parts_within_days",
    "parts_at_most",
    "heavier_at_most",
    "brakes_not_weaker",
    "no_marginal",
    "labour_at_most",
    "aims",
];

/// A week of one person.
pub(crate) const MOST_MINUTES: u32 = 2400;
/// Millimetres in one turn of the cranks: from a walking pace to the largest track gear (common practice).
const DEVELOPMENT_MM: (f64, f64) = (300.0, 15_000.0);
/// Millimetres by which hands may be let move.
const HANDS_MM: (f64, f64) = (0.0, 500.0);
/// Percent from one cog to the next.
const STEP_PERCENT: (f64, f64) = (1.0, 100.0);
/// Grams, from much lighter to much heavier.
const HEAVIER_GRAMS: (f64, f64) = (-20_000.0, 20_000.0);
/// Entries of one list.
const MOST_ENTRIES: usize = 1000;

/// Reads the table.
pub(crate) fn set_wish(value: &Spanned<DeValue<'_>>, notes: &mut Notes) -> SetWish {
    let mut wish = SetWish::default();
    let Some(table) = notes.keep(table_of("set", value, "[wish.set]")) else { return wish };
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "cogs" => wish.cogs = notes.keep(whole("cogs", value, 1, MOST_COGS as u32)),
            "rings" => wish.rings = notes.keep(whole("rings", value, 1, MOST_RINGS as u32)),
            "lowest_at_most" => wish.lowest_at_most = notes.keep(development("lowest_at_most", value)),
            "highest_at_least" => wish.highest_at_least = notes.keep(development("highest_at_least", value)),
            "step_at_most" => wish.step_at_most = notes.keep(percent("step_at_most", value)),
            "hands_within" => {
                wish.hands_within = notes.keep(quantity::<Length>("hands_within", value, "5 mm", HANDS_MM))
            }
            "keep" => wish.keep = notes.keep(list("keep", value, "rear_wheel", slot)).unwrap_or_default(),
            "free" => wish.free = notes.keep(list("free", value, "stem", slot)).unwrap_or_default(),
            "avoid" => {
                let part = |value: &Spanned<DeValue<'_>>| name("avoid", value, "a key of the catalogue");
                wish.avoid =
                    notes.keep(list("avoid", value, "a key of the catalogue", part)).unwrap_or_default();
            }
            "parts_within_days" => {
                wish.parts_within_days = notes.keep(whole("parts_within_days", value, 0, MOST_READY_DAYS))
            }
            "parts_at_most" => wish.parts_at_most = notes.keep(money("parts_at_most", value)),
            "heavier_at_most" => {
                wish.heavier_at_most =
                    notes.keep(quantity::<Mass>("heavier_at_most", value, "0 g", HEAVIER_GRAMS))
            }
            "brakes_not_weaker" => {
                wish.brakes_not_weaker = notes.keep(yes("brakes_not_weaker", value)).unwrap_or_default()
            }
            "no_marginal" => wish.no_marginal = notes.keep(yes("no_marginal", value)).unwrap_or_default(),
            "labour_at_most" => {
                wish.labour_at_most = notes.keep(whole("labour_at_most", value, 0, MOST_MINUTES))
            }
            "aims" => wish.aims = notes.keep(list("aims", value, "price", aim)).unwrap_or_default(),
            found => notes.refuse(unknown_key(key.span(), found, "of `[wish.set]`", KEYS)),
        }
    }
    wish
}

fn development(key: &str, value: &Spanned<DeValue<'_>>) -> Result<Length, Refusal> {
    quantity::<Length>(key, value, "2400 mm", DEVELOPMENT_MM)
}

fn percent(key: &str, value: &Spanned<DeValue<'_>>) -> Result<Percent, Refusal> {
    let text = text(key, value, "15 %", MOST_IN_VALUE)?;
    let (least, most) = STEP_PERCENT;
    match Stated::<Percent>::parse(text) {
        Ok(Stated { value: percent, tolerance: None, .. })
            if (least..=most).contains(&percent.to_percent()) =>
        {
            Ok(percent)
        }
        _ => Err(Refusal::at(value.span(), format!("{} is no step of {least} % to {most} %", quoted(text)))
            .help(format!("write it such as `{key} = \"15 %\"`"))),
    }
}

fn yes(key: &str, value: &Spanned<DeValue<'_>>) -> Result<bool, Refusal> {
    match value.get_ref() {
        DeValue::Boolean(yes) => Ok(*yes),
        _ => Err(wrong_form(key, value, "true or false", &format!("{key} = true"))),
    }
}

fn list<T>(
    key: &str,
    value: &Spanned<DeValue<'_>>,
    example: &str,
    read: impl Fn(&Spanned<DeValue<'_>>) -> Result<T, Refusal>,
) -> Result<Vec<T>, Refusal> {
    let DeValue::Array(entries) = value.get_ref() else {
        return Err(wrong_form(key, value, "a list", &format!("{key} = [\"{example}\"]")));
    };
    if entries.len() > MOST_ENTRIES {
        let what = format!("`{key}` has {} entries; at most {MOST_ENTRIES} are read", entries.len());
        return Err(Refusal::at(value.span(), what));
    }
    entries.iter().map(read).collect()
}

fn slot(value: &Spanned<DeValue<'_>>) -> Result<Slot, Refusal> {
    let text = text("slot", value, "rear_wheel", MOST_IN_VALUE)?;
    match slots(Home::Choice).find(|slot| slot.key() == text) {
        Some(slot) => Ok(slot),
        None => {
            let keys: Vec<&str> = slots(Home::Choice).map(Slot::key).collect();
            let what = format!("{} is not a slot that can change", quoted(text));
            Err(Refusal::at(value.span(), what).help(offer(text, &keys)))
        }
    }
}

fn aim(value: &Spanned<DeValue<'_>>) -> Result<AimName, Refusal> {
    let text = text("aims", value, "price", MOST_IN_VALUE)?;
    AimName::read(text).ok_or_else(|| {
        let words: Vec<&str> = AimName::ALL.iter().map(|aim| aim.word()).collect();
        Refusal::at(value.span(), format!("{} is not an aim", quoted(text))).help(offer(text, &words))
    })
}
