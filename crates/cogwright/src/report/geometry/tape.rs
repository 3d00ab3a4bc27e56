//! The bar tape in the report.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::geometry::tape::{LAY, TapeLay};
use quantity::digits;
use std::fmt::Write;

/// Turns and length at both overlaps.
pub(super) fn tell(out: &mut String, tape: &TapeLay) {
    let metres = |mm: f64| digits::with_unit(mm / 1000.0, 2, "m");
    let side = digits::with_unit(tape.side_mm.middle(), 0, "mm");
    let roll = tape
        .roll_mm
        .map_or("a roll of unknown length".to_owned(), |roll| format!("a roll of {}", metres(roll.middle())));
    let _ = writeln!(out, "  {side} wrapped on each side, {roll} a side; left and right alike");
    let mut table = plain_table();
    table.add_row(["overlap", "turns", "by area", "as practice counts", ""]);
    for lap in &tape.laps {
        table.add_row(vec![
            Cell::new(lap.words),
            right(digits::fixed(lap.turns.middle(), 1)),
            right(metres(lap.least_mm.middle())),
            right(metres(lap.counted_mm.middle())),
            Cell::new(lap.roll_does.map_or("", |does| does.words())),
        ]);
    }
    print_table(out, &table);
    for line in LAY {
        wrapped(out, "-", line);
    }
}
