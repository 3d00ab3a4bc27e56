//! Money, taxes, discounts and risks of a shop.

use crate::fields::{Fields, Given, percent};
use crate::nearest::offer;
use crate::plain_value::money as amount;
use crate::problem::{Notes, Refusal, quoted};
use catalog::{Dimension, Slot};
use quantity::{Length, Money, Stated};
use shop::{
    Carries, Deposit, Discount, LineKind, Risk, RiskRecord, Settled, SmallThings, TaxRule, Taxes, Terms,
    Treatment,
};
use toml::de::DeValue;

const MONEY_KEYS: &[&str] = &[
    "hour",
    "prices",
    "shown",
    "round_to",
    "prices_on",
    "intake_fee",
    "scatter_percent",
    "ceiling_to",
    "deposit",
    "not_returnable",
    "small_each",
    "small_in_all",
    "valid_days",
];

/// An hour of labour of more than a thousand is a slip of the point.
const MOST_PERCENT: u32 = 100;

/// The terms of a shop.
pub(super) fn terms(top: &Fields<'_, '_>, notes: &mut Notes) -> Option<Terms> {
    let taxes = taxes(top, notes);
    let discounts = discounts(top, notes);
    let fields = Fields::of("[money]", top.get("money")?, MONEY_KEYS, notes)?;
    let carries = [(Carries::Net.word(), Carries::Net), (Carries::Gross.word(), Carries::Gross)];
    let hour = fields.money("hour", notes);
    let prices = fields.one_of("prices", &carries, notes);
    let shown = fields.one_of("shown", &carries, notes);
    let round_to = fields.whole_or("round_to", (1, 100), 1, notes);
    let prices_on = fields.day("prices_on", notes);
    let intake_fee = same(&fields, "intake_fee", hour, notes);
    let scatter_percent = fields.whole("scatter_percent", (0, MOST_PERCENT), notes);
    let ceiling_to = same(&fields, "ceiling_to", hour, notes);
    let deposit = deposit(&fields, notes);
    let each = same(&fields, "small_each", hour, notes);
    let in_all = same(&fields, "small_in_all", hour, notes);
    let valid_days = fields.whole("valid_days", (1, 365), notes);
    Some(Terms {
        hour: hour?,
        prices: prices?,
        shown: shown?,
        taxes,
        round_to,
        prices_on,
        intake_fee: intake_fee?,
        scatter_percent: scatter_percent?,
        ceiling_to: ceiling_to?,
        deposit: deposit?,
        small: SmallThings { each: each?, in_all: in_all? },
        discounts,
        valid_days: valid_days?,
    })
}

/// An amount in the currency of the shop.
fn same(fields: &Fields<'_, '_>, key: &str, hour: Option<Money>, notes: &mut Notes) -> Option<Money> {
    let value = fields.want(key, "\"15.00 EUR\"", notes)?;
    let money = notes.keep(amount(key, value))?;
    notes.keep(in_currency(key, value, money, hour))
}

fn in_currency(key: &str, value: Given<'_, '_>, money: Money, hour: Option<Money>) -> Result<Money, Refusal> {
    match hour {
        Some(hour) if hour.currency() != money.currency() => {
            let what = format!("`{key}` is in {}, but an hour is in {}", money.currency(), hour.currency());
            Err(Refusal::at(value.span(), what).help("a shop counts in one currency"))
        }
        _ => Ok(money),
    }
}

fn deposit(fields: &Fields<'_, '_>, notes: &mut Notes) -> Option<Deposit> {
    let slots: Vec<Slot> = fields
        .names("not_returnable", "chain", notes)
        .into_iter()
        .filter_map(|(found, entry)| {
            let slot = Slot::read(&found).ok_or_else(|| {
                let known: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
                Refusal::at(entry.span(), format!("{} is no slot", quoted(&found)))
                    .help(offer(&found, &known))
            });
            notes.keep(slot)
        })
        .collect();
    let value = fields.want("deposit", "\"not-returnable\"", notes)?;
    if let DeValue::String(text) = value.get_ref() {
        match text.as_ref() {
            "none" => return Some(Deposit::Nothing),
            "not-returnable" => return Some(Deposit::NotReturnable(slots)),
            text if !text.contains('%') => {
                let what = format!("{} is no deposit", quoted(text));
                notes.refuse(
                    Refusal::at(value.span(), what)
                        .help("accepted: `none`, `not-returnable`, or a share such as `30 %`"),
                );
                return None;
            }
            _ => {}
        }
    }
    notes.keep(percent("deposit", value)).map(|hundredths| Deposit::Share(hundredths / 100))
}

fn taxes(top: &Fields<'_, '_>, notes: &mut Notes) -> Taxes {
    let keys: Vec<&str> = LineKind::ALL.iter().map(|kind| kind.key()).collect();
    let mut taxes = Taxes::new();
    let Some(fields) = top.get("tax").and_then(|value| Fields::of("[tax]", value, &keys, notes)) else {
        return taxes;
    };
    for kind in LineKind::ALL {
        if let Some(rule) = fields.get(kind.key()).and_then(|value| rule(kind.key(), value, notes)) {
            taxes.insert(*kind, rule);
        }
    }
    taxes
}

