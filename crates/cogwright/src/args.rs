//! The words of the command line.

#[cfg(feature = "serve")]
mod app;

#[cfg(feature = "serve")]
pub(crate) use app::{Records, RecordsAct, Serve};
use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use quantity::{Angle, Length, Torque};
use shop::torque::Wrench;
use shop::{Age, Circumstances, FASTENERS, FastenerId};
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
    /// Choose sets of parts: the few worth offering, proof that nothing better was missed, or why there is none.
    Choose(Choose),
    /// Show the gears before and after.
    Gears(Refit),
    /// Show what the gears make of the customer's own ride, before and after, and which sets answer it best.
    Ride(Ride),
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
    /// Print the estimate: price with its risks, ceiling, order of work and day; or why there is none.
    Estimate(Estimate),
    /// Print a change order: what was found while working, what can be done about it, price and day of each choice.
    ChangeOrder(ChangeOrder),
    /// Print the days that can be promised for all open jobs of the shop, and which promises break.
    Promise(Promise),
    /// Find the fault of a bike that does not work as it should, and what to do next.
    Diagnose(Diagnose),
    /// Run the workshop app: pages for counter, desk and stand, served on this machine.
    #[cfg(feature = "serve")]
    Serve(Serve),
    /// Copy, put back, check, write out or read in what the shop keeps.
    #[cfg(feature = "serve")]
    Records(Records),
    /// Write drawings and sheets for the stand, the counter and the customer into a folder, as PDF and SVG.
    #[cfg(feature = "sheets")]
    Sheet(Sheet),
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
    /// The shop's own book: files with its torques and rules, each with name and date.
    #[arg(long, value_name = "FILE")]
    pub own: Vec<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// What `ride` takes.
#[derive(Debug, Group)]
pub(crate) struct Ride {
    /// The refit, with its ride.
    #[command(flatten)]
    pub refit: Refit,
    /// Draw the ride before and after into this file, as SVG.
    #[cfg(feature = "sheets")]
    #[arg(long, value_name = "FILE")]
    pub picture: Option<PathBuf>,
}

/// What to choose for.
#[derive(Debug, Group)]
pub(crate) struct Choose {
    /// The refit; what it shall give stands under `[wish]` and `[wish.set]`. Parts under `[choice]` stay chosen.
    #[command(flatten)]
    pub refit: Refit,
    /// Another state of the same file, with other prices, stock or measurements: say what changes in the answer.
    #[arg(long, value_name = "FILE")]
    pub against: Option<PathBuf>,
    /// Other catalogue files in place of those of `--catalogue`, of another dealer or another day: say what changes.
    #[arg(long, value_name = "FILE")]
    pub against_catalogue: Vec<PathBuf>,
    /// A value that is another one, and say what changes: `PART.price=79.00 EUR`, `PART.days=0`, or a reading of the
    /// bike such as `bike.rear_wheel.body_length=36.8 mm`.
    #[arg(long = "if", value_name = "WHAT=VALUE")]
    pub what_if: Vec<String>,
    /// List every set that nothing beats, not only the offers.
    #[arg(long)]
    pub all: bool,
    /// The shop that prices the work: with its file the offers show what half and eight of ten such jobs cost.
    #[command(flatten)]
    pub shop: Shop,
}

/// What to start from.
#[derive(Debug, Group)]
pub(crate) struct Start {
    /// Where to write; standard output if left out. A file that exists is not touched.
    pub file: Option<PathBuf>,
    /// Write the built-in example, filled in.
    #[arg(long)]
    pub example: bool,
    /// Write the built-in shop file instead: money, taxes, risks, people, hours.
    #[arg(long, conflicts_with = "example")]
    pub shop: bool,
}

/// Which schema.
#[derive(Debug, Group)]
pub(crate) struct Schema {
    /// Whose schema: of a file that is read, or of what `--json` prints.
    #[arg(value_enum, default_value = "refit")]
    pub of: SchemaOf,
}

