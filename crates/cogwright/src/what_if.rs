//! One value of a refit or of its catalogue that is another one.

use crate::files::Failure;
use catalog::Catalogue;
use catalog::part::Label;
use fit::Refit;
use intake::{Source, read_refit};
use quantity::{Money, Reading};

/// Puts another value in: `PART.price=79.00 EUR`, `PART.days=0`, `bike.SLOT.KEY=VALUE`.
pub(crate) fn put(text: &str, refit: &mut Refit, catalogue: &mut Catalogue) -> Result<(), Failure> {
    let form = || Failure::Word {
        found: text.to_owned(),
        kind: "what-if",
        accepted: vec!["PART.price=79.00 EUR", "PART.days=0", "bike.rear_wheel.body_length=36.8 mm"],
    };
    let (what, value) = text.split_once('=').ok_or_else(form)?;
    let (of, key) = what.trim().rsplit_once('.').ok_or_else(form)?;
    if let Some(slot) = of.strip_prefix("bike.") {
        return measure(slot, key, value.trim(), refit, catalogue);
    }
    match key {
        "price" => {
            let price = price(value.trim(), catalogue)?;
            relabel(of, catalogue, |label| label.price = Some(price))
        }
        "days" => {
            let days: u32 = value.trim().parse().map_err(|_| form())?;
            relabel(of, catalogue, |label| label.lead_days = Some(days))
        }
        _ => Err(form()),
    }
}

/// A price as refit files write it, read by the reader of refit files.
fn price(value: &str, catalogue: &Catalogue) -> Result<Money, Failure> {
    let text = format!("name = \"what if\"\n[wish]\nceiling = {}\n", quoted(value));
    let read = read_refit(Source { name: "--if", text: &text }, catalogue)?;
    let none = || Failure::Word { found: value.to_owned(), kind: "price", accepted: vec!["79.00 EUR"] };
    read.wish.ceiling.ok_or_else(none)
}

/// A reading as refit files write it: what is read takes the place of what the bike had.
fn measure(
    slot: &str,
    key: &str,
    value: &str,
    refit: &mut Refit,
    catalogue: &Catalogue,
) -> Result<(), Failure> {
    let is_bare = value.starts_with('[') || value.parse::<f64>().is_ok();
    let value = if is_bare { value.to_owned() } else { quoted(value) };
    let text = format!("name = \"what if\"\n[bike.{slot}]\n{key} = {value}\n");
    let read = read_refit(Source { name: "--if", text: &text }, catalogue)?;
    for part in read.bike.iter() {
        let slot = part.slot();
        let mut found = refit.bike.get(slot).unwrap_or_else(|| slot.empty());
        for field in slot.fields() {
            if let Some(reading) = part.get(field.dimension).filter(|reading| *reading != Reading::NotTaken) {
                found.set(field.dimension, reading);
            }
        }
        refit.bike.put(found);
    }
    Ok(())
}

fn quoted(value: &str) -> String {
    format!("\"{}\"", value.replace(['\\', '"', '\n'], ""))
}

fn relabel(key: &str, catalogue: &mut Catalogue, change: impl FnOnce(&mut Label)) -> Result<(), Failure> {
    let Some(part) = catalogue.parts.iter_mut().find(|part| part.id() == Some(key)) else {
        return Err(Failure::NoPart(key.to_owned()));
    };
    let mut label = part.label();
    change(&mut label);
    part.relabel(label);
    Ok(())
}
