//! The plan: every interface with its verdict, reason, margin and cure; gears, drawings, cautions.

use super::{address, card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::Failure;
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use document::PlanDocument;
use fit::words::{cure_note, cure_words, fact_note, fact_words, margin_words, steps, verdict_words};
use fit::{Act, Finding, Verdict};
use maud::{Markup, PreEscaped, html};
use sheet::drawings;

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}/plan", Access::Staff, page), show("/jobs/{job}/plan.json", Access::Staff, json)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let plan = &card.plan;
    let (open, fine): (Vec<&Finding>, Vec<&Finding>) =
        plan.findings.iter().partition(|finding| finding.verdict > Verdict::Remedy);
    let body = html! {
        p.verdict-line { span.verdict data-verdict=(plan.verdict.word()) { (verdict_words(plan.verdict)) } }
        @if let Some(stopped) = plan.stopped { p.stop { "The job ends here: " (stopped.title) } }
        @if plan.nothing_chosen.is_some() {
            p { "No parts are chosen yet. " a.button href=(address(&card, "/wish")) { "Choose parts" } }
        }
        @if !open.is_empty() {
            section.card { h2 { "What stands in the way" } @for finding in open { (article(ask, &card, finding)) } }
        }
        (pictures(plan))
        @if !fine.is_empty() {
            section.card {
                h2 { (fine.len()) " interfaces that work" }
                @for finding in fine { (article(ask, &card, finding)) }
            }
        }
        @if !plan.own.is_empty() {
            section.card {
                h2 { "The shop's own rules" }
                @for own in document_of(plan).own_rules { pre.quiet { (serde_json::to_string_pretty(&own).unwrap_or_default()) } }
            }
        }
        section.card {
            h2 { "Cautions" }
            ul { @for caution in &plan.cautions { li { (caution.words) } } }
        }
        p { a href=(address(&card, "/plan.json")) { "The same as data" } }
    };
    Ok(room(ask, &card, "/plan", body))
}

fn document_of(plan: &fit::Plan) -> PlanDocument {
    PlanDocument::of(plan)
}

fn article(ask: &Ask, card: &JobCard, finding: &Finding) -> Markup {
    let takes = |at: usize| finding.cures[at].acts.iter().any(|act| matches!(act, Act::Fit(_)));
    let desk = ask.who.as_ref().is_some_and(|who| who.role != store::Role::Technician);
    html! {
        details.finding open[finding.verdict > Verdict::Remedy] {
            summary {
                span.verdict data-verdict=(finding.verdict.word()) { (verdict_words(finding.verdict)) }
                " " span { (headline(finding)) }
                @if finding.is_assumed() { " " em { "assumed" } }
            }
            @if let Some(margin) = &finding.margin { p { "Margin: " (margin_words(margin)) } }
            ul.because {
                @for fact in &finding.facts { li { (fact_words(fact)) " " span.quiet { (fact_note(fact)) } } }
                @for step in steps(finding) { li.so { (step) } }
                @for line in &finding.lines { li { pre { (line) } } }
            }
            @if !finding.missing.is_empty() { p { a.button href=(address(card, "/measure")) { "Measure" } } }
            @if finding.verdict >= Verdict::Marginal && finding.verdict != Verdict::Measure {
                h4 { "Cures" }
                @if finding.cures.is_empty() { p { "none" } }
                ul.cures { @for (at, cure) in finding.cures.iter().enumerate() {
                    li {
                        span { (cure_words(cure)) " " span.quiet { (cure_note(cure)) } }
                        @if desk && takes(at) {
                            form.line method="post" action=(address(card, "/cure")) hx-post=(address(card, "/cure")) hx-target="#notice" {
                                input type="hidden" name="rule" value=(finding.rule.id);
                                input type="hidden" name="cure" value=(at);
                                input type="hidden" name="seen" value=(card.job.version());
                                (forms::hidden_key())
                                button { "Take it" }
                            }
                        }
                    }
                } }
            }
            p.source { "Source: " (finding.rule.source) }
        }
    }
}

/// The question of a finding and the last thing that follows in it.
pub(super) fn headline(finding: &Finding) -> String {
    match steps(finding).last() {
        Some(last) if finding.rule.title.ends_with('?') => format!("{} {last}", finding.rule.title),
        Some(last) => format!("{}: {last}", finding.rule.title),
        None => finding.rule.title.to_owned(),
    }
}

/// The drawings of the plan, each to scale and with its text.
fn pictures(plan: &fit::Plan) -> Markup {
    let document = document_of(plan);
    html! {
        @if plan.nothing_chosen.is_none() {
            section.card.drawings {
                h2 { "Drawings" }
                @for (name, drawing) in drawings::all(&document, None) {
                    @match drawing.svg() {
                        Ok(svg) => { figure.wide #(name) tabindex="0" { (PreEscaped(svg)) } }
                        Err(why) => { p.quiet { (drawing.title()) ": not drawn, " (why) } }
                    }
                }
            }
        }
    }
}

fn json(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    match serde_json::to_value(document_of(&card.plan)) {
        Ok(value) => Ok(Reply::Json(value)),
        Err(why) => Err(Failure::Fault { what: "the plan does not become data", why: why.to_string() }),
    }
}
