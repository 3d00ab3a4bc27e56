//! The shop: its people, its tablets, its tables in and out, its copy for safety.

use crate::ask::Ask;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::page::Page;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::secret::{LEAST_PASSWORD, PIN_DIGITS, Token, slow_hash};
use crate::skills;
use crate::who::{CALENDAR, MANAGER, TABLET, cookie};
use maud::html;
use shop::Skill;
use store::{PersonRecord, Role, SkillRecord};

/// How long a tablet stays enrolled: years, until the manager retires it.
const TABLET_SECONDS: i64 = 5 * 366 * 86_400;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/shop", MANAGER, page),
        change("/shop/people", MANAGER, add_person),
        change("/shop/people/{person}", MANAGER, change_person),
        change("/shop/tablets", MANAGER, enrol),
        change("/shop/tablets/{tablet}/retire", MANAGER, retire),
    ]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let store = &ask.house.store;
    let people = store.people()?;
    let skills = store.skills()?;
    let tablets = store.tablets()?;
    let this = ask.tablet()?;
    let body = html! {
        h1 { "The shop" }
        section.card {
            h2 { "People" }
            @for person in &people { (person_form(person, &skills)) }
            details {
                summary { "Somebody new" }
                form.sheet method="post" action="/shop/people" hx-post="/shop/people" hx-target="#notice" {
                    label for="new-name" { "Name" }
                    input #new-name name="name" required autocomplete="off";
                    label for="new-role" { "Role" }
                    select #new-role name="role" { @for role in Role::ALL { option value=(role.key()) { (role.key()) } } }
                    label for="new-password" { "Password, " (LEAST_PASSWORD) " letters or more" }
                    input #new-password name="password" type="password" autocomplete="new-password";
                    label for="new-pin" { "PIN for tablets, " (PIN_DIGITS) " digits" }
                    input #new-pin name="pin" inputmode="numeric" autocomplete="off";
                    button { "Add" }
                }
            }
        }
        section.card {
            h2 { "Tablets" }
            p { "A PIN opens only on a tablet that is enrolled here. Enrol a tablet on itself: sign in on it once with your password, open this page and press the button." }
            ul.plain { @for tablet in tablets.iter().filter(|tablet| tablet.active && !tablet.name.starts_with(CALENDAR)) {
                li {
                    form.line method="post" action=(format!("/shop/tablets/{}/retire", tablet.id)) hx-post=(format!("/shop/tablets/{}/retire", tablet.id)) hx-target="#notice" {
                        strong { (tablet.name) } span.quiet { " since " (clock::moment_words(shop::Moment(tablet.enrolled_ms))) }
                        @if this.as_ref().is_some_and(|this| this.id == tablet.id) { em { "this one" } }
                        button { "Lost or sold: it opens nothing any more" }
                    }
                }
            } }
            form.line method="post" action="/shop/tablets" hx-post="/shop/tablets" hx-target="#notice" {
                label for="tablet" { "Enrol this device as" }
                input #tablet name="name" required autocomplete="off" placeholder="stand 1";
                button { "Enrol" }
            }
        }
        section.card {
            h2 { "In and out" }
            ul.links {
                li { a href="/tables/customers.csv" { "Customers as a table" } a href="/tables/bikes.csv" { "Bikes as a table" } a href="/tables/catalogue.csv" { "Catalogue as a table" } }
                li { a href="/tables" { "Take in a table" } }
                li { a href="/calendar" { "Calendar of promised days" } }
            }
        }
    };
    Ok(Reply::Page(Page::new("The shop", body)))
}

fn person_form(person: &PersonRecord, skills: &[SkillRecord]) -> maud::Markup {
    let own: Vec<SkillRecord> = skills.iter().filter(|line| line.person == person.id).cloned().collect();
    let reaches = |level: &str| {
        let is_so = |work: &&Skill| {
            own.iter().any(|line| line.operation == skills::key(**work) && line.level == level)
        };
        skills::WORK.iter().rev().find(is_so).copied()
    };
    let to = format!("/shop/people/{}", person.id);
    html! {
        details {
            summary { strong { (person.name) } " " (person.role) @if !person.active { " · may not sign in" } }
            form.sheet method="post" action=(to) hx-post=(to) hx-target="#notice" {
                label for=(format!("role-{}", person.id)) { "Role" }
                select id=(format!("role-{}", person.id)) name="role" {
                    @for role in Role::ALL { option value=(role.key()) selected[person.role == role.key()] { (role.key()) } }
                }
                label.choice { input type="checkbox" name="active" value="yes" checked[person.active]; " may sign in" }
                @for (level, words) in [("alone", "Works alone up to"), ("under-eye", "Under somebody’s eye up to")] {
                    label for=(format!("{level}-{}", person.id)) { (words) }
                    select id=(format!("{level}-{}", person.id)) name=(level) {
                        option value="" { "nothing said" }
                        @for work in skills::WORK { option value=(skills::key(work)) selected[reaches(level) == Some(work)] { (work.words()) } }
                    }
                }
                label.choice { input type="checkbox" name="checks" value="yes" checked[own.iter().any(skills::is_check)]; " may check what others did" }
                label for=(format!("password-{}", person.id)) { "New password; empty: as it is" }
                input id=(format!("password-{}", person.id)) name="password" type="password" autocomplete="new-password";
                label for=(format!("pin-{}", person.id)) { "New PIN, " (PIN_DIGITS) " digits; empty: as it is" }
                input id=(format!("pin-{}", person.id)) name="pin" inputmode="numeric" autocomplete="off";
                button { "Keep" }
            }
        }
    }
}

