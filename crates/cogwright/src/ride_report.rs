//! The ride for a terminal: what was ridden, before and after side by side, and what tells the cassettes apart.

use crate::command::ride::{Numbers, RideAnswer};
use crate::report::{plain_table, print_table, right};
use crate::screen::HEADING;
use comfy_table::Cell;
use fit::ride::{CORNERS, OnRide, RankedSet, cheaper, spread};
use mechanics::ride::cog_inference::{InferenceError, UsedCogs};
use mechanics::ride::shifting::Ridden;
use quantity::digits::fixed;
use std::cmp::Ordering;
use std::fmt::Write;

/// Way over which the steepest stretch of the road is taken, metres.
const STEEP_OVER_M: f64 = 100.0;
/// Rollouts of usual road wheels, metres, for the rings that a product allows.
const USUAL_ROLLOUT_M: (f64, f64) = (2.05, 2.16);

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
    let profile = &answer.profile;
    let (steep, at_m) = profile.steepest_over(STEEP_OVER_M);
    let _ = writeln!(
        out,
        "  {}: {} km, {} m up; steepest {:.0} m at {} %, from km {}",
        answer.what,
        fixed(profile.length_m() / 1000.0, 1),
        fixed(answer.climb_m, 0),
        STEEP_OVER_M.min(profile.length_m()),
        fixed(steep * 100.0, 1),
        fixed(at_m / 1000.0, 1),
    );
    for note in &answer.notes {
        let _ = writeln!(out, "  - {note}");
    }
    if profile.clipped() > 0 {
        let _ = writeln!(out, "  - {} stretches steeper than any road were cut to 40 %", profile.clipped());
    }
    if let Some(cogs) = &answer.cogs {
        let _ = writeln!(out, "  {}", cogs_words(cogs));
    }
    match &answer.numbers {
        Ok(numbers) => told(&mut out, numbers),
        Err(gap) => _ = writeln!(out, "  cannot tell: {gap}"),
    }
    out
}

/// What the recording reveals of the gears.
pub(crate) fn cogs_words(cogs: &Result<UsedCogs, InferenceError>) -> String {
    match cogs {
        Err(why) => format!("the cogs used cannot be read from the recording: {why}"),
        Ok(used) => {
            let list = |teeth: &[u32]| teeth.iter().map(u32::to_string).collect::<Vec<_>>().join("-");
            let rings: Vec<String> = used
                .rings(USUAL_ROLLOUT_M)
                .iter()
                .map(|(ring, rollout)| format!("{ring} teeth with {} mm", fixed(rollout * 1000.0, 0)))
                .collect();
            let next = used.next.as_ref().map_or(String::new(), |(cogs, misfit)| {
                format!(", the next best set {} to {} %", list(cogs), fixed(misfit * 100.0, 2))
            });
            let mut words = format!(
                "cogs used: {}, read from cadence and speed to {} %{next}; ring and wheel are known only as a product, {} m",
                list(&used.cogs),
                fixed(used.misfit * 100.0, 2),
                fixed(used.ring_times_rollout_m, 1)
            );
            if !rings.is_empty() {
                let _ = write!(words, ": {} fit alike", rings.join(", "));
            }
            words
        }
    }
}

fn told(out: &mut String, numbers: &Numbers) {
    let case = &numbers.case;
    let (power, mass, habit) = (case.power_w, case.mass_kg, case.habit);
    let _ = writeln!(
        out,
        "  rider: {} ± {} W ({}), {} ± {} kg ({}); likes {:.0} to {:.0} turns a minute, accepts {:.0}",
        fixed(power.value, 0),
        fixed(power.value * power.share, 0),
        power.words,
        fixed(mass.value, 0),
        fixed(mass.value * mass.share, 0),
        mass.words,
        habit.low_rpm,
        habit.high_rpm,
        habit.grinding_rpm
    );
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
        Cell::new(format!("steepest seated at {:.0} turns, %", habit.grinding_rpm)),
        steepest(&numbers.before),
        steepest(&numbers.after),
    ]);
    let cost = |on_ride: &OnRide| right(span(spread(on_ride.costs_min()), 1));
    table.add_row(vec![Cell::new("cost in minutes"), cost(&numbers.before), cost(&numbers.after)]);
    print_table(out, &table);
    let _ = writeln!(out, "  {}", sentence(numbers));
    if !numbers.compared.is_empty() {
        compared(out, numbers);
    }
}

