//! Promises for a terminal: job by job the day planned and the day promised, who does what when, and what decides it.

use super::{heading, plain_table, print_table, wrapped};
use crate::screen::{HEADING, QUIET};
use jiff::civil::Date;
use shop::{Broken, Promise, PromiseError, Workshop, clock_words, weekday_words};
use std::fmt::Write;

/// A day with its weekday.
pub(crate) fn day_words(day: Date) -> String {
    format!("{} {day}", weekday_words(day))
}

/// The day of one job.
pub(crate) fn promise(out: &mut String, promise: &Promise) {
    promise_as(out, "promise", promise);
}

/// The same under another word, where it is none yet.
pub(crate) fn promise_as(out: &mut String, word: &str, promise: &Promise) {
    let _ = writeln!(
        out,
        "{HEADING}{word} {}{HEADING:#}: it holds in eight of ten such weeks; planned for {}",
        day_words(promise.promised),
        day_words(promise.planned)
    );
    for because in &promise.because {
        wrapped(out, "-", because);
    }
    let mut table = plain_table();
    for piece in &promise.pieces {
        table.add_row(vec![
            day_words(piece.day),
            format!("{} to {}", clock_words(piece.from), clock_words(piece.to)),
            piece.person.clone(),
            piece.words.clone(),
        ]);
    }
    print_table(out, &table);
}

/// All open jobs.
pub(crate) fn promises_text(
    shop: &Workshop,
    today: Date,
    days: &[Result<Promise, PromiseError>],
    broken: &[Broken],
) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{HEADING}{}{HEADING:#}, planned from {}", shop.name, day_words(today));
    if !broken.is_empty() {
        heading(&mut out, "Promises that do not hold");
        for broken in broken {
            wrapped(&mut out, "!", &broken.to_string());
        }
    }
    for (job, day) in shop.open_jobs.iter().zip(days) {
        heading(&mut out, &job.name);
        if let Some(before) = job.promised {
            let _ = writeln!(out, "{QUIET}promised so far: {}{QUIET:#}", day_words(before));
        }
        match day {
            Ok(day) => promise(&mut out, day),
            Err(why) => wrapped(&mut out, "!", &format!("no day: {why}")),
        }
    }
    out
}
