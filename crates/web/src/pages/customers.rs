//! Customers, their bikes, and what was done to each.

use crate::ask::Ask;
use crate::failure::Failure;
use crate::page::Page;
use crate::pages::board;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::Access;
use maud::html;
use store::{BikeRecord, CustomerRecord, Which};

/// Names that are suggested while one is typed.
const SUGGESTED: usize = 8;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/customers", Access::Staff, customers),
        show("/customers/suggest", Access::Staff, suggest),
        show("/customers/{customer}", Access::Staff, customer),
        change("/customers/{customer}", Access::Staff, change_customer),
        change("/customers/{customer}/bikes", Access::Staff, add_bike),
        show("/bikes/{bike}", Access::Staff, bike),
        change("/bikes/{bike}", Access::Staff, change_bike),
    ]
}

fn customers(ask: &Ask) -> Result<Reply, Failure> {
    let start = ask.query.text("name");
    let found = ask.house.store.customers_named(start)?;
    let body = html! {
        h1 { "Customers" }
        form.line method="get" action="/customers" {
            label for="name" { "Name begins with" }
            input #name name="name" value=(start) autocomplete="off";
            button { "Show" }
        }
        @if found.is_empty() { p.empty { "No customer of this name. A customer is written down with an enquiry." } }
        ul.rows {
            @for one in &found {
                li { a href=(format!("/customers/{}", one.id)) { strong { (one.name) } " " span.quiet { (one.phone) } } }
            }
        }
    };
    Ok(Reply::Page(Page::new("Customers", body)))
}

/// Names while one is typed.
fn suggest(ask: &Ask) -> Result<Reply, Failure> {
    let start = ask.query.text("name");
    let found = if start.len() < 2 { Vec::new() } else { ask.house.store.customers_named(start)? };
    Ok(Reply::Part(html! { @for one in found.iter().take(SUGGESTED) { option value=(one.name) {} } }))
}

fn customer_named(ask: &Ask) -> Result<CustomerRecord, Failure> {
    let id = ask.named("customer");
    let found = ask.house.store.customer(id)?;
    found.ok_or_else(|| Failure::NotFound { what: "customer", name: id.to_owned() })
}

fn customer(ask: &Ask) -> Result<Reply, Failure> {
    let store = &ask.house.store;
    let one = customer_named(ask)?;
    let bikes = store.bikes_of(&one.id)?;
    let jobs = store.jobs(&Which::OfCustomer(one.id.clone()), None, 50)?;
    let here = format!("/customers/{}", one.id);
    let body = html! {
        h1 { (one.name) }
        p { a.button.main href=(format!("/enquiry?customer={}", one.id)) { "New enquiry" } }
        section.card {
            h2 { "Bikes" }
            @if bikes.is_empty() { p.empty { "None is written down." } }
            ul.rows { @for bike in &bikes {
                li { a href=(format!("/bikes/{}", bike.id)) { strong { (bike.name) } " " span.quiet { (bike.frame_number) } } }
            } }
            form.line method="post" action=(format!("{here}/bikes")) hx-post=(format!("{here}/bikes")) hx-target="#notice" {
                label for="bike" { "Another bike" }
                input #bike name="name" required autocomplete="off";
                button { "Add" }
            }
        }
        section.card {
            h2 { "Jobs" }
            @if jobs.is_empty() { p.empty { "None yet." } }
            (board::list(&jobs))
        }
        section.card {
            h2 { "How to reach them" }
            form.sheet method="post" action=(here) hx-post=(here) hx-target="#notice" {
                label for="name" { "Name" }
                input #name name="name" value=(one.name) required autocomplete="off";
                label for="phone" { "Telephone, in working hours" }
                input #phone name="phone" value=(one.phone) inputmode="tel" autocomplete="off";
                label for="mail" { "Mail" }
                input #mail name="mail" value=(one.mail) type="email" autocomplete="off";
                label for="words" { "What to know: who may agree, when to call" }
                textarea #words name="words" rows="3" { (one.words) }
                button { "Keep" }
            }
        }
    };
    Ok(Reply::Page(Page::new(one.name.clone(), body)))
}

fn change_customer(ask: &Ask) -> Result<Reply, Failure> {
    let mut one = customer_named(ask)?;
    one.name = ask.form.said("name", "Name")?;
    one.phone = ask.form.text("phone").to_owned();
    one.mail = ask.form.text("mail").to_owned();
    one.words = ask.form.text("words").to_owned();
    ask.house.store.change_customer(&one)?;
    Ok(Reply::Go(format!("/customers/{}", one.id)))
}

fn add_bike(ask: &Ask) -> Result<Reply, Failure> {
    let one = customer_named(ask)?;
    let name = ask.form.said("name", "What the bike is called")?;
    let bike = ask.house.store.add_bike(&one.id, &name, ask.now())?;
    Ok(Reply::Go(format!("/bikes/{}", bike.id)))
}

fn bike_named(ask: &Ask) -> Result<BikeRecord, Failure> {
    let id = ask.named("bike");
    ask.house.store.bike(id)?.ok_or_else(|| Failure::NotFound { what: "bike", name: id.to_owned() })
}

fn bike(ask: &Ask) -> Result<Reply, Failure> {
    let store = &ask.house.store;
    let bike = bike_named(ask)?;
    let owner = store.customer(&bike.customer)?;
    let jobs = store.jobs(&Which::OfBike(bike.id.clone()), None, 50)?;
    let here = format!("/bikes/{}", bike.id);
    let body = html! {
        h1 { (bike.name) }
        @if let Some(owner) = &owner {
            p { "of " a href=(format!("/customers/{}", owner.id)) { (owner.name) } }
            p { a.button.main href=(format!("/enquiry?customer={}", owner.id)) { "New enquiry" } }
        }
        section.card {
            h2 { "What was done to it" }
            @if jobs.is_empty() { p.empty { "Nothing yet." } }
            (board::list(&jobs))
        }
        section.card {
            h2 { "The bike" }
            form.sheet method="post" action=(here) hx-post=(here) hx-target="#notice" {
                label for="frame_number" { "Frame number" }
                input #frame_number name="frame_number" value=(bike.frame_number) autocomplete="off";
                label for="words" { "What to know" }
                textarea #words name="words" rows="3" { (bike.words) }
                button { "Keep" }
            }
        }
    };
    Ok(Reply::Page(Page::new(bike.name.clone(), body)))
}

fn change_bike(ask: &Ask) -> Result<Reply, Failure> {
    let mut bike = bike_named(ask)?;
    bike.frame_number = ask.form.text("frame_number").to_owned();
    bike.words = ask.form.text("words").to_owned();
    ask.house.store.change_bike(&bike)?;
    Ok(Reply::Go(format!("/bikes/{}", bike.id)))
}
