//! Where a job stands, and the next thing to do.

use super::plan::headline;
use super::{address, card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, held_lines};
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use fit::words::verdict_words;
use maud::{Markup, html};
use shop::job::{GateBlock, PauseReason};
use shop::{Book, Stage};
use store::Role;

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}", Access::Staff, page)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let state = card.state();
    let stage = card.stage(&ask.house.workshop.book);
    let asked = |at: usize| state.questions.values().any(|question| question.problem == at);
    let body = html! {
        section.next aria-labelledby="next" {
            h2 #next { "Next" }
            (next(ask, &card, stage)?)
        }
        @if !state.problems.is_empty() {
            section.card {
                h2 { "Found while working" }
                @for (at, problem) in &state.problems {
                    article.problem {
                        p { strong { (problem.words) } @if problem.stops { " · the work stops" } }
                        @if state.approval.is_some() {
                            p { a.button href=(address(&card, &format!("/changes/{at}"))) {
                                @if asked(*at) { "The customer is asked" } @else { "Ask the customer: choices, price, day" }
                            } }
                        }
                        (forms::act_line(&card, "settled", "", html! {
                            input type="hidden" name="problem" value=(at);
                            label for=(format!("settled-{at}")) { "Settled by" }
                            input id=(format!("settled-{at}")) name="words" required autocomplete="off";
                            button { "Settled" }
                        }))
                    }
                }
            }
        }
        section.card {
            h2 { "What was asked for" }
            blockquote { (state.refit.wish.words.as_deref().unwrap_or("nothing was written down")) }
            dl.facts {
                dt { "Hands before" } dd { (state.hands.as_deref().unwrap_or("not written down yet")) }
                @if let Some(approval) = &state.approval {
                    dt { "Agreed" } dd { "version " (approval.version) ", " (approval.name) ", " (clock::moment_words(approval.at)) ": “" (approval.words) "”" }
                }
                @for question in state.questions.values() {
                    @if let Some((answer, choice)) = question.answer.as_ref().zip(question.chosen()) {
                        dt { "Changed" } dd { a href=(address(&card, &format!("/changes/{}", question.problem))) { (question.change.finding.words) } ": " (choice.words) ", " (choice.price) ", " (answer.name) ", " (clock::moment_words(answer.at)) }
                    }
                }
                @if !state.declined.is_empty() { dt { "Declined" } dd { (state.declined.join("; ")) } }
                @if let Some(by) = &state.collected_by { dt { "Collected by" } dd { (by) } }
                @if let Some(words) = &state.sent_home { dt { "Sent home" } dd { (words) } }
            }
        }
        (worst(&card))
        @if !super::is_over(stage) { (aside(ask, &card, stage)?) }
    };
    Ok(room(ask, &card, "", body))
}

/// The findings that stand in the way, if any.
fn worst(card: &JobCard) -> Markup {
    let bad: Vec<_> =
        card.plan.findings.iter().filter(|finding| finding.verdict >= fit::Verdict::Marginal).collect();
    html! {
        @if !bad.is_empty() && card.plan.nothing_chosen.is_none() {
            section.card {
                h2 { "What the plan says" }
                ul.findings {
                    @for finding in bad.iter().take(6) {
                        li { span.verdict data-verdict=(finding.verdict.word()) { (verdict_words(finding.verdict)) } " " (headline(finding)) }
                    }
                }
                p { a href=(address(card, "/plan")) { "The whole plan" } }
            }
        }
    }
}

fn link(card: &JobCard, to: &str, words: &str) -> Markup {
    html! { a.button.main href=(address(card, to)) { (words) } }
}

