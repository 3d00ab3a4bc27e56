//! The options of an estimate for a terminal: leave it, good, better, best, each with what it gives and what it costs.

use super::estimate::whole;
use super::promise::day_words;
use super::wrapped;
use crate::screen::HEADING;
use fit::words::verdict_words;
use quantity::digits::{fixed, signed};
use shop::{Desk, Gears, Ready, Way, WayName, shown};
use std::fmt::Write;

/// All options, and why one of the names has none.
pub(super) fn options(out: &mut String, desk: &Desk<'_>) {
    for name in [WayName::Leave, WayName::Good, WayName::Better, WayName::Best] {
        let way = desk.ways.iter().find(|way| way.name == name);
        let none = desk.no_way.iter().find(|(missing, _)| *missing == name);
        if way.is_some() || none.is_some() {
            let _ = writeln!(out, " {HEADING}{}{HEADING:#}", name.word());
        }
        if let Some(way) = way {
            option(out, way);
        } else if let Some((_, why)) = none {
            wrapped(out, "-", &format!("none: {why}"));
        }
    }
}

fn option(out: &mut String, way: &Way) {
    wrapped(out, "-", &way.words);
    let gears = gears(&way.gears);
    if !gears.is_empty() {
        wrapped(out, "-", &gears);
    }
    if way.name != WayName::Leave {
        details(out, way);
    }
}

fn details(out: &mut String, way: &Way) {
    let Some(estimate) = &way.estimate else { return };
    let sum = shown(&estimate.totals, estimate.shown);
    let [p50, p80] = [estimate.price.p50, estimate.price.p80].map(|minor| whole(sum, minor));
    wrapped(
        out,
        "-",
        &format!(
            "{}: {sum}; half of all such jobs up to {p50}, eight of ten up to {p80}; {} min of work",
            verdict_words(way.verdict),
            estimate.labour.total.usual
        ),
    );
    if let Some((forward, up)) = way.hands_mm {
        let words = format!("the hands move {} mm forward and {} mm up", signed(forward, 0), signed(up, 0));
        wrapped(out, "-", &words);
    }
    for amber in &way.amber {
        wrapped(out, "!", &format!("works only just: {amber}"));
    }
    if !estimate.pulls.is_empty() {
        wrapped(out, "-", &format!("pulls {}", estimate.pulls.join(", ")));
    }
    if let Some(ready) = &way.ready {
        wrapped(out, "-", &day(ready));
    }
    if way.name != WayName::Better {
        wrapped(out, "-", &format!("not included: {}", estimate.not_included.join("; ")));
    }
}

/// What the gears become, as far as it is known.
fn gears(gears: &Gears) -> String {
    let mut words = Vec::new();
    if let Some(lowest) = gears.lowest_m {
        let change = gears.lowest_change_percent.filter(|change| *change != 0.0);
        let change = change.map(|change| format!(" ({} %)", signed(change, 1))).unwrap_or_default();
        words.push(format!("lowest gear {} m{change}", fixed(lowest, 2)));
    }
    if let Some(highest) = gears.highest_m {
        words.push(format!("highest {} m", fixed(highest, 2)));
    }
    if gears.usable > 0 {
        words.push(format!("{} gears to be used", gears.usable));
    }
    words.join(", ")
}

/// The day, or why there is none and which it would be.
pub(super) fn day(ready: &Ready) -> String {
    match (&ready.promise, &ready.provisional) {
        (Ok(promise), _) => {
            format!("ready {}, which holds in eight of ten such weeks", day_words(promise.promised))
        }
        (Err(why), Some(day)) => {
            format!("{why}; if it turns out well, {} (no promise)", day_words(day.promised))
        }
        (Err(why), None) => why.to_string(),
    }
}
