//! `records`: what the shop keeps, copied, put back, looked over, written out as open files and read in again.

use crate::args::{Records, RecordsAct};
use crate::files::Failure;
use crate::{Status, screen};
use store::{Place, Store, StoreError};

pub(super) fn run(args: &Records) -> Result<Status, Failure> {
    let kept = |error: StoreError| Failure::Serve(error.to_string());
    let place = Place::read(&args.store);
    let done = match &args.act {
        RecordsAct::Backup { to } => {
            Store::backup_beside(&place, to).map_err(kept)?;
            format!("{} is a whole copy of {place}\n", to.display())
        }
        RecordsAct::Restore { from } => {
            let store = Store::restore(from, &place).map_err(kept)?;
            let report = store.check().map_err(kept)?;
            format!(
                "{place} holds what {} held: {} jobs, {} entries\n",
                from.display(),
                report.jobs,
                report.entries
            )
        }
        RecordsAct::Check => {
            let report = Store::open(&place).and_then(|store| store.check()).map_err(kept)?;
            if !report.faults.is_empty() {
                let faults = report.faults.join("\n  ");
                screen::print(&format!("{place} is damaged:\n  {faults}\nput a backup back\n"))?;
                return Ok(Status::Fails);
            }
            format!(
                "{place} is sound: {} jobs, {} entries, every one read back\n",
                report.jobs, report.entries
            )
        }
        RecordsAct::Export { to } => {
            Store::open(&place).and_then(|store| store.export(to)).map_err(kept)?;
            format!("{} holds everything of {place} as open files\n", to.display())
        }
        RecordsAct::Import { from } => {
            Store::open(&place).and_then(|store| store.import(from)).map_err(kept)?;
            format!("{place} holds what {} held\n", from.display())
        }
    };
    screen::print(&done)?;
    Ok(Status::Works)
}