/// The next thing to do, as a form or a way to it.
fn next(ask: &Ask, card: &JobCard, stage: Stage) -> Result<Markup, Failure> {
    let book = &ask.house.workshop.book;
    let state = card.state();
    let role = ask.who()?.role;
    let receive = || {
        forms::act_line(
            card,
            "received",
            "",
            html! {
                label for="hook" { "The bike is here, on hook" }
                input #hook name="hook" required autocomplete="off" size="6";
                button.main { "It is here" }
            },
        )
    };
    Ok(match stage {
        Stage::Enquiry | Stage::Intake | Stage::Estimate => {
            let blocks = card.blocks_start(book);
            let has = |wanted: fn(&GateBlock) -> bool| blocks.iter().any(wanted);
            html! {
                ol.steps {
                    li class=(done(state.hook.is_some())) { @if state.hook.is_none() { (receive()) } @else { "The bike is here." } }
                    li class=(done(card.plan.nothing_chosen.is_none() && state.refit.choice.iter().next().is_some())) {
                        @if state.refit.choice.iter().next().is_none() { (link(card, "/wish", "Write down the wish and choose parts")) } @else { "Parts are chosen. " a href=(address(card, "/wish")) { "Change" } }
                    }
                    li class=(done(card.plan.nothing_chosen.is_none() && card.plan.to_measure.is_empty())) {
                        @match card.plan.to_measure.len() {
                            0 if card.plan.nothing_chosen.is_some() => { "What has to be measured follows from the parts." }
                            0 => { "Everything that matters is measured." }
                            count => { (link(card, "/measure", &format!("Measure: {count} to go"))) }
                        }
                    }
                    li class=(done(state.hands.is_some())) {
                        @if state.hands.is_some() { "Where the hands were is written down." } @else { (hands(card)) }
                    }
                    @if has(|block| matches!(block, GateBlock::Fails(_) | GateBlock::Refused(_))) {
                        li { (link(card, "/plan", "See what does not work, and its cures")) }
                    }
                    li class=(done(!has(|block| matches!(block, GateBlock::NoEstimate | GateBlock::NotApproved(_) | GateBlock::Changed(_) | GateBlock::OtherParts(_))))) {
                        a.button href=(address(card, "/estimate")) { "Estimate and the customer’s word" }
                    }
                }
            }
        }
        Stage::WaitingForParts => html! {
            p { "The customer agreed. Parts are to be ordered, taken in and held against the bike." }
            (link(card, "/parts", "Deliveries"))
        },
        Stage::Agreed => {
            let blocks = card.blocks_start(book);
            html! {
                @if blocks.is_empty() {
                    p { "Everything is measured, agreed and here: the bike may be taken apart." }
                    @if role == Role::Counter { p.quiet { "A technician begins the work." } }
                    @else { (forms::act(card, "started", "/stand", html! { button.main { "Begin the work" } })) }
                } @else {
                    ul { @for block in &blocks { li { (block) } } }
                    @if state.hook.is_none() { (receive()) }
                    @if state.hands.is_none() { (hands(card)) }
                }
            }
        }
        Stage::InWork => html! {
            (link(card, "/stand", "To the stand"))
        },
        Stage::Paused => html! {
            @if let Some(pause) = &state.paused {
                p { "Left " (parking_words(pause.parking)) ", because " (reason_words(pause.reason)) "." }
                blockquote { (pause.words) }
            }
            (link(card, "/stand", "Take it on"))
        },
        Stage::Checks => html! {
            p { "Ridden once. A second person, who touched nothing, looks at everything again." }
            (held(card, book))
            (link(card, "/check", "Second check"))
        },
        Stage::Ready => html! {
            p { "Everything is at value, witnessed, checked and ridden twice." }
            (link(card, "/hand-over", "Hand-over"))
        },
        Stage::Collected => forms::act(
            card,
            "followed-up",
            "",
            html! {
                p { "The customer has the bike. New cables settle: expect 1 to 4 clicks at the check after four to six weeks; more than 6 is not settling." }
                label for="clicks" { "Clicks of the adjuster that were added" }
                input #clicks name="clicks" inputmode="numeric" autocomplete="off";
                label for="said" { "What was said and found" }
                textarea #said name="words" rows="2" required {}
                button.main { "Follow-up done" }
            },
        ),
        Stage::FollowedUp => html! { p { "Done and followed up." } },
        Stage::SentHome => html! { p { "Sent home without the refit." } },
    })
}

fn done(is_done: bool) -> &'static str {
    if is_done { "done" } else { "open" }
}

fn hands(card: &JobCard) -> Markup {
    forms::act(
        card,
        "hands",
        "",
        html! {
            label for="hands" { "Where the hands are, before anything is moved: saddle nose to each hood, each hood to the floor, saddle to bottom bracket, in mm" }
            textarea #hands name="words" rows="2" required placeholder="nose to hood 742 left, 742 right; hood to floor 968, 969; saddle 735" {}
            button { "Write it down" }
        },
    )
}

/// What keeps the bike from leaving, a line each; of many the first few.
fn held(card: &JobCard, book: &Book) -> Markup {
    const MOST_LINES: usize = 6;
    let lines = held_lines(&card.blocks_release(book), book);
    html! {
        ul {
            @for line in lines.iter().take(MOST_LINES) { li { (line) } }
            @if lines.len() > MOST_LINES { li.quiet { "and " (lines.len() - MOST_LINES) " more" } }
        }
    }
}

pub(super) fn reason_words(reason: PauseReason) -> &'static str {
    match reason {
        PauseReason::Part => "a part is missing",
        PauseReason::Customer => "the customer has to answer",
        PauseReason::OtherJob => "another job came first",
        PauseReason::Person => "the day ended or the person went",
        PauseReason::Tool => "a tool is missing",
    }
}

pub(super) fn parking_words(parking: shop::job::Parking) -> &'static str {
    match parking {
        shop::job::Parking::StrippedAndBagged => "stripped, with bagged and numbered parts",
        shop::job::Parking::RollingWithoutChain => "rolling, without a chain",
        shop::job::Parking::BuiltUntested => "built up, not ridden",
    }
}

/// What may be done at any time.
fn aside(ask: &Ask, card: &JobCard, stage: Stage) -> Result<Markup, Failure> {
    let role = ask.who()?.role;
    Ok(html! {
        details.card {
            summary { "More: a note, a day told, something declined, sent home" }
            (forms::act(card, "noted", "", html! {
                label for="note" { "A note for the record" }
                textarea #note name="words" rows="2" required {}
                button { "Keep the note" }
            }))
            @if role != Role::Technician {
                (forms::act(card, "promised", "", html! {
                    label for="day" { "Day told to the customer" }
                    input #day name="day" type="date" required;
                    label for="told" { "How it was told, and why it moved if it did" }
                    input #told name="words" required autocomplete="off";
                    button { "Keep the day" }
                }))
                (forms::act(card, "declined", "", html! {
                    label for="what" { "Declined by the customer: what" }
                    input #what name="what" required autocomplete="off";
                    label for="their" { "Their words" }
                    input #their name="words" required autocomplete="off";
                    button { "Keep what was declined" }
                }))
            }
            @if role == Role::Manager && stage < Stage::Ready {
                (forms::act(card, "sent-home", "", html! {
                    label for="home" { "Send home without the refit: why, in the words that the customer is told" }
                    input #home name="words" required autocomplete="off";
                    button.danger { "Send home" }
                }))
            }
        }
    })
}
