//! The estimate for a terminal, in the order in which a customer reads it: told, found, pulled, options, price, what
//! could not be seen, ceiling, day, what is left out, signature.

use super::options::options;
use super::promise::{day_words, promise, promise_as};
use super::{heading, plain_table, print_table, wrapped};
use crate::command::work_order;
use crate::screen::{HEADING, QUIET, verdict_style};
use comfy_table::{Cell, CellAlignment};
use fit::words::verdict_words;
use quantity::Money;
use shop::{Answer, Desk, Estimate, HowMuch, NoEstimate, Outlook, Standing, Totals, shown};
use std::fmt::Write;

/// The whole estimate.
pub(crate) fn sheet(desk: &Desk<'_>, why: bool) -> String {
    let mut out = String::new();
    let plan = desk.plan;
    let style = verdict_style(plan.verdict);
    let _ = writeln!(out, "{HEADING}{}{HEADING:#}", plan.name);
    match &desk.answer {
        Answer::Estimate(estimate) => {
            let _ = writeln!(
                out,
                "Estimate, version {}, {}, made {}, holds until {}",
                estimate.version, desk.shop.name, estimate.made, estimate.holds_until
            );
            let _ = writeln!(
                out,
                "{style}{}{style:#}: {}",
                verdict_words(plan.verdict).to_uppercase(),
                estimate.signable.words()
            );
            quote(&mut out, estimate, desk, why);
        }
        Answer::None(none) => {
            let _ =
                writeln!(out, "{style}{}{style:#}: {}", verdict_words(plan.verdict).to_uppercase(), none.why);
            refused(&mut out, none, desk);
        }
    }
    out
}

/// What changed since the version before.
pub(crate) fn changed(words: &[String]) -> String {
    let mut out = format!("{HEADING}Changed since the version before{HEADING:#}\n");
    if words.is_empty() {
        out.push_str(" nothing\n");
    }
    for words in words {
        wrapped(&mut out, "-", words);
    }
    out.push('\n');
    out
}

fn refused(out: &mut String, none: &NoEstimate, desk: &Desk<'_>) {
    heading(out, "Why");
    for because in &none.because {
        wrapped(out, "-", because);
    }
    heading(out, "Ways out");
    if none.ways.is_empty() {
        wrapped(out, "-", "none");
    }
    for way in &none.ways {
        wrapped(out, "-", way);
    }
    if !desk.ways.is_empty() {
        heading(out, "Options");
        options(out, desk);
    }
    heading(out, "Price");
    let _ = writeln!(out, " {}: {}", none.fee.words, none.totals.payable);
    taxes(out, &none.totals);
    heading(out, "Day");
    if let Err(why) = &desk.promise {
        wrapped(out, "-", &why.to_string());
    }
}

fn quote(out: &mut String, estimate: &Estimate, desk: &Desk<'_>, why: bool) {
    heading(out, "1 What you told us");
    wrapped(out, "", estimate.told.as_deref().unwrap_or("nothing was written down"));
    heading(out, "2 What we found");
    for found in &estimate.found {
        wrapped(out, "-", found);
    }
    heading(out, "3 What the wish pulls, and what it leaves alone");
    wrapped(out, "-", &format!("pulls: {}", list(&estimate.pulls)));
    wrapped(out, "-", &format!("leaves: {}", list(&estimate.leaves)));
    heading(out, "4 Options");
    options(out, desk);
    heading(out, "5 Price");
    lines(out, estimate);
    taxes(out, &estimate.totals);
    saved(out, estimate);
    heading(out, "6 What we could not see");
    risks(out, estimate);
    heading(out, "7 Ceiling");
    ceiling(out, estimate);
    heading(out, "8 Day");
    match &desk.promise {
        Ok(day) => promise(out, day),
        Err(why) => wrapped(out, "-", &why.to_string()),
    }
    if let Some(day) = &desk.provisional {
        let words = "if it turns out well, the day would be the following; it is no promise yet";
        wrapped(out, "-", words);
        promise_as(out, "provisional", day);
    }
    heading(out, "9 Not included");
    for item in &estimate.not_included {
        wrapped(out, "-", item);
    }
    heading(out, "10 Agreed");
    for said in &estimate.said {
        wrapped(out, "-", &format!("{} {QUIET}[{} {}]{QUIET:#}", said.text, said.id, said.version));
    }
    for item in &estimate.safety {
        wrapped(out, "!", &format!("{} {QUIET}[declined {}]{QUIET:#}", item.words, item.version));
        let _ = writeln!(out, "     name, day, own signature ____________");
    }
    for caution in &estimate.cautions {
        wrapped(out, "!", caution);
    }
    let _ = writeln!(
        out,
        "\n version {}: name, day, hour, how (signature, message, telephone) ____________",
        estimate.version
    );
    out.push_str(&work_order(&desk.order, why));
}

fn list(words: &[&str]) -> String {
    if words.is_empty() { "nothing".to_owned() } else { words.join(", ") }
}

