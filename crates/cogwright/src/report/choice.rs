//! The answer to a wish for a terminal: leave it, the offers with what they pull and leave alone, or why there is none.

use super::estimate::whole;
use super::{plain_table, print_table, right};
use crate::choice_document::chains;
use crate::priced_offer::PricedOffer;
use crate::screen::{HEADING, QUIET, verdict_style};
use catalog::Slot;
use comfy_table::Cell;
use fit::choose::{Answer, RULE_OF_OFFERS, Set, Waiting, WhyNot};
use fit::ride::cheaper;
use fit::words::ride::on_ride;
use fit::words::{margin_words, steps, verdict_words};
use fit::{Coupling, Finding, Plan, Verdict};
use quantity::digits::fixed;
use shop::{BookError, Circumstances, Estimate, Workshop, minutes_for};
use std::fmt::Write;

/// Values to take that are named.
const WAITING_SHOWN: usize = 5;
/// Parts without a price that are named.
const UNPRICED_SHOWN: usize = 8;

/// What is shown.
pub(crate) struct Shown<'a> {
    /// The answer.
    pub answer: &'a Answer,
    /// What its sets wait for.
    pub waiting: &'a [Waiting],
    /// Its offers, priced.
    pub offers: &'a [PricedOffer],
    /// Sets that were left out because the whole job passes the ceiling or a rule of the shop stands against it.
    pub over: usize,
    /// Whether the shop's file is known, so that prices of the work are.
    pub is_priced: bool,
    /// Whether every set is listed.
    pub all: bool,
}

/// The whole answer.
pub(crate) fn text(plan: &Plan, shown: &Shown<'_>, shop: &Workshop) -> Result<String, BookError> {
    let answer = shown.answer;
    let mut out = String::new();
    let _ = writeln!(out, "{HEADING}{}{HEADING:#}", plan.name);
    let aims: Vec<&str> = answer.aims.iter().map(|aim| aim.words()).collect();
    let (sets, parts) = (answer.count.sets, answer.parts);
    let _ = writeln!(out, "{parts} parts compared; sets that hold: {}", sets_words(sets));
    if !answer.complete {
        let _ =
            writeln!(out, "INCOMPLETE: the search was stopped; other sets may be missing and may beat these");
    }
    left_out(&mut out, answer);
    let leave = &answer.offers.leave;
    let _ = writeln!(out, "\n{HEADING}Leave it{HEADING:#}");
    figures(&mut out, leave, false);
    // What the wish asks is not met by leaving it; what is worn or worse stands all the same.
    let stands = |finding: &&Finding| {
        finding.rule.coupling != Coupling::Wish
            && matches!(finding.verdict, Verdict::Marginal | Verdict::Fails | Verdict::Refused)
    };
    for finding in leave.findings.iter().filter(stands) {
        let _ = writeln!(out, "  stands all the same: {} [{}]", told_words(finding), finding.rule.id);
    }
    if let Some(why) = &answer.why_not {
        why_not(&mut out, why);
        return Ok(out);
    }
    if answer.sets.is_empty() {
        let _ = writeln!(out, "\nno set was found{}", if answer.complete { "" } else { " before the stop" });
        return Ok(out);
    }
    let _ = writeln!(
        out,
        "\nNothing beats {} of them in {} and open verdicts.",
        answer.sets.len(),
        aims.join(", ")
    );
    let _ = writeln!(out, "{QUIET}{RULE_OF_OFFERS}{QUIET:#}");
    if answer.only_marginal {
        let _ =
            writeln!(out, "The wish is met by marginal verdicts only: the customer has to agree to them.");
    }
    ceiling(&mut out, plan, shown);
    for priced in shown.offers {
        offer(&mut out, plan, shown, priced, shop)?;
    }
    waiting(&mut out, shown);
    if shown.all {
        every(&mut out, answer);
    }
    Ok(out)
}

/// What the ceiling of the customer means for these offers.
fn ceiling(out: &mut String, plan: &Plan, shown: &Shown<'_>) {
    let Some(ceiling) = plan.refit.wish.ceiling else { return };
    let words = match (shown.is_priced, shown.over) {
        (false, _) => format!(
            "The ceiling of {ceiling} is held against the parts alone: name the shop's file to hold it against the work too."
        ),
        (true, 0) => return,
        (true, over) => format!(
            "Left out because half of all such jobs pass the ceiling of {ceiling}, or a rule of the shop stands against them: \
             {over} of the sets."
        ),
    };
    let _ = writeln!(out, "{words}");
}

