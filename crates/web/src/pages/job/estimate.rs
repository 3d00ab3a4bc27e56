//! The estimate, the version that goes out, and the customer's word at the counter or by telephone.

use super::{address, agree, card, forms, room};
use crate::act::Tap;
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::{Access, DESK};
use fit::Plan;
use maud::{Markup, html};
use quantity::Money;
use shop::job::{GateBlock, gate};
use shop::{
    Answer, Desk, Estimate, Event, PriceLine, Stage, State, Told, Way, estimate, left, shown, takes_time,
    told,
};

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/estimate", Access::Staff, page),
        change("/jobs/{job}/estimate", DESK, send),
        show("/jobs/{job}/estimate/day", Access::Staff, day_alone),
        show("/jobs/{job}/estimate/day/part", Access::Staff, day_part),
        show("/jobs/{job}/estimate/options", Access::Staff, options_alone),
        show("/jobs/{job}/estimate/options/part", Access::Staff, options_part),
    ]
}

fn fault(errors: Vec<shop::EstimateError>) -> Failure {
    let why: Vec<String> = errors.iter().map(ToString::to_string).collect();
    Failure::Fault { what: "the estimate cannot be worked out", why: why.join("; ") }
}

/// What a plan of a job comes to today, beside the jobs that wait, with its options.
pub(crate) fn desk_of<'a>(house: &'a House, card: &'a JobCard) -> Result<Desk<'a>, Failure> {
    let Told { answer, order, promise, provisional } = told_of(house, card)?;
    let ways = house.options(card)?;
    let (plan, shop, made) = (&*card.plan, &house.workshop, clock::today());
    let (ways, no_way) = (ways.offered.clone(), ways.missing.clone());
    Ok(Desk { plan, shop, made, answer, order, promise, provisional, ways, no_way })
}

/// The same without the options.
pub(crate) fn told_of<'a>(house: &'a House, card: &JobCard) -> Result<Told<'a>, Failure> {
    let queue = house.queue(&card.record)?;
    told(&card.plan, &house.workshop, card.state().circumstances, &queue, clock::today()).map_err(fault)
}

/// What a plan of a job costs, without a day.
pub(super) fn answer_of(house: &House, card: &JobCard, plan: &Plan) -> Result<Answer, Failure> {
    estimate(plan, &house.workshop, card.state().circumstances, clock::today()).map_err(fault)
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let answer = answer_of(&ask.house, &card, &card.plan)?;
    let stage = card.stage(&ask.house.workshop.book);
    let is_desk = ask.who.as_ref().is_some_and(|who| who.role != store::Role::Technician);
    let body = html! {
        (word(ask, &card, is_desk))
        @match &answer {
            Answer::None(none) => {
                section.card {
                    h2 { "No estimate" }
                    p { (none.why) }
                    @if !none.because.is_empty() { ul { @for line in &none.because { li { (line) } } } }
                    h3 { "Ways out" }
                    @if none.ways.is_empty() { p { "none" } }
                    ul { @for way in &none.ways { li { (way) } } }
                }
            }
            Answer::Estimate(estimate) => {
                (sums(&ask.house, estimate))
                @if is_desk && !card.state().started { (send_form(&card, estimate)) }
                @if !super::is_over(stage) && stage != Stage::Ready {
                    (later(&card, "day", "The day, with the jobs that wait"))
                }
                (details(estimate))
            }
        }
        (later(&card, "options", "Other ways, with price and day"))
    };
    Ok(room(ask, &card, "/estimate", body))
}

/// A piece of the page that takes longer than a page may: fetched when the page is there, or by a tap.
fn later(card: &JobCard, what: &str, words: &str) -> Markup {
    let to = address(card, &format!("/estimate/{what}"));
    html! {
        section id=(what) hx-get=(format!("{to}/part")) hx-trigger="load" hx-swap="outerHTML" {
            p { a.button href=(to) { (words) } }
        }
    }
}

/// The piece as a page of its own, for browsers without scripts.
fn alone(ask: &Ask, piece: fn(&House, &JobCard) -> Result<Markup, Failure>) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let body = html! {
        (piece(&ask.house, &card)?)
        p { a href=(address(&card, "/estimate")) { "Back to the estimate" } }
    };
    Ok(room(ask, &card, "/estimate", body))
}

fn day_alone(ask: &Ask) -> Result<Reply, Failure> {
    alone(ask, day)
}

fn day_part(ask: &Ask) -> Result<Reply, Failure> {
    Ok(Reply::Part(day(&ask.house, &*card(ask)?)?))
}

fn options_alone(ask: &Ask) -> Result<Reply, Failure> {
    alone(ask, options)
}

fn options_part(ask: &Ask) -> Result<Reply, Failure> {
    Ok(Reply::Part(options(&ask.house, &*card(ask)?)?))
}

