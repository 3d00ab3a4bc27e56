//! Something was found while working: what the customer is asked, and what they chose.

mod read;

use super::record::channel_words;
use super::{address, agree, card, forms, room};
use crate::ask::{Ask, Fields};
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::house::House;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::{Access, DESK};
use maud::{Markup, html};
use shop::job::state::Problem;
use shop::job::{Channel, Question, gate};
use shop::{
    AskedChange, AskedChoice, Call, Cause, ChangeOrder, Event, Stakes, UnderWay, WITHOUT_ANSWER, change_order,
};

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/changes/{problem}", Access::Staff, page),
        change("/jobs/{job}/changes/{problem}", DESK, write),
    ]
}

/// Choices beside leaving it, each with so many lines of parts.
const CHOICES: usize = 2;
const PARTS: usize = 2;

/// The problem in the path.
fn problem(ask: &Ask, card: &JobCard) -> Result<usize, Failure> {
    let text = ask.named("problem");
    let missing = || Failure::NotFound { what: "problem", name: text.to_owned() };
    let at: usize = text.parse().map_err(|_| missing())?;
    let is_one = matches!(card.job.entries().get(at).map(|entry| &entry.event), Some(Event::Problem { .. }));
    if is_one { Ok(at) } else { Err(missing()) }
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let at = problem(ask, &card)?;
    shown(ask, &card, at, &Fields::default(), None)
}

fn shown(
    ask: &Ask,
    card: &JobCard,
    at: usize,
    filled: &Fields,
    worked_out: Option<&ChangeOrder>,
) -> Result<Reply, Failure> {
    let state = card.state();
    let is_desk = ask.who()?.role != store::Role::Technician;
    let questions: Vec<_> = state.questions.iter().filter(|(_, question)| question.problem == at).collect();
    let is_asked = questions.iter().any(|(_, question)| question.answer.is_none());
    let body = html! {
        @for (place, question) in &questions { (asked(card, **place, question, is_desk)) }
        @match state.problems.get(&at) {
            None => { p.agreed { "Settled." } }
            Some(_) if is_asked => {}
            Some(_) if state.approval.is_none() => {
                p { "Nothing was agreed to yet: a new version of the estimate says what was found. " a.button href=(address(card, "/estimate")) { "To the estimate" } }
            }
            Some(_) if !is_desk => { p { "The counter or the manager asks the customer." } }
            Some(problem) => {
                @if let Some(order) = worked_out { (preview(&ask.house, order)) }
                (form(ask, card, at, problem, filled)?)
            }
        }
        p { a href=(address(card, "")) { "Back to the job" } }
    };
    Ok(room(ask, card, "", body))
}

/// What was found, as everybody reads it.
fn found(change: &AskedChange, photo: Option<String>) -> Markup {
    let finding = &change.finding;
    html! {
        p.big-words { (finding.words) }
        @if let Some(measured) = &finding.measured {
            p { "Measured: " strong { (measured) } @if let Some(limit) = &finding.limit { ", the limit is " strong { (limit) } } }
        }
        @if finding.concerns == Stakes::Safety { p.stop { "This concerns safety." } }
        @if let Some(photo) = photo { figure { img src=(photo) alt=(format!("photo: {}", finding.words)); } }
    }
}

fn choice(choice: &AskedChoice) -> Markup {
    html! {
        strong { (choice.words) } ", " strong { (choice.price) }
        @if let Some(day) = choice.day { ", ready " (clock::day_words(clock::day_of(day))) }
        br;
        span.quiet { (choice.means) }
    }
}

