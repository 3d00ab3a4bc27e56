//! Measuring: the next best value alone on the page, or the whole walk as a list. Each value is judged at once.

use super::plan::headline;
use super::{card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::Failure;
use crate::pages::job::read_event::dimension;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::Access;
use catalog::{Dimension, Slot, Sort};
use fit::intake_list::walk_words;
use fit::words::{tool_words, verdict_words};
use fit::{Idle, IntakeRow, Need, Origin, ToMeasure, intake_list};
use intake::{Pad, read_value, value_text};
use maud::{Markup, PreEscaped, html};
use quantity::Reading;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/measure", Access::Staff, next),
        show("/jobs/{job}/measure/all", Access::Staff, all),
        show("/jobs/{job}/measure/one", Access::Staff, one),
        change("/jobs/{job}/measure/try", Access::Staff, try_out),
    ]
}

/// One value at a time: the one that decides most for its minutes.
fn next(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let list = &card.plan.to_measure;
    let skip = ask.query.whole("skip", "skip", 0..=10_000)?.unwrap_or(0) as usize;
    let body = html! {
        (ways(&card, "next"))
        @match list.get(skip).or(list.first()) {
            None => {
                section.next {
                    @if card.plan.nothing_chosen.is_some() {
                        p { "No parts are chosen yet, so nothing can be said of what they need. " a.button href=(super::address(&card, "/wish")) { "Choose parts" } }
                    } @else {
                        p { "Everything that this wish needs is measured." }
                        p { a.button.main href=(super::address(&card, "/plan")) { "To the plan" } }
                    }
                }
            }
            Some(wanted) => {
                (question(&card, wanted.slot, wanted.dimension, wanted.origin, Some(wanted), &format!("/measure?skip={}", skip.min(list.len().saturating_sub(1)))))
                @if list.len() > 1 {
                    p { a href=(format!("{}?skip={}", super::address(&card, "/measure"), (skip + 1) % list.len())) { "Another one first" } " · " (list.len()) " to go" }
                }
            }
        }
    };
    Ok(room(ask, &card, "/measure", body))
}

/// A value by name, to take it anew.
fn one(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let key = ask.query.text("slot");
    let slot = Slot::read(key)
        .ok_or_else(|| Failure::NotFound { what: "place on the bike", name: key.to_owned() })?;
    let dimension = dimension(slot, ask.query.text("dimension"))?;
    let origin = if ask.query.text("origin") == "chosen" { Origin::Chosen } else { Origin::Found };
    let wanted = card
        .plan
        .to_measure
        .iter()
        .find(|wanted| wanted.slot == slot && wanted.dimension == dimension && wanted.origin == origin);
    let body = html! { (ways(&card, "")) (question(&card, slot, dimension, origin, wanted, "/measure/all")) };
    Ok(room(ask, &card, "/measure", body))
}

fn ways(card: &JobCard, here: &str) -> Markup {
    html! {
        nav.ways aria-label="Ways to measure" {
            a href=(super::address(card, "/measure")) aria-current=[(here == "next").then_some("page")] { "Next best" }
            a href=(super::address(card, "/measure/all")) aria-current=[(here == "all").then_some("page")] { "The whole walk" }
        }
    }
}

fn reading_of(card: &JobCard, slot: Slot, dimension: Dimension, origin: Origin) -> Reading<catalog::Value> {
    let parts = match origin {
        Origin::Found => &card.state().refit.bike,
        Origin::Chosen => &card.state().refit.choice,
    };
    parts.reading(slot, dimension).unwrap_or(Reading::NotTaken)
}

fn field_key(slot: Slot, dimension: Dimension) -> &'static str {
    slot.fields().iter().find(|field| field.dimension == dimension).map_or("", |field| field.key)
}