/// The day: of the plan before the customer's word, of what is left after it.
fn day(house: &House, card: &JobCard) -> Result<Markup, Failure> {
    let queue = house.queue(&card.record)?;
    let agreed = takes_time(card.stage(&house.workshop.book));
    let rest = || left(&card.number(), card.state(), &card.plan, &house.workshop, clock::today());
    let promise = match agreed.then(rest).flatten() {
        Some(left) => queue.promise(&house.workshop, &left).map_err(|why| format!("no day: {why}")),
        None => told_of(house, card)?.promise.map_err(|why| why.to_string()),
    };
    let waits = match queue.len() {
        0 => "no other job waits".to_owned(),
        1 => "1 other job waits or is worked on, and keeps its place".to_owned(),
        more => format!("{more} other jobs wait or are worked on, and keep their places"),
    };
    Ok(html! {
        section.card #day {
            h2 { "The day" }
            @match &promise {
                Ok(promise) => {
                    p { @if agreed { "What is left of it can be promised for " } @else { "It can be promised for " } strong { (clock::day_words(clock::day_of(promise.promised))) } "." }
                    @if let Some(told) = late(card.state(), clock::day_of(promise.promised)) {
                        p.doubt { (clock::day_words(told)) " was told. Tell the customer the new day, or make room for this job." }
                    }
                    ul { @for line in &promise.because { li { (line) } } li { (waits) } }
                }
                Err(why) => { p { (why) } p.quiet { (waits) } }
            }
        }
    })
}

/// The day that was told, if it comes before the one that can be kept.
fn late(state: &State, can_be_kept: i64) -> Option<i64> {
    state.promised.last().copied().filter(|told| *told < can_be_kept)
}

/// How far the customer's word is.
fn word(ask: &Ask, card: &JobCard, is_desk: bool) -> Markup {
    let state = card.state();
    let blocked = gate::approval(state, card.judged_by(&ask.house.workshop.book));
    html! {
        section.next {
            h2 { "The customer’s word" }
            @match (&blocked, state.estimates.last()) {
                (None, Some(version)) => {
                    @if let Some(approval) = &state.approval {
                        p { strong { (approval.name) } " agreed to version " (version.version) " of " (version.total) " on " (clock::moment_words(approval.at)) ": “" (approval.words) "”" }
                    }
                }
                (Some(GateBlock::NoEstimate), _) | (None, None) => { p { "No version went out yet." } }
                (Some(block), Some(version)) => {
                    p { "Version " (version.version) ", " (version.total) ": " (block) "." }
                    @if version.refit != state.refit {
                        p { "The bike or the parts changed since it went out: send a new version below." }
                    } @else if is_desk {
                        (agree_form(card, version.version))
                        (agree::link_form(card, &format!("version {}", version.version)))
                    }
                }
                (Some(block), None) => { p { (block) } }
            }
            @if state.estimates.len() > 1 {
                details {
                    summary { "Versions" }
                    ol { @for version in &state.estimates { li { (version.scope) ", " (version.total) @if let Some(ceiling) = version.ceiling { ", not above " (ceiling) } } } }
                }
            }
        }
    }
}

fn agree_form(card: &JobCard, version: u32) -> Markup {
    forms::act(
        card,
        "approved",
        "/estimate",
        html! {
            input type="hidden" name="version" value=(version);
            label for="name" { "Who agrees" }
            input #name name="name" value=(card.state().customer.as_deref().unwrap_or("")) required autocomplete="off";
            label for="channel" { "How" }
            select #channel name="channel" { option value="counter" { "at the counter" } option value="telephone" { "by telephone" } }
            label for="their_words" { "Their words" }
            input #their_words name="words" required autocomplete="off" placeholder="yes, do it";
            button.main { "They agree to version " (version) }
        },
    )
}

fn amount(house: &House, minor: f64) -> String {
    house.workshop.terms.hour.with_minor(minor.round() as i64).to_string()
}

fn sums(house: &House, estimate: &Estimate) -> Markup {
    html! {
        section.card.sums {
            h2 { "What it costs" }
            p.big { (shown(&estimate.totals, estimate.shown)) }
            @if estimate.ceiling.named && estimate.ceiling.of_hundred == 0 {
                p.doubt { "The customer named " strong { (estimate.ceiling.amount) } ": it is above that even if all goes well. Nothing is ordered before less is wished or more is named." }
            } @else {
                p { "if it goes as expected; keep " strong { (amount(house, estimate.price.p80)) } " in mind; never above " strong { (estimate.ceiling.amount) } " without their word." }
            }
            p.quiet { (estimate.signable.words()) }
            @if !estimate.unpriced.is_empty() { p { "Without a price, and not in the sum: " (estimate.unpriced.join(", ")) } }
        }
    }
}

fn send_form(card: &JobCard, estimate: &Estimate) -> Markup {
    let next = card.state().estimates.last().map_or(1, |last| last.version + 1);
    let total = shown(&estimate.totals, estimate.shown);
    let total = total.plus(card.state().changes_sum(total)).unwrap_or(total);
    let same = card
        .state()
        .estimates
        .last()
        .is_some_and(|last| last.refit == card.state().refit && last.total == total);
    html! {
        @if !same {
            form.sheet method="post" action=(address(card, "/estimate")) hx-post=(address(card, "/estimate")) hx-target="#notice" {
                (forms::hidden_key())
                input type="hidden" name="seen" value=(card.job.version());
                label for="scope" { "Version " (next) ": what it covers, in a line" }
                input #scope name="scope" value=(card.record.name) required autocomplete="off";
                p.quiet { "The day that can be promised goes with it." }
                button.main { "Version " (next) " goes out" }
            }
        }
    }
}