/// A question that went out, with its answer or the ways to one.
fn asked(card: &JobCard, place: usize, question: &Question, is_desk: bool) -> Markup {
    let change = &question.change;
    let photo = change.finding.photo.as_ref().map(|photo| format!("/photos/{photo}"));
    let gone_by = question.answer.is_none() && change.waits_until < clock::local_now();
    html! {
        section.card {
            h2 { "What the customer is asked" }
            (found(change, photo))
            @if question.answer.is_some() || !is_desk { ul { @for one in &change.choices { li { (choice(one)) } } } }
            dl.facts {
                dt { "Cause" } dd { (change.finding.cause.words()) }
                dt { "The stand waits until" } dd { (change.waits_until.strftime("%a %-d %b %H:%M").to_string()) @if gone_by { " " strong.late { "gone by" } } }
                dt { "Without an answer" } dd { (WITHOUT_ANSWER) }
            }
            @match (&question.answer, question.chosen()) {
                (Some(answer), Some(chosen)) => {
                    p.agreed { (answer.name) " chose “" (chosen.words) "” " (channel_words(answer.channel)) ", " (clock::moment_words(answer.at)) ": “" (answer.words) "”" }
                    @if change.call == Call::NotNeeded { p.quiet { "Small enough to be done without a call; it is listed all the same." } }
                }
                _ if is_desk => {
                    @if change.call == Call::NotNeeded { p { "It is small enough to be done without a call; it is listed all the same." } }
                    h3 { "They answer" }
                    (forms::act(card, "change-answered", &format!("/changes/{}", question.problem), html! {
                        input type="hidden" name="asked" value=(place);
                        (pick(change))
                        label for="name" { "Who chooses" }
                        input #name name="name" value=(card.state().customer.as_deref().unwrap_or("")) required autocomplete="off";
                        label for="channel" { "How" }
                        select #channel name="channel" {
                            option value="telephone" { "by telephone" } option value="counter" { "at the counter" }
                            @if change.call == Call::NotNeeded { option value="beforehand" { "nobody was called: agreed beforehand for small things" } }
                        }
                        label for="words" { "Their words" }
                        input #words name="words" required autocomplete="off";
                        button.main { "They chose" }
                    }))
                    (agree::link_form(card, "this question"))
                    p.quiet { "A question that was wrong is withdrawn under " a href=(format!("{}#e{place}", address(card, "/record"))) { "Record" } "." }
                }
                _ => { p { "The customer has not answered yet." } }
            }
        }
    }
}

/// The choices to pick one of; leaving a matter of safety has its own line to sign.
fn pick(change: &AskedChange) -> Markup {
    html! {
        fieldset {
            legend { "Which" }
            @for (at, one) in change.choices.iter().enumerate() {
                label.choice { input type="radio" name="choice" value=(at) required; span { (choice(one)) } }
            }
            @if let Some(declined) = &change.declined {
                label.choice.declined { input type="checkbox" name="declined" value="yes"; span { "Only if it is left as it is: " (declined) } }
            }
        }
    }
}

/// A question as the customer reads it under the private link.
pub(super) fn for_customer(house: &House, token: &str, place: usize, question: &Question) -> Markup {
    let change = &question.change;
    let photo = change.finding.photo.as_ref().map(|photo| format!("/agree/{token}/photos/{photo}"));
    html! {
        section.card {
            h2 { "Found while working" }
            (found(change, photo))
            @match (&question.answer, question.chosen()) {
                (Some(answer), Some(chosen)) => {
                    p.agreed { (answer.name) " chose “" (chosen.words) "”, " (clock::moment_words(answer.at)) "." }
                }
                _ => {
                    @if change.finding.cause == Cause::MissedByUs {
                        p { "We could have seen this before and missed it: you pay no labour for it." }
                    }
                    p { (house.workshop.name) " waits for your word until " strong { (change.waits_until.strftime("%A %-d %B, %H:%M").to_string()) } ". Without it " (WITHOUT_ANSWER) "." }
                    form.sheet method="post" action=(format!("/agree/{token}/choose")) {
                        (forms::hidden_key())
                        input type="hidden" name="asked" value=(place);
                        (pick(change))
                        label for=(format!("name-{place}")) { "Your name" }
                        input id=(format!("name-{place}")) name="name" required autocomplete="name";
                        label for=(format!("words-{place}")) { "Your words" }
                        input id=(format!("words-{place}")) name="words" required autocomplete="off" value="This is my choice.";
                        button.main { "This is my choice" }
                    }
                }
            }
        }
    }
}

