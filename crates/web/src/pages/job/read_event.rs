//! The fields of a form become an event, or say what is wrong with them.

use crate::ask::{Ask, Fields};
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use catalog::{Dimension, Slot};
use fit::refit::{Hands, LowestGear};
use fit::{Effort, Origin, Rider, Wish};
use intake::{Pad, read_value};
use quantity::{Length, Mass, Money, Percent, Power, Torque};
use shop::job::{BlindPoint, Channel, Look, Parking, PartCheck, PauseReason, RideKind};
use shop::{Age, Circumstances, Closing, Event, Fastener, StepId, TorqueRange};

/// The event that a form asks for.
pub(crate) fn read(ask: &Ask, card: &JobCard) -> Result<Event, Failure> {
    let form = &ask.form;
    let said = |name, field| form.said(name, field);
    Ok(match form.text("act") {
        "received" => Event::Received { hook: said("hook", "Hook")? },
        "measured" => measured(ask)?,
        "wish" => Event::WishSet(Box::new(wish(form, card)?)),
        "rider" => Event::RiderSet(Box::new(rider(form, card)?)),
        "circumstances" => Event::CircumstancesSet(circumstances(form)),
        "chosen" => chosen(ask)?,
        "dropped" => Event::Dropped(slot(form)?),
        "hands" => Event::HandsRecorded { words: said("words", "Where the hands are")? },
        "approved" => Event::Approved {
            version: whole(form, "version", "Version", 1..=100_000)? as u32,
            name: said("name", "Who agreed")?,
            channel: match form.text("channel") {
                "telephone" => Channel::Telephone,
                _ => Channel::Counter,
            },
            words: said("words", "Their words")?,
        },
        "promised" => {
            Event::Promised { day: day(form, "day", "Day")?, words: said("words", "How it was told")? }
        }
        "declined" => {
            Event::Declined { what: said("what", "What was declined")?, words: said("words", "Their words")? }
        }
        "ordered" => Event::Ordered {
            slot: slot(form)?,
            due_day: match form.text("due") {
                "" => None,
                _ => Some(day(form, "due", "Due on")?),
            },
        },
        "arrived" => Event::Arrived { slot: slot(form)? },
        "part-fits" => Event::PartChecked { slot: slot(form)?, check: PartCheck::Fits },
        "part-wrong" => {
            let words = said("words", "What is wrong")?;
            Event::PartChecked { slot: slot(form)?, check: PartCheck::Wrong { words } }
        }
        "started" => Event::Started,
        "done" => {
            let key = form.text("step");
            match ask.house.workshop.book.steps().iter().find(|step| step.id.0 == key) {
                Some(step) => Event::done(step),
                None => return Err(Failure::NotFound { what: "step", name: key.to_owned() }),
            }
        }
        "tightened" => tightened(form)?,
        "closed" => Event::ClosedByHand { fastener: fastener(form)?.id },
        "witnessed" => Event::Witnessed { fastener: fastener(form)?.id },
        "loose" => Event::FoundLoose { fastener: fastener(form)?.id },
        "problem" => Event::Problem {
            step: step(ask)?,
            words: said("words", "What was found")?,
            stops: form.text("stops") == "yes",
        },
        "settled" => Event::Settled {
            problem: whole(form, "problem", "Problem", 0..=1_000_000)? as usize,
            words: said("words", "How it was settled")?,
        },
        "change-answered" => {
            let channel = match form.text("channel") {
                "telephone" => Channel::Telephone,
                "beforehand" => Channel::Beforehand,
                _ => Channel::Counter,
            };
            super::change::read_answer(ask, card, channel)?
        }
        "paused" => Event::Paused {
            reason: reason(form)?,
            parking: parking(form)?,
            words: said("words", "What the next hand has to know")?,
        },
        "resumed" => {
            if form.text("read") != "yes" {
                let wanted = "read what was left aloud and tick each item as seen";
                return Err(FieldFault::one("What was left", "not ticked", wanted));
            }
            Event::Resumed
        }
        "looked" => looked(form)?,
        "rode" => Event::Rode {
            ride: if form.text("ride") == "second" { RideKind::Second } else { RideKind::First },
            instead: form.said_or_none("instead", "What was done instead")?,
        },
        "second-check" => Event::SecondChecked,
        "collected" => Event::Collected { name: said("name", "Who signs")? },
        "followed-up" => Event::FollowedUp {
            clicks: form.whole("clicks", "Clicks added", -50..=50)?.map(|clicks| clicks as i32),
            words: said("words", "What was said and found")?,
        },
        "sent-home" => Event::SentHome { words: said("words", "Why it is sent home")? },
        "noted" => Event::Noted { words: said("words", "Note")? },
        "corrected" => Event::Corrected {
            entry: whole(form, "entry", "Entry", 0..=1_000_000)? as usize,
            words: said("words", "Why it is corrected")?,
        },
        other => return Err(Failure::NotFound { what: "act", name: other.to_owned() }),
    })
}