fn offer(
    out: &mut String,
    plan: &Plan,
    shown: &Shown<'_>,
    priced: &PricedOffer,
    shop: &Workshop,
) -> Result<(), BookError> {
    let set = &shown.answer.sets[priced.offer.set];
    let style = verdict_style(set.verdict);
    let (name, verdict) = (capital(&priced.offer.words()), verdict_words(set.verdict));
    let _ = writeln!(out, "\n{HEADING}{name}{HEADING:#}: {style}{verdict}{style:#}");
    let mut table = plain_table();
    for part in &set.parts {
        let price = part.price().map_or("price unknown".to_owned(), |price| price.to_string());
        let days = part.lead_days().map_or("days unknown".to_owned(), days_words);
        table.add_row(vec![
            Cell::new(part.slot().words()),
            Cell::new(part.name()),
            right(price),
            right(days),
        ]);
    }
    print_table(out, &table);
    figures(out, set, true);
    let first = shown.offers.first().map(|first| &shown.answer.sets[first.offer.set]);
    if let (Some(Some(best)), Some(own)) = (first.map(|set| &set.on_ride), &set.on_ride) {
        let is_alike = !std::ptr::eq(best, own) && cheaper(best, own).is_none();
        let alike = if is_alike { "; the ride cannot tell it from the first" } else { "" };
        let _ = writeln!(out, "  {}{alike}", on_ride(own));
    }
    for added in &priced.plan.added {
        let price = added.part.price().map_or("price unknown".to_owned(), |price| price.to_string());
        let _ = writeln!(out, "  goes on by itself: {}, {price} [{}]", added.part.name(), added.rule.id);
    }
    let slots: Vec<Slot> = set.parts.iter().map(|part| part.slot()).collect();
    let minutes = minutes_for(plan, &shop.book, Circumstances::default(), &slots)?;
    let whose = if shown.is_priced { "" } else { "; start values" };
    let _ = writeln!(out, "  about {minutes} min of labour for the whole job, each step once{whose}");
    match &priced.estimate {
        Ok(estimate) => {
            if shown.is_priced {
                money(out, estimate);
            }
            let _ = writeln!(out, "  not included: {}", estimate.not_included.join("; "));
        }
        Err(why) => {
            let _ = writeln!(out, "  {why}");
        }
    }
    for finding in set.findings.iter().filter(|finding| finding.verdict == Verdict::Marginal) {
        let _ = writeln!(out, "  marginal: {} [{}]", told_words(finding), finding.rule.id);
    }
    Ok(())
}

/// The price of the whole job.
fn money(out: &mut String, estimate: &Estimate) {
    let like = estimate.totals.payable;
    let [half, most] = [estimate.price.p50, estimate.price.p80].map(|minor| whole(like, minor));
    let _ = writeln!(
        out,
        "  with work and small parts: half of all such jobs up to {half}, eight of ten up to {most}"
    );
    let unpriced = estimate.unpriced.join(", ");
    if !unpriced.is_empty() {
        let _ = writeln!(out, "  price unknown, not in these sums: {unpriced}");
    }
    if estimate.ceiling.named {
        let amount = estimate.ceiling.amount;
        let words = match estimate.ceiling.of_hundred {
            0 => "fewer than half of all such jobs stay below".to_owned(),
            of_hundred => format!("at least {of_hundred} of 100 such jobs stay below"),
        };
        let _ = writeln!(out, "  ceiling {amount}: {words}");
    }
}

fn sets_words(sets: u64) -> String {
    if sets == u64::MAX { "more than can be counted".to_owned() } else { sets.to_string() }
}