/// One value: what, where, with which tool, and what it decides.
fn question(
    card: &JobCard,
    slot: Slot,
    dimension: Dimension,
    origin: Origin,
    wanted: Option<&ToMeasure>,
    back: &str,
) -> Markup {
    let row = dimension.row();
    let known = value_text(slot, dimension, &reading_of(card, slot, dimension, origin));
    let usual = row.tolerance.of((row.least + row.most) / 2.0);
    let key = field_key(slot, dimension);
    let origin_key = if origin == Origin::Chosen { "chosen" } else { "found" };
    let try_at = super::address(card, "/measure/try");
    html! {
        section.question {
            h2 { (row.words) }
            p.where { (place_words(slot, origin)) @if !row.place.is_empty() { ": " (row.place) } }
            figure.place { @if let Ok(svg) = sheet::drawings::place_on_bike(slot, row.place).svg() { (PreEscaped(svg)) } }
            dl.facts {
                dt { "With" } dd { (tool_words(dimension, wanted.map_or((row.tool, usual), |wanted| wanted.tool))) }
                @if let Some(wanted) = wanted {
                    dt { "Decides" }
                    dd { @for rule in &wanted.waits { (question_of(card, rule)) " " } @if !wanted.can_flip { span.quiet { "(a number only; no verdict turns)" } } }
                }
                @if !known.is_empty() { dt { "So far" } dd { (known) } }
            }
            (forms::act(card, "measured", back, html! {
                input type="hidden" name="slot" value=(slot.key());
                input type="hidden" name="dimension" value=(key);
                input type="hidden" name="origin" value=(origin_key);
                (input(card, dimension, &known, &try_at))
                div.answers {
                    button.main { "Keep" }
                    button name="answer" value="fine" formnovalidate { "Fine" }
                    button name="answer" value="not-reachable" formnovalidate { "Not reachable" }
                    button name="answer" value="not-needed" formnovalidate { "Not needed" }
                }
                // Below the buttons: what is said while a value is typed does not move them from under the hand.
                div #tried aria-live="polite" {}
            }))
        }
    }
}

/// The question of a rule that waits.
fn question_of(card: &JobCard, rule: &str) -> String {
    let found = card.plan.findings.iter().find(|finding| finding.rule.id == rule);
    found.map_or_else(|| rule.to_owned(), |finding| finding.rule.title.to_owned())
}

fn place_words(slot: Slot, origin: Origin) -> String {
    match origin {
        Origin::Found => format!("on the bike, {}", slot.words()),
        Origin::Chosen => format!("on the new part, {}", slot.words()),
    }
}

/// The field of a value: words to choose from, or a number whose unit stands beside it.
fn input(card: &JobCard, dimension: Dimension, known: &str, try_at: &str) -> Markup {
    let unit = intake::shown_unit_of(dimension);
    let version = card.job.version();
    match dimension.row().sort {
        Sort::Word(words) => html! {
            fieldset.words {
                legend.unseen { (dimension.words()) }
                @for word in words {
                    label.choice { input type="radio" name="value" value=(word) checked[known == *word]; " " (word) }
                }
            }
        },
        Sort::Teeth | Sort::Lengths | Sort::Count | Sort::Length | Sort::Angle | Sort::Ratio => html! {
            label.unseen for="value" { (dimension.words()) }
            div.value {
                input #value name="value" autocomplete="off" autofocus inputmode=(mode(dimension)) placeholder=(example(dimension))
                    hx-post=(try_at) hx-trigger="input changed delay:150ms" hx-target="#tried" hx-include="closest form" data-seen=(version);
                @if let Some(unit) = unit { span.unit { (unit) } }
            }
        },
    }
}

fn mode(dimension: Dimension) -> &'static str {
    match dimension.row().sort {
        Sort::Count => "numeric",
        Sort::Length | Sort::Angle | Sort::Ratio => "decimal",
        _ => "text",
    }
}

fn example(dimension: Dimension) -> String {
    let row = dimension.row();
    match row.sort {
        Sort::Teeth => "11; 12; 13; 14".to_owned(),
        Sort::Lengths => "several, with semicolons between".to_owned(),
        _ => String::new(),
    }
}

