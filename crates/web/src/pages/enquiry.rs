//! A new enquiry: who wants what, in their own words, for which bike.

use crate::ask::Ask;
use crate::failure::Failure;
use crate::page::Page;
use crate::pages::job::forms::hidden_key;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::Access;
use maud::html;
use shop::Event;
use shop::job::Stage;
use store::{BikeRecord, CustomerRecord, Which};

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/enquiry", Access::Staff, page), change("/enquiry", Access::Staff, open)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let store = &ask.house.store;
    let customer = match ask.query.text("customer") {
        "" => None,
        id => store.customer(id)?,
    };
    let bikes = match &customer {
        Some(customer) => store.bikes_of(&customer.id)?,
        None => Vec::new(),
    };
    let body = html! {
        h1 { "New enquiry" }
        form.sheet method="post" action="/enquiry" hx-post="/enquiry" hx-target="#notice" {
            (hidden_key())
            fieldset {
                legend { "Who" }
                @match &customer {
                    Some(customer) => {
                        input type="hidden" name="customer" value=(customer.id);
                        p { strong { (customer.name) } " " (customer.phone) " " a href="/enquiry" { "somebody else" } }
                    }
                    None => {
                        label for="name" { "Name" }
                        input #name name="name" autocomplete="off" list="known" required hx-get="/customers/suggest" hx-trigger="input delay:200ms" hx-target="#known";
                        datalist #known {}
                        label for="phone" { "How to reach them in working hours" }
                        input #phone name="phone" inputmode="tel" autocomplete="off";
                    }
                }
            }
            fieldset {
                legend { "Which bike" }
                @if !bikes.is_empty() {
                    @for (at, bike) in bikes.iter().enumerate() {
                        label.choice { input type="radio" name="bike" value=(bike.id) checked[at == 0]; " " (bike.name) " " span.quiet { (bike.frame_number) } }
                    }
                    label.choice { input type="radio" name="bike" value=""; " another one" }
                }
                label for="bike_name" { "What it is called" @if !bikes.is_empty() { ", if it is another one" } }
                input #bike_name name="bike_name" autocomplete="off" placeholder="green road bike";
                @if !bikes.is_empty() {
                    label.choice { input type="checkbox" name="take_over" value="yes" checked; " take over what was measured on it before" }
                }
            }
            fieldset {
                legend { "What they wish" }
                label for="words" { "In their own words, and why" }
                textarea #words name="words" rows="3" required {}
                label for="job_name" { "Name of the job, in a few words" }
                input #job_name name="job_name" autocomplete="off" required placeholder="eleven cogs and new levers";
            }
            button.main { "Write it down" }
        }
    };
    Ok(Reply::Page(Page::new("New enquiry", body)))
}

fn open(ask: &Ask) -> Result<Reply, Failure> {
    let who = ask.who()?;
    let store = &ask.house.store;
    let words = ask.form.said("words", "What they wish")?;
    let name = ask.form.said("job_name", "Name of the job")?;
    let customer = customer_of(ask)?;
    let bike = bike_of(ask, &customer)?;
    let enquiry = Event::Enquired { name, customer: customer.name.clone(), words };
    who.may(&enquiry)?;
    let tap = ask.tap(enquiry);
    let bike_id = bike.as_ref().map(|bike| bike.id.as_str());
    let card = ask.house.open_job(&customer.id, bike_id, &who.person, tap)?;
    let number = card.number();
    if let Some(bike) = bike.filter(|_| ask.form.has("take_over") && card.job.version() == 1) {
        let earlier = store.jobs(&Which::OfBike(bike.id), None, 20)?;
        // The last job in which it was measured, and never this one.
        for line in earlier.iter().filter(|line| line.job.id != card.record.id) {
            if line.job.stage == Stage::Enquiry.key() {
                continue;
            }
            let taps = crate::pages::job::taken_over(&*ask.house.card(&line.job.number())?);
            if !taps.is_empty() {
                ask.house.act(&number, &who.person, &taps, None)?;
                break;
            }
        }
    }
    Ok(Reply::Go(format!("/jobs/{number}")))
}

/// The customer who was named: one that is known under this name, or a new one.
fn customer_of(ask: &Ask) -> Result<CustomerRecord, Failure> {
    let store = &ask.house.store;
    let id = ask.form.text("customer");
    if !id.is_empty() {
        return store
            .customer(id)?
            .ok_or_else(|| Failure::NotFound { what: "customer", name: id.to_owned() });
    }
    let name = ask.form.said("name", "Name")?;
    let phone = ask.form.said_or_none("phone", "How to reach them")?.unwrap_or_default();
    let same = |known: &CustomerRecord| {
        known.name.eq_ignore_ascii_case(&name) && (phone.is_empty() || known.phone == phone)
    };
    // Two people may have one name: the same only if what else was given says nothing else.
    if let Some(known) = store.customers_named(&name)?.into_iter().find(same) {
        return Ok(known);
    }
    let mut record = store.add_customer(&name, ask.now())?;
    if !phone.is_empty() {
        record.phone = phone;
        record = store.change_customer(&record)?;
    }
    Ok(record)
}

fn bike_of(ask: &Ask, customer: &CustomerRecord) -> Result<Option<BikeRecord>, Failure> {
    let store = &ask.house.store;
    let id = ask.form.text("bike");
    if !id.is_empty() {
        return match store.bike(id)? {
            Some(bike) if bike.customer == customer.id => Ok(Some(bike)),
            _ => Err(Failure::NotFound { what: "bike", name: id.to_owned() }),
        };
    }
    match ask.form.said_or_none("bike_name", "What it is called")? {
        Some(name) => Ok(Some(store.add_bike(&customer.id, &name, ask.now())?)),
        None => Ok(None),
    }
}
