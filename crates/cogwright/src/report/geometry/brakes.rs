//! The brakes before and after.

use super::super::{plain_table, print_table, right, wrapped};
use super::around;
use comfy_table::Cell;
use fit::geometry::Brakes;
use quantity::digits::fixed;

/// The table, the change, and the rotors on their mounts.
pub(super) fn tell(out: &mut String, brakes: &Brakes) {
    let pairs = [("before", &brakes.before), ("after", &brakes.after)];
    let mut table = plain_table();
    table.add_row(["", "gain", "free travel mm", "hand N", "tyre per hand", "two scales"]);
    for (when, pair) in pairs {
        let Some(pair) = pair else { continue };
        let told = |span: Option<quantity::Span>, places| {
            right(span.map_or_else(|| "?".to_owned(), |span| around(span, places)))
        };
        table.add_row(vec![
            Cell::new(when),
            right(around(pair.gain, 2)),
            told(pair.free_travel, 0),
            told(pair.hand, 0),
            told(pair.figure, 1),
            told(pair.figure_read, 1),
        ]);
    }
    if brakes.before.is_some() || brakes.after.is_some() {
        print_table(out, &table);
        let force = fixed(brakes.tyre_force_n, 0);
        wrapped(
            out,
            "-",
            &format!(
                "hand: 90 kg at half of gravity, {force} N at the front tyre, dry rim, cable without friction"
            ),
        );
    }
    if let Some(change) = brakes.change_percent {
        wrapped(out, "-", &format!("the gain changes by {} %", around(change, 0)));
    }
    for rotor in &brakes.rotors {
        let words = format!(
            "{} rotor {} mm on a mount for {} mm: the caliper sits {} mm further out",
            rotor.wheel,
            around(rotor.diameter, 0),
            around(rotor.native, 0),
            around(rotor.outward, 1)
        );
        wrapped(out, "-", &words);
    }
    if brakes.hoses {
        wrapped(out, "-", "hoses: leverage cannot be read on a cable; two luggage scales before and after");
    }
    wrapped(
        out,
        "!",
        "to compare only: the makers' word on lever and caliper and a brake test release the brake",
    );
}
