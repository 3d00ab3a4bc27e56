//! Sign-in by person: a password at the desk, a short PIN on a tablet that the shop has enrolled.

use crate::ask::Ask;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::page::Page;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::secret::{PIN_DIGITS, Token, is_secret, token_hash};
use crate::who::{Access, SESSION, cookie};
use maud::{Markup, html};
use store::{PersonRecord, SessionRecord, TabletRecord};

/// How long a sign-in at the desk holds: a working day.
const DESK_SECONDS: i64 = 12 * 3_600;
/// How long one on a tablet holds: until the next hand, or half a shift.
const TABLET_SECONDS: i64 = 5 * 3_600;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/sign-in", Access::Anyone, page),
        change("/sign-in", Access::Anyone, sign_in),
        change("/sign-out", Access::Anyone, sign_out),
    ]
}

/// Where to go after the sign-in: a page of this app and no other.
fn way_on(to: &str) -> &str {
    let ours =
        to.starts_with('/') && !to.starts_with("//") && !to.starts_with("/\\") && !to.starts_with("/sign");
    if ours { to } else { "/" }
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let to = way_on(ask.query.text("to"));
    let people: Vec<PersonRecord> =
        ask.house.store.people()?.into_iter().filter(|person| person.active).collect();
    let body = match ask.tablet()? {
        Some(tablet) => on_tablet(ask, &tablet, &people, to),
        None => at_desk(ask, to),
    };
    Ok(Reply::Page(Page::bare("Sign in", body)))
}

fn at_desk(ask: &Ask, to: &str) -> Markup {
    html! {
        section.sign-in {
            p.shop { (ask.house.workshop.name) }
            h1 { "Sign in" }
            form method="post" action="/sign-in" hx-post="/sign-in" hx-target="#notice" {
                input type="hidden" name="to" value=(to);
                label for="name" { "Your name" }
                input #name name="name" autocomplete="username" required autofocus;
                label for="password" { "Password" }
                input #password name="password" type="password" autocomplete="current-password" required;
                button.main { "Sign in" }
            }
            (demo(ask))
        }
    }
}

fn on_tablet(ask: &Ask, tablet: &TabletRecord, people: &[PersonRecord], to: &str) -> Markup {
    let chosen = people.iter().find(|person| person.id == ask.query.text("who"));
    html! {
        section.sign-in {
            p.shop { (tablet.name) }
            @match chosen {
                None => {
                    h1 { "Who is at the stand?" }
                    div.people {
                        @for person in people.iter().filter(|person| person.pin_hash.is_some()) {
                            a.button href=(format!("/sign-in?who={}&to={}", person.id, crate::routes::escape(to))) { (person.name) }
                        }
                    }
                }
                Some(person) => {
                    h1 { (person.name) }
                    form.pin method="post" action="/sign-in" hx-post="/sign-in" hx-target="#notice" {
                        input type="hidden" name="to" value=(to);
                        input type="hidden" name="who" value=(person.id);
                        label for="pin" { "PIN" }
                        input #pin name="pin" type="password" inputmode="numeric" pattern="[0-9]*" maxlength=(PIN_DIGITS) autocomplete="off" required autofocus;
                        div.pad {
                            @for digit in ["1", "2", "3", "4", "5", "6", "7", "8", "9", "back", "0"] {
                                button type="button" data-pad=(digit) data-pad-for="pin" { (digit) }
                            }
                            button.main { "In" }
                        }
                    }
                    p { a href=(format!("/sign-in?to={}", crate::routes::escape(to))) { "Somebody else" } }
                }
            }
            (demo(ask))
        }
    }
}

/// The sign-in of an invented shop stands on the page: it guards nothing.
fn demo(ask: &Ask) -> Markup {
    let Some(demo) = &ask.house.demo else { return html! {} };
    html! {
        aside.demo {
            p { "This is an invented shop. Everybody's password is " code { (demo.password) } ", everybody's PIN is " code { (demo.pin) } "." }
            table {
                caption { "Who is who" }
                tbody {
                    @for person in ask.house.store.people().unwrap_or_default() {
                        tr { th scope="row" { (person.name) } td { (person.role) } }
                    }
                }
            }
        }
    }
}

fn sign_in(ask: &Ask) -> Result<Reply, Failure> {
    ask.costs()?;
    let house = &ask.house;
    let tablet = ask.tablet()?;
    let by_pin = ask.form.has("pin");
    let (person, secret, hash) = if by_pin {
        let Some(_) = &tablet else {
            let why = "A PIN opens only on a tablet that the shop has enrolled.".to_owned();
            return Err(Failure::NotAllowed { why });
        };
        let person = house.store.person(ask.form.text("who"))?;
        let hash = person.as_ref().and_then(|person| person.pin_hash.clone());
        (person, ask.form.text("pin"), hash)
    } else {
        let person = house.store.person_named(ask.form.text("name"))?;
        let hash = person.as_ref().and_then(|person| person.password_hash.clone());
        (person, ask.form.text("password"), hash)
    };
    let now = clock::now();
    // One name for every way of writing it, so that writing it differently does not begin anew.
    let name = match (&person, by_pin) {
        (Some(person), true) => {
            format!("pin {} {}", person.id, tablet.as_ref().map_or("", |tablet| &tablet.id))
        }
        (Some(person), false) => format!("password {}", person.id),
        (None, _) => format!("nobody from {}", ask.peer),
    };
    if let Some(seconds) = house.lock_out.waits(&name, now) {
        return Err(Failure::Wait { seconds });
    }
    let right = is_secret(secret, hash.as_deref());
    let (Some(person), true) = (person.filter(|person| person.active), right) else {
        house.lock_out.wrong(&name, now);
        let what = if by_pin { "PIN" } else { "Name or password" };
        return Err(FieldFault::one(what, "what was given", "it opens nothing here; try again"));
    };
    house.lock_out.right(&name);
    let Some(token) = Token::new() else {
        return Err(Failure::Fault { what: "the system gives no random numbers", why: String::new() });
    };
    let seconds = if tablet.is_some() { TABLET_SECONDS } else { DESK_SECONDS };
    house.store.end_sessions(None, now)?;
    // One browser, one session: the one before it ends.
    house.store.end_session(&token_hash(ask.cookies.text(SESSION)))?;
    house.store.begin_session(&SessionRecord {
        token_hash: token.hash(),
        person: person.id,
        begun_ms: now.0,
        until_ms: now.0 + seconds * 1_000,
        tablet: tablet.map(|tablet| tablet.id),
    })?;
    let to = way_on(ask.form.text("to")).to_owned();
    Ok(Reply::Go(to).with_cookie(cookie(house, SESSION, token.as_str(), seconds)))
}

fn sign_out(ask: &Ask) -> Result<Reply, Failure> {
    let session = ask.cookies.text(SESSION);
    if !session.is_empty() {
        ask.house.store.end_session(&token_hash(session))?;
    }
    let to = format!("/sign-in?to={}", crate::routes::escape(way_on(ask.form.text("to"))));
    Ok(Reply::Go(to).with_cookie(cookie(&ask.house, SESSION, "", 0)))
}

#[cfg(test)]
mod tests {
    use super::way_on;

    #[test]
    fn the_way_on_stays_in_the_house() {
        assert_eq!(way_on("/jobs/A-1/stand?step=x"), "/jobs/A-1/stand?step=x");
        for elsewhere in
            ["", "//evil.example", "/\\evil.example", "https://evil.example", "/sign-in?to=/sign-in"]
        {
            assert_eq!(way_on(elsewhere), "/");
        }
    }
}
