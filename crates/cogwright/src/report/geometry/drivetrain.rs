//! The cage in every gear: a table a ring, the window of chain counts with the rules of the shop, and the ground.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::cage::{Body, Spread};
use fit::geometry::{CageMap, CagePair, CageState, CountRule, CountWindow, Gained, Held};
use quantity::digits;

/// The cage after the refit.
pub(super) fn tell(out: &mut String, map: &CageMap) {
    let chain = if map.count_is_fitted {
        "the chain on the bike"
    } else {
        "a new chain, cut by the rule of the shop"
    };
    wrapped(out, "chain", &format!("{} pitches: {chain}", map.count));
    wrapped(out, "cage", body_words(map.body));
    let mut rings: Vec<_> = map.pairs.iter().map(|pair| pair.ring).collect();
    rings.dedup();
    for ring in rings {
        let mut table = plain_table();
        let header = ["cog", "cage angle °", "takes up mm", "gives mm", "gap mm", "chain"];
        let mut first = vec![Cell::new(format!("ring {ring}"))];
        first.extend(header.map(|text| right(text.to_owned())));
        table.add_row(first);
        for pair in map.pairs.iter().filter(|pair| pair.ring == ring) {
            table.add_row(row(pair));
        }
        print_table(out, &table);
    }
    match &map.window {
        Ok(window) => wrapped(out, "window", &window_words(window)),
        Err(why) => wrapped(out, "window", &format!("none: {why}")),
    }
    if let Some(travelled) = &map.window_over_travel {
        let words = travelled.as_ref().map_or_else(|why| format!("none: {why}"), window_words);
        wrapped(out, "over travel", &words);
    }
    for rule in &map.rules {
        wrapped(out, "rule", &rule_words(rule));
    }
    wrapped(out, "capacity", &capacity_words(map));
    if let Some(words) = largest_words(map) {
        wrapped(out, "largest cog", &words);
    }
    for (mark, gained) in [("extender 15 mm", &map.extender), ("a B-screw turn", &map.screw_turn)] {
        if let Some(gained) = gained {
            wrapped(out, mark, &gained_words(gained));
        }
    }
    if let Some(lowest) = &map.lowest_mm {
        wrapped(out, "lowest", &lowest_words(map, lowest));
    }
}

fn lowest_words(map: &CageMap, lowest: &Spread) -> String {
    let tape = map.lowest_by_tape_mm.map_or(String::new(), |tape| {
        format!("; by the tape {}, which wins", digits::with_unit(tape.middle(), 0, "mm"))
    });
    let ground = map
        .over_ground_mm
        .as_ref()
        .map_or(String::new(), |height| format!("; {} mm over the ground, bike at rest", about(height, 0)));
    format!("{} mm below the axle by the shape of the cage{ground}{tape}", about(lowest, 0))
}

/// The bike as found, in a line.
pub(super) fn tell_before(out: &mut String, map: &CageMap) {
    let off = map
        .pairs
        .iter()
        .filter(|pair| pair.state.as_ref().is_ok_and(|state| state.held != Held::Taut))
        .count();
    let window = match &map.window {
        Ok(window) => window_words(window),
        Err(why) => format!("no chain works in every gear: {why}"),
    };
    let ground = map
        .over_ground_mm
        .as_ref()
        .map_or(String::new(), |mm| format!("; over the ground {} mm", about(mm, 0)));
    wrapped(out, "as found", &format!("{} pitches, not taut in {off} pairs; {window}{ground}", map.count));
}

fn body_words(body: Body) -> &'static str {
    match body {
        Body::Typical => {
            "a typical body of this size, tolerances in every ±; angle from the upper to the lower pulley, 0° forward, 90° down"
        }
        Body::Read => {
            "this bike's own, by three readings; angle from the upper to the lower pulley, 0° forward, 90° down"
        }
        Body::Contradicted => {
            "a typical body: the three readings contradict each other, the count or the size; take them again"
        }
        Body::Coarse => "a typical body: the three readings are coarser than 1° and 0.5 mm and are not used",
    }
}

fn row(pair: &CagePair) -> Vec<Cell> {
    let cog = right(pair.cog.to_string());
    match &pair.state {
        Err(why) => {
            let mut row = vec![Cell::new(""), cog];
            row.extend(std::iter::repeat_with(|| right("–".to_owned())).take(4));
            row.push(Cell::new(why));
            row
        }
        Ok(state) => vec![
            Cell::new(""),
            cog,
            right(about(&state.angle_deg, 0)),
            right(about(&state.take_up_mm, 0)),
            right(about(&state.give_mm, 0)),
            right(about(&state.gap_mm, 0)),
            right(held_words(state)),
        ],
    }
}