/// What a value would turn, before it is kept: the whole plan is judged with it.
fn try_out(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let form = &ask.form;
    let slot = super::read_event::slot(form)?;
    let dimension = dimension(slot, form.text("dimension"))?;
    let text = form.text("value");
    let reading = match read_value(slot, dimension, text, Pad::UnitShown, &ask.house.catalogue().sources) {
        Ok(reading) => reading,
        Err(error) => return Ok(Reply::Part(html! { p.doubt { (error.what) "; " (error.help) } })),
    };
    if !reading.is_answered() {
        return Ok(Reply::Part(html! {}));
    }
    let mut refit = card.state().refit.clone();
    let parts = if form.text("origin") == "chosen" { &mut refit.choice } else { &mut refit.bike };
    let mut part = parts.get(slot).unwrap_or_else(|| slot.empty());
    part.set(dimension, reading.clone());
    parts.put(part);
    let plan = ask.house.plan(&refit);
    let turned: Vec<_> = plan
        .findings
        .iter()
        .filter(|now| {
            let before = card.plan.findings.iter().find(|before| before.rule == now.rule);
            before.is_none_or(|before| before.verdict != now.verdict)
        })
        .collect();
    Ok(Reply::Part(html! {
        p { strong { (value_text(slot, dimension, &reading)) } @if turned.is_empty() { ": no verdict turns" } }
        @if !turned.is_empty() {
            ul.findings { @for finding in turned {
                li { span.verdict data-verdict=(finding.verdict.word()) { (verdict_words(finding.verdict)) } " " (headline(finding)) }
            } }
        }
    }))
}

/// The whole walk round the bike, with the rows that this wish does not need folded away.
fn all(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let rows = intake_list(&card.plan);
    let needed = fit::intake_list::needed(&rows);
    let body = html! {
        (ways(&card, "all"))
        p { (needed) " of " (rows.len()) " rows matter for this wish." }
        @for part in rows.chunk_by(|a, b| a.dimension.row().reach == b.dimension.row().reach) {
            @if let Some(first) = part.first() {
                section.card {
                    h2 { (walk_words(first.dimension.row().reach)) }
                    (table(&card, part))
                }
            }
        }
    };
    Ok(room(ask, &card, "/measure", body))
}

fn table(card: &JobCard, rows: &[IntakeRow]) -> Markup {
    let (idle, wanted): (Vec<&IntakeRow>, Vec<&IntakeRow>) =
        rows.iter().partition(|row| matches!(row.need, Need::Idle(_)));
    html! {
        table.walk {
            thead { tr { th { "What" } th { "On" } th { "Value" } th { "With" } } }
            tbody { @for row in wanted { (line(card, row)) } }
        }
        @if !idle.is_empty() {
            details {
                summary { (idle.len()) " rows that can change nothing for this wish" }
                table.walk { tbody { @for row in idle { (line(card, row)) } } }
            }
        }
    }
}

fn line(card: &JobCard, row: &IntakeRow) -> Markup {
    let dimension = row.dimension.row();
    let usual = dimension.tolerance.of((dimension.least + dimension.most) / 2.0);
    let value = value_text(row.slot, row.dimension, &row.reading);
    let to = format!(
        "{}?slot={}&dimension={}",
        super::address(card, "/measure/one"),
        row.slot.key(),
        field_key(row.slot, row.dimension)
    );
    html! {
        tr class=(match row.need { Need::Wanted(_) => "wanted", Need::Record(_) => "record", _ => "" }) {
            th scope="row" {
                a href=(to) { (dimension.words) }
                @match row.need {
                    Need::Record(why) => { span.quiet { " before the strip: " (why) } }
                    Need::Idle(Idle::Replaced) => { span.quiet { " the part is replaced" } }
                    _ => {}
                }
            }
            td { (row.slot.words()) }
            td { @if value.is_empty() { span.open { @match row.need { Need::Wanted(place) => { "wanted, " (place) "." } _ => { "open" } } } } @else { (value) } }
            td.quiet { (tool_words(row.dimension, (dimension.tool, usual))) }
        }
    }
}
