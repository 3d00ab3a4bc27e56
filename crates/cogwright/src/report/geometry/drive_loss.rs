//! The losses of the drive in the report.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::geometry::drive_loss::{CADENCE_RPM, Losses, OFF, POWER_W};
use quantity::digits;
use std::fmt::Write;

/// Gear by gear, with what the model can be wrong.
pub(super) fn tell(out: &mut String, losses: &Losses) {
    let _ = writeln!(
        out,
        "  gears of the same development at {} and {CADENCE_RPM:.0} turns a minute (assumed)",
        digits::with_unit(POWER_W, 0, "W")
    );
    let mut table = plain_table();
    table.add_row(["", "as found", "after", "lost before", "lost after", ""]);
    for gear in &losses.gears {
        let gears = |(ring, cog): (quantity::Teeth, quantity::Teeth)| Cell::new(format!("{ring}x{cog}"));
        let mut row = vec![Cell::new(gear.use_words), gears(gear.before), gears(gear.after)];
        match &gear.shares {
            Ok((before, after)) => {
                let share = |share: f64| right(digits::with_unit(share * 100.0, 1, "%"));
                row.extend([share(*before), share(*after), Cell::new(gear.order.words())]);
            }
            Err(why) => row.extend([Cell::new(""), Cell::new(""), Cell::new(why)]),
        }
        table.add_row(row);
    }
    print_table(out, &table);
    let slope = if losses.with_slope {
        "the slope of the chain is in it, a small assumed share"
    } else {
        "the slope of the chain is left out"
    };
    wrapped(
        out,
        "-",
        &format!(
            "each share may be off by {} either way, and two are told apart beyond half of that; clean new chains of \
             76 to 305 N tension; {slope}",
            digits::with_unit(OFF * 100.0, 0, "% of the power")
        ),
    );
}