/// What has a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// The refit file.
    Refit,
    /// The shop's own book of torques and rules.
    OwnBook,
    /// The complaint file.
    Complaint,
    /// What `judge --json` prints.
    Plan,
    /// What `choose --json` prints.
    Sets,
    /// What `ride --json` prints.
    Ride,
    /// What `estimate --json` prints.
    Estimate,
    /// The change file.
    Change,
    /// What `change-order --json` prints.
    ChangeOrder,
    /// What `promise --json` prints.
    Promises,
    /// What `diagnose --json` prints.
    Diagnosis,
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
    /// The bike.
    #[command(flatten)]
    pub bike: Bike,
    /// A torque printed on a part, such as `stem-faceplate=5` in newton metres; may be given for each part of a joint.
    #[arg(long, value_name = "FASTENER=NM", value_parser = printed)]
    pub printed: Vec<(FastenerId, Torque)>,
    /// Middle of the grip to the square drive of the torque wrench, millimetres.
    #[arg(long, value_name = "MM")]
    pub wrench: Option<f64>,
    /// Square drive to the bolt, millimetres: an extension or a crowfoot.
    #[arg(long, value_name = "MM", requires = "wrench", default_value_t = 0.0)]
    pub extension: f64,
    /// Angle between extension and wrench: 0 straight on, 90 square, 180 back toward the hand.
    #[arg(long, value_name = "DEG", requires = "wrench", default_value_t = 0.0)]
    pub angle: f64,
}

