//! Promised days as a calendar (iCalendar, RFC 5545) that other programs read under a private address.

use crate::ask::Ask;
use crate::clock;
use crate::failure::Failure;
use crate::page::Page;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::secret::{Token, token_hash};
use crate::who::{Access, CALENDAR, MANAGER};
use icalendar::{Calendar, Component, Event, EventLike};
use maud::html;
use shop::Stage;
use store::Which;

/// Most jobs of one stage in a calendar.
const MOST_JOBS: usize = 500;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/calendar", MANAGER, page),
        change("/calendar", MANAGER, make),
        show("/calendar/{token}", Access::Anyone, feed),
    ]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let known: Vec<_> = ask.house.store.tablets()?;
    let body = html! {
        h1 { "Calendar of promised days" }
        section.card {
            p { "A calendar program reads the promised days under a private address. Whoever has the address reads numbers of jobs and their days, no names. Retire an address when it is not used any more." }
            ul.plain { @for one in known.iter().filter(|one| one.active && one.name.starts_with(CALENDAR)) {
                li { form.line method="post" action=(format!("/shop/tablets/{}/retire", one.id)) hx-post=(format!("/shop/tablets/{}/retire", one.id)) hx-target="#notice" {
                    strong { (one.name) } button { "Retire" }
                } }
            } }
            form.line method="post" action="/calendar" hx-post="/calendar" hx-target="#made" {
                label for="for" { "A new address, for" }
                input #for name="for" required autocomplete="off" placeholder="the screen over the till";
                button.main { "Make it" }
            }
            div #made aria-live="polite" {}
        }
    };
    Ok(Reply::Page(Page::new("Calendar", body)))
}

fn make(ask: &Ask) -> Result<Reply, Failure> {
    let name = ask.form.said("for", "For")?;
    let Some(token) = Token::new() else {
        return Err(Failure::Fault { what: "the system gives no random numbers", why: String::new() });
    };
    let name = format!("{CALENDAR}{name}");
    ask.house.store.enrol_tablet(&name, &token.hash(), &ask.who()?.record.id, clock::now())?;
    let base = ask.house.address.as_deref().unwrap_or("");
    let whole = format!("{base}/calendar/{}.ics", token.as_str());
    Ok(Reply::Part(
        html! { p { "Shown once; keep it where the calendar is read:" } p { a href=(whole) { (whole) } } },
    ))
}

fn feed(ask: &Ask) -> Result<Reply, Failure> {
    ask.costs()?;
    let name = ask.named("token");
    let token = name.strip_suffix(".ics").unwrap_or(name);
    let known = ask.house.store.tablet(&token_hash(token))?;
    if !known.is_some_and(|known| known.name.starts_with(CALENDAR)) {
        let name = "it was retired or never made".to_owned();
        return Err(Failure::NotFound { what: "calendar under this address", name });
    }
    let mut calendar = Calendar::new();
    calendar.name(&format!("Promised days, {}", ask.house.workshop.name));
    for stage in Stage::ALL.into_iter().filter(|stage| !super::job::is_over(*stage)) {
        for line in ask.house.store.jobs(&Which::In(stage), None, MOST_JOBS)? {
            let Some(date) = line.job.promised_day.and_then(clock::date_of) else { continue };
            let (year, month, day) = (date.year().into(), date.month() as u32, date.day() as u32);
            let Some(date) = chrono::NaiveDate::from_ymd_opt(year, month, day) else { continue };
            let number = line.job.number();
            let mut event = Event::new();
            event
                .uid(&format!("{}@cogwright", line.job.id))
                .summary(&format!("{number} promised: {}", stage.words()))
                .description(&line.job.held)
                .all_day(date);
            if let Some(address) = &ask.house.address {
                event.url(&format!("{address}/jobs/{number}"));
            }
            calendar.push(event.done());
        }
    }
    Ok(Reply::shown("text/calendar; charset=utf-8", calendar.to_string().into_bytes()))
}
