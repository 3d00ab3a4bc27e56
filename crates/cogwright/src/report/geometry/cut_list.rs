//! The cut list as a technician reads it.

use super::super::{plain_table, print_table, right, wrapped};
use super::around;
use comfy_table::Cell;
use fit::geometry::CutList;
use fit::geometry::cut_list::count::Count;
use fit::geometry::cut_list::{Cut, Drag, Grounds, Loop, SQUARING, SmallParts};
use quantity::digits::fixed;

/// The table, then the loops and what the hand has to know.
pub(super) fn tell(out: &mut String, list: &CutList) {
    let mut table = plain_table();
    let ends = if list.hoses { "ends" } else { "ferrules" };
    table.add_row(["run", "lever", "piece", "mm", "cut at mm", ends, "tip", "of stock mm", "left mm", "by"]);
    for cut in &list.cuts {
        let told =
            |span: Option<quantity::Span>| right(span.map_or_else(String::new, |span| around(span, 0)));
        let none_as_blank = |count: u32| if count == 0 { String::new() } else { count.to_string() };
        table.add_row(vec![
            Cell::new(cut.run.words()),
            Cell::new(cut.lever.map_or("", catalog::Word::as_str)),
            Cell::new(cut.piece),
            right(around(cut.length, 0)),
            right(around(cut.cut_at, 0)),
            right(none_as_blank(cut.ferrules)),
            right(none_as_blank(cut.tips)),
            told(cut.stock),
            told(cut.left_of_stock),
            Cell::new(cut.grounds.short()),
        ]);
    }
    print_table(out, &table);
    let squaring = fixed(SQUARING.to_mm(), 0);
    wrapped(out, "-", &format!("cut at: {squaring} mm more at each end of housing and hose, to be squared"));
    if list.cuts.iter().any(|cut| cut.grounds == Grounds::OldPiece) {
        wrapped(out, "!", "by the old piece: turn the bar to both full locks before it is cut");
    }
    for cut in &list.cuts {
        stock(out, cut);
    }
    for seen in &list.loops {
        told_loop(out, seen);
    }
    if let Some(fold) = list.fold {
        let words = format!(
            "the fold adds {} mm: it is in the inners and in the loops looked at; every other loop has that to spare",
            around(fold, 0)
        );
        wrapped(out, "-", &words);
    }
    if let Some(drag) = &list.drag {
        friction(out, drag);
    }
    wrapped(out, "-", &small(&list.small));
}

/// A word where an inner is too short, or may be.
fn stock(out: &mut String, cut: &Cut) {
    let name = cut.run.words();
    if cut.tips == 0 {
        return;
    }
    match cut.left_of_stock {
        None => wrapped(out, "!", &format!("{name}: longer than any inner that is sold for one bike")),
        Some(left) if left.most() < 0.0 => {
            wrapped(out, "!", &format!("{name}: the inner is too short by {} mm", around(-left, 0)));
        }
        Some(left) if left.least() < 0.0 => {
            wrapped(out, "!", &format!("{name}: the inner may be too short: {} mm left", around(left, 0)));
        }
        Some(_) => {}
    }
}

/// A loop at both locks: the widest way, what holds, and what the piece to be cut does.
fn told_loop(out: &mut String, seen: &Loop) {
    let run = seen.run.words();
    let radius = fixed(seen.least_radius.to_mm(), 0);
    let gap = around(seen.gap, 0);
    match (&seen.shortest, &seen.shortest_at_ends) {
        (Ok(found), Ok(held)) => {
            let (shortest, held) = (fixed(found.length.to_mm(), 0), fixed(held.to_mm().ceil(), 0));
            let words = format!(
                "{run}: the ends stand {gap} mm apart at full lock; a loop of {shortest} mm keeps a radius of \
                 {radius} mm at both locks, one of {held} mm wherever the ends are inside their tolerances"
            );
            wrapped(out, "-", &words);
        }
        (Ok(found), Err(why)) => {
            let shortest = fixed(found.length.to_mm(), 0);
            let words = format!(
                "{run}: the ends stand {gap} mm apart at full lock; a loop of {shortest} mm keeps a radius of \
                 {radius} mm at both locks, but at the ends of the tolerances {why}"
            );
            wrapped(out, "!", &words);
        }
        (Err(why), _) => {
            wrapped(out, "!", &format!("{run}: the ends stand {gap} mm apart at full lock; {why}"));
        }
    }
    let what = if seen.run_is_hose { "by the string" } else { "as cut" };
    match (&seen.as_cut, seen.slack) {
        (Some(Ok(found)), Some(slack)) => {
            let tightest = fixed(found.tightest.to_mm(), 0);
            let angle = fixed(found.tightest_at.to_deg(), 0);
            let ends = match seen.radius {
                Some(span) if !span.is_exact() => {
                    format!(" ({} to {} over the tolerances)", fixed(span.least(), 0), fixed(span.most(), 0))
                }
                _ => String::new(),
            };
            let words = format!(
                "{run}: {what} it bends to {tightest} mm{ends} at {angle}° of steering and has {} mm to spare",
                around(slack, 0)
            );
            let tight = seen.radius.is_some_and(|span| span.least() < seen.least_radius.to_mm());
            wrapped(out, if tight || slack.least() < 0.0 { "!" } else { "-" }, &words);
        }
        (Some(Err(why)), _) => wrapped(out, "!", &format!("{run}: {what}, {why}")),
        _ => {}
    }
}

fn friction(out: &mut String, drag: &Drag) {
    let words = format!(
        "rear shift: over {}° of bends the hand pulls {} times what arrives; pulling is {} times returning",
        around(drag.bends, 0),
        around(drag.pulling, 1),
        around(drag.hysteresis, 1)
    );
    wrapped(out, "-", &words);
    let far = fixed(drag.far_end_n, 0);
    let mut words = format!(
        "rear shift: for {far} N at the derailleur (a guess) {} N at the lever",
        around(drag.lever_n, 0)
    );
    if let Some((lost, clicks)) = drag.lost_mm.zip(drag.lost_clicks) {
        words += &format!(
            "; the click is lost by {} to {} mm of cable, {} to {} clicks of the adjuster",
            fixed(lost.least(), 2),
            fixed(lost.most(), 2),
            fixed(clicks.least(), 1),
            fixed(clicks.most(), 1)
        );
    }
    wrapped(out, "-", &words);
}

/// Small parts of the whole bike, as the list of parts has them.
fn small(small: &SmallParts) -> String {
    let number = |count: Count, what: &str| {
        let assumed = if count.assumed { ", assumed" } else { "" };
        format!("{} {what}{assumed}", count.number)
    };
    let mut words = vec![number(small.shift_ferrules, "ferrules for shift housing")];
    words.extend(small.brake_ferrules.map(|count| number(count, "for brake housing")));
    words.extend(
        small.hose_ends.map(|ends| format!("{ends} inserts with olives, none where an end is a banjo")),
    );
    words.push(format!("{} tips", small.tips));
    words.push(number(small.shift_housing_m, "m of shift housing"));
    words.extend(small.brake_housing_m.map(|count| number(count, "m of brake housing")));
    format!("small parts of the whole bike: {}", words.join("; "))
}
