//! The brakes before and after.

use super::super::{plain_table, print_table, right, wrapped};
use super::around;
use catalog::BrakeMount;
use comfy_table::Cell;
use fit::geometry::Brakes;
use fit::geometry::brakes::Rotor;
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
        wrapped(out, "-", &seat(rotor));
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

/// How a rotor sits on its mount: the adapter is as high as the caliper moves outward.
fn seat(rotor: &Rotor) -> String {
    let mount = match rotor.mount {
        Some(BrakeMount::DiscPost) => "a post mount, bolts 74 mm apart,",
        Some(BrakeMount::DiscFlat) => "a flat mount",
        _ => "a mount",
    };
    let (wheel, diameter, native) = (rotor.wheel, around(rotor.diameter, 0), around(rotor.native, 0));
    let words = format!("{wheel} rotor {diameter} mm on {mount} for {native} mm");
    let outward = around(rotor.outward, 1);
    if rotor.outward.most() <= 0.0 && rotor.outward.least() >= 0.0 {
        return format!("{words}: no adapter");
    }
    if rotor.outward.middle() < 0.0 {
        return format!(
            "{words}: smaller than the mount takes, no adapter brings the caliper {} mm inward",
            around(-rotor.outward, 1)
        );
    }
    match rotor.mount {
        Some(BrakeMount::DiscPost) => {
            format!("{words}: the caliper sits {outward} mm further out, on an adapter of that height")
        }
        Some(BrakeMount::DiscFlat) => {
            format!("{words}: the caliper sits {outward} mm further out, on the bracket of its maker")
        }
        _ => format!("{words}: the caliper sits {outward} mm further out"),
    }
}
