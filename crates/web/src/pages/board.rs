//! The workshop at a glance: every job in the shop by stage, with its age, its day and what holds it.

use crate::ask::Ask;
use crate::clock;
use crate::failure::Failure;
use crate::page::Page;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use maud::{Markup, html};
use shop::{Moment, Stage};
use store::{JobLine, Mark, Which};

/// Jobs of a stage that the first page shows.
const IN_STAGE: usize = 12;
/// Jobs on a page of one stage.
const ON_PAGE: usize = 50;

/// The stages in which a job is in the shop's hands, in the order of the walk.
const IN_THE_SHOP: [Stage; 9] = [
    Stage::Enquiry,
    Stage::Intake,
    Stage::Estimate,
    Stage::WaitingForParts,
    Stage::Agreed,
    Stage::InWork,
    Stage::Paused,
    Stage::Checks,
    Stage::Ready,
];

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/", Access::Staff, board),
        show("/stages/{stage}", Access::Staff, stage),
        show("/find", Access::Staff, find),
    ]
}

fn board(ask: &Ask) -> Result<Reply, Failure> {
    ask.house.warm_queue();
    let store = &ask.house.store;
    let counts = store.count_open()?;
    let mut stages = Vec::new();
    for stage in IN_THE_SHOP {
        let count = counts.get(&stage).copied().unwrap_or(0);
        let jobs = if count == 0 { Vec::new() } else { store.jobs(&Which::In(stage), None, IN_STAGE)? };
        stages.push((stage, count, jobs));
    }
    let body = html! {
        h1.unseen { "Jobs in the shop" }
        nav.walk aria-label="Stages" {
            @for (stage, count, _) in &stages {
                a href=(format!("#{}", stage.key())) class=(if *count == 0 { "none" } else { "some" }) {
                    span.count { (count) } " " (stage.words())
                }
            }
            a href="/stages/collected" { "collected" }
            a href="/stages/sent-home" { "sent home" }
        }
        @if stages.iter().all(|(_, count, _)| *count == 0) {
            p.empty { "No bike is in the shop. A job begins with an enquiry: " a.button href="/enquiry" { "New enquiry" } }
        }
        @for (stage, count, jobs) in stages.iter().filter(|(_, count, _)| *count > 0) {
            section.stage #(stage.key()) aria-labelledby=(format!("h-{}", stage.key())) {
                h2 id=(format!("h-{}", stage.key())) { (stage.words()) " " span.count { (count) } }
                (list(jobs))
                @if *count > jobs.len() {
                    p { a href=(format!("/stages/{}", stage.key())) { "All " (count) " in this stage" } }
                }
            }
        }
    };
    let mut page = Page::new("Jobs", body);
    page.follows = Some(("*".to_owned(), 0));
    Ok(Reply::Page(page))
}

/// A list of jobs.
pub(crate) fn list(jobs: &[JobLine]) -> Markup {
    let now = clock::now();
    html! {
        ul.jobs {
            @for line in jobs {
                li {
                    a.job href=(format!("/jobs/{}", line.job.number())) {
                        span.number { (line.job.number()) }
                        span.what {
                            strong { (line.customer) } " " (line.job.name)
                            @if let Some(bike) = &line.bike { span.bike { (bike) } }
                        }
                        span.held { @if line.job.held.is_empty() { (free_words(&line.job.stage)) } @else { (line.job.held) } }
                        span.day { @match line.job.promised_day {
                            Some(day) => { (due(day, &line.job.stage)) }
                            None => { span.none { "no day promised" } }
                        } }
                        span.age { (clock::age_words(Moment(line.job.stage_since_ms), now)) }
                    }
                }
            }
        }
    }
}

/// What is said where nothing holds a job.
fn free_words(stage: &str) -> &'static str {
    match stage {
        "agreed" => "everything is here: it can go on the stand",
        "in-work" => "on the stand",
        "ready" => "call the customer",
        _ => "",
    }
}

fn due(day: i64, stage: &str) -> Markup {
    let left = day - clock::day_of(clock::today());
    let is_here = !matches!(stage, "collected" | "followed-up" | "sent-home" | "ready");
    html! {
        @if is_here && left < 0 { span.late { "late: " (clock::day_words(day)) } }
        @else if is_here && left == 0 { span.today { "today" } }
        @else { (clock::day_words(day)) }
    }
}

fn stage(ask: &Ask) -> Result<Reply, Failure> {
    let key = ask.named("stage");
    let Some(stage) = Stage::ALL.into_iter().find(|stage| stage.key() == key) else {
        return Err(Failure::NotFound { what: "stage", name: key.to_owned() });
    };
    let after = mark(ask.query.text("after"));
    let jobs = ask.house.store.jobs(&Which::In(stage), after.as_ref(), ON_PAGE)?;
    let next = (jobs.len() == ON_PAGE).then(|| jobs.last()).flatten().map(|line| line.job.mark());
    let body = html! {
        h1 { "Jobs: " (stage.words()) }
        @if jobs.is_empty() { p.empty { "None." } }
        (list(&jobs))
        @if let Some(next) = next {
            p { a.button href=(format!("/stages/{}?after={}.{}", stage.key(), next.changed_ms, next.id)) { "Earlier ones" } }
        }
    };
    Ok(Reply::Page(Page::new(stage.words(), body)))
}

fn mark(text: &str) -> Option<Mark> {
    let (changed, id) = text.split_once('.')?;
    Some(Mark { changed_ms: changed.parse().ok()?, id: id.to_owned() })
}

fn find(ask: &Ask) -> Result<Reply, Failure> {
    let words = ask.query.text("words");
    let store = &ask.house.store;
    let (jobs, customers) = match words {
        "" => (Vec::new(), Vec::new()),
        words => (store.search_jobs(words)?, store.customers_named(words)?),
    };
    if let ([job], true) = (&jobs[..], customers.is_empty()) {
        return Ok(Reply::Go(format!("/jobs/{}", job.job.number())));
    }
    let body = html! {
        h1 { "Found for “" (words) "”" }
        @if jobs.is_empty() && customers.is_empty() {
            p.empty { "Nothing. A job is found by its number, such as A-17, or by how the name of its customer begins." }
        }
        @if !customers.is_empty() {
            h2 { "Customers" }
            ul.plain { @for customer in &customers { li { a href=(format!("/customers/{}", customer.id)) { (customer.name) } } } }
        }
        @if !jobs.is_empty() { h2 { "Jobs" } (list(&jobs)) }
    };
    Ok(Reply::Page(Page::new("Find", body)))
}
