//! The ride for a terminal: what was ridden, before and after side by side, and what tells the cassettes apart.

use crate::report::{plain_table, print_table, right};
use crate::screen::HEADING;
use comfy_table::Cell;
use fit::ride::{CORNERS, Numbers, OnRide, RankedSet, RideAnswer, STEEP_OVER_M, cheaper, spread};
use fit::words::ride::{self, span};
use mechanics::ride::shifting::Ridden;
use quantity::digits::fixed;
use std::fmt::Write;

/// The whole answer.
pub(crate) fn report(answer: &RideAnswer) -> String {
    let mut out = format!("{HEADING}{}{HEADING:#}\n", answer.name);
    if let Some(words) = &answer.words {
        let _ = writeln!(out, "The customer: “{words}”");
    }
    out.push_str(&section(answer));
    if let Ok(numbers) = &answer.numbers {
        ranked(&mut out, numbers);
    }
    out
}

/// The section of a plan report.
pub(crate) fn section(answer: &RideAnswer) -> String {
    let mut out = format!("\n{HEADING}On the customer's own ride{HEADING:#}\n");
    let road = &answer.road;
    let profile = &road.profile;
    let (steep, at_m) = profile.steepest_over(STEEP_OVER_M);
    let _ = writeln!(
        out,
        "  {}: {} km, {} m up; steepest {:.0} m at {} %, from km {}",
        road.what,
        fixed(profile.length_m() / 1000.0, 1),
        fixed(road.climb_m, 0),
        STEEP_OVER_M.min(profile.length_m()),
        fixed(steep * 100.0, 1),
        fixed(at_m / 1000.0, 1),
    );
    for note in &road.notes {
        let _ = writeln!(out, "  - {note}");
    }
    if profile.clipped() > 0 {
        let _ = writeln!(out, "  - {} stretches steeper than any road were cut to 40 %", profile.clipped());
    }
    if let Some(cogs) = &road.cogs {
        let _ = writeln!(out, "  {}", ride::cogs(cogs));
    }
    match &answer.numbers {
        Ok(numbers) => told(&mut out, numbers),
        Err(gap) => _ = writeln!(out, "  cannot tell: {gap}"),
    }
    out
}

fn told(out: &mut String, numbers: &Numbers) {
    let case = &numbers.case;
    let _ = writeln!(out, "  rider: {}", ride::rider(numbers));
    let _ = writeln!(out, "  wind: {}", ride::wind(case.wind));
    let _ = writeln!(
        out,
        "  the ride takes {} min at this power; in brackets what weaker and heavier, stronger and lighter come to",
        fixed(case.journey().time_s() / 60.0, 0)
    );
    let mut table = plain_table();
    table.add_row(vec![Cell::new(""), right("as found".to_owned()), right("after".to_owned())]);
    type Number = fn(&Ridden) -> f64;
    let rows: [(&str, Number, usize); 8] = [
        ("minutes below the liked cadence", |r| r.below_s / 60.0, 1),
        ("of these grinding", |r| r.grinding_s / 60.0, 1),
        ("minutes inside", |r| r.inside_s() / 60.0, 1),
        ("minutes above", |r| r.above_s / 60.0, 1),
        ("km spun out", |r| r.spun_out_m / 1000.0, 1),
        ("rear shifts", |r| f64::from(r.rear_shifts), 0),
        ("front shifts", |r| f64::from(r.front_shifts), 0),
        ("largest step in %", |r| r.largest_step * 100.0, 0),
    ];
    for (words, number, decimals) in rows {
        let cell = |on_ride: &OnRide| right(span(on_ride.spread(number), decimals));
        table.add_row(vec![Cell::new(words), cell(&numbers.before), cell(&numbers.after)]);
    }
    let steepest = |on_ride: &OnRide| right(span(spread(on_ride.steepest.iter().map(|g| g * 100.0)), 1));
    table.add_row(vec![
        Cell::new(format!("steepest seated at {:.0} turns, %", case.habit.grinding_rpm)),
        steepest(&numbers.before),
        steepest(&numbers.after),
    ]);
    let push = |on_ride: &OnRide| match &on_ride.push_n {
        Some(push) => right(span(spread(push.iter().copied()), 0)),
        None => right("crank length not known".to_owned()),
    };
    table.add_row(vec![
        Cell::new(format!("push there, lowest gear at {:.0} turns, N", case.habit.grinding_rpm)),
        push(&numbers.before),
        push(&numbers.after),
    ]);
    let cost = |on_ride: &OnRide| right(span(spread(on_ride.costs_min()), 1));
    table.add_row(vec![Cell::new("cost in minutes"), cost(&numbers.before), cost(&numbers.after)]);
    print_table(out, &table);
    let _ = writeln!(out, "  {}", ride::sentence(numbers));
    if !numbers.compared.is_empty() {
        compared(out, numbers);
    }
}

/// The cassettes to compare, and which of them the ride tells apart.
fn compared(out: &mut String, numbers: &Numbers) {
    let _ = writeln!(out, "\n{HEADING}Which cassette answers the ride{HEADING:#}");
    set_table(out, "cassette", &numbers.compared);
    let _ = writeln!(out, "  {}", ride::choice(numbers));
}

/// Sets with their cost, against the first of them; below each what it brings and how far it is from the first.
fn set_table(out: &mut String, title: &str, sets: &[RankedSet]) {
    let mut table = plain_table();
    let head = [title, "cost, min", "below, min", "grinding, min", "steepest seated, %"];
    table.add_row(head.iter().map(|words| Cell::new(*words)).collect::<Vec<_>>());
    for (at, set) in sets.iter().enumerate() {
        let (on_ride, best) = (&set.on_ride, &sets[0].on_ride);
        let difference = spread(on_ride.costs_min().iter().zip(best.costs_min()).map(|(a, b)| a - b));
        let mut words = ride::keys(set);
        if at > 0 {
            let _ = match cheaper(best, on_ride) {
                Some(_) => write!(words, "\n  {} min more than the first", span(difference, 1)),
                None => write!(words, "\n  cannot be told from the first: {} min", span(difference, 1)),
            };
        }
        if !set.brings.is_empty() {
            let _ = write!(words, "\n  fails {}", set.brings.join(", "));
        }
        table.add_row(vec![
            Cell::new(words),
            right(span(spread(on_ride.costs_min()), 1)),
            right(span(on_ride.spread(|r| r.below_s / 60.0), 1)),
            right(span(on_ride.spread(|r| r.grinding_s / 60.0), 1)),
            right(span(spread(on_ride.steepest.iter().map(|grade| grade * 100.0)), 1)),
        ]);
    }
    print_table(out, &table);
}

fn ranked(out: &mut String, numbers: &Numbers) {
    if numbers.ranked.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{HEADING}Rings and cassettes of the catalogue on this ride{HEADING:#}");
    let _ = writeln!(
        out,
        "  cost: minutes outside the liked cadence, each once more for every 10 turns outside; 3 s a double shift; 6 s for each % of a step over 15 %"
    );
    set_table(out, "set", &numbers.ranked);
    let _ =
        writeln!(out, "  two are told apart only where one is better in every case: {}", CORNERS.join(", "));
}