/// The answer of a form.
pub(super) fn read_answer(ask: &Ask, card: &JobCard, channel: Channel) -> Result<Event, Failure> {
    let form = &ask.form;
    let number = |name: &str, field: &str| {
        let wanted = || FieldFault::one(field, form.text(name), "one of the choices is wanted");
        form.text(name).parse::<usize>().map_err(|_| wanted())
    };
    let (asked, choice) = (number("asked", "Question")?, number("choice", "Which")?);
    let question = card.state().questions.get(&asked);
    let leaves = question
        .and_then(|question| question.change.choices.get(choice))
        .is_some_and(AskedChoice::is_nothing);
    let declined = question.and_then(|question| question.change.declined.as_deref());
    if let Some(declined) = declined.filter(|_| leaves && form.text("declined") != "yes") {
        let wanted = format!("leaving it has a line of its own to tick: {declined}");
        return Err(FieldFault::one("Left as it is", "not ticked", wanted));
    }
    let (name, words) = (form.said("name", "Who chooses")?, form.said("words", "Words")?);
    Ok(Event::ChangeAnswered { asked, choice, name, channel, words })
}

/// Works a change order out; keeps it if that was asked for.
fn write(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let at = problem(ask, &card)?;
    let who = ask.who()?;
    let (house, state) = (&ask.house, card.state());
    let change = read::change(ask, &card)?;
    let operations = gate::operations(state, &card.plan);
    let beside = house.beside(&card.record)?;
    let job = UnderWay {
        name: &card.record.name,
        operations: &operations,
        age: state.circumstances.age,
        promised: state.promised.last().and_then(|day| clock::date_of(*day)),
        beside: &beside,
    };
    let order = change_order(&house.workshop, job, change, clock::today()).map_err(|errors| {
        let faults = errors.iter().map(|error| FieldFault {
            field: "Change order".to_owned(),
            found: String::new(),
            wanted: error.to_string(),
        });
        Failure::Fields(faults.collect())
    })?;
    if ask.form.text("do") == "try" {
        return shown(ask, &card, at, &ask.form, Some(&order));
    }
    let event = Event::ChangeAsked { problem: at, change: Box::new(order.asked()) };
    house.act(&card.number(), &who.person, &[ask.tap(event)], ask.seen())?;
    Ok(Reply::Go(address(&card, &format!("/changes/{at}"))))
}

/// What came of it, before it goes on the record.
fn preview(house: &House, order: &ChangeOrder) -> Markup {
    let titles = |steps: &[shop::StepId]| -> String {
        let title = |step: &shop::StepId| house.workshop.book.step(*step).map_or(step.0, |step| step.title);
        steps.iter().map(title).collect::<Vec<_>>().join("; ")
    };
    html! {
        section.card.preview {
            h2 { "Worked out, not written down yet" }
            @for priced in &order.choices {
                h3 { (priced.choice.words) ": " (priced.price) }
                p { (priced.choice.means) }
                p.quiet { "+" (priced.minutes) " min; " @match &priced.day { Ok(day) => { "ready " (clock::day_words(clock::day_of(day.promised))) } Err(why) => { (why) } } }
                @if !priced.lines.is_empty() { ul {
                    @for line in &priced.lines { li { (line.words) ": " (line.amount) } }
                    @for group in &priced.totals.groups { @if group.tax.minor() != 0 { li.quiet { "tax on " (group.net) ": " (group.tax) } } }
                } }
            }
            details { summary { (order.stops.len()) " steps stop, " (order.goes_on.len()) " go on" }
                p { "Stop: " (titles(&order.stops)) } p { "Go on: " (titles(&order.goes_on)) }
            }
            p { @if order.call == Call::Wanted { "The customer is asked before anything is done." } @else { "It is small enough to be done without a call." } }
        }
    }
}

