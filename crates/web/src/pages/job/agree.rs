//! The customer's private link: the version that is out, and what is asked about something that was found. The token in
//! the address is the only key; with it nothing of anybody else is seen.

use super::estimate::{answer_of, details};
use super::{address, card, change, forms};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::page::Page;
use crate::reply::{File, Reply};
use crate::routes::{Route, change as changes, show};
use crate::secret::{Token, token_hash};
use crate::who::{Access, DESK};
use maud::{Markup, PreEscaped, html};
use shop::job::{Channel, Question};
use shop::{Answer, Event, Person, State};
use std::sync::Arc;
use store::LinkRecord;

/// How long a private link may be used.
const LINK_DAYS: i64 = 21;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        changes("/jobs/{job}/link", DESK, link),
        show("/agree/{token}", Access::Anyone, for_customer),
        changes("/agree/{token}", Access::Anyone, agree),
        changes("/agree/{token}/choose", Access::Anyone, choose),
        show("/agree/{token}/photos/{photo}", Access::Anyone, photo),
    ]
}

/// The way to a private link.
pub(super) fn link_form(card: &JobCard, to: &str) -> Markup {
    html! {
        form.line method="post" action=(address(card, "/link")) hx-post=(address(card, "/link")) hx-target="#link" {
            button { "Make a private link to " (to) }
        }
        div #link aria-live="polite" {}
    }
}

/// A private link to the version that is out.
fn link(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let who = ask.who()?;
    let Some(version) = card.state().estimates.last() else {
        return Err(Failure::NotFound { what: "version of the estimate", name: "1".to_owned() });
    };
    let Some(token) = Token::new() else {
        return Err(Failure::Fault { what: "the system gives no random numbers", why: String::new() });
    };
    let now = clock::now();
    ask.house.store.make_link(&LinkRecord {
        token_hash: token.hash(),
        job: card.record.id.clone(),
        version: version.version.into(),
        made_by: who.person.to_string(),
        made_ms: now.0,
        until_ms: now.0 + LINK_DAYS * 86_400_000,
    })?;
    let base = ask.house.address.as_deref().unwrap_or("");
    let whole = format!("{base}/agree/{}", token.as_str());
    Ok(Reply::Part(html! {
        p { "For the customer alone, " (LINK_DAYS) " days long; an earlier link ends with it:" }
        p { a href=(whole) { (whole) } }
        @if base.is_empty() { p.quiet { "The address before the path is that of this machine in the network; say it once with --address." } }
    }))
}

/// The job and the version that a link opens.
fn opened(ask: &Ask) -> Result<(Arc<JobCard>, u32), Failure> {
    ask.costs()?;
    let gone = || Failure::NotFound {
        what: "page behind this link",
        name: "it has ended or was replaced".to_owned(),
    };
    let link = ask.house.store.link(&token_hash(ask.named("token")), clock::now())?.ok_or_else(gone)?;
    let record = ask.house.store.job_record(&link.job)?.ok_or_else(gone)?;
    let card = ask.house.card(&record.number())?;
    let version = u32::try_from(link.version).map_err(|_| gone())?;
    Ok((card, version))
}

/// The version that a link leads to: the one that it was made for, or what the customer's own choices made of it.
fn followed(state: &State, number: u32) -> u32 {
    let mut now = number;
    for version in &state.estimates {
        if version.version == now + 1 && version.change.is_some() {
            now = version.version;
        }
    }
    now
}

