//! `export`: parts of the catalogue as a sheet that `import` reads again.

use crate::args::Export;
use crate::files::{Failure, catalogue, write_new};
use crate::{Status, screen};
use catalog::Part;
use intake::spreadsheet::{Format, export};

pub(super) fn run(args: &Export) -> Result<Status, Failure> {
    let ending = args.file.extension().unwrap_or_default().to_string_lossy().to_lowercase();
    let format = match ending.as_str() {
        "csv" => Format::Csv,
        "xlsx" => Format::Xlsx,
        _ => {
            let found = args.file.display().to_string();
            return Err(Failure::Word { found, kind: "sheet", accepted: vec!["FILE.csv", "FILE.xlsx"] });
        }
    };
    let slot = args.slot.as_deref().map(super::slot).transpose()?;
    let catalogue = catalogue(&args.catalogue)?;
    let parts: Vec<&Part> =
        catalogue.parts.iter().filter(|part| slot.is_none_or(|slot| part.slot() == slot)).collect();
    let bytes = export(parts.iter().copied(), format).map_err(Failure::Export)?;
    write_new(&args.file, &bytes)?;
    screen::print(&format!("{} is written: {} parts\n", args.file.display(), parts.len()))?;
    Ok(Status::Works)
}
