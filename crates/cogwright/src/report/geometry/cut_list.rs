//! The cut list as a technician reads it.

use super::super::{plain_table, print_table, right, wrapped};
use super::around;
use comfy_table::Cell;
use fit::geometry::CutList;
use fit::geometry::cut_list::Cut;
use quantity::digits::fixed;

/// The table, then the loops and what the hand has to know.
pub(super) fn tell(out: &mut String, list: &CutList) {
    let mut table = plain_table();
    let ends = if list.hoses { "ferrules, or insert and olive" } else { "ferrules" };
    table.add_row(["run", "piece", "mm", ends, "tip", "note"]);
    for cut in &list.cuts {
        table.add_row(vec![
            Cell::new(cut.run.words()),
            Cell::new(cut.piece),
            right(around(cut.length, 0)),
            right(cut.ferrules.to_string()),
            right(cut.tips.to_string()),
            Cell::new(note(cut)),
        ]);
    }
    print_table(out, &table);
    for seen in &list.loops {
        let run = seen.run.words();
        let radius = fixed(seen.least_radius.to_mm(), 0);
        match &seen.shortest {
            Ok(found) => {
                let length = fixed(found.length.to_mm(), 0);
                let words = format!(
                    "{run}: the shortest loop that keeps a radius of {radius} mm at both locks is {length} mm"
                );
                wrapped(out, "-", &words);
            }
            Err(why) => wrapped(out, "!", &format!("{run}: {why}")),
        }
        match &seen.as_cut {
            Some(Ok(found)) => {
                let tightest = fixed(found.tightest.to_mm(), 0);
                let angle = fixed(found.tightest_at.to_deg(), 0);
                let slack = fixed(found.slack.to_mm(), 0);
                let words = format!(
                    "{run}: as cut it bends to {tightest} mm at {angle}° of steering and has {slack} mm to spare"
                );
                let mark = if found.tightest < seen.least_radius { "!" } else { "-" };
                wrapped(out, mark, &words);
            }
            Some(Err(why)) => wrapped(out, "!", &format!("{run}: as cut, {why}")),
            None => {}
        }
    }
    if let Some(fold) = list.fold {
        wrapped(out, "-", &format!("the fold adds {} mm: every loop has that to spare", around(fold, 0)));
    }
    if let Some(drag) = list.drag {
        let words = format!(
            "rear shift: over {}° of bends the hand pulls {} times what arrives; pulling is {} times returning",
            around(drag.bends, 0),
            around(drag.pulling, 1),
            around(drag.hysteresis, 1)
        );
        wrapped(out, "-", &words);
    }
}

fn note(cut: &Cut) -> String {
    let grounds = cut.grounds.words();
    match cut.left_of_stock {
        Some(left) if left.least() < 0.0 => {
            format!("{grounds}; the stock may be too short: {} mm", around(left, 0))
        }
        Some(left) => format!("{grounds}; {} mm of the stock are left", around(left, 0)),
        None => grounds.to_owned(),
    }
}
