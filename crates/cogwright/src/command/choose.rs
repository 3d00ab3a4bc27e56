//! `choose`: sets of parts for a wish, or why there is none.

use super::print_json;
use crate::Status;
use crate::args::Choose;
use crate::choice_document::{ChoiceDocument, chains};
use crate::files::{Failure, catalogue, refit};
use crate::report::{plain_table, print_table, right};
use crate::screen::{self, HEADING, QUIET, verdict_style};
use catalog::Slot;
use comfy_table::Cell;
use fit::choose::{Answer, Labour, RULE_OF_OFFERS, Set, WhyNot, choose};
use fit::ride::cheaper;
use fit::words::ride::on_ride;
use fit::words::{margin_words, steps, verdict_words};
use fit::{AimName, Finding, Plan, Refit, Verdict};
use frontier::{Progress, Watch};
use quantity::digits::fixed;
use shop::{Book, BookError, Circumstances, minutes_by_slot, minutes_for};
use std::fmt::Write;
use std::io::{IsTerminal, Write as _};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Values to take that are named.
const WAITING_SHOWN: usize = 5;
/// Parts without a price that are named.
const UNPRICED_SHOWN: usize = 8;

pub(super) fn run(args: &Choose) -> Result<Status, Failure> {
    let catalogue = catalogue(&args.refit.catalogue)?;
    let stop = stop_on_interrupt();
    let answer_for = |refit: &Refit| -> Result<Answer, Failure> {
        let plan = fit::plan(refit, &catalogue);
        let minutes = minutes_by_slot(&plan, &Book::start_values(), Circumstances::default());
        let labour = Labour { minutes: minutes.map_err(Failure::Book)? };
        let watch = Watch { stop: Some(&stop), tell: Some(&tell_progress) };
        let answer = choose(refit, &catalogue, &labour, watch).map_err(Failure::Choice);
        clear_progress();
        answer
    };
    let asked = with_road(refit(args.refit.file.as_deref(), &catalogue)?, args.refit.file.as_deref())?;
    let answer = answer_for(&asked)?;
    let status = match answer.sets.iter().map(|set| set.verdict).min() {
        Some(_) if !answer.complete => Status::Open,
        Some(verdict) => Status::of(verdict),
        None => Status::Fails,
    };
    if args.refit.json {
        print_json(&ChoiceDocument::of(&asked.name, &answer))?;
        return Ok(status);
    }
    let plan = fit::plan(&asked, &catalogue);
    let mut out = text(&plan, &answer, args.all).map_err(Failure::Book)?;
    if let Some(other) = &args.against {
        let other = answer_for(&with_road(refit(Some(other), &catalogue)?, Some(other))?)?;
        changes(&mut out, &answer, &other);
    }
    screen::print(&out)?;
    Ok(status)
}

/// The refit with the recorded road that its wish aims at.
fn with_road(mut refit: Refit, file: Option<&Path>) -> Result<Refit, Failure> {
    if let Some(wish) = refit.ride.as_mut().filter(|_| refit.wish.set.aims.contains(&AimName::Ride)) {
        wish.road = Some(super::ride::read(wish, file)?);
    }
    Ok(refit)
}

/// The first interrupt ends the search and shows what it has; a second one ends the program.
fn stop_on_interrupt() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let set = Arc::clone(&stop);
    // Where no handler can be set an interrupt ends the program, as everywhere else.
    let _ = ctrlc::set_handler(move || {
        if set.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    stop
}

fn tell_progress(progress: Progress) {
    let mut out = std::io::stderr();
    if out.is_terminal() {
        let _ =
            write!(out, "\rsearching: {} of {} parts, {} sets", progress.done, progress.of, progress.found);
        let _ = out.flush();
    }
}

fn clear_progress() {
    let mut out = std::io::stderr();
    if out.is_terminal() {
        let _ = write!(out, "\r\x1b[K");
        let _ = out.flush();
    }
}

fn text(plan: &Plan, answer: &Answer, all: bool) -> Result<String, BookError> {
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
    for offer in &answer.offers.offers {
        let set = &answer.sets[offer.set];
        let style = verdict_style(set.verdict);
        let verdict = verdict_words(set.verdict);
        let _ = writeln!(out, "\n{HEADING}{}{HEADING:#}: {style}{verdict}{style:#}", capital(&offer.words()));
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
        print_table(&mut out, &table);
        figures(&mut out, set, true);
        let first = answer.offers.offers.first().map(|first| &answer.sets[first.set]);
        if let (Some(Some(best)), Some(own)) = (first.map(|set| &set.on_ride), &set.on_ride) {
            let is_alike = !std::ptr::eq(best, own) && cheaper(best, own).is_none();
            let alike = if is_alike { "; the ride cannot tell it from the first" } else { "" };
            let _ = writeln!(out, "  {}{alike}", on_ride(own));
        }
        let slots: Vec<Slot> = set.parts.iter().map(|part| part.slot()).collect();
        let minutes = minutes_for(plan, &Book::start_values(), Circumstances::default(), &slots)?;
        let _ =
            writeln!(out, "  about {minutes} min of labour for the whole job, each step once; start values");
        for finding in set.findings.iter().filter(|finding| finding.verdict == Verdict::Marginal) {
            let _ = writeln!(out, "  marginal: {} [{}]", told_words(finding), finding.rule.id);
        }
    }
    waiting(&mut out, answer);
    if all {
        every(&mut out, answer);
    }
    Ok(out)
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
    let _ = writeln!(out, "  {}", words.join("; "));
    let (marginal, measure) = (set.count(Verdict::Marginal), set.count(Verdict::Measure));
    let _ = writeln!(out, "  {marginal} marginal, {measure} to be measured");
    if with_price {
        let none = |list: Vec<&str>| if list.is_empty() { "nothing".to_owned() } else { list.join("; ") };
        let _ = writeln!(out, "  pulls {}", none(chains(&set.pulls)));
        let _ = writeln!(out, "  leaves alone {}", none(chains(&set.leaves_alone())));
    }
}

fn why_not(out: &mut String, why: &WhyNot) {
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
        let _ = writeln!(out, "\nGiving up one or two things of the wish opens no way.");
        return;
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
            Cell::new(format!("without “{}”", way.words)),
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

fn waiting(out: &mut String, answer: &Answer) {
    let waiting = answer.waiting();
    if waiting.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{HEADING}Measure first{HEADING:#}: what settles most of the sets");
    for waiting in waiting.iter().take(WAITING_SHOWN) {
        let _ = writeln!(
            out,
            "  {} ({}): {} of {} sets wait for it [{}]",
            waiting.dimension.row().words,
            waiting.slot.words(),
            waiting.sets,
            answer.sets.len(),
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

fn changes(out: &mut String, answer: &Answer, other: &Answer) {
    let (gone, come) = answer.differences(other);
    let _ = writeln!(out, "\n{HEADING}What changes against the other file{HEADING:#}");
    let _ = writeln!(
        out,
        "  {} sets fall out, {} come in; sets that hold: {} here, {} there",
        gone.len(),
        come.len(),
        sets_words(answer.count.sets),
        sets_words(other.count.sets)
    );
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
