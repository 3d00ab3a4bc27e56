//! `intake`: the walk round the bike, with the rows that this wish needs.

use super::{plan, print_json};
use crate::Status;
use crate::args::Refit;
use crate::files::Failure;
use crate::report::{plain_table, print_table, right};
use crate::screen::{self, HEADING, QUIET};
use comfy_table::Cell;
use fit::intake_list::{needed, walk_words};
use fit::words::tool_words;
use fit::{Idle, IntakeRow, Need, intake_list};
use quantity::{Reading, digits};
use serde_json::{Value, json};
use std::fmt::Write;

pub(super) fn run(args: &Refit) -> Result<Status, Failure> {
    let plan = plan(args)?;
    let rows = intake_list(&plan);
    let status = if plan.to_measure.is_empty() { Status::Works } else { Status::Open };
    if args.json {
        let rows: Vec<Value> = rows.iter().map(row_json).collect();
        print_json(&rows)?;
        return Ok(status);
    }
    let mut text = format!(
        "{HEADING}{}{HEADING:#}\n{} of {} rows matter for this wish, {} of them are still open, {} are recorded before the strip\n",
        plan.name,
        needed(&rows),
        rows.len(),
        rows.iter().filter(|row| matches!(row.need, Need::Wanted(_))).count(),
        rows.iter().filter(|row| matches!(row.need, Need::Record(_))).count()
    );
    for part in rows.chunk_by(|a, b| a.dimension.row().reach == b.dimension.row().reach) {
        let Some(first) = part.first() else { continue };
        let _ = writeln!(text, "\n{HEADING}{}{HEADING:#}", walk_words(first.dimension.row().reach));
        let mut table = plain_table();
        for row in part.iter().filter(|row| !matches!(row.need, Need::Idle(_))) {
            let place = match row.need {
                Need::Wanted(place) => format!("measure, {place}."),
                Need::Record(_) => "record".to_owned(),
                Need::Used | Need::Idle(_) => "taken".to_owned(),
            };
            let dimension = row.dimension.row();
            table.add_row(vec![
                Cell::new(place),
                Cell::new(match row.need {
                    Need::Record(why) => format!("{} (before the strip: {why})", dimension.words),
                    _ => dimension.words.to_owned(),
                }),
                Cell::new(reading_words(&row.reading)),
                Cell::new(tool_words(row.dimension, (dimension.tool, usual_tolerance(row)))),
                Cell::new(dimension.place),
                right(digits::fixed(dimension.minutes, 1)),
            ]);
        }
        print_table(&mut text, &table);
        for (idle, why) in [
            (Idle::Replaced, "the part is replaced, and what it was changes nothing"),
            (Idle::NotTouched, "no interface that this refit touches looks at it"),
        ] {
            let put_back: Vec<&str> = part
                .iter()
                .filter(|row| row.need == Need::Idle(idle))
                .map(|row| row.dimension.words())
                .collect();
            if !put_back.is_empty() {
                let _ = writeln!(text, "  {QUIET}not needed, {why}:{QUIET:#}");
                let mut table = plain_table();
                table.add_row(vec![Cell::new(""), Cell::new(put_back.join("; "))]);
                print_table(&mut text, &table);
            }
        }
    }
    screen::print(&text)?;
    Ok(status)
}

fn usual_tolerance(row: &IntakeRow) -> f64 {
    let dimension = row.dimension.row();
    dimension.tolerance.of((dimension.least + dimension.most) / 2.0)
}

fn reading_words(reading: &Reading<catalog::Value>) -> String {
    match reading {
        Reading::Taken(value) => value.to_string(),
        Reading::Fine => "fine".to_owned(),
        Reading::NotReachable => "not reachable".to_owned(),
        Reading::NotNeeded => "not needed".to_owned(),
        Reading::NotTaken => "................".to_owned(),
    }
}

fn row_json(row: &IntakeRow) -> Value {
    let (need, rank, why) = match row.need {
        Need::Wanted(rank) => ("wanted", Some(rank), None),
        Need::Used => ("used", None, None),
        Need::Record(why) => ("record", None, Some(why)),
        Need::Idle(Idle::Replaced) => ("idle", None, Some("the part is replaced")),
        Need::Idle(Idle::NotTouched) => {
            ("idle", None, Some("no interface that this refit touches looks at it"))
        }
    };
    let dimension = row.dimension.row();
    json!({
        "what": dimension.words,
        "part": row.slot.words(),
        "reading": match &row.reading { Reading::NotTaken => None, reading => Some(reading_words(reading)) },
        "need": need,
        "rank": rank,
        "why_not": if need == "idle" { why } else { None },
        "why_record": if need == "record" { why } else { None },
        "tool": dimension.tool.words(),
        "place": dimension.place,
        "minutes": dimension.minutes,
        "picture": row.dimension.picture(),
    })
}
