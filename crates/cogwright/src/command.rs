//! The commands, one file each.

mod change_order;
mod check;
mod choose;
mod compare;
mod diagnose;
mod estimate;
mod export;
mod gears;
mod import;
mod intake;
mod judge;
mod measure;
mod parts;
mod promise;
mod pulls;
#[cfg(feature = "serve")]
mod records;
mod ride;
mod rules;
mod schema;
#[cfg(feature = "serve")]
mod serve;
#[cfg(feature = "sheets")]
mod sheet;
mod start;
mod work;

use crate::Status;
use crate::args::{Args, Command};
use crate::files::{Failure, catalogue, own_book, refit};
use crate::screen;
use catalog::Slot;
use serde::Serialize;
pub(crate) use work::order_text as work_order;

/// Carries out a command.
pub(crate) fn run(args: Args) -> Result<Status, Failure> {
    match args.command {
        Command::Judge(refit) => judge::run(&refit),
        Command::Choose(args) => choose::run(&args),
        Command::Gears(refit) => gears::run(&refit),
        Command::Ride(ride) => ride::run(&ride),
        Command::Measure(refit) => measure::run(&refit),
        Command::Intake(refit) => intake::run(&refit),
        Command::Pulls(refit) => pulls::run(&refit),
        Command::Start(start) => start::run(&start),
        Command::Schema(schema) => schema::run(&schema),
        Command::Parts(parts) => parts::run(&parts),
        Command::Rules(rules) => rules::run(&rules),
        Command::Export(export) => export::run(&export),
        Command::Import(import) => import::run(&import),
        Command::Check(check) => check::run(&check),
        Command::Compare(compare) => compare::run(&compare),
        Command::Work(work) => work::run(&work),
        Command::Estimate(estimate) => estimate::run(&estimate),
        Command::ChangeOrder(args) => change_order::run(&args),
        Command::Promise(promise) => promise::run(&promise),
        Command::Diagnose(diagnose) => diagnose::run(&diagnose),
        #[cfg(feature = "serve")]
        Command::Serve(args) => serve::run(&args),
        #[cfg(feature = "serve")]
        Command::Records(args) => records::run(&args),
        #[cfg(feature = "sheets")]
        Command::Sheet(sheet) => sheet::run(&sheet),
    }
}

/// The plan of the refit that the command names.
fn plan(args: &crate::args::Refit) -> Result<fit::Plan, Failure> {
    let catalogue = catalogue(&args.catalogue)?;
    let own = own_book(&args.own)?;
    plan_of(args.file.as_deref(), &catalogue, &own.rules)
}

/// The plan of a refit file, or of the built-in example, with the shop's own rules.
fn plan_of(
    file: Option<&std::path::Path>,
    catalogue: &catalog::Catalogue,
    own: &[fit::OwnRule],
) -> Result<fit::Plan, Failure> {
    let refit = refit(file, catalogue)?;
    Ok(fit::plan_with(&refit, catalogue, own))
}

/// The day that was named, or that of this machine: the one place where the program looks at a calendar on a wall.
fn today(named: Option<jiff::civil::Date>) -> jiff::civil::Date {
    named.unwrap_or_else(|| jiff::ZonedDateTime::now().date())
}

/// Prints a value as JSON.
fn print_json(value: &impl Serialize) -> Result<(), Failure> {
    let mut text = serde_json::to_string_pretty(value).map_err(|why| Failure::Out(why.into()))?;
    text.push('\n');
    screen::print(&text)
}

/// The slot with this key.
fn slot(key: &str) -> Result<Slot, Failure> {
    Slot::read(key).ok_or_else(|| Failure::Word {
        found: key.to_owned(),
        kind: "slot",
        accepted: Slot::ALL.iter().map(|slot| slot.key()).collect(),
    })
}