/// What a form says that a person may do.
fn skills_of(ask: &Ask, person: &str) -> Result<Vec<SkillRecord>, Failure> {
    let line = |operation: &str, level: &str| SkillRecord {
        person: person.to_owned(),
        operation: operation.to_owned(),
        level: level.to_owned(),
    };
    let mut lines: Vec<SkillRecord> = Vec::new();
    for level in ["alone", "under-eye"] {
        let found = ask.form.text(level);
        if found.is_empty() {
            continue;
        }
        if !skills::WORK.iter().any(|work| skills::key(*work) == found) {
            return Err(FieldFault::one("Work", found, "learner, mechanic or specialist is wanted"));
        }
        // Alone is more than under somebody's eye.
        if !lines.iter().any(|line| line.operation == found) {
            lines.push(line(found, level));
        }
    }
    if ask.form.has("checks") {
        lines.push(line(skills::key(Skill::Second), "may-check"));
    }
    Ok(lines)
}

fn role(ask: &Ask) -> Result<Role, Failure> {
    let key = ask.form.text("role");
    Role::read(key).ok_or_else(|| FieldFault::one("Role", key, "manager, technician or counter is wanted"))
}

/// Sets what was given: a new password or PIN ends the sessions of before.
fn secrets(ask: &Ask, person: &mut PersonRecord) -> Result<bool, Failure> {
    let no_chance = || Failure::Fault { what: "the system gives no random numbers", why: String::new() };
    let (password, pin) = (ask.form.text("password"), ask.form.text("pin"));
    if !password.is_empty() {
        if password.chars().count() < LEAST_PASSWORD {
            let wanted = format!("{LEAST_PASSWORD} letters or more are wanted");
            return Err(FieldFault::one("Password", "a shorter one", wanted));
        }
        person.password_hash = Some(slow_hash(password).ok_or_else(no_chance)?);
    }
    if !pin.is_empty() {
        if pin.len() != PIN_DIGITS || !pin.bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(FieldFault::one("PIN", "something else", format!("{PIN_DIGITS} digits are wanted")));
        }
        person.pin_hash = Some(slow_hash(pin).ok_or_else(no_chance)?);
    }
    Ok(!password.is_empty() || !pin.is_empty())
}

fn add_person(ask: &Ask) -> Result<Reply, Failure> {
    let name = ask.form.said("name", "Name")?;
    let role = role(ask)?;
    // What cannot be an entry's name is refused before it is anybody's.
    shop::Person::new(&name).map_err(|error| FieldFault::one("Name", &name, error.to_string()))?;
    let mut draft = PersonRecord {
        id: String::new(),
        name: name.clone(),
        name_key: String::new(),
        role: role.key().to_owned(),
        password_hash: None,
        pin_hash: None,
        active: true,
        created_ms: 0,
    };
    if !secrets(ask, &mut draft)? {
        return Err(FieldFault::one(
            "Password",
            "",
            "a password or a PIN is wanted, or nobody can sign in so",
        ));
    }
    let mut person = ask.house.store.add_person(&name, role, clock::now())?;
    (person.password_hash, person.pin_hash) = (draft.password_hash, draft.pin_hash);
    ask.house.store.change_person(&person)?;
    Ok(Reply::Go("/shop".to_owned()))
}

fn change_person(ask: &Ask) -> Result<Reply, Failure> {
    let store = &ask.house.store;
    let id = ask.named("person");
    let Some(mut person) = store.person(id)? else {
        return Err(Failure::NotFound { what: "person", name: id.to_owned() });
    };
    person.role = role(ask)?.key().to_owned();
    person.active = ask.form.has("active");
    let is_self = ask.who()?.record.id == person.id;
    if is_self && (!person.active || person.role != Role::Manager.key()) {
        let wanted = "another manager takes the keys away; nobody takes their own";
        return Err(FieldFault::one("Role", &person.role, wanted));
    }
    let skills = skills_of(ask, &person.id)?;
    let renewed = secrets(ask, &mut person)?;
    store.change_person(&person)?;
    store.set_skills(&person.id, &skills)?;
    if (renewed && !is_self) || !person.active {
        store.end_sessions(Some(&person.id), clock::now())?;
    }
    Ok(Reply::Go("/shop".to_owned()))
}

fn enrol(ask: &Ask) -> Result<Reply, Failure> {
    let name = ask.form.said("name", "Name of the tablet")?;
    let Some(token) = Token::new() else {
        return Err(Failure::Fault { what: "the system gives no random numbers", why: String::new() });
    };
    ask.house.store.enrol_tablet(&name, &token.hash(), &ask.who()?.record.id, clock::now())?;
    Ok(Reply::Go("/shop".to_owned()).with_cookie(cookie(&ask.house, TABLET, token.as_str(), TABLET_SECONDS)))
}

fn retire(ask: &Ask) -> Result<Reply, Failure> {
    ask.house.store.retire_tablet(ask.named("tablet"))?;
    Ok(Reply::Go("/shop".to_owned()))
}