fn line(line: &PriceLine) -> Markup {
    html! { tr { td { (line.words) } td.number { (line.amount) } } }
}

pub(super) fn details(estimate: &Estimate) -> Markup {
    html! {
        section.card {
            h2 { "Line by line" }
            table {
                thead { tr { th { "What" } th.number { "Sum" } } }
                tbody { @for one in &estimate.lines { (line(one)) } }
                tfoot {
                    tr { th scope="row" { "Without tax" } td.number { (estimate.totals.net) } }
                    @for group in &estimate.totals.groups {
                        tr { td { "Tax on " (group.net) } td.number { (group.tax) } }
                    }
                    @if estimate.totals.rounding.minor() != 0 { tr { td { "Rounding" } td.number { (estimate.totals.rounding) } } }
                    tr { th scope="row" { "To be paid" } th.number { (estimate.totals.payable) } }
                }
            }
            p { (estimate.labour.total.usual) " minutes of work; line by line in one visit it would be " (estimate.labour.sum_in_one_visit.usual) "." }
        }
        @if !estimate.offers.is_empty() {
            section.card {
                h2 { "While it is apart" }
                ul { @for offer in &estimate.offers { li { (offer.title) ": +" (offer.now.usual) " min now, " (offer.later.usual) " min later on its own" } } }
            }
        }
        @if !estimate.risks.is_empty() {
            section.card {
                h2 { "What could not be seen" }
                ul { @for risk in &estimate.risks { li { (risk.faced.risk.words) ": " (risk.price) @if risk.faced.standing == shop::Standing::Open { " if it happens" } @else { ", settled at intake" } } } }
            }
        }
        section.card {
            h2 { "Said, and not included" }
            ul { @for said in &estimate.said { li { (said.text) } } }
            @if !estimate.not_included.is_empty() { h3 { "Not included" } ul { @for line in &estimate.not_included { li { (line) } } } }
        }
    }
}

fn options(house: &House, card: &JobCard) -> Result<Markup, Failure> {
    let found = house.options(card)?;
    Ok(html! {
        section.card #options {
            h2 { "Other ways" }
            @if found.offered.is_empty() { p.empty { "None: the job ends here." } }
            @for way in &found.offered { (option(way)) }
            @for (name, why) in &found.missing { p.quiet { "No “" (name.word()) "”: " (why) "." } }
        }
    })
}

fn option(way: &Way) -> Markup {
    let day = way.ready.as_ref().map(|ready| match (&ready.promise, &ready.provisional) {
        (Ok(promise), _) => format!("ready {}", clock::day_words(clock::day_of(promise.promised))),
        (Err(why), Some(day)) => {
            format!("{why}; {} if all turns out well", clock::day_words(clock::day_of(day.promised)))
        }
        (Err(why), None) => why.to_string(),
    });
    html! {
        article.way {
            h3 { (way.name.word()) @if let Some(estimate) = &way.estimate { ": " (shown(&estimate.totals, estimate.shown)) } }
            p { (way.words) }
            @if let Some(change) = way.gears.lowest_change_percent.filter(|change| change.abs() >= 0.5) {
                p.quiet { "lowest gear " (quantity::digits::fixed(change.abs(), 0)) " % " @if change < 0.0 { "easier" } @else { "harder" } }
            }
            @for words in &way.amber { p.doubt { (words) } }
            @if let Some(day) = day { p.quiet { (day) } }
        }
    }
}

/// A version goes out: its sum, its ceiling and its day.
fn send(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let who = ask.who()?;
    let scope = ask.form.said("scope", "What it covers")?;
    let told = told_of(&ask.house, &card)?;
    let Answer::Estimate(estimate) = &told.answer else {
        let rules = card.plan.findings.iter().filter(|finding| finding.verdict >= fit::Verdict::Fails);
        let rules = rules.map(|finding| finding.rule.id).collect();
        return Err(Failure::Refused(vec![shop::Refusal::NotOffered { rules }]));
    };
    // What the customer chose since then stays chosen.
    let changes = card.state().changes_sum(ask.house.workshop.terms.hour);
    let with = |sum: Money| sum.plus(changes).unwrap_or(sum);
    let event = Event::Estimated {
        total: with(shown(&estimate.totals, estimate.shown)),
        ceiling: Some(with(estimate.ceiling.amount)),
        scope,
    };
    let mut taps = vec![ask.tap(event)];
    if let Ok(promise) = &told.promise {
        let day = clock::day_of(promise.promised);
        if card.state().promised.last() != Some(&day) {
            let words = "with the estimate".to_owned();
            taps.push(Tap::now(Event::Promised { day, words }));
        }
    }
    ask.house.act(ask.named("job"), &who.person, &taps, ask.seen())?;
    Ok(Reply::Go(address(&card, "/estimate")))
}
