//! When a shop is open, and who works there.

use crate::fields::{Fields, Given, day};
use crate::plain_value::{MOST_IN_VALUE, text};
use crate::problem::{Notes, Refusal, quoted};
use jiff::civil::Date;
use shop::{Calendar, Colleague, Hours, Skill, Week};

const DAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// The calendar of a shop.
pub(super) fn calendar(value: Given<'_, '_>, notes: &mut Notes) -> Option<Calendar> {
    let keys: Vec<&str> = DAYS.iter().copied().chain(["pause", "closed", "walk_in_percent"]).collect();
    let fields = Fields::of("[hours]", value, &keys, notes)?;
    let open = week(&fields, notes);
    if open.iter().all(Option::is_none) {
        notes.refuse(Refusal::at(fields.span(), "the shop is open on no day of the week"));
    }
    let pause = fields.get("pause").and_then(|value| notes.keep(hours("pause", value)));
    let closed = fields.list("closed", notes);
    let closed = closed.into_iter().filter_map(|entry| notes.keep(day("closed", entry))).collect();
    let walk_in_percent = fields.whole("walk_in_percent", (0, 90), notes);
    Some(Calendar { open, pause, closed, walk_in_percent: walk_in_percent? })
}

fn week(fields: &Fields<'_, '_>, notes: &mut Notes) -> Week {
    DAYS.map(|day| fields.get(day).and_then(|value| notes.keep(hours(day, value))))
}

/// Hours such as `09:00-18:00`.
fn hours(key: &str, value: Given<'_, '_>) -> Result<Hours, Refusal> {
    let found = text(key, value, "09:00-18:00", MOST_IN_VALUE)?;
    let minute = |clock: &str| -> Option<u32> {
        let (hour, minute) = clock.trim().split_once(':')?;
        let digits = |text: &str| (text.len() == 2).then(|| text.parse::<u32>().ok()).flatten();
        let (hour, minute) = (digits(hour)?, digits(minute)?);
        (hour <= 24 && minute < 60 && hour * 60 + minute <= 24 * 60).then_some(hour * 60 + minute)
    };
    let read = found
        .split_once(['-', '–'])
        .and_then(|(from, to)| Some(Hours { from: minute(from)?, to: minute(to)? }));
    match read {
        Some(hours) if hours.from < hours.to => Ok(hours),
        _ => Err(Refusal::at(value.span(), format!("{} are no hours of a day", quoted(found)))
            .help(format!("write them such as `{key} = \"09:00-18:00\"`"))),
    }
}

/// The people of a shop.
pub(super) fn people(top: &Fields<'_, '_>, notes: &mut Notes) -> Vec<Colleague> {
    const KEYS: &[&str] = &["name", "skill", "checks", "hours", "away"];
    let mut people: Vec<Colleague> = Vec::new();
    for entry in top.list("person", notes) {
        let Some(fields) = Fields::of("[[person]]", entry, KEYS, notes) else { continue };
        let name = fields.name("name", "Ash", notes);
        let skills = [Skill::Learner, Skill::Mechanic, Skill::Specialist].map(|skill| (skill.words(), skill));
        let skill = fields.one_of("skill", &skills, notes);
        let checks = fields.is("checks", notes);
        let hours = fields.get("hours").and_then(|value| {
            let fields = Fields::of("the hours of a person", value, &DAYS, notes)?;
            Some(week(&fields, notes))
        });
        let away = fields.list("away", notes);
        let away = away.into_iter().filter_map(|entry| notes.keep(absence(entry))).collect();
        let (Some(name), Some(skill)) = (name, skill) else { continue };
        if people.iter().any(|person| person.name.to_lowercase() == name.to_lowercase()) {
            notes.refuse(Refusal::at(
                fields.span(),
                format!("{} stands twice among the people", quoted(&name)),
            ));
            continue;
        }
        people.push(Colleague { name, skill, checks, hours, away });
    }
    people
}

/// A day, or first and last day such as `2026-12-24 to 2027-01-02`.
fn absence(value: Given<'_, '_>) -> Result<(Date, Date), Refusal> {
    let found = text("away", value, "2026-12-24 to 2027-01-02", MOST_IN_VALUE)?;
    let read = |day: &str| day.trim().parse::<Date>().ok();
    let both = match found.split_once(" to ") {
        Some((first, last)) => read(first).zip(read(last)),
        None => read(found).map(|day| (day, day)),
    };
    match both {
        Some((first, last)) if first <= last => Ok((first, last)),
        _ => Err(Refusal::at(value.span(), format!("{} is no absence", quoted(found)))
            .help("write a day, or first and last such as `2026-12-24 to 2027-01-02`")),
    }
}