fn for_customer(ask: &Ask) -> Result<Reply, Failure> {
    let (card, number) = opened(ask)?;
    let state = card.state();
    let number = followed(state, number);
    let Some(version) = state.estimates.iter().find(|version| version.version == number) else {
        return Err(Failure::NotFound { what: "version of the estimate", name: number.to_string() });
    };
    let plan = ask.house.plan(&version.refit);
    let answer = answer_of(&ask.house, &card, &plan)?;
    let is_current = state.estimates.last().is_some_and(|last| last.version == number);
    let agreed = state.approval.as_ref().filter(|approval| approval.version == number);
    let gears = sheet::drawings::gears(&document::PlanDocument::of(&plan)).svg().ok();
    let body = html! {
        section.letter {
            p.shop { (ask.house.workshop.name) }
            h1 { (card.record.name) }
            p { "Version " (number) " of the estimate for " (state.customer.as_deref().unwrap_or("")) }
            @for (at, question) in &state.questions { (change::for_customer(&ask.house, ask.named("token"), *at, question)) }
            h2 { "What you told us" }
            blockquote { (plan.refit.wish.words.as_deref().unwrap_or("")) }
            h2 { "What it costs" }
            p.big { (version.total) }
            @if let Some(ceiling) = version.ceiling { p { "We will not pass " strong { (ceiling) } " without your word." } }
            @for choice in state.questions.values().filter_map(Question::chosen).filter(|choice| !choice.is_nothing()) {
                p { "With what you chose since: " (choice.words) ", " (choice.price) "." }
            }
            @if let Answer::Estimate(estimate) = &answer { (details(estimate)) }
            @if let Some(svg) = gears { figure { (PreEscaped(svg)) } }
            @for finding in plan.findings.iter().filter(|finding| finding.verdict == fit::Verdict::Marginal) {
                p.doubt { "Marginal: " (super::plan::headline(finding)) ". It is not promised by the makers; we try it on your bike and tell you before you pay for it." }
            }
            @match (agreed, is_current) {
                (Some(approval), _) => { p.agreed { (approval.name) " agreed on " (clock::moment_words(approval.at)) "." } }
                (None, false) => { p.notice { "This version was replaced by a newer one: ask the shop for it." } }
                (None, true) => {
                    form.sheet method="post" action=(format!("/agree/{}", ask.named("token"))) {
                        (forms::hidden_key())
                        label for="name" { "Your name" }
                        input #name name="name" required autocomplete="name";
                        label for="words" { "Your words" }
                        input #words name="words" required autocomplete="off" value="I agree to this version.";
                        button.main { "I agree to version " (number) }
                    }
                    p.quiet { "If something is not right, do nothing here and call the shop." }
                }
            }
        }
    };
    Ok(Reply::Page(Page::bare("Estimate", body)))
}

/// The customer agrees. The entry is by the customer, by the name that they gave.
fn agree(ask: &Ask) -> Result<Reply, Failure> {
    let (card, version) = opened(ask)?;
    let by = customer(ask)?;
    let (name, words) = (ask.form.said("name", "Your name")?, ask.form.said("words", "Your words")?);
    let tap = ask.tap(Event::Approved { version, name, channel: Channel::Link, words });
    ask.house.act(&card.number(), &by, &[tap], None)?;
    Ok(Reply::Go(format!("/agree/{}", ask.named("token"))))
}

/// The customer chooses what shall be done about something that was found.
fn choose(ask: &Ask) -> Result<Reply, Failure> {
    let (card, _) = opened(ask)?;
    let by = customer(ask)?;
    let event = change::read_answer(ask, &card, Channel::Link)?;
    ask.house.act(&card.number(), &by, &[ask.tap(event)], None)?;
    Ok(Reply::Go(format!("/agree/{}", ask.named("token"))))
}

/// The photo of something that was found: of this job, and only if the customer is asked about it.
fn photo(ask: &Ask) -> Result<Reply, Failure> {
    let (card, _) = opened(ask)?;
    let hash = ask.named("photo");
    let gone = || Failure::NotFound { what: "photo", name: hash.to_owned() };
    let mut questions = card.state().questions.values();
    if !questions.any(|question| question.change.finding.photo.as_deref() == Some(hash)) {
        return Err(gone());
    }
    let (record, bytes) = ask.house.store.photo(hash)?.ok_or_else(gone)?;
    Ok(Reply::File(File { media_type: record.media_type, save_as: None, bytes, forever: true }))
}

/// Who signs: entries of the customer carry the name that they gave, marked as theirs.
fn customer(ask: &Ask) -> Result<Person, Failure> {
    let name = ask.form.said("name", "Your name")?;
    Person::new(&format!("{name} (customer)"))
        .map_err(|error| FieldFault::one("Your name", &name, error.to_string()))
}
