//! The words of the command line.

use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use shop::{Age, Circumstances};
use std::path::PathBuf;

/// Plans drivetrain refits in a bicycle workshop.
///
/// Exit status: 0 works or works with a remedy, 1 fails or is refused, 2 wrong use or input that cannot be
/// read, 3 marginal or something must be measured first.
#[derive(Debug, Parser)]
#[command(name = "cogwright", version, disable_help_subcommand = true)]
pub(crate) struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Judge a refit: what works, what fails, what cures it, what to measure first.
    Judge(Refit),
    /// Show the gears before and after.
    Gears(Refit),
    /// List what to measure for this wish, best first.
    Measure(Refit),
    /// Show the whole intake: rows that this wish needs, and the others with the reason why not.
    Intake(Refit),
    /// Show what this wish pulls along and what it leaves alone.
    Pulls(Refit),
    /// Write a commented starter file, or the built-in example.
    Start(Start),
    /// Print the JSON Schema of the refit file, or of the answers.
    Schema(Schema),
    /// List the parts of the catalogue.
    Parts(Parts),
    /// Print the rules with their limits and sources, as a handbook page.
    Rules(Rules),
    /// Write parts of the catalogue to a sheet, CSV or XLSX.
    Export(Export),
    /// Look through a sheet of parts, CSV or XLSX, and write it as a catalogue file if nothing is wrong.
    Import(Import),
    /// Check case files: refits with the verdicts and numbers that they must give.
    Check(Check),
    /// Show what changed between two states of a refit file, and which verdicts turned.
    Compare(Compare),
    /// Print the order of work with minutes, and what doing it in one go saves.
    Work(Work),
    /// Find the fault of a bike that does not work as it should, and what to do next.
    Diagnose(Diagnose),
}

/// A refit and how to answer.
#[derive(Debug, Group)]
pub(crate) struct Refit {
    /// The refit file; `-` reads standard input.
    #[arg(required_unless_present = "example")]
    pub file: Option<PathBuf>,
    /// Use the built-in example instead of a file.
    #[arg(long, conflicts_with = "file")]
    pub example: bool,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// What to start from.
#[derive(Debug, Group)]
pub(crate) struct Start {
    /// Where to write; standard output if left out. A file that exists is not touched.
    pub file: Option<PathBuf>,
    /// Write the built-in example, filled in.
    #[arg(long)]
    pub example: bool,
}

/// Which schema.
#[derive(Debug, Group)]
pub(crate) struct Schema {
    /// The schema of what `judge --json` prints instead of the refit file's.
    #[arg(long)]
    pub answer: bool,
    /// The schema of the complaint file; with `--answer`, of what `diagnose --json` prints.
    #[arg(long)]
    pub complaint: bool,
}

/// What was seen.
#[derive(Debug, Group)]
pub(crate) struct Diagnose {
    /// The complaint file; `-` reads standard input.
    #[arg(required_unless_present = "example")]
    pub file: Option<PathBuf>,
    /// Use the built-in example instead of a file.
    #[arg(long, conflicts_with = "file")]
    pub example: bool,
    /// The refit file of the same bike: what its plan knows counts too.
    #[arg(long, value_name = "FILE")]
    pub refit: Option<PathBuf>,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Which parts.
#[derive(Debug, Group)]
pub(crate) struct Parts {
    /// Only this slot, for example `cassette`.
    pub slot: Option<String>,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// How to print the rules.
#[derive(Debug, Group)]
pub(crate) struct Rules {
    /// Only this rule, for example `body-length`.
    pub rule: Option<String>,
    /// Print a page of Markdown, by the chains of dependence of a refit.
    #[arg(long, conflicts_with = "json")]
    pub page: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Which two states.
#[derive(Debug, Group)]
pub(crate) struct Compare {
    /// The refit file as it was.
    pub(crate) earlier: PathBuf,
    /// The refit file as it is.
    pub(crate) later: PathBuf,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub(crate) catalogue: Vec<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Which refit, and what its bike adds to the work.
#[derive(Debug, Group)]
pub(crate) struct Work {
    /// The refit.
    #[command(flatten)]
    pub refit: Refit,
    /// Say of each step why it comes after others.
    #[arg(long)]
    pub why: bool,
    /// How hard the old parts come off.
    #[arg(long, value_enum, default_value_t = Wear::Sound)]
    pub age: Wear,
    /// Cables run through the frame.
    #[arg(long)]
    pub internal_routing: bool,
    /// A hydraulic brake is opened and bled.
    #[arg(long, value_enum, value_name = "BRAKE")]
    pub bleed: Vec<End>,
    /// A tandem with a timing chain.
    #[arg(long)]
    pub tandem: bool,
    /// The customer brings parts.
    #[arg(long)]
    pub customer_parts: bool,
}

/// How hard the old parts come off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Wear {
    /// As they should.
    Sound,
    /// Used for years.
    Used,
    /// Corroded.
    Corroded,
}

/// Which end of the bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum End {
    /// In front.
    Front,
    /// Behind.
    Rear,
}

impl Work {
    /// What the bike adds to the work.
    pub(crate) fn circumstances(&self) -> Circumstances {
        Circumstances {
            age: match self.age {
                Wear::Sound => Age::Sound,
                Wear::Used => Age::Used,
                Wear::Corroded => Age::Corroded,
            },
            internal_routing: self.internal_routing,
            bleed_front: self.bleed.contains(&End::Front),
            bleed_rear: self.bleed.contains(&End::Rear),
            tandem: self.tandem,
            customer_parts: self.customer_parts,
        }
    }
}

/// Which cases.
#[derive(Debug, Group)]
pub(crate) struct Check {
    /// The case files.
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
}

/// Which parts go where.
#[derive(Debug, Group)]
pub(crate) struct Export {
    /// Where to write: a name that ends in `.csv` or `.xlsx`. A file that exists is not touched.
    pub file: PathBuf,
    /// Only this slot, for example `cassette`.
    #[arg(long)]
    pub slot: Option<String>,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
}

/// What to look through and what to do with it.
#[derive(Debug, Group)]
pub(crate) struct Import {
    /// The sheet, CSV or XLSX.
    pub file: PathBuf,
    /// What the sheet holds, for example `cassette`, if it has no column `slot`.
    #[arg(long)]
    pub slot: Option<String>,
    /// What the headers of the sheet mean, if they are not the keys of fields: a TOML file with `[columns]`.
    #[arg(long, value_name = "FILE")]
    pub map: Option<PathBuf>,
    /// Write the parts as a catalogue file. Without this nothing is written. A file that exists is not touched.
    #[arg(long, value_name = "FILE")]
    pub write: Option<PathBuf>,
    /// Further catalogue files, beside the built-in one, whose keys are taken.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
}
