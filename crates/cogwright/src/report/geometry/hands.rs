//! The hands in the report: where they were, where they come to lie, what brings them back.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::geometry::hands::{HandPlace, Marks, Supply, Way};
use quantity::{Span, digits};
use std::fmt::Write;

/// The hands of one refit.
pub(super) fn tell(out: &mut String, hands: &HandPlace) {
    let mut table = plain_table();
    table.add_row(["trough of the hood", "forward", "up", ""]);
    let how = if hands.recorded { "read off the bike" } else { "added up from its parts" };
    for (name, place, note) in [("as found", hands.before, how), ("after, as chosen", hands.after, "")] {
        table.add_row(vec![
            Cell::new(name),
            right(told(place.forward_mm, false)),
            right(told(place.up_mm, false)),
            Cell::new(note),
        ]);
    }
    table.add_row(vec![
        Cell::new("moves by"),
        right(told(hands.shift.forward_mm, true)),
        right(told(hands.shift.up_mm, true)),
        Cell::new(hands.felt.words()),
    ]);
    print_table(out, &table);
    if let (Some(before), Some(after)) = hands.ramps_deg {
        let slope = |degrees| digits::with_unit(degrees, 1, "°");
        let _ = writeln!(out, "  ramp below level: {} before, {} after", slope(before), slope(after));
    }
    if !hands.drawn {
        let _ = writeln!(
            out,
            "  the lever is taken to sit at the reach of the bar: the curve of the bars is not known"
        );
    }
    if !hands.height_known {
        let _ = writeln!(out, "  the trough is taken to stand as high over the clamp as before");
    }
    let _ = writeln!(out, "  stems with spacers and bar as they stand, what is left of the old place:");
    ways(out, &hands.stems, false);
    let tried = match (hands.spacers_mm.first(), hands.spacers_mm.last()) {
        (Some(least), Some(most)) if hands.spacers_mm.len() > 1 => {
            format!("spacers of {least:.0} to {most:.0} mm and turns of the bar up to 6° tried")
        }
        _ => "turns of the bar up to 6° tried, spacers as they are".to_owned(),
    };
    let _ = writeln!(out, "  the nearest with {tried}; 1° of slope counts as 2 mm:");
    ways(out, &hands.ways, true);
    if let Some(lines) = hands.marks.as_ref().map(marks) {
        wrapped(out, "marks", &lines);
    }
}

fn told(span: Span, signed: bool) -> String {
    let value = span.middle();
    let text =
        if signed { digits::signed_with_unit(value, 0, "mm") } else { digits::with_unit(value, 0, "mm") };
    if span.is_exact() || span.half_width() < 0.5 {
        text
    } else {
        format!("{text} ± {:.0}", span.half_width())
    }
}

fn ways(out: &mut String, ways: &[Way], tuned: bool) {
    let mut table = plain_table();
    let mut header = vec!["", "stem", ""];
    if tuned {
        header.extend(["spacers", "bar turned"]);
    }
    header.extend(["forward", "up", "feels", "to be had"]);
    table.add_row(header);
    for way in ways {
        let mut row = vec![
            Cell::new(if way.planned { "plan" } else { "" }),
            right(digits::with_unit(way.length_mm, 0, "mm")),
            right(digits::with_unit(way.angle_deg, 0, "°")),
        ];
        if tuned {
            row.push(right(
                way.spacers_mm.map_or("as found".to_owned(), |mm| digits::with_unit(mm, 0, "mm")),
            ));
            row.push(right(digits::signed_with_unit(way.turn_deg, 0, "°")));
        }
        row.extend([
            right(digits::signed_with_unit(way.forward_mm, 0, "mm")),
            right(digits::signed_with_unit(way.up_mm, 0, "mm")),
            Cell::new(way.felt().words()),
            Cell::new(supply(way)),
        ]);
        table.add_row(row);
    }
    print_table(out, &table);
}

fn supply(way: &Way) -> String {
    match way.supply {
        Supply::OnBike => "on the bike".to_owned(),
        Supply::Catalogue(Some(0)) => "in stock".to_owned(),
        Supply::Catalogue(Some(1)) => "1 day".to_owned(),
        Supply::Catalogue(Some(days)) => format!("{days} days"),
        Supply::Catalogue(None) => "in the catalogue, delivery unknown".to_owned(),
        Supply::UsualSize => "usual size, not in the catalogue".to_owned(),
    }
}

fn marks(marks: &Marks) -> String {
    let mut text = format!(
        "lever clamps as found {} left and {} right of the middle of the stem, along the bar",
        told(marks.left_mm, false),
        told(marks.right_mm, false)
    );
    if marks.uneven {
        text.push_str("; they differ: ask the rider whether that is meant");
    }
    match marks.after_mm {
        Some(after) => {
            let _ = write!(text, "; both go to {}, then compared lever tip to floor", told(after, false));
        }
        None => text.push_str("; where they go on the new bar needs the widths of both bars"),
    }
    text
}