fn rule(key: &str, value: Given<'_, '_>, notes: &mut Notes) -> Option<TaxRule> {
    if !matches!(value.get_ref(), DeValue::Table(_)) {
        return notes.keep(percent(key, value)).map(TaxRule::rate);
    }
    let fields = Fields::of("a tax", value, &["treatment", "rate", "reason"], notes)?;
    let words: Vec<(&str, Treatment)> = Treatment::ALL.iter().map(|each| (each.key(), *each)).collect();
    let treatment = fields.one_of("treatment", &words, notes)?;
    let rate = match fields.get("rate") {
        Some(value) => notes.keep(percent("rate", value))?,
        None => 0,
    };
    let reason = fields.name_if("reason", "why", notes);
    let is_rated = treatment == Treatment::Standard;
    if is_rated != (rate > 0) {
        let what =
            if is_rated { "a standard tax has no `rate`" } else { "a rate stands where none is charged" };
        notes.refuse(Refusal::at(fields.span(), what));
        return None;
    }
    if matches!(treatment, Treatment::Exempt | Treatment::ReverseCharge) && reason.is_none() {
        notes.refuse(
            Refusal::at(fields.span(), "an exemption has no `reason`")
                .help("write the words that the law wants"),
        );
        return None;
    }
    Some(TaxRule { treatment, hundredths: rate, reason })
}

fn discounts(top: &Fields<'_, '_>, notes: &mut Notes) -> Vec<Discount> {
    let mut discounts = Vec::new();
    for entry in top.list("discount", notes) {
        let Some(fields) = Fields::of("[[discount]]", entry, &["words", "on", "percent"], notes) else {
            continue;
        };
        let words = fields.name("words", "regular customer", notes);
        let share =
            fields.want("percent", "\"10 %\"", notes).and_then(|value| notes.keep(percent("percent", value)));
        let kinds = fields
            .names("on", "labour", notes)
            .into_iter()
            .filter_map(|(found, entry)| {
                let kind = LineKind::read(&found).ok_or_else(|| {
                    let known: Vec<&str> = LineKind::ALL.iter().map(|kind| kind.key()).collect();
                    Refusal::at(entry.span(), format!("{} is no sort of line", quoted(&found)))
                        .help(offer(&found, &known))
                });
                notes.keep(kind)
            })
            .collect();
        if let (Some(words), Some(hundredths)) = (words, share) {
            discounts.push(Discount { words, kinds, hundredths });
        }
    }
    discounts
}

const RISK_KEYS: &[&str] = &[
    "id", "words", "steps", "tried", "measured", "up_to", "chance", "minutes", "parts", "jobs", "events",
    "took",
];

/// A risk of more than two days is a job of its own.
const MOST_MINUTES: u32 = 960;
/// More jobs than a shop counts.
const MOST_JOBS: u32 = 1_000_000;

/// The risks of a shop.
pub(super) fn risks(top: &Fields<'_, '_>, hour: Option<Money>, notes: &mut Notes) -> Vec<Risk> {
    let mut risks: Vec<Risk> = Vec::new();
    for entry in top.list("risk", notes) {
        let Some(fields) = Fields::of("[[risk]]", entry, RISK_KEYS, notes) else { continue };
        let id = fields.name("id", "seized-bracket", notes);
        let words = fields.name("words", "bottom bracket seized", notes);
        let chance =
            fields.want("chance", "\"10 %\"", notes).and_then(|value| notes.keep(percent("chance", value)));
        let minutes = fields.whole("minutes", (0, MOST_MINUTES), notes);
        let parts = match fields.get("parts") {
            None => None,
            Some(value) => notes
                .keep(amount("parts", value))
                .and_then(|money| notes.keep(in_currency("parts", value, money, hour))),
        };
        let settled_by = settled(&fields, notes);
        let record = record(&fields, notes);
        let steps =
            fields.names("steps", "bottom-bracket-out", notes).into_iter().map(|(step, _)| step).collect();
        let (Some(id), Some(words), Some(chance), Some(minutes)) = (id, words, chance, minutes) else {
            continue;
        };
        if risks.iter().any(|risk| risk.id == id) {
            notes.refuse(Refusal::at(fields.span(), format!("the risk `{id}` stands twice")));
            continue;
        }
        let chance = f64::from(chance) / 10_000.0;
        risks.push(Risk { id, words, steps, settled_by, chance, minutes, parts, record });
    }
    risks
}

fn record(fields: &Fields<'_, '_>, notes: &mut Notes) -> RiskRecord {
    let of = |key, notes: &mut Notes| fields.whole_or(key, (0, MOST_JOBS), 0, notes);
    let record =
        RiskRecord { jobs: of("jobs", notes), events: of("events", notes), minutes: of("took", notes) };
    if record.events > record.jobs {
        let what = format!("{} events in {} jobs: more events than jobs", record.events, record.jobs);
        notes.refuse(Refusal::at(fields.span(), what));
    }
    record
}

fn settled(fields: &Fields<'_, '_>, notes: &mut Notes) -> Option<Settled> {
    let frame = Slot::Frame.fields();
    let find = |key: &str, notes: &mut Notes| -> Option<Dimension> {
        let (found, value) =
            fields.get(key).map(|value| (fields.name_if(key, "bracket_moves", notes), value))?;
        let found = found?;
        let field = frame.iter().find(|field| field.key == found).ok_or_else(|| {
            let known: Vec<&str> = frame.iter().map(|field| field.key).collect();
            Refusal::at(value.span(), format!("{} is not a key of `[bike.frame]`", quoted(&found)))
                .help(offer(&found, &known))
        });
        notes.keep(field).map(|field| field.dimension)
    };
    if let Some(dimension) = find("tried", notes) {
        return Some(Settled::TriedLoose(dimension));
    }
    let dimension = find("measured", notes)?;
    let value = fields.want("up_to", "\"4 mm\"", notes)?;
    let found = fields.name_if("up_to", "4 mm", notes)?;
    match Stated::<Length>::parse(&found) {
        Ok(stated) => Some(Settled::UpTo(dimension, stated.value.to_mm())),
        Err(error) => {
            notes.refuse(Refusal::at(value.span(), format!("`up_to`: {error}")));
            None
        }
    }
}