/// A whole number that has to be there.
fn whole(
    form: &Fields,
    name: &str,
    field: &str,
    range: std::ops::RangeInclusive<i64>,
) -> Result<i64, Failure> {
    form.whole(name, field, range)?.ok_or_else(|| FieldFault::one(field, "", "a whole number is wanted"))
}

/// A day, as a calendar writes it.
fn day(form: &Fields, name: &str, field: &str) -> Result<i64, Failure> {
    let text = form.text(name);
    let date: Result<jiff::civil::Date, _> = text.parse();
    match date {
        Ok(date) if (2000..=2200).contains(&date.year()) => Ok(clock::day_of(date)),
        _ => Err(FieldFault::one(field, text, "a day such as 2026-12-03 is wanted")),
    }
}

/// The slot of a form.
pub(super) fn slot(form: &Fields) -> Result<Slot, Failure> {
    let key = form.text("slot");
    Slot::read(key).ok_or_else(|| Failure::NotFound { what: "place on the bike", name: key.to_owned() })
}

/// The dimension that a form names: its key on this slot.
pub(super) fn dimension(slot: Slot, key: &str) -> Result<Dimension, Failure> {
    let field = slot.fields().iter().find(|field| field.key == key);
    field
        .map(|field| field.dimension)
        .ok_or_else(|| Failure::NotFound { what: "dimension", name: format!("{} {key}", slot.words()) })
}

fn measured(ask: &Ask) -> Result<Event, Failure> {
    let form = &ask.form;
    let slot = slot(form)?;
    let dimension = dimension(slot, form.text("dimension"))?;
    let origin = if form.text("origin") == "chosen" { Origin::Chosen } else { Origin::Found };
    let text = match form.text("answer") {
        "fine" => "fine",
        "not-reachable" => "not reachable",
        "not-needed" => "not needed",
        _ => form.text("value"),
    };
    if text.is_empty() {
        let wanted = "a value is wanted, or one of fine, not reachable, not needed";
        return Err(FieldFault::one(dimension.words(), "", wanted));
    }
    let reading = read_value(slot, dimension, text, Pad::UnitShown, &ask.house.catalogue().sources)
        .map_err(|error| FieldFault::one(dimension.words(), &error.what, error.help))?;
    Ok(Event::Measured { slot, origin, dimension, reading })
}

fn chosen(ask: &Ask) -> Result<Event, Failure> {
    let id = ask.form.text("part");
    match ask.house.catalogue().find(id) {
        Some(part) => Ok(Event::Chosen(Box::new(part.clone()))),
        None => Err(Failure::NotFound { what: "part", name: id.to_owned() }),
    }
}

/// A sum as it is typed at the counter: a comma may stand for the point, the currency is that of the shop.
pub(super) fn money(
    form: &Fields,
    name: &str,
    field: &str,
    currency: &str,
) -> Result<Option<Money>, Failure> {
    let text = form.text(name).replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    let whole = if text.contains(char::is_alphabetic) { text.clone() } else { format!("{text} {currency}") };
    match Money::parse(&whole) {
        Ok(money) => Ok(Some(money)),
        Err(_) => Err(FieldFault::one(field, &text, format!("a sum such as 900.00 {currency} is wanted"))),
    }
}

fn wish(form: &Fields, card: &JobCard) -> Result<Wish, Failure> {
    let known = &card.state().refit.wish;
    let currency = form.text("currency");
    let easier = form.whole("easier_by", "Easier by at least", 1..=90)?;
    Ok(Wish {
        words: form.said_or_none("words", "Their words")?.or_else(|| known.words.clone()),
        lowest_gear: match (form.text("lowest_gear"), easier) {
            (_, Some(percent)) => Some(LowestGear::EasierBy(Percent::new(percent as f64))),
            ("keep", None) => Some(LowestGear::Keep),
            ("easier", None) => Some(LowestGear::Easier),
            _ => None,
        },
        hands: match form.text("hands") {
            "keep" => Some(Hands::Keep),
            "free" => Some(Hands::Free),
            _ => None,
        },
        ceiling: money(form, "ceiling", "Ceiling", currency)?,
        ready_in_days: form.whole("ready_in_days", "Ready in", 1..=365)?.map(|days| days as u32),
        set: known.set.clone(),
    })
}

/// A quantity that may be empty, typed without its unit.
fn quantity<Q>(
    form: &Fields,
    name: &str,
    field: &str,
    (least, most, unit): (f64, f64, &str),
    make: impl Fn(f64) -> Q,
) -> Result<Option<Q>, Failure> {
    let text = form.text(name);
    if text.is_empty() {
        return Ok(None);
    }
    match text.replace(',', ".").parse::<f64>() {
        Ok(value) if (least..=most).contains(&value) => Ok(Some(make(value))),
        _ => Err(FieldFault::one(field, text, format!("{least} to {most} {unit} is wanted"))),
    }
}

