//! `import`: a sheet of parts looked through, and written as a catalogue file only if every row is in order.

use super::parts::known;
use crate::Status;
use crate::args::Import;
use crate::files::{Failure, catalogue, read, read_bytes, write_new};
use crate::screen;
use comfy_table::{ContentArrangement, Table, presets};
use intake::Source;
use intake::spreadsheet::{HeaderMap, MOST_FILE_BYTES, Settings, import};
use std::fmt::Write;

/// So many parts are shown; a longer list is looked through in the sheet itself.
const MOST_SHOWN: usize = 40;

pub(super) fn run(args: &Import) -> Result<Status, Failure> {
    let slot = args.slot.as_deref().map(super::slot).transpose()?;
    let map = match &args.map {
        Some(path) => {
            let text = read(path)?;
            HeaderMap::read(Source { name: &text.name, text: &text.text })?
        }
        None => HeaderMap::default(),
    };
    let catalogue = catalogue(&args.catalogue)?;
    let (name, bytes) = read_bytes(&args.file, MOST_FILE_BYTES)?;
    let import = import(&name, &bytes, &Settings { slot, map: &map, catalogue: &catalogue });
    let mut text = String::new();
    for told in &import.told {
        let _ = writeln!(text, "{told}");
    }
    if !import.problems.is_empty() {
        let problems = import.problems.count();
        let _ = writeln!(
            text,
            "{} rows read, {problems} {}: nothing is taken",
            import.rows_read,
            if problems == 1 { "problem" } else { "problems" }
        );
        screen::print(&text)?;
        return Err(Failure::Sheet(import.problems));
    }
    let mut table = Table::new();
    table.load_style(presets::NOTHING).set_content_arrangement(ContentArrangement::Disabled);
    table.set_header(["slot", "id", "price", "name", "dimensions"]);
    for part in import.parts.iter().take(MOST_SHOWN) {
        let price = part.price().map_or_else(|| "unknown".to_owned(), |price| price.to_string());
        let dimensions: Vec<String> = known(part).map(|(key, value)| format!("{key} {value}")).collect();
        table.add_row([
            part.slot().key().to_owned(),
            part.id().unwrap_or_default().to_owned(),
            price,
            part.name().to_owned(),
            dimensions.join("; "),
        ]);
    }
    for line in table.lines() {
        let _ = writeln!(text, "{}", line.trim_end());
    }
    if let Some(rest) = import.parts.len().checked_sub(MOST_SHOWN).filter(|rest| *rest > 0) {
        let _ = writeln!(text, "and {rest} more");
    }
    let parts = import.parts.len();
    match &args.write {
        Some(path) => {
            let file = intake::catalogue_text(&import.parts);
            if file.len() > intake::MOST_CATALOGUE_BYTES {
                return Err(Failure::TooLong { path: path.clone(), length: file.len() });
            }
            write_new(path, file.as_bytes())?;
            let path = path.display();
            let _ = writeln!(text, "{path} is written: {parts} parts; use it with `--catalogue {path}`");
        }
        None => {
            let _ = writeln!(text, "{parts} parts are in order; nothing is written without `--write FILE`");
        }
    }
    screen::print(&text)?;
    Ok(Status::Works)
}