fn form(ask: &Ask, card: &JobCard, at: usize, problem: &Problem, filled: &Fields) -> Result<Markup, Failure> {
    let book = &ask.house.workshop.book;
    let state = card.state();
    let to = address(card, &format!("/changes/{at}"));
    let steps = gate::stand_steps(state, card.judged_by(book));
    let first_open = steps.iter().find(|step| !state.done.contains_key(step)).copied();
    let here = problem.step.or(first_open);
    let photos = ask.house.store.photos_of(&card.record.id)?;
    let value = |name: &str, other: &str| match filled.text(name) {
        "" => other.to_owned(),
        text => text.to_owned(),
    };
    let chosen = |name: &str, key: &str| filled.text(name) == key;
    let empty = !filled.has("found");
    Ok(html! {
        form.sheet method="post" action=(to) {
            (forms::hidden_key())
            input type="hidden" name="seen" value=(card.job.version());
            h2 { "Ask the customer" }
            fieldset {
                legend { "What was found" }
                label for="found" { "In plain words" }
                input #found name="found" value=(value("found", &problem.words)) required autocomplete="off";
                label for="measured" { "Measured, with its unit" }
                input #measured name="measured" value=(value("measured", "")) autocomplete="off" placeholder="12 mm over 600 mm";
                label for="limit" { "The limit that it is held against" }
                input #limit name="limit" value=(value("limit", "")) autocomplete="off" placeholder="4 mm over 600 mm";
                label for="photo" { "Photo; one of them, or a measured value, is wanted" }
                select #photo name="photo" {
                    option value="" { "none" }
                    @for photo in &photos { option value=(photo.photo) selected[chosen("photo", &photo.photo)] { (photo.about) } }
                }
                label for="step" { "At which step" }
                select #step name="step" { @for step in &steps {
                    option value=(step.0) selected[if empty { here == Some(*step) } else { chosen("step", step.0) }] { (book.step(*step).map_or(step.0, |step| step.title)) }
                } }
                label for="cause" { "Why it comes up only now" }
                select #cause name="cause" { @for cause in Cause::ALL { option value=(cause.key()) selected[chosen("cause", cause.key())] { (cause.words()) } } }
                label.choice { input type="checkbox" name="safety" value="yes" checked[filled.has("safety")]; " it concerns safety: leaving it is signed for by itself" }
                label for="waits_until" { "Until when the stand waits" }
                input #waits_until name="waits_until" type="datetime-local" value=(value("waits_until", &read::usual_hour())) required;
            }
            fieldset {
                legend { "Leave it as it is" }
                label for="leave" { "What that means for the bike and its rider" }
                input #leave name="leave" value=(value("leave", "")) required autocomplete="off";
            }
            @for n in 1..=CHOICES { (choice_fields(ask, n, filled)) }
            div.answers {
                button name="do" value="try" { "Work out price and day" }
                button.main name="do" value="keep" { "Write it down" }
            }
        }
    })
}

/// The fields of a choice beside leaving it.
fn choice_fields(ask: &Ask, n: usize, filled: &Fields) -> Markup {
    let name = |what: &str| format!("{what}_{n}");
    let value = |what: &str| filled.text(&name(what)).to_owned();
    let operations = ask.house.workshop.book.operations();
    html! {
        fieldset {
            legend { "Choice " (n) @if n > 1 { ", if there is another" } }
            label for=(name("words")) { "What is done" }
            input id=(name("words")) name=(name("words")) value=(value("words")) required[n == 1] autocomplete="off";
            label for=(name("means")) { "What it means" }
            input id=(name("means")) name=(name("means")) value=(value("means")) required[n == 1] autocomplete="off";
            label for=(name("operation")) { "Work of the book" }
            select id=(name("operation")) name=(name("operation")) {
                option value="" { "none" }
                @for operation in operations { option value=(operation.id.0) selected[filled.text(&name("operation")) == operation.id.0] { (operation.title) } }
            }
            label for=(name("minutes")) { "Minutes beside it" }
            input id=(name("minutes")) name=(name("minutes")) value=(value("minutes")) inputmode="numeric" autocomplete="off";
            @for part in 1..=PARTS {
                @let of = |what: &str| format!("{what}_{n}_{part}");
                div.part-line {
                    div { label for=(of("part")) { "Part " (part) } input id=(of("part")) name=(of("part")) value=(filled.text(&of("part"))) autocomplete="off"; }
                    div { label for=(of("pieces")) { "Pieces" } input id=(of("pieces")) name=(of("pieces")) value=(filled.text(&of("pieces"))) inputmode="numeric"; }
                    div { label for=(of("price")) { "Price of one" } input id=(of("price")) name=(of("price")) value=(filled.text(&of("price"))) inputmode="decimal"; }
                    div { label for=(of("days")) { "Days; 0: here" } input id=(of("days")) name=(of("days")) value=(filled.text(&of("days"))) inputmode="numeric"; }
                }
            }
        }
    }
}