fn rider(form: &Fields, card: &JobCard) -> Result<Rider, Failure> {
    let known = &card.state().refit.rider;
    Ok(Rider {
        mass: quantity(form, "mass_kg", "Rider, bike and luggage", (30.0, 350.0, "kg"), |kg| {
            Mass::grams(kg * 1_000.0)
        })?,
        power: quantity(form, "power_w", "Power on a long climb", (40.0, 500.0, "W"), Power::watts)?,
        inseam: quantity(form, "inseam_mm", "Inside length of the leg", (400.0, 1_100.0, "mm"), Length::mm)?,
        effort: match form.text("effort") {
            "easy" => Some(Effort::Easy),
            "steady" => Some(Effort::Steady),
            "strong" => Some(Effort::Strong),
            _ => None,
        },
        lowest_cadence: form
            .whole("lowest_cadence", "Lowest cadence", 20..=120)?
            .map(|cadence| cadence as u32),
        ..known.clone()
    })
}

fn circumstances(form: &Fields) -> Circumstances {
    let ticked = |name: &str| form.all("with").iter().any(|with| with == name);
    Circumstances {
        age: match form.text("age") {
            "used" => Age::Used,
            "corroded" => Age::Corroded,
            _ => Age::Sound,
        },
        internal_routing: ticked("internal-routing"),
        bleed_front: ticked("bleed-front"),
        bleed_rear: ticked("bleed-rear"),
        tandem: ticked("tandem"),
        customer_parts: ticked("customer-parts"),
    }
}

fn step(ask: &Ask) -> Result<Option<StepId>, Failure> {
    let key = ask.form.text("step");
    if key.is_empty() {
        return Ok(None);
    }
    let found = ask.house.workshop.book.steps().iter().find(|step| step.id.0 == key);
    found.map(|step| Some(step.id)).ok_or_else(|| Failure::NotFound { what: "step", name: key.to_owned() })
}

fn fastener(form: &Fields) -> Result<&'static Fastener, Failure> {
    let key = form.text("fastener");
    let found = shop::FASTENERS.iter().find(|fastener| fastener.id.0 == key);
    found.ok_or_else(|| Failure::NotFound { what: "fastener", name: key.to_owned() })
}

/// A torque as it is set on the wrench. Where the part prints another range than the table, the range was typed too.
fn tightened(form: &Fields) -> Result<Event, Failure> {
    let fastener = fastener(form)?;
    let nm =
        |name: &str, field: &str| quantity(form, name, field, (0.1, 400.0, "N·m"), Torque::newton_metres);
    let torque = nm("torque_nm", "Torque")?
        .ok_or_else(|| FieldFault::one("Torque", "", "the value set on the wrench is wanted, in N·m"))?;
    let printed = (nm("least_nm", "Printed, least")?, nm("most_nm", "Printed, most")?);
    let wanted = match (printed, fastener.closing) {
        ((Some(least), Some(most)), _) => TorqueRange { least, most },
        ((Some(one), None) | (None, Some(one)), _) => TorqueRange { least: one, most: one },
        ((None, None), Closing::Range(..)) => match fastener.range() {
            Some(range) => range,
            None => return Err(FieldFault::one("Printed torque", "", "read it on the part, in N·m")),
        },
        ((None, None), _) => {
            let wanted = "this bolt has no figure of the trade: read what is printed on the part, in N·m";
            return Err(FieldFault::one("Printed torque", "", wanted));
        }
    };
    let wrench = form.said("wrench", "Wrench")?;
    Ok(Event::Tightened { fastener: fastener.id, torque, wanted, wrench })
}

fn reason(form: &Fields) -> Result<PauseReason, Failure> {
    Ok(match form.text("reason") {
        "part" => PauseReason::Part,
        "customer" => PauseReason::Customer,
        "other-job" => PauseReason::OtherJob,
        "person" => PauseReason::Person,
        "tool" => PauseReason::Tool,
        other => return Err(FieldFault::one("Why", other, "one of the reasons is wanted")),
    })
}

fn parking(form: &Fields) -> Result<Parking, Failure> {
    Ok(match form.text("parking") {
        "stripped-and-bagged" => Parking::StrippedAndBagged,
        "rolling-without-chain" => Parking::RollingWithoutChain,
        "built-untested" => Parking::BuiltUntested,
        other => {
            let wanted = "the bike has to be in one of the states in which it may be left";
            return Err(FieldFault::one("How it is left", other, wanted));
        }
    })
}

fn looked(form: &Fields) -> Result<Event, Failure> {
    let key = form.text("point");
    let Some(point) = BlindPoint::ALL.into_iter().find(|point| point.key() == key) else {
        return Err(Failure::NotFound { what: "point of the check", name: key.to_owned() });
    };
    let look = if form.text("look") == "second" { Look::Second } else { Look::First };
    let (least, most) = point.plausible();
    let value = quantity(form, "value", point.words(), (least, most, point.unit()), |value| value)?
        .ok_or_else(|| {
            FieldFault::one(point.words(), "", format!("a value in {} is wanted", point.unit()))
        })?;
    Ok(Event::Looked { point, look, value })
}
