//! `work`: the order of work of a refit, its minutes, and what doing it in one go saves.

mod bolts;

use super::{plan, print_json};
use crate::Status;
use crate::args::Work;
use crate::files::{Failure, own_book};
use crate::report::{plain_table, print_table};
use crate::screen::{self, HEADING, QUIET, verdict_style};
use comfy_table::{Cell, CellAlignment};
use fit::words::verdict_words;
use fit::{Plan, Verdict};
use serde_json::{Value, json};
use shop::torque::{Setting, Wrench};
use shop::{
    Because, Block, Book, BookError, Circumstances, Labour, Link, Marginal, Minutes, OperationId, Placed,
    Wanted, wanted,
};
use std::fmt::Write;

/// Everything that is shown.
struct Sheet<'a> {
    plan: &'a Plan,
    book: &'a Book,
    wanted: Vec<Wanted>,
    labour: Labour,
    lines: Vec<(OperationId, Marginal)>,
    order: Vec<Placed<'a>>,
    bolts: Vec<Setting>,
    wrench: Option<Wrench>,
}

pub(super) fn run(args: &Work) -> Result<Status, Failure> {
    let plan = plan(&args.refit)?;
    let book = Book::start_values();
    let own = own_book(&args.refit.own)?.torques;
    let mut sheet = lay(&plan, &book, args.circumstances()).map_err(Failure::Book)?;
    sheet.wrench = args.wrench();
    sheet.bolts = bolts::settings(&sheet.order, &args.printed, &own, sheet.wrench)?;
    if args.refit.json {
        print_json(&sheet.document())?;
    } else {
        screen::print(&sheet.text(args.why))?;
    }
    Ok(Status::of(plan.verdict))
}

fn lay<'a>(plan: &'a Plan, book: &'a Book, circumstances: Circumstances) -> Result<Sheet<'a>, BookError> {
    let wanted = wanted(plan, circumstances);
    let all: Vec<OperationId> = wanted.iter().map(|wanted| wanted.operation).collect();
    let leading = book.leading(&all)?;
    let others = |id: &OperationId| leading.iter().copied().filter(|other| other != id).collect::<Vec<_>>();
    let lines = leading
        .iter()
        .map(|id| Ok((*id, book.marginal(&others(id), *id)?)))
        .collect::<Result<_, BookError>>()?;
    let labour = book.labour(&all, circumstances.age)?;
    Ok(Sheet { plan, book, wanted, labour, lines, order: book.order(&all)?, bolts: Vec::new(), wrench: None })
}

impl Sheet<'_> {
    fn title(&self, id: OperationId) -> &'static str {
        self.book.operation(id).map_or(id.0, |operation| operation.title)
    }

    fn because(&self, id: OperationId) -> Option<String> {
        let wanted = self.wanted.iter().find(|wanted| wanted.operation == id)?;
        Some(match wanted.because {
            Because::EveryJob => "every job has it".to_owned(),
            Because::NewPart(slot) => format!("new {}", slot.words()),
            Because::Remedy(rule) => format!("remedy of {rule}"),
            Because::Refusal(rule) => format!("refused by {rule}"),
            Because::Circumstance => "this bike".to_owned(),
        })
    }

    fn text(&self, why: bool) -> String {
        let (plan, labour) = (self.plan, &self.labour);
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
        out.push_str(&order_text(&self.order, why));
        bolts::tell(&mut out, &self.bolts, self.wrench);
        out
    }

    fn minutes(&self, out: &mut String) {
        let mut table = plain_table();
        table.add_row(vec!["", "alone", "in this job", "because"]);
        let right = |text: String| Cell::new(text).set_alignment(CellAlignment::Right);
        for (id, minutes) in &self.lines {
            table.add_row(vec![
                Cell::new(self.title(*id)),
                right(minutes.alone.usual.to_string()),
                right(format!("+{}", minutes.while_apart.usual)),
                Cell::new(self.because(*id).unwrap_or_default()),
            ]);
        }
        print_table(out, &table);
    }

    fn document(&self) -> Value {
        let labour = &self.labour;
        json!({
            "name": self.plan.name,
            "verdict": self.plan.verdict.word(),
            "flags": self.plan.flags,
            "minutes": minutes_document(labour.minutes),
            "sum_in_one_visit": minutes_document(labour.sum_in_one_visit),
            "sum_of_lines": minutes_document(labour.sum_of_lines),
            "saved": labour.saved,
            "extras": labour.extras.iter()
                .map(|extra| json!({ "because": extra.words, "minutes": minutes_document(extra.minutes) }))
                .collect::<Vec<_>>(),
            "total": minutes_document(labour.total),
            "operations": self.lines.iter().map(|(id, minutes)| json!({
                "operation": id.0,
                "title": self.title(*id),
                "because": self.because(*id),
                "alone": minutes_document(minutes.alone),
                "in_this_job": minutes_document(minutes.while_apart),
            })).collect::<Vec<_>>(),
            "order": self.order.iter().map(step_document).collect::<Vec<_>>(),
            "bolts": bolts::document(&self.bolts),
        })
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

fn minutes_document(minutes: Minutes) -> Value {
    json!({ "low": minutes.low, "usual": minutes.usual, "high": minutes.high })
}

fn step_document(placed: &Placed<'_>) -> Value {
    let step = placed.step;
    json!({
        "step": step.id.0,
        "title": step.title,
        "block": step.block.letter().to_string(),
        "minutes": minutes_document(step.minutes),
        "tool": step.tool,
        "skill": step.skill.words(),
        "no_way_back": step.irreversible,
        "fasteners": step.fasteners.iter().map(|fastener| fastener.0).collect::<Vec<_>>(),
        "after": placed.after.iter().map(|link| json!({
            "step": link.first.0,
            "because": link.because,
            "through": link.through.iter().map(|step| step.0).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}