/// `4.1 (2.9 to 6.0)`; without decimals where the ends lie far apart.
fn span((middle, least, most): (f64, f64, f64), decimals: usize) -> String {
    let decimals = if most - least >= 4.0 { 0 } else { decimals };
    let (low, high) = (fixed(least, decimals), fixed(most, decimals));
    if low == high { low } else { format!("{} ({low} to {high})", fixed(middle, decimals)) }
}

/// The one sentence for the customer.
pub(crate) fn sentence(numbers: &Numbers) -> String {
    let (before, after) = (&numbers.before, &numbers.after);
    let below = |on_ride: &OnRide| span(on_ride.spread(|r| r.below_s / 60.0), 1);
    let effect = match cheaper(after, before) {
        Some(Ordering::Less) => "the new gears are easier on this ride",
        Some(_) => "the new gears are harder on this ride",
        None => "on this ride the new gears cannot be told from the old ones",
    };
    format!(
        "{effect}: {} min below the liked cadence instead of {}, and {} % can be climbed seated instead of {} %",
        below(after),
        below(before),
        fixed(after.steepest.first().copied().unwrap_or(0.0) * 100.0, 1),
        fixed(before.steepest.first().copied().unwrap_or(0.0) * 100.0, 1)
    )
}

/// The cassettes to compare, and which of them the ride tells apart.
fn compared(out: &mut String, numbers: &Numbers) {
    let _ = writeln!(out, "\n{HEADING}Which cassette answers the ride{HEADING:#}");
    set_table(out, "cassette", &numbers.compared);
    let _ = writeln!(out, "  {}", choice_words(numbers));
}

fn keys(set: &RankedSet) -> String {
    set.parts.iter().filter_map(|part| part.id()).collect::<Vec<_>>().join(" + ")
}

/// Sets with their cost, against the first of them; below each what it brings and how far it is from the first.
fn set_table(out: &mut String, title: &str, sets: &[RankedSet]) {
    let mut table = plain_table();
    let head = [title, "cost, min", "below, min", "grinding, min", "steepest seated, %"];
    table.add_row(head.iter().map(|words| Cell::new(*words)).collect::<Vec<_>>());
    for (at, set) in sets.iter().enumerate() {
        let (on_ride, best) = (&set.on_ride, &sets[0].on_ride);
        let difference = spread(on_ride.costs_min().iter().zip(best.costs_min()).map(|(a, b)| a - b));
        let mut words = keys(set);
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

/// Which of the compared cassettes answers, in a sentence.
pub(crate) fn choice_words(numbers: &Numbers) -> String {
    let holding = || numbers.compared.iter().filter(|set| set.brings.is_empty());
    let Some(best) = holding().next() else {
        return "none of them goes on without another part that fails: see below each".to_owned();
    };
    let before = &numbers.before;
    let alike: Vec<&RankedSet> =
        holding().skip(1).filter(|set| cheaper(&best.on_ride, &set.on_ride).is_none()).collect();
    let (saved, least, most) =
        spread(before.costs_min().iter().zip(best.on_ride.costs_min()).map(|(was, is)| was - is));
    let compared = if least > 0.0 {
        format!("{} min less than the bike as found", span((saved, least, most), 1))
    } else if most < 0.0 {
        format!("{} min more than the bike as found", span((-saved, -most, -least), 1))
    } else {
        format!("which cannot be told from the bike as found ({} min less)", span((saved, least, most), 1))
    };
    let mut words = format!(
        "of those that go on, {} answers best: a cost of {} min, {compared}",
        keys(best),
        span(spread(best.on_ride.costs_min()), 1)
    );
    if !alike.is_empty() {
        let names: Vec<String> = alike.iter().map(|set| keys(set)).collect();
        let _ = write!(
            words,
            "; power and mass are not known well enough to tell it from {}",
            names.join(" and ")
        );
        let worst = |set: &RankedSet| spread(set.on_ride.costs_min()).2;
        let surest = alike.iter().fold(best, |kept, set| if worst(set) < worst(kept) { set } else { kept });
        let _ = write!(words, "; the surest is {}: {} min at worst", keys(surest), fixed(worst(surest), 0));
    }
    words
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
