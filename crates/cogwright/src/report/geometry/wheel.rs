//! The rear wheel in the report: spokes, dish, spacers.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::geometry::wheel::{EXAMPLE_TENSION_N, Laced, OTHER_SPOKES_MM, Stack, WheelChange};
use quantity::{Span, digits};
use std::fmt::Write;

/// What changes at the rear wheel.
pub(super) fn tell(out: &mut String, wheel: &WheelChange) {
    if let Some(stack) = &wheel.stack {
        let _ = writeln!(out, "  {}", behind(stack));
    }
    if let (Some(wider), Some(moves)) = (wheel.wider_mm, wheel.rim_moves_mm())
        && wider.middle().abs() > 0.05
    {
        let signed = |span: Span| digits::signed_with_unit(span.middle(), 1, "mm");
        let _ = writeln!(
            out,
            "  the hub is {} over its locknuts; put in on the drive side alone, the rim goes {} to that side",
            signed(wider),
            signed(moves)
        );
    }
    let rim = if wheel.old_rim { "after, in the old rim" } else { "after" };
    let laced: Vec<(&str, &Laced)> = [("as found", &wheel.before), (rim, &wheel.after)]
        .into_iter()
        .filter_map(|(name, it)| Some((name, it.as_ref()?)))
        .collect();
    if laced.is_empty() {
        return;
    }
    let mut table = plain_table();
    let drive = digits::with_unit(EXAMPLE_TENSION_N, 0, "N");
    table.add_row([
        "".to_owned(),
        "spoke left".to_owned(),
        "spoke right".to_owned(),
        "flanges".to_owned(),
        "left for right".to_owned(),
        format!("along the rim at {drive} right"),
    ]);
    for (name, laced) in &laced {
        let length =
            |span: Span| format!("{} ± {:.1} mm", digits::fixed(span.middle(), 1), span.half_width());
        table.add_row(vec![
            Cell::new(name),
            right(length(laced.left.length_mm)),
            right(length(laced.right.length_mm)),
            right(format!("{:.1} / {:.1} mm", laced.left.flange_mm, laced.right.flange_mm)),
            right(digits::with_unit(laced.left_share * 100.0, 0, "%")),
            right(digits::with_unit(laced.rim_n, 0, "N")),
        ]);
    }
    print_table(out, &table);
    if let (Some(before), Some(after)) = (&wheel.before, &wheel.after) {
        let change = |old: Span, new: Span| new.middle() - old.middle();
        let left = change(before.left.length_mm, after.left.length_mm);
        let right = change(before.right.length_mm, after.right.length_mm);
        let others = if left.abs().max(right.abs()) > OTHER_SPOKES_MM {
            "other spokes are needed"
        } else {
            "the spokes may stay"
        };
        let _ = writeln!(
            out,
            "  spokes {} left and {} right: {others}",
            digits::signed_with_unit(left, 1, "mm"),
            digits::signed_with_unit(right, 1, "mm")
        );
    }
    wrapped(
        out,
        "-",
        "the force along the rim holds for even tension and spokes in its plane, to a few percent; the tension that \
         rim and hub allow is what their makers print",
    );
}

fn behind(stack: &Stack) -> String {
    let room = digits::signed_with_unit(stack.room_mm.middle(), 2, "mm");
    let now = stack
        .now_mm
        .map_or(String::new(), |now| format!("; {} found there", digits::with_unit(now.middle(), 2, "mm")));
    if stack.spacer_mm.is_none() && stack.room_mm.most() < 0.0 {
        let missing = digits::with_unit(-stack.room_mm.middle(), 2, "mm");
        return format!("behind the cassette: nothing, {missing} of body are missing{now}");
    }
    match stack.spacer_mm {
        Some(0.0) => format!("behind the cassette: {room} of body left over, no spacer{now}"),
        Some(spacer) => {
            format!(
                "behind the cassette: {room} of body left over, a spacer of {}{now}",
                digits::with_unit(spacer, 2, "mm")
            )
        }
        None => {
            format!("behind the cassette: {room} of body left over, no spacer of the trade is meant{now}")
        }
    }
}