fn days_words(days: u32) -> String {
    if days == 0 { "in stock".to_owned() } else { format!("{days} d") }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn left_out(out: &mut String, answer: &Answer) {
    let named = |keys: &[String]| {
        let shown = keys[..keys.len().min(UNPRICED_SHOWN)].join(", ");
        if keys.len() > UNPRICED_SHOWN {
            format!("{shown} and {} more", keys.len() - UNPRICED_SHOWN)
        } else {
            shown
        }
    };
    let (unpriced, unweighed) = (&answer.left_out.unpriced, &answer.left_out.unweighed);
    if !unpriced.is_empty() {
        let _ = writeln!(out, "left out, price unknown (not zero): {}", named(unpriced));
    }
    if !unweighed.is_empty() {
        let _ = writeln!(out, "left out, mass unknown: {}", named(unweighed));
    }
}

/// What a set gives, in one or two lines.
fn figures(out: &mut String, set: &Set, with_price: bool) {
    let mut words = Vec::new();
    if with_price {
        words.push(set.price.map_or("price unknown".to_owned(), |price| price.to_string()));
        words.push(set.days.map_or("days unknown".to_owned(), days_words));
    }
    let metres = |name: &str, value: Option<f64>| match value {
        Some(value) => format!("{name} {} m", fixed(value, 2)),
        None => format!("{name} unknown"),
    };
    words.push(metres("lowest gear", set.lowest_m));
    if let Some(easier) = set.easier_percent.filter(|_| with_price) {
        words.push(format!("{} % easier", fixed(easier, 1)));
    }
    words.push(metres("highest", set.highest_m));
    if let Some(step) = set.step_percent {
        words.push(format!("largest step {} %", fixed(step, 0)));
    }
    words.extend(with_price.then(|| gears_words(set)));
    words.extend(set.hands_mm.filter(|_| with_price).map(hands_words));
    words.extend(with_price.then_some(set.heavier_g).flatten().map(heavier_words));
    let _ = writeln!(out, "  {}", words.join("; "));
    let (marginal, measure) = (set.count(Verdict::Marginal), set.count(Verdict::Measure));
    let _ = writeln!(out, "  {marginal} marginal, {measure} to be measured");
    if with_price {
        let none = |list: Vec<&str>| if list.is_empty() { "nothing".to_owned() } else { list.join("; ") };
        let _ = writeln!(out, "  pulls {}", none(chains(&set.pulls)));
        let _ = writeln!(out, "  leaves alone {}", none(chains(&set.leaves_alone())));
    }
}

fn gears_words(set: &Set) -> String {
    let gears = set.gears;
    match (gears.all_known, gears.avoided) {
        (true, _) => format!("{} of {} gears usable", gears.usable(), gears.all),
        (false, 0) => format!("{} gears, which of them to avoid is not known yet", gears.all),
        (false, avoided) => format!("{} gears, {avoided} of them to avoid as far as known", gears.all),
    }
}

fn hands_words(hands_mm: f64) -> String {
    if hands_mm < 0.5 { "hands stay".to_owned() } else { format!("hands move {} mm", fixed(hands_mm, 0)) }
}

fn heavier_words(heavier_g: f64) -> String {
    let grams = fixed(heavier_g.abs(), 0);
    if heavier_g < 0.0 { format!("{grams} g lighter") } else { format!("{grams} g heavier") }
}

fn why_not(out: &mut String, why: &WhyNot) {
    if why.conflict.is_empty() {
        let _ = writeln!(
            out,
            "\n{HEADING}No set of parts does it.{HEADING:#} Why not was stopped before it was found."
        );
        return;
    }
    let _ = writeln!(out, "\n{HEADING}No set of parts does it.{HEADING:#} These cannot hold together:");
    for blame in &why.conflict {
        let _ = writeln!(out, "  - {}", blame.words);
        if let Some(finding) = &blame.finding {
            let _ = writeln!(
                out,
                "    {QUIET}{}: {}{QUIET:#}",
                verdict_words(finding.verdict),
                told_words(finding)
            );
        }
    }
    if !why.complete {
        let _ = writeln!(out, "  (stopped early: some of these may have nothing to do with it)");
    }
    if why.ways.is_empty() {
        let words = if why.complete {
            "Giving up one or two things of the wish opens no way."
        } else {
            "INCOMPLETE: stopped before a way out was found."
        };
        let _ = writeln!(out, "\n{words}");
        return;
    }
    if !why.complete {
        let _ = writeln!(out, "\nINCOMPLETE: stopped; there may be more ways out, and cheaper ones");
    }
    let _ = writeln!(
        out,
        "\n{HEADING}Ways out{HEADING:#}, cheapest first; each gives up one thing, or two where one is not enough"
    );
    let mut table = plain_table();
    for way in &why.ways {
        let price = way.price.map_or("price unknown".to_owned(), |price| format!("from {price}"));
        let days = way.days.map_or("days unknown".to_owned(), days_words);
        let sets = format!("{} sets", sets_words(way.sets));
        table.add_row(vec![
            Cell::new(match &way.reached {
                Some(reached) => format!("without “{}”: {reached}", way.words),
                None => format!("without “{}”", way.words),
            }),
            right(price),
            right(days),
            right(sets),
        ]);
    }
    print_table(out, &table);
}

/// What a rule found, with its numbers; the rule itself where it worked nothing out.
fn told_words(finding: &Finding) -> String {
    let mut words = steps(finding);
    words.extend(finding.margin.as_ref().map(|margin| format!("margin {}", margin_words(margin))));
    if words.is_empty() { finding.rule.sentence.to_owned() } else { words.join("; ") }
}

fn waiting(out: &mut String, shown: &Shown<'_>) {
    if shown.waiting.is_empty() {
        return;
    }
    let of = shown.answer.sets.len();
    let _ = writeln!(
        out,
        "\n{HEADING}Measure first{HEADING:#}: what may rule out or settle most of the {of} sets; nothing is ruled out unmeasured"
    );
    for waiting in shown.waiting.iter().take(WAITING_SHOWN) {
        let mut says = vec![format!("{} wait for it", waiting.sets)];
        if waiting.closes > 0 {
            says.push(format!("it may rule out {}", waiting.closes));
        }
        if waiting.settles > 0 {
            says.push(format!("it may settle {}", waiting.settles));
        }
        if waiting.closes + waiting.settles == 0 {
            says.push("together with others".to_owned());
        }
        let _ = writeln!(
            out,
            "  {} ({}): {} [{}]",
            waiting.dimension.row().words,
            waiting.slot.words(),
            says.join("; "),
            waiting.rules.join(", ")
        );
    }
}

fn every(out: &mut String, answer: &Answer) {
    let _ = writeln!(out, "\n{HEADING}Every set that nothing beats{HEADING:#}");
    let mut table = plain_table();
    for set in &answer.sets {
        let metres =
            |value: Option<f64>| value.map_or("unknown".to_owned(), |value| format!("{} m", fixed(value, 2)));
        table.add_row(vec![
            right(set.price.map_or("price unknown".to_owned(), |price| price.to_string())),
            right(metres(set.lowest_m)),
            right(format!("{} open", set.doubts())),
            Cell::new(set.keys().join(", ")),
        ]);
    }
    print_table(out, &table);
}

/// What changes in the answer if something else does.
pub(crate) fn changes(out: &mut String, answer: &Answer, other: &Answer) {
    let (gone, come) = answer.differences(other);
    let _ = writeln!(out, "\n{HEADING}What changes{HEADING:#}");
    let _ = writeln!(
        out,
        "  {} sets fall out, {} come in; sets that hold: {} here, {} there",
        gone.len(),
        come.len(),
        sets_words(answer.count.sets),
        sets_words(other.count.sets)
    );
    if let Some(why) = &other.why_not {
        let facts: Vec<&str> = why.conflict.iter().map(|blame| blame.words.as_str()).collect();
        let _ = writeln!(out, "  there no set holds: {}", facts.join("; "));
    }
    for offer in &other.offers.offers {
        let there = &other.sets[offer.set];
        let here = answer.offers.offers.iter().find(|here| {
            (here.good && offer.good) || (here.better && offer.better) || (here.best && offer.best)
        });
        let here = here.map(|here| &answer.sets[here.set]);
        let price = |set: &Set| set.price.map_or("price unknown".to_owned(), |price| price.to_string());
        match here {
            Some(here) if here.keys() == there.keys() => {
                let _ =
                    writeln!(out, "  {} stays: {} here, {} there", offer.words(), price(here), price(there));
            }
            _ => {
                let _ = writeln!(
                    out,
                    "  {} becomes {}: {}",
                    offer.words(),
                    there.keys().join(", "),
                    price(there)
                );
            }
        }
    }
}
