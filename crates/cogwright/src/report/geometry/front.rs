//! The front derailleur map in the report: a table a ring, and what the stand has to know.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::geometry::{FrontGear, FrontMap, RingMap};
use quantity::{Length, digits};

/// The whole map.
pub(super) fn front(out: &mut String, map: &FrontMap) {
    for ring in &map.rings {
        table(out, ring);
        for gear in ring.gears.iter().filter(|gear| gear.trim.is_none()) {
            let lack = digits::with_unit(-gear.clean.width().to_mm(), 1, "mm");
            wrapped(
                out,
                "-",
                &format!("{}x{} rubs wherever the cage stands: {lack} too narrow", ring.ring, gear.cog),
            );
        }
        for gear in ring.gears.iter().filter(|gear| gear.over_bridge < Length::mm(0.0)) {
            let lack = digits::with_unit(-gear.over_bridge.to_mm(), 1, "mm");
            wrapped(
                out,
                "-",
                &format!("{}x{} drags on the bridge of the tail by {lack}", ring.ring, gear.cog),
            );
        }
    }
    for line in lines(map) {
        wrapped(out, "-", &line);
    }
}

fn table(out: &mut String, ring: &RingMap) {
    let mut table = plain_table();
    let mut row = |title: String, tell: &dyn Fn(&FrontGear) -> String| {
        let mut cells = vec![Cell::new(title)];
        cells.extend(ring.gears.iter().map(|gear| right(tell(gear))));
        table.add_row(cells);
    };
    let mm = |length: Length| digits::signed(length.to_mm(), 1);
    let maybe = |front: Option<Length>| front.map_or("over".to_owned(), mm);
    row(format!("ring {}, mm", ring.ring), &|gear| gear.cog.to_string());
    row("chain aside at the tail".to_owned(), &|gear| mm(gear.aside_at_tail));
    row("cage clear from".to_owned(), &|gear| mm(gear.clean.least - ring.at));
    row("cage clear to".to_owned(), &|gear| mm(gear.clean.most - ring.at));
    row("served by trim".to_owned(), &|gear| {
        gear.trim.map_or("none".to_owned(), |trim| (trim + 1).to_string())
    });
    row("room inside, front".to_owned(), &|gear| maybe(gear.rooms.inner_front));
    row("room inside, tail".to_owned(), &|gear| mm(gear.rooms.inner_tail));
    row("room outside, front".to_owned(), &|gear| maybe(gear.rooms.outer_front));
    row("room outside, tail".to_owned(), &|gear| mm(gear.rooms.outer_tail));
    row("over the bridge".to_owned(), &|gear| mm(gear.over_bridge));
    print_table(out, &table);
    let trims: Vec<String> = ring.trims.iter().map(|trim| mm(trim.middle() - ring.at)).collect();
    let served = ring.gears.iter().filter(|gear| gear.trim.is_some());
    let least = served.map(|gear| gear.rooms.least().to_mm()).fold(f64::INFINITY, f64::min);
    let least = digits::with_unit(least, 1, "mm");
    let text = match trims.as_slice() {
        [] => "no position of the cage is clear in any gear".to_owned(),
        [one] => format!(
            "one position serves all gears that any serves: {one} mm outward of the ring, least room {least}"
        ),
        more => format!(
            "{} positions are wanted: {} mm outward of the ring, least room {least}",
            more.len(),
            more.join(" and ")
        ),
    };
    wrapped(out, "trim", &text);
}

fn lines(map: &FrontMap) -> Vec<String> {
    let mm = |length: Length| digits::with_unit(length.to_mm(), 1, "mm");
    let mut said = vec![format!(
        "limit screws: the cage stands {} from the middle plane inside and {} outside",
        mm(map.low_stop),
        mm(map.high_stop)
    )];
    let needed = mm(map.travel_needed);
    said.push(match (map.travel_given, map.travels_enough()) {
        (Some(given), Some(enough)) => {
            let given = format!(
                "{} to {}",
                digits::fixed(given.least(), 1),
                digits::with_unit(given.most(), 1, "mm")
            );
            let fits = if enough { "enough" } else { "not surely enough" };
            format!("travel: {needed} are wanted, overshift included; the lever gives {given}, {fits}")
        }
        _ => format!("travel: {needed} are wanted, overshift included; what the lever gives is not known"),
    });
    if let Some(has) = map.lever_positions {
        let wanted = map.positions_wanted();
        said.push(format!("the rings together ask for {wanted} positions of the lever; it has {has}"));
    }
    if let Some(ring) = map.smallest_ring {
        said.push(format!("the tail clears the chain down to a ring of {ring} on the smallest cog"));
    }
    if let Some(ring) = map.largest_inner_ring {
        said.push(format!("the inner plate swings over rings up to {ring} beside the largest"));
    }
    if let Some((least, most)) = map.slot_rings {
        said.push(format!("the slot of the tab serves outer rings of {least} to {most}"));
    }
    if !map.assumed.is_empty() {
        said.push(
            "dimensions of the cage that were not measured are usual ones from memory: see below".to_owned(),
        );
    }
    said.push("good to about half a millimetre: plates are not flat and a cage springs".to_owned());
    said
}
