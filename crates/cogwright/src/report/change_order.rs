//! A change order for a terminal, in the order in which it is told to the customer: what was found, what can be done,
//! until when the stand waits, what happens without an answer.

use super::promise::day_words;
use super::{heading, plain_table, print_table, right, wrapped};
use crate::screen::{HEADING, QUIET};
use comfy_table::Cell;
use jiff::civil::Date;
use shop::{Call, ChangeOrder, Priced, StepId, Workshop};
use std::fmt::Write;

/// The whole change order.
pub(crate) fn change_text(order: &ChangeOrder, shop: &Workshop, made: Date) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{HEADING}{}{HEADING:#}", order.name);
    let _ = writeln!(out, "Change order, {}, made {}", shop.name, day_words(made));
    let call = match order.call {
        Call::Wanted => "CALL: nothing of this is done before the customer has answered",
        Call::NotNeeded => "no call needed: small, agreed to in advance; it is listed",
    };
    let _ = writeln!(out, "{call}");
    heading(&mut out, "1 What we found");
    found(&mut out, order, shop);
    heading(&mut out, "2 What can be done");
    for (at, choice) in order.choices.iter().enumerate() {
        self::choice(&mut out, at, choice);
    }
    heading(&mut out, "3 Until when");
    let until = order.waits_until;
    let _ = writeln!(
        out,
        " the stand waits until {} {}; without an answer {}",
        day_words(until.date()),
        until.strftime("%H:%M"),
        order.without_answer
    );
    if let Some(day) = order.promised {
        let _ = writeln!(out, " promised so far: {}", day_words(day));
    }
    heading(&mut out, "4 The work meanwhile");
    wrapped(&mut out, "-", &format!("stops: {}", titles(&order.stops, shop)));
    wrapped(&mut out, "-", &format!("goes on: {}", titles(&order.goes_on, shop)));
    heading(&mut out, "5 Small things done without a call");
    for thing in &order.small {
        wrapped(&mut out, "-", &format!("{}: {}", thing.words, thing.amount));
    }
    let small = &shop.terms.small;
    let _ = writeln!(
        out,
        " together {}; up to {} each and {} in all need no call",
        order.spent, small.each, small.in_all
    );
    heading(&mut out, "6 Agreed");
    let _ = writeln!(out, " choice ____ : name, day, hour, how (signature, message, telephone) ____________");
    if let Some(declined) = &order.declined {
        out.push('\n');
        wrapped(
            &mut out,
            "!",
            &format!("{} {QUIET}[{} {}]{QUIET:#}", declined.text, declined.id, declined.version),
        );
        let _ = writeln!(out, " own signature ____________");
    }
    out
}

fn found(out: &mut String, order: &ChangeOrder, shop: &Workshop) {
    let finding = &order.finding;
    wrapped(out, "", &finding.words);
    if let (Some(measured), Some(limit)) = (&finding.measured, &finding.limit) {
        wrapped(out, "-", &format!("measured {measured}; limit {limit}"));
    }
    if let Some(photo) = &finding.photo {
        wrapped(out, "-", &format!("photo {photo}"));
    }
    wrapped(out, "-", &format!("why only now: {}", finding.cause.words()));
    wrapped(out, "-", &format!("found at: {}", titles(std::slice::from_ref(&finding.at), shop)));
}

fn choice(out: &mut String, at: usize, priced: &Priced) {
    let _ = writeln!(out, " {HEADING}{} {}{HEADING:#}: {}", at + 1, priced.choice.words, priced.price);
    wrapped(out, "-", &priced.choice.means);
    let mut table = plain_table();
    for line in &priced.lines {
        table.add_row(vec![
            right(line.how_much.to_string()),
            Cell::new(&line.words),
            right(line.amount.to_string()),
            Cell::new(&line.why),
        ]);
    }
    for group in &priced.totals.groups {
        let words = format!("tax {} on {}", group.rule, group.net);
        table.add_row(vec![Cell::new(""), Cell::new(words), right(group.tax.to_string()), Cell::new("")]);
    }
    print_table(out, &table);
    let day = match &priced.day {
        Ok(promise) => {
            format!("ready {}, which holds in eight of ten such weeks", day_words(promise.promised))
        }
        Err(why) => format!("no day: {why}"),
    };
    wrapped(out, "-", &day);
}

/// So many steps are named; the order of work has them all.
const NAMED: usize = 8;

fn titles(steps: &[StepId], shop: &Workshop) -> String {
    let title = |id: &StepId| shop.book.step(*id).map_or(id.0, |step| first_part(step.title));
    let titles: Vec<&str> = steps.iter().take(NAMED).map(title).collect();
    match steps.len().saturating_sub(NAMED) {
        _ if steps.is_empty() => "nothing".to_owned(),
        0 => titles.join("; "),
        more => format!("{}; and {more} more", titles.join("; ")),
    }
}

/// A title up to its first pause, if that says enough to go by.
fn first_part(title: &str) -> &str {
    let pauses = title.char_indices().filter(|(at, letter)| matches!(letter, ',' | ';' | ':') && *at >= 6);
    pauses.map(|(at, _)| &title[..at]).next().unwrap_or(title)
}