/// What a bike adds to the work.
#[derive(Debug, Group)]
pub(crate) struct Bike {
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

/// Which job, what was found in it, in which shop, on which day.
#[derive(Debug, Group)]
pub(crate) struct ChangeOrder {
    /// The refit file of the job.
    pub refit: PathBuf,
    /// The change file; `-` reads standard input.
    pub change: PathBuf,
    /// Further catalogue files, beside the built-in one.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,
    /// The bike.
    #[command(flatten)]
    pub bike: Bike,
    /// The shop.
    #[command(flatten)]
    pub shop: Shop,
    /// The day that was promised so far.
    #[arg(long, value_name = "DAY")]
    pub promised: Option<jiff::civil::Date>,
    /// The name of the customer, for the paper.
    #[arg(long, value_name = "NAME")]
    pub customer: Option<String>,
    /// Write the page for the customer, `change-order.pdf`, into this folder.
    #[cfg(feature = "sheets")]
    #[arg(long, value_name = "FOLDER")]
    pub to: Option<PathBuf>,
    /// The paper.
    #[cfg(feature = "sheets")]
    #[arg(long, value_enum, default_value_t = PaperSize::A4, requires = "to")]
    pub paper: PaperSize,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Which refit, which sheets, where to, and what the desk knows of the job.
#[cfg(feature = "sheets")]
#[derive(Debug, Group)]
pub(crate) struct Sheet {
    /// The refit and its work.
    #[command(flatten)]
    pub work: Work,
    /// Further refit files: then the sheets of each go into a folder of its own, named after its file.
    #[arg(conflicts_with_all = ["hook", "customer", "promised", "collect", "link"])]
    pub more: Vec<PathBuf>,
    /// The folder that the sheets are written into; sheets of an earlier run are replaced.
    #[arg(long, value_name = "FOLDER")]
    pub to: PathBuf,
    /// The paper.
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    pub paper: PaperSize,
    /// Only this sheet; may be given several times.
    #[arg(long, value_name = "SHEET", value_parser = sheet_kind)]
    pub only: Vec<sheet::SheetKind>,
    /// Ring and cog that are drawn from the drive side, such as `34x28`; largest and largest if left out.
    #[arg(long, value_name = "RINGxCOG", value_parser = ring_and_cog)]
    pub pair: Option<(u32, u32)>,
    /// The hook on which the bike hangs.
    #[arg(long)]
    pub hook: Option<String>,
    /// The name of the customer.
    #[arg(long, value_name = "NAME")]
    pub customer: Option<String>,
    /// The hour that was promised.
    #[arg(long, value_name = "HOUR")]
    pub promised: Option<String>,
    /// The day on which the bike is fetched.
    #[arg(long, value_name = "DAY")]
    pub collect: Option<String>,
    /// The shop that prices and promises, and its day.
    #[command(flatten)]
    pub shop: Shop,
    /// Where the job opens, an address or its key: printed as a code.
    #[arg(long)]
    pub link: Option<String>,
}

/// The size of paper.
#[cfg(feature = "sheets")]
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperSize {
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

#[cfg(feature = "sheets")]
impl PaperSize {
    /// The paper of the typesetter.
    pub(crate) fn paper(self) -> sheet::Paper {
        match self {
            Self::A4 => sheet::Paper::A4,
            Self::Letter => sheet::Paper::Letter,
        }
    }
}

#[cfg(feature = "sheets")]
fn sheet_kind(text: &str) -> Result<sheet::SheetKind, String> {
    let all = sheet::SheetKind::ALL;
    all.into_iter().find(|kind| kind.word() == text).ok_or_else(|| {
        let words = all.map(sheet::SheetKind::word).join(", ");
        format!("`{text}` is no sheet; wanted one of {words}")
    })
}

#[cfg(feature = "sheets")]
fn ring_and_cog(text: &str) -> Result<(u32, u32), String> {
    let both = text.split_once('x').and_then(|(ring, cog)| Some((ring.parse().ok()?, cog.parse().ok()?)));
    both.ok_or_else(|| format!("found `{text}`, wanted ring and cog such as 34x28"))
}

/// A fastener with the torque printed on it.
fn printed(text: &str) -> Result<(FastenerId, Torque), String> {
    let (key, torque) = text.split_once('=').ok_or_else(|| format!("found `{text}`, wanted FASTENER=NM"))?;
    let fastener = FASTENERS.iter().find(|fastener| fastener.id.0 == key.trim()).ok_or_else(|| {
        let keys: Vec<&str> = FASTENERS.iter().map(|fastener| fastener.id.0).collect();
        format!("`{key}` is no fastener; wanted one of {}", keys.join(", "))
    })?;
    let torque: f64 =
        torque.trim().parse().map_err(|_| format!("`{torque}` is no number of newton metres"))?;
    Ok((fastener.id, Torque::newton_metres(torque)))
}

/// Which refit, in which shop, on which day.
#[derive(Debug, Group)]
pub(crate) struct Estimate {
    /// The refit and its bike.
    #[command(flatten)]
    pub work: Work,
    /// The shop.
    #[command(flatten)]
    pub shop: Shop,
    /// Count with the first cures of what does not work, instead of the parts as chosen.
    #[arg(long)]
    pub cured: bool,
    /// The refit file of the version before: say what changed.
    #[arg(long, value_name = "FILE")]
    pub earlier: Option<PathBuf>,
    /// Print the estimate as an electronic invoice, UBL 2.1 after EN 16931, with this number.
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["json", "earlier"])]
    pub invoice: Option<String>,
    /// The buyer of the invoice.
    #[arg(long, value_name = "NAME", requires = "invoice")]
    pub buyer: Option<String>,
    /// The country of the buyer, two letters; that of the shop if it is left out.
    #[arg(long, value_name = "CODE", requires = "invoice")]
    pub buyer_country: Option<String>,
    /// The number under which the buyer pays tax; wanted where the buyer owes it.
    #[arg(long, value_name = "NUMBER", requires = "invoice")]
    pub buyer_tax_number: Option<String>,
}

/// Which shop, and which day.
#[derive(Debug, Group)]
pub(crate) struct Shop {
    /// The shop file; the built-in shop is used if it is left out.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// The day, such as 2026-11-25; the day of this machine if it is left out.
    #[arg(long, value_name = "DAY")]
    pub today: Option<jiff::civil::Date>,
}

/// Which shop, and how to answer.
#[derive(Debug, Group)]
pub(crate) struct Promise {
    /// The shop.
    #[command(flatten)]
    pub shop: Shop,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
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
    /// The torque wrench, if one was named.
    pub(crate) fn wrench(&self) -> Option<Wrench> {
        self.wrench.map(|length| Wrench {
            length: Length::mm(length),
            extension: Length::mm(self.extension),
            angle: Angle::deg(self.angle),
        })
    }

    /// What the bike adds to the work.
    pub(crate) fn circumstances(&self) -> Circumstances {
        self.bike.circumstances()
    }
}

impl Bike {
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
