//! `work`: the order of work of a refit, its minutes, and what doing it in one go saves.

mod bolts;

use super::{plan, print_json};
use crate::Status;
use crate::args::Work;
use crate::files::{Failure, own_book};
use crate::report::{plain_table, print_table};
use crate::screen::{self, HEADING, QUIET, verdict_style};
use comfy_table::{Cell, CellAlignment};
use document::{LaidWork, WorkDocument};
use fit::words::verdict_words;
use fit::{Plan, Verdict};
use shop::torque::{Setting, Wrench};
use shop::{Block, Book, Link, Minutes, OperationId, Placed};
use std::fmt::Write;

/// Everything that is shown.
struct Sheet<'a> {
    plan: &'a Plan,
    book: &'a Book,
    laid: LaidWork<'a>,
    bolts: Vec<Setting>,
    wrench: Option<Wrench>,
}

pub(super) fn run(args: &Work) -> Result<Status, Failure> {
    let plan = plan(&args.refit)?;
    let book = Book::start_values();
    let sheet = lay(args, &plan, &book)?;
    if args.refit.json {
        print_json(&sheet.document())?;
    } else {
        screen::print(&sheet.text(args.why))?;
    }
    Ok(Status::of(plan.verdict))
}

fn lay<'a>(args: &Work, plan: &'a Plan, book: &'a Book) -> Result<Sheet<'a>, Failure> {
    let own = own_book(&args.refit.own)?.torques;
    let laid = LaidWork::of(plan, book, args.circumstances()).map_err(Failure::Book)?;
    let wrench = args.wrench();
    let bolts = bolts::settings(&laid, &args.printed, &own, wrench)?;
    Ok(Sheet { plan, book, laid, bolts, wrench })
}

/// The work of a plan as the document that paper reads.
#[cfg(feature = "sheets")]
pub(super) fn document(args: &Work, plan: &Plan, book: &Book) -> Result<WorkDocument, Failure> {
    Ok(lay(args, plan, book)?.document())
}

impl Sheet<'_> {
    fn title(&self, id: OperationId) -> &'static str {
        self.book.operation(id).map_or(id.0, |operation| operation.title)
    }

    fn text(&self, why: bool) -> String {
        let (plan, labour) = (self.plan, &self.laid.labour);
        let mut out = String::new();
        let style = verdict_style(plan.verdict);
        let _ = writeln!(out, "{HEADING}{}{HEADING:#}", plan.name);
        let _ = writeln!(out, "{style}{}{style:#}", verdict_words(plan.verdict).to_uppercase());
        for flag in &plan.flags {
            let _ = writeln!(out, "{style}! {flag}{style:#}");
        }
        let stopped = plan.stopped.map(|_| "no bolt moves: the job ends with the telling");
        if let Some(gate) = stopped.or(gate(plan.verdict)) {
            let _ = writeln!(out, "{gate}");
        }
        let _ = writeln!(
            out,
            "\n{HEADING}Minutes{HEADING:#}, of one person; start values until the shop has its own"
        );
        self.minutes(&mut out);
        let _ = writeln!(out, "  {} steps, each once: {}", labour.steps.len(), labour.minutes);
        let _ = writeln!(
            out,
            "  line by line, in one visit {} min; as jobs of their own, on other days, {} min",
            labour.sum_in_one_visit.usual, labour.sum_of_lines.usual
        );
        for extra in &labour.extras {
            let _ = writeln!(out, "  added, {}: {}", extra.words, extra.minutes);
        }
        if !labour.extras.is_empty() {
            let _ = writeln!(out, "  together {}", labour.total);
        }
        out.push_str(&order_text(&self.laid.order, why));
        bolts::tell(&mut out, &self.bolts, self.wrench);
        out
    }

    fn minutes(&self, out: &mut String) {
        let mut table = plain_table();
        table.add_row(vec!["", "alone", "in this job", "because"]);
        let right = |text: String| Cell::new(text).set_alignment(CellAlignment::Right);
        for (id, minutes) in &self.laid.lines {
            table.add_row(vec![
                Cell::new(self.title(*id)),
                right(minutes.alone.usual.to_string()),
                right(format!("+{}", minutes.while_apart.usual)),
                Cell::new(self.laid.because(*id).unwrap_or_default()),
            ]);
        }
        print_table(out, &table);
    }

    fn document(&self) -> WorkDocument {
        WorkDocument::of(self.plan, self.book, &self.laid, &self.bolts)
    }
}

/// The order of work, block by block.
pub(crate) fn order_text(order: &[Placed<'_>], why: bool) -> String {
    let mut out = String::new();
    for block in Block::ALL {
        block_text(&mut out, order, *block, why);
    }
    out
}

fn block_text(out: &mut String, order: &[Placed<'_>], block: Block, why: bool) {
    let of_block = || order.iter().enumerate().filter(|(_, placed)| placed.step.block == block);
    if of_block().next().is_none() {
        return;
    }
    let minutes: Minutes = of_block().map(|(_, placed)| placed.step.minutes).sum();
    let _ = writeln!(out, "\n{HEADING}{} {}{HEADING:#}, {minutes}", block.letter(), block.words());
    let mut table = plain_table();
    for (at, placed) in of_block() {
        let step = placed.step;
        let mut title = step.title.to_owned();
        if step.irreversible {
            title.push_str(" (no way back)");
        }
        if why {
            for link in &placed.after {
                let _ = write!(title, "\n{QUIET}after {}{QUIET:#}", link_words(order, link));
            }
        }
        table.add_row(vec![
            Cell::new(at + 1).set_alignment(CellAlignment::Right),
            Cell::new(title),
            Cell::new(format!("{} min", step.minutes.usual)).set_alignment(CellAlignment::Right),
            Cell::new(step.tool),
            Cell::new(step.skill.words()),
        ]);
    }
    print_table(out, &table);
}

fn link_words(order: &[Placed<'_>], link: &Link) -> String {
    let place = order.iter().position(|placed| placed.step.id == link.first).map_or(0, |at| at + 1);
    if link.through.is_empty() {
        format!("{place}: {}", link.because)
    } else {
        // The reason belongs to a step that this job leaves out; its key is the shortest name.
        let through: Vec<String> = link.through.iter().map(ToString::to_string).collect();
        format!("{place}, by way of {} which this job leaves out: {}", through.join(", "), link.because)
    }
}

/// What stands against beginning.
fn gate(verdict: Verdict) -> Option<&'static str> {
    match verdict {
        Verdict::Works | Verdict::Remedy => None,
        Verdict::Marginal => Some("before the strip: the customer has to agree to what is marginal"),
        Verdict::Measure => Some("before the strip: what is open has to be measured"),
        Verdict::Fails | Verdict::Refused => {
            Some("no bolt moves on this plan: what does not work needs another part")
        }
    }
}