fn held_words(state: &CageState) -> String {
    let mm = |value: f64| digits::with_unit(value, 0, "mm");
    let words = match state.held {
        Held::Taut if state.sure => "taut".to_owned(),
        Held::Taut if state.give_mm.span.least() < 0.0 => "taut, may not reach".to_owned(),
        Held::Taut if state.take_up_mm.span.least() < 0.0 => "taut, may hang".to_owned(),
        Held::Taut => "taut, may not be".to_owned(),
        Held::Hangs(over) => format!("hangs {}", mm(over)),
        Held::TouchesItself(over) => format!("on itself, {} over", mm(over)),
        Held::Meshes(over) => format!("pulley in the cog, {} over", mm(over)),
        Held::Locks { short_mm, .. } => format!("LOCKS, {} short", mm(short_mm)),
    };
    match (state.held, state.sure) {
        (Held::Taut, _) | (_, true) => words,
        (_, false) => format!("{words}, or taut"),
    }
}

fn window_words(window: &CountWindow) -> String {
    let counts = |found: Option<(u32, u32)>| match found {
        None => "none".to_owned(),
        Some((least, most)) if least == most => least.to_string(),
        Some((least, most)) => format!("{least} to {most}"),
    };
    let pair = |pair: (quantity::Teeth, quantity::Teeth)| format!("{}x{}", pair.0, pair.1);
    format!(
        "{} pitches ({}) to {} ({}): even counts {} (sure {}), odd ones, with a cranked link, {}",
        about(&window.shortest, 1),
        pair(window.shortest_pair),
        about(&window.longest, 1),
        pair(window.longest_pair),
        counts(window.even),
        counts(window.even_sure),
        counts(window.odd)
    )
}

fn rule_words(rule: &CountRule) -> String {
    let stands = if rule.outside_pitches < 0.0 {
        format!("{} too short", digits::with_unit(-rule.outside_pitches, 1, "pitches"))
    } else if rule.outside_pitches > 0.0 {
        format!("{} too long", digits::with_unit(rule.outside_pitches, 1, "pitches"))
    } else {
        "inside the window".to_owned()
    };
    let off: Vec<String> = rule
        .off_mm
        .iter()
        .map(|(ring, cog, mm)| {
            let what = if *mm < 0.0 { "LOCKS" } else { "hangs" };
            format!("{ring}x{cog} {what} {}", digits::fixed(mm.abs(), 0))
        })
        .collect();
    let off = match off.is_empty() {
        true => "every gear taut".to_owned(),
        false => format!("mm of chain: {}", off.join(", ")),
    };
    let (up, give) = rule.least_mm;
    let left: Vec<String> = [(up, "to take up"), (give, "to give")]
        .iter()
        .filter(|(mm, _)| *mm > 0.0)
        .map(|(mm, what)| format!("at least {} left {what}", digits::with_unit(*mm, 0, "mm")))
        .collect();
    let left = if left.is_empty() { String::new() } else { format!("; {}", left.join(", ")) };
    format!("{}: {}, {stands}; {off}{left}", rule.words, rule.count)
}

fn capacity_words(map: &CageMap) -> String {
    let printed = map.capacity_printed.map_or("the leaflet was not read".to_owned(), |teeth| {
        format!("the leaflet says {teeth} and wins: the slack beside the gears is counted by it")
    });
    let shape =
        map.capacity.as_ref().map_or("not known".to_owned(), |teeth| format!("{} teeth", from_to(teeth)));
    format!(
        "the gears ask for {} teeth; by its shape the cage takes up {shape}; {printed}",
        map.capacity_needed
    )
}

fn largest_words(map: &CageMap) -> Option<String> {
    let by_shape = map.largest_cog.as_ref()?;
    let printed = match map.largest_cog_printed.is_finite() {
        true => format!(
            "; by the leaflet {} on this hanger, which wins",
            digits::fixed(map.largest_cog_printed, 1)
        ),
        false => String::new(),
    };
    Some(format!("by the shape of the body {} teeth with a gap of 5 mm{printed}", from_to(by_shape)))
}

fn gained_words(gained: &Gained) -> String {
    let cog = |cog: Option<quantity::Teeth>| cog.map_or("none".to_owned(), |cog| cog.to_string());
    let moves = gained.window_moves.map_or(String::new(), |(short, long)| {
        format!("; window moves {} and {} pitches", digits::signed(short, 1), digits::signed(long, 1))
    });
    format!(
        "gap on the largest cog {}, largest cog {} -> {}{moves}",
        digits::signed_with_unit(gained.gap_mm, 1, "mm"),
        cog(gained.cog_before),
        cog(gained.cog_after)
    )
}

/// `12 ±6`: the value with the wider of its two sides.
fn about(spread: &Spread, decimals: usize) -> String {
    let half = (spread.value - spread.span.least()).max(spread.span.most() - spread.value);
    let open = if spread.open { "?" } else { "" };
    format!("{} ±{}{open}", digits::fixed(spread.value, decimals), digits::fixed(half, decimals))
}

fn from_to(spread: &Spread) -> String {
    format!(
        "{} ({} to {})",
        digits::fixed(spread.value, 0),
        digits::fixed(spread.span.least(), 0),
        digits::fixed(spread.span.most(), 0)
    )
}