fn right(text: String) -> Cell {
    Cell::new(text).set_alignment(CellAlignment::Right)
}

fn lines(out: &mut String, estimate: &Estimate) {
    let mut table = plain_table();
    for line in &estimate.lines {
        let unit = match (line.how_much, line.unit) {
            (HowMuch::Minutes(_), Some(hour)) => format!("{hour} an hour"),
            (HowMuch::Pieces(pieces), Some(unit)) if pieces > 1 => unit.to_string(),
            _ => String::new(),
        };
        let assumed = if line.assumed { ", assumed" } else { "" };
        table.add_row(vec![
            right(line.how_much.to_string()),
            Cell::new(&line.words),
            right(unit),
            right(line.amount.to_string()),
            Cell::new(format!("{}{assumed}", line.why)),
        ]);
    }
    print_table(out, &table);
    for part in &estimate.unpriced {
        wrapped(out, "!", &format!("price not known: {part}; the sums are without it"));
    }
    if let Some(day) = estimate.lines.iter().find_map(|line| line.priced_on) {
        let _ = writeln!(out, " {QUIET}prices of parts as of {day}{QUIET:#}");
    }
}

fn taxes(out: &mut String, totals: &Totals) {
    let mut table = plain_table();
    table.add_row(vec![Cell::new("without tax"), right(totals.net.to_string())]);
    for group in &totals.groups {
        let words = format!("tax {} on {}", group.rule, group.net);
        table.add_row(vec![Cell::new(words), right(group.tax.to_string())]);
    }
    if totals.rounding.minor() != 0 {
        table.add_row(vec![Cell::new("rounding"), right(totals.rounding.to_string())]);
    }
    table.add_row(vec![Cell::new("to pay"), right(totals.payable.to_string())]);
    print_table(out, &table);
}

fn saved(out: &mut String, estimate: &Estimate) {
    let labour = &estimate.labour;
    wrapped(
        out,
        "-",
        &format!(
            "in one go {} min; as jobs of their own on other days {} min",
            labour.total.usual, labour.sum_of_lines.usual
        ),
    );
    for extra in &labour.extras {
        wrapped(out, "-", &format!("added, {}: {}", extra.words, extra.minutes));
    }
    for offer in &estimate.offers {
        wrapped(
            out,
            "-",
            &format!(
                "while it is apart, {}: +{} min ({}); later on its own {} min ({}), each without parts",
                offer.title, offer.now.usual, offer.price_now, offer.later.usual, offer.price_later
            ),
        );
    }
    if let Some(deposit) = &estimate.deposit {
        wrapped(out, "-", &format!("in advance {}: {}", deposit.amount, deposit.words));
    }
}

fn risks(out: &mut String, estimate: &Estimate) {
    let mut table = plain_table();
    for priced in &estimate.risks {
        let risk = &priced.faced.risk;
        let standing = match priced.faced.standing {
            Standing::Open => format!("{:.0} in 100", risk.chance_now() * 100.0),
            Standing::Spared => "looked at: out".to_owned(),
            Standing::Certain => "found: a line above".to_owned(),
        };
        table.add_row(vec![
            Cell::new(&risk.words),
            right(standing),
            right(format!("{:.0} min", risk.minutes_now())),
            right(priced.price.to_string()),
            Cell::new(risk.source_words()),
        ]);
    }
    print_table(out, &table);
    let sum = shown(&estimate.totals, estimate.shown);
    let _ = writeln!(
        out,
        " minutes: half of all such jobs take up to {:.0}, eight of ten {:.0}, nineteen of twenty {:.0}",
        estimate.minutes.p50, estimate.minutes.p80, estimate.minutes.p95
    );
    let _ = writeln!(out, " price: {}", three(sum, &estimate.price));
    if let Some(untried) = &estimate.price_untried {
        let _ = writeln!(out, " without what was tried at intake it would be: {}", three(sum, untried));
    }
    let _ = writeln!(out, " chance that nothing of this happens: {:.0} in 100", estimate.price.none * 100.0);
}

fn three(like: Money, outlook: &Outlook) -> String {
    let [p50, p80, p95] = [outlook.p50, outlook.p80, outlook.p95].map(|minor| whole(like, minor));
    format!("half up to {p50}, eight of ten {p80}, nineteen of twenty {p95}")
}

/// In whole units: nobody knows the future to the cent.
pub(crate) fn whole(like: Money, minor: f64) -> String {
    like.with_minor((minor / 100.0).round() as i64 * 100).to_string()
}

fn ceiling(out: &mut String, estimate: &Estimate) {
    let who = if estimate.ceiling.named { "you named it" } else { "ours" };
    let amount = estimate.ceiling.amount;
    let chance = match estimate.ceiling.of_hundred {
        0 => "fewer than half of all such jobs stay below".to_owned(),
        of_hundred => format!("at least {of_hundred} of 100 such jobs stay below"),
    };
    let _ = writeln!(out, " {amount} ({who}); {chance}; we do not pass it without your word");
    let _ = writeln!(out, " made {}", day_words(estimate.made));
}
